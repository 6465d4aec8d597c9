"""Verdicts: one tolerance, on both sides, of either sign."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ohmstead.nomenclature import TERMS
from ohmstead.units import FACTORS
from ohmstead.working import TOLERANCE, Choice, Citation, Finding, FindingCode, Rule, at_least, at_most

CLAUSE = Citation("nec-240-4", "Code", "240.4", "2023")
ABOVE = Rule("carries", TERMS["device_rating_a"], "at least", TERMS["device_needed_a"], CLAUSE)
BELOW = Rule("protects", TERMS["device_rating_a"], "at most", TERMS["device_limit_a"], CLAUSE)
IN, OUT = 0.99e-9, 1.01e-9


def test_the_tolerance_is_the_stated_one():
    assert TOLERANCE == 1e-9


@pytest.mark.parametrize("limit", [1e-6, 0.03, 1.0, 125.0, 2e5, -0.5, -40.0])
def test_both_sides_of_the_tolerance(limit):
    """A hair beyond the limit passes, two hairs do not; towards the safe side everything passes."""
    inside, outside, hair = abs(limit) * IN, abs(limit) * OUT, abs(limit) * 1e-3
    assert at_most(limit, limit) and at_least(limit, limit)
    assert at_most(limit + inside, limit) and not at_most(limit + outside, limit)
    assert at_least(limit - inside, limit) and not at_least(limit - outside, limit)
    assert at_most(limit - hair, limit) and not at_most(limit + hair, limit)
    assert at_least(limit + hair, limit) and not at_least(limit - hair, limit)


def test_nought_has_no_tolerance():
    """Relative to nought there is none: what is above nought is above it."""
    assert at_most(0.0, 0.0) and at_least(0.0, 0.0)
    assert not at_most(1e-300, 0.0)
    assert not at_least(-1e-300, 0.0)


def test_what_is_no_number_never_passes():
    assert not at_most(math.nan, 1.0) and not at_least(math.nan, 1.0)
    assert not at_most(1.0, math.nan) and not at_least(1.0, math.nan)


@given(value=st.floats(0.001, 1e6), way=st.sampled_from([way for way in FACTORS if way[0] != way[1]]))
def test_a_round_trip_through_other_units_flips_no_verdict(value, way):
    source, target = way
    there, back = FACTORS[source, target], FACTORS[target, source]
    moved = (value * there.num + there.add) / there.den
    again = (moved * back.num + back.add) / back.den
    # Temperatures have an offset: near nought the error is relative to it, far below any printed band edge.
    if there.add == 0:
        assert at_most(again, value) and at_least(again, value)
    else:
        assert abs(again - value) <= 1e-9 * max(abs(value), 32.0)


@pytest.mark.parametrize(
    ("rule", "actual", "limit", "verdict"),
    [
        (ABOVE, 125.0, 118.75, True),
        (ABOVE, 118.75, 118.75, True),
        (ABOVE, 110.0, 118.75, False),
        (BELOW, 300.0, 310.0, True),
        (BELOW, 300.0, 300.0, True),
        (BELOW, 300.0, 285.0, False),
    ],
)
def test_a_check_is_its_own_verdict(rule, actual, limit, verdict):
    check = rule.check(actual, limit)
    assert (check.rule, check.actual, check.limit) == (rule, actual, limit)
    assert check.passed is verdict


def test_a_check_knows_its_units_and_clause():
    """So that a plain run can say them too."""
    check = BELOW.check(300.0, 285.0)
    assert (check.rule.actual.unit, check.rule.limit.unit) == ("A", "A")
    assert check.rule.printed == "Code (2023) 240.4"


def test_a_rule_can_not_be_bent():
    with pytest.raises(AttributeError):
        BELOW.relation = "at least"
    with pytest.raises(AttributeError):
        BELOW.check(1.0, 2.0).limit = 3.0


def test_a_choice_holds_why_and_what_the_smaller_failed():
    failed = BELOW.check(300.0, 285.0)
    choice = Choice("conductor", "350", BELOW.name, (BELOW.check(300.0, 310.0),), "300", failed)
    assert not choice.smaller_failed.passed and all(check.passed for check in choice.checks)
    assert Choice("conductor", "18", ABOVE.name).smaller == ""
    assert Choice("conductor", "18", ABOVE.name).smaller_failed is None


def test_findings_are_declared_with_what_mends_them():
    declared = FindingCode("parallel-sets", "code", "caution", "{sets} in parallel", "check the stud", "NEC 310.10(G)")
    made = Finding(
        declared.code,
        declared.kind,
        declared.severity,
        declared.message.format(sets=2),
        declared.cure,
        declared.clause,
        "/run",
    )
    assert made.message == "2 in parallel" and made.pointer == "/run"
    assert msgspec.json.decode(msgspec.json.encode(made), type=Finding) == made


@pytest.mark.parametrize(("field", "word"), [("kind", "worry"), ("severity", "grave")])
def test_a_finding_has_a_class_and_a_severity_of_the_list(field, word):
    sound = {"code": "x", "kind": "code", "severity": "note", "message": "m", "cure": "c"}
    msgspec.convert(sound, Finding)
    with pytest.raises(msgspec.ValidationError):
        msgspec.convert({**sound, field: word}, Finding)
