"""Decisions about a run: what it ends by, what cannot run and why, what is said."""

from __future__ import annotations

import pytest
from electrical.runtime.asking import bank, codes, load, run

from ohmstead.electrical.held.model import ByUnits, HeldRequest
from ohmstead.electrical.runtime.model import Always, ByEfficiency, ByRating, ByTheClock, HoursADay, Inverter, RuntimeRequest


def test_loads_beyond_the_management_system_are_an_outcome():
    """200 A at 10.5 V is the limit of the unit: 2100 W less the wiring."""
    at, beyond = (
        run(RuntimeRequest(bank(current_a=200.0), (load(power),), wiring_efficiency=1.0, cut_off_v=10.5))[0] for power in (2100.0, 2101.0))
    assert at.outcome == "runs-out"
    assert (beyond.outcome, beyond.failed.rule.name, beyond.new) == ("cannot-run", "bank-gives-current", None)
    assert "200.1 A" in beyond.why and "200 A" in beyond.why


def test_a_recalled_limit_that_decides_is_said():
    """Nobody stated the current of the unit; 1 C is known from memory only."""
    found, case = run(RuntimeRequest(bank(current_a=None), (load(3000.0),)))
    assert found.outcome == "cannot-run" and {"recalled-value-decides", "unit-rating-assumed"} <= codes(case)
    stated, case = run(RuntimeRequest(bank(current_a=100.0), (load(3000.0),)))
    assert stated.outcome == "cannot-run" and not {"recalled-value-decides", "unit-rating-assumed"} & codes(case)


def test_lead_acid_is_not_stopped_at_its_usual_rate():
    """20 A are usual for 100 Ah, 100 A is the most; in between it runs and is told so."""
    usual, case = run(RuntimeRequest(bank("flooded", 100.0, current_a=None), (load(150.0),)))
    assert usual.outcome == "runs-out" and "discharge-rate-high" not in codes(case)
    fast, case = run(RuntimeRequest(bank("flooded", 100.0, current_a=None), (load(600.0),)))
    assert fast.outcome == "runs-out" and "discharge-rate-high" in codes(case)
    assert run(RuntimeRequest(bank("flooded", 100.0, current_a=None), (load(1100.0),)))[0].failed.rule.name == "bank-gives-current"


def test_loads_beyond_the_inverter_are_an_outcome():
    inverter = Inverter(ByRating(1000.0))
    together = (load(600.0, "ac", ByTheClock(8.0, 4.0)), load(500.0, "ac", ByTheClock(10.0, 4.0)))
    assert run(RuntimeRequest(bank(), together, inverter=inverter))[0].failed.rule.name == "inverter-carries-loads"
    apart = (load(600.0, "ac", ByTheClock(8.0, 2.0)), load(500.0, "ac", ByTheClock(10.0, 4.0)))
    assert run(RuntimeRequest(bank(), apart, inverter=inverter))[0].outcome == "runs-out"


@pytest.mark.parametrize(("temperature", "name"), [(-20.5, "discharge-temperature"), (60.5, "discharge-temperature"), (-19.0, None)])
def test_out_of_the_temperatures_nothing_runs(temperature, name):
    found, _ = run(RuntimeRequest(bank(temperature_c=temperature), (load(),)))
    assert (found.failed.rule.name if found.failed else None) == name
    assert (found.outcome == "cannot-run") is (name is not None)


def test_a_unit_that_makes_no_bank():
    found, _ = run(RuntimeRequest(HeldRequest("agm", 12.0, ByUnits(8.0, 100.0, 1.0)), (load(),)))
    assert found.outcome == "cannot-run" and found.why == "No number of 8 V units makes a 12 V bank." and found.sections == ()


def test_a_heavy_load_meets_the_cut_off_before_the_depth():
    """0.02 ohm of cable and 100 A on 11.8 V: the rested bank has to hold 13.8 V, more than a full one."""
    never, case = run(RuntimeRequest(bank("agm"), (load(1180.0),), cut_off_v=11.8, path_resistance_ohm=0.02, wiring_efficiency=1.0))
    assert (never.outcome, never.failed.rule.name) == ("cannot-run", "voltage-under-load") and "recalled-value-decides" in codes(case)
    early, case = run(RuntimeRequest(bank("agm"), (load(400.0),), cut_off_v=11.8, path_resistance_ohm=0.015, wiring_efficiency=1.0))
    assert early.new.ended_by == "cut-off" and "cut-off-before-depth" in codes(case)
    late, case = run(RuntimeRequest(bank("agm"), (load(400.0),), cut_off_v=10.5, wiring_efficiency=1.0))
    assert late.new.ended_by == "depth-of-discharge" and "cut-off-before-depth" not in codes(case)
    assert early.new.run_hours.expected < late.new.run_hours.expected


def test_charging_that_keeps_up_has_no_end():
    for power, outcome in ((99.0, "runs-out"), (100.0, "never-empty"), (130.0, "never-empty")):
        found, _ = run(RuntimeRequest(bank(), (load(97.0),), charging_power_w=power, wiring_efficiency=0.97))
        assert found.outcome == outcome, power
    assert found.new.run_hours.expected is None and found.new.ended_by == "nothing"


def test_a_night_load_beyond_the_bank_ends_it_although_the_day_brings_enough():
    """Full at dusk, 2560 Wh: 300 W for 10 h are 3000 Wh, and 200 W all day bring 4800."""
    found, _ = run(RuntimeRequest(
        bank(), (load(300.0, use=ByTheClock(20.0, 10.0)),), charging_power_w=20.0, depth_of_discharge=1.0, discharge_efficiency=1.0,
        wiring_efficiency=1.0, cut_off_v=6.0, start_hour_h=20.0))
    assert found.new.run_hours.expected == pytest.approx(2560 / 280)
    kept, _ = run(RuntimeRequest(
        bank(), (load(300.0, use=ByTheClock(20.0, 8.0)),), charging_power_w=200.0, depth_of_discharge=1.0, wiring_efficiency=1.0, start_hour_h=20.0))
    assert kept.outcome == "never-empty"


def test_state_of_charge_at_the_start_and_nothing_left():
    full, half = (
        run(RuntimeRequest(bank(), (load(),), state_of_charge=state, depth_of_discharge=0.8))[0].new for state in (1.0, 0.6))
    assert half.usable_ah == pytest.approx(full.usable_ah / 2)
    empty, _ = run(RuntimeRequest(bank(), (load(),), state_of_charge=0.1, depth_of_discharge=0.8))
    assert empty.new.run_hours.expected == 0.0


def test_both_conventions_of_ageing_are_shown():
    """The larger-of convention counts on min(0.7, 0.8), the product on 0.56."""
    default, case = run(RuntimeRequest(bank(), (load(),), depth_of_discharge=0.7, ageing_factor=0.8, cut_off_v=6.0))
    assert (default.aged.convention, default.aged_other.convention) == ("larger-of", "product")
    assert default.aged.usable_ah == pytest.approx(default.new.usable_ah)
    assert default.aged_other.usable_ah == pytest.approx(default.new.usable_ah * 0.8)
    assert "ageing_convention" in {said.name for said in case.assumptions}
    asked, case = run(RuntimeRequest(bank(), (load(),), ageing_convention="product"))
    assert asked.aged.convention == "product" and "ageing_convention" not in {said.name for said in case.assumptions}


def test_what_is_given_makes_no_band():
    given, _ = run(RuntimeRequest(
        bank(), (load(kind="ac"),), inverter=Inverter(ByEfficiency(0.9), 10.0), discharge_efficiency=0.97, cut_off_v=6.0))
    assert [part.name for part in given.band] == ["resistance of the bank"]
    spread = given.new.run_hours
    assert spread.low == spread.expected == spread.high
    guessed, _ = run(RuntimeRequest(bank(), (load(kind="ac"),)))
    assert {part.name for part in guessed.band} == {"resistance of the bank", "discharge efficiency", "inverter efficiency"}
    assert guessed.new.run_hours.low < guessed.new.run_hours.expected < guessed.new.run_hours.high


def test_the_inverter_by_its_rating():
    """2000 W at 0.85 with 25 W idle: 25 + 1000 (1.04 + b 1000), b = (1/0.85 - 1.04)/2000 - 25/2000**2."""
    found, _ = run(RuntimeRequest(bank(), (load(1000.0, "ac"),), inverter=Inverter(ByRating(2000.0, 0.85), 25.0), wiring_efficiency=1.0))
    square = (1 / 0.85 - 1.04) / 2000 - 25 / 2000**2
    assert found.sections[0].section_w == pytest.approx(25 + 1000 * (1.04 + square * 1000))
    full, _ = run(RuntimeRequest(bank(), (load(2000.0, "ac"),), inverter=Inverter(ByRating(2000.0, 0.85), 25.0), wiring_efficiency=1.0))
    assert full.sections[0].section_w == pytest.approx(2000 / 0.85)


def test_an_inverter_switched_off_between_loads_does_not_idle():
    loads = (load(100.0, "ac", ByTheClock(18.0, 2.0)),)
    always, sometimes = (
        run(RuntimeRequest(bank(), loads, inverter=Inverter(ByEfficiency(1.0), 24.0, on), wiring_efficiency=1.0))[0] for on in (True, False))
    assert always.day_w == pytest.approx(24 + 200 / 24) and sometimes.day_w == pytest.approx(2 + 200 / 24)


def test_sections_pass_midnight_and_begin_where_the_run_begins():
    found, case = run(RuntimeRequest(
        bank(), (load(50.0, use=ByTheClock(22.0, 4.0)), load(10.0, use=Always()), load(24.0, use=HoursADay(6.0))), start_hour_h=23.0,
        wiring_efficiency=1.0))
    assert [(section.from_h, section.to_h, round(section.section_w, 9)) for section in found.sections] == [
        (0.0, 3.0, 66.0), (3.0, 23.0, 16.0), (23.0, 24.0, 66.0)]
    assert "start_hour" not in {said.name for said in case.assumptions}


def test_a_month_and_more_says_that_self_discharge_is_not_counted():
    for power, said in ((4.0, False), (2.0, True)):
        found, case = run(RuntimeRequest(bank(), (load(power),)))
        assert ("self-discharge-not-counted" in codes(case)) is said is (found.new.run_hours.expected > 720)


def test_one_string_less():
    _, case = run(RuntimeRequest(bank(parallel=2.0, current_a=100.0), (load(1200.0),)))
    assert "one-string-gone-overload" in codes(case)
    _, case = run(RuntimeRequest(bank(parallel=2.0, current_a=100.0), (load(900.0),)))
    assert "one-string-gone-overload" not in codes(case)


def test_nothing_draws_on_it():
    found, _ = run(RuntimeRequest(bank(), ()))
    assert found.outcome == "never-empty" and found.day_w == 0.0
