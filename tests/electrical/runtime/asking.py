"""Requests of run time for the tests, and what came of them."""

from __future__ import annotations

from hypothesis import strategies as st

from ohmstead.electrical.held.model import ByEnergy, ByUnits, HeldRequest
from ohmstead.electrical.runtime.model import (
    Always, ByEfficiency, ByRating, ByTheClock, HoursADay, Inverter, Load, Runtime, RuntimeRequest, Spread,
)
from ohmstead.electrical.runtime.sizing import size_runtime
from ohmstead.reference.case import Case, Shelf

SHELF = Shelf()
CHEMISTRIES = ("flooded", "golf-cart", "agm", "gel", "lfp", "lfp", "nmc", "lto", "sodium-ion")


def run(request: RuntimeRequest) -> tuple[Runtime, Case]:
    case = SHELF.case()
    return size_runtime(request, case), case


def codes(case: Case) -> set[str]:
    return {finding.code for finding in case.findings}


def bank(chemistry: str = "lfp", capacity_ah: float = 200.0, temperature_c: float = 25.0, **more) -> HeldRequest:
    """A 12 V bank with a current that nothing reaches unless said."""
    made = dict(voltage_v=12.8 if chemistry == "lfp" else 12.0, capacity_ah=capacity_ah, parallel=1.0, current_a=2000.0) | more
    return HeldRequest(chemistry, 12.0, ByUnits(**made), temperature_c)


def load(power_w: float = 100.0, kind: str = "dc", use=Always(), duty: float = 1.0, count: float = 1.0, name: str = "load") -> Load:
    return Load(name, kind, power_w, count, duty, use)


def hours(spread: Spread) -> tuple[float, float, float]:
    """Hours without end count as more than any."""
    return tuple(float("inf") if end is None else end for end in (spread.low, spread.expected, spread.high))


def number(low: float, high: float):
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def maybe(strategy):
    return st.one_of(st.none(), strategy)


USES = st.one_of(
    st.just(Always()), st.builds(HoursADay, number(0.01, 24)), st.builds(ByTheClock, st.one_of(number(0, 24), st.integers(0, 24).map(float)), number(0.1, 24)))


@st.composite
def loads(draw) -> Load:
    return Load(
        draw(st.sampled_from("abcd")), draw(st.sampled_from(["dc", "dc", "ac"])), draw(st.one_of(number(0.5, 60), number(1, 1500))),
        float(draw(st.integers(1, 4))), draw(number(0.05, 1)), draw(USES))


@st.composite
def inverters(draw) -> Inverter:
    losses = draw(st.one_of(
        st.builds(ByEfficiency, maybe(number(0.6, 0.99))), st.builds(ByRating, number(7000, 20000), maybe(number(0.6, 0.98)))))
    return Inverter(losses, draw(maybe(number(0, 60))), draw(st.booleans()))


@st.composite
def requests(draw, most_loads: int = 4) -> RuntimeRequest:
    chemistry = draw(st.sampled_from(CHEMISTRIES))
    held = draw(st.one_of(
        st.just(bank(chemistry, draw(number(50, 1500)), draw(number(-19, 45)), parallel=float(draw(st.integers(1, 3))))),
        st.just(HeldRequest(chemistry, 24.0, ByEnergy(draw(number(500, 40000)), 1.0, 2000.0), draw(number(-19, 45))))))
    return RuntimeRequest(
        held, tuple(draw(st.lists(loads(), min_size=1, max_size=most_loads))), inverter=draw(maybe(inverters())),
        depth_of_discharge=draw(maybe(number(0.2, 1))), state_of_charge=draw(maybe(number(0.3, 1))),
        ageing_convention=draw(st.sampled_from([None, "larger-of", "product"])), ageing_factor=draw(maybe(number(0.5, 1))),
        cut_off_v=draw(maybe(number(10, 11.5))) if held.nominal_voltage_v == 12 else None,
        path_resistance_ohm=draw(maybe(number(0, 0.005))), charging_power_w=draw(maybe(number(1, 200))), start_hour_h=draw(maybe(number(0, 24))),
    )
