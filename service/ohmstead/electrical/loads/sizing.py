"""From a list of loads to energy a day, power that runs together and starts.

Nothing is chosen here; what the request leaves out is assumed and said. Every load is referred to the bank in
the order appliance, inverter or converter, wiring.
"""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from ...reference.case import Case, no_less
from ...working import Citation, at_least, at_most
from .appliance import appliance, note_unknown_starts
from .converter_formulas import converters_idle_energy
from .converters import choose_converters
from .day import Calendar, Idle, Losses, calendar, idle, note_cut_standby
from .formulas import (
    always_live_charge, always_live_current, day_charge, day_energy, day_energy_idle, energy_share, month_energy, part_at_loads, part_of_day,
    with_converters,
)
from .listed import complete
from .model import Converter, Demand, Load, LoadLine, Request
from .power import apparent_together, running_together
from .shares import changes, dominant, heaviest, seasons
from .starting import Starts
from .together import Running, run_together

_NAMED = 10
"""Ids spelled out in one finding."""


class Surveyed(Struct, frozen=True):
    """What is known of the loads before the inverter is: it takes the powers, and its idle draw is then part of the energy."""

    loads: tuple[Load, ...]
    """Completed from the list of appliances."""
    lines: list[LoadLine]
    alternating: list[LoadLine]
    direct: list[LoadLine]
    shore: list[LoadLine]
    critical: list[LoadLine]
    days: Calendar
    losses: Losses
    efficiency: float | None
    wiring_efficiency: float
    running: Running
    sources: tuple[Citation, ...]
    converters: tuple[Converter, ...]


def size_demand(request: Request, case: Case) -> Demand:
    """Demand of a list of loads.

    Loads that shore alone serves take nothing from the bank and do not load the inverter; they are totalled apart.
    """
    return sum_up(survey(request, case), request, case)


def survey(request: Request, case: Case) -> Surveyed:
    """Each load by itself, and what runs at the same time."""
    loads = tuple([complete(load, request.nominal_voltage_v, case) for load in request.loads])
    request = replace(request, loads=loads)
    days = calendar(request, case)
    one = case.chosen(1, "load_count", "one appliance")
    losses, starts = Losses(request, case), Starts()
    lines: list[LoadLine] = []
    alternating: list[LoadLine] = []
    direct: list[LoadLine] = []
    shore: list[LoadLine] = []
    critical: list[LoadLine] = []
    for load in loads:
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
    return Surveyed(
        loads, lines, alternating, direct, shore, critical, days, losses, efficiency, losses.wiring, running, tuple(starts.sources), choose_converters(direct, request, case),
    )


def sum_up(surveyed: Surveyed, request: Request, case: Case) -> Demand:
    """Energy of the months with the inverter's idle draw, and everything else that a demand says."""
    lines, alternating, direct, shore = surveyed.lines, surveyed.alternating, surveyed.direct, surveyed.shore
    days, running = surveyed.days, surveyed.running
    inverter = None
    if alternating:
        inverter = idle([load for load in surveyed.loads if load.current == "ac" and not load.shore_only], days, request, case)
    growth = case.assume("growth_factor", request.growth_factor)
    converters = surveyed.converters
    converter_idle = (
        converters_idle_energy(*[converter.idle_energy_wh for converter in converters]) if converters
        else case.chosen(0, "converter_idle_energy_wh", "no load needs a converter")
    )
    totals = [_total(alternating, direct, inverter, day, case) for day in range(days.days)]
    if converters:
        totals = [with_converters(total, converter_idle) for total in totals]
    grown = [month_energy(total, growth) for total in totals]
    month = heaviest(grown, days, range(12))
    day = days.of_month[month]
    _settle(lines, day, totals[day], case)
    first = dominant(lines, growth, case)
    live = [line for line in surveyed.critical if line.on_bank and line.current == "dc" and not line.converter]
    live_energy = _part(live, case)

    demand = Demand(
        month_energy_wh=tuple([grown[day] for day in days.of_month]), heaviest_month=month, day_energy_wh=grown[day],
        day_charge_ah=day_charge(grown[day], request.nominal_voltage_v),
        ac_energy_wh=_part(alternating, case), dc_energy_wh=_part(direct, case),
        ac_load_energy_wh=part_at_loads(*[line.load_energy_wh for line in alternating]) if alternating
        else case.chosen(0, "load_energy_wh", "nothing hangs on the inverter"),
        idle_w=inverter.idle_w if inverter else None, idle_hours=inverter.idle_hours if inverter else None,
        idle_energy_wh=inverter.idle_energy_wh if inverter else case.chosen(0, "idle_energy_wh", "nothing hangs on the inverter"),
        converter_idle_wh=converter_idle, growth_factor=growth, inverter_efficiency=surveyed.efficiency, wiring_efficiency=surveyed.wiring_efficiency,
        critical_energy_wh=_part([line for line in surveyed.critical if line.on_bank], case),
        always_live_energy_wh=live_energy, always_live_a=always_live_current(live_energy, request.nominal_voltage_v), loads=tuple(lines),
        running_w=running.running_w, running_va=running.running_va, largest_ac_w=running.largest_ac_w, dc_running_w=running.dc_running_w,
        bank_running_w=running.bank_running_w, start=running.start, surge_va=running.surge_va, restart_va=running.restart_va,
        dc_start=running.dc_start, dc_surge_w=running.dc_surge_w,
        shore_w=running_together(*[line.running_power_w for line in shore]) if shore
        else case.chosen(0, "running_power_w", "no load waits for shore"),
        shore_va=apparent_together(*[line.apparent_power_va for line in shore]) if shore
        else case.chosen(0, "running_va", "no load waits for shore"),
        dominant=first, changes=changes(first, surveyed.loads, lines, day, days, inverter, surveyed.losses, growth, case),
        seasons=seasons(lines, days, totals, grown, day, case), converters=converters, always_live=tuple([line.id for line in live]),
        critical=tuple([line.id for line in surveyed.critical]), sources=surveyed.sources,
    )
    _remarks(demand, surveyed.loads, case)
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


def _remarks(demand: Demand, loads: tuple[Load, ...], case: Case) -> None:
    """What a reader should know of the loads."""
    for load in loads if demand.critical else ():
        if load.critical and load.shore_only:
            case.note("critical-on-shore-only", load.pointer, load=load.id)
        elif load.critical and load.current == "ac":
            case.note("critical-on-inverter", load.pointer, load=load.id)
    dominant = demand.dominant
    if dominant is not None:
        load = next(load for load in loads if load.id == dominant.id)
        if load.nature == "resistive":
            case.note("heating-from-bank", load.pointer, load=load.id, share=f"{float(dominant.energy_share):.0%}")
    if demand.idle_w is not None and not at_most(demand.idle_energy_wh, demand.ac_energy_wh):
        case.note("idle-exceeds-loads", idle=demand.idle_energy_wh, loads=demand.ac_energy_wh)
    if not at_least(demand.surge_va, demand.restart_va):
        case.note("restart-exceeds-start", restart=demand.restart_va, surge=demand.surge_va)
    if demand.always_live and demand.always_live_a > 0:
        case.note("always-live-drain", loads=", ".join(demand.always_live[:_NAMED]), charge=no_less(always_live_charge(demand.always_live_a)))
