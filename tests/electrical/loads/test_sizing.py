"""Demand: what is decided, assumed and remarked."""

import pytest

from ohmstead.electrical.loads.model import (
    ByCookingPower, ByCurrent, ByPower, BySeason, CodeLetter, EveryDay, Load, LockedRotor, MeasuredStart, NoStart, Request, SoftStart,
    Standby, StartKind, StartMultiple,
)
from ohmstead.electrical.loads.sizing import size_demand
from ohmstead.reference.case import Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.quantities import Power
from ohmstead.wire.v1.loads import AcLoad, EveryDayUse, MultipleStart, PowerDraw, read_loads
from ohmstead.working import trace


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def load(name, watts=100.0, hours=1.0, current="ac", **more):
    return Load(name, current, ByPower(watts), EveryDay(hours), **{"start": NoStart(), "power_factor": 1.0 if current == "ac" else None, **more})


def sized(shelf, *loads, voltage=12.0, **more):
    case = shelf.case()
    return size_demand(Request(loads, voltage, **more), case), case


def codes(case):
    return [finding.code for finding in case.findings]


def assumed(case):
    return {said.name: said.value for said in case.assumptions}


def test_nothing_is_assumed_that_was_given(shelf):
    _, case = sized(
        shelf, load("lamp", duty=1.0), idle_w=10.0, idle_hours=24.0, inverter_efficiency=0.9, wiring_efficiency=0.97, growth_factor=1.0)
    assert case.assumptions == []


def test_no_inverter_is_assumed_for_direct_current(shelf):
    demand, case = sized(shelf, load("pump", current="dc"))
    assert (demand.idle_w, demand.inverter_efficiency, demand.idle_energy_wh, demand.running_w) == (None, None, 0.0, 0.0)
    assert not {"idle_w", "inverter_efficiency", "power_factor"} & set(assumed(case))


def test_a_load_of_shore_takes_nothing_from_bank_or_inverter(shelf):
    alone, _ = sized(shelf, load("lamp"))
    both, _ = sized(shelf, load("lamp"), load("heater", 1500.0, 8.0, shore_only=True))
    assert both.month_energy_wh == alone.month_energy_wh
    assert (both.running_w, both.surge_va, both.bank_running_w) == (alone.running_w, alone.surge_va, alone.bank_running_w)
    assert (both.shore_w, both.shore_va) == (1500.0, 1500.0)
    assert not both.loads[1].on_bank


def test_the_house_may_rule_an_efficiency(shelf):
    case = shelf.case(house_rules={"inverter_efficiency": 0.8})
    demand = size_demand(Request((load("lamp", 80.0, 1.0),), 12.0, idle_w=0.0, wiring_efficiency=1.0), case)
    assert demand.day_energy_wh == pytest.approx(100.0)
    assert "inverter_efficiency" not in assumed(case)


@pytest.mark.parametrize(("nature", "factor"), [(None, 0.9), ("resistive", 1.0), ("motor", 0.7), ("electronic", 0.55)])
def test_the_power_factor_follows_the_nature(shelf, nature, factor):
    demand, case = sized(shelf, load("it", 63.0, power_factor=None, nature=nature))
    assert demand.running_va == pytest.approx(63.0 / factor)
    assert factor in assumed(case).values()


def test_a_current_without_power_factor_counts_as_power(shelf):
    demand, case = sized(shelf, Load("it", "ac", ByCurrent(5.0, 120.0), EveryDay(1.0), start=NoStart()))
    assert (demand.running_w, demand.running_va) == (600.0, 600.0)
    assert assumed(case)["power_factor_by_current"] == 1.0


@pytest.mark.parametrize(
    ("more", "multiple", "said"),
    [
        (dict(start=None), 5.0, ["start-not-given"]),
        (dict(start=None, nature="motor"), 5.0, ["start-not-given"]),
        (dict(start=None, nature="resistive"), 1.0, []),
        (dict(start=None, nature="electronic"), 1.0, []),
        (dict(start=StartKind("split-phase")), 7.0, []),
        (dict(start=StartMultiple(2.5)), 2.5, []),
        (dict(start=MeasuredStart(700.0)), 7.0, []),
        (dict(start=LockedRotor(10.0, 120.0)), 12.0, []),
        (dict(start=LockedRotor(10.0, 120.0, SoftStart(0.35))), 4.2, []),
        (dict(start=CodeLetter("G", 0.5)), 31.45, []),
    ],
)
def test_starts(shelf, more, multiple, said):
    demand, case = sized(shelf, load("it", 100.0, **more))
    assert demand.loads[0].start_va == pytest.approx(100.0 * multiple)
    assert demand.surge_va == pytest.approx(100.0 * multiple)
    assert [code for code in codes(case) if code == "start-not-given"] == said


def test_a_microwave_draws_more_than_its_label_says(shelf):
    demand, case = sized(shelf, Load("oven", "ac", ByCookingPower(700.0), EveryDay(0.5)))
    assert demand.running_w == 1400.0
    assert demand.loads[0].start_va == pytest.approx(2 * 1400.0 / 0.9)
    assert assumed(case)["cooking_efficiency"] == 0.5


def test_a_start_weaker_than_the_running_load_adds_nothing(shelf):
    demand, _ = sized(shelf, load("it", 1000.0, start=MeasuredStart(600.0)))
    assert (demand.surge_va, demand.restart_va, demand.start) == (1000.0, 1000.0, None)


def test_many_unknown_starts_are_one_finding(shelf):
    _, case = sized(shelf, *[load(f"load-{at}", start=None) for at in range(14)])
    (said,) = [finding for finding in case.findings if finding.code == "start-not-given"]
    assert "load-9 and 4 more" in said.message
    assert sum(said.name == "start_multiple" for said in case.assumptions) == 1


@pytest.mark.parametrize(("system", "voltage", "needed"), [(12.0, 13.8, False), (24.0, 12.0, True), (48.0, 24.0, True), (24.0, 28.0, False), (12.0, 24.0, True)])
def test_another_voltage_needs_a_converter(shelf, system, voltage, needed):
    demand, case = sized(shelf, load("it", current="dc", voltage_v=voltage), voltage=system)
    assert demand.loads[0].converter is needed
    assert ("converter-needed" in codes(case)) is needed
    assert ("converter_efficiency" in assumed(case)) is needed


def test_the_inverter_is_on_as_long_as_its_loads_need_it(shelf):
    demand, case = sized(shelf, load("refrigerator", hours=20.0), load("lamp", hours=2.0), idle_w=10.0, idle_hours=4.0)
    assert (demand.idle_hours, demand.idle_energy_wh) == (20.0, 200.0)
    assert "inverter-hours-short" in codes(case)


def test_standby_keeps_the_inverter_on(shelf):
    demand, _ = sized(shelf, load("television", hours=3.0, standby=Standby(2.0)), idle_w=10.0, idle_hours=4.0)
    assert demand.idle_hours == 24.0


def test_standby_ends_with_the_day(shelf):
    demand, case = sized(shelf, load("it", 10.0, 20.0, "dc", duty=1.0, standby=Standby(1.0, 9.0)), wiring_efficiency=1.0)
    assert demand.day_energy_wh == 204.0
    assert codes(case) == ["standby-cut"]


def test_seasons_are_said(shelf):
    fan = Load("fan", "dc", ByPower(10.0), BySeason(5.0, 1.0), start=NoStart())
    _, silent = sized(shelf, fan)
    _, placed = sized(shelf, fan, latitude_deg=40.0)
    assert [said.text for said in silent.assumptions if said.name == "hemisphere"] == ["northern"]
    assert "hemisphere" not in assumed(placed)


def test_what_dominates_and_what_it_would_save(shelf):
    demand, case = sized(
        shelf, load("heater", 1500.0, 2.0, nature="resistive", duty=1.0), load("lamp", 10.0, 5.0, "dc", duty=1.0), growth_factor=1.2,
        wiring_efficiency=1.0, inverter_efficiency=0.9, idle_w=0.0)
    assert demand.dominant.id == "heater"
    assert demand.dominant.saved_without_wh == pytest.approx(1.2 * 3000.0 / 0.9)
    assert demand.dominant.saved_halved_wh == pytest.approx(0.6 * 3000.0 / 0.9)
    assert demand.day_energy_wh == pytest.approx(1.2 * (3000.0 / 0.9 + 50.0))
    assert "heating-from-bank" in codes(case)


def test_critical_loads_are_kept_apart(shelf):
    demand, case = sized(
        shelf, load("detector", 2.0, 24.0, "dc", critical=True, duty=1.0), load("concentrator", 300.0, 8.0, critical=True, duty=1.0),
        load("bilge-pump", 60.0, 1.0, critical=True, shore_only=True), wiring_efficiency=1.0, inverter_efficiency=0.8)
    assert demand.critical == ("detector", "concentrator", "bilge-pump")
    assert demand.critical_energy_wh == pytest.approx(48.0 + 3000.0)
    said = {finding.code: finding.severity for finding in case.findings}
    assert said["critical-on-inverter"] == "caution"
    assert said["critical-on-shore-only"] == "unsafe"


def test_an_idle_inverter_that_takes_more_than_its_loads_is_said(shelf):
    _, case = sized(shelf, load("charger", 20.0, 1.0), idle_w=20.0)
    assert "idle-exceeds-loads" in codes(case)


def test_the_starting_load_is_one_that_can_run_with_the_decisive_group(shelf):
    demand, _ = sized(
        shelf, load("fan", 50.0), load("pump", 500.0, start=StartMultiple(4.0), group="garden"),
        load("saw", 2000.0, start=StartMultiple(1.75), group="workshop"))
    # Both starts add 1500 VA; with the saw's group 3550 VA stand against 2050.
    assert (demand.surge_va, demand.start.id) == (3550.0, "saw")
    assert demand.restart_va == 3550.0


def test_cost_grows_with_the_loads_and_not_with_their_square(shelf):
    """Operands of every formula are counted; half of the loads are groups of one, which could have multiplied."""
    counts = []
    for number in (50, 100):
        case = shelf.case(traced=True)
        loads = [
            AcLoad(
                id=f"load-{at}", use=EveryDayUse(1.0), draw=PowerDraw(Power(10.0, "W")), start=MultipleStart(3.0),
                group=f"group-{at}" if at % 2 else None,
            )
            for at in range(number)
        ]
        door = Door(traced=True)
        demand = size_demand(
            Request(read_loads(loads, door, "/loads"), door.number(12.0, "nominal_voltage_v", "", "system_voltage")), case)
        counts.append(sum(len(trace.operands_of(item)) for item in trace.behind([demand.surge_va, demand.bank_running_w, demand.day_energy_wh])))
    assert counts[1] < 2.2 * counts[0]
