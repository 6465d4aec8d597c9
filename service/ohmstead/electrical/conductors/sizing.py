"""Choose the smallest conductor, or set of conductors, that passes every check, and its overcurrent device.

The device comes first, from the series in which it is made; then every check is solved for the table value
that it needs, the row is found by bisection and verified. When no row fits the terminals the number of
conductors in parallel rises; when none does the answer says which check stood in the way.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...reference.tables import Table
from ...working import TOLERANCE, Check, Choice, Rule, at_most
from ..protection.formulas import device_needed
from ..protection.model import Demand, Device
from ..protection.sizing import ampacity_for, candidates, device_checks, grounding_size, protection_checks
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

_COLUMNS = ((90.0, "a_90", "f_90"), (75.0, "a_75", "f_75"), (60.0, "a_60", "f_60"))


class _Conditions(Struct):
    """What is the same for every row that is tried."""

    run: Run
    sizes: Table
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

    def bundling(self, sets: int) -> float:
        """Adjustment for the conductors that lie together when there are this many sets."""
        if self.run.place == "free-air" or at_most(self.run.run_m, self.case.constant("bundling_free_run")):
            return self.run.source.bundling.columns["factor"][0]
        table = self.run.source.bundling
        return table.columns["factor"][table.first_at_least("upper_count", self.loaded * sets)]


def size_circuit(run: Run, case: Case, *, neighbours: bool = True) -> Circuit:
    """Size one circuit.

    The rule of choice: fewest conductors in parallel, then the smallest size, that pass ampacity at the
    terminals, ampacity under the conditions of use, voltage drop and protection by a device that is made.
    When nothing qualifies the outcome is `nothing-fits` with the check that failed on the largest candidate.
    `neighbours=False` leaves out the next sizes down and up.
    """
    average = run.current_a
    rms = average if run.ripple_power_factor is None else ripple_current(average, ripple_factor(run.ripple_power_factor))
    duty = continuous_current(run.source.continuous_factor, average) if run.continuous else average
    thermal = thermal_current(duty, rms)
    ambient = case.assume("ambient_c", run.ambient_c)
    insulation = case.assume("insulation_temperature_c", run.insulation_temperature_c)
    terminal = run.terminal_temperature_c
    if terminal is None:
        terminal = case.assume("terminal_temperature_small" if at_most(thermal, 100.0) else "terminal_temperature_large")
    limit = case.assume(run.source.drop_limit_default, run.drop_limit)
    insulation_name, factor_name = _column(insulation)
    table = run.source.free_air if run.place == "free-air" and run.source.free_air is not None else run.source.ampacity
    band = run.source.ambient.first_at_least("upper_c", ambient)
    factors = run.source.ambient.columns[factor_name]
    factor = factors[band] if band < len(factors) else None

    def circuit(**found) -> Circuit:
        base = dict(
            outcome="nothing-fits", design_current_a=average, thermal_current_a=thermal, ambient_factor=factor, bundling_factor=None,
            terminal_temperature_c=terminal, insulation_temperature_c=insulation, drop_limit=limit, conductor=None, device=None,
            grounding_size=None, load_voltage_v=None, choice=None, checks=(),
        )
        return Circuit(**(base | found))

    if factor is None:
        return circuit(why=f"Insulation rated {insulation:g} °C has no permitted ampacity at an ambient of {ambient:g} °C.")

    conditions = _Conditions(
        run=run, sizes=case.library.tables["awg_conductors"], terminal_column=run.source.ampacity.columns[_column(terminal)[0]],
        insulation_column=table.columns[insulation_name], ambient_c=ambient, ambient_factor=factor, insulation_c=insulation,
        loaded=case.assume("loaded_conductors", run.loaded_conductors), average_a=average, rms_a=rms, thermal_a=thermal,
        drop_limit=limit, alpha=case.constant("copper_temperature_coefficient"), case=case,
    )
    needed = device_needed(thermal)
    demand = Demand(run.source.device_use, needed, run.highest_voltage_v, run.fault_current_a, run.fault_proven, run.both_ways, run.device_limit_a)
    devices: list[Device | None] = list(candidates(demand, case)) if run.device else [None]
    if not devices:
        return circuit(why=f"No overcurrent device is made for {needed:.4g} A at {run.highest_voltage_v:g} V direct current in this use."
                       if run.source.current == "direct" else f"No breaker is made for {needed:.4g} A.")

    best: Circuit | None = None
    for device in devices:
        for sets in range(1, run.max_sets + 1):
            found, governed = _ask(conditions, sets, device)
            last = _largest(conditions, sets)
            if last < 0:
                break
            found = _settle(conditions, found, sets, device, last)
            if found <= last:
                return circuit(**_sized(conditions, found, sets, device, demand, governed, last, neighbours))
        if best is None:
            best = _miss(conditions, device, circuit)
    return best or circuit(why="No conductor of the practice fits these terminals.")


def _column(temperature_c: float) -> tuple[str, str]:
    """Names of the ampacity and the factor column that a temperature rating may use."""
    for rating, ampacity_name, factor_name in _COLUMNS:
        if temperature_c >= rating:
            return ampacity_name, factor_name
    raise ValueError(f"no ampacity column for {temperature_c} °C")


def _ask(c: _Conditions, sets: int, device: Device | None) -> tuple[int, str]:
    """First row that every check can accept by the table value it needs, and the check that asked for it."""
    n = c.case.chosen(sets, "sets", "conductors in parallel")
    bundling = c.bundling(sets)
    sizes = c.run.source.ampacity
    rows = {
        TERMINALS.name: _first(c.terminal_column, column_needed(c.thermal_a, n)),
        CONDITIONS.name: _first(c.insulation_column, derated_needed(c.rms_a, c.ambient_factor, bundling, n)),
        DROP.name: c.sizes.first_at_most(
            "resistance_75c", resistance_needed(drop_limit_volts(c.drop_limit, c.run.nominal_voltage_v), c.average_a, c.run.run_m, n)),
    }
    if device is not None:
        protected = ampacity_for(c.run.source.device_relation, device.rating_a, c.run.source)
        rows["device-protects-conductor"] = max(
            _first(c.terminal_column, column_needed(protected, n)),
            _first(c.insulation_column, derated_needed(protected, c.ambient_factor, bundling, n)),
        )
        rows["small-conductor-cap"] = _cap_row(c.run.source.caps, sizes, device.rating_a)
    governed = max(rows, key=rows.__getitem__)
    return rows[governed], governed


def _first(column: tuple, needed: float) -> int:
    return bisect_left(column, needed - TOLERANCE * needed)


def _cap_row(caps: Table, sizes: Table, rating_a: float) -> int:
    """First size that the small-conductor rule lets a device of this rating protect."""
    row = caps.first_at_least("cap_a", rating_a)
    if row < caps.rows:
        return sizes.row(caps.columns["size"][row])
    return sizes.row(caps.columns["size"][-1]) + 1


def _largest(c: _Conditions, sets: int) -> int:
    """Last row that the terminals take; -1 when the practice does not permit this many sets of it."""
    last = c.sizes.row(c.run.largest_conductor) if c.run.largest_conductor is not None else c.sizes.row(c.case.library.largest_lug)
    if sets > 1 and last < c.sizes.row(c.run.source.parallel_from):
        return -1
    return last


def _settle(c: _Conditions, found: int, sets: int, device: Device | None, last: int) -> int:
    """Move up from the asked row to the first one whose every check passes; `last + 1` when none does."""
    if sets > 1:
        found = max(found, c.sizes.row(c.run.source.parallel_from))
    while found <= last and any(not check.passed for check in _checks(c, _row(c, found, sets), found, device)):
        found += 1
    return found


def _row(c: _Conditions, row: int, sets: int) -> Row:
    n = c.case.chosen(sets, "sets", "conductors in parallel")
    bundling = c.bundling(sets)
    at_conditions = ampacity_conditions(c.insulation_column[row], c.ambient_factor, bundling, n)
    r75 = c.sizes.columns["resistance_75c"][row]
    drop = voltage_drop(c.average_a, loop_resistance(r75, c.run.run_m, n))
    temperature = conductor_temperature(c.ambient_c, c.insulation_c, c.rms_a, at_conditions)
    return Row(
        size=c.sizes.columns["size"][row], sets=sets, area_mm2=c.sizes.columns["area_mm2"][row],
        ampacity_terminal_a=c.terminal_column[row], ampacity_insulation_a=c.insulation_column[row],
        ampacity_a=ampacity(ampacity_terminals(c.terminal_column[row], n), at_conditions),
        drop_v=drop, drop_fraction=drop_share(drop, c.run.nominal_voltage_v), conductor_temperature_c=temperature,
        drop_at_temperature_v=voltage_drop(c.average_a, loop_resistance(resistance_at(r75, c.alpha, temperature), c.run.run_m, n)),
    )


def _checks(c: _Conditions, row: Row, index: int, device: Device | None) -> Iterator[Check]:
    """Every check of one candidate, in the order in which an inspector asks."""
    n = c.case.chosen(row.sets, "sets", "conductors in parallel")
    yield TERMINALS.check(c.thermal_a, ampacity_terminals(row.ampacity_terminal_a, n))
    yield CONDITIONS.check(c.rms_a, ampacity_conditions(row.ampacity_insulation_a, c.ambient_factor, c.bundling(row.sets), n))
    yield DROP.check(row.drop_fraction, c.drop_limit)
    yield DROP_HOT.check(drop_share(row.drop_at_temperature_v, c.run.nominal_voltage_v), c.drop_limit)
    if device is not None:
        caps = c.run.source.caps
        cap = caps.columns["cap_a"][caps.index[row.size]] if row.size in caps.index else None
        yield from protection_checks(device, row.ampacity_a, cap, c.run.source)


def _failing(c: _Conditions, index: int, sets: int, device: Device | None) -> Check | None:
    return next((check for check in _checks(c, _row(c, index, sets), index, device) if not check.passed), None)


def _sized(c: _Conditions, index: int, sets: int, device: Device | None, demand: Demand, governed: str, last: int, neighbours: bool) -> dict:
    row = _row(c, index, sets)
    checks = tuple(_checks(c, row, index, device))
    if device is not None:
        checks += tuple(device_checks(device, demand))
    smaller = larger = None
    if neighbours:
        if index:
            failed = _failing(c, index - 1, sets, device)
            smaller = Neighbour(c.sizes.columns["size"][index - 1], sets, failed)
        if index < last:
            larger = Neighbour(c.sizes.columns["size"][index + 1], sets, _failing(c, index + 1, sets, device))
    grounding = None
    if c.run.grounding and device is not None:
        grounding = grounding_size(c.run.source, device.rating_a, index, _ampacity_row(c, sets, device), c.sizes, c.run.enlarge_grounding)
    return dict(
        outcome="sized", bundling_factor=c.bundling(sets), conductor=row, device=device, grounding_size=grounding,
        load_voltage_v=load_voltage(c.run.lowest_voltage_v, row.drop_at_temperature_v), checks=checks, smaller=smaller, larger=larger,
        choice=Choice("conductor", f"{sets} × {row.size}" if sets > 1 else row.size, governed, checks,
                      smaller.size if smaller else "", smaller.failed if smaller else None),
    )


def _ampacity_row(c: _Conditions, sets: int, device: Device) -> int:
    """Row that ampacity and protection alone would have taken; what lies above it was added for voltage drop."""
    index = 0
    while index < c.sizes.rows - 1 and any(
        not check.passed and check.rule not in (DROP, DROP_HOT) for check in _checks(c, _row(c, index, sets), index, device)
    ):
        index += 1
    return index


def _miss(c: _Conditions, device: Device | None, circuit) -> Circuit:
    """The largest permitted candidate and the check that it fails."""
    for sets in range(c.run.max_sets, 0, -1):
        last = _largest(c, sets)
        if last >= 0:
            failed = _failing(c, last, sets, device)
            size = c.sizes.columns["size"][last]
            what = f"{sets} × {size}" if sets > 1 else size
            return circuit(bundling_factor=c.bundling(sets), device=device, failed=failed,
                           why=f"Nothing up to {what} passes; the nearest miss fails {failed.rule.name if failed else 'no single check'}.")
    return circuit(why="No conductor of the practice fits these terminals.")
