"""The network of a bank, solved by formulas that a reader can follow.

A chain of units is a ladder, and a ladder needs no system of equations: from the far end on, each section is a unit
beside a pair of links and the rest, and from the near end on each section divides the current that arrives. Leads at
opposite ends are, by superposition, half of the chain with both leads at the first unit and half with both at the last.
Every step adds and divides positive numbers, so nothing cancels however little the units' resistance is beside the
links'. Links that differ by pole have no such halves: from the near end on each section then gathers what drives
current through the units beyond it, still without a subtraction but for the last one, the current of a unit between two
links. Tests solve the same networks by nodes, with other programs.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from ...reference.case import Case
from ...reference.practices import SIZES
from ..conductors.formulas import loop_resistance, resistance_at
from .formulas import (
    across_diagonal,
    across_unlike_diagonal,
    behind_bus_bars,
    between_links,
    driven_by_link,
    driven_by_links,
    gathered,
    in_parallel,
    in_series,
    link_drop,
    looking_back,
    looking_further_back,
    pair_of_cables,
    pair_of_links,
    pair_of_unlike,
    passed_on,
    section,
    superposed,
    taken_from,
    through_link,
)
from .model import Cable, Flow, LayoutName, Link


def cable_loop(cable: Cable, conductor_temperature_c: float, case: Case) -> float:
    """Resistance of a cable out and back at a temperature, as printed; for sizes in mm2 that is the most that their class may have."""
    name, coefficient = SIZES[cable.system]
    at_75c = case.library.tables[name].cell(cable.size, "resistance_75c")
    return loop_resistance(resistance_at(at_75c, case.constant(coefficient), conductor_temperature_c), cable.run_m, cable.sets)


def link_pair(
    link: Link, temperature: str, joint: str, case: Case, loop: Callable[[Cable, float, Case], float] = cable_loop
) -> float:
    """Resistance of a pair of links, one a pole; `temperature` and `joint` name the default and the constant that stand in."""
    if link.cable is None:
        return pair_of_links(link.resistance_ohm)
    out_and_back = loop(link.cable, case.assume(temperature, link.conductor_temperature_c), case)
    return pair_of_cables(out_and_back, link.joints, case.constant(joint))


def solve(layout: LayoutName, strings_ohm: tuple[float, ...], pair_ohm: float, total_a: float) -> Flow:
    """Currents of every unit and link; behind bus bars each string has a pair of leads, else pairs of links join neighbours."""
    return _LAYOUTS[layout](strings_ohm, (pair_ohm,) * len(strings_ohm), total_a)


def solve_unlike(
    layout: LayoutName, strings_ohm: tuple[float, ...], positive_ohm: tuple[float, ...], negative_ohm: tuple[float, ...], total_a: float
) -> Flow:
    """The same where links or leads differ; each is named by the unit that it starts from."""
    if layout == "diagonal" and len(strings_ohm) > 1:
        return _unlike_diagonal(strings_ohm, positive_ohm, negative_ohm, total_a)
    return _LAYOUTS[layout](strings_ohm, tuple(map(pair_of_unlike, positive_ohm, negative_ohm)), total_a)


def _one_end(strings_ohm: tuple[float, ...], pairs_ohm: tuple[float, ...], total_a: float) -> Flow:
    """Both leads at the first unit."""
    into = _into(strings_ohm, pairs_ohm)
    units, links = _divide(strings_ohm, pairs_ohm, into, total_a)
    return Flow(units, links, links, into[0])


def _diagonal(strings_ohm: tuple[float, ...], pairs_ohm: tuple[float, ...], total_a: float) -> Flow:
    """The positive lead at the first unit, the negative one at the last; all pairs alike."""
    turned = strings_ohm[::-1]
    near, _ = _divide(strings_ohm, pairs_ohm, _into(strings_ohm, pairs_ohm), total_a)
    far, _ = _divide(turned, pairs_ohm, _into(turned, pairs_ohm), total_a)
    units = tuple(map(superposed, near, far[::-1]))
    if len(units) == 1:
        return Flow(units, (), (), strings_ohm[0])
    negative = _sums(units[:-1])
    positive = _sums(units[:0:-1])[::-1]
    return Flow(units, positive, negative, across_diagonal(strings_ohm[0], units[0], pairs_ohm[0], total_a, *negative))


def _bus_bars(strings_ohm: tuple[float, ...], pairs_ohm: tuple[float, ...], total_a: float) -> Flow:
    """Every string behind leads of its own."""
    strings = [in_series(string, pair) for string, pair in zip(strings_ohm, pairs_ohm, strict=True)]
    together = in_parallel(*strings)
    units = tuple(behind_bus_bars(total_a, together, string) for string in strings)
    return Flow(units, units, units, together)


_LAYOUTS = {"one-end": _one_end, "diagonal": _diagonal, "bus-bars": _bus_bars}


def _unlike_diagonal(
    strings_ohm: tuple[float, ...], positive_ohm: tuple[float, ...], negative_ohm: tuple[float, ...], total_a: float
) -> Flow:
    """The positive lead at the first unit, the negative one at the last, each link of its own resistance."""
    pairs = tuple(map(pair_of_unlike, positive_ohm, negative_ohm))[: len(strings_ohm) - 1]
    negative = _across(strings_ohm, pairs, positive_ohm, total_a)
    positive = _across(strings_ohm[::-1], pairs[::-1], negative_ohm[: len(pairs)][::-1], total_a)[::-1]
    units = (negative[0], *(between_links(after, before) for before, after in pairwise(negative)), positive[-1])
    drops = map(link_drop, negative, negative_ohm)
    return Flow(units, positive, negative, across_unlike_diagonal(strings_ohm[0], units[0], total_a, *drops))


def _across(
    strings_ohm: tuple[float, ...], pairs_ohm: tuple[float, ...], near_ohm: tuple[float, ...], total_a: float
) -> tuple[float, ...]:
    """Currents of the links of the pole whose lead sits at the last unit; `near_ohm` are the links of the other pole."""
    back = [looking_back(pairs_ohm[0], strings_ohm[0])]
    driving = [driven_by_link(near_ohm[0], total_a)]
    for pair, string, near in zip(pairs_ohm[1:], strings_ohm[1:], near_ohm[1:], strict=False):
        driving.append(driven_by_links(near, total_a, string, driving[-1], back[-1]))
        back.append(looking_further_back(pair, string, back[-1]))
    currents, after = [], total_a
    for volts, resistance, string in zip(driving[::-1], back[::-1], strings_ohm[:0:-1], strict=True):
        after = through_link(volts, string, after, resistance)
        currents.append(after)
    return tuple(currents[::-1])


def _into(strings_ohm: tuple[float, ...], pairs_ohm: tuple[float, ...]) -> list[float]:
    """Resistance into each unit and all beyond it."""
    found = [strings_ohm[-1]]
    for string, pair in zip(strings_ohm[-2::-1], pairs_ohm[: len(strings_ohm) - 1][::-1], strict=True):
        found.append(section(string, pair, found[-1]))
    return found[::-1]


def _divide(
    strings_ohm: tuple[float, ...], pairs_ohm: tuple[float, ...], into: list[float], total_a: float
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Currents of the units and of the links that follow them."""
    units, links, arriving = [], [], total_a
    for string, rest, pair in zip(strings_ohm[:-1], into[1:], pairs_ohm, strict=False):
        units.append(taken_from(arriving, string, pair, rest))
        arriving = passed_on(arriving, string, pair, rest)
        links.append(arriving)
    return (*units, arriving), tuple(links)


def _sums(currents_a: tuple[float, ...]) -> tuple[float, ...]:
    """Sum of the first, of the first two, and so on."""
    found = [gathered(currents_a[0])]
    for current in currents_a[1:]:
        found.append(gathered(found[-1], current))
    return tuple(found)
