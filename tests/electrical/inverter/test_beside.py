"""Beside the rating: wave form, idle draw, system voltage, two legs."""

import pytest

from ohmstead.electrical.inverter.model import Bank, Motor, Request, SecondLeg, Unit
from ohmstead.electrical.inverter.sizing import size_inverter
from ohmstead.electrical.loads.model import NoStart
from ohmstead.reference.case import Shelf

COOL = dict(inverter_temperature_c=25.0, altitude_m=0.0, power_factor=1.0, sizing_margin=1.0, inverter_efficiency=0.8)


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def sized(shelf, running=1000.0, voltage=12.0, **more):
    case = shelf.case()
    return size_inverter(Request(running, voltage, **{**COOL, **more}), case), case


def codes(case):
    return {finding.code for finding in case.findings}


def unit(wave, watts=3000.0):
    return Unit(watts, watts, 2 * watts, 20.0, wave=wave)


WAVES = {"modified-sine-motor", "modified-sine-electronics", "modified-sine-medical", "wave-form-not-given"}


@pytest.mark.parametrize(("wave", "feeds", "said"), [
    ("sine", ("motor", "electronic", "medical"), set()),
    ("modified-sine", ("resistive",), set()),
    ("modified-sine", (), set()),
    ("modified-sine", ("motor",), {"modified-sine-motor"}),
    ("modified-sine", ("electronic", "resistive"), {"modified-sine-electronics"}),
    ("modified-sine", ("medical", "motor"), {"modified-sine-medical", "modified-sine-motor"}),
    (None, ("electronic",), {"wave-form-not-given"}),
    (None, ("resistive",), set()),
])
def test_a_wave_form_against_what_it_feeds(shelf, wave, feeds, said):
    _, case = sized(shelf, unit=unit(wave), feeds=feeds)
    assert codes(case) & WAVES == said


def test_medical_on_a_modified_sine_is_unsafe(shelf):
    _, case = sized(shelf, unit=unit("modified-sine"), feeds=("medical",))
    assert [finding.severity for finding in case.findings if finding.code == "modified-sine-medical"] == ["unsafe"]


def test_motors_on_a_modified_sine_count_for_more(shelf):
    """1000 W with a motor among them count as 1300, watts and volt-amperes; heaters stay as they are."""
    with_motor, _ = sized(shelf, unit=unit("modified-sine"), feeds=("motor",))
    assert (with_motor.continuous_needed_w, with_motor.apparent_needed_va, with_motor.surge_needed_va) == (1300.0, 1300.0, 1300.0)
    by_name, _ = sized(shelf, unit=unit("modified-sine"), motor=Motor(500.0, NoStart(), 1.0))
    assert by_name.continuous_needed_w == 1300.0
    heaters, _ = sized(shelf, unit=unit("modified-sine"), feeds=("resistive", "electronic"))
    assert heaters.continuous_needed_w == 1000.0
    sine, _ = sized(shelf, unit=unit("sine"), feeds=("motor",))
    assert sine.continuous_needed_w == 1000.0


def test_a_generic_inverter_counts_as_one_with_a_sine(shelf):
    _, case = sized(shelf, feeds=("motor", "medical"))
    assert not codes(case) & WAVES
    assert {said.name: said.text for said in case.assumptions}["wave_form"] == "sine"


def test_idling_all_day_by_the_printed_example(shelf):
    """checks/storage.csv I07: 40 W all day are 960 Wh, 48 % of a bank of 2000 Wh."""
    found, case = sized(shelf, unit=Unit(3000.0, 3000.0, 6000.0, 40.0), bank=Bank(500.0, usable_wh=2000.0))
    assert (found.rating.idle_energy_wh, found.idle_share) == pytest.approx((960.0, 0.48))
    (finding,) = [finding for finding in case.findings if finding.code == "idle-takes-bank"]
    assert "48%" in finding.message


def test_fewer_hours_idle_less(shelf):
    found, case = sized(shelf, unit=Unit(3000.0, 3000.0, 6000.0, 40.0), bank=Bank(500.0, usable_wh=2000.0), idle_hours=5.0)
    assert (found.rating.idle_energy_wh, found.idle_share) == pytest.approx((200.0, 0.1))
    assert "idle-takes-bank" not in codes(case)


@pytest.mark.parametrize(("rating", "voltage", "cut_off", "advised", "current"), [
    (2000.0, 12.0, 10.5, 12.0, 2000 / 0.8 / 10.5),  # 238 A: usual on 12 V, both in watts and in amperes
    (2000.0, 12.0, 10.0, 12.0, 250.0),  # exactly at the edge
    (2000.0, 12.0, 9.9, 24.0, 2000 / 0.8 / 19.8),  # too much current
    (2001.0, 12.0, 12.0, 24.0, 2001 / 0.8 / 24),  # too many watts
    (4200.0, 24.0, 21.0, 48.0, 4200 / 0.8 / 42),
    (20000.0, 48.0, 42.0, 48.0, 20000 / 0.8 / 42),  # nothing is higher
    (500.0, 48.0, 42.0, 12.0, 500 / 0.8 / 10.5),
])
def test_the_lowest_voltage_that_is_usual_for_such_a_power(shelf, rating, voltage, cut_off, advised, current):
    found, _ = sized(shelf, 100.0, voltage, unit=Unit(rating, rating, 2 * rating, 20.0), cut_off_v=cut_off)
    assert found.advice.voltage_v == advised
    assert found.advice.current_a == pytest.approx(current)


def test_the_heavier_leg_and_half_of_what_hangs_between(shelf):
    """2000 W and 1500 W, 1000 W between: each inverter is made for 2500 W, the bank gives 4500."""
    found, case = sized(shelf, 2000.0, 48.0, second_leg=SecondLeg(1500.0, between_w=1000.0), cut_off_v=45.0)
    assert (found.continuous_needed_w, found.apparent_needed_va, found.surge_needed_va) == (2500.0, 2500.0, 2500.0)
    assert (found.legs.heavier, found.legs.units, found.legs.running_w) == ("first", 2.0, 4500.0)
    assert found.rating.inverter_rating_w == 3000.0
    assert found.bank_running_a == pytest.approx(4500 / 0.8 / 45)
    assert {"inverters-on-two-legs", "legs-uneven"} <= codes(case)


def test_equal_legs_are_not_uneven(shelf):
    found, case = sized(shelf, 1500.0, 48.0, second_leg=SecondLeg(1500.0))
    assert found.legs.heavier == "first"
    assert "legs-uneven" not in codes(case)


def test_the_second_leg_can_decide(shelf):
    found, _ = sized(shelf, 500.0, 48.0, second_leg=SecondLeg(1500.0, running_va=1800.0, surge_va=3900.0))
    assert (found.legs.heavier, found.continuous_needed_w, found.apparent_needed_va, found.surge_needed_va) == ("second", 1500.0, 1800.0, 3900.0)


@pytest.mark.parametrize(("leg", "surge", "total"), [
    (SecondLeg(1500.0, between_w=1000.0), 2500.0, 4500.0),
    (SecondLeg(1500.0, surge_va=4000.0, between_w=1000.0), 4500.0, 7000.0),  # a start on the second leg: 2500 more
    (SecondLeg(1500.0, between_w=1000.0, between_surge_va=6000.0), 5000.0, 9500.0),  # 2000 on the first leg and half of 6000
    (SecondLeg(1500.0, surge_va=4000.0, between_w=1000.0, between_surge_va=3000.0), 4500.0, 7000.0),  # one start at a time
])
def test_one_start_at_a_time_on_two_legs(shelf, leg, surge, total):
    found, _ = sized(shelf, 2000.0, 48.0, second_leg=leg, cut_off_v=45.0)
    assert found.surge_needed_va == surge
    assert (found.rating or found.nearest).surge_current_a == pytest.approx(total / 0.8 / 45)


def test_more_than_one_on_each_leg(shelf):
    """30 kW a leg: three of the largest 10 kW on each, six altogether."""
    found, case = sized(shelf, 30000.0, 48.0, second_leg=SecondLeg(10000.0))
    assert (found.outcome, found.stacked, found.legs.units) == ("nothing-fits", 3.0, 6.0)
    assert "inverters-on-two-legs" not in codes(case)


def test_a_named_one_that_fails_has_no_number_of_units(shelf):
    found, _ = sized(shelf, 5000.0, 48.0, second_leg=SecondLeg(1000.0), unit=unit("sine"))
    assert (found.outcome, found.legs.units) == ("nothing-fits", None)


@pytest.mark.parametrize("more", [{"running_va": 800.0}, {"between_w": 500.0, "between_va": 400.0}])
def test_apparent_below_real_power_is_said_on_the_second_leg_too(shelf, more):
    found, case = sized(shelf, 500.0, 48.0, second_leg=SecondLeg(1000.0, **more))
    assert [finding.pointer for finding in case.findings if finding.code == "apparent-below-real"] == [
        "/second_leg/between_apparent" if "between_va" in more else "/second_leg/running_apparent"]
    assert found.apparent_needed_va == found.continuous_needed_w


def test_one_leg_has_no_legs(shelf):
    found, case = sized(shelf)
    assert found.legs is None and "inverters-on-two-legs" not in codes(case)


def test_where_heat_leaves_nothing_nothing_is_judged(shelf):
    found, _ = sized(shelf, inverter_temperature_c=130.0, second_leg=SecondLeg(100.0), bank=Bank(10.0))
    assert (found.outcome, found.advice, found.bank, found.rating, found.nearest) == ("nothing-fits", None, (), None, None)
