"""The network of a bank, solved by formulas that a reader can follow.

A chain of units is a ladder, and a ladder needs no system of equations: from the far end on, each section is a unit
beside a pair of links and the rest, and from the near end on each section divides the current that arrives. Leads at
opposite ends are, by superposition, half of the chain with both leads at the first unit and half with both at the last.
Every step adds and divides positive numbers, so nothing cancels however little the units' resistance is beside the
links'. Tests solve the same networks by nodes, with other programs.
"""

from __future__ import annotations

from ...reference.case import Case
from ..conductors.formulas import loop_resistance, resistance_at
from .formulas import (
    across_diagonal,
    behind_bus_bars,
    gathered,
    in_parallel,
    in_series,
    pair_of_cables,
    pair_of_links,
    passed_on,
    section,
    superposed,
    taken_from,
)
from .model import Cable, Flow, LayoutName, Link


def cable_loop(cable: Cable, conductor_temperature_c: float, case: Case) -> float:
    """Resistance of a cable out and back at a temperature."""
    table = case.library.tables["awg_conductors"]
    coefficient = case.constant("copper_temperature_coefficient")
    return loop_resistance(resistance_at(table.cell(cable.size, "resistance_75c"), coefficient, conductor_temperature_c), cable.run_m, cable.sets)


def link_pair(link: Link, temperature: str, joint: str, case: Case) -> float:
    """Resistance of a pair of links, one a pole; `temperature` and `joint` name the default and the constant that stand in."""
    if link.cable is None:
        return pair_of_links(link.resistance_ohm)
    loop = cable_loop(link.cable, case.assume(temperature, link.conductor_temperature_c), case)
    return pair_of_cables(loop, link.joints, case.constant(joint))


def solve(layout: LayoutName, strings_ohm: tuple[float, ...], pair_ohm: float, total_a: float) -> Flow:
    """Currents of every unit and link; behind bus bars each string has a pair of leads, else pairs of links join neighbours."""
    return _LAYOUTS[layout](strings_ohm, pair_ohm, total_a)


def _one_end(strings_ohm: tuple[float, ...], pair_ohm: float, total_a: float) -> Flow:
    """Both leads at the first unit."""
    into = _into(strings_ohm, pair_ohm)
    units, links = _divide(strings_ohm, pair_ohm, into, total_a)
    return Flow(units, links, links, into[0])


def _diagonal(strings_ohm: tuple[float, ...], pair_ohm: float, total_a: float) -> Flow:
    """The positive lead at the first unit, the negative one at the last."""
    turned = strings_ohm[::-1]
    near, _ = _divide(strings_ohm, pair_ohm, _into(strings_ohm, pair_ohm), total_a)
    far, _ = _divide(turned, pair_ohm, _into(turned, pair_ohm), total_a)
    units = tuple(map(superposed, near, far[::-1]))
    if len(units) == 1:
        return Flow(units, (), (), strings_ohm[0])
    negative = _sums(units[:-1])
    positive = _sums(units[:0:-1])[::-1]
    return Flow(units, positive, negative, across_diagonal(strings_ohm[0], units[0], pair_ohm, total_a, *negative))


def _bus_bars(strings_ohm: tuple[float, ...], pair_ohm: float, total_a: float) -> Flow:
    """Every string behind leads of its own."""
    strings = [in_series(string, pair_ohm) for string in strings_ohm]
    together = in_parallel(*strings)
    units = tuple(behind_bus_bars(total_a, together, string) for string in strings)
    return Flow(units, units, units, together)


_LAYOUTS = {"one-end": _one_end, "diagonal": _diagonal, "bus-bars": _bus_bars}


def _into(strings_ohm: tuple[float, ...], pair_ohm: float) -> list[float]:
    """Resistance into each unit and all beyond it."""
    found = [strings_ohm[-1]]
    for string in strings_ohm[-2::-1]:
        found.append(section(string, pair_ohm, found[-1]))
    return found[::-1]


def _divide(strings_ohm: tuple[float, ...], pair_ohm: float, into: list[float], total_a: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Currents of the units and of the links that follow them."""
    units, links, arriving = [], [], total_a
    for string, rest in zip(strings_ohm[:-1], into[1:], strict=True):
        units.append(taken_from(arriving, string, pair_ohm, rest))
        arriving = passed_on(arriving, string, pair_ohm, rest)
        links.append(arriving)
    return (*units, arriving), tuple(links)


def _sums(currents_a: tuple[float, ...]) -> tuple[float, ...]:
    """Sum of the first, of the first two, and so on."""
    found = [gathered(currents_a[0])]
    for current in currents_a[1:]:
        found.append(gathered(found[-1], current))
    return tuple(found)
