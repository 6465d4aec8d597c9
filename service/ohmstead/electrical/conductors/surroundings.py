"""What a circuit's surroundings settle before any conductor is tried: terminals, insulation, and the factors of each stretch.

The circuits of a plan share their surroundings by class, so they are worked out once and found again by the very
numbers that they were made from.
"""

from __future__ import annotations

import msgspec
from msgspec import Struct

from ...reference.case import Case
from ...reference.practices import Column, RuleSource
from ...reference.tables import Table
from ...working import Check, at_least, at_most
from .formulas import run_together
from .model import Run, Stretch
from .rules import Rules, rules_of

_SMALL_CONDUCTORS_END = "1"
"""Terminals marked for conductors from 14 to 1 AWG count as 60 °C whatever the circuit carries, NEC 110.14(C)(1)(a)."""


class Zone(Struct, frozen=True):
    """What the place of one stretch allows."""

    ambient_c: float
    ambient_factor: float
    loaded: float
    column: tuple[float, ...]
    """Ampacities of the insulation here, in the order of the sizes."""
    adjusted: bool
    """Whether conductors that lie together are adjusted here."""


class Sets(Struct, frozen=True):
    """A number of conductors in parallel as formulas take it, and the adjustment for what then lies together in each stretch."""

    count: int
    n: float
    bundling: tuple[float, ...]


class Surroundings(Struct, frozen=True):
    """What is the same for every row that is tried."""

    run: Run
    """The first one that has them: what it was made from stays, and with it the identities by which it is found."""
    rules: Rules
    sizes: Table
    made: tuple[bool, ...]
    """Whether each size is made with what both ends ask for."""
    first: int
    """First row that the terminals take."""
    last: int
    """Last one."""
    max_sets: int
    terminal_c: float
    small_c: float | None
    """Rating of unmarked terminals of small conductors, where it differs."""
    small_end: int
    """Last row of the small conductors; -1 where it does not matter."""
    terminal_column: tuple[float, ...]
    insulation_c: float
    zones: tuple[Zone, ...]
    stretches: tuple[Stretch, ...]
    """The stretches of a run of several; empty when it is of one."""
    together_m: float | None
    """Length of several stretches; None for a run of one, of which others of any length may have the same surroundings."""
    drop_limit: float | None
    """Allowed where the run says nothing itself; None where it does."""
    why: str = ""
    """Why no conductor can serve; empty when one may."""
    failed: Check | None = None
    factor: float | None = None
    ambient_c: float | None = None
    sets: dict[int, Sets | None] = msgspec.field(default_factory=dict)
    """Conductors in parallel, once they were asked for."""


def surroundings_of(run: Run, thermal_a: float, case: Case) -> Surroundings:
    """The surroundings of a run; found again when another circuit of the calculation has the same."""
    source = run.source
    large = len(source.terminal_defaults) > 1 and not at_most(thermal_a, case.constant("terminal_temperature_limit_a"))
    # By identity, not by value: equal numbers of a traced calculation may come from different places. The length of a run of
    # one stretch counts for nothing here but whether its conductors lie together.
    key = (
        source.name, large, run.place, run.engine_space, run.critical, run.largest_conductor, run.max_sets, id(run.ends),
        id(run.run_m) if run.further else _lies_together(run, source), id(run.ambient_c), id(run.loaded_conductors), id(run.further), id(run.insulation_temperature_c), id(run.terminal_temperature_c),
        run.drop_limit is None, id(run.nominal_voltage_v),
    )
    found = case.surroundings.get(key)
    if found is None:
        found = case.surroundings[key] = _settle(run, large, case)
    return found


def _settle(run: Run, large: bool, case: Case) -> Surroundings:
    source = run.source
    stretches = (run, *run.further)
    ambients = [_ambient(stretch, source, case) for stretch in stretches]
    insulation = case.assume(source.insulation_default, run.insulation_temperature_c)
    terminal, small = _terminals(run, large, insulation, case)
    limit = case.assume(source.drop_limit_default if run.critical else source.drop_limit_other) if run.drop_limit is None else None
    rules = rules_of(source.clauses)
    why, failed = "", None
    if source.voltage_limit_v is not None and not at_most(run.nominal_voltage_v, source.voltage_limit_v):
        why = f"{source.document} is written for up to {source.voltage_limit_v:g} V nominal."
        failed = rules.scope.check(run.nominal_voltage_v, source.voltage_limit_v)
    zones: list[Zone] = []
    # Where a stretch has no ampacity the answer shows that one's place.
    shown, factor = ambients[0], None
    for stretch, ambient in zip(stretches, ambients, strict=True):
        zone = _zone(stretch, ambient, insulation, source, case)
        if isinstance(zone, Zone):
            factor = zone.ambient_factor if factor is None else factor
            zones.append(zone)
            continue
        why = why or zone
        shown, factor = ambient, None
        break
    at_terminals = source.ampacity.at(terminal)
    if at_terminals is None:
        why = why or f"No ampacity is printed for terminals rated {terminal:g} °C."
    made, first, last, sets = _fitting(run, case)
    for zone in zones:
        last = min(last, len(zone.column) - 1)
    column = () if why else _terminal_column(source, at_terminals, small)
    several = (Stretch(run.run_m, run.place, run.engine_space, run.ambient_c, run.loaded_conductors), *run.further) if run.further else ()
    return Surroundings(
        run, rules, source.sizes, made, first, last, sets, terminal, small,
        -1 if small is None else source.sizes.row(_SMALL_CONDUCTORS_END), column, insulation, tuple(zones), several,
        run_together(*[stretch.run_m for stretch in several]) if several else None, limit, why, failed, factor, shown,
    )


def _ambient(stretch: Run | Stretch, source: RuleSource, case: Case) -> float:
    """Hottest air along the stretch; an engine space counts as at least so hot as its documented default."""
    if not stretch.engine_space:
        return case.assume(source.ambient_default, stretch.ambient_c)
    if stretch.ambient_c is not None and at_least(stretch.ambient_c, case.library.defaults["engine_space_c"][0]):
        return stretch.ambient_c
    return case.assume("engine_space_c")


def _zone(stretch: Run | Stretch, ambient_c: float, insulation_c: float, source: RuleSource, case: Case) -> Zone | str:
    """The stretch with what its place allows, or why it allows nothing."""
    printed = source.free_air if stretch.place == "free-air" and source.free_air is not None else source.ampacity
    column = printed.at(insulation_c)
    if column is None:
        return f"No ampacity is printed for insulation rated {insulation_c:g} °C."
    factors, band = column.ambient.columns[column.factor], column.ambient.first_at_least("upper_c", ambient_c)
    factor = factors[band] if band < len(factors) else None
    if factor is None:
        return f"Insulation rated {insulation_c:g} °C has no permitted ampacity at an ambient of {ambient_c:g} °C."
    loaded = case.assume("loaded_conductors", stretch.loaded_conductors)
    return Zone(ambient_c, factor, loaded, column.values, _lies_together(stretch, source))


def _lies_together(stretch: Run | Stretch, source: RuleSource) -> bool:
    """Whether conductors that lie together are adjusted here: in free air none do, and some documents leave short lengths free."""
    free = source.bundling_free_run_m
    return stretch.place != "free-air" and (free is None or not at_most(stretch.run_m, free))


def _terminals(run: Run, large: bool, insulation_c: float, case: Case) -> tuple[float, float | None]:
    """Rating of the terminals: the lower one of the two ends, an unmarked one by the rules, and never above the insulation's."""
    source = run.source
    told = [end.temperature_c if end.temperature_c is not None else run.terminal_temperature_c for end in run.ends] or [run.terminal_temperature_c]
    marked = None
    for rating in told:
        if rating is not None and (marked is None or rating < marked):
            marked = rating
    small = None
    terminal = marked
    if marked is None or None in told:
        small = terminal = case.assume(source.terminal_defaults[0])
        if large:
            terminal = case.assume(source.terminal_defaults[1])
        if marked is not None:
            small, terminal = (marked if marked < rating else rating for rating in (small, terminal))
    if terminal > insulation_c:
        case.note("terminals-above-insulation", "/terminals", terminals=float(terminal), insulation=float(insulation_c))
        terminal = insulation_c
    if small is not None and small > terminal:
        small = terminal
    return terminal, small if small != terminal else None


def _terminal_column(source: RuleSource, at_terminals: Column, small_c: float | None) -> tuple[float, ...]:
    """Ampacities that the terminals allow. Unmarked ones of large circuits may still be of the kind for small conductors."""
    if small_c is None:
        return at_terminals.values
    up_to = source.sizes.row(_SMALL_CONDUCTORS_END) + 1
    return source.ampacity.at(small_c).values[:up_to] + at_terminals.values[up_to:]


def _fitting(run: Run, case: Case) -> tuple[tuple[bool, ...], int, int, int]:
    """Which sizes are made for both ends, the first and the last one that they take, and how many together."""
    source, sizes = run.source, run.source.sizes
    told = source.largest_row if run.largest_conductor is None else sizes.row(run.largest_conductor)
    if not run.ends:
        return _made(source, (), source.current == "direct", case), 0, told, run.max_sets
    first, last, sets, studs = 0, sizes.rows - 1, run.max_sets, []
    for end in run.ends:
        last = min(last, told if end.largest_conductor is None else sizes.row(end.largest_conductor))
        sets = min(sets, end.conductors_most)
        if end.smallest_conductor is not None:
            first = max(first, sizes.row(end.smallest_conductor))
        if end.stud is not None:
            studs.append(end.stud)
    made = _made(source, tuple(studs), bool(studs), case)
    while studs and first < len(made) and not made[first]:
        first += 1
    return made, first, last, sets


def _made(source: RuleSource, studs: tuple[str, ...], lugged: bool, case: Case) -> tuple[bool, ...]:
    """Whether each size is made for these studs; without studs, whether lugs of the size are made at all."""
    known = case.library.fitting_sizes
    found = known.get((source.name, studs, lugged))
    if found is None:
        names, lugs = source.sizes.columns[source.sizes.key], source.lugs
        if lugs is None or not lugged:
            found = (True,) * len(names)
        else:
            listed = source.largest_row
            holes = [lugs.columns["made_studs"][lugs.index[name]].split() if name in lugs.index else None for name in names]
            # Above the largest lug the terminals were said to take the bare conductor; a stud takes nothing without a lug.
            found = tuple(
                all(stud in those for stud in studs) if those is not None else not studs and row > listed for row, those in enumerate(holes)
            )
        known[source.name, studs, lugged] = found
    return found


def together(found: Surroundings, count: int, case: Case) -> Sets | None:
    """So many sets; None where the source's table of conductors together ends below them."""
    if count not in found.sets:
        found.sets[count] = _adjusted(found, count, case)
    return found.sets[count]


def _adjusted(found: Surroundings, count: int, case: Case) -> Sets | None:
    n = case.chosen(count, "sets", "conductors in parallel")
    table = found.run.source.bundling
    factors, adjustments = table.columns["factor"], []
    for zone in found.zones:
        row = table.first_at_least("upper_count", zone.loaded * count) if zone.adjusted else 0
        if row >= table.rows:
            return None
        adjustments.append(factors[row])
    return Sets(count, n, tuple(adjustments))
