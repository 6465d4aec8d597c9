"""Take a bank as it is described: complete its ratings, find its series count, and read its rest voltages."""

from __future__ import annotations

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...working import Rule
from ..storage.bank_formulas import (
    bank_capacity, bank_current, bank_current_short, bank_energy, bank_voltage, cells_voltage, charge_floor, charge_limit,
)
from ..storage.chemistry import properties
from ..storage.fitting import Assumed, candidate_of, series_of
from ..storage.model import Unit
from ..storage.resting import string_under_load
from .formulas import capacity_of_string, resistance_of_strings
from .model import ByEnergy, ByUnits, Held, HeldRequest, NotHeld

COLD = Rule("discharge-temperature", TERMS["bank_temperature_c"], "at least", TERMS["temperature_limit_c"], cite("battery-trade-literature"))
HOT = Rule("discharge-temperature", TERMS["bank_temperature_c"], "at most", TERMS["temperature_limit_c"], cite("battery-trade-literature"))


def hold(request: HeldRequest, case: Case) -> Held | NotHeld:
    """What the described bank is.

    Ratings that nobody stated are taken from the chemistry. For lead-acid without a stated current the largest rate
    of the chemistry limits and the usual one is kept beside it, because nothing but heat and voltage opens it. A unit
    that no series count brings to the system voltage makes no bank.
    """
    known = properties(case.library, request.chemistry)
    made, system = request.made, request.nominal_voltage_v
    by_cells = cells_voltage(known.cells[int(system)], known.cell_voltage_v)
    if isinstance(made, ByEnergy):
        capacity = capacity_of_string(made.rated_energy_wh, by_cells, made.parallel)
        unit, series, voltage = _unit(made, request, by_cells, capacity), 1, by_cells
        in_series = case.chosen(1, "series", "the bank is described as a whole")
    else:
        unit = _unit(made, request, made.voltage_v, made.capacity_ah)
        series = series_of(made.voltage_v, system, known)
        if series is None:
            return NotHeld(f"No number of {made.voltage_v:g} V units makes a {system:g} V bank.")
        in_series = case.chosen(series, "series", "units that make up the system voltage", made.voltage_v)
        voltage = bank_voltage(in_series, made.voltage_v)
    candidate = candidate_of(unit, series, int(system), known, case)
    alone = case.chosen(1, "sharing_factor", "a single string shares with none")
    sharing = case.assume("sharing_factor") if made.parallel > 1 else alone
    current, term, usual = candidate.current_a, "unit_current_a", None
    if made.current_a is None and known.peak_rate is not None:
        usual = bank_current(candidate.current_a, made.parallel, sharing)
        current, term = candidate.peak_a, "unit_peak_current_a"
    capacity = bank_capacity(made.parallel, unit.capacity_ah)
    return Held(
        known=known, bank_temperature_c=case.assume("bank_temperature_c", request.bank_temperature_c), capacity_ah=capacity,
        voltage_v=voltage, rated_energy_wh=bank_energy(capacity, voltage), series=series, strings=made.parallel, cells=candidate.cells,
        string_capacity_ah=unit.capacity_ah,
        rated_hours=known.rated_hours if unit.rated_hours is None else unit.rated_hours,
        continuous_a=bank_current(current, made.parallel, sharing), usual_a=usual,
        one_string_gone_a=bank_current_short(current, made.parallel, sharing if made.parallel > 2 else alone),
        charge_limit_a=charge_limit(candidate.charge_a, made.parallel, sharing),
        charge_floor_a=None if known.least_charge_rate is None else charge_floor(known.least_charge_rate, capacity),
        current_assumed=_said(candidate.assumed, term) if made.current_a is None else None,
        charging_assumed=_said(candidate.assumed, "unit_charge_limit_a"),
    )


def _unit(made: ByUnits | ByEnergy, request: HeldRequest, voltage_v: float, capacity_ah: float) -> Unit:
    hours, cells = (made.rated_hours, made.cells) if isinstance(made, ByUnits) else (None, None)
    return Unit(
        name="unit", chemistry=request.chemistry, voltage_v=voltage_v, capacity_ah=capacity_ah, rated_hours=hours, cells=cells,
        current_a=made.current_a, charge_current_a=made.charge_current_a,
    )


def _said(assumed: tuple[Assumed, ...], term: str) -> Assumed | None:
    return next((said for said in assumed if said.term == term), None)


def say_assumed(said: Assumed | None, case: Case) -> None:
    """List a rating that the maker did not give, and ask for it."""
    if said is not None:
        case.assumed_value(said.term, said.value, said.why, said.citation, "/bank")
        case.note("unit-rating-assumed", "/bank", what=said.words, value=float(said.value))


def resistance(held: Held, end: str, path_ohm: float, case: Case) -> float:
    """Resistance of the bank under load with the way to its loads; `end` is low, typical or high."""
    of_string = string_under_load(held.known, held.cells, held.string_capacity_ah, end, case)
    return resistance_of_strings(of_string, held.strings, path_ohm)


def property_of(held: Held, parameter: str, case: Case) -> float:
    """A value of the bank's chemistry. Raises KeyError where none is known."""
    return case.library.tables["chemistry_values"].cell(f"{held.known.chemistry}/{parameter}", "value")
