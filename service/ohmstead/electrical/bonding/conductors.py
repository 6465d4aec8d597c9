"""Size the conductors that bond metal, earth and battery, by the rules of the practice.

Each rule names a strategy that turns the facts into an area. The conductor is the smallest size of the practice that has
it, that the maker of the equipment asks, and that stands a short circuit of the bank where one can return through it. A
rule without a figure gives none, and facts that are missing are named.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.bonding import ConductorRule
from ...reference.case import Case
from ...reference.citations import cite
from ...reference.practices import SIZES, Practice
from ...reference.tables import Table
from ...working import Check, Citation, Rule, at_least
from ..faults.formulas import withstand_area
from ..protection.sizing import grounding_size
from .formulas import area_from_cmil, largest_need, lead_together
from .model import BondConductor, BondingRequest, Circuit, Facts, Lead, WithstandVerdict

STANDS = Rule("bond-withstand", TERMS["bond_area_mm2"], "at least", TERMS["withstand_area_mm2"], cite("iec-60364-4-43"))
MAKER = Rule("bond-by-maker", TERMS["bond_area_mm2"], "at least", TERMS["lead_area_mm2"], cite("common-practice", "the maker's instructions"))


class _Facts(Struct):
    """What a strategy can ask."""

    facts: Facts
    practice: Practice
    direct: Table
    """Sizes of the practice for the battery side."""
    alternating: Table
    case: Case


class _Need(Struct):
    """An area, or why there is none."""

    area_mm2: float | None = None
    missing: str = ""
    why: str = ""


def size_conductors(request: BondingRequest, case: Case) -> tuple[BondConductor, ...]:
    """Every bonding and grounding conductor of the practice; a protective conductor for each circuit."""
    practice = case.library.practices[request.practice]
    asked = _Facts(request.facts, practice, practice.source("bank-main").sizes, practice.source("ac-feeder").sizes, case)
    found: list[BondConductor] = []
    for rule in case.library.bonding[request.practice].conductors:
        if rule.strategy == "by-circuit":
            found += [_circuit(rule, circuit, asked) for circuit in request.facts.circuits]
        else:
            found.append(_size(rule, asked))
    _remark(found, request, case)
    return tuple(found)


def _size(rule: ConductorRule, asked: _Facts) -> BondConductor:
    need = _STRATEGIES[rule.strategy](rule, asked)
    return _settle(rule, need, asked, asked.direct if rule.table is None else asked.alternating)


def _circuit(rule: ConductorRule, circuit: Circuit, asked: _Facts) -> BondConductor:
    return _settle(rule, _protective(circuit, asked), asked, asked.alternating, circuit.name)


def _settle(rule: ConductorRule, need: _Need, asked: _Facts, sizes: Table, circuit: str | None = None) -> BondConductor:
    """The smallest size with every area that is asked."""
    facts, system = asked.facts, asked.practice.source("bank-main").size_system
    stands = None
    if rule.carries_fault and facts.fault is not None:
        stands = withstand_area(facts.fault.current_a, facts.fault.clearing_time_s, asked.case.constant(facts.fault.constant))

    def answer(outcome, why: str = "", row: int | None = None, governed=None, checks: tuple[Check, ...] = ()) -> BondConductor:
        size = None if row is None else sizes.columns["size"][row]
        return BondConductor(
            rule, circuit, outcome, why, size, system, None if row is None else sizes.columns["area_mm2"][row], rule.least, governed,
            _withstand(rule, facts, row, stands, sizes), None if stands is None else _first(sizes, stands), checks,
        )

    if need.missing:
        return answer("data-missing", need.missing)
    if need.area_mm2 is None:
        return answer("not-needed" if rule.strategy == "not-needed" else "no-figure-seen" if rule.strategy == "no-figure" else "nothing-fits", need.why)
    maker = None
    if rule.name == "case-bond" and facts.makers_case_bond is not None:
        maker = area_of(facts.makers_case_bond, asked.direct, asked.case)
    needs = [("rule", need.area_mm2), ("maker", maker), ("withstand", stands)]
    known = [(name, area) for name, area in needs if area is not None]
    row = sizes.first_at_least("area_mm2", largest_need(*[area for _, area in known]))
    if row == sizes.rows:
        return answer("nothing-fits", f"No single conductor of {sizes.title} is large enough.")
    rules = {"rule": _rule(rule.citation), "maker": MAKER, "withstand": STANDS}
    area = sizes.columns["area_mm2"][row]
    governed = next(name for name, asked_mm2 in known if sizes.first_at_least("area_mm2", asked_mm2) == row)
    return answer("sized", "", row, governed, tuple(rules[name].check(area, asked_mm2) for name, asked_mm2 in known))


@cache
def _rule(clause: Citation) -> Rule:
    """The demand of a practice in the words of its document; made once for each."""
    return Rule("bond-size", TERMS["bond_area_mm2"], "at least", TERMS["bond_needed_mm2"], clause)


def _first(sizes: Table, area_mm2: float) -> str | None:
    row = sizes.first_at_least("area_mm2", area_mm2)
    return sizes.columns["size"][row] if row < sizes.rows else None


def _withstand(rule: ConductorRule, facts: Facts, row: int | None, stands: float | None, sizes: Table) -> WithstandVerdict:
    """A verdict only for what a short circuit of the bank can pass; sufficient by makers' figures alone."""
    if not rule.carries_fault or rule.strategy == "not-needed":
        return "not-asked"
    if facts.fault is None or row is None:
        return "short" if stands is not None and sizes.first_at_least("area_mm2", stands) == sizes.rows else "not-proven"
    return "sufficient" if facts.fault.proven and at_least(sizes.columns["area_mm2"][row], stands) else "not-proven"


def row_of(lead: Lead, sizes: Table, system: str, case: Case) -> int:
    """Row of a lead's own size: by its name in the same system, else the first that is not smaller; `rows` beyond the table."""
    if lead.system == system and lead.size in sizes.index:
        return sizes.row(lead.size)
    return sizes.first_at_least("area_mm2", _printed_area(lead, case))


def area_of(lead: Lead, sizes: Table, case: Case) -> float:
    """Area of all conductors of a lead, by the practice's own table where it holds the size."""
    system = "awg" if "area_cmil" in sizes.columns else "mm2"
    area = sizes.cell(lead.size, "area_mm2") if lead.system == system and lead.size in sizes.index else _printed_area(lead, case)
    return lead_together(area, lead.sets)


def _printed_area(lead: Lead, case: Case) -> float:
    return case.library.tables[SIZES[lead.system].table].cell(lead.size, "area_mm2")


# -- strategies --------------------------------------------------------------------------------------------------------------


def _at_least(rule: ConductorRule, asked: _Facts) -> _Need:
    return _Need(asked.direct.cell(rule.least, "area_mm2"))


def _as_battery_lead(rule: ConductorRule, asked: _Facts) -> _Need:
    """As the lead, and not below the least."""
    lead = asked.facts.battery_lead
    if lead is None:
        return _Need(missing="the size of the largest ungrounded battery lead")
    return _Need(largest_need(area_of(lead, asked.direct, asked.case), asked.direct.cell(rule.least, "area_mm2")))


def _one_size_below(rule: ConductorRule, asked: _Facts) -> _Need:
    """One size of the practice below each conductor of the lead, all of them together, and not below the least."""
    lead = asked.facts.device_lead or asked.facts.battery_lead
    if lead is None:
        return _Need(missing="the size of the positive conductor of the largest device, or of the battery lead")
    row = row_of(lead, asked.direct, asked.practice.source("bank-main").size_system, asked.case)
    if row == asked.direct.rows:
        return _Need(why="The lead is larger than the practice's table.")
    least = asked.direct.row(rule.least)
    return _Need(lead_together(asked.direct.columns["area_mm2"][max(row - 1, least)], lead.sets))


def _by_battery_device(rule: ConductorRule, asked: _Facts) -> _Need:
    rating = asked.facts.battery_device_a
    if rating is None:
        return _Need(missing="the rating of the battery's overcurrent device")
    row = rule.table.first_at_least("device_up_to_a", rating)
    if row == rule.table.rows:
        return _Need(why="The table ends below this device.")
    return _in_practice(rule.table.columns["size"][row], asked)


def _in_practice(size: str, asked: _Facts) -> _Need:
    """Area of a size that a table of the rule names."""
    if size not in asked.alternating.index:
        return _Need(why=f"{size} kcmil is not in the practice's table of conductors.")
    return _Need(asked.alternating.cell(size, "area_mm2"))


def _protective(circuit: Circuit, asked: _Facts) -> _Need:
    """By the rule of the practice for protective conductors of alternating-current circuits."""
    source = asked.practice.source("ac-feeder")
    row = row_of(circuit.line, source.sizes, source.size_system, asked.case)
    if row == source.sizes.rows:
        return _Need(why="The line conductor is larger than the practice's table.")
    least = row if circuit.least_line is None else min(row, row_of(circuit.least_line, source.sizes, source.size_system, asked.case))
    size = grounding_size(source, circuit.breaker_a, row, least, source.sizes, source.grounding_enlarged, circuit.line.sets)
    return _Need(why="The table ends below this circuit.") if size is None else _Need(source.sizes.cell(size, "area_mm2"))


def _as_protective(rule: ConductorRule, asked: _Facts) -> _Need:
    """As the largest protective conductor of the circuits given."""
    if not asked.facts.circuits:
        return _Need(missing="the largest shore or generator feed among the circuits")
    needs = [_protective(circuit, asked) for circuit in asked.facts.circuits]
    if any(need.area_mm2 is None for need in needs):
        return _Need(why="A protective conductor of the circuits is beyond its table.")
    return _Need(largest_need(*[need.area_mm2 for need in needs]))


def _largest_line(asked: _Facts) -> float | None:
    """Area of the largest line conductor, all of a pole together."""
    lines = [area_of(circuit.line, asked.alternating, asked.case) for circuit in asked.facts.circuits]
    return largest_need(*lines) if lines else None


def _by_line(rule: ConductorRule, asked: _Facts) -> _Need:
    """By the largest ungrounded conductor, from a table of sizes."""
    line = _largest_line(asked)
    if line is None:
        return _Need(missing="the line conductors of the source, among the circuits")
    sizes, table = asked.alternating, rule.table
    for row, up_to in enumerate(table.columns["line_up_to"]):
        # Compared as the conductor that the row names where there is one: printed square millimetres are rounded.
        most = sizes.cell(up_to, "area_mm2") if up_to in sizes.index else area_from_cmil(table.columns["line_area_cmil"][row])
        if at_least(most, line):
            return _in_practice(table.columns["size"][row], asked)
    return _Need(why=f"No row of {rule.table.title.lower()} was collected for this conductor.")


def _electrode_by_line(rule: ConductorRule, asked: _Facts) -> _Need:
    need = _by_line(rule, asked)
    return _to_rod(rule, need, asked)


def _electrode_by_lead(rule: ConductorRule, asked: _Facts) -> _Need:
    return _to_rod(rule, _as_battery_lead(rule, asked), asked)


def _to_rod(rule: ConductorRule, need: _Need, asked: _Facts) -> _Need:
    """A rod alone needs no more than the size that the rule names."""
    if not asked.facts.to_rod:
        return need
    enough = asked.direct.cell(rule.rod, "area_mm2")
    return need if need.area_mm2 is not None and at_least(enough, need.area_mm2) else _Need(enough)


def _none(rule: ConductorRule, asked: _Facts) -> _Need:
    return _Need(why=rule.says)


_STRATEGIES: dict[str, Callable[[ConductorRule, _Facts], _Need]] = {
    "at-least": _at_least, "as-battery-lead": _as_battery_lead, "one-size-below-device-lead": _one_size_below,
    "by-battery-device": _by_battery_device, "as-protective-conductor": _as_protective, "by-derived-conductor": _by_line,
    "electrode-by-line": _electrode_by_line, "electrode-by-battery-lead": _electrode_by_lead, "no-figure": _none, "not-needed": _none,
}


def _remark(conductors: list[BondConductor], request: BondingRequest, case: Case) -> None:
    unproven = [found.rule.title for found in conductors if found.withstand in ("not-proven", "short") and found.outcome == "sized"]
    if unproven:
        case.note("bond-withstand-not-proven", "/fault", conductors="; ".join(unproven))
    unseen = [found.rule.title for found in conductors if found.outcome == "no-figure-seen"]
    if unseen:
        case.note("bond-no-figure", "/practice", conductors="; ".join(unseen))
    for found in conductors:
        if found.outcome == "data-missing":
            case.note("bond-data-missing", "", conductor=found.rule.title, missing=found.why)
        elif found.outcome == "nothing-fits":
            case.note("bond-nothing-fits", "", conductor=found.rule.title, why=found.why)
        elif found.outcome == "sized" and found.rule.name == "case-bond" and request.facts.makers_case_bond is None:
            case.note("case-bond-by-maker", "/makers_case_bond")
    decided = {found.rule.title: found.rule for found in conductors if found.outcome == "sized" and found.governed_by == "rule"}
    for title, rule in decided.items():
        if rule.citation.basis == "recalled":
            case.note("recalled-value-decides", "/practice", check=title, value=rule.says)
