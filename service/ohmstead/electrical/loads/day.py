"""Energy a day: the days that differ, the losses on the way from the bank, one load on each day, the idle inverter."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from ...reference.case import Case
from ...reference.citations import cite
from ...working import at_least
from .formulas import (
    bank_energy_alternating, bank_energy_converted, bank_energy_direct, hours_fed, hours_on, idle_energy, load_energy, load_energy_standby,
    rest_of_day, standby_energy, standby_within_day,
)
from .model import ByMonth, BySeason, EveryDay, Load, Request, Use

_NORTH = (1, 1, 1, 0, 0, 0, 0, 0, 0, 1, 1, 1)
_SOUTH = tuple(1 - season for season in _NORTH)
_HALF_YEARS = cite("common-practice", "six warm and six cold months")


class Calendar(Struct, frozen=True):
    """Days that differ, and which of them each month has: one day, two seasons or twelve months."""

    days: int
    of_month: tuple[int, ...]
    cold: tuple[int, ...]
    """0 for a month of the warm half of the year, 1 for the cold half."""

    def hours(self, use: Use) -> tuple[float, ...]:
        """Hours of use on each of the days that differ."""
        if type(use) is EveryDay:
            return (use.hours_per_day,) * self.days
        if type(use) is ByMonth:
            return use.month_hours
        seasons = (use.summer_hours, use.winter_hours)
        return seasons if self.days == 2 else tuple([seasons[season] for season in self.cold])


_SAME_ALL_YEAR = Calendar(1, (0,) * 12, _NORTH)


def calendar(request: Request, case: Case) -> Calendar:
    """The fewest days that tell the months apart. Seasons follow the hemisphere."""
    uses = {type(load.use) for load in request.loads}
    if BySeason not in uses and ByMonth not in uses:
        return _SAME_ALL_YEAR
    cold = _NORTH
    if request.latitude_deg is None:
        case.assume_choice(
            "hemisphere", None, "northern", "No latitude is given: April to September count as the warm months", _HALF_YEARS)
    elif request.latitude_deg < 0:
        cold = _SOUTH
    return Calendar(12, tuple(range(12)), cold) if ByMonth in uses else Calendar(2, cold, cold)


class Losses:
    """What is the same for every load, assumed when the first load asks for it, so that nothing unused is listed."""

    __slots__ = ("case", "request", "wiring", "_inverter", "_converter", "_duty")

    def __init__(self, request: Request, case: Case):
        self.case = case
        self.request = request
        self.wiring = case.assume("wiring_efficiency", request.wiring_efficiency)
        self._inverter: float | None = None
        self._converter: float | None = None
        self._duty: float | None = None

    def inverter(self) -> float:
        """Efficiency of the inverter without its idle draw."""
        if self._inverter is None:
            self._inverter = self.case.assume("inverter_efficiency", self.request.inverter_efficiency)
        return self._inverter

    def converter(self) -> float:
        """Efficiency of a direct-current converter."""
        if self._converter is None:
            self._converter = self.case.assume("converter_efficiency", self.request.converter_efficiency)
        return self._converter

    def duty(self) -> float:
        """Duty of a load that does not give its own."""
        if self._duty is None:
            self._duty = self.case.assume("duty")
        return self._duty


def at_load(load: Load, power_w: float, count: float, days: Calendar, losses: Losses) -> tuple[float, ...]:
    """Energy of one load at the appliances on each of the days that differ."""
    duty = load.duty if load.duty is not None else losses.duty()
    if type(load.use) is EveryDay:
        return (_at_load(load, power_w, count, load.use.hours_per_day, duty),) * days.days
    return tuple([_at_load(load, power_w, count, hours, duty) for hours in days.hours(load.use)])


def _at_load(load: Load, power_w: float, count: float, hours: float, duty: float) -> float:
    standby = load.standby
    if standby is None:
        return load_energy(power_w, count, hours, duty)
    return load_energy_standby(power_w, count, hours, duty, standby.standby_w, _standby_hours(load, hours))


def at_standby(load: Load, count: float, days: Calendar) -> tuple[float, ...]:
    """Standby of one load at the appliances on each of the days that differ."""
    return tuple([standby_energy(count, load.standby.standby_w, _standby_hours(load, hours)) for hours in days.hours(load.use)])


def at_bank(load: Load, converter: bool, energies_wh: tuple[float, ...], losses: Losses) -> tuple[float, ...]:
    """The same at the bank."""
    if type(load.use) is EveryDay:
        return (_at_bank(load, converter, energies_wh[0], losses),) * len(energies_wh)
    return tuple([_at_bank(load, converter, energy, losses) for energy in energies_wh])


def _at_bank(load: Load, converter: bool, energy_wh: float, losses: Losses) -> float:
    if load.current == "ac":
        return bank_energy_alternating(energy_wh, losses.inverter(), losses.wiring)
    if converter:
        return bank_energy_converted(energy_wh, losses.converter(), losses.wiring)
    return bank_energy_direct(energy_wh, losses.wiring)


def hours_of_need(load: Load, hours: float) -> float:
    """Hours in which a load needs its supply on a day with these hours of use."""
    return hours if load.standby is None else hours_fed(hours, _standby_hours(load, hours))


def _standby_hours(load: Load, hours: float) -> float:
    given = load.standby.standby_hours
    return rest_of_day(hours) if given is None else standby_within_day(given, hours)


def note_cut_standby(load: Load, days: Calendar, case: Case) -> None:
    """Say so where the hours of standby do not fit into the day."""
    standby = load.standby
    if standby is None or standby.standby_hours is None:
        return
    for hours in days.hours(load.use):
        if not at_least(rest_of_day(hours), standby.standby_hours):
            case.note("standby-cut", load.pointer, load=load.id)
            return


class Idle(Struct, frozen=True):
    """The inverter when it is merely on."""

    idle_w: float
    idle_hours: float
    idle_energy_wh: float


def idle(fed: Sequence[Load], days: Calendar, request: Request, case: Case) -> Idle:
    """Idle draw of the inverter a day; it is on at least as long as the loads on it need it."""
    power = case.assume("idle_w", request.idle_w)
    hours = given = case.assume("idle_hours", request.idle_hours)
    if not at_least(given, 24.0):
        neediest = None
        for load in fed:
            for used in days.hours(load.use):
                needed = hours_of_need(load, used)
                if not at_least(hours, needed):
                    hours, neediest = hours_on(hours, needed), load
        if neediest is not None:
            case.note("inverter-hours-short", given=given, load=neediest.id, needed=hours)
    return Idle(power, hours, idle_energy(power, hours))
