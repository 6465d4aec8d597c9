"""From a list of loads to energy a day, power that runs together and starts.

Nothing is chosen here; what the request leaves out is assumed and said. Every load is referred to the bank in
the order appliance, inverter or converter, wiring.
"""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case
from ...working import Citation, at_least, at_most
from .appliance import Starts, appliance, note_unknown_starts
from .day import Calendar, Idle, Losses, calendar, idle, note_cut_standby
from .formulas import (
    day_charge, day_energy, day_energy_idle, energy_share, month_energy, part_at_loads, part_of_day, saved,
)
from .model import Demand, Dominant, LoadLine, Request
from .power import apparent_together, running_together
from .together import Running, run_together

_NAMED = 10
"""Ids spelled out in one finding."""


class Surveyed(Struct, frozen=True):
    """What is known of the loads before the inverter is: it takes the powers, and its idle draw is then part of the energy."""

    lines: list[LoadLine]
    alternating: list[LoadLine]
    direct: list[LoadLine]
    shore: list[LoadLine]
    critical: list[LoadLine]
    days: Calendar
    efficiency: float | None
    wiring_efficiency: float
    running: Running
    sources: tuple[Citation, ...]


def size_demand(request: Request, case: Case) -> Demand:
    """Demand of a list of loads.

    Loads that shore alone serves take nothing from the bank and do not load the inverter; they are totalled apart.
    """
    return sum_up(survey(request, case), request, case)


def survey(request: Request, case: Case) -> Surveyed:
    """Each load by itself, and what runs at the same time."""
    days = calendar(request, case)
    one = case.chosen(1, "load_count", "one appliance")
    losses, starts = Losses(request, case), Starts()
    lines: list[LoadLine] = []
    alternating: list[LoadLine] = []
    direct: list[LoadLine] = []
    shore: list[LoadLine] = []
    critical: list[LoadLine] = []
    for load in request.loads:
        line = appliance(load, one, days, losses, starts, case)
        lines.append(line)
        if load.shore_only:
            shore.append(line)
        elif load.current == "ac":
            alternating.append(line)
        else:
            direct.append(line)
        if load.critical:
            critical.append(line)
        if load.standby is not None:
            note_cut_standby(load, days, case)
    note_unknown_starts(starts, _NAMED, case)
    efficiency = losses.inverter() if alternating else None
    running = run_together(alternating, direct, efficiency, losses.wiring, case)
    return Surveyed(lines, alternating, direct, shore, critical, days, efficiency, losses.wiring, running, tuple(starts.sources))


def sum_up(surveyed: Surveyed, request: Request, case: Case) -> Demand:
    """Energy of the months with the inverter's idle draw, and everything else that a demand says."""
    lines, alternating, direct, shore = surveyed.lines, surveyed.alternating, surveyed.direct, surveyed.shore
    days, running = surveyed.days, surveyed.running
    inverter = None
    if alternating:
        inverter = idle([load for load in request.loads if load.current == "ac" and not load.shore_only], days, request, case)
    growth = case.assume("growth_factor", request.growth_factor)
    totals = [_total(alternating, direct, inverter, day, case) for day in range(days.days)]
    grown = [month_energy(total, growth) for total in totals]
    heaviest = _heaviest(grown, days)
    day = days.of_month[heaviest]
    _settle(lines, day, totals[day], case)

    demand = Demand(
        month_energy_wh=tuple([grown[day] for day in days.of_month]), heaviest_month=heaviest, day_energy_wh=grown[day],
        day_charge_ah=day_charge(grown[day], request.nominal_voltage_v),
        ac_energy_wh=_part(alternating, case), dc_energy_wh=_part(direct, case),
        ac_load_energy_wh=part_at_loads(*[line.load_energy_wh for line in alternating]) if alternating
        else case.chosen(0, "load_energy_wh", "nothing hangs on the inverter"),
        idle_w=inverter.idle_w if inverter else None, idle_hours=inverter.idle_hours if inverter else None,
        idle_energy_wh=inverter.idle_energy_wh if inverter else case.chosen(0, "idle_energy_wh", "nothing hangs on the inverter"),
        growth_factor=growth, inverter_efficiency=surveyed.efficiency, wiring_efficiency=surveyed.wiring_efficiency,
        critical_energy_wh=_part([line for line in surveyed.critical if line.on_bank], case), loads=tuple(lines),
        running_w=running.running_w, running_va=running.running_va, largest_ac_w=running.largest_ac_w, dc_running_w=running.dc_running_w,
        bank_running_w=running.bank_running_w, start=running.start, surge_va=running.surge_va, restart_va=running.restart_va,
        dc_start=running.dc_start, dc_surge_w=running.dc_surge_w,
        shore_w=running_together(*[line.running_power_w for line in shore]) if shore
        else case.chosen(0, "running_power_w", "no load waits for shore"),
        shore_va=apparent_together(*[line.apparent_power_va for line in shore]) if shore
        else case.chosen(0, "running_va", "no load waits for shore"),
        dominant=_dominant(lines, growth, case), critical=tuple([line.id for line in surveyed.critical]), sources=surveyed.sources,
    )
    _remarks(demand, request, case)
    return demand


def _total(alternating: list[LoadLine], direct: list[LoadLine], inverter: Idle | None, day: int, case: Case) -> float:
    """Energy at the bank of one day."""
    parts = [line.day_bank_energy_wh[day] for line in alternating]
    parts += [line.day_bank_energy_wh[day] for line in direct]
    if inverter is not None:
        return day_energy_idle(inverter.idle_energy_wh, *parts)
    return day_energy(*parts) if parts else case.chosen(0, "day_energy_wh", "no load takes from the bank")


def _settle(lines: list[LoadLine], day: int, total_wh: float, case: Case) -> None:
    """Give every line its energy of the heaviest day and its share."""
    nothing_wh = case.chosen(0, "bank_energy_wh", "served from shore or a generator alone")
    no_share = case.chosen(0, "energy_share", "nothing is taken from the bank")
    for line in lines:
        line.load_energy_wh = line.day_load_energy_wh[day]
        line.bank_energy_wh = taken = line.day_bank_energy_wh[day] if line.on_bank else nothing_wh
        line.energy_share = energy_share(taken, total_wh) if total_wh > 0 else no_share


def _part(some: list[LoadLine], case: Case) -> float:
    return part_of_day(*[line.bank_energy_wh for line in some]) if some else case.chosen(0, "bank_energy_wh", "there is no such load")


def _heaviest(grown: list[float], days: Calendar) -> int:
    """First month that no other exceeds by more than the tolerance."""
    heaviest = 0
    if days.days > 1:
        for month, day in enumerate(days.of_month):
            if not at_most(grown[day], grown[days.of_month[heaviest]]):
                heaviest = month
    return heaviest


def _dominant(lines: list[LoadLine], growth: float, case: Case) -> Dominant | None:
    """The load that takes most on the heaviest day; of equal ones the first by id. None when nothing takes anything."""
    first: LoadLine | None = None
    most = 0.0
    for line in lines:
        taken = line.bank_energy_wh
        if taken > most or (first is not None and taken == most and line.id < first.id):
            first, most = line, taken
    if first is None:
        return None
    whole, half = case.chosen(1, "saved_share", "without the load"), case.chosen(0.5, "saved_share", "half of its use")
    return Dominant(first.id, first.energy_share, saved(first.bank_energy_wh, growth, whole), saved(first.bank_energy_wh, growth, half))


def _remarks(demand: Demand, request: Request, case: Case) -> None:
    """What a reader should know of the loads."""
    for load in request.loads if demand.critical else ():
        if load.critical and load.shore_only:
            case.note("critical-on-shore-only", load.pointer, load=load.id)
        elif load.critical and load.current == "ac":
            case.note("critical-on-inverter", load.pointer, load=load.id)
    dominant = demand.dominant
    if dominant is not None:
        load = next(load for load in request.loads if load.id == dominant.id)
        if load.nature == "resistive":
            case.note("heating-from-bank", load.pointer, load=load.id, share=f"{float(dominant.energy_share):.0%}")
    if demand.idle_w is not None and not at_most(demand.idle_energy_wh, demand.ac_energy_wh):
        case.note("idle-exceeds-loads", idle=demand.idle_energy_wh, loads=demand.ac_energy_wh)
    if not at_least(demand.surge_va, demand.restart_va):
        case.note("restart-exceeds-start", restart=demand.restart_va, surge=demand.surge_va)
