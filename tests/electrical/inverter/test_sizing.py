"""Inverter: what is decided, assumed and remarked."""

import pytest

from ohmstead.electrical.inverter.formulas import rating_factor
from ohmstead.electrical.inverter.model import Request, Unit
from ohmstead.electrical.inverter.sizing import size_inverter
from ohmstead.reference.case import Shelf

COOL = dict(inverter_temperature_c=25.0, altitude_m=0.0, power_factor=1.0)


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def sized(shelf, running=1000.0, voltage=24.0, **more):
    case = shelf.case()
    return size_inverter(Request(running, voltage, **{**COOL, **more}), case), case


def codes(case):
    return {finding.code for finding in case.findings}


def assumed(case):
    return {said.name: said.value for said in case.assumptions}


def test_what_is_silent_is_assumed_and_said(shelf):
    _, case = sized(shelf, inverter_temperature_c=None, altitude_m=None, power_factor=None)
    assert {"sizing_margin", "power_factor", "inverter_temperature_c", "altitude_m", "inverter_efficiency_full", "cut_off_24"} <= set(assumed(case))


def test_what_is_given_is_not_assumed(shelf):
    _, case = sized(shelf, running_va=1100.0, surge_va=2000.0, sizing_margin=1.3, inverter_efficiency=0.9, cut_off_v=22.0, power_factor=0.9, idle_hours=24.0)
    assert set(assumed(case)) == {"derate_start_c", "derate_per_k", "derate_start_m", "derate_per_m", "wave_form"}


def test_the_day_average_does_not_stand_for_full_power(shelf):
    """The efficiency for the energy of a day is better than the one at full power, which the cable is sized for."""
    inverter, case = sized(shelf)
    assert inverter.inverter_efficiency < 0.9
    assert "inverter_efficiency" not in assumed(case)


@pytest.mark.parametrize(("voltage", "cut_off"), [(12.0, 10.5), (24.0, 21.0), (48.0, 42.0)])
def test_the_cut_off_follows_the_voltage(shelf, voltage, cut_off):
    inverter, _ = sized(shelf, 800.0, voltage)
    assert inverter.cut_off_v == cut_off
    assert inverter.rating.inverter_current_a == pytest.approx(1000.0 / (0.85 * cut_off))


def test_the_largest_load_counts_even_alone(shelf):
    inverter, _ = sized(shelf, 200.0, largest_load_w=1500.0)
    assert inverter.continuous_needed_w == 1875.0


def test_exactly_enough_is_enough(shelf):
    inverter, _ = sized(shelf, 1600.0)
    assert inverter.rating.inverter_rating_w == 2000.0
    assert inverter.checks[0].actual == inverter.checks[0].limit == 2000.0


def test_the_next_smaller_one_fails(shelf):
    inverter, _ = sized(shelf, 1601.0)
    assert inverter.rating.inverter_rating_w == 3000.0
    assert (inverter.smaller.name, inverter.smaller.failed.passed) == ("2000w", False)
    assert inverter.choice.smaller_failed is inverter.smaller.failed


def test_the_smallest_one_has_no_smaller(shelf):
    inverter, _ = sized(shelf, 10.0)
    assert (inverter.rating.name, inverter.smaller, inverter.choice.smaller) == ("300w", None, "")


def test_apparent_power_below_real_power_is_said_and_not_believed(shelf):
    inverter, case = sized(shelf, 1500.0, running_va=1200.0)
    assert inverter.apparent_needed_va == 1875.0
    assert "apparent-below-real" in codes(case)


def test_no_start_is_said(shelf):
    inverter, case = sized(shelf)
    assert inverter.surge_needed_va == 1000.0
    assert "surge-not-given" in codes(case)


def test_a_surge_below_the_running_load_is_not_believed(shelf):
    inverter, _ = sized(shelf, surge_va=10.0)
    assert inverter.surge_needed_va == 1000.0


def test_where_heat_leaves_nothing_nothing_fits(shelf):
    inverter, _ = sized(shelf, inverter_temperature_c=130.0)
    assert (inverter.outcome, inverter.rating, inverter.nearest, inverter.rating_factor) == ("nothing-fits", None, None, 0.0)
    assert "no power at all" in inverter.why


def test_a_higher_voltage_is_named_where_it_helps(shelf):
    low, _ = sized(shelf, 4000.0, 12.0)
    high, _ = sized(shelf, 40000.0, 48.0)
    assert "higher system voltage" in low.why
    assert "higher system voltage" not in high.why
    assert (low.stacked, high.stacked) == (2.0, 5.0)


@pytest.mark.parametrize(("watts", "voltage", "said"), [(2000.0, 12.0, False), (3000.0, 12.0, True), (4000.0, 24.0, False), (5000.0, 24.0, True), (10000.0, 48.0, False)])
def test_system_voltage(shelf, watts, voltage, said):
    _, case = sized(shelf, watts / 1.25, voltage)
    assert ("system-voltage-low" in codes(case)) is said


def test_a_named_inverter_that_is_too_small(shelf):
    inverter, case = sized(shelf, 1000.0, unit=Unit(1000.0))
    assert (inverter.outcome, inverter.rating, inverter.choice) == ("nothing-fits", None, None)
    assert (inverter.nearest.given, inverter.failed.rule.name) == (True, "continuous-power")
    assert "1250 W are needed, 1000 W are left" in inverter.why
    assert {"rating_power_factor": 1.0, "surge_ratio": 2.0, "idle_w": 25.0}.items() <= assumed(case).items()
    assert "generic-inverter" not in codes(case)


def test_a_named_inverter_rated_in_volt_amperes(shelf):
    inverter, _ = sized(shelf, 1900.0, power_factor=0.8, unit=Unit(2400.0, 3000.0, 6000.0, 30.0))
    assert inverter.outcome == "sized"
    inverter, _ = sized(shelf, 1900.0, power_factor=0.75, unit=Unit(2400.0, 3000.0, 6000.0, 30.0))
    assert inverter.failed.rule.name == "apparent-power"


@pytest.mark.parametrize(
    ("unit", "breaker", "said", "passed"),
    [
        (Unit(3000.0, transfer_rating_a=30.0), 50.0, "transfer-relay-below-breaker", False),
        (Unit(3000.0, transfer_rating_a=50.0), 50.0, None, True),
        (Unit(3000.0), 50.0, "transfer-rating-not-given", None),
        (Unit(3000.0, transfer_rating_a=30.0), None, None, None),
    ],
)
def test_transfer_relay(shelf, unit, breaker, said, passed):
    inverter, case = sized(shelf, unit=unit, supply_breaker_a=breaker)
    found = {code for code in codes(case) if code.startswith("transfer")}
    assert found == ({said} if said else set())
    assert (inverter.transfer.passed if inverter.transfer else None) is passed
    assert inverter.outcome == "sized"


def test_a_relay_below_the_breaker_is_unsafe(shelf):
    _, case = sized(shelf, supply_breaker_a=50.0)
    (found,) = [finding for finding in case.findings if finding.code == "transfer-relay-below-breaker"]
    assert (found.kind, found.severity) == ("code", "unsafe")


def test_a_house_rule_may_raise_the_margin(shelf):
    case = shelf.case(house_rules={"sizing_margin": 1.5})
    assert size_inverter(Request(1000.0, 24.0, **COOL), case).continuous_needed_w == 1500.0


def test_neither_heat_nor_height_leaves_less_than_nothing():
    """Ten kilometres above the start of the loss, or a hundred kelvin, take everything; more takes no more."""
    assert rating_factor(25.0, 25.0, 0.01, 13000.0, 1000.0, 0.0001) == 0.0
    assert rating_factor(150.0, 25.0, 0.01, 0.0, 1000.0, 0.0001) == 0.0
