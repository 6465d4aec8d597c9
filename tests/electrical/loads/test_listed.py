"""Loads by the name of an appliance: what the list fills in, and what the caller's word replaces."""

import pytest

from ohmstead.electrical.loads.model import (
    ByAppliance, ByPower, EveryDay, Load, LockedRotor, NoStart, Request, SoftStart, Standby, StartMultiple,
)
from ohmstead.electrical.loads.sizing import size_demand
from ohmstead.reference.case import Shelf


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def sized(shelf, *loads, voltage=12.0, **more):
    case = shelf.case()
    return size_demand(Request(loads, voltage, **more), case), case


def named(appliance, current="ac", power=None, **more):
    return Load("it", current, ByAppliance(appliance, power), pointer="/loads/0", **more)


def said(case):
    return {(one.name, one.pointer): (one.value, one.basis) for one in case.assumptions if one.pointer}


def codes(case):
    return [finding.code for finding in case.findings]


def test_every_value_of_the_list_is_said_with_its_basis(shelf):
    """storage/appliances.csv A079: 20 W for 3 h, 16 W on standby, power factor 0.6, no start."""
    demand, case = sized(shelf, named("satellite-receiver"))
    assert said(case) == {
        ("load_power_w", "/loads/0/draw/power"): (20.0, "published"), ("hours_per_day", "/loads/0/use"): (3.0, "recalled"),
        ("duty", "/loads/0/duty"): (1.0, "recalled"), ("standby_w", "/loads/0/standby"): (16.0, "recalled"),
        ("power_factor", "/loads/0/power_factor"): (0.6, "recalled"), ("start_multiple", "/loads/0/start"): (1.0, "recalled"),
    }
    assert demand.loads[0].load_energy_wh == pytest.approx(20 * 3 + 16 * 21)
    assert demand.running_va == pytest.approx(20 / 0.6)
    assert demand.start is None


def test_the_callers_word_goes_before_the_list(shelf):
    given = named(
        "refrigerator-efficient", power=100.0, use=EveryDay(10.0), duty=0.5, standby=Standby(0.0), power_factor=0.8, start=StartMultiple(3.0),
        nature="electronic",
    )
    demand, case = sized(shelf, given)
    assert said(case) == {}
    assert (demand.loads[0].load_energy_wh, demand.running_va, demand.surge_va) == pytest.approx((500.0, 125.0, 375.0))
    assert "appliance-range" not in codes(case)


@pytest.mark.parametrize(("more", "silent"), [
    ({"power": 90.0}, "load_power_w"), ({"use": EveryDay(1.0)}, "hours_per_day"), ({"duty": 0.2}, "duty"),
    ({"standby": Standby(1.0)}, "standby_w"), ({"power_factor": 0.9}, "power_factor"), ({"start": NoStart()}, "start_multiple"),
])
def test_only_what_is_silent_is_taken_from_the_list(shelf, more, silent):
    _, case = sized(shelf, named("television-large", **more))
    every = {"load_power_w", "hours_per_day", "duty", "standby_w", "power_factor", "start_multiple"}
    assert {name for name, _ in said(case)} == every - {silent}


def test_an_air_conditioner_starts_by_its_plate_where_that_is_given(shelf):
    """A035: 5.3 times 1450 W at 0.92; the plate says 68 A at 120 V, and a soft starter leaves half."""
    by_list, _ = sized(shelf, named("roof-air-conditioner-13500"))
    assert by_list.surge_va == pytest.approx(5.3 * 1450 / 0.92)
    by_plate, _ = sized(shelf, named("roof-air-conditioner-13500", start=LockedRotor(68.0, 120.0, SoftStart(0.5))))
    assert by_plate.surge_va == pytest.approx(68 * 120 * 0.5)


def test_the_range_is_said_where_the_typical_power_counts(shelf):
    _, case = sized(shelf, named("kettle-230v"))
    (finding,) = [finding for finding in case.findings if finding.code == "appliance-range"]
    assert "2200 W" in finding.message and "2000 to 3000 W" in finding.message and finding.pointer == "/loads/0/draw"


def test_one_made_for_the_system_voltage_needs_no_converter(shelf):
    for voltage, converter in ((12.0, False), (24.0, False), (48.0, True)):
        demand, _ = sized(shelf, named("fridge-12-24v-small", "dc"), voltage=voltage)
        assert demand.loads[0].converter is converter
    demand, _ = sized(shelf, named("fridge-12-24v-small", "dc"), voltage=48.0)
    assert demand.loads[0].voltage_v == 12.0


def test_heat_from_the_list_is_known_as_heat(shelf):
    _, case = sized(shelf, named("space-heater"))
    assert "heating-from-bank" in codes(case)


def test_without_hours_a_load_is_in_use_all_day(shelf):
    demand, case = sized(shelf, Load("it", "dc", ByPower(10.0)), wiring_efficiency=1.0)
    assert demand.day_energy_wh == 240.0
    assert {one.name: one.value for one in case.assumptions}["hours_per_day"] == 24.0


@pytest.mark.parametrize("row", range(119))
def test_every_row_of_the_list_can_be_a_load(shelf, row):
    table, use = shelf.plain.tables["appliances"].columns, shelf.plain.tables["appliance_use"].columns
    demand, _ = sized(shelf, named(table["name"][row], table["current"][row]), wiring_efficiency=1.0, inverter_efficiency=1.0, idle_w=0.0)
    in_use = table["typical_w"][row] * use["hours_per_day"][row] * use["duty"][row]
    waiting = use["standby_w"][row] * (24 - use["hours_per_day"][row])
    assert demand.day_energy_wh == pytest.approx(in_use + waiting)
