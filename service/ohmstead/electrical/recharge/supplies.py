"""What each supply brings to the bank in every section of the day, and which of them can never fill it."""

from __future__ import annotations

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case, no_less, no_more
from ...reference.citations import cite
from ...working import Check, Rule, at_least, at_most
from ..held.model import Held
from ..runtime.clock import Stretch
from ..runtime.formulas import input_by_efficiency, input_by_load, square_of_load
from ..runtime.model import Always, ByRating, ByTheClock, Inverter
from ..sources.formulas import dc_dc_carried, hot_output, spare_output
from ..storage.bank_formulas import absorption_voltage, cells_voltage
from ..storage.resting import charge_at_rest, rests_known
from .formulas import missing_from
from .model import Array, DcDc, MainsCharger, RechargeRequest, Steady
from .supply_formulas import (
    array_output, as_rated, behind_limit, beyond_limit, cell_at_charger, current_of_loads, current_of_power, given_together, loads_on_bank,
    lower_share, reaching_bank, share_of_array, smaller_output, sun_from, sun_hours, taken_by_charger,
)

REACH = Rule("charger-reaches-absorption", TERMS["charger_v"], "at least", TERMS["absorption_v"], cite("battery-trade-literature", "lower end of absorption voltages"))
STANDS = Rule("charger-within-bank-voltage", TERMS["charger_v"], "at most", TERMS["highest_voltage_v"], cite("battery-trade-literature"))


class Source(Struct, frozen=True):
    """A supply as the bank meets it."""

    supply: MainsCharger | DcDc | Array | Steady
    present: Always | ByTheClock
    current_a: float
    """At most, with no alternating-current loads on its input."""
    input_w: float | None
    ceiling: float | None
    """State of charge at which its voltage stops it; None where it fills the bank."""
    ceiling_missing_ah: float | None
    checks: tuple[Check, ...]


class Offer(Struct, frozen=True):
    """One section of the day: what is there and what the loads take."""

    section_hours: float
    present: tuple[int, ...]
    """Positions of the sources."""
    currents_a: tuple[float, ...]
    """Of the same sources."""
    loads_a: float


def source_of(supply: MainsCharger | DcDc | Array | Steady, held: Held, charging_v: float, case: Case) -> Source:
    """A supply with what it brings on charging voltage and how far that voltage takes the bank."""
    input_w = None
    present = supply.present
    if isinstance(supply, MainsCharger):
        current = as_rated(supply.charger_current_a)
        input_w = taken_by_charger(current, charging_v, case.assume("charger_efficiency", supply.charger_efficiency))
    elif isinstance(supply, DcDc):
        current = as_rated(supply.dc_dc_output_a)
        if supply.alternator_rating_a is not None:
            hot = hot_output(supply.alternator_rating_a, case.assume("alternator_hot_share"))
            spare = spare_output(hot, case.assume("alternator_spare_share"))
            lowest = case.assume(f"alternator_voltage_{supply.starter_voltage_v:g}")
            current = smaller_output(supply.dc_dc_output_a, dc_dc_carried(spare, lowest, case.assume("dc_dc_efficiency"), charging_v))
    elif isinstance(supply, Array):
        share = supply.array_share
        if share is None:
            names = ("derate_soiling", "derate_wiring", "derate_mismatch", "derate_shading", "derate_ageing", "controller_efficiency")
            share = share_of_array(*[case.assume(name) for name in names])
        current = current_of_power(array_output(supply.array_nameplate_w, share), charging_v)
        present = ByTheClock(sun_from(supply.peak_sun_hours), sun_hours(supply.peak_sun_hours))
    else:
        current = current_of_power(supply.charging_power_w, charging_v)
    ceiling, checks = _ceiling(supply, held, case)
    return Source(supply, present, current, input_w, ceiling, None if ceiling is None else missing_from(held.capacity_ah, ceiling), checks)


def _ceiling(supply: MainsCharger | DcDc | Array | Steady, held: Held, case: Case) -> tuple[float | None, tuple[Check, ...]]:
    """How far a charger of a given voltage takes the bank.

    Below the lower end of the absorption voltages of the chemistry it stops where absorption would begin, or earlier
    where the bank at rest has its voltage.
    """
    if supply.charger_v is None:
        return None, ()
    known = held.known
    lowest = absorption_voltage(held.cells, case.library.tables["chemistry_ranges"].cell(f"{known.chemistry}/absorption_cell", "low"))
    reach = REACH.check(supply.charger_v, lowest)
    stands = STANDS.check(supply.charger_v, cells_voltage(held.cells, known.highest_cell_v))
    if not stands.passed:
        case.note("charger-overcharges", supply.pointer, id=supply.id, voltage=no_less(supply.charger_v), limit=no_more(stands.limit, 2))
    if reach.passed:
        return None, (reach, stands)
    start = f"absorption_start_{known.chemistry}"
    begins = case.assume(start if start in case.library.defaults else "absorption_start")
    met = charge_at_rest(known.chemistry, cell_at_charger(supply.charger_v, held.cells), case) if rests_known(known.chemistry, case) else None
    ceiling = begins if met is None else lower_share(begins, met)
    case.note(
        "charger-never-fills", supply.pointer, id=supply.id,
        why=f"it reaches {no_more(supply.charger_v, 2)} V and absorption needs {no_less(lowest, 2)} V at the least")
    return ceiling, (reach, stands)


def offers(request: RechargeRequest, sources: list[Source], day: list[Stretch], charging_v: float, case: Case) -> list[Offer]:
    """Every section of the day: the sources that are there and the current of the loads.

    One alternating-current supply carries the alternating loads, the strongest that is there, and what it cannot
    carry the inverter adds from the bank; without one the inverter carries all.
    """
    none = case.chosen(0.0, "section_dc_w", "no direct-current loads")
    no_ac = case.chosen(0.0, "ac_loads_w", "no alternating-current loads")
    dc = none if request.dc_loads_w is None else request.dc_loads_w
    made, throttled = [], set()
    for stretch in day:
        present = stretch.active
        mains = [place for place in present if isinstance(sources[place].supply, MainsCharger)]
        carries = max(mains, key=lambda place: _strength(sources[place])) if mains else None
        ac = no_ac if request.ac_loads_w is None else request.ac_loads_w
        currents = []
        for place in present:
            currents.append(_current(sources[place], ac if place == carries else no_ac, charging_v, case))
            if not at_least(currents[-1], sources[place].current_a) and place not in throttled:
                throttled.add(place)
                case.note("supply-beyond-input", sources[place].supply.pointer, id=sources[place].supply.id,
                          limit=no_more(sources[place].supply.input_limit_w, 0), taken=no_less(sources[place].input_w, 0))
        if carries is not None:
            limit = sources[carries].supply.input_limit_w
            ac = no_ac if limit is None else beyond_limit(ac, limit)
        taken = _inverter(ac, request.inverter, carries is not None, case)
        made.append(Offer(stretch.section_hours, present, tuple(currents), current_of_loads(loads_on_bank(dc, taken), charging_v)))
    return made


def _strength(source: Source) -> tuple[float, float]:
    limit = source.supply.input_limit_w
    return (float("inf") if limit is None else float(limit), float(source.current_a))


def _current(source: Source, ac_w: float, charging_v: float, case: Case) -> float:
    supply = source.supply
    if not isinstance(supply, MainsCharger) or supply.input_limit_w is None:
        return source.current_a
    return behind_limit(
        supply.charger_current_a, supply.input_limit_w, ac_w, case.assume("charger_efficiency", supply.charger_efficiency),
        case.assume("charger_power_factor", supply.charger_power_factor), charging_v)


def _inverter(ac_w: float, inverter: Inverter | None, fed: bool, case: Case) -> float:
    """What the inverter takes from the bank; in transfer it takes nothing."""
    if (inverter is None or fed or not inverter.always_on) and not ac_w > 0:
        return case.chosen(0.0, "inverter_input_w", "nothing hangs on the inverter")
    inverter = inverter or Inverter()
    idle = case.assume("idle_w", inverter.idle_w)
    losses = inverter.losses
    if isinstance(losses, ByRating):
        slope, full = case.assume("inverter_slope"), case.assume("inverter_efficiency_full", losses.full_efficiency)
        return input_by_load(ac_w, slope, square_of_load(slope, full, losses.inverter_rating_w, idle), ac_w, idle)
    return input_by_efficiency(ac_w, case.assume("inverter_efficiency", losses.inverter_efficiency), idle)


def filling(offer: Offer, sources: list[Source], missing_ah: float, limit_a: float, none_a: float, at_ceiling: bool) -> float:
    """Current that reaches the bank where it lacks a charge; `at_ceiling` counts the sources that stop just there."""
    given = [
        current for place, current in zip(offer.present, offer.currents_a)
        if reaches(sources[place], missing_ah, at_ceiling)
    ]
    return reaching_bank(given_together(none_a, *given), offer.loads_a, limit_a)


def reaches(source: Source, missing_ah: float, at_ceiling: bool) -> bool:
    """Whether a source still charges a bank that lacks a charge."""
    ceiling = source.ceiling_missing_ah
    if ceiling is None or missing_ah > ceiling:
        return True
    return at_ceiling and at_most(ceiling, missing_ah)
