"""Loads of another voltage: converters, what they start, buffer batteries, and what cannot be had."""

import pytest

from ohmstead.electrical.loads.model import ByPower, EveryDay, Load, NoStart, Request, StartMultiple
from ohmstead.electrical.loads.sizing import size_demand
from ohmstead.reference.case import Shelf


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def load(name, watts, hours=1.0, voltage=12.0, start=None, **more):
    return Load(
        name, "dc", ByPower(watts), EveryDay(hours), duty=1.0, start=NoStart() if start is None else StartMultiple(start), voltage_v=voltage, **more)


def sized(shelf, *loads, voltage=24.0, rules=None, **more):
    case = shelf.case(house_rules=rules)
    found = size_demand(Request(loads, voltage, wiring_efficiency=1.0, **more), case)
    return found, [finding.code for finding in case.findings]


def test_the_running_power_and_a_quarter_more(shelf):
    """96 W at 12 V are 8 A, with a quarter more exactly the 10 A of a row; a watt more is one row up."""
    (exact,) = sized(shelf, load("a", 96.0))[0].converters
    (more,) = sized(shelf, load("a", 97.0))[0].converters
    assert (exact.needed_a, exact.row, more.row) == (10.0, "24-12-10a", "24-12-20a")


def test_a_motor_that_starts_takes_a_larger_one(shelf):
    """72 W run on 6 A; three times that at the start are 18 A, which 10 A do not give."""
    (found,) = sized(shelf, load("pump", 72.0, start=3.0))[0].converters
    assert (found.start_a, found.row, found.start.id) == (18.0, "24-12-20a", "pump")
    assert [check.passed for check in found.checks] == [True, True]


def test_only_the_largest_start_meets_the_others_running(shelf):
    (found,) = sized(shelf, load("pump", 60.0, start=3.0), load("fan", 36.0, start=2.0))[0].converters
    assert found.start_a == pytest.approx((96 + 120) / 12)


def test_groups_that_never_run_together_are_not_added(shelf):
    apart = sized(shelf, load("a", 120.0, group="one"), load("b", 60.0, group="two"), load("c", 12.0))[0].converters
    assert apart[0].running_w == 132.0
    assert apart[0].loads == ("a", "b", "c")


def test_what_the_maker_states_as_a_peak_may_not_loosen_the_default(shelf):
    found, codes = sized(shelf, load("pump", 72.0, start=3.0), rules={"converter_peak_ratio": 2.0})
    assert found.converters[0].row == "24-12-20a"
    assert "house-rule-loosens" in codes


def test_an_idle_converter_takes_its_energy_every_day(shelf):
    without, _ = sized(shelf, load("a", 96.0, 2.0, voltage=24.0))
    found, _ = sized(shelf, load("a", 96.0, 2.0), converter_efficiency=0.96)
    assert without.day_energy_wh == 192.0
    assert found.day_energy_wh == pytest.approx(192 / 0.96 + 2 * 24)
    own, _ = sized(shelf, load("a", 96.0, 2.0), converter_efficiency=0.96, converter_idle_w=0.5)
    assert own.day_energy_wh == pytest.approx(192 / 0.96 + 12)


def test_a_windlass_gets_a_buffer_battery(shelf):
    """1200 W start with 2400 W: 200 A where 60 A are made. A day's 36 Wh come back with 0.16 A."""
    found, codes = sized(shelf, load("windlass", 1200.0, 0.03, start=2.0))
    (converter,) = found.converters
    assert (converter.outcome, converter.row, converter.start_a) == ("buffer-battery", None, 200.0)
    assert [check.passed for check in converter.checks] == [False, False]
    buffer = converter.buffer
    assert (buffer.feed, buffer.feed_is_charger, buffer.discharge_w) == ("24-12-20a", True, 2400.0)
    assert buffer.usable_energy_wh == pytest.approx(36.0)
    assert buffer.feed_needed_a == pytest.approx(1.25 * 36 / 24 / 12)
    assert "converter-buffer" in codes and "converter-none" not in codes


def test_on_48_volts_a_converter_keeps_the_buffer_full_where_no_charger_is_listed(shelf):
    (converter,) = sized(shelf, load("windlass", 1200.0, 0.03, start=2.0), voltage=48.0)[0].converters
    assert (converter.buffer.feed, converter.buffer.feed_is_charger) == ("48-12-10a", False)


def test_what_runs_all_day_beyond_every_charger_is_not_had(shelf):
    found, codes = sized(shelf, load("heater", 2000.0, 24.0))
    (converter,) = found.converters
    assert (converter.outcome, converter.buffer) == ("nothing-fits", None)
    assert "208.4 A all day" in converter.why and "60 A" in converter.why
    assert "converter-none" in codes


def test_a_voltage_that_nothing_reaches_is_said(shelf):
    found, codes = sized(shelf, load("motor", 100.0, voltage=110.0))
    assert (found.converters[0].outcome, found.converters[0].checks) == ("nothing-fits", ())
    assert "converter-none" in codes


def test_one_for_each_voltage_the_lowest_first(shelf):
    found, _ = sized(shelf, load("b", 50.0, voltage=24.0), load("a", 10.0), load("c", 20.0, voltage=13.2), voltage=48.0)
    assert [(converter.voltage_v, converter.loads) for converter in found.converters] == [(12.0, ("a", "c")), (24.0, ("b",))]


def test_a_load_of_shore_needs_none_from_the_bank(shelf):
    assert sized(shelf, load("a", 10.0, shore_only=True))[0].converters == ()


def test_the_hardest_loads_give_way_and_the_rest_keeps_its_converter(shelf):
    """Windlass and jacks pass 60 A; the lights and the pump do not: 8 A with a quarter more, 5 + 3 x 3 A at the start."""
    found, _ = sized(
        shelf, load("lights", 60.0), load("windlass", 1200.0, 0.03, start=2.0), load("pump", 36.0, start=3.0), load("jacks", 600.0, 0.1, start=2.0))
    assert [(one.outcome, one.loads) for one in found.converters] == [
        ("converter", ("lights", "pump")), ("buffer-battery", ("windlass", "jacks"))]
    assert found.converters[0].row == "24-12-20a"
    assert found.converters[1].buffer.discharge_w == 1200 + 600 + 1200
    assert found.converter_idle_wh == pytest.approx(2 * 2 * 24)


def test_loads_that_fit_apart_and_not_together_have_two(shelf):
    found, codes = sized(shelf, load("a", 400.0), load("b", 300.0), load("c", 200.0), voltage=24.0)
    assert [(one.outcome, one.loads, one.row) for one in found.converters] == [
        ("converter", ("b", "c"), "24-12-60a"), ("converter", ("a",), "24-12-60a")]
    assert "converter-buffer" not in codes


def test_of_loads_alike_the_first_by_name_give_way(shelf):
    found, _ = sized(shelf, load("c", 400.0), load("b", 400.0), load("a", 400.0))
    assert [(one.outcome, one.loads) for one in found.converters] == [("converter", ("c",)), ("buffer-battery", ("b", "a"))]


def test_where_no_load_keeps_its_converter_two_idle_all_the_same(shelf):
    """A second load beyond every converter must not ask for less energy than one that still fitted."""
    hard = load("hard", 1200.0, 0.0, start=2.0)
    before = sized(shelf, hard, load("other", 500.0, 0.0))[0]
    after = sized(shelf, hard, load("other", 900.0, 0.0))[0]
    assert len(before.converters) == 2 and len(after.converters) == 1
    assert before.day_energy_wh == after.day_energy_wh == 96.0
    assert sized(shelf, hard)[0].day_energy_wh == 48.0
