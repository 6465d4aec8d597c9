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

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...reference.tables import Table
from ...working import TOLERANCE, Check, Choice, Rule, at_most
from ..protection.formulas import device_needed
from ..protection.model import Demand, Device
from ..protection.sizing import OTHER_LIMIT, PROTECTS, SMALL_CONDUCTOR, ampacity_for, assumed_rating, candidates, device_checks, grounding_size, protection_checks
from .formulas import (
    ampacity, ampacity_conditions, ampacity_terminals, column_needed, conductor_temperature, continuous_current,
    derated_needed, drop_limit_volts, drop_share, load_voltage, loop_resistance, resistance_at, resistance_needed,
    ripple_current, ripple_factor, thermal_current, voltage_drop,
)
from .model import Circuit, Neighbour, Row, Run

TERMINALS = Rule("ampacity-at-terminals", TERMS["thermal_current_a"], "at most", TERMS["ampacity_terminals_a"], cite("nec-110-14"))
CONDITIONS = Rule("ampacity-under-conditions", TERMS["ripple_current_a"], "at most", TERMS["ampacity_conditions_a"], cite("nec-310-15"))
DROP = Rule("voltage-drop", TERMS["drop_fraction"], "at most", TERMS["drop_limit"], cite("nec-chapters-1-4", "210.19(A), 215.2(A) informational notes"))
DROP_HOT = Rule("voltage-drop-at-temperature", TERMS["drop_fraction"], "at most", TERMS["drop_limit"], cite("nec-chapter-9", "Table 8 note 2"))

_KINDS = {"direct": "direct current", "alternating": "alternating current"}

_SMALL_CONDUCTORS_END = "1"
"""Terminals marked for conductors from 14 to 1 AWG count as 60 °C whatever the circuit carries, NEC 110.14(C)(1)(a)."""

_COLUMNS = ((90.0, "a_90", "f_90"), (75.0, "a_75", "f_75"), (60.0, "a_60", "f_60"))


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
    source, library = run.source, case.library
    average = run.current_a
    rms = average if run.ripple_power_factor is None else ripple_current(average, ripple_factor(run.ripple_power_factor))
    duty = continuous_current(source.continuous_factor, average) if run.continuous else average
    thermal = thermal_current(duty, rms)
    ambient = case.assume("ambient_c", run.ambient_c)
    insulation = case.assume("insulation_temperature_c", run.insulation_temperature_c)
    terminal = run.terminal_temperature_c
    small = None
    if terminal is None:
        small = case.assume("terminal_temperature_small")
        above = not at_most(thermal, case.constant("terminal_temperature_limit_a"))
        terminal = case.assume("terminal_temperature_large") if above else small
    limit = case.assume(source.drop_limit_default, run.drop_limit)
    insulation_name, factor_name = _column(insulation)
    table = source.free_air if run.place == "free-air" and source.free_air is not None else source.ampacity
    band = source.ambient.first_at_least("upper_c", ambient)
    factors = source.ambient.columns[factor_name]
    factor = factors[band] if band < len(factors) else None

    def unfit(why: str, bundling: float | None = None, device: Device | None = None, failed: Check | None = None) -> Circuit:
        return Circuit(
            outcome="nothing-fits", design_current_a=average, thermal_current_a=thermal, ambient_c=ambient, ambient_factor=factor, bundling_factor=bundling,
            terminal_temperature_c=terminal, insulation_temperature_c=insulation, drop_limit=limit, conductor=None, device=device,
            grounding_size=None, load_voltage_v=None, choice=None, checks=(), failed=failed, why=why,
        )

    if factor is None:
        return unfit(f"Insulation rated {insulation:g} °C has no permitted ampacity at an ambient of {ambient:g} °C.")

    sizes = library.tables["awg_conductors"]
    conditions = _Conditions(
        run, sizes, library.tables["lugs"].index if source.current == "direct" else None, sizes.row(library.largest_lug),
        terminal, small, _terminal_column(source.ampacity, terminal, small), table.columns[insulation_name],
        ambient, factor, insulation, case.assume("loaded_conductors", run.loaded_conductors), average, rms, thermal,
        limit, case.constant("copper_temperature_coefficient"), case,
    )
    needed = device_needed(thermal)
    demand = Demand(source.device_use, needed, run.highest_voltage_v, run.fault_current_a, run.fault_proven, run.both_ways, run.device_limit_a)
    miss: Circuit | None = None
    for device in candidates(demand, case) if run.device else (None,):
        for count in range(1, run.max_sets + 1):
            last = _largest(conditions, count)
            if last < 0:
                break
            sets = _together(conditions, count)
            rows = _ask(conditions, sets, device)
            tried = _settle(conditions, max(rows.values()), sets, device, last)
            if tried is not None:
                return _sized(conditions, tried, sets, device, demand, rows, last, neighbours)
        if miss is None:
            miss = _miss(conditions, device, unfit)
    if miss is not None:
        return miss
    if run.device_limit_a is not None:
        # Without the equipment's limit there may be one: then the limit is what stands in the way.
        made = next(candidates(replace(demand, limit_a=None), case), None)
        if made is not None:
            return unfit(f"The smallest device made for {needed:.4g} A is {made.rating_a:g} A, the equipment allows {run.device_limit_a:g} A.",
                         device=made, failed=OTHER_LIMIT.check(made.rating_a, run.device_limit_a))
    return unfit(f"No overcurrent device is made for {needed:.4g} A at {run.highest_voltage_v:g} V {_KINDS[source.current]} in this use.")


def _column(temperature_c: float) -> tuple[str, str]:
    """Names of the ampacity and the factor column that a temperature rating may use."""
    for rating, ampacity_name, factor_name in _COLUMNS:
        if temperature_c >= rating:
            return ampacity_name, factor_name
    raise ValueError(f"no ampacity column for {temperature_c} °C")


def _terminal_column(ampacity: Table, terminal_c: float, small_c: float | None) -> tuple:
    """Ampacities that the terminals allow. Unmarked ones of large circuits may still be of the kind for small conductors."""
    column = ampacity.columns[_column(terminal_c)[0]]
    if small_c is None or small_c == terminal_c:
        return column
    up_to = ampacity.row(_SMALL_CONDUCTORS_END) + 1
    return ampacity.columns[_column(small_c)[0]][:up_to] + column[up_to:]


def _together(c: _Conditions, count: int) -> _Sets:
    n = c.case.chosen(count, "sets", "conductors in parallel")
    table = c.run.source.bundling
    factors = table.columns["factor"]
    if c.run.place == "free-air" or at_most(c.run.run_m, c.case.constant("bundling_free_run")):
        return _Sets(count, n, factors[0])
    row = table.first_at_least("upper_count", c.loaded * count)
    return _Sets(count, n, factors[min(row, table.rows - 1)])


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
        protected, itself = ampacity_for(c.run.source.device_relation, device.rating_a, c.run.source)
        find = _first if itself else _first_above
        rows[PROTECTS.name] = max(
            find(c.terminal_column, column_needed(protected, n)),
            find(c.insulation_column, derated_needed(protected, c.ambient_factor, sets.bundling, n)),
        )
        rows[SMALL_CONDUCTOR.name] = _cap_row(c.run.source.caps, c.sizes, device.rating_a)
    if sets.count > 1:
        rows["smallest-parallel"] = c.sizes.row(c.run.source.parallel_from)
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
        TERMINALS.check(c.thermal_a, at_terminals), CONDITIONS.check(c.rms_a, at_conditions),
        DROP.check(share, c.drop_limit), DROP_HOT.check(hot_share, c.drop_limit),
    )
    if device is not None:
        caps = run.source.caps
        cap = caps.columns["cap_a"][caps.index[size]] if size in caps.index else None
        checks += protection_checks(device, capacity, cap, run.source)
    row = Row(size, sets.count, columns["area_mm2"][index], terminal, insulation, at_terminals, at_conditions, capacity, drop, share,
              temperature, hot_drop, hot_share)
    return _Try(index, row, checks)


def _sized(
    c: _Conditions, tried: _Try, sets: _Sets, device: Device | None, demand: Demand, rows: dict[str, int], last: int, neighbours: bool
) -> Circuit:
    row, index, run, source = tried.row, tried.index, c.run, c.run.source
    checks = tried.checks if device is None else tried.checks + device_checks(device, demand)
    first = rows["smallest-parallel"] if sets.count > 1 else 0
    smaller = _neighbour(c, range(index - 1, first - 1, -1), sets, device) if neighbours else None
    larger = _neighbour(c, range(index + 1, last + 1), sets, device) if neighbours else None
    grounding = None
    rating = device.rating_a if device is not None else assumed_rating(source, c.thermal_a)
    if run.grounding and rating is not None:
        # What lies above the row that ampacity and protection ask for was added for voltage drop.
        least = max([asked for name, asked in rows.items() if name != DROP.name])
        while least < index and not _made(c, least):
            least += 1
        grounding = grounding_size(source, rating, index, least, c.sizes, run.enlarge_grounding)
    governed = max(rows, key=rows.__getitem__)
    if index > rows[governed] and _made(c, rows[governed]):
        # The drop at the conductor's own temperature cannot be solved for its row; it moved the choice up.
        governed = DROP_HOT.name
    what = f"{sets.count} × {row.size}" if sets.count > 1 else row.size
    terminal = c.small_c if c.small_c is not None and index <= source.ampacity.row(_SMALL_CONDUCTORS_END) else c.terminal_c
    choice = Choice("conductor", what, governed, checks, smaller.size if smaller else "", smaller.failed if smaller else None)
    return Circuit(
        outcome="sized", design_current_a=c.average_a, thermal_current_a=c.thermal_a, ambient_c=c.ambient_c, ambient_factor=c.ambient_factor,
        bundling_factor=sets.bundling, terminal_temperature_c=terminal, insulation_temperature_c=c.insulation_c, drop_limit=c.drop_limit,
        conductor=row, device=device, grounding_size=grounding, load_voltage_v=load_voltage(run.lowest_voltage_v, row.drop_at_temperature_v),
        choice=choice, checks=checks, smaller=smaller, larger=larger,
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
        if last >= 0:
            sets = _together(c, count)
            tried = _try(c, last, sets, device)
            what = f"{count} × {tried.row.size}" if count > 1 else tried.row.size
            failed = tried.failed
            why = failed.rule.name if failed else "no check, but is not made with lugs"
            return unfit(f"Nothing up to {what} passes; the nearest miss fails {why}.", sets.bundling, device, failed)
    return unfit("No conductor of the practice fits these terminals.")
