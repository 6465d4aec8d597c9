"""Loads that run at the same time: the ones without a group run with everything, the groups exclude each other."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from ...reference.case import Case
from ...working import at_least
from .appliance import Appliance
from .model import LargestStart
from .power import (
    apparent_together, bank_running, bank_running_direct, direct_together, largest_apparent, largest_bank_running,
    largest_direct, largest_running, largest_single, running_together,
)
from .starts import (
    common_restart, direct_surge, direct_surge_without_start, increments_together, largest_direct_surge, largest_increment, largest_surge,
    surge, surge_without_start,
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


class _Totals(Struct):
    """One set of loads that run together: totals, or None where the set has no load of that current."""

    group: str | None
    power_w: float | None
    apparent_va: float | None
    increment_va: float | None
    increments_va: float | None
    bus_w: float | None
    dc_increment_va: float | None


_NONE = _Totals(None, None, None, None, None, None, None)


def run_together(
    alternating: Sequence[Appliance], direct: Sequence[Appliance], inverter_efficiency: float | None, wiring_efficiency: float, case: Case,
) -> Running:
    """Totals of the loads that the bank serves."""
    nothing_dc = case.chosen(0, "dc_running_w", "there is no direct-current load")
    ac_groups, dc_groups = _by_group(alternating), _by_group(direct)
    sets = [always := _totals(None, ac_groups.pop(None, ()), dc_groups.pop(None, ()), _NONE)]
    if ac_groups or dc_groups:
        groups = dict.fromkeys([*ac_groups, *dc_groups])
        sets = [_totals(group, ac_groups.get(group, ()), dc_groups.get(group, ()), always) for group in groups]
    return Running(
        *_alternating(alternating, [found for found in sets if found.power_w is not None], case),
        *_direct(direct, [found for found in sets if found.bus_w is not None], nothing_dc, case),
        _largest(largest_bank_running, [_at_bank(found, inverter_efficiency, wiring_efficiency, nothing_dc) for found in sets]),
    )


def _alternating(works: Sequence[Appliance], sets: list[_Totals], case: Case) -> tuple:
    if not sets:
        nothing_w = case.chosen(0, "running_power_w", "nothing hangs on the inverter")
        nothing_va = case.chosen(0, "surge_va", "nothing hangs on the inverter")
        return nothing_w, case.chosen(0, "running_va", "nothing hangs on the inverter"), nothing_w, nothing_va, nothing_va, None
    surges = [_surge(found) for found in sets]
    return (
        _largest(largest_running, [found.power_w for found in sets]),
        _largest(largest_apparent, [found.apparent_va for found in sets]),
        largest_single(*[work.power_w for work in works]),
        _largest(largest_surge, surges),
        _largest(largest_surge, [_restart(found) for found in sets]),
        _who(works, {found.group: (value, found.increment_va) for found, value in zip(sets, surges, strict=True)}),
    )


def _direct(works: Sequence[Appliance], sets: list[_Totals], nothing_w: float, case: Case) -> tuple:
    if not sets:
        return nothing_w, case.chosen(0, "dc_surge_w", "there is no direct-current load"), None
    surges = [_direct_surge(found) for found in sets]
    return (
        _largest(largest_direct, [found.bus_w for found in sets]),
        _largest(largest_direct_surge, surges),
        _who(works, {found.group: (value, found.dc_increment_va) for found, value in zip(sets, surges, strict=True)}),
    )


def _surge(found: _Totals) -> float:
    return surge_without_start(found.apparent_va) if found.increment_va is None else surge(found.apparent_va, found.increment_va)


def _restart(found: _Totals) -> float:
    return surge_without_start(found.apparent_va) if found.increments_va is None else common_restart(found.apparent_va, found.increments_va)


def _direct_surge(found: _Totals) -> float:
    return direct_surge_without_start(found.bus_w) if found.dc_increment_va is None else direct_surge(found.bus_w, found.dc_increment_va)


def _at_bank(found: _Totals, inverter_efficiency: float | None, wiring_efficiency: float, nothing_w: float) -> float:
    bus = nothing_w if found.bus_w is None else found.bus_w
    if found.power_w is None:
        return bank_running_direct(bus, wiring_efficiency)
    return bank_running(found.power_w, inverter_efficiency, bus, wiring_efficiency)


def _by_group(works: Sequence[Appliance]) -> dict[str | None, list[Appliance]]:
    groups: dict[str | None, list[Appliance]] = {}
    for work in works:
        group = work.load.group
        if group in groups:
            groups[group].append(work)
        else:
            groups[group] = [work]
    return groups


def _totals(group: str | None, alternating: Sequence[Appliance], direct: Sequence[Appliance], always: _Totals) -> _Totals:
    """Totals of one set; those of the loads that run with everything go in as one number, so that cost stays linear."""
    return _Totals(
        group,
        _add(running_together, always.power_w, [work.alike_w for work in alternating]),
        _add(apparent_together, always.apparent_va, [work.alike_va for work in alternating]),
        _add(largest_increment, always.increment_va, [work.increment_va for work in alternating if work.increment_va is not None]),
        _add(increments_together, always.increments_va, [work.alike_increment_va for work in alternating if work.increment_va is not None]),
        _add(direct_together, always.bus_w, [work.bus_w for work in direct]),
        _add(largest_increment, always.dc_increment_va, [work.increment_va for work in direct if work.increment_va is not None]),
    )


def _add(how: Callable[..., float], always: float | None, more: list[float]) -> float | None:
    if not more:
        return always
    return how(*more) if always is None else how(always, *more)


def _largest(how: Callable[..., float], values: list[float]) -> float:
    return values[0] if len(values) == 1 else how(*values)


def _who(works: Sequence[Appliance], surges: dict[str | None, tuple[float, float | None]]) -> LargestStart | None:
    """The load whose start makes the largest surge; of equal ones the first by id, so that order does not matter."""
    top = 0.0
    for value, _ in surges.values():
        if value > top:
            top = value
    decisive = {group: adds for group, (value, adds) in surges.items() if adds is not None and adds > 0 and at_least(value, top)}
    first: Appliance | None = None
    for work in works:
        if work.increment_va is None:
            continue
        group = work.load.group
        fits = work.increment_va in decisive.values() if group is None else work.increment_va == decisive.get(group)
        if fits and (first is None or work.load.id < first.load.id):
            first = work
    return None if first is None else LargestStart(first.load.id, first.start_va, first.increment_va)
