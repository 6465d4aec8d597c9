"""What holds for every inverter: searched with hypothesis."""

from __future__ import annotations

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st

from ohmstead.electrical.inverter.model import Inverter, Request, Unit
from ohmstead.electrical.inverter.sizing import size_inverter
from ohmstead.reference.case import Shelf
from ohmstead.working import at_least

SHELF = Shelf()
UNHURRIED = settings(deadline=None)  # the machine may be busy; speed is measured elsewhere
RATINGS = SHELF.plain.tables["inverter_ratings"].column("rating_w")


def number(low: float, high: float):
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def maybe(strategy):
    return st.one_of(st.none(), strategy)


UNITS = st.builds(Unit, number(100, 20000), maybe(number(100, 20000)), maybe(number(100, 40000)), maybe(number(0, 200)), maybe(number(5, 100)))
REQUESTS = st.builds(
    Request, number(0.01, 12000), st.sampled_from([12.0, 24.0, 48.0]), maybe(number(0.01, 15000)), maybe(number(0.01, 30000)),
    maybe(number(0.1, 1)), maybe(number(0.01, 5000)), maybe(number(5, 60)), maybe(number(0.3, 1)), maybe(number(-40, 90)),
    maybe(number(-400, 6500)), maybe(number(1, 3)), st.none(), maybe(number(1, 200)),
)


def sized(request: Request) -> Inverter:
    return size_inverter(request, SHELF.case())


def watts(inverter: Inverter) -> float:
    """Rating, endless where nothing fits."""
    return inverter.rating.inverter_rating_w if inverter.rating is not None else float("inf")


@UNHURRIED
@given(REQUESTS)
def test_what_is_sized_passes_and_the_next_smaller_fails(request):
    found = sized(request)
    if found.outcome == "sized":
        assert all(check.passed for check in found.checks) and len(found.checks) == 3
        assert found.smaller is None or not found.smaller.failed.passed
        assert found.nearest is None and found.why == ""
        assert at_least(found.rating.inverter_surge_va * found.rating_factor, found.surge_needed_va)
    else:
        assert found.rating is None and found.why
        assert found.nearest is None or not found.failed.passed


@UNHURRIED
@given(REQUESTS)
def test_units_in_a_stack_carry_it_and_one_fewer_does_not(request):
    found = sized(request)
    if found.stacked is None:
        return
    asked = [(found.continuous_needed_w, found.nearest.derated_w), (found.apparent_needed_va, found.nearest.derated_va),
             (found.surge_needed_va, found.nearest.derated_surge_va)]
    assert all(at_least(left * found.stacked * (1 + 1e-8), need) for need, left in asked)
    assert found.stacked >= 2
    assert any(need > left * (found.stacked - 1) for need, left in asked)


@UNHURRIED
@given(REQUESTS, number(1, 4), st.sampled_from(["running_w", "surge_va", "sizing_margin"]))
def test_more_load_never_takes_a_smaller_one(request, factor, which):
    before = getattr(request, which)
    if before is None:
        return
    assert watts(sized(msgspec.structs.replace(request, **{which: before * factor}))) >= watts(sized(request))


@UNHURRIED
@given(REQUESTS, number(-40, 90), number(0, 40), number(-400, 6500), number(0, 2000))
def test_hotter_and_higher_never_take_a_smaller_one(request, temperature, hotter, altitude, higher):
    cool = sized(msgspec.structs.replace(request, inverter_temperature_c=temperature, altitude_m=altitude))
    hot = sized(msgspec.structs.replace(request, inverter_temperature_c=temperature + hotter, altitude_m=altitude + higher))
    assert hot.rating_factor <= cool.rating_factor <= 1.0
    assert watts(hot) >= watts(cool)


@UNHURRIED
@given(REQUESTS, number(0.3, 1), number(0.3, 1), number(8, 60), number(8, 60))
def test_worse_efficiency_and_lower_voltage_never_draw_less(request, one, other, low, high):
    """For the same inverter: the cut-off and the efficiency do not change which one is chosen."""
    worse, better = sorted((one, other))
    low, high = sorted((low, high))
    hard = sized(msgspec.structs.replace(request, inverter_efficiency=worse, cut_off_v=low))
    easy = sized(msgspec.structs.replace(request, inverter_efficiency=better, cut_off_v=high))
    assert watts(hard) == watts(easy)
    if hard.rating is not None:
        assert at_least(hard.rating.inverter_current_a, easy.rating.inverter_current_a)
        assert at_least(hard.rating.ripple_current_a, hard.rating.inverter_current_a)


@UNHURRIED
@given(REQUESTS, UNITS)
def test_a_named_inverter_is_judged_as_the_choice_would_be(request, unit):
    """A generic row that is named as it stands passes where that row was chosen, and the smaller one fails."""
    found = sized(request)
    checked = sized(msgspec.structs.replace(request, unit=unit))
    assert (checked.outcome == "sized") == all(check.passed for check in checked.checks)
    if found.rating is None:
        return
    rating = found.rating
    named = Unit(rating.inverter_rating_w, rating.inverter_rating_va, rating.inverter_surge_va, rating.idle_w, rating.transfer_rating_a)
    again = sized(msgspec.structs.replace(request, unit=named))
    assert again.outcome == "sized"
    assert again.rating.inverter_current_a == rating.inverter_current_a
    if found.smaller is not None:
        below = found.smaller.inverter_rating_w
        assert below in RATINGS
        assert sized(msgspec.structs.replace(request, unit=Unit(below, below, 2 * below))).outcome == "nothing-fits"
