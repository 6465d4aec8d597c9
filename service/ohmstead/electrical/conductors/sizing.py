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
from ...reference.practices import DeviceRelation
from ...reference.tables import Table
from ...working import TOLERANCE, Check, Choice
from ..protection.model import Demand, Device
from ..protection.sizing import (
    OTHER_LIMIT, PROTECTS, SMALL_CONDUCTOR, ampacity_for, assumed_rating, candidates, device_checks, grounding_size, protection_checks,
)
from .currents import Currents, currents_of, demand_of, neutral_checks, no_return, return_check
from .formulas import (
    ampacity, ampacity_conditions, ampacity_terminals, column_needed, conductor_temperature,
    derated_needed, drop_by_circular_mils, drop_by_square_millimetres, drop_limit_volts, drop_share, drops_together, least_ampacity, load_voltage,
    loop_by_chassis, loop_resistance, resistance_at, resistance_needed, resistance_needed_by_chassis, voltage_drop,
)
from .model import Circuit, Neighbour, Part, Row, Run
from .rules import CONDITIONS, DROP, DROP_HOT, TERMINALS
from .surroundings import Sets, Surroundings, surroundings_of, together

_KINDS = {"direct": "direct current", "alternating": "alternating current"}

_AREAS = {"circular-mils": "area_cmil", "square-millimetres": "area_mm2"}
_CONVENTIONAL = {"circular-mils": drop_by_circular_mils, "square-millimetres": drop_by_square_millimetres}


class Conditions(Struct):
    """One circuit in its surroundings."""

    run: Run
    s: Surroundings
    currents: Currents
    case: Case
    drop_limit: float
    total_m: float
    chassis_ohm: float | None
    """Resistance of the chassis that carries the current back; None where it returns by a conductor, or counts as one."""
    relation: DeviceRelation
    """How far the device may exceed the ampacity: the source's relation, or the one that it allows where nothing else fits."""


class Tried(Struct):
    """A candidate row with its checks, in the order in which an inspector asks."""

    index: int
    row: Row
    checks: tuple[Check, ...]
    failed: Check | None
    """The first check that it does not pass."""


def conditions_of(run: Run, s: Surroundings, currents: Currents, case: Case) -> Conditions:
    """A circuit in its surroundings, to try rows in."""
    return Conditions(
        run, s, currents, case, s.drop_limit if run.drop_limit is None else run.drop_limit, run.run_m if s.together_m is None else s.together_m,
        None if run.return_path == "conductor" else run.return_resistance_ohm, run.source.device_relation,
    )


def size_circuit(run: Run, case: Case, *, neighbours: bool = True) -> Circuit:
    """Size one circuit.

    The rule of choice: fewest conductors in parallel, then the smallest size, that pass ampacity at the
    terminals, ampacity under the conditions of use, voltage drop and protection by a device that is made.
    When nothing qualifies the outcome is `nothing-fits` with the check that failed on the largest candidate.
    `neighbours=False` leaves out the next sizes down and up.
    """
    source, currents = run.source, currents_of(run)
    s = surroundings_of(run, currents.thermal_a, case)
    c = conditions_of(run, s, currents, case)
    back = return_check(run, case)
    if back is not None and not back.passed:
        return _unfit(c, no_return(run), failed=back)
    if s.why:
        return _unfit(c, s.why, failed=s.failed)
    demand = demand_of(run, currents)
    miss: Circuit | None = None
    for device in candidates(demand, case) if run.device else (None,):
        for count in range(1, s.max_sets + 1):
            last = _largest(c, count)
            sets = together(s, count, case)
            if last < 0 or sets is None:
                break
            rows = _ask(c, sets, device, last)
            tried = _settle(c, max(rows.values()), sets, device, last) if rows is not None else None
            if tried is not None:
                return _sized(c, tried, sets, device, demand, rows, last, neighbours)
        if miss is None:
            miss = _miss(c, device)
    if source.device_allowance is not None and run.device:
        allowed = _allowed(c, demand, neighbours)
        if allowed is not None:
            return allowed
    if miss is not None:
        return miss
    if run.device_limit_a is not None:
        # Without the equipment's limit there may be one: then the limit is what stands in the way.
        made = next(candidates(replace(demand, limit_a=None), case), None)
        if made is not None:
            return _unfit(c, f"The smallest device made for {demand.needed_a:.4g} A is {made.rating_a:g} A, the equipment allows {run.device_limit_a:g} A.",
                          device=made, failed=OTHER_LIMIT.check(made.rating_a, run.device_limit_a))
    family = "" if run.device_family is None else f"of the family {run.device_family} "
    return _unfit(c, f"No overcurrent device {family}is made for {demand.needed_a:.4g} A at {run.highest_voltage_v:g} V {_KINDS[source.current]} in this use.")


def _unfit(c: Conditions, why: str, bundling: tuple[float, ...] = (), device: Device | None = None, failed: Check | None = None) -> Circuit:
    s, currents = c.s, c.currents
    return Circuit(
        outcome="nothing-fits", design_current_a=currents.average_a, thermal_current_a=currents.thermal_a, ambient_c=s.ambient_c, ambient_factor=s.factor,
        bundling_factor=bundling[0] if bundling else None, terminal_temperature_c=s.terminal_c, insulation_temperature_c=s.insulation_c,
        drop_limit=c.drop_limit, conductor=None, device=device, grounding_size=None, load_voltage_v=None, choice=None, checks=(), failed=failed, why=why,
    )


def _allowed(c: Conditions, demand: Demand, neighbours: bool) -> Circuit | None:
    """The largest conductor that the terminals take, with a device above its ampacity as far as the source allows; None when even that fails.

    The largest, because the allowance is a ceiling: the device exceeds the ampacity by as little as can be.
    """
    for device in candidates(demand, c.case):
        for count in range(c.s.max_sets, 0, -1):
            last = _largest(c, count)
            sets = together(c.s, count, c.case)
            if last < 0 or sets is None:
                continue
            c.relation = c.run.source.device_allowance
            rows = _ask(c, sets, device, last)
            tried = _settle(c, max(*rows.values(), last), sets, device, last) if rows is not None else None
            c.relation = c.run.source.device_relation
            if tried is not None:
                sized = _sized(c, tried, sets, device, demand, rows | {PROTECTS.name: last}, last, neighbours)
                return replace(sized, above_ampacity=True)
    return None


def _ask(c: Conditions, sets: Sets, device: Device | None, last: int) -> dict[str, int] | None:
    """First row that each check can accept, by the table value that it needs; None when the terminals already ask for one beyond the last."""
    n, s, run, currents = sets.n, c.s, c.run, c.currents
    at_terminals = _first(s.terminal_column, column_needed(currents.thermal_a, n))
    if at_terminals > last:
        return None
    source = run.source
    limit = drop_limit_volts(c.drop_limit, run.nominal_voltage_v)
    if c.chassis_ohm is None:
        resistance = resistance_needed(limit, currents.drop_a, c.total_m, n)
    else:
        resistance = resistance_needed_by_chassis(limit, currents.drop_a, c.total_m, n, c.chassis_ohm)
    rows = {
        TERMINALS.name: at_terminals,
        CONDITIONS.name: _reaching(c, sets, currents.rms_a, _first),
        DROP.name: s.sizes.first_at_most("resistance_75c", resistance),
    }
    if device is not None:
        protected, itself = ampacity_for(c.relation, device.rating_a, source)
        find = _first if itself else _first_above
        rows[PROTECTS.name] = max(find(s.terminal_column, column_needed(protected, n)), _reaching(c, sets, protected, find))
        if source.caps is not None:
            rows[SMALL_CONDUCTOR.name] = _cap_row(source.caps, s.sizes, device.rating_a)
    for rule, neutral in neutral_checks(run, currents, device):
        rows[rule.name] = max(_first(s.terminal_column, column_needed(neutral, n)), _reaching(c, sets, neutral, _first))
    if sets.count > 1:
        rows["smallest-parallel"] = source.parallel_row
    if source.smallest is not None:
        rows["smallest-permitted"] = source.smallest_row
    if s.first:
        rows["smallest-for-terminals"] = s.first
    return rows


def _reaching(c: Conditions, sets: Sets, current_a: float, find: Callable[[tuple, float], int]) -> int:
    """First row whose ampacity reaches a current in every stretch."""
    zones = c.s.zones
    if len(zones) == 1:  # nearly always; without a generator
        return find(zones[0].column, derated_needed(current_a, zones[0].ambient_factor, sets.bundling[0], sets.n))
    return max(
        find(zone.column, derated_needed(current_a, zone.ambient_factor, bundling, sets.n)) for zone, bundling in zip(zones, sets.bundling, strict=True)
    )


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


def _largest(c: Conditions, sets: int) -> int:
    """Last row that the terminals take; -1 when the practice does not permit this many sets of it."""
    if sets > 1 and c.s.last < c.run.source.parallel_row:
        return -1
    return c.s.last


def _settle(c: Conditions, index: int, sets: Sets, device: Device | None, last: int) -> Tried | None:
    """Move up from the asked row to the first one that is made for the terminals and whose every check passes."""
    while index <= last:
        if c.s.made[index]:
            tried = try_row(c, index, sets, device)
            if tried.failed is None:
                return tried
        index += 1
    return None


def try_row(c: Conditions, index: int, sets: Sets, device: Device | None) -> Tried:
    """A row in every stretch of the run, with the checks of conductor and device."""
    n, run, s, currents = sets.n, c.run, c.s, c.currents
    columns, rules, source = s.sizes.columns, s.rules, run.source
    terminal, r75 = s.terminal_column[index], columns["resistance_75c"][index]
    at_terminals = ampacity_terminals(terminal, n)
    parts: tuple[Part, ...] = ()
    governing = 0
    if not s.stretches:
        zone = s.zones[0]
        insulation = zone.column[index]
        at_conditions = ampacity_conditions(insulation, zone.ambient_factor, sets.bundling[0], n)
        temperature = conductor_temperature(zone.ambient_c, s.insulation_c, currents.rms_a, at_conditions)
        hot_drop = _drop(c, resistance_at(r75, source.copper_coefficient, temperature), n)
    else:
        parts = tuple([_part(c, index, place, sets) for place in range(len(s.zones))])
        governing = min(range(len(parts)), key=lambda place: parts[place].ampacity_conditions_a)
        insulation = parts[governing].ampacity_insulation_a
        at_conditions = least_ampacity(*[part.ampacity_conditions_a for part in parts])
        temperature = parts[max(range(len(parts)), key=lambda place: parts[place].conductor_temperature_c)].conductor_temperature_c
        hot_drop = drops_together(*[part.drop_at_temperature_v for part in parts])
        if c.chassis_ohm is not None:
            hot_drop = drops_together(hot_drop, voltage_drop(currents.drop_a, c.chassis_ohm))
    capacity = ampacity(at_terminals, at_conditions)
    drop = _drop(c, r75, n)
    share, hot_share = drop_share(drop, run.nominal_voltage_v), drop_share(hot_drop, run.nominal_voltage_v)
    checks = (
        rules.terminals.check(currents.thermal_a, at_terminals), rules.conditions.check(currents.rms_a, at_conditions),
        rules.drop.check(share, c.drop_limit), rules.drop_hot.check(hot_share, c.drop_limit),
    )
    if device is not None:
        checks += protection_checks(device, capacity, source.cap_of_row[index], source, c.relation, rules.protects)
    checks += tuple([rule.check(neutral, capacity) for rule, neutral in neutral_checks(run, currents, device)])
    row = Row(columns["size"][index], sets.count, columns["area_mm2"][index], terminal, insulation, at_terminals, at_conditions, capacity, drop, share,
              temperature, hot_drop, hot_share, parts, governing)
    return Tried(index, row, checks, first_failed(checks))


def first_failed(checks: tuple[Check, ...]) -> Check | None:
    """The first check that is not passed."""
    for check in checks:
        if not check.passed:
            return check
    return None


def _drop(c: Conditions, resistance: float, n: float) -> float:
    """Drop out and back over the whole run, by conductors or by the chassis."""
    if c.chassis_ohm is None:
        return voltage_drop(c.currents.drop_a, loop_resistance(resistance, c.total_m, n))
    return voltage_drop(c.currents.drop_a, loop_by_chassis(resistance, c.total_m, n, c.chassis_ohm))


def _part(c: Conditions, index: int, place: int, sets: Sets) -> Part:
    """The row in one of several stretches; the resistance of a chassis belongs to the run as a whole."""
    stretch, zone, s = c.s.stretches[place], c.s.zones[place], c.s
    insulation = zone.column[index]
    at_conditions = ampacity_conditions(insulation, zone.ambient_factor, sets.bundling[place], sets.n)
    temperature = conductor_temperature(zone.ambient_c, s.insulation_c, c.currents.rms_a, at_conditions)
    hot = resistance_at(s.sizes.columns["resistance_75c"][index], c.run.source.copper_coefficient, temperature)
    if c.chassis_ohm is None:
        loop = loop_resistance(hot, stretch.run_m, sets.n)
    else:
        loop = loop_by_chassis(hot, stretch.run_m, sets.n, c.case.chosen(0.0, "return_resistance_ohm", "the chassis is counted once, for the whole run"))
    return Part(stretch.run_m, stretch.place, zone.ambient_c, zone.ambient_factor, sets.bundling[place], insulation, at_conditions, temperature,
                voltage_drop(c.currents.drop_a, loop))


def _sized(
    c: Conditions, tried: Tried, sets: Sets, device: Device | None, demand: Demand, rows: dict[str, int], last: int, neighbours: bool
) -> Circuit:
    row, index, s = tried.row, tried.index, c.s
    checks = tried.checks if device is None else tried.checks + device_checks(device, demand)
    smaller = larger = None
    if neighbours:
        first = max(rows["smallest-parallel"] if sets.count > 1 else 0, rows.get("smallest-permitted", 0), s.first)
        smaller = _neighbour(c, range(index - 1, first - 1, -1), sets, device)
        larger = _neighbour(c, range(index + 1, last + 1), sets, device)
    governed = max(rows, key=rows.__getitem__)
    if index > rows[governed] and s.made[rows[governed]]:
        # The drop at the conductor's own temperature cannot be solved for its row; it moved the choice up.
        governed = DROP_HOT.name
    choice = Choice("conductor", row.what, governed, checks, smaller.size if smaller else "", smaller.failed if smaller else None)
    return _described(c, tried, sets, device, checks, _grounding(c, index, rows, device, sets.n) if c.run.grounding else None, choice, smaller, larger)


def _described(
    c: Conditions, tried: Tried, sets: Sets, device: Device | None, checks: tuple[Check, ...], grounding: str | None, choice: Choice | None,
    smaller: Neighbour | None, larger: Neighbour | None,
) -> Circuit:
    """A candidate as a circuit, with the figures that no check rests on."""
    run, s, currents, row, index = c.run, c.s, c.currents, tried.row, tried.index
    source, place = run.source, row.governing
    small = s.small_c is not None and index <= s.small_end
    conventional = _CONVENTIONAL[source.drop_rule](
        source.drop_constant, currents.drop_a, c.total_m, s.sizes.columns[_AREAS[source.drop_rule]][index], sets.n)
    return Circuit(
        outcome="sized", design_current_a=currents.average_a, thermal_current_a=currents.thermal_a, ambient_c=s.zones[place].ambient_c,
        ambient_factor=s.zones[place].ambient_factor, bundling_factor=sets.bundling[place], terminal_temperature_c=s.small_c if small else s.terminal_c,
        insulation_temperature_c=s.insulation_c, drop_limit=c.drop_limit, conductor=row, device=device, grounding_size=grounding,
        load_voltage_v=load_voltage(run.lowest_voltage_v, row.drop_at_temperature_v), choice=choice, checks=checks, smaller=smaller, larger=larger,
        conventional_drop_v=conventional, drop_constant=source.drop_constant,
    )


def _grounding(c: Conditions, index: int, rows: dict[str, int], device: Device | None, n: float) -> str | None:
    """The grounding or protective conductor of a circuit whose practice asks for one."""
    s, source = c.s, c.run.source
    rating = device.rating_a if device is not None else assumed_rating(source, c.currents.thermal_a)
    # What lies above the row that ampacity and protection ask for was added for voltage drop.
    least = max([asked for name, asked in rows.items() if name != DROP.name])
    while least < index and not s.made[least]:
        least += 1
    return grounding_size(source, rating, index, least, s.sizes, c.run.enlarge_grounding, n)


def _neighbour(c: Conditions, rows: range, sets: Sets, device: Device | None) -> Neighbour | None:
    """The first of these rows that is made, with the check that it fails."""
    for index in rows:
        if c.s.made[index]:
            tried = try_row(c, index, sets, device)
            return Neighbour(tried.row.size, sets.count, tried.failed)
    return None


def _miss(c: Conditions, device: Device | None) -> Circuit:
    """The largest permitted candidate and the check that it fails."""
    s = c.s
    for count in range(s.max_sets, 0, -1):
        last = _largest(c, count)
        sets = together(s, count, c.case)
        if last >= 0 and sets is not None:
            tried = try_row(c, last, sets, device)
            failed = tried.failed
            bare = "is not permitted on its own" if s.made[last] else "is not made with lugs"
            why = failed.rule.name if failed else f"no check, but {bare}"
            return _unfit(c, f"Nothing up to {tried.row.what} passes; the nearest miss fails {why}.", sets.bundling, device, failed)
    if together(s, 1, c.case) is None:
        most = max(zone.loaded for zone in s.zones if zone.adjusted)
        return _unfit(c, f"{c.run.source.bundling.title}: the table ends below {most:g} loaded conductors together.")
    return _unfit(c, "No conductor of the practice fits these terminals.")
