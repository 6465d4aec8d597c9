"""Loads that run at the same time: the ones without a group run with everything, the groups exclude each other."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from ...reference.case import Case
from ...working import at_least
from .converter_formulas import largest_output, largest_output_surge, output_surge, output_together, output_without_start
from .model import LargestStart, LoadLine
from .power import (
    apparent_together, bank_running, bank_running_direct, direct_together, largest_apparent, largest_bank_running,
    largest_direct, largest_running, largest_single, running_together,
)
from .starts import (
    common_restart, direct_surge, direct_surge_without_start, increments_together, largest_bus_increment, largest_direct_surge,
    largest_increment, largest_surge, surge, surge_without_start,
)


class Running(Struct, frozen=True):
    """Largest of what may run at the same time, each quantity by itself."""

    running_w: float
    running_va: float
    largest_ac_w: float
    surge_va: float
    restart_va: float
    start: LargestStart | None
    dc_running_w: float
    dc_surge_w: float
    dc_start: LargestStart | None
    bank_running_w: float


class _Alternating(Struct):
    """Alternating-current loads of one set that run together; None where there are none, or none that starts harder."""

    power_w: float | None = None
    apparent_va: float | None = None
    increment_va: float | None = None
    restart_increment_va: float | None = None
    starter: LoadLine | None = None
    surge_va: float = 0.0


class _Direct(Struct):
    """The same of direct current."""

    power_w: float | None = None
    increment_w: float | None = None
    starter: LoadLine | None = None
    surge_w: float = 0.0


def run_together(
    alternating: Sequence[LoadLine], direct: Sequence[LoadLine], inverter_efficiency: float | None, wiring_efficiency: float, case: Case,
) -> Running:
    """Totals of the loads that the bank serves."""
    ac_sets, dc_sets = [_alternating(alternating, _NO_AC)], [_direct(direct, _NO_DC)]
    ac_groups, dc_groups = _by_group(alternating), _by_group(direct)
    if len(ac_groups) + len(dc_groups) > (None in ac_groups) + (None in dc_groups):
        # Totals of the loads that run with everything go into each group as one number, so that cost stays linear.
        ac_always, dc_always = _alternating(ac_groups.pop(None, ()), _NO_AC), _direct(dc_groups.pop(None, ()), _NO_DC)
        groups = dict.fromkeys([*ac_groups, *dc_groups])
        ac_sets = [_alternating(ac_groups.get(group, ()), ac_always) for group in groups]
        dc_sets = [_direct(dc_groups.get(group, ()), dc_always) for group in groups]
    nothing_dc = case.chosen(0, "dc_running_w", "there is no direct-current load")
    at_bank = [
        bank_running_direct(dc.power_w or nothing_dc, wiring_efficiency) if ac.power_w is None
        else bank_running(ac.power_w, inverter_efficiency, dc.power_w or nothing_dc, wiring_efficiency)
        for ac, dc in zip(ac_sets, dc_sets, strict=True)
    ]
    ac_sets = [found for found in ac_sets if found.power_w is not None]
    dc_sets = [found for found in dc_sets if found.power_w is not None]
    return Running(
        *(_largest_alternating(alternating, ac_sets) if ac_sets else _no_alternating(case)),
        *(_largest_direct(dc_sets) if dc_sets else (nothing_dc, case.chosen(0, "dc_surge_w", "there is no direct-current load"), None)),
        _largest(largest_bank_running, at_bank),
    )


def at_one_output(lines: Sequence[LoadLine]) -> tuple[float, float, LoadLine | None]:
    """What loads behind one converter take: running together, with the largest start, and whose start that is."""
    groups = _by_group(lines)
    always = groups.pop(None, [])
    running, surges, starters = [], [], []
    for group in [[*always, *more] for more in groups.values()] or [always]:
        power = output_together(*[line.running_power_w for line in group])
        starting = [line for line in group if line.start_increment_va is not None]
        running.append(power)
        surges.append(output_surge(power, *[line.start_increment_va for line in starting]) if starting else output_without_start(power))
        starters.append(_starter(starting, None))
    surge_w = _largest(largest_output_surge, surges)
    decided = [starter for surge, starter in zip(surges, starters, strict=True) if starter is not None and at_least(surge, surge_w)]
    return _largest(largest_output, running), surge_w, _starter(decided, None)


def _by_group(lines: Sequence[LoadLine]) -> dict[str | None, list[LoadLine]]:
    groups: dict[str | None, list[LoadLine]] = {}
    for line in lines:
        if line.group in groups:
            groups[line.group].append(line)
        else:
            groups[line.group] = [line]
    return groups


def _alternating(lines: Sequence[LoadLine], always: _Alternating) -> _Alternating:
    """Totals of one set with those of the loads that run with everything."""
    if not lines:
        return always
    starting = [line for line in lines if line.start_increment_va is not None]
    apparent = _add(apparent_together, always.apparent_va, [line.apparent_power_va for line in lines])
    adds = _add(largest_increment, always.increment_va, [line.start_increment_va for line in starting])
    return _Alternating(
        _add(running_together, always.power_w, [line.running_power_w for line in lines]), apparent, adds,
        _add(increments_together, always.restart_increment_va, [line.restart_increment_va for line in starting]),
        _starter(starting, always.starter), surge_without_start(apparent) if adds is None else surge(apparent, adds),
    )


def _direct(lines: Sequence[LoadLine], always: _Direct) -> _Direct:
    if not lines:
        return always
    starting = [line for line in lines if line.start_increment_va is not None]
    power = _add(direct_together, always.power_w, [line.bus_power_w for line in lines])
    adds = _add(largest_bus_increment, always.increment_w, [line.bus_increment_w for line in starting])
    return _Direct(
        power, adds, _starter(starting, always.starter), direct_surge_without_start(power) if adds is None else direct_surge(power, adds))


_NO_AC, _NO_DC = _Alternating(), _Direct()


def _starter(starting: Sequence[LoadLine], first: LoadLine | None) -> LoadLine | None:
    """The line whose start adds most; of equal ones the first by id, so that order does not matter."""
    most = 0.0 if first is None else _adds(first)
    for line in starting:
        adds = _adds(line)
        if adds > most or (adds == most and first is not None and line.id < first.id):
            first, most = line, adds
    return first


def _adds(line: LoadLine) -> float:
    """What a start adds to the inverter, or at the direct-current bus."""
    return line.start_increment_va if line.bus_increment_w is None else line.bus_increment_w


def _add(how: Callable[..., float], always: float | None, more: list[float]) -> float | None:
    if not more:
        return always
    return how(*more) if always is None else how(always, *more)


def _largest(how: Callable[..., float], values: list[float]) -> float:
    return values[0] if len(values) == 1 else how(*values)


def _largest_alternating(lines: Sequence[LoadLine], sets: list[_Alternating]) -> tuple:
    restarts = [
        surge_without_start(found.apparent_va) if found.restart_increment_va is None
        else common_restart(found.apparent_va, found.restart_increment_va)
        for found in sets
    ]
    surge_va = _largest(largest_surge, [found.surge_va for found in sets])
    return (
        _largest(largest_running, [found.power_w for found in sets]), _largest(largest_apparent, [found.apparent_va for found in sets]),
        largest_single(*[line.load_power_w for line in lines]), surge_va, _largest(largest_surge, restarts),
        _said([found.starter for found in sets if at_least(found.surge_va, surge_va)]),
    )


def _largest_direct(sets: list[_Direct]) -> tuple:
    surge_w = _largest(largest_direct_surge, [found.surge_w for found in sets])
    return (
        _largest(largest_direct, [found.power_w for found in sets]), surge_w,
        _said([found.starter for found in sets if at_least(found.surge_w, surge_w)]),
    )


def _said(starters: list[LoadLine | None]) -> LargestStart | None:
    """Of the starts that make the largest surge, the first by id."""
    line = _starter([line for line in starters if line is not None], None)
    return None if line is None else LargestStart(line.id, line.start_va, line.start_increment_va)


def _no_alternating(case: Case) -> tuple:
    why = "nothing hangs on the inverter"
    power, peak = case.chosen(0, "running_power_w", why), case.chosen(0, "surge_va", why)
    return power, case.chosen(0, "running_va", why), power, peak, peak, None
