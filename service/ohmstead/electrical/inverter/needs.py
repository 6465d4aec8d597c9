"""What the loads ask of an inverter, and what one gives here: the same for every rating that is tried."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...working import Check, Citation, Rule, at_least
from ..conductors.formulas import current_from_power, ripple_current, ripple_factor
from ..loads.formulas import apparent_power, idle_energy
from ..loads.model import NoStart
from ..loads.starting import Starts, start_of
from ..loads.starts import increment, surge
from .formulas import (
    apparent_at_least, apparent_from_factor, apparent_needed, apparent_on_modified_sine, continuous_needed, derated_apparent, derated_power,
    derated_surge, larger_surge, power_factor_of, power_on_modified_sine, rating_factor, running_at_least, surge_current, surge_needed,
)
from .leg_formulas import (
    apparent_with_between, both_legs, both_legs_apparent, heavier_apparent, heavier_running, power_with_between, surge_between, surge_with_between,
)
from .model import Legs, Rating, Request

CONTINUOUS = Rule(
    "continuous-power", TERMS["continuous_needed_w"], "at most", TERMS["derated_w"],
    cite("inverter-literature", "margin on the loads that run together"),
)
APPARENT = Rule(
    "apparent-power", TERMS["apparent_needed_va"], "at most", TERMS["derated_va"],
    cite("inverter-literature", "watts and volt-amperes both bind"),
)
SURGE = Rule(
    "surge", TERMS["surge_needed_va"], "at most", TERMS["derated_surge_va"], cite("motor-manuals", "running load and the largest start"),
)


class Load(Struct, frozen=True):
    """What one inverter has to carry, before any margin."""

    running_w: float
    running_va: float
    surge_va: float
    starts: bool
    """Whether anything takes more at its start than all of it running."""
    factor: float
    total_w: float
    """Of all inverters together; the same as `running_w` on one leg."""
    total_surge_va: float
    start_va: float | None = None
    legs: Legs | None = None
    sources: tuple[Citation, ...] = ()


class Need(Struct, frozen=True):
    """The load with its margin, and what heat and altitude leave of a rating."""

    load: Load
    continuous_w: float
    apparent_va: float
    surge_va: float
    factor: float
    efficiency: float
    cut_off_v: float
    ripple: float
    idle_hours: float

    def rating(
        self, name: str, given: bool, rating_w: float, rating_va: float, surge_va: float, idle_w: float, transfer_a: float | None,
        surge_counts: bool = True,
    ) -> Rating:
        """One inverter, with what heat and altitude leave of it and what it draws."""
        current = current_from_power(rating_w, self.efficiency, self.cut_off_v)
        return Rating(
            name, given, rating_w, rating_va, surge_va, derated_power(rating_w, self.factor), derated_apparent(rating_va, self.factor),
            derated_surge(surge_va if surge_counts else rating_va, self.factor), idle_w, transfer_a, current,
            surge_current(self.load.total_surge_va, self.efficiency, self.cut_off_v), ripple_current(current, self.ripple), self.idle_hours,
            idle_energy(idle_w, self.idle_hours), surge_counts,
        )

    def checks(self, rating: Rating) -> Iterator[Check]:
        """Every check of one inverter."""
        yield CONTINUOUS.check(self.continuous_w, rating.derated_w)
        yield APPARENT.check(self.apparent_va, rating.derated_va)
        yield SURGE.check(self.surge_va, rating.derated_surge_va)

    def failing(self, rating: Rating) -> Check | None:
        """The first check that an inverter fails."""
        return next((check for check in self.checks(rating) if not check.passed), None)


def need_of(request: Request, case: Case) -> Need:
    """What the loads ask for. Says what the request leaves out and what contradicts itself in it."""
    load = _load(request, case)
    margin = case.assume("sizing_margin", request.sizing_margin)
    return Need(
        load, continuous_needed(margin, load.running_w), apparent_needed(margin, load.running_va), surge_needed(load.surge_va, load.running_va),
        rating_factor(
            case.assume("inverter_temperature_c", request.inverter_temperature_c), case.assume("derate_start_c"), case.assume("derate_per_k"),
            case.assume("altitude_m", request.altitude_m), case.assume("derate_start_m"), case.assume("derate_per_m"),
        ),
        case.assume("inverter_efficiency_full", request.inverter_efficiency),
        case.assume(f"cut_off_{request.nominal_voltage_v:.0f}", request.cut_off_v), ripple_factor(load.factor),
        case.assume("idle_hours", request.idle_hours),
    )


def _load(request: Request, case: Case) -> Load:
    running, apparent = request.running_w, request.running_va
    if request.largest_load_w is not None:
        running = running_at_least(running, request.largest_load_w)
    if apparent is None:
        factor = case.assume("power_factor", request.power_factor)
        apparent = apparent_from_factor(running, factor)
    else:
        apparent = _not_below(running, apparent, "/running_apparent", case)
        factor = request.power_factor if request.power_factor is not None else power_factor_of(running, apparent)
    motor, start, starts = request.motor, None, Starts()
    if motor is not None:
        # The motor is one of the loads: it runs at least.
        running = running_at_least(running, motor.running_power_w)
        of_motor = apparent_power(motor.running_power_w, case.assume("power_factor_motor", motor.power_factor))
        apparent = apparent_at_least(apparent_at_least(apparent, running), of_motor)
    if request.unit is not None and request.unit.wave == "modified-sine" and (motor is not None or "motor" in request.feeds):
        factor_of_wave = case.assume("modified_sine_factor")
        running, apparent = power_on_modified_sine(running, factor_of_wave), apparent_on_modified_sine(apparent, factor_of_wave)
    peak = request.surge_va
    if motor is not None and type(motor.start) is not NoStart:
        start = start_of(motor.start, of_motor, starts, case)
        by_motor = surge(apparent, increment(start, of_motor))
        peak = by_motor if peak is None else larger_surge(peak, by_motor)
    elif motor is not None:
        start = of_motor
    if peak is None and motor is None:
        case.note("surge-not-given", "/surge")
    peak = surge_needed(apparent if peak is None else peak, apparent)
    sources = tuple(starts.sources)
    if request.second_leg is None:
        return Load(running, apparent, peak, not at_least(apparent, peak), factor, running, peak, start, None, sources)
    return _on_two_legs(running, apparent, peak, factor, start, sources, request, case)


def _not_below(real_w: float, apparent_va: float, pointer: str, case: Case) -> float:
    if not at_least(apparent_va, real_w):
        case.note("apparent-below-real", pointer, given=apparent_va, real=real_w)
    return apparent_at_least(apparent_va, real_w)


def _on_two_legs(
    running: float, apparent: float, peak: float, factor: float, start: float | None, sources: tuple[Citation, ...], request: Request, case: Case,
) -> Load:
    """Each inverter has to carry the heavier leg and half of what hangs between the legs."""
    second = request.second_leg
    other_va = second.running_va
    if other_va is None:
        other_va = apparent_from_factor(second.running_w, factor)
    else:
        other_va = _not_below(second.running_w, other_va, "/second_leg/running_apparent", case)
    other_peak = surge_needed(second.surge_va if second.surge_va is not None else other_va, other_va)
    between = second.between_w if second.between_w is not None else case.chosen(0, "between_power_w", "nothing hangs between the legs")
    if second.between_va is not None:
        between_va = second.between_va
        if not at_least(between_va, between):
            case.note("apparent-below-real", "/second_leg/between_apparent", given=between_va, real=between)
            between_va = apparent_at_least(between_va, between)
    else:
        between_va = apparent_from_factor(between, factor)
    heavier = "first" if at_least(running, second.running_w) else "second"
    if not at_least(running, second.running_w) or not at_least(second.running_w, running):
        more, less = (running, second.running_w) if heavier == "first" else (second.running_w, running)
        case.note("legs-uneven", "/second_leg", heavier=heavier, more=float(more), less=float(less))
    one_w = power_with_between(heavier_running(running, second.running_w), between)
    one_va = apparent_with_between(heavier_apparent(apparent, other_va), between_va)
    # One start at a time: on either leg, or between them.
    between_peak = surge_needed(second.between_surge_va if second.between_surge_va is not None else between_va, between_va)
    one_peak = larger_surge(
        surge_with_between(larger_surge(peak, other_peak), between_va), surge_between(heavier_apparent(apparent, other_va), between_peak),
    )
    total_w = both_legs(between, running, second.running_w)
    total_va = both_legs_apparent(apparent, other_va, between_va)
    return Load(
        one_w, one_va, one_peak, not at_least(one_va, one_peak), factor, total_w,
        surge(total_va, increment(peak, apparent), increment(other_peak, other_va), increment(between_peak, between_va)), start,
        Legs(heavier, None, total_w), sources,
    )
