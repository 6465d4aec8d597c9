"""From a list of loads to energy a day, power that runs together and starts.

Nothing is chosen here; what the request leaves out is assumed and said. Every load is referred to the bank in
the order appliance, inverter or converter, wiring.
"""

from __future__ import annotations

from ...reference.case import Case
from ...working import at_least, at_most
from .appliance import Appliance, Starts, appliance, note_unknown_starts
from .day import Calendar, Idle, Losses, add_energies, calendar, idle, note_cut_standby
from .formulas import (
    day_charge, day_energy, day_energy_idle, energy_share, month_energy, part_at_loads, part_of_day, saved,
)
from .model import Demand, Dominant, LoadLine, Request
from .power import apparent_together, running_together
from .together import run_together

_NAMED = 10
"""Ids spelled out in one finding."""


def size_demand(request: Request, case: Case) -> Demand:
    """Demand of a list of loads.

    Loads that shore alone serves take nothing from the bank and do not load the inverter; they are totalled apart.
    """
    days = calendar(request, case)
    one = case.chosen(1, "load_count", "one appliance")
    losses = Losses(request, case)
    starts = Starts()
    works: list[Appliance] = []
    alternating: list[Appliance] = []
    direct: list[Appliance] = []
    shore: list[Appliance] = []
    for load in request.loads:
        work = appliance(load, request, case, starts)
        add_energies(work, load.load_count if load.load_count is not None else one, days, losses)
        works.append(work)
        if load.standby is not None:
            note_cut_standby(load, days, case)
        if load.shore_only:
            shore.append(work)
        elif load.current == "ac":
            alternating.append(work)
        else:
            direct.append(work)
    note_unknown_starts(starts, _NAMED, case)

    inverter = idle([work.load for work in alternating], days, request, case) if alternating else None
    efficiency = losses.inverter() if alternating else None
    growth = case.assume("growth_factor", request.growth_factor)
    totals = [_total(alternating, direct, inverter, day, case) for day in range(days.days)]
    grown = [month_energy(total, growth) for total in totals]
    heaviest = _heaviest(grown, days)
    day = days.of_month[heaviest]

    nothing_wh = case.chosen(0, "bank_energy_wh", "nothing is taken from the bank")
    running = run_together(alternating, direct, efficiency, losses.wiring, case)
    lines = _lines(works, one, totals[day], day, days, nothing_wh, case)
    demand = Demand(
        month_energy_wh=tuple([grown[day] for day in days.of_month]), heaviest_month=heaviest, day_energy_wh=grown[day],
        day_charge_ah=day_charge(grown[day], request.nominal_voltage_v),
        ac_energy_wh=_part(alternating, day, nothing_wh), dc_energy_wh=_part(direct, day, nothing_wh),
        ac_load_energy_wh=part_at_loads(*[work.at_load_wh[day] for work in alternating]) if alternating
        else case.chosen(0, "load_energy_wh", "nothing hangs on the inverter"),
        idle_w=inverter.idle_w if inverter else None, idle_hours=inverter.idle_hours if inverter else None,
        idle_energy_wh=inverter.idle_energy_wh if inverter else case.chosen(0, "idle_energy_wh", "nothing hangs on the inverter"),
        growth_factor=growth, inverter_efficiency=efficiency, wiring_efficiency=losses.wiring,
        critical_energy_wh=_part([work for work in works if work.load.critical and not work.load.shore_only], day, nothing_wh), loads=lines,
        running_w=running.running_w, running_va=running.running_va, largest_ac_w=running.largest_ac_w, dc_running_w=running.dc_running_w,
        bank_running_w=running.bank_running_w, start=running.start, surge_va=running.surge_va, restart_va=running.restart_va,
        dc_start=running.dc_start, dc_surge_w=running.dc_surge_w,
        shore_w=running_together(*[work.alike_w for work in shore]) if shore else case.chosen(0, "running_power_w", "no load waits for shore"),
        shore_va=apparent_together(*[work.alike_va for work in shore]) if shore else case.chosen(0, "running_va", "no load waits for shore"),
        dominant=_dominant(lines, growth, case), critical=tuple([load.id for load in request.loads if load.critical]),
        sources=tuple(starts.sources),
    )
    _remarks(demand, request, case)
    return demand


def _total(alternating: list[Appliance], direct: list[Appliance], inverter: Idle | None, day: int, case: Case) -> float:
    """Energy at the bank of one day."""
    parts = [work.at_bank_wh[day] for work in alternating]
    parts += [work.at_bank_wh[day] for work in direct]
    if inverter is not None:
        return day_energy_idle(inverter.idle_energy_wh, *parts)
    return day_energy(*parts) if parts else case.chosen(0, "day_energy_wh", "no load takes from the bank")


def _part(some: list[Appliance], day: int, nothing_wh: float) -> float:
    return part_of_day(*[work.at_bank_wh[day] for work in some]) if some else nothing_wh


def _lines(
    works: list[Appliance], one: float, total_wh: float, day: int, days: Calendar, nothing_wh: float, case: Case,
) -> tuple[LoadLine, ...]:
    no_start = case.chosen(0, "start_increment_va", "it starts with no more than it runs on")
    no_share = case.chosen(0, "energy_share", "nothing is taken from the bank")
    no_energy = (nothing_wh,) * days.days
    lines = []
    for work in works:
        load, at_bank = work.load, work.at_bank_wh or no_energy
        taken = at_bank[day]
        lines.append(LoadLine(
            load.id, load.current, work.power_w, load.load_count if load.load_count is not None else one, work.alike_w, work.alike_va,
            work.start_va, work.increment_va if work.increment_va is not None else no_start, work.at_load_wh[day], taken,
            energy_share(taken, total_wh) if total_wh > 0 else no_share,
            at_bank * 12 if days.days == 1 else tuple([at_bank[day] for day in days.of_month]),
            not load.shore_only, load.critical, work.converter,
        ))
    return tuple(lines)


def _heaviest(grown: list[float], days: Calendar) -> int:
    """First month that no other exceeds by more than the tolerance."""
    heaviest = 0
    if days.days > 1:
        for month, day in enumerate(days.of_month):
            if not at_most(grown[day], grown[days.of_month[heaviest]]):
                heaviest = month
    return heaviest


def _dominant(lines: tuple[LoadLine, ...], growth: float, case: Case) -> Dominant | None:
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
    dominant = demand.dominant
    for load in request.loads:
        if load.critical:
            if load.shore_only:
                case.note("critical-on-shore-only", load.pointer, load=load.id)
            elif load.current == "ac":
                case.note("critical-on-inverter", load.pointer, load=load.id)
        if load.nature == "resistive" and dominant is not None and load.id == dominant.id:
            case.note("heating-from-bank", load.pointer, load=load.id, share=f"{float(dominant.energy_share):.0%}")
    if demand.idle_w is not None and not at_most(demand.idle_energy_wh, demand.ac_energy_wh):
        case.note("idle-exceeds-loads", idle=demand.idle_energy_wh, loads=demand.ac_energy_wh)
    if not at_least(demand.surge_va, demand.restart_va):
        case.note("restart-exceeds-start", restart=demand.restart_va, surge=demand.surge_va)
