"""What holds for every inverter: searched with hypothesis."""

from __future__ import annotations

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st

from ohmstead.electrical.inverter.model import Bank, Inverter, Motor, Request, SecondLeg, Unit
from ohmstead.electrical.inverter.sizing import size_inverter
from ohmstead.electrical.loads.model import CodeLetter, LockedRotor, MeasuredStart, NoStart, SoftStart, StartMultiple
from ohmstead.reference.case import Shelf
from ohmstead.working import at_least

SHELF = Shelf()
UNHURRIED = settings(deadline=None)  # the machine may be busy; speed is measured elsewhere
RATINGS = SHELF.plain.tables["inverter_ratings"].column("rating_w")


def number(low: float, high: float):
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def maybe(strategy):
    return st.one_of(st.none(), strategy)


SOFT = maybe(st.builds(SoftStart, maybe(number(0.1, 1))))
STARTS = st.one_of(
    st.just(NoStart()), st.builds(StartMultiple, number(1, 20)), st.builds(LockedRotor, number(0.1, 300), number(50, 480), SOFT),
    st.builds(CodeLetter, st.sampled_from("AGU"), number(0.01, 20), SOFT), st.builds(MeasuredStart, number(0.1, 50000)),
)
UNITS = st.builds(
    Unit, number(100, 20000), maybe(number(100, 20000)), maybe(number(100, 40000)), maybe(number(0, 200)), maybe(number(5, 100)),
    maybe(number(0.01, 60)), st.sampled_from([None, "sine", "modified-sine"]),
)
REQUESTS = st.builds(
    Request, number(0.01, 12000), st.sampled_from([12.0, 24.0, 48.0]), maybe(number(0.01, 15000)), maybe(number(0.01, 30000)),
    maybe(number(0.1, 1)), maybe(number(0.01, 5000)), maybe(number(5, 60)), maybe(number(0.3, 1)), maybe(number(-40, 90)),
    maybe(number(-400, 6500)), maybe(number(1, 3)), st.none(), maybe(number(1, 200)),
    maybe(st.builds(Motor, number(0.01, 5000), STARTS, maybe(number(0.1, 1)))), maybe(number(0.01, 60)),
    st.lists(st.sampled_from(["resistive", "motor", "electronic", "medical"]), max_size=4, unique=True).map(tuple), maybe(number(0, 24)),
    maybe(st.builds(Bank, number(1, 1000), maybe(number(1, 3000)), maybe(number(0.01, 60)), maybe(number(1, 20000)))),
    maybe(st.builds(SecondLeg, *[number(0.01, 12000), *[maybe(number(0.01, 12000))] * 5])),
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


@UNHURRIED
@given(REQUESTS, number(1, 3))
def test_a_harder_start_never_takes_a_smaller_one(request, factor):
    if request.motor is None or type(request.motor.start) is not MeasuredStart:
        return
    harder = msgspec.structs.replace(request.motor, start=MeasuredStart(request.motor.start.start_va * factor))
    assert watts(sized(msgspec.structs.replace(request, motor=harder))) >= watts(sized(request))


@UNHURRIED
@given(REQUESTS, UNITS, number(1, 10))
def test_a_surge_that_lasts_longer_is_never_worse(request, unit, factor):
    if unit.surge_duration_s is None:
        return
    longer = msgspec.structs.replace(unit, surge_duration_s=unit.surge_duration_s * factor)
    short, long = (sized(msgspec.structs.replace(request, unit=one)) for one in (unit, longer))
    assert short.outcome == "nothing-fits" or long.outcome == "sized"


@UNHURRIED
@given(REQUESTS, number(1, 3))
def test_a_stronger_bank_never_fails_where_a_weaker_one_passed(request, factor):
    bank = request.bank
    if bank is None:
        return
    stronger = Bank(bank.continuous_a * factor, bank.peak_a and bank.peak_a * factor, bank.peak_duration_s, bank.usable_wh)
    weak, strong = sized(request).bank, sized(msgspec.structs.replace(request, bank=stronger)).bank
    assert [check.passed for check in weak] <= [check.passed for check in strong]
    assert all(after.passed or not before.passed for before, after in zip(weak, strong, strict=True))


@UNHURRIED
@given(number(1, 9000), number(1, 9000), maybe(number(1, 20000)), maybe(number(1, 20000)), maybe(number(1, 5000)))
def test_it_does_not_matter_which_leg_is_called_the_first(one, other, peak, other_peak, between):
    known = dict(power_factor=0.9, cut_off_v=42.0)
    first = sized(Request(one, 48.0, surge_va=peak, second_leg=SecondLeg(other, surge_va=other_peak, between_w=between), **known))
    second = sized(Request(other, 48.0, surge_va=other_peak, second_leg=SecondLeg(one, surge_va=peak, between_w=between), **known))
    assert (first.continuous_needed_w, first.apparent_needed_va, first.surge_needed_va) == (
        second.continuous_needed_w, second.apparent_needed_va, second.surge_needed_va)
    assert (first.legs.units, first.outcome) == (second.legs.units, second.outcome)
    assert at_least(first.bank_running_a, second.bank_running_a) and at_least(second.bank_running_a, first.bank_running_a)
    assert at_least(first.legs.running_w, max(one, other))


@UNHURRIED
@given(REQUESTS)
def test_an_inverter_on_two_legs_carries_at_least_either(request):
    if request.second_leg is None:
        return
    found, alone = sized(request), sized(msgspec.structs.replace(request, second_leg=None))
    assert at_least(found.continuous_needed_w, alone.continuous_needed_w)
    assert at_least(found.surge_needed_va, alone.surge_needed_va)
    assert at_least(found.bank_running_a, alone.bank_running_a)
