"""How long supplies take to bring a bank to a state of charge, what holds them back, and what never fills it."""

from __future__ import annotations

from msgspec.structs import replace

from ...nomenclature import TERMS
from ...reference.case import Case, no_less, no_more
from ...reference.citations import cite
from ...working import Check, Rule, at_least, at_most
from ..held.model import Held, NotHeld
from ..held.sizing import hold, property_of, say_assumed
from ..runtime.clock import Stretch, stretches
from ..runtime.model import Always, BandPart, Spread
from ..sources.formulas import bulk_acceptance
from ..storage.bank_formulas import compensated_voltage
from .course import DAYS, Course, Ground, follow
from .formulas import all_charge, energy_gained, energy_lost, energy_of_charging, missing_from, state_from, tail_current
from .model import Holds, Leg, MainsCharger, Recharge, RechargeRequest, SupplyUse
from .supplies import Offer, Source, filling, offers, source_of
from .supply_formulas import fuel_burnt, given_together, hours_present, least_limit, limit_in_cold

COLD = Rule("charge-temperature-low", TERMS["bank_temperature_c"], "at least", TERMS["charge_temperature_c"], cite("battery-trade-literature"))
HOT = Rule("charge-temperature-high", TERMS["bank_temperature_c"], "at most", TERMS["temperature_limit_c"], cite("battery-trade-literature"))
LIMIT = Rule("charge-within-bank-limit", TERMS["supplies_a"], "at most", TERMS["charge_limit_a"], cite("battery-trade-literature"))
BALANCE = Rule("supplies-carry-loads", TERMS["supplies_a"], "at least", TERMS["loads_a"], cite("design-arithmetic", "energy balance"))
TAIL = Rule("current-holds-absorption", TERMS["filling_a"], "at least", TERMS["tail_current_a"], cite("battery-trade-literature", "charging current at which charging ends"))
YEAR_H = 8784.0
MOST_LEGS = 48


def size_recharge(request: RechargeRequest, case: Case) -> Recharge:
    """The hours to the target.

    Supplies bring their current less what the loads take, held back to the least of the bank's limits; the bank takes
    it until its own acceptance falls below. Out of the temperatures for charging nothing is charged. A target that
    supplies never reach is an outcome with the check that stands in the way and the best that is reached.
    """
    chemistry = request.bank.chemistry
    held = hold(request.bank, case)
    if isinstance(held, NotHeld):
        return Recharge(chemistry, "not-reached", held.why, held.failed, ())
    target = case.assume("target_state", request.target_state)
    checks = charging_temperatures(held, case)
    failed = next((check for check in checks if not check.passed), None)
    if failed is not None:
        return Recharge(
            chemistry, "forbidden", why_forbidden(held), failed, tuple(checks),
            capacity_ah=held.capacity_ah, state_of_charge=request.state_of_charge, target_state=target)
    charging_v = charging_voltage(held, case)
    say_assumed(held.charging_assumed, case)
    sources = [source_of(supply, held, charging_v, case) for supply in request.supplies]
    checks += [check for source in sources for check in source.checks]
    day = _day(sources, request, case)
    made = offers(request, sources, day, charging_v, case)
    limit, holds = charging_limit(held, case)
    tail = tail_current(property_of(held, "tail_rate", case), held.capacity_ah)
    none, whole = case.chosen(0.0, "supplied_a", "nothing"), case.chosen(1, "coulombic_efficiency", "counted in charging alone")
    missing, target_ah = missing_from(held.capacity_ah, request.state_of_charge), missing_from(held.capacity_ah, target)
    start_a, held_by = _start(made, sources, missing, limit, holds, none, checks, case)

    weak = None
    if not held.known.lithium and at_least(target, 1.0):
        holding = TAIL.check(start_a, tail)
        checks.append(holding)
        weak = None if holding.passed else holding

    ends, band = _ends(held, case)
    courses = []
    for efficiency, taper in ends:
        ground = Ground(sources, made, limit, tail, held.capacity_ah, target_ah, efficiency, taper, none, whole)
        already = at_most(missing, target_ah)
        course = Course(True, [], missing, False, False) if already else follow(ground, missing, case)
        courses.append(course if weak is None or already else replace(course, reached=False))
    usual = courses[1]
    _remark(held, usual, start_a, case)
    return _result(
        request, held, courses, sources, missing, target_ah, band, checks,
        dict(
            held_by=held_by, start_a=start_a, limit_a=limit, tail_a=tail, charging_v=charging_v, capacity_ah=held.capacity_ah,
            state_of_charge=request.state_of_charge, target_state=target,
        ), made, case)


def charging_temperatures(held: Held, case: Case) -> list[Check]:
    """The bank against the temperatures for charging, the low end first; a finding where it is out of them."""
    temperature, known = held.bank_temperature_c, held.known
    checks = [COLD.check(temperature, known.charge_above_c), HOT.check(temperature, known.charge_below_c)]
    if not all(check.passed for check in checks):
        case.note("charging-forbidden", "/temperature", temperature=float(temperature), low=float(known.charge_above_c), high=float(known.charge_below_c))
    return checks


def why_forbidden(held: Held) -> str:
    """What is said of a bank out of the temperatures for charging."""
    return f"A bank of this chemistry may not be charged at {held.bank_temperature_c:g} °C."


def charging_voltage(held: Held, case: Case) -> float:
    """Absorption voltage of the bank at its temperature."""
    known = held.known
    return compensated_voltage(
        held.cells, known.absorption_cell_v, known.compensation_v_per_k, held.bank_temperature_c, case.constant("reference_temperature_c"))


def _day(sources: list[Source], request: RechargeRequest, case: Case) -> list[Stretch]:
    """Sections by the clock; a whole year in one where everything is there all the time."""
    uses = tuple(source.present for source in sources)
    if all(isinstance(use, Always) for use in uses):
        begin = case.chosen(0.0, "section_from_h", "the charge begins")
        end = case.chosen(YEAR_H, "section_to_h", "a year")
        return [Stretch(begin, end, case.chosen(YEAR_H, "section_hours", "a year"), tuple(range(len(uses))))]
    return stretches(uses, request.start_hour_h, case)


def charging_limit(held: Held, case: Case) -> tuple[float, Holds]:
    """The least of the limits on the charging current, and which it is."""
    limits: list[tuple[float, Holds]] = [(held.charge_limit_a, "bank-limit")]
    if not held.known.lithium:
        limits.append((bulk_acceptance(property_of(held, "charge_rate_max", case), held.capacity_ah), "acceptance"))
    elif at_least(held.known.charge_above_c, 0.0) and not at_least(held.bank_temperature_c, case.constant("cold_charge_below_c")):
        cold = limit_in_cold(case.constant("cold_charge_rate"), held.capacity_ah)
        limits.append((cold, "cold"))
        if not at_least(cold, held.charge_limit_a):
            case.note("cold-charging-limited", "/temperature", below=float(case.constant("cold_charge_below_c")), limit=no_more(cold))
    least = least_limit(*[limit for limit, _ in limits])
    return least, next(name for limit, name in limits if limit == least)


def _start(
    made: list[Offer], sources: list[Source], missing_ah: float, limit_a: float, holds: Holds, none_a: float, checks: list[Check], case: Case
) -> tuple[float, Holds]:
    """Current into the bank where most of the supplies are there, and what holds it; the check of their sum goes to the others."""
    best, at = None, made[0]
    for offer in made:
        found = filling(offer, sources, missing_ah, limit_a, none_a, at_ceiling=True)
        if best is None or found > best:
            best, at = found, offer
    together = given_together(none_a, *at.currents_a)
    checks += [BALANCE.check(together, at.loads_a), LIMIT.check(together, limit_a)]
    if not checks[-1].passed:
        case.note("charging-held-back", "/supplies", given=no_less(together), limit=no_more(limit_a))
    return best, holds if at_least(best, limit_a) else "supplies"


def _ends(held: Held, case: Case) -> tuple[tuple[tuple[float, float], ...], tuple[BandPart, ...]]:
    """Charge efficiency and time constant: against a short charge, as expected, in its favour."""
    ranges, tapers = case.library.tables["chemistry_ranges"], case.library.tables["charge_taper"]
    chemistry = held.known.chemistry
    row = f"{chemistry}/coulombic_efficiency"
    efficiencies = ranges.cell(row, "low"), property_of(held, "coulombic_efficiency", case), ranges.cell(row, "high")
    constants = tapers.cell(chemistry, "high_h"), tapers.cell(chemistry, "typical_h"), tapers.cell(chemistry, "low_h")
    return tuple(zip(efficiencies, constants)), (
        BandPart("charge out over charge in", *efficiencies), BandPart("time constant of the falling current", *constants, "h"))


def _result(
    request: RechargeRequest, held: Held, courses: list[Course], sources: list[Source], missing: float, target_ah: float,
    band: tuple[BandPart, ...], checks: list[Check], common: dict, made: list[Offer], case: Case,
) -> Recharge:
    usual = courses[1]
    supplies = tuple(_use(place, source, usual, made, case) for place, source in enumerate(sources))
    common |= dict(band=band, supplies=supplies)
    chemistry = request.bank.chemistry
    if at_most(missing, target_ah):
        nought = case.chosen(0.0, "charge_hours", "the target is reached already")
        return Recharge(
            chemistry, "reached-already", "The bank has that state of charge already.", None, tuple(checks),
            charge_hours=Spread(nought, nought, nought), **common)
    legs, falls = [], None
    for piece in usual.pieces:
        if piece.phase == "taper" and falls is None:
            falls = piece
        legs.append(Leg(piece.from_h, piece.to_h, piece.phase, piece.current_a, state_from(held.capacity_ah, piece.missing_ah)))
    common |= dict(legs=tuple(legs[:MOST_LEGS]))
    if falls is not None:
        before = usual.pieces[usual.pieces.index(falls) - 1].missing_ah if usual.pieces.index(falls) else missing
        common |= dict(bulk_hours=falls.from_h, bulk_state=state_from(held.capacity_ah, before))
    if not usual.reached:
        why, failed = _why(usual, sources, common, checks)
        return Recharge(
            chemistry, "not-reached", why, failed, tuple(checks), reached_state=state_from(held.capacity_ah, usual.best_ah),
            charge_hours=_hours(courses), **common)
    flowed = all_charge(*[piece.charge_in_ah for piece in usual.pieces if piece.charge_in_ah is not None])
    energy_in, stored = energy_of_charging(flowed, common["charging_v"]), energy_gained(missing, target_ah, held.voltage_v)
    return Recharge(
        chemistry, "reached", "", None, tuple(checks), charge_hours=_hours(courses), charge_ah=flowed, energy_in_wh=energy_in,
        energy_stored_wh=stored, energy_lost_wh=energy_lost(
            flowed, common["charging_v"], property_of(held, "coulombic_efficiency", case), held.voltage_v), **common)


def _hours(courses: list[Course]) -> Spread:
    """From the shortest to the longest charge; no end where a course does not reach the target."""
    slow, usual, fast = (course.pieces[-1].to_h if course.reached else None for course in courses)
    return Spread(fast, usual, slow)


def _use(place: int, source: Source, usual: Course, made: list[Offer], case: Case) -> SupplyUse:
    supply = source.supply
    hours = fuel = None
    if usual.reached:
        none = case.chosen(0.0, "section_hours", "not there")
        hours = hours_present(none, *[piece.hours for piece in usual.pieces if place in made[piece.section].present])
        if isinstance(supply, MainsCharger) and supply.fuel_l_per_h is not None:
            fuel = fuel_burnt(supply.fuel_l_per_h, hours)
    never, why = source.ceiling is not None, ""
    if never:
        why = "Its voltage is too low for this chemistry: it stops where absorption would begin."
    return SupplyUse(supply.id, source.current_a, source.ceiling, never, why, source.input_w, hours, fuel)


def _why(usual: Course, sources: list[Source], common: dict, checks: list[Check]) -> tuple[str, Check | None]:
    """What stands in the way of the target."""
    if not common["start_a"] > 0:
        why = "The loads take all that the supplies bring." if sources else "There is no supply."
        return why, next((check for check in checks if check.rule is BALANCE and not check.passed), None)
    weak = next((check for check in checks if check.rule is TAIL and not check.passed), None)
    if weak is not None:
        return "What reaches the bank is too weak to hold it on absorption voltage until it is full.", weak
    if usual.ran_out_of_days:
        return f"The target is not reached within {DAYS} days.", None
    ceilings = [source for source in sources if source.ceiling is not None]
    if len(ceilings) == len(sources) or (ceilings and not all(isinstance(source.present, Always) for source in sources)):
        check = next(check for source in ceilings for check in source.checks if not check.passed)
        return "The voltage of the chargers is too low to fill this bank.", check
    return "The loads take from one day to the next as much as the supplies bring.", None


def _remark(held: Held, usual: Course, start_a: float, case: Case) -> None:
    if usual.emptied:
        case.note("empties-in-between", "/supplies")
    floor = held.charge_floor_a
    if floor is not None and start_a > 0 and not at_least(start_a, floor):
        case.note("charge-below-floor-of-bank", "/supplies", current=no_more(start_a), floor=no_less(floor))
    if held.charging_assumed is not None and held.charging_assumed.citation.basis == "recalled" and at_least(start_a, held.charge_limit_a):
        case.note("recalled-value-decides", "/bank", check=LIMIT.name, value=f"{float(held.charging_assumed.value):g} A for each unit")
