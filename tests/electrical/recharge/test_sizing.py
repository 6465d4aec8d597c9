"""Decisions about a charge: what holds it, what never comes to an end and why, what is said."""

from __future__ import annotations

import pytest
from electrical.recharge.asking import charge, hours, shore
from electrical.runtime.asking import bank, codes

from ohmstead.electrical.recharge.model import Array, DcDc, RechargeRequest, Steady
from ohmstead.electrical.runtime.model import ByEfficiency, ByTheClock, Inverter


def test_loads_that_eat_the_charger():
    found, _ = charge(RechargeRequest(bank(), (shore(10.0),), 0.5, dc_loads_w=142.0))
    assert (found.outcome, found.failed, found.start_a, found.reached_state) == ("not-reached", None, 0.0, 0.5)
    more, _ = charge(RechargeRequest(bank(), (shore(10.0),), 0.5, dc_loads_w=200.0))
    assert (more.outcome, more.failed.rule.name) == ("not-reached", "supplies-carry-loads")
    assert more.why == "The loads take all that the supplies bring." and hours(more) == (float("inf"),) * 3


def test_no_supply():
    found, _ = charge(RechargeRequest(bank(), (), 0.5))
    assert found.outcome == "not-reached" and found.why == "There is no supply."


def test_reached_already():
    found, _ = charge(RechargeRequest(bank(), (shore(),), 0.8, target_state=0.7))
    assert found.outcome == "reached-already" and hours(found) == (0.0, 0.0, 0.0)


def test_the_bank_holds_the_chargers_back():
    """Two chargers bring 120 A to a unit that takes 100 A."""
    request = RechargeRequest(bank(charge_current_a=100.0), (shore(80.0), DcDc(id="engine", dc_dc_output_a=40.0)), 0.2, target_state=0.7)
    found, case = charge(request)
    assert (found.held_by, found.start_a, found.limit_a) == ("bank-limit", 100.0, 100.0) and "charging-held-back" in codes(case)
    assert hours(found)[1] == pytest.approx(100 / (100 * 0.99))
    assert not next(check for check in found.checks if check.rule.name == "charge-within-bank-limit").passed


def test_lead_acid_takes_no_more_than_it_accepts():
    """A quarter of the capacity for flooded, whatever the maker permits."""
    found, _ = charge(RechargeRequest(bank("flooded", charge_current_a=200.0), (shore(90.0),), 0.2, target_state=0.4))
    assert (found.held_by, found.start_a) == ("acceptance", 50.0)


@pytest.mark.parametrize(("temperature", "limit", "holds"), [(4.9, 20.0, "cold"), (5.0, 100.0, "bank-limit"), (20.0, 100.0, "bank-limit")])
def test_lithium_near_freezing(temperature, limit, holds):
    found, case = charge(RechargeRequest(bank(temperature_c=temperature, charge_current_a=100.0), (shore(150.0),), 0.2))
    assert (found.limit_a, found.held_by) == (limit, holds) and ("cold-charging-limited" in codes(case)) is (holds == "cold")


@pytest.mark.parametrize(("chemistry", "temperature", "name"), [
    ("lfp", -0.1, "charge-temperature-low"), ("lfp", 45.1, "charge-temperature-high"), ("agm", -21.0, "charge-temperature-low"), ("agm", -5.0, None)])
def test_out_of_the_temperatures_nothing_is_charged(chemistry, temperature, name):
    found, case = charge(RechargeRequest(bank(chemistry, temperature_c=temperature), (shore(),), 0.5))
    assert (found.failed.rule.name if found.failed else None) == name
    assert (found.outcome == "forbidden") is ("charging-forbidden" in codes(case)) is (name is not None)


def test_voltage_too_low_stops_where_absorption_would_begin_and_another_goes_on():
    """13.5 V fill flooded to 0.8; with a second charger of the right voltage the bank gets full."""
    low = shore(20.0, charger_v=13.5)
    alone, case = charge(RechargeRequest(bank("flooded", 100.0, charge_current_a=25.0), (low,), 0.5))
    assert (alone.outcome, alone.reached_state, alone.supplies[0].never_fills) == ("not-reached", pytest.approx(0.8), True)
    assert alone.failed.rule.name == "charger-reaches-absorption" and "charger-never-fills" in codes(case)
    both, _ = charge(RechargeRequest(
        bank("flooded", 100.0, charge_current_a=25.0), (low, Steady(id="cell", charging_power_w=73.5)), 0.5))
    assert both.outcome == "reached"
    # 20 + 5 A up to 0.8 at 0.85, then 5 A: two rates in the legs.
    assert [round(leg.current_a, 6) for leg in both.legs if leg.phase == "bulk"] == [25.0, 5.0]
    near, _ = charge(RechargeRequest(bank("flooded", 100.0, charge_current_a=25.0), (low,), 0.5, target_state=0.8))
    assert near.outcome == "reached"


def test_a_charger_at_its_voltage_holds_the_bank_there():
    """20 A of 13.5 V carry 5 A of loads; at 0.8 the bank stays and is not emptied."""
    found, _ = charge(RechargeRequest(bank("flooded", 100.0), (shore(20.0, charger_v=13.5),), 0.7, dc_loads_w=73.5))
    assert found.legs[-1].phase == "waiting" and found.legs[-1].current_a == 0.0 and found.legs[-1].state_of_charge == pytest.approx(0.8)


def test_a_voltage_beyond_the_bank_is_unsafe():
    found, case = charge(RechargeRequest(bank("gel"), (shore(charger_v=14.5),), 0.5))
    assert "charger-overcharges" in codes(case) and found.outcome == "reached"
    assert next(finding for finding in case.findings if finding.code == "charger-overcharges").severity == "unsafe"
    _, case = charge(RechargeRequest(bank("gel"), (shore(charger_v=14.4),), 0.5))
    assert "charger-overcharges" not in codes(case)


def test_too_weak_to_hold_lead_acid_on_absorption():
    """Two percent of 200 Ah are 4 A; a maintainer of 3 A never fills the bank, and reaches 0.9."""
    found, case = charge(RechargeRequest(bank("flooded"), (shore(3.0),), 0.5))
    assert (found.outcome, found.failed.rule.name) == ("not-reached", "current-holds-absorption")
    assert "charge-below-floor-of-bank" in codes(case)
    assert charge(RechargeRequest(bank("flooded"), (shore(3.0),), 0.5, target_state=0.9))[0].outcome == "reached"
    assert charge(RechargeRequest(bank("flooded"), (shore(4.0),), 0.5))[0].outcome == "reached"


def test_behind_a_shore_limit_the_charger_gives_way_to_loads():
    """1440 W less 600 W at 0.88 and 0.95 on 14.2 V."""
    supply = shore(60.0, input_limit_w=1440.0)
    found, case = charge(RechargeRequest(bank(), (supply,), 0.2, ac_loads_w=600.0))
    assert found.start_a == pytest.approx(840 * 0.88 * 0.95 / 14.2) and "supply-beyond-input" in codes(case)
    # More than the limit: the inverter adds the rest from the bank.
    beyond, _ = charge(RechargeRequest(
        bank(), (supply,), 0.2, ac_loads_w=1640.0, inverter=Inverter(ByEfficiency(0.8), 0.0)))
    assert beyond.start_a == pytest.approx(-250 / 14.2) and beyond.outcome == "not-reached"


def test_the_strongest_supply_carries_the_alternating_loads():
    """Behind 3000 W there is room for both, behind 800 W there is not."""
    weak = shore(20.0, input_limit_w=400.0)
    strong = shore(30.0, input_limit_w=3000.0)
    found, _ = charge(RechargeRequest(bank(), (weak, strong), 0.2, ac_loads_w=600.0))
    assert found.start_a == pytest.approx(50.0)


def test_an_alternator_carries_what_is_left_of_it_when_hot():
    """100 A: 75 A hot, half of it at 12.3 V and 0.92."""
    found, _ = charge(RechargeRequest(bank(), (DcDc(id="engine", dc_dc_output_a=60.0, alternator_rating_a=100.0),), 0.2))
    assert found.supplies[0].current_a == pytest.approx(37.5 * 12.3 * 0.92 / 14.2)


def test_the_sun_by_day_and_the_engine_in_the_morning():
    """400 W by 0.5 for four hours around noon bring 14.08 A on 14.2 V; the hours count the night."""
    array = Array(id="roof", array_nameplate_w=400.0, peak_sun_hours=4.0, array_share=0.5)
    found, _ = charge(RechargeRequest(bank(capacity_ah=100.0), (array,), 0.5, target_state=0.9, start_hour_h=10.0))
    a_day = 4 * 200 / 14.2 * 0.99
    assert a_day > 40 and hours(found)[1] == pytest.approx(40 / (200 / 14.2 * 0.99))
    longer, _ = charge(RechargeRequest(bank(capacity_ah=200.0), (array,), 0.5, target_state=0.9, start_hour_h=10.0))
    assert hours(longer)[1] == pytest.approx(24 + (80 - a_day) / (200 / 14.2 * 0.99))
    assert longer.supplies[0].present_hours == pytest.approx(80 / (200 / 14.2 * 0.99))


def test_days_that_end_where_they_began_are_said():
    """Two hours of 20 A by day against 50 W around the clock."""
    found, case = charge(RechargeRequest(
        bank(), (shore(20.0, present=ByTheClock(10.0, 2.0)),), 0.5, dc_loads_w=50.0, start_hour_h=10.0))
    assert found.outcome == "not-reached" and 0.5 < found.reached_state < 0.7 and hours(found)[1] == float("inf")
    assert "empties-in-between" not in codes(case)
    _, case = charge(RechargeRequest(bank(), (shore(20.0, present=ByTheClock(10.0, 2.0)),), 0.1, dc_loads_w=50.0, start_hour_h=18.0))
    assert "empties-in-between" in codes(case)


def test_fuel_and_hours_of_a_generator():
    found, _ = charge(RechargeRequest(
        bank(), (shore(50.0, generator=True, fuel_l_per_h=0.8, present=ByTheClock(8.0, 1.0)),), 0.5, target_state=0.9, start_hour_h=8.0))
    assert found.supplies[0].present_hours == pytest.approx(80 / (50 * 0.99))
    assert found.supplies[0].fuel_l == pytest.approx(0.8 * 80 / (50 * 0.99)) and hours(found)[1] == pytest.approx(24 + 80 / (50 * 0.99) - 1)


def test_the_measured_charge_over_its_course():
    """The tail of the measured charge: 22.2 A at one hour, 10.9 A and 7.2 Ah missing at two; within a tenth."""
    held = bank("flooded", 160.0, charge_current_a=60.0)
    after, _ = charge(RechargeRequest(held, (shore(45.0),), 1 - 20.6 / 160, target_state=1 - 7.2 / 160))
    assert hours(after)[1] == pytest.approx(1.0, rel=0.1)
    # The whole of it from half an hour before: 29.6 A and some 28 Ah missing until nothing is, in 2.85 to 3.2 h.
    low, expected, high = hours(charge(RechargeRequest(held, (shore(45.0),), 1 - 28 / 160))[0])
    assert low < 3.2 and expected < high and 2.3 < expected < 3.2
