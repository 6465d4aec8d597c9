"""Choose how many units in series and in parallel make a bank that does everything asked of it.

Every demand is solved for the number of strings that it needs; the largest number governs and is verified.
Among generic units the bank with the least rated energy is taken, then the one with the fewest strings.
"""

from __future__ import annotations

from msgspec.structs import replace

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...working import Check, Choice, Rule, at_most
from ..faults.model import Fault
from ..faults.sizing import bank_fault
from .bank_formulas import (
    absorption_voltage, bank_compensation, cells_voltage, days_aged, days_new, end_voltage, energy_of_units, fault_of_strings, float_voltage,
    larger_current, load_disconnect_voltage, margin_of, usable_energy, usable_energy_aged,
)
from .chemistry import Properties, capacity_factor, cycles_at, properties
from .comparison import rivals_of, same_label
from .fitting import (
    Ask, Candidate, Demand, Fit, Made, ask, candidate_of, candidates, checks_of, fit_strings, limits_of, make, series_checks, series_for, why_not,
)
from .formulas import (
    capacity_needed, energy_for_ageing, energy_for_depth, larger_energy, peukert_capacity, product_energy, share_larger_of, share_product,
    years_at_daily_cycle,
)
from .gas import frost_of, ventilation_of
from .lifetime import cost_of, life_of
from .model import Bank, BankRequest, Need, OwnedVerdict, Unit, Voltages
from .owned import Kept, judge, refused
from .remarks import lock_out_below, remark, remark_charging, remark_faults
from .window import charging_highest, window_of

COLD = Rule("discharge-temperature", TERMS["bank_temperature_c"], "at least", TERMS["temperature_limit_c"], cite("battery-trade-literature"))
HOT = Rule("discharge-temperature", TERMS["bank_temperature_c"], "at most", TERMS["temperature_limit_c"], cite("battery-trade-literature"))

CELLS_TOLERANCE = 0.02
"""Beyond this a stated voltage does not tell how many cells there are."""


def size_bank(request: BankRequest, case: Case) -> Bank:
    """Size one bank.

    The rule of choice: owned units that may be kept, else the unit given, else a generic unit; the least number
    of strings that satisfies energy, steady load, discharge, peak and charging current within the permitted number
    of strings, series count and payload. When nothing qualifies the outcome is `nothing-fits` with the nearest
    miss and the check that it fails.
    """
    known = properties(case.library, request.chemistry)
    temperature = case.assume("bank_temperature_c", request.bank_temperature_c)
    remark_faults(request, known, temperature, case)
    remark_charging(request, known, temperature, case)
    for check in (COLD.check(temperature, known.discharge_above_c), HOT.check(temperature, known.discharge_below_c)):
        if not check.passed:
            return _nothing(request, None, check, f"Units of this chemistry may not be discharged at {temperature:g} °C.")
    factor = capacity_factor(known, temperature)
    if factor is None:
        return _nothing(request, None, None, f"No capacity of this chemistry is known at {temperature:g} °C.")
    need = _need(request, known, temperature, factor, case)
    asked = [current for current in (request.discharge_current_a, request.average_current_a) if current is not None]
    demand = Demand(request, known, need, larger_current(*asked) if asked else None, case)

    bank = _size(demand)
    if not request.compare:
        return bank
    labels = () if bank.capacity_ah is None else same_label(bank, request, case)
    return replace(bank, rivals=rivals_of(request, size_bank, case), same_label=labels)


def _size(demand: Demand) -> Bank:
    request, need, case = demand.request, demand.need, demand.case

    def series(voltage_v: float) -> int | None:
        return series_for(Unit("", request.chemistry, voltage_v, 0.0), demand)

    verdicts, kept = judge(request, need.ageing_factor, series, case)
    if kept is not None:
        fit, new, verdicts = _with_owned(kept, verdicts, demand)
        if fit is not None:
            return _bank(fit, demand, new, verdicts)
    found, missing = candidates(demand)
    if not found:
        return _nothing(request, need, missing.check, missing.why, verdicts)
    fit = _best(found, demand)
    return _bank(fit, demand, fit.made.parallel * fit.made.candidate.series, verdicts)


def _need(request: BankRequest, known: Properties, temperature: float, factor: float, case: Case) -> Need:
    days = case.assume("autonomy_days", request.autonomy_days)
    depth = _assume(case, "depth_of_discharge", known.family, request.depth_of_discharge)
    efficiency = _assume(case, "discharge_efficiency", known.family, request.discharge_efficiency)
    ageing = case.assume("ageing_factor", request.ageing_factor)
    convention = case.assume_choice(
        "ageing_convention", request.ageing_convention, "larger-of",
        "Depth of discharge and ageing are not multiplied; the product is shown beside it", cite("ieee-1013"),
    )
    for_depth = energy_for_depth(request.day_energy_wh, days, depth, factor, efficiency)
    for_ageing = energy_for_ageing(request.day_energy_wh, days, ageing, factor, efficiency)
    larger, product = larger_energy(for_depth, for_ageing), product_energy(for_depth, ageing)
    needed = larger if convention == "larger-of" else product
    nominal = cells_voltage(known.cells[int(request.nominal_voltage_v)], known.cell_voltage_v)
    steady = None
    if request.average_current_a is not None and request.discharge_hours is not None:
        share = (share_larger_of if convention == "larger-of" else share_product)(depth, ageing, factor)
        hours = request.unit.rated_hours if request.unit is not None and request.unit.rated_hours is not None else known.rated_hours
        exponent = known.peukert_exponent
        if known.lithium:
            exponent = case.chosen(1, "peukert_exponent", "lithium cells give their rated capacity at every permitted rate")
        steady = peukert_capacity(request.average_current_a, request.discharge_hours, share, hours, exponent)
    return Need(
        convention=convention, energy_needed_wh=needed, energy_for_depth_wh=for_depth, energy_for_ageing_wh=for_ageing,
        energy_larger_of_wh=larger, energy_product_wh=product, capacity_needed_ah=capacity_needed(needed, nominal),
        steady_load_capacity_ah=steady, autonomy_days=days, depth_of_discharge=depth, ageing_factor=ageing,
        temperature_factor=factor, discharge_efficiency=efficiency, bank_temperature_c=temperature,
    )


def _assume(case: Case, name: str, family: str, given: float | None) -> float:
    """The given number, else the house rule of that name, else the default of the family of chemistries."""
    return case.assume(f"{name}_{family}", case.house_rules.get(name) if given is None else given)


def _best(found: list[Candidate], demand: Demand) -> Fit:
    """The bank with the least rated energy that passes, then with the fewest strings; else the nearest miss."""
    asked = [ask(candidate, demand) for candidate in found]
    if len(asked) > 1:
        asked.sort(key=lambda entry: (_beyond(entry, demand), _energy(entry, demand), entry.count))
    first = None
    for entry in asked:
        fit = fit_strings(entry, demand)
        if fit.failed is None:
            return fit
        first = first or fit
    return first


def _beyond(entry: Ask, demand: Demand) -> int:
    """Strings beyond the permitted number."""
    return max(0, entry.count - int(limits_of(entry.candidate.unit, demand).permitted))


def _energy(entry: Ask, demand: Demand) -> float:
    candidate = entry.candidate
    strings = demand.case.chosen(entry.count, "parallel", "strings in parallel")
    return energy_of_units(candidate.energy_wh, candidate.in_series, strings)


def _with_owned(kept: Kept, verdicts: tuple[OwnedVerdict, ...], demand: Demand) -> tuple[Fit | None, int, tuple[OwnedVerdict, ...]]:
    """The bank of owned units, extended with new ones of the same kind while they are young enough."""
    series, strings = kept.series, kept.count // kept.series
    candidate = candidate_of(kept.unit, series, int(demand.request.nominal_voltage_v), demand.known, demand.case)
    check = next((check for check in series_checks(candidate, demand) if not check.passed), None)
    if check is not None:
        return None, 0, refused(kept, verdicts, "does-not-carry-the-job", why_not(candidate, check))
    asked = ask(candidate, demand)
    if asked.count <= strings:
        most = min(strings, int(limits_of(kept.unit, demand).permitted))
        if most > asked.count:
            asked = replace(asked, count=most, governed="owned-units")
    elif not at_most(kept.oldest_years, demand.case.constant("age_gap_years")):
        why = f"{asked.count * series} units are needed, and units of this age do not share a bank with new ones."
        return None, 0, refused(kept, verdicts, "age-gap" if strings else "incomplete-string", why)
    fit = fit_strings(asked, demand)
    if fit.failed is not None:
        why = f"A bank of these units fails the check {fit.failed.rule.name}."
        return None, 0, refused(kept, verdicts, "does-not-carry-the-job", why)
    used = min(kept.count, fit.made.parallel * series)
    return fit, fit.made.parallel * series - used, kept.share(verdicts, used)


def _bank(fit: Fit, demand: Demand, new_units: int, verdicts: tuple[OwnedVerdict, ...]) -> Bank:
    made, need, case, governed = fit.made, demand.need, demand.case, fit.asked.governed
    candidate, unit, series = made.candidate, made.candidate.unit, made.candidate.series
    for said in candidate.assumed:
        case.assumed_value(said.term, said.value, said.why, said.citation, "/unit")
    usable = usable_energy(made.energy_wh, need.depth_of_discharge, need.temperature_factor, need.discharge_efficiency)
    aged = usable_energy_aged(usable, need.ageing_factor)
    what = _named(unit, series, made.parallel)
    smaller, smaller_failed = "", None
    if made.parallel > 1 and fit.failed is None and new_units:
        smaller = _named(unit, series, made.parallel - 1)
        less = make(fit.asked, made.parallel - 1, demand)
        smaller_failed = next((check for check in checks_of(less, fit.limits, demand) if not check.passed), None)
    day = demand.request.day_energy_wh
    days = (days_new(usable, day), days_aged(aged, day)) if day > 0 else (None, None)  # a bank that nothing draws on has no such number
    cycles = cycles_at(demand.known, need.depth_of_discharge)
    request, known = demand.request, demand.known
    life, cost = life_of(made.energy_wh, request, need, known), None
    if request.prices is not None and life is not None:
        cost = cost_of(life, new_units, request.prices, request, known, case)
    why = ""
    if fit.failed is not None:
        why = f"{fit.asked.count} strings are asked for by {governed}; {what} fails {fit.failed.rule.name}."
    bank = Bank(
        outcome="sized" if fit.failed is None else "nothing-fits", chemistry=demand.request.chemistry, need=need, unit=unit,
        series=series, parallel=made.parallel, units=series * made.parallel, new_units=new_units, governed_by=governed,
        choice=Choice("bank", what, governed, fit.checks, smaller, smaller_failed), checks=fit.checks, owned=verdicts,
        capacity_ah=made.capacity_ah, rated_energy_wh=made.energy_wh, usable_energy_wh=usable, usable_energy_aged_wh=aged,
        autonomy_days=days[0], autonomy_aged_days=days[1],
        life_years=None if cycles is None else years_at_daily_cycle(cycles), mass_kg=made.mass_kg,
        voltages=_voltages(made, demand), currents=made.currents, fault=_fault(made, demand),
        window=window_of(unit, request, need, known, case),
        current_margin=None if demand.discharge_a is None else margin_of(made.currents.continuous_a, demand.discharge_a),
        loaded_v=None if made.sag is None else made.sag.check(made.strings).actual, life=life, cost=cost,
        ventilation=ventilation_of(made.capacity_ah, candidate.cells, request.compartment_m3, known, case),
        frost=frost_of(request, need, known, case),
        lock_out_below_c=lock_out_below(request, known), failed=fit.failed, why=why,
    )
    if fit.failed is None:
        remark(bank, demand.request, demand.known, fit.limits.documented, tuple((said.words, said.value) for said in candidate.assumed),
               _cells_unclear(made, demand), case)
    return bank


def _named(unit: Unit, series: int, parallel: int) -> str:
    return f"{series * parallel} × {unit.name}, {series} in series, {parallel} in parallel"


def _cells_unclear(made: Made, demand: Demand) -> bool:
    """Whether the stated voltage leaves open how many cells there are."""
    stated, expected = float(made.voltage_v), float(cells_voltage(made.candidate.cells, demand.known.cell_voltage_v))
    return made.candidate.unit.cells is None and demand.known.lithium and not at_most(abs(stated - expected), CELLS_TOLERANCE * expected)


def _voltages(made: Made, demand: Demand) -> Voltages:
    known, cells = demand.known, made.candidate.cells
    return Voltages(
        nominal_v=made.voltage_v, absorption_v=absorption_voltage(cells, known.absorption_cell_v),
        float_v=None if known.float_cell_v is None else float_voltage(cells, known.float_cell_v),
        load_disconnect_v=load_disconnect_voltage(cells, known.load_disconnect_cell_v), end_v=end_voltage(cells, known.end_cell_v),
        highest_v=charging_highest(cells, demand.request, demand.need, known, demand.case),
        compensation_v_per_k=bank_compensation(cells, known.compensation_v_per_k), cells=cells,
    )


def _fault(made: Made, demand: Demand) -> Fault:
    unit = made.candidate.unit
    if unit.fault_current_a is not None:
        return Fault(fault_of_strings(unit.fault_current_a, made.strings), proven=True)
    return bank_fault(unit.chemistry, unit.capacity_ah, made.strings, demand.case)


def _nothing(request: BankRequest, need: Need | None, failed: Check | None, why: str, verdicts: tuple[OwnedVerdict, ...] = ()) -> Bank:
    return Bank(
        outcome="nothing-fits", chemistry=request.chemistry, need=need, unit=None, series=0, parallel=0, units=0, new_units=0,
        governed_by=None, choice=None, checks=(failed,) if failed is not None else (), owned=verdicts, failed=failed, why=why,
    )
