"""Arithmetic of the clock: sections of the day, charge used up in them, and when it is used up."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")
_CLOCK = cite("design-arithmetic", "the clock")
_PEUKERT = cite("battery-trade-literature", "Peukert's relation with the hour rate of the rated capacity")


@formula("section_from_h", cite=_CLOCK)
def after_start(clock_from_h: float, start_hour_h: float) -> float:
    """Hours from the start of the run to an hour later on the same day.

    Valid: hours of one day. Neglects: summer time. Errs: exact.

    >>> after_start(20.0, 18.0)
    2.0
    """
    return clock_from_h - start_hour_h


@formula("section_from_h", cite=_CLOCK)
def past_midnight(clock_from_h: float, start_hour_h: float) -> float:
    """Hours from the start of the run to an hour of the next day.

    Valid: hours of one day. Neglects: summer time. Errs: exact.

    >>> past_midnight(6.0, 18.0)
    12.0
    """
    return clock_from_h - start_hour_h + 24


@formula("section_to_h", cite=_CLOCK)
def end_of_use(section_from_h: float, section_hours: float) -> float:
    """Hours from the start of the run to the end of a use.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> end_of_use(2.0, 5.0)
    7.0
    """
    return section_from_h + section_hours


@formula("section_to_h", cite=_CLOCK)
def day_before(section_to_h: float) -> float:
    """The same hour a day earlier: what passes the end of the first day stands at its beginning.

    Valid: days that are all alike. Neglects: nothing. Errs: exact.

    >>> day_before(26.0)
    2.0
    """
    return section_to_h - 24


@formula("section_hours", cite=_CLOCK)
def length(section_to_h: float, section_from_h: float) -> float:
    """Length of a section of the day.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> length(7.0, 2.0)
    5.0
    """
    return section_to_h - section_from_h


@formula("used_current_a", cite=_PEUKERT)
def used_an_hour(net_current_a: float, rate_factor: float) -> float:
    """Charge used up an hour.

    Valid: a bank that discharges. Neglects: nothing. Errs: either, as the factor does.

    >>> used_an_hour(20.0, 1.5)
    30.0
    """
    return net_current_a * rate_factor


@formula("used_current_a", cite=cite("battery-trade-literature", "charge out over charge in"))
def filled_an_hour(net_current_a: float, coulombic_efficiency: float) -> float:
    """Charge used up an hour while charging brings more than the loads take: it is below nought.

    Valid: below absorption. Neglects: the taper near full. Errs: high near full.

    >>> filled_an_hour(-10.0, 0.85)
    -8.5
    """
    return net_current_a * coulombic_efficiency


@formula("section_ah", cite=_OWN)
def charge_given(net_current_a: float, section_hours: float) -> float:
    """Charge that a section of the day takes.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> charge_given(20.0, 3.0)
    60.0
    """
    return net_current_a * section_hours


@formula("day_current_a", cite=_OWN)
def current_of_day(*section_ah: float) -> float:
    """Current averaged over a day.

    Valid: sections that make up a day. Neglects: nothing. Errs: exact.

    >>> current_of_day(60.0, 60.0)
    5.0
    """
    return sum(section_ah) / 24


@formula("used_ah", cite=_OWN)
def used_after(used_ah: float, used_current_a: float, section_hours: float) -> float:
    """Charge used up at the end of a section; a full bank takes no more.

    Valid: loads and charging steady within the section. Neglects: the taper near full. Errs: low while charging.

    >>> used_after(10.0, 5.0, 4.0)
    30.0
    >>> used_after(10.0, -5.0, 4.0)
    0.0
    """
    return max(0.0, used_ah + used_current_a * section_hours)


@formula("day_used_ah", cite=_OWN)
def used_a_day(used_ah: float, start_used_ah: float) -> float:
    """Charge used up a day: what is used up at its end less what was at its beginning.

    Valid: days without a full bank in between. Neglects: nothing. Errs: exact.

    >>> used_a_day(80.0, 30.0)
    50.0
    """
    return used_ah - start_used_ah


@formula("used_ah", cite=_OWN)
def used_after_days(used_ah: float, whole_days: float, day_used_ah: float) -> float:
    """Charge used up after some days that are alike.

    Valid: days without a full bank in between. Neglects: self-discharge. Errs: low over months.

    >>> used_after_days(10.0, 3.0, 20.0)
    70.0
    """
    return used_ah + whole_days * day_used_ah


@formula("elapsed_hours", cite=_CLOCK)
def later(elapsed_hours: float, section_hours: float) -> float:
    """Hours since the start at the end of a section.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> later(24.0, 6.0)
    30.0
    """
    return elapsed_hours + section_hours


@formula("elapsed_hours", cite=_CLOCK)
def days_later(elapsed_hours: float, whole_days: float) -> float:
    """Hours since the start after some whole days.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> days_later(6.0, 2.0)
    54.0
    """
    return elapsed_hours + 24 * whole_days


@formula("run_hours", cite=_OWN)
def used_up_at(elapsed_hours: float, usable_ah: float, used_ah: float, used_current_a: float) -> float:
    """Hours since the start at which the usable charge is used up.

    Valid: within one section. Neglects: nothing. Errs: exact.

    >>> used_up_at(24.0, 50.0, 40.0, 5.0)
    26.0
    """
    return elapsed_hours + max(0.0, usable_ah - used_ah) / used_current_a
