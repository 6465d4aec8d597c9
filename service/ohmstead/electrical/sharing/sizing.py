"""How a bank shares its current, what its layout costs, and whether one unit's limit is exceeded.

Resistances that are not given are the usual ones of the chemistry, and then no limit counts as kept. Nothing is chosen:
every bank has an answer.
"""

from __future__ import annotations

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...working import Rule, at_least, at_most
from . import formulas
from .model import LimitVerdict, Link, SharedLink, SharedUnit, Sharing, SharingRequest, Unit
from .network import link_pair, solve, solve_unlike

UNIT_LIMIT = Rule("unit-limit", TERMS["shared_current_a"], "at most", TERMS["unit_limit_a"], cite("design-arithmetic", "the unit's own limit"))
COUNTED_ON = Rule("sharing-counted-on", TERMS["usable_ratio"], "at least", TERMS["sharing_factor"], cite("common-practice", "sharing of parallel units"))


def share_current(request: SharingRequest, case: Case) -> Sharing:
    """Currents and heat of every unit and link, beside the same bank behind equal leads to bus bars."""
    layout, total = request.layout, request.total_current_a
    pair = _pair(layout.link, case)
    link = formulas.half_of_pair(pair)
    inner = tuple(_resistance(unit, request.chemistry, case) for unit in request.units)
    strings = tuple(
        resistance if unit.own_resistance_ohm is None else formulas.in_series(resistance, unit.own_resistance_ohm)
        for unit, resistance in zip(request.units, inner, strict=True)
    )
    positive, negative = (tuple(_own_link(given, link, case) for given in links) for links in _differing(request))
    like = _all_alike(request)
    flow = solve(layout.name, strings, pair, total) if like else solve_unlike(layout.name, strings, positive, negative, total)
    beside = flow if like and layout.name == "bus-bars" else solve("bus-bars", strings, pair, total)
    equal = formulas.equal_current(total, case.chosen(len(strings), "strings", "units of the request"))
    units = tuple(
        SharedUnit(
            resistance, unit.resistance_ohm is None, current, formulas.share(current, total), formulas.over_equal(current, equal),
            formulas.unit_heat(current, resistance),
        )
        for unit, resistance, current in zip(request.units, inner, flow.units_a, strict=True)
    )
    links = tuple(
        SharedLink(pole, position + 1, resistance, current, formulas.link_heat(current, resistance))
        for pole, currents, own in (("positive", flow.positive_a, positive), ("negative", flow.negative_a, negative))
        for position, (current, resistance) in enumerate(zip(currents, own, strict=False))
    )
    carried = tuple(current if current >= 0 else formulas.magnitude(current) for current in flow.units_a)
    most, most_beside = _first_largest(carried), _first_largest(beside.units_a)
    largest, largest_beside = carried[most], beside.units_a[most_beside]
    usable = formulas.usable(equal, largest)
    limit = request.unit_limit_a
    checks = [COUNTED_ON.check(usable, case.assume("sharing_factor"))]
    if limit is not None:
        checks.append(UNIT_LIMIT.check(largest, limit))
    sharing = Sharing(
        chemistry=request.chemistry, layout=layout.name, units=units, links=links, link_resistance_ohm=link, equal_current_a=equal, largest=most + 1,
        hottest=_first_largest(tuple(unit.heat_w for unit in units)) + 1, hottest_link=_first_largest(tuple(found.heat_w for found in links)),
        usable_ratio=usable, bank_resistance_ohm=flow.bank_resistance_ohm, bus_bars_largest_a=largest_beside,
        bus_bars_resistance_ohm=beside.bank_resistance_ohm, layout_ratio=formulas.against_bus_bars(largest_beside, largest),
        limit=_verdict(largest, limit, units), checks=tuple(checks),
        bank_limit_a=None if limit is None else formulas.current_at_limit(total, limit, largest),
        bus_bars_limit_a=None if limit is None else formulas.current_at_limit(total, limit, largest_beside),
        systems=tuple(dict.fromkeys(
            given.cable.system for given in (layout.link, *(given for links in _differing(request) for given in links))
            if given is not None and given.cable is not None
        )),
    )
    _remark(sharing, request, case)
    return sharing


def _pair(link: Link, case: Case) -> float:
    return link_pair(link, "link_conductor_c", "joint_resistance_ohm", case)


def _differing(request: SharingRequest) -> tuple[tuple[Link | None, ...], tuple[Link | None, ...]]:
    """By pole the links that are not like the others, None where one is; as many as there are units."""
    return tuple(unit.positive for unit in request.units), tuple(unit.negative for unit in request.units)


def _all_alike(request: SharingRequest) -> bool:
    return all(given is None for links in _differing(request) for given in links)


def _own_link(given: Link | None, like_ohm: float, case: Case) -> float:
    return like_ohm if given is None else formulas.half_of_pair(_pair(given, case))


def _resistance(unit: Unit, chemistry: str, case: Case) -> float:
    """As given, else the usual one of the chemistry."""
    if unit.resistance_ohm is not None:
        return unit.resistance_ohm
    table = case.library.tables["internal_resistances"]
    figures = (table.cell(chemistry, name) for name in ("typical", "figure_cells", "joint"))
    typical, figure_cells, joint = figures
    return formulas.typical_resistance(typical, unit.cells, figure_cells, unit.capacity_ah, joint)


def _first_largest(values: tuple[float, ...]) -> int:
    """The first of the largest: what differs by less than the tolerance counts as alike."""
    found = 0
    for position, value in enumerate(values):
        if not at_most(value, values[found]):
            found = position
    return found


def _verdict(largest_a: float, limit_a: float | None, units: tuple[SharedUnit, ...]) -> LimitVerdict:
    if limit_a is None:
        return "not-asked"
    if not at_most(largest_a, limit_a):
        return "exceeded"
    return "not-proven" if any(unit.typical for unit in units) else "within"


def _remark(sharing: Sharing, request: SharingRequest, case: Case) -> None:
    table = case.library.tables["internal_resistances"]
    row = table.row(request.chemistry)
    many = len(sharing.units)
    alike = _all_alike(request) and (sharing.layout == "bus-bars" or (sharing.layout == "diagonal" and many == 2))
    if table.columns["equal_leads"][row] == "yes" and not alike:
        case.note("equal-leads", "/layout", parallel=many)
    first = sharing.units[sharing.largest - 1]
    counted = sharing.checks[0].limit
    if not at_least(sharing.usable_ratio, counted):
        case.note(
            "sharing-uneven", "/layout", unit=sharing.largest, times=float(first.over_equal), usable=float(sharing.usable_ratio), counted=float(counted),
        )
    if sharing.limit == "exceeded":
        case.note("unit-limit-exceeded", "/unit_limit", unit=sharing.largest, current=float(sharing.checks[-1].actual), limit=float(request.unit_limit_a))
    for number, unit in enumerate(sharing.units, start=1):
        if unit.current_a < 0:
            case.note(
                "unit-driven-backwards", f"/units/{number - 1}", unit=number, current=float(formulas.magnitude(unit.current_a)),
                total=float(request.total_current_a),
            )
    for position, unit in enumerate(request.units):
        # Units of one kind are said once, by the first of them.
        if unit.resistance_ohm is None and all(_unlike(unit, other) for other in request.units[:position]):
            _typical(unit, [number + 1 for number, other in enumerate(request.units) if not _unlike(unit, other)], request.chemistry, case)


def _unlike(unit: Unit, other: Unit) -> bool:
    return other.resistance_ohm is not None or (unit.capacity_ah, unit.cells) != (other.capacity_ah, other.cells)


def _typical(unit: Unit, numbers: list[int], chemistry: str, case: Case) -> None:
    table = case.library.tables["internal_resistances"]
    figure_cells, joint = float(table.cell(chemistry, "figure_cells")), float(table.cell(chemistry, "joint"))
    said = {
        name: 1000 * formulas.typical_resistance(float(table.cell(chemistry, name)), float(unit.cells), figure_cells, float(unit.capacity_ah), joint)
        for name in ("low", "typical", "high")
    }
    case.note("typical-resistance", f"/units/{numbers[0] - 1}", units=", ".join(map(str, numbers)), **said)
