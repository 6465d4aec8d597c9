"""Choose the smallest conductor, or set of conductors, that passes every check, and its overcurrent device.

The device comes first, from the series in which it is made; then every check is solved for the table value
that it needs, the row is found by bisection and verified. When no row fits the terminals the number of
conductors in parallel rises; when none does the answer says which check stood in the way.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from ...reference.case import Case
from ...reference.practices import Column, DeviceRelation
from ...reference.tables import Table
from ...working import TOLERANCE, Check, Choice, at_least, at_most
from ..protection.formulas import device_needed
from ..protection.model import Demand, Device
from ..protection.sizing import (
    OTHER_LIMIT, PROTECTS, SMALL_CONDUCTOR, ampacity_for, assumed_rating, candidates, device_checks, grounding_size, protection_checks,
)
from .formulas import (
    ampacity, ampacity_conditions, ampacity_terminals, column_needed, conductor_temperature, continuous_current,
    derated_needed, drop_by_circular_mils, drop_by_square_millimetres, drop_limit_volts, drop_share, load_voltage, loop_resistance, resistance_at, resistance_needed,
    ripple_current, ripple_factor, thermal_current, voltage_drop,
)
from .model import Circuit, Neighbour, Row, Run
from .rules import CONDITIONS, DROP, DROP_HOT, TERMINALS, Rules, rules_of

_KINDS = {"direct": "direct current", "alternating": "alternating current"}

_SMALL_CONDUCTORS_END = "1"
"""Terminals marked for conductors from 14 to 1 AWG count as 60 °C whatever the circuit carries, NEC 110.14(C)(1)(a)."""

_AREAS = {"circular-mils": "area_cmil", "square-millimetres": "area_mm2"}
_CONVENTIONAL = {"circular-mils": drop_by_circular_mils, "square-millimetres": drop_by_square_millimetres}


class _Conditions(Struct):
    """What is the same for every row that is tried."""

    run: Run
    sizes: Table
    lugs: dict[str, int] | None
    """Sizes for which lugs are listed; None where conductors are clamped bare."""
    listed: int
    """Row of the largest of them."""
    terminal_c: float
    small_c: float | None
    """Rating of unmarked terminals of small conductors."""
    terminal_column: tuple
    insulation_column: tuple
    ambient_c: float
    ambient_factor: float
    insulation_c: float
    loaded: float
    average_a: float
    rms_a: float
    thermal_a: float
    drop_limit: float
    alpha: float
    case: Case
    rules: Rules
    relation: DeviceRelation
    """How far the device may exceed the ampacity: the source's relation, or the one that it allows where nothing else fits."""


class _Try(Struct):
    """A candidate row with its checks, in the order in which an inspector asks."""

    index: int
    row: Row
    checks: tuple[Check, ...]

    @property
    def failed(self) -> Check | None:
        """The first check that it does not pass."""
        for check in self.checks:
            if not check.passed:
                return check
        return None


class _Sets(Struct):
    """A number of conductors in parallel as formulas take it, and the adjustment for what then lies together."""

    count: int
    n: float
    bundling: float


def size_circuit(run: Run, case: Case, *, neighbours: bool = True) -> Circuit:
    """Size one circuit.

    The rule of choice: fewest conductors in parallel, then the smallest size, that pass ampacity at the
    terminals, ampacity under the conditions of use, voltage drop and protection by a device that is made.
    When nothing qualifies the outcome is `nothing-fits` with the check that failed on the largest candidate.
    `neighbours=False` leaves out the next sizes down and up.
    """
    source = run.source
    average = run.current_a
    rms = average if run.ripple_power_factor is None else ripple_current(average, ripple_factor(run.ripple_power_factor))
    duty = continuous_current(source.continuous_factor, average) if run.continuous else average
    thermal = thermal_current(duty, rms)
    ambient = _ambient(run, case)
    insulation = case.assume(source.insulation_default, run.insulation_temperature_c)
    terminal = run.terminal_temperature_c
    small = None
    if terminal is None:
        small = terminal = case.assume(source.terminal_defaults[0])
        if len(source.terminal_defaults) > 1 and not at_most(thermal, case.constant("terminal_temperature_limit_a")):
            terminal = case.assume(source.terminal_defaults[1])
    limit = case.assume(source.drop_limit_default if run.critical else source.drop_limit_other, run.drop_limit)
    printed = source.free_air if run.place == "free-air" and source.free_air is not None else source.ampacity
    column, at_terminals = printed.at(insulation), source.ampacity.at(terminal)
    factor = None
    if column is not None:
        factors, band = source.ambient.columns[column.factor], source.ambient.first_at_least("upper_c", ambient)
        factor = factors[band] if band < len(factors) else None

    def unfit(why: str, bundling: float | None = None, device: Device | None = None, failed: Check | None = None) -> Circuit:
        return Circuit(
            outcome="nothing-fits", design_current_a=average, thermal_current_a=thermal, ambient_c=ambient, ambient_factor=factor, bundling_factor=bundling,
            terminal_temperature_c=terminal, insulation_temperature_c=insulation, drop_limit=limit, conductor=None, device=device,
            grounding_size=None, load_voltage_v=None, choice=None, checks=(), failed=failed, why=why,
        )

    rules = rules_of(source.clauses)
    if source.voltage_limit_v is not None:
        scope = rules.scope.check(run.nominal_voltage_v, source.voltage_limit_v)
        if not scope.passed:
            return unfit(f"{source.document} is written for up to {source.voltage_limit_v:g} V nominal.", failed=scope)
    if column is None:
        return unfit(f"No ampacity is printed for insulation rated {insulation:g} °C.")
    if at_terminals is None:
        return unfit(f"No ampacity is printed for terminals rated {terminal:g} °C.")
    if factor is None:
        return unfit(f"Insulation rated {insulation:g} °C has no permitted ampacity at an ambient of {ambient:g} °C.")

    sizes = source.sizes
    conditions = _Conditions(
        run, sizes, source.lugs.index if source.lugs is not None and source.current == "direct" else None, sizes.row(source.largest),
        terminal, small, _terminal_column(run, at_terminals, terminal, small), column.values,
        ambient, factor, insulation, case.assume("loaded_conductors", run.loaded_conductors), average, rms, thermal,
        limit, source.copper_coefficient, case, rules, source.device_relation,
    )
    needed = device_needed(thermal if source.device_factor == source.continuous_factor else _device_thermal(run, average, rms))
    demand = Demand(source.device_use, needed, run.highest_voltage_v, run.fault_current_a, run.fault_proven, run.both_ways, run.device_limit_a)
    miss: Circuit | None = None
    for device in candidates(demand, case) if run.device else (None,):
        for count in range(1, run.max_sets + 1):
            last = _largest(conditions, count)
            sets = _together(conditions, count)
            if last < 0 or sets is None:
                break
            rows = _ask(conditions, sets, device)
            tried = _settle(conditions, max(rows.values()), sets, device, last)
            if tried is not None:
                return _sized(conditions, tried, sets, device, demand, rows, last, neighbours)
        if miss is None:
            miss = _miss(conditions, device, unfit)
    if source.device_allowance is not None and run.device:
        allowed = _allowed(conditions, demand, neighbours)
        if allowed is not None:
            return allowed
    if miss is not None:
        return miss
    if run.device_limit_a is not None:
        # Without the equipment's limit there may be one: then the limit is what stands in the way.
        made = next(candidates(replace(demand, limit_a=None), case), None)
        if made is not None:
            return unfit(f"The smallest device made for {needed:.4g} A is {made.rating_a:g} A, the equipment allows {run.device_limit_a:g} A.",
                         device=made, failed=OTHER_LIMIT.check(made.rating_a, run.device_limit_a))
    return unfit(f"No overcurrent device is made for {needed:.4g} A at {run.highest_voltage_v:g} V {_KINDS[source.current]} in this use.")


def _allowed(c: _Conditions, demand: Demand, neighbours: bool) -> Circuit | None:
    """The largest conductor that the terminals take, with a device above its ampacity as far as the source allows; None when even that fails.

    The largest, because the allowance is a ceiling: the device exceeds the ampacity by as little as can be.
    """
    for device in candidates(demand, c.case):
        for count in range(c.run.max_sets, 0, -1):
            last = _largest(c, count)
            sets = _together(c, count)
            if last < 0 or sets is None:
                continue
            c.relation = c.run.source.device_allowance
            rows = _ask(c, sets, device)
            tried = _settle(c, max(*rows.values(), last), sets, device, last)
            c.relation = c.run.source.device_relation
            if tried is not None:
                sized = _sized(c, tried, sets, device, demand, rows | {PROTECTS.name: last}, last, neighbours)
                return replace(sized, above_ampacity=True)
    return None


def _ambient(run: Run, case: Case) -> float:
    """Hottest air along the run; an engine space counts as at least so hot as its documented default."""
    if not run.engine_space:
        return case.assume(run.source.ambient_default, run.ambient_c)
    if run.ambient_c is not None and at_least(run.ambient_c, case.library.defaults["engine_space_c"][0]):
        return run.ambient_c
    return case.assume("engine_space_c")


def _device_thermal(run: Run, average: float, rms: float) -> float:
    """Current that the device is sized for where its factor is not that of the conductor."""
    return thermal_current(continuous_current(run.source.device_factor, average) if run.continuous else average, rms)


def _terminal_column(run: Run, at_terminals: Column, terminal_c: float, small_c: float | None) -> tuple:
    """Ampacities that the terminals allow. Unmarked ones of large circuits may still be of the kind for small conductors."""
    if small_c is None or small_c == terminal_c:
        return at_terminals.values
    up_to = run.source.sizes.row(_SMALL_CONDUCTORS_END) + 1
    return run.source.ampacity.at(small_c).values[:up_to] + at_terminals.values[up_to:]


def _together(c: _Conditions, count: int) -> _Sets | None:
    """The sets with their adjustment; None where the source's table ends below so many together."""
    n = c.case.chosen(count, "sets", "conductors in parallel")
    table = c.run.source.bundling
    factors = table.columns["factor"]
    free = c.run.source.bundling_free_run_m
    if c.run.place == "free-air" or (free is not None and at_most(c.run.run_m, free)):
        return _Sets(count, n, factors[0])
    row = table.first_at_least("upper_count", c.loaded * count)
    return _Sets(count, n, factors[row]) if row < table.rows else None


def _ask(c: _Conditions, sets: _Sets, device: Device | None) -> dict[str, int]:
    """First row that each check can accept, by the table value that it needs."""
    n = sets.n
    rows = {
        TERMINALS.name: _first(c.terminal_column, column_needed(c.thermal_a, n)),
        CONDITIONS.name: _first(c.insulation_column, derated_needed(c.rms_a, c.ambient_factor, sets.bundling, n)),
        DROP.name: c.sizes.first_at_most(
            "resistance_75c", resistance_needed(drop_limit_volts(c.drop_limit, c.run.nominal_voltage_v), c.average_a, c.run.run_m, n)),
    }
    if device is not None:
        protected, itself = ampacity_for(c.relation, device.rating_a, c.run.source)
        find = _first if itself else _first_above
        rows[PROTECTS.name] = max(
            find(c.terminal_column, column_needed(protected, n)),
            find(c.insulation_column, derated_needed(protected, c.ambient_factor, sets.bundling, n)),
        )
        if c.run.source.caps is not None:
            rows[SMALL_CONDUCTOR.name] = _cap_row(c.run.source.caps, c.sizes, device.rating_a)
    if sets.count > 1:
        rows["smallest-parallel"] = c.sizes.row(c.run.source.parallel_from)
    if c.run.source.smallest is not None:
        rows["smallest-permitted"] = c.sizes.row(c.run.source.smallest)
    if c.run.smallest_conductor is not None:
        rows["smallest-for-stud"] = c.sizes.row(c.run.smallest_conductor)
    return rows


def _first(column: tuple, needed: float) -> int:
    return bisect_left(column, needed - TOLERANCE * needed)


def _first_above(column: tuple, passed: float) -> int:
    return bisect_right(column, passed + TOLERANCE * passed)


def _cap_row(caps: Table, sizes: Table, rating_a: float) -> int:
    """First size that the small-conductor rule lets a device of this rating protect."""
    row = caps.first_at_least("cap_a", rating_a)
    if row < caps.rows:
        return sizes.row(caps.columns["size"][row])
    return sizes.row(caps.columns["size"][-1]) + 1


def _largest(c: _Conditions, sets: int) -> int:
    """Last row that the terminals take; -1 when the practice does not permit this many sets of it."""
    last = c.sizes.row(c.run.largest_conductor) if c.run.largest_conductor is not None else c.listed
    if sets > 1 and last < c.sizes.row(c.run.source.parallel_from):
        return -1
    return last


def _settle(c: _Conditions, index: int, sets: _Sets, device: Device | None, last: int) -> _Try | None:
    """Move up from the asked row to the first one that is made with lugs and whose every check passes."""
    while index <= last:
        if _made(c, index):
            tried = _try(c, index, sets, device)
            if tried.failed is None:
                return tried
        index += 1
    return None


def _made(c: _Conditions, index: int) -> bool:
    """Whether the size is made with lugs. Above the largest lug the terminals were said to take the bare conductor."""
    return c.lugs is None or index > c.listed or c.sizes.columns["size"][index] in c.lugs


def _try(c: _Conditions, index: int, sets: _Sets, device: Device | None) -> _Try:
    n, run = sets.n, c.run
    columns = c.sizes.columns
    terminal, insulation, r75 = c.terminal_column[index], c.insulation_column[index], columns["resistance_75c"][index]
    at_terminals = ampacity_terminals(terminal, n)
    at_conditions = ampacity_conditions(insulation, c.ambient_factor, sets.bundling, n)
    capacity = ampacity(at_terminals, at_conditions)
    drop = voltage_drop(c.average_a, loop_resistance(r75, run.run_m, n))
    temperature = conductor_temperature(c.ambient_c, c.insulation_c, c.rms_a, at_conditions)
    hot_drop = voltage_drop(c.average_a, loop_resistance(resistance_at(r75, c.alpha, temperature), run.run_m, n))
    share, hot_share = drop_share(drop, run.nominal_voltage_v), drop_share(hot_drop, run.nominal_voltage_v)
    size = columns["size"][index]
    checks = (
        c.rules.terminals.check(c.thermal_a, at_terminals), c.rules.conditions.check(c.rms_a, at_conditions),
        c.rules.drop.check(share, c.drop_limit), c.rules.drop_hot.check(hot_share, c.drop_limit),
    )
    if device is not None:
        caps = run.source.caps
        cap = caps.columns["cap_a"][caps.index[size]] if caps is not None and size in caps.index else None
        checks += protection_checks(device, capacity, cap, run.source, c.relation, c.rules.protects)
    row = Row(size, sets.count, columns["area_mm2"][index], terminal, insulation, at_terminals, at_conditions, capacity, drop, share,
              temperature, hot_drop, hot_share)
    return _Try(index, row, checks)


def _sized(
    c: _Conditions, tried: _Try, sets: _Sets, device: Device | None, demand: Demand, rows: dict[str, int], last: int, neighbours: bool
) -> Circuit:
    row, index, run, source = tried.row, tried.index, c.run, c.run.source
    checks = tried.checks if device is None else tried.checks + device_checks(device, demand)
    first = max(rows["smallest-parallel"] if sets.count > 1 else 0, rows.get("smallest-permitted", 0))
    smaller = _neighbour(c, range(index - 1, first - 1, -1), sets, device) if neighbours else None
    larger = _neighbour(c, range(index + 1, last + 1), sets, device) if neighbours else None
    grounding = None
    rating = device.rating_a if device is not None else assumed_rating(source, c.thermal_a)
    if run.grounding:
        # What lies above the row that ampacity and protection ask for was added for voltage drop.
        least = max([asked for name, asked in rows.items() if name != DROP.name])
        while least < index and not _made(c, least):
            least += 1
        grounding = grounding_size(source, rating, index, least, c.sizes, run.enlarge_grounding, sets.n)
    governed = max(rows, key=rows.__getitem__)
    if index > rows[governed] and _made(c, rows[governed]):
        # The drop at the conductor's own temperature cannot be solved for its row; it moved the choice up.
        governed = DROP_HOT.name
    mixed = c.small_c is not None and c.small_c != c.terminal_c
    terminal = c.small_c if mixed and index <= c.sizes.row(_SMALL_CONDUCTORS_END) else c.terminal_c
    conventional = _CONVENTIONAL[source.drop_rule](
        source.drop_constant, c.average_a, run.run_m, c.sizes.columns[_AREAS[source.drop_rule]][index], sets.n)
    choice = Choice("conductor", row.what, governed, checks, smaller.size if smaller else "", smaller.failed if smaller else None)
    return Circuit(
        outcome="sized", design_current_a=c.average_a, thermal_current_a=c.thermal_a, ambient_c=c.ambient_c, ambient_factor=c.ambient_factor,
        bundling_factor=sets.bundling, terminal_temperature_c=terminal, insulation_temperature_c=c.insulation_c, drop_limit=c.drop_limit,
        conductor=row, device=device, grounding_size=grounding, load_voltage_v=load_voltage(run.lowest_voltage_v, row.drop_at_temperature_v),
        choice=choice, checks=checks, smaller=smaller, larger=larger, conventional_drop_v=conventional, drop_constant=source.drop_constant,
    )


def _neighbour(c: _Conditions, rows: range, sets: _Sets, device: Device | None) -> Neighbour | None:
    """The first of these rows that is made, with the check that it fails."""
    for index in rows:
        if _made(c, index):
            tried = _try(c, index, sets, device)
            return Neighbour(tried.row.size, sets.count, tried.failed)
    return None


def _miss(c: _Conditions, device: Device | None, unfit: Callable[..., Circuit]) -> Circuit:
    """The largest permitted candidate and the check that it fails."""
    for count in range(c.run.max_sets, 0, -1):
        last = _largest(c, count)
        sets = _together(c, count)
        if last >= 0 and sets is not None:
            tried = _try(c, last, sets, device)
            failed = tried.failed
            bare = "is not permitted on its own" if _made(c, last) else "is not made with lugs"
            why = failed.rule.name if failed else f"no check, but {bare}"
            return unfit(f"Nothing up to {tried.row.what} passes; the nearest miss fails {why}.", sets.bundling, device, failed)
    if _together(c, 1) is None:
        return unfit(f"{c.run.source.bundling.title}: the table ends below {c.loaded:g} loaded conductors together.")
    return unfit("No conductor of the practice fits these terminals.")
