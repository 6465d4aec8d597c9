"""Starts: from what the plate says, how long they last, and whether the bank gives them."""

import pytest

from ohmstead.electrical.inverter.model import Bank, Motor, Request, Unit
from ohmstead.electrical.inverter.sizing import size_inverter
from ohmstead.electrical.loads.model import CodeLetter, LockedRotor, MeasuredStart, NoStart, SoftStart, StartKind, StartMultiple
from ohmstead.reference.case import Shelf

COOL = dict(inverter_temperature_c=25.0, altitude_m=0.0, power_factor=1.0, sizing_margin=1.0, inverter_efficiency=0.8, cut_off_v=10.0)


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def sized(shelf, running=1500.0, voltage=12.0, **more):
    case = shelf.case()
    return size_inverter(Request(running, voltage, **{**COOL, **more}), case), case


def codes(case):
    return {finding.code for finding in case.findings}


@pytest.mark.parametrize(("start", "alone"), [
    (LockedRotor(68.0, 120.0), 8160.0), (LockedRotor(68.0, 120.0, SoftStart(0.35)), 2856.0), (LockedRotor(68.0, 120.0, SoftStart()), 4080.0),
    (CodeLetter("G", 1.0), 6290.0), (CodeLetter("G", 1.0, SoftStart(0.5)), 3145.0), (StartMultiple(4.0), 4000.0), (MeasuredStart(3500.0), 3500.0),
    (StartKind("compressor"), 6000.0),
])
def test_a_start_from_whatever_is_known(shelf, start, alone):
    """1500 VA run, the motor's 1000 among them: the start adds what it takes beyond them."""
    found, case = sized(shelf, motor=Motor(1000.0, start, 1.0))
    assert (found.start_va, found.surge_needed_va) == pytest.approx((alone, 500 + alone))
    assert "surge-not-given" not in codes(case)


def test_a_motor_that_starts_with_what_it_runs_on_adds_nothing(shelf):
    found, case = sized(shelf, motor=Motor(1000.0, NoStart(), 1.0))
    assert (found.start_va, found.surge_needed_va) == (1000.0, 1500.0)
    assert "surge-not-given" not in codes(case)


def test_the_larger_of_surge_and_motor_counts(shelf):
    motor = Motor(1000.0, MeasuredStart(3500.0), 1.0)
    assert sized(shelf, motor=motor, surge_va=3000.0)[0].surge_needed_va == 4000.0
    assert sized(shelf, motor=motor, surge_va=5000.0)[0].surge_needed_va == 5000.0


def test_the_motor_runs_at_least(shelf):
    """A load said to be smaller than its motor is as large as the motor; at 0.7 its volt-amperes count too."""
    found, case = sized(shelf, 500.0, motor=Motor(1400.0, NoStart()))
    assert (found.continuous_needed_w, found.apparent_needed_va) == pytest.approx((1400.0, 2000.0))
    assert {said.name: said.value for said in case.assumptions}["power_factor_motor"] == 0.7


def test_the_table_of_code_letters_is_named_where_it_was_read(shelf):
    by_letter, _ = sized(shelf, motor=Motor(1000.0, CodeLetter("G", 1.0)))
    by_measure, _ = sized(shelf, motor=Motor(1000.0, MeasuredStart(6290.0)))
    assert [source.id for source in by_letter.sources] == ["nec-430-7"]
    assert by_measure.sources == ()


UNIT = dict(inverter_rating_w=3000.0, inverter_rating_va=3000.0, inverter_surge_va=6000.0, idle_w=20.0)
HARD = Motor(1000.0, MeasuredStart(4500.0), 1.0)


def test_a_surge_as_long_as_the_start_counts(shelf):
    found, case = sized(shelf, motor=HARD, start_duration_s=2.0, unit=Unit(**UNIT, surge_duration_s=2.0))
    assert found.outcome == "sized" and found.rating.surge_counts and found.rating.derated_surge_va == 6000.0
    assert not {"surge-too-short", "surge-duration-not-given"} & codes(case)
    assert found.start_duration_s == 2.0


def test_a_surge_shorter_than_the_start_leaves_the_continuous_rating(shelf):
    found, case = sized(shelf, motor=HARD, start_duration_s=2.0, unit=Unit(**UNIT, surge_duration_s=0.5))
    assert (found.outcome, found.governed_by) == ("nothing-fits", "surge")
    assert not found.nearest.surge_counts and found.nearest.derated_surge_va == 3000.0 and found.nearest.inverter_surge_va == 6000.0
    (finding,) = [finding for finding in case.findings if finding.code == "surge-too-short"]
    assert "0.5 s" in finding.message and "2 s" in finding.message


def test_a_start_of_unknown_length_takes_three_seconds(shelf):
    short, case = sized(shelf, motor=HARD, unit=Unit(**UNIT, surge_duration_s=2.9))
    assert short.outcome == "nothing-fits"
    assert {said.name: said.value for said in case.assumptions}["start_s"] == 3.0
    assert sized(shelf, motor=HARD, unit=Unit(**UNIT, surge_duration_s=3.0))[0].outcome == "sized"


def test_a_surge_of_unknown_length_counts_and_that_is_said(shelf):
    found, case = sized(shelf, motor=HARD, unit=Unit(**UNIT))
    assert found.outcome == "sized" and found.rating.surge_counts
    assert "surge-duration-not-given" in codes(case)


def test_without_a_start_no_length_matters(shelf):
    found, case = sized(shelf, unit=Unit(**UNIT, surge_duration_s=0.01), bank=Bank(500.0, 600.0, 0.01))
    assert found.outcome == "sized" and found.rating.surge_counts and found.start_duration_s is None
    assert not {"surge-too-short", "surge-duration-not-given"} & codes(case)
    assert "start_s" not in {said.name for said in case.assumptions}


# 1500 W over 0.8 and 10 V are 187.5 A; the start adds 3500 VA, 625 A altogether.
@pytest.mark.parametrize(("bank", "passed", "said"), [
    (Bank(187.5, 625.0, 2.0), [True, True], set()),
    (Bank(187.4, 625.0, 2.0), [False, True], {"bank-running-short"}),
    (Bank(187.5, 624.0, 2.0), [True, False], {"bank-surge-short"}),
    (Bank(187.5, 625.0, 1.9), [True, False], {"bank-surge-short"}),  # too short for a start of 2 s
    (Bank(187.5, 625.0), [True, False], {"bank-surge-short"}),  # a peak of unknown length
    (Bank(187.5), [True, False], {"bank-surge-short"}),
    (Bank(625.0), [True, True], set()),  # the continuous current alone gives it
    (Bank(700.0, 600.0, 2.0), [True, True], set()),  # a peak below the continuous current does not count against it
])
def test_the_bank_against_what_runs_and_what_starts(shelf, bank, passed, said):
    found, case = sized(shelf, motor=HARD, start_duration_s=2.0, bank=bank)
    assert found.bank_running_a == pytest.approx(187.5)
    assert found.rating.surge_current_a == pytest.approx(625.0)
    assert [check.passed for check in found.bank] == passed
    assert codes(case) & {"bank-running-short", "bank-surge-short"} == said
    assert found.outcome == "sized"  # a larger inverter would not help


def test_a_bank_that_runs_nothing_that_starts_is_told_once(shelf):
    found, case = sized(shelf, bank=Bank(100.0))
    assert [check.passed for check in found.bank] == [False, False]
    assert codes(case) & {"bank-running-short", "bank-surge-short"} == {"bank-running-short"}


def test_without_a_bank_nothing_is_judged(shelf):
    found, _ = sized(shelf, motor=HARD)
    assert found.bank == () and found.idle_share is None
