"""What a number of strings of one unit gives, how many strings each demand asks for, and whether they pass."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import ceil

from msgspec import Struct
from msgspec.structs import replace

from ...nomenclature import TERMS
from ...reference.case import Case, Library, no_less, no_more
from ...reference.citations import cite
from ...working import TOLERANCE, Check, Citation, Rule, at_least, at_most
from ..recharge.supply_formulas import least_limit, limit_in_cold
from .bank_formulas import (
    bank_capacity, bank_current, bank_current_short, bank_energy, bank_mass, bank_peak, bank_peak_short, bank_voltage, cells_voltage,
    charge_current_at_rate, charge_floor, charge_limit, current_at_rate, unit_energy,
)
from .chemistry import Properties, generic_units, properties
from .loaded import Sag, sag_of
from .model import BankRequest, Chemistry, Currents, Governed, Need, Unit
from .string_formulas import strings_for_capacity, strings_for_current, strings_for_energy, strings_for_voltage
from .window import EMPTY, HIGHEST, cells_in_unit, series_inside, window_checks, window_of

ENERGY = Rule("bank-energy", TERMS["bank_rated_energy_wh"], "at least", TERMS["energy_needed_wh"], cite("ieee-1013"))
STEADY = Rule("steady-load-capacity", TERMS["bank_capacity_ah"], "at least", TERMS["peukert_capacity_ah"], cite("battery-trade-literature"))
DISCHARGE = Rule("discharge-current", TERMS["discharge_current_a"], "at most", TERMS["bank_current_a"], cite("common-practice", "limit of the units"))
PEAK = Rule("peak-current", TERMS["peak_current_a"], "at most", TERMS["bank_peak_current_a"], cite("common-practice", "limit of the units"))
CHARGING = Rule("charging-current", TERMS["charge_current_a"], "at most", TERMS["charge_limit_a"], cite("common-practice", "limit of the units"))
PARALLEL = Rule("strings-in-parallel", TERMS["parallel"], "at most", TERMS["parallel_limit"], cite("battery-trade-literature"))
SERIES = Rule("units-in-series", TERMS["series"], "at most", TERMS["series"], cite("common-practice", "limit of the units"))
MASS = Rule("bank-mass", TERMS["bank_mass_kg"], "at most", TERMS["payload_kg"], cite("design-arithmetic", "payload of the vehicle"))
LABEL_TOLERANCE = 0.04
"""How far a unit's stated voltage may lie from its share of the system's: labels round 12.8 V to 12 and 13.2 V down to it."""
_USUAL = "The maker's figure is not given; the rate usual for the chemistry"
_LARGEST = "The maker's figure is not given; the largest rate of the chemistry"
_NO_PEAK = "The maker's figure is not given; no more than the continuous current is counted on"


class Assumed(Struct, frozen=True):
    """A rating that the maker did not give."""

    term: str
    words: str
    value: float
    why: str
    citation: Citation


class Candidate(Struct, frozen=True):
    """A unit that could make up the bank, its ratings complete."""

    unit: Unit
    series: int
    in_series: float
    """The same as a number that formulas accept."""
    cells: float
    """In series, the whole string."""
    energy_wh: float
    """Rated energy of one unit."""
    current_a: float
    peak_a: float
    charge_a: float
    assumed: tuple[Assumed, ...]


class Missing(Struct, frozen=True):
    """Why no unit could be tried."""

    check: Check | None
    why: str


class Demand(Struct, frozen=True):
    """Everything that is asked of the bank."""

    request: BankRequest
    known: Properties
    need: Need
    discharge_a: float | None
    case: Case


class Made(Struct, frozen=True):
    """What a number of strings of a candidate gives."""

    candidate: Candidate
    parallel: int
    strings: float
    """The same as a number that formulas accept."""
    voltage_v: float
    capacity_ah: float
    energy_wh: float
    currents: Currents
    mass_kg: float | None
    sag: Sag | None


class Limits(Struct, frozen=True):
    """Largest number of strings: as documented for the unit or its chemistry, and as permitted in this request."""

    documented: float
    permitted: float


class Ask(Struct, frozen=True):
    """Strings that satisfy every demand on one candidate, and the demand that asked for that many."""

    candidate: Candidate
    count: int
    governed: Governed
    strings: float
    """The same before rounding up."""
    sag: Sag | None = None


class Fit(Struct, frozen=True):
    """A candidate with its number of strings, the demand that set it, and the check that it fails, if any."""

    made: Made
    asked: Ask
    limits: Limits
    checks: tuple[Check, ...]
    failed: Check | None


def series_of(unit_voltage_v: float, system_v: float, known: Properties) -> int | None:
    """Units in series that bring a stated voltage to the system's, by its label or by the chemistry's cells."""
    by_cells = cells_voltage(known.cells[int(system_v)], known.cell_voltage_v)
    for target in (float(by_cells), float(system_v)):
        count = round(target / float(unit_voltage_v))
        if count >= 1 and at_most(abs(count * float(unit_voltage_v) - target), LABEL_TOLERANCE * target):
            return count
    return None


def candidates(demand: Demand) -> tuple[list[Candidate], Missing]:
    """Units to try, and why there is none when there is none."""
    request = demand.request
    if request.unit is None:
        tried = generic_candidates(demand.case.library, request.chemistry, int(request.nominal_voltage_v))
        if request.windowed:
            tried = tuple(
                candidate_of(usual.unit, series_for(usual.unit, demand) or usual.series, int(request.nominal_voltage_v), demand.known, demand.case)
                for usual in tried
            )
        why = "No generic unit of this chemistry makes up this system voltage."
    else:
        series = series_for(request.unit, demand)
        tried = () if series is None else (candidate_of(request.unit, series, int(request.nominal_voltage_v), demand.known, demand.case),)
        why = f"No number of {request.unit.voltage_v:g} V units makes a {request.nominal_voltage_v:g} V bank."
    found, failed = [], None
    for candidate in tried:
        check = next((check for check in series_checks(candidate, demand) if not check.passed), None)
        if check is None:
            found.append(candidate)
        else:
            failed, why = check, why_not(candidate, check)
    return found, Missing(failed, why)


@lru_cache(maxsize=64)
def generic_candidates(library: Library, chemistry: Chemistry, nominal_v: int) -> tuple[Candidate, ...]:
    """The generic units of a chemistry that make up a system voltage; the same for every request."""
    known, case = properties(library, chemistry), Case(library, {})
    return tuple(
        candidate_of(unit, series_of(unit.voltage_v, nominal_v, known), nominal_v, known, case)
        for unit in generic_units(library, chemistry, nominal_v)
    )


def series_for(unit: Unit, demand: Demand) -> int | None:
    """Units in series: by the system's nominal voltage, or by the window of the equipment where that is given."""
    request = demand.request
    usual = series_of(unit.voltage_v, request.nominal_voltage_v, demand.known)
    if not request.windowed:
        return usual
    return series_inside(window_of(unit, request, demand.need, demand.known, demand.case), usual)


def series_checks(candidate: Candidate, demand: Demand) -> list[Check]:
    """Whether so many units may be put in series: by maker and request, and by the voltages of the equipment."""
    limit = _smaller(candidate.unit.largest_series, demand.request.largest_series)
    checks = [] if limit is None else [SERIES.check(candidate.in_series, limit)]
    if demand.request.windowed:
        checks += window_checks(candidate.cells, demand.request, demand.need, demand.known, demand.case)
    return checks


def why_not(candidate: Candidate, check: Check) -> str:
    """Why so many units in series are refused, in words."""
    if check.rule is SERIES:
        return f"{candidate.series} units in series are needed and at most {check.limit:g} are permitted."
    if check.rule is HIGHEST:
        return f"{candidate.series} in series reach {no_less(check.actual, 2)} V while charging and the equipment stands {no_more(check.limit, 2)} V."
    return (
        f"{candidate.series} in series are empty at {no_more(check.actual, 2)} V and the equipment switches off at {no_less(check.limit, 2)} V; "
        "how much that strands is not known for this chemistry."
    )


def in_series(unit: Unit, series: int, case: Case) -> float:
    """A series count as a number that formulas accept."""
    return case.chosen(series, "series", "units that make up the system voltage", unit.voltage_v)


def _smaller(one: float | None, other: float | None) -> float | None:
    if one is None or other is None:
        return other if one is None else one
    return one if one <= other else other


def _cells(unit: Unit, series: int, nominal_v: int, known: Properties, case: Case) -> float:
    """Cells in series: as stated, else those of the system voltage, else by the unit's voltage."""
    if unit.cells is None and series == series_of(unit.voltage_v, nominal_v, known):
        return known.cells[nominal_v]
    inside = cells_in_unit(unit, known, case)
    return case.chosen(series * int(inside), "cells", "cells of a unit times units in series", inside)


def candidate_of(unit: Unit, series: int, nominal_v: int, known: Properties, case: Case) -> Candidate:
    """The unit with every rating; what its maker did not state is taken from its chemistry."""
    current, peak, charge, assumed = unit.current_a, unit.peak_current_a, unit.charge_current_a, []
    if current is None:
        current = current_at_rate(known.discharge_rate, unit.capacity_ah)
        assumed.append(Assumed("unit_current_a", "continuous current", current, _USUAL, known.rate_sources["discharge_rate"]))
    if peak is None and known.peak_rate is not None and unit.current_a is None:
        peak = current_at_rate(known.peak_rate, unit.capacity_ah)
        assumed.append(Assumed("unit_peak_current_a", "peak current", peak, _LARGEST, known.rate_sources["discharge_rate_max"]))
    if peak is None:
        peak = current
        assumed.append(Assumed("unit_peak_current_a", "peak current", peak, _NO_PEAK, cite("common-practice")))
    if charge is None:
        charge = charge_current_at_rate(known.charge_rate, unit.capacity_ah)
        assumed.append(Assumed("unit_charge_limit_a", "charging limit", charge, _USUAL, known.rate_sources["charge_rate"]))
    energy = unit_energy(unit.capacity_ah, unit.voltage_v)
    cells = _cells(unit, series, nominal_v, known, case)
    return Candidate(unit, series, in_series(unit, series, case), cells, energy, current, peak, charge, tuple(assumed))


def limits_of(unit: Unit, demand: Demand) -> Limits:
    """How many strings may be put in parallel.

    A caller may go beyond what is documented as usual, and is told so; not beyond what a maker permits.
    """
    asked, name = demand.request.largest_parallel, f"parallel_limit_{demand.known.family}"
    if unit.largest_parallel is not None:
        documented = unit.largest_parallel
        return Limits(documented, documented if asked is None else asked if unit.generic else _smaller(documented, asked))
    if asked is None:
        documented = demand.case.assume(name)
        return Limits(documented, documented)
    return Limits(_documented(name, demand.case), asked)


def _documented(name: str, case: Case) -> float:
    """A default to compare with, not to use: it is not listed as assumed."""
    return case.library.tables["defaults"].cell(name, "value")


def ask(candidate: Candidate, demand: Demand) -> Ask:
    """Solve every demand for the number of strings that it needs."""
    request, case = demand.request, demand.case
    strings = strings_for_energy(demand.need.energy_needed_wh, candidate.energy_wh, candidate.in_series)
    best = Ask(candidate, _count(strings), "energy", strings)
    if demand.need.steady_load_capacity_ah is not None:
        strings = strings_for_capacity(demand.need.steady_load_capacity_ah, candidate.unit.capacity_ah)
        best = _larger(best, Ask(candidate, _count(strings), "steady-load", strings))
    for governed, asked, given in (
        ("discharge-current", demand.discharge_a, candidate.current_a), ("peak-current", request.peak_current_a, candidate.peak_a),
        ("charging-current", request.charge_current_a, candidate.charge_a),
    ):
        if asked is None or at_most(asked, given):
            continue
        # A single string need not share; two and more do, unequally.
        sharing = case.house_rules.get("sharing_factor")
        strings = strings_for_current(asked, given, _documented("sharing_factor", case) if sharing is None else sharing)
        best = _larger(best, Ask(candidate, max(2, _count(strings)), governed, strings))
    if request.cut_off_v is None:
        return best
    sag = sag_of(candidate.cells, candidate.unit.capacity_ah, demand.discharge_a, request, demand.need, demand.known, case)
    if sag is None:
        return best
    left = sag.left_to_bank()
    if left > 0:
        strings = strings_for_voltage(sag.string_ohm, sag.current_a, left)
        best = _larger(best, Ask(candidate, _count(strings), "voltage", strings))
    return replace(best, sag=sag)


def _larger(one: Ask, other: Ask) -> Ask:
    return other if other.count > one.count else one


def _count(strings: float) -> int:
    return max(1, ceil(strings - TOLERANCE * strings))


def make(asked: Ask, parallel: int, demand: Demand) -> Made:
    """What a number of strings gives."""
    case, candidate, known = demand.case, asked.candidate, demand.known
    unit = candidate.unit
    strings = case.chosen(parallel, "parallel", "strings in parallel", asked.strings)
    alone = case.chosen(1, "sharing_factor", "a single string shares with none")
    sharing = case.assume("sharing_factor") if parallel > 1 else alone
    capacity, voltage = bank_capacity(strings, unit.capacity_ah), bank_voltage(candidate.in_series, unit.voltage_v)
    charging = charge_limit(candidate.charge_a, strings, sharing)
    currents = Currents(
        continuous_a=bank_current(candidate.current_a, strings, sharing),
        one_string_gone_a=bank_current_short(candidate.current_a, strings, sharing if parallel > 2 else alone),
        peak_a=bank_peak(candidate.peak_a, strings, sharing),
        peak_one_string_gone_a=bank_peak_short(candidate.peak_a, strings, sharing if parallel > 2 else alone),
        charge_limit_a=charging, charge_limit_cold_a=_cold_limit(charging, capacity, demand),
        charge_floor_a=None if known.least_charge_rate is None else charge_floor(known.least_charge_rate, capacity),
        sharing_factor=sharing,
    )
    mass = None
    if unit.mass_kg is not None:
        mass = bank_mass(unit.mass_kg, case.chosen(parallel * candidate.series, "units", "series times parallel", candidate.in_series, strings))
    return Made(candidate, parallel, strings, voltage, capacity, bank_energy(capacity, voltage), currents, mass, asked.sag)


def _cold_limit(charge_limit_a: float, capacity_ah: float, demand: Demand) -> float | None:
    """Lithium cells that may be charged from freezing on take little just above it; others have no such figure."""
    if not demand.known.lithium or not at_least(demand.known.charge_above_c, 0.0):
        return None
    return least_limit(charge_limit_a, limit_in_cold(demand.case.constant("cold_charge_rate"), capacity_ah))


def checks_of(made: Made, limits: Limits, demand: Demand) -> Iterator[Check]:
    """Every check of one candidate, the energy first."""
    request, currents = demand.request, made.currents
    yield ENERGY.check(made.energy_wh, demand.need.energy_needed_wh)
    if demand.need.steady_load_capacity_ah is not None:
        yield STEADY.check(made.capacity_ah, demand.need.steady_load_capacity_ah)
    if demand.discharge_a is not None:
        yield DISCHARGE.check(demand.discharge_a, currents.continuous_a)
    if request.peak_current_a is not None:
        yield PEAK.check(request.peak_current_a, currents.peak_a)
    if request.charge_current_a is not None:
        yield CHARGING.check(request.charge_current_a, currents.charge_limit_a)
    yield PARALLEL.check(made.strings, limits.permitted)
    if made.sag is not None:
        yield made.sag.check(made.strings)
    yield from series_checks(made.candidate, demand)
    if request.payload_kg is not None and made.mass_kg is not None:
        yield MASS.check(made.mass_kg, request.payload_kg)


def fit_strings(asked: Ask, demand: Demand) -> Fit:
    """The asked number of strings, verified; the permitted number when more are asked."""
    limits = limits_of(asked.candidate.unit, demand)
    most = int(limits.permitted)
    parallel = min(asked.count, most)
    while True:
        made = make(asked, parallel, demand)
        checks = tuple(checks_of(made, limits, demand))
        failed = next((check for check in checks if not check.passed), None)
        # A need that lies on the border by a rounding of the last digit takes one string more.
        if failed is None or parallel != asked.count or parallel >= most or failed.rule in (SERIES, MASS, HIGHEST, EMPTY):
            return Fit(made, asked, limits, checks, failed)
        parallel += 1
