"""Short-circuit current at a point, and whether devices and conductors stand it.

The unit's figure at its posts, strings added, then links, cables and joints up to the point. Only a maker's figure
proves a device; with less the verdict is never better than `not-proven`. That nothing reaches the current is an answer.
"""

from __future__ import annotations

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...reference.practices import SIZES, SizeSystem
from ...working import Check, Rule, at_least, at_most
from ..protection.sizing import DEVICE_VOLTAGE, INTERRUPTS
from ..sharing.network import link_pair, solve
from . import formulas
from .cables import least_loop, least_per_km
from .model import (
    AskedDevice,
    BankOf,
    Conductor,
    CraftBreakers,
    Cranking,
    FamilyAt,
    FaultAtPoint,
    FaultRequest,
    Knowledge,
    MakersFigure,
    Source,
    UnitResistance,
    Verdict,
    Withstand,
)
from .sizing import bank_fault

WITHSTANDS = Rule("conductor-withstand", TERMS["area_mm2"], "at least", TERMS["withstand_area_mm2"], cite("iec-60364-4-43"))
COLD = "fault_conductor_c"
LEAST_JOINT = "joint_resistance_least_ohm"


def fault_at_point(request: FaultRequest, case: Case) -> FaultAtPoint:
    """Current at the posts and at the point, families that reach it, and verdicts on the device and conductor asked about."""
    highest = request.highest_voltage_v
    at_posts, knowledge = _at_posts(request.source, highest, case)
    if request.joined is not None:
        at_posts = _joined(request, at_posts, case)
    inner = formulas.source_resistance(highest, at_posts)
    path, at_point = None, at_posts
    if request.cables or request.joints:
        path = _path(request, case)
        at_point = formulas.fault_at_end(highest, inner, path)
    marked = _families(highest, at_point, knowledge, case)
    strongest = max(marked, key=lambda family: family.interrupting_a, default=None)
    _remark_families(strongest, highest, at_point, knowledge, case)
    return FaultAtPoint(
        knowledge=knowledge, highest_voltage_v=highest, joined=request.joined is not None, at_posts_a=at_posts, at_point_a=at_point,
        source_resistance_ohm=inner, path_resistance_ohm=path, families=_best_first(marked, knowledge), strongest=strongest,
        device=None if request.family is None else _device(request, marked, inner, path, at_point, case),
        conductor=None if request.conductor is None else _withstand(request.conductor, at_point, knowledge, case),
        craft=_craft(request.source, case) if isinstance(request.source, Cranking) else None, systems=_systems(request),
    )


def _systems(request: FaultRequest) -> tuple[SizeSystem, ...]:
    """Systems of all sizes on the way and at the point, each once."""
    cables = [*request.cables, *((request.joined.link.cable,) if request.joined is not None and request.joined.link.cable is not None else ())]
    found = [cable.system for cable in cables]
    if request.conductor is not None:
        found.append(request.conductor.system)
    return tuple(dict.fromkeys(found))


def _at_posts(source: Source, highest_v: float, case: Case) -> tuple[float, Knowledge]:
    """Short-circuit current of all strings at their posts, links left out, and what it rests on."""
    if isinstance(source, MakersFigure):
        return formulas.strings_together(source.current_a, source.strings), "makers-figure"
    if isinstance(source, UnitResistance):
        current = formulas.fault_of_resistance(highest_v, source.strings, source.resistance_ohm, source.series)
        case.note("fault-from-resistance", "/source", current=float(current), figure=_FIGURES[source.figure])
        return current, "upper-bound" if source.figure == "lowest" else "estimate"
    if isinstance(source, BankOf):
        current = bank_fault(source.chemistry, source.unit_capacity_ah, source.strings, case).current_a
        case.note("no-short-circuit-figure", "/source", bound=float(current))
        return current, "upper-bound"
    current = formulas.cranking_bound(case.constant("short_circuit_per_cranking"), source.current_a)
    if source.unit_capacity_ah is not None:
        current = formulas.larger_bound(current, bank_fault("flooded", source.unit_capacity_ah, source.strings, case).current_a)
    case.note("fault-from-cranking", "/source", current=float(current))
    return current, "upper-bound"


_FIGURES = {
    "lowest": "the least of its kind", "typical": "a typical one", "highest": "the upper limit of a data sheet, so the current can be larger",
}


def _joined(request: FaultRequest, at_posts_a: float, case: Case) -> float:
    """The current at the take-off of strings with links or leads."""
    strings = request.source.strings
    one = formulas.resistance_of_string(request.highest_voltage_v, strings, at_posts_a)
    link = request.joined.link
    pair = link_pair(link, COLD, LEAST_JOINT, case, least_loop)
    if link.cable is not None:
        _remark_warm(link.conductor_temperature_c, "/joined", case)
    return formulas.fault_of_bank(
        request.highest_voltage_v, solve(request.joined.name, (one,) * int(strings), pair, at_posts_a).bank_resistance_ohm
    )


def _path(request: FaultRequest, case: Case) -> float:
    """Resistance of all cables and joints on the way to the point."""
    loops = []
    if request.cables:
        temperature = case.assume(COLD, request.conductor_temperature_c)
        _remark_warm(request.conductor_temperature_c, "/cable_temperature", case)
        loops = [least_loop(cable, temperature, case) for cable in request.cables]
    return formulas.path_resistance(request.joints, case.constant(LEAST_JOINT), *loops)


def _remark_warm(given_c: float | None, pointer: str, case: Case) -> None:
    cold = case.library.tables["defaults"].cell(COLD, "value")
    if given_c is not None and not at_most(given_c, cold):
        case.note("warm-cable-in-fault", pointer, given=float(given_c), cold=float(cold))


def _verdict(passed: bool, knowledge: Knowledge) -> Verdict:
    if knowledge == "makers-figure":
        return "sufficient" if passed else "short"
    return "short" if knowledge == "estimate" and not passed else "not-proven"


def _families(highest_v: float, fault_a: float, knowledge: Knowledge, case: Case) -> list[FamilyAt]:
    """Each direct-current family at the lowest of its marks that is not below the circuit's voltage: there it interrupts most."""
    table = case.library.tables["device_families"]
    columns, marks = table.columns, table.columns["device_voltage_v"]
    found: dict[str, int] = {}
    uses: dict[str, dict[str, None]] = {}
    for row, family in enumerate(columns["family"]):
        used = columns["use"][row].split()
        if columns["current"][row] != "direct" or not at_least(marks[row], highest_v):
            continue
        uses.setdefault(family, {}).update(dict.fromkeys(used))
        if family not in found or marks[row] < marks[found[family]]:
            found[family] = row
    made = []
    for family, row in found.items():
        check = INTERRUPTS.check(columns["interrupting_a"][row], fault_a)
        made.append(FamilyAt(
            columns["row"][row], family, columns["title"][row], columns["kind"][row], marks[row], check.actual,
            columns["current_limiting"][row] == "yes", tuple(uses[family]), check, _verdict(check.passed, knowledge),
        ))
    return made


def _best_first(marked: list[FamilyAt], knowledge: Knowledge) -> tuple[FamilyAt, ...]:
    """What reaches the current: the least that does where it is proven, else the current-limiting and strongest first."""
    able = [family for family in marked if family.check.passed]
    if knowledge == "makers-figure":
        return tuple(sorted(able, key=lambda family: family.interrupting_a))
    return tuple(sorted(able, key=lambda family: (not family.current_limiting, -family.interrupting_a)))


def _remark_families(strongest: FamilyAt | None, highest_v: float, fault_a: float, knowledge: Knowledge, case: Case) -> None:
    if strongest is not None and strongest.check.passed:
        return
    best = 0.0 if strongest is None else float(strongest.interrupting_a)
    code = "interrupting-not-proven" if knowledge == "upper-bound" else "interrupting-rating-short"
    case.note(code, "/source", fault=float(fault_a), voltage=float(highest_v), best=best)


def _device(request: FaultRequest, marked: list[FamilyAt], inner_ohm: float, path_ohm: float | None, fault_a: float, case: Case) -> AskedDevice:
    """The verdict on the family asked about, and the cable that would bring the fault down to it."""
    table, highest = case.library.tables["device_families"], request.highest_voltage_v
    rows = [row for row, family in enumerate(table.columns["family"]) if family == request.family]
    title = table.columns["title"][rows[0]]
    found = next((family for family in marked if family.family == request.family), None)
    if found is None:
        highest_mark = sorted(table.columns["device_voltage_v"][row] for row in rows)[-1]
        case.note("device-voltage-low", "/device", equipment=title, rated=float(highest_mark), highest=float(highest))
        return AskedDevice(request.family, title, None, (DEVICE_VOLTAGE.check(highest_mark, highest),), "short", None)
    if found.verdict == "short":
        case.note("interrupting-short", "/device", equipment=title)
    elif found.verdict == "sufficient" and table.basis_of_row[table.row(found.row)] == "recalled":
        case.note("recalled-value-decides", "/device", check=INTERRUPTS.name, value=f"{found.interrupting_a:g} A of {title}")
    least = None
    if request.cables and not found.check.passed:
        first = request.cables[0]
        per_km = least_per_km(first.size, first.system, case.assume(COLD, request.conductor_temperature_c), case)
        least = formulas.run_for_rating(first.run_m, first.sets, highest, found.interrupting_a, inner_ohm, path_ohm, per_km)
    checks: tuple[Check, ...] = (DEVICE_VOLTAGE.check(found.voltage_v, highest), found.check)
    return AskedDevice(request.family, title, found, checks, found.verdict, least)


def _withstand(conductor: Conductor, fault_a: float, knowledge: Knowledge, case: Case) -> Withstand:
    """Whether the conductor stands the fault until its device opens, and the smallest size that does."""
    sizes, constants = case.library.tables[SIZES[conductor.system].table], case.library.tables["constants"]
    constant = case.constant(conductor.constant)
    area = formulas.area_of_sets(sizes.cell(conductor.size, "area_mm2"), conductor.sets)
    needed = formulas.withstand_area(fault_a, conductor.clearing_time_s, constant)
    check = WITHSTANDS.check(area, needed)
    row = sizes.first_at_least("area_mm2", formulas.area_each(needed, conductor.sets))
    smallest = sizes.columns["size"][row] if row < sizes.rows else None
    stands = formulas.withstand_time(constant, area, fault_a)
    unit = " mm2" if conductor.system == "mm2" else ""
    verdict = _verdict(check.passed, knowledge)
    if verdict == "short":
        case.note(
            "conductor-withstand-short", "/conductor", size=conductor.size + unit, fault=float(fault_a), stands=float(stands),
            time=float(conductor.clearing_time_s), needed=f"{smallest}{unit} or larger" if smallest else "more conductors in parallel",
        )
    elif verdict == "sufficient" and constants.basis_of_row[constants.row(conductor.constant)] == "recalled":
        case.note("recalled-value-decides", "/conductor", check=WITHSTANDS.name, value=f"k = {float(constant):g}")
    return Withstand(conductor.size, conductor.sets, check, stands, smallest, verdict, conductor.system)


def _craft(source: Cranking, case: Case) -> CraftBreakers | None:
    """The row of the table of breakers for boats; for a bank beyond it the maker's figure is asked for."""
    table = case.library.tables["craft_interrupting"]
    if source.unit_capacity_ah is not None:
        capacity = formulas.capacity_together(source.unit_capacity_ah, source.strings)
        if not at_most(capacity, case.constant("craft_table_capacity_ah")):
            case.note("craft-breaker-table-ends", "/source", bank=f"{float(capacity):g} Ah")
            return None
    for row, system in enumerate(table.columns["system"]):
        if system == source.system and at_most(source.current_a, table.columns["cranking_up_to_a"][row]):
            return CraftBreakers(table.columns["row"][row], table.columns["main_interrupting_a"][row], table.columns["branch_interrupting_a"][row])
    case.note("craft-breaker-table-ends", "/source", bank=f"{float(source.current_a):g} A of cold-cranking current")
    return None
