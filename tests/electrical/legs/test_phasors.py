"""Neutral, voltages and drops against phasors: complex numbers, a network solved by its nodes, and plain search.

Nothing here knows the formulas of the service. Each leg is a source with its angle, each load a current or a resistance.
"""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from electrical.legs.asking import ask
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ohmstead.electrical.legs.model import LegsRequest, NeutralLimits, Poles, Wires
from ohmstead.electrical.legs.sizing import worst_neutral

ANGLES = {"one-leg": 0.0, "one-hot": 0.0, "split-phase": 180.0, "wye": -120.0}
TWO_LEGS = ("one-hot", "split-phase", "wye")
amperes = st.floats(0, 200)


def leg_2(arrangement: str) -> complex:
    """Direction of the second leg's voltage beside the first one's."""
    return cmath.rect(1.0, math.radians(ANGLES[arrangement]))


def neutral(arrangement: str, first: float, second: float) -> float:
    return abs(first + second * leg_2(arrangement))


def some(short: int):
    return pytest.mark.parametrize("many", [short, pytest.param(20_000, marks=pytest.mark.long)])


def held(check, many: int, **strategies) -> None:
    settings(max_examples=many, deadline=None, derandomize=many < 1000)(given(**strategies)(check))()


@some(300)
@pytest.mark.parametrize("arrangement", TWO_LEGS)
def test_the_neutral_is_the_sum_of_two_phasors(arrangement, many):
    def check(first, second):
        legs, _ = ask(LegsRequest(arrangement, first, second, 120.0))
        assert legs.neutral_a == pytest.approx(neutral(arrangement, first, second), abs=1e-6)
        assert legs.between_legs_v == pytest.approx(abs(120.0 - 120.0 * leg_2(arrangement)), abs=1e-9)

    held(check, many, first=amperes, second=amperes)


@some(150)
def test_three_equal_legs_of_230_v_leave_nothing_in_the_neutral(many):
    def check(current):
        third = cmath.rect(1.0, math.radians(120.0))
        assert abs(current * (1 + leg_2("wye") + third)) == pytest.approx(0.0, abs=1e-9)
        # So two of them leave as much as the third one carries.
        assert ask(LegsRequest("wye", current, current, 230.0))[0].neutral_a == pytest.approx(current)

    held(check, many, current=st.floats(0.1, 100))


@some(200)
@pytest.mark.parametrize("arrangement", TWO_LEGS)
def test_the_drop_is_never_below_that_of_the_phasors(arrangement, many):
    """Equal where legs lie on one line; for legs 120 degrees apart the part across is left out, which errs high."""
    def check(first, second, leg_ohm, neutral_ohm):
        volts, direction = 120.0, leg_2(arrangement)
        assume((first + second) * (leg_ohm + neutral_ohm) < volts)
        lifted = (first + second * direction) * neutral_ohm
        at_loads = [abs(volts - first * leg_ohm - lifted), abs(volts * direction - second * direction * leg_ohm - lifted)]
        legs, _ = ask(LegsRequest(arrangement, first, second, volts, wires=Wires(leg_ohm, neutral_ohm)))
        for drop, voltage in zip((legs.drop.leg_1_v, legs.drop.leg_2_v), at_loads, strict=True):
            assert drop >= volts - voltage - 1e-9
            if arrangement != "wye":
                assert drop == pytest.approx(volts - voltage, abs=1e-9)
        assert legs.drop.worst_v >= max(legs.drop.leg_1_v, legs.drop.leg_2_v, first * (leg_ohm + neutral_ohm), second * (leg_ohm + neutral_ohm)) - 1e-12
        lost = (first**2 + second**2) * leg_ohm + neutral(arrangement, first, second) ** 2 * neutral_ohm
        assert legs.drop.heat_w == pytest.approx(lost, rel=1e-6, abs=1e-9)
        assert legs.drop.worst_fraction == pytest.approx(legs.drop.worst_v / volts)

    ohms = st.floats(0.001, 1)
    held(check, many, first=st.floats(0.1, 60), second=st.floats(0.1, 60), leg_ohm=ohms, neutral_ohm=ohms)


@some(150)
@pytest.mark.parametrize("arrangement", ["split-phase", "wye"])
def test_an_open_neutral_by_the_nodes(arrangement, many):
    """Leg 1, leg 2 and the floating node between their loads."""
    def check(first, second):
        volts = np.array([120.0, 120.0 * leg_2(arrangement)])
        conductance = np.array([first / 120.0, second / 120.0])
        between = (conductance * volts).sum() / conductance.sum()
        opened = ask(LegsRequest(arrangement, first, second, 120.0))[0].open_neutral
        assert [opened.leg_1_v, opened.leg_2_v] == pytest.approx(list(np.abs(volts - between)), rel=1e-9)
        assert opened.series_a == pytest.approx(abs((volts[0] - between) * conductance[0]), rel=1e-9)

    held(check, many, first=st.floats(0.1, 100), second=st.floats(0.1, 100))


@pytest.mark.parametrize("arrangement", ["one-leg", *TWO_LEGS])
@pytest.mark.parametrize("joint", [None, 20.0, 50.0, 100.0])
@pytest.mark.parametrize("breakers", [(30.0, 30.0), (50.0, 30.0), (15.0, 50.0)])
def test_the_worst_neutral_by_plain_search(arrangement, joint, breakers):
    """Every pair of leg currents that trips nothing; a breaker in the hot sees the sum of what hangs on it."""
    steps = np.linspace(0.0, 1.0, 101)
    first, second = np.meshgrid(breakers[0] * steps, (0.0 if arrangement == "one-leg" else breakers[1]) * steps)
    allowed = np.full(first.shape, True)
    if joint is not None and arrangement in ("one-leg", "one-hot"):
        allowed = np.abs(first + second) <= joint + 1e-9
    found = np.abs(first + second * leg_2(arrangement))[allowed].max()
    worst = worst_neutral(arrangement, Poles(joint, *breakers))
    assert worst >= found - 1e-9
    assert worst == pytest.approx(found, rel=0.02)


@pytest.mark.parametrize(
    ("arrangement", "poles"),
    [
        ("one-leg", Poles()), ("one-hot", Poles(leg_1_a=30.0)), ("one-hot", Poles(leg_2_a=30.0)), ("split-phase", Poles(leg_1_a=30.0)),
        # A breaker that carries both legs is none where they have hots of their own.
        ("split-phase", Poles(joint_a=30.0)), ("wye", Poles(joint_a=30.0, leg_2_a=30.0)),
    ],
)
def test_what_nothing_limits_is_not_judged(arrangement, poles):
    assert worst_neutral(arrangement, poles) is None
    legs, codes = ask(LegsRequest(arrangement, 1.0, 1.0, 120.0, poles, NeutralLimits(conductor_a=100.0)))
    assert legs.verdict == "cannot-be-judged" and "neutral-not-judged" in codes


@some(300)
def test_loads_behind_their_devices_never_pass_the_worst(many):
    def check(arrangement, poles, first, second):
        worst = worst_neutral(arrangement, poles)
        if worst is None:
            return
        first, second = min(first, poles.leg_1_a or math.inf), min(second, poles.leg_2_a or math.inf)
        if arrangement == "one-leg":
            second = 0.0
        if poles.joint_a is not None and arrangement in ("one-leg", "one-hot"):
            assume(first + second <= poles.joint_a)
        assert neutral(arrangement, first, second) <= worst * (1 + 1e-9)

    rating = st.none() | st.sampled_from([15.0, 20.0, 30.0, 50.0])
    held(
        check, many, arrangement=st.sampled_from(sorted(ANGLES)), poles=st.builds(Poles, joint_a=rating, leg_1_a=rating, leg_2_a=rating),
        first=st.floats(0, 60), second=st.floats(0, 60),
    )
