"""What holds for any two legs, and every verdict with the case in which it comes and the one in which it does not."""

from __future__ import annotations

import pytest
from electrical.legs.asking import ask
from electrical.legs.test_phasors import TWO_LEGS, held, some
from hypothesis import strategies as st
from msgspec.structs import replace

from ohmstead.electrical.legs.model import LegsRequest, NeutralLimits, Poles, SharedNeutral, SupplyMode, Wires
from ohmstead.electrical.legs.sizing import neutral_current, size_legs
from ohmstead.nomenclature import TERMS
from ohmstead.reference.case import Shelf
from ohmstead.reference.citations import cite
from ohmstead.working import Given, Traced, trace

amperes = st.floats(0, 200)


@some(300)
def test_symmetry_and_the_triangle(many):
    def check(first, second):
        for way in TWO_LEGS:
            one = neutral_current(way, first, second)
            assert one == pytest.approx(neutral_current(way, second, first), rel=1e-12, abs=1e-12)
            assert abs(first - second) - 1e-6 <= one <= first + second + 1e-6

    held(check, many, first=amperes, second=amperes)


@some(300)
def test_one_hot_is_worst_and_opposition_best(many):
    def check(first, second):
        one_hot, wye, split = (neutral_current(way, first, second) for way in ("one-hot", "wye", "split-phase"))
        assert one_hot >= wye - 1e-6 and wye >= split - 1e-6

    held(check, many, first=amperes, second=amperes)


@some(200)
def test_more_current_on_a_leg_never_mends_one_hot(many):
    order = ["within", "not-guarded", "overloaded"]

    def check(first, second, more, limit):
        asked = LegsRequest("one-hot", first, second, 120.0, Poles(leg_1_a=30.0, leg_2_a=30.0), NeutralLimits(contact_a=limit))
        before, after = ask(asked)[0], ask(replace(asked, leg_1_a=first + more))[0]
        assert order.index(after.verdict) >= order.index(before.verdict)
        assert after.neutral_a >= before.neutral_a

    held(check, many, first=amperes, second=amperes, more=st.floats(0, 50), limit=st.floats(1, 200))


@pytest.mark.parametrize(
    ("currents", "limits", "verdict", "code"),
    [
        ((10.0, 10.0), NeutralLimits(contact_a=60.0), "within", None),
        ((10.0, 10.0), NeutralLimits(contact_a=59.9), "not-guarded", "neutral-behind-two-breakers"),
        ((30.0, 25.0), NeutralLimits(contact_a=55.0), "not-guarded", "neutral-behind-two-breakers"),
        ((30.0, 25.1), NeutralLimits(contact_a=55.0), "overloaded", "neutral-overloaded"),
        # Each part has its own limit and the weakest decides.
        ((10.0, 10.0), NeutralLimits(conductor_a=100.0, contact_a=60.0, pole_a=19.0), "overloaded", "neutral-overloaded"),
        ((10.0, 10.0), NeutralLimits(conductor_a=55.0, contact_a=60.0, pole_a=60.0), "not-guarded", "neutral-behind-two-breakers"),
        ((10.0, 10.0), NeutralLimits(), "cannot-be-judged", "neutral-not-judged"),
    ],
)
def test_verdicts_of_the_neutral(currents, limits, verdict, code):
    legs, codes = ask(LegsRequest("one-hot", *currents, 120.0, Poles(leg_1_a=30.0, leg_2_a=30.0), limits))
    assert legs.verdict == verdict
    said = {"neutral-behind-two-breakers", "neutral-overloaded", "neutral-not-judged", "neutral-behind-larger-breaker"} & codes
    assert said == ({code} if code else set())


def test_the_ratio_is_that_over_the_weakest_part():
    for limits in (NeutralLimits(100.0, 60.0, 19.0), NeutralLimits(19.0, 60.0, 100.0), NeutralLimits(60.0, 19.0, 100.0)):
        legs, _ = ask(LegsRequest("one-hot", 10.0, 10.0, 120.0, Poles(leg_1_a=30.0, leg_2_a=30.0), limits))
        assert legs.neutral_ratio == pytest.approx(20 / 19) and legs.heat_ratio == pytest.approx((20 / 19) ** 2)


def test_a_neutral_smaller_than_a_leg_in_opposition_is_a_caution():
    legs, codes = ask(LegsRequest("split-phase", 20.0, 15.0, 120.0, Poles(leg_1_a=50.0, leg_2_a=50.0), NeutralLimits(conductor_a=40.0)))
    assert legs.verdict == "not-guarded"
    assert "neutral-behind-larger-breaker" in codes and "neutral-behind-two-breakers" not in codes


def test_each_leg_has_its_own_limit():
    asked = LegsRequest("split-phase", 41.0, 20.0, 120.0, Poles(leg_1_a=50.0, leg_2_a=30.0))
    legs, codes = ask(asked)
    assert [(check.actual, check.limit, check.passed) for check in legs.checks] == [(41.0, 40.0, False), (20.0, 24.0, True)]
    assert legs.limit_a == 24.0 and "leg-over-limit" in codes
    brief, codes = ask(replace(asked, continuous=False))
    assert brief.limit_a == 30.0 and "leg-over-limit" not in codes
    corded, _ = ask(replace(asked, cord_a=22.0))
    assert [check.limit for check in corded.checks if check.rule.name == "leg-current"] == [22.0, 22.0]


def test_two_hots_in_phase_have_no_common_limit_without_a_common_breaker():
    legs, _ = ask(LegsRequest("one-hot", 28.0, 27.0, 120.0, Poles(leg_1_a=30.0, leg_2_a=30.0), continuous=False))
    assert [check.rule.name for check in legs.checks] == ["leg-current", "leg-current"] and legs.limit_a == 30.0


@pytest.mark.parametrize(
    ("arrangement", "volts", "verdict", "code"),
    [
        ("split-phase", 120.0, "supplied", None), ("wye", 120.0, "reduced", "line-to-line-reduced"), ("wye", 119.9, "too-low", "line-to-line-dead"),
        ("one-hot", 120.0, "dead", "line-to-line-dead"), ("one-leg", 120.0, "dead", "line-to-line-dead"),
        ("split-phase", 100.0, "too-low", "line-to-line-dead"),
    ],
)
def test_loads_between_the_legs(arrangement, volts, verdict, code):
    asked = LegsRequest(arrangement, 5.0, None if arrangement == "one-leg" else 5.0, volts, line_to_line=True)
    legs, codes = ask(asked)
    assert legs.line_to_line == verdict
    assert {"line-to-line-dead", "line-to-line-reduced"} & codes == ({code} if code else set())
    # Without such loads nothing is said.
    assert not {"line-to-line-dead", "line-to-line-reduced"} & ask(replace(asked, line_to_line=False))[1]
    assert ask(replace(asked, supply_voltage_v=None))[0].line_to_line is None


def test_the_drop_is_checked_on_the_leg_that_is_alone():
    wires = Wires(0.05, 0.05, 0.016)
    legs, _ = ask(LegsRequest("split-phase", 20.0, 20.0, 120.0, wires=wires))
    assert (legs.drop.leg_1_v, legs.drop.worst_v) == (pytest.approx(1.0), pytest.approx(2.0))
    (check,) = legs.checks
    assert check.rule.name == "leg-voltage-drop" and not check.passed
    assert ask(LegsRequest("split-phase", 20.0, 20.0, 120.0, wires=Wires(0.05, 0.05, 0.017)))[0].checks[0].passed


SHARED = SharedNeutral("kitchen", 8.0, 6.0, 20.0, 15.0, 15.0, True)


def judged(shared: SharedNeutral, *modes: SupplyMode, barred=None):
    legs, codes = ask(LegsRequest("split-phase", 20.0, 20.0, 120.0, shared=(shared,), modes=modes, shared_barred=barred))
    return legs.shared[0], {code for code in codes if "shared" in code or "watched" in code}


def test_one_bad_mode_splits_a_shared_neutral():
    shore, generator = SupplyMode("shore", "split-phase"), SupplyMode("generator", "one-hot")
    assert judged(SHARED, shore) == (judged(SHARED, shore)[0], set()) and judged(SHARED, shore)[0].verdict == "may-stay"
    for modes in ((shore, generator), (generator, shore)):
        result, codes = judged(SHARED, *modes)
        assert result.verdict == "split" and codes == {"shared-neutral-overload"}
    # A breaker in the one hot that the neutral stands up to makes the mode harmless.
    assert judged(SHARED, shore, replace(generator, joint_a=20.0))[0].verdict == "may-stay"
    assert judged(SHARED, shore, replace(generator, joint_a=20.1))[0].verdict == "split"


def test_a_supply_of_one_leg_is_one_hot_for_two_branches():
    assert judged(SHARED, SupplyMode("inverter", "one-leg"))[0].verdict == "split"
    assert judged(replace(SHARED, ampacity_a=30.0), SupplyMode("inverter", "one-leg"))[0].verdict == "may-stay"


def test_a_stand_alone_source_of_one_hot_is_barred_where_the_practice_says_so():
    wide = replace(SHARED, ampacity_a=40.0)
    alone = SupplyMode("inverter", "one-hot", stand_alone=True)
    clause = cite("nec-chapters-1-4", "710.15(C)", "recalled")
    assert judged(wide, alone)[0].verdict == "may-stay"
    result, codes = judged(wide, alone, barred=clause)
    assert (result.verdict, result.barred, codes) == ("split", True, {"shared-neutral-barred"})
    for harmless in (replace(alone, stand_alone=False), replace(alone, arrangement="split-phase")):
        assert not judged(wide, harmless, barred=clause)[0].barred


def test_what_is_not_known_of_a_shared_neutral_is_said():
    result, codes = judged(replace(SHARED, breaker_2_a=None, opens_together=None, watched=True), SupplyMode("shore", "split-phase"))
    assert result.verdict == "cannot-be-judged" and codes == {"shared-neutral-not-judged", "shared-neutral-tie-unknown"}
    assert judged(replace(SHARED, opens_together=False), SupplyMode("shore", "split-phase"))[1] == {"shared-neutral-not-tied"}
    assert "watched-breaker-on-one-hot" in judged(replace(SHARED, watched=True), SupplyMode("generator", "one-hot"))[1]


def test_every_number_can_be_traced():
    """Traced numbers in: the same results, and each with an origin."""
    shelf = Shelf()

    def number(value: float, term: str) -> Traced:
        return Traced(value, TERMS[term], Given(f"/{term}"))

    plain = LegsRequest(
        "wye", 28.0, 27.0, 120.0, Poles(leg_1_a=50.0, leg_2_a=50.0), NeutralLimits(50.0, 50.0, 60.0), 50.0, 50.0, True, True, Wires(0.05, 0.06, 0.03),
        (SharedNeutral("kitchen", 8.0, 6.0, 20.0, 15.0, 15.0, True),), (SupplyMode("generator", "one-hot", 30.0, True),),
    )

    def traced(part):
        if isinstance(part, float):
            return number(part, "leg_1_a")
        if isinstance(part, tuple):
            return tuple(traced(item) for item in part)
        if hasattr(part, "__struct_fields__"):
            return type(part)(*[traced(getattr(part, name)) for name in part.__struct_fields__])
        return part

    def floats(part):
        if isinstance(part, float):
            yield part
        elif isinstance(part, tuple):
            for item in part:
                yield from floats(item)
        elif hasattr(part, "__struct_fields__"):
            for name in part.__struct_fields__:
                if name not in ("rule",):
                    yield from floats(getattr(part, name))

    for arrangement in ("one-leg", *TWO_LEGS):
        asked = replace(plain, arrangement=arrangement)
        one, two = size_legs(asked, shelf.case()), size_legs(traced(asked), shelf.case(traced=True))
        numbers = list(floats(two))
        assert list(floats(one)) == numbers and len(numbers) > 30
        assert all(type(value) is Traced for value in numbers)
        assert len(trace.behind(numbers)) > 20
