"""Rounding: to the safe side, never further than the last digit printed, and ratings not at all."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ohmstead.render.number import down, exact, least, near, pair, percent_up, quantity, up

values = st.floats(-1e7, 1e7, allow_nan=False)
digits = st.integers(0, 3)
NOISE = 1e-9


def back(text: str) -> float:
    return float(text.replace(",", ""))


def slack(value: float) -> float:
    return NOISE * max(1.0, abs(value))


@given(values, digits)
def test_up_is_never_below(value, places):
    printed = back(up(value, places))
    assert value - slack(value) <= printed < value + 10.0**-places + slack(value)


@given(values, digits)
def test_down_is_never_above(value, places):
    printed = back(down(value, places))
    assert value - 10.0**-places - slack(value) < printed <= value + slack(value)


@given(values, digits)
def test_near_is_within_half_a_digit(value, places):
    assert abs(back(near(value, places)) - value) <= 0.5 * 10.0**-places + slack(value)


@given(st.integers(-10**9, 10**9), digits)
def test_what_has_no_more_digits_stays(whole, places):
    """A number that is printed in full is not moved by what binary arithmetic left of it."""
    value = whole / 10**places
    assert back(up(value, places)) == back(down(value, places)) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("rating", [1, 7.5, 15, 58.4, 125, 250.0, 20000, 0.5, 12.8])
def test_ratings_keep_every_digit(rating):
    assert back(exact(rating)) == rating
    assert back(least(rating, 1)) == rating


@given(st.floats(0.1, 1e6), st.floats(0.1, 1e6))
def test_two_numbers_of_a_check_can_be_told_apart(actual, limit):
    first, second = pair(actual, limit, "A")
    assert (first != second) or actual == pytest.approx(limit, rel=1e-11)


@pytest.mark.parametrize(("value", "unit", "printed"), [
    (-40, "degF", "-40 °C (-40 °F)"), (10, "lb", "4.5 kg (10 lb)"), (0.0003, "ohm", "0.0003 Ω"), (3, "1", "3"), (2, "unknown", "2 unknown"),
])  # fmt: skip
def test_quantities(value, unit, printed):
    assert quantity(value, unit) == printed


def test_nought_has_no_sign():
    assert near(-0.0) == up(-0.0) == down(-0.0) == exact(-0.0) == "0"
    assert percent_up(0.0) == "0.0 %"
