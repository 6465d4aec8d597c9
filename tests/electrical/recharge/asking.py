"""Requests of recharge for the tests, and what came of them."""

from __future__ import annotations

from electrical.runtime.asking import CHEMISTRIES, SHELF, bank, maybe, number
from hypothesis import strategies as st

from ohmstead.electrical.recharge.model import Array, DcDc, MainsCharger, Recharge, RechargeRequest, Steady
from ohmstead.electrical.recharge.sizing import size_recharge
from ohmstead.electrical.runtime.model import Always, ByTheClock
from ohmstead.reference.case import Case

CLOCK = st.builds(ByTheClock, number(0, 24), number(0.5, 24))


def charge(request: RechargeRequest) -> tuple[Recharge, Case]:
    case = SHELF.case()
    return size_recharge(request, case), case


def shore(current_a: float = 40.0, **more) -> MainsCharger:
    return MainsCharger(id="shore", charger_current_a=current_a, **more)


def hours(found: Recharge) -> tuple[float, float, float]:
    """Shortest, expected, longest; what is never reached takes longer than anything."""
    if found.charge_hours is None:
        return (float("inf"),) * 3
    spread = found.charge_hours
    return tuple(float("inf") if end is None else end for end in (spread.low, spread.expected, spread.high))


@st.composite
def supplies(draw, clock: bool = True):
    present = draw(st.one_of(st.just(Always()), CLOCK)) if clock else Always()
    name, voltage = draw(st.sampled_from("abcd")), draw(st.one_of(st.none(), st.none(), number(12.5, 14.5)))
    kind = draw(st.integers(0, 3 if clock else 2))
    if kind == 0:
        return MainsCharger(
            id=name, present=present, charger_v=voltage, charger_current_a=draw(number(1, 120)), charger_efficiency=draw(maybe(number(0.5, 0.98))),
            input_limit_w=draw(maybe(number(200, 4000))))
    if kind == 1:
        return DcDc(id=name, present=present, charger_v=voltage, dc_dc_output_a=draw(number(5, 80)), alternator_rating_a=draw(maybe(number(50, 250))))
    if kind == 2:
        return Steady(id=name, present=present, charger_v=voltage, charging_power_w=draw(number(5, 800)))
    return Array(id=name, charger_v=voltage, array_nameplate_w=draw(number(50, 1500)), peak_sun_hours=draw(number(0.5, 9)))


@st.composite
def requests(draw, clock: bool = True) -> RechargeRequest:
    chemistry = draw(st.sampled_from(CHEMISTRIES))
    held = bank(chemistry, draw(number(50, 800)), draw(number(1, 44)), charge_current_a=draw(maybe(number(20, 300))))
    return RechargeRequest(
        held, tuple(draw(st.lists(supplies(clock), min_size=1, max_size=3))), draw(number(0, 1)), target_state=draw(maybe(number(0.1, 1))),
        dc_loads_w=draw(maybe(number(1, 200))), ac_loads_w=draw(maybe(number(1, 600))), start_hour_h=draw(number(0, 24)))
