"""Who takes how much, in either half of the year, and what one change would save."""

from __future__ import annotations

from collections.abc import Sequence

from ...reference.case import Case
from ...working import at_most
from .day import Calendar, Idle, Losses, at_bank, hours_of_need
from .formulas import energy_share, hours_needed, saved, saved_idle
from .model import Change, Dominant, Load, LoadLine, Season


def heaviest(grown: Sequence[float], days: Calendar, months: Sequence[int]) -> int:
    """First of these months that no other exceeds by more than the tolerance."""
    first = months[0]
    if days.days > 1:
        for month in months:
            if not at_most(grown[days.of_month[month]], grown[days.of_month[first]]):
                first = month
    return first


def seasons(
    lines: Sequence[LoadLine], days: Calendar, totals: Sequence[float], grown: Sequence[float], settled: int, case: Case,
) -> tuple[Season, Season]:
    """The heaviest day of the warm and of the cold half of the year; the lines are settled on one of the days."""
    made = []
    for half, name in enumerate(("warm", "cold")):
        month = heaviest(grown, days, [month for month in range(12) if days.cold[month] == half])
        day = days.of_month[month]
        if day == settled:
            energies, shares = tuple([line.bank_energy_wh for line in lines]), tuple([line.energy_share for line in lines])
        else:
            energies = tuple([line.day_bank_energy_wh[day] if line.on_bank else line.bank_energy_wh for line in lines])
            if totals[day] > 0:
                shares = tuple([energy_share(energy, totals[day]) for energy in energies])
            else:
                shares = (case.chosen(0, "energy_share", "nothing is taken from the bank"),) * len(lines)
        made.append(Season(name, month if days.days > 1 else None, grown[day], energies, shares))
    return made[0], made[1]


def dominant(lines: Sequence[LoadLine], growth: float, case: Case) -> Dominant | None:
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


def changes(
    first: Dominant | None, loads: Sequence[Load], lines: Sequence[LoadLine], day: int, days: Calendar, inverter: Idle | None,
    losses: Losses, growth: float, case: Case,
) -> tuple[Change, ...]:
    """What is worth doing, the change that saves most first; one that saves nothing is left out."""
    made = [] if first is None else [Change("use-half", first.id, first.saved_halved_wh)]
    whole = case.chosen(1, "saved_share", "without standby")
    waiting = [
        Change("switch-off-standby", load.id, saved(at_bank(load, line.converter, (line.day_standby_wh[day],), losses)[0], growth, whole))
        for load, line in zip(loads, lines, strict=True) if line.on_bank and line.day_standby_wh
    ]
    if waiting:
        made.append(min(waiting, key=lambda change: (-change.saved_wh, change.load)))
    if inverter is not None:
        fed = [hours_of_need(load, days.hours(load.use)[day]) for load in loads if load.current == "ac" and not load.shore_only]
        made.append(Change(
            "inverter-off-between-uses", None, saved_idle(inverter.idle_w, inverter.idle_hours, hours_needed(*fed), growth),
        ))
    return tuple(sorted([change for change in made if change.saved_wh > 0], key=lambda change: -change.saved_wh))
