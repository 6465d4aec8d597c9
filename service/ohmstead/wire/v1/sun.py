"""What is known of a site's sun, twelve named months at a time, and what became of it."""

from __future__ import annotations

from typing import Annotated, Any

from msgspec import Meta, Struct

from ...electrical.solar import model
from ...electrical.solar.model import MONTHS
from ...working import Basis
from ..base import Amount
from ..door import Door
from ..problems import Fault, Problem
from ..quantities import Insolation, Latitude

Plane = Annotated[model.Plane, Meta(description="Plane that the figures hold for: the horizontal, or that of the modules as they are mounted")]
Hours = Annotated[float, Meta(ge=0, le=14)]

_MOST_A_DAY = 14.0
"""kWh/m2: more than a day brings above the atmosphere anywhere."""


class InsolationMonths(Struct, frozen=True, forbid_unknown_fields=True):
    """Twelve monthly means of the radiation a day."""

    january: Annotated[Insolation, Meta(description="Radiation a day in January")]
    february: Annotated[Insolation, Meta(description="Radiation a day in February")]
    march: Annotated[Insolation, Meta(description="Radiation a day in March")]
    april: Annotated[Insolation, Meta(description="Radiation a day in April")]
    may: Annotated[Insolation, Meta(description="Radiation a day in May")]
    june: Annotated[Insolation, Meta(description="Radiation a day in June")]
    july: Annotated[Insolation, Meta(description="Radiation a day in July")]
    august: Annotated[Insolation, Meta(description="Radiation a day in August")]
    september: Annotated[Insolation, Meta(description="Radiation a day in September")]
    october: Annotated[Insolation, Meta(description="Radiation a day in October")]
    november: Annotated[Insolation, Meta(description="Radiation a day in November")]
    december: Annotated[Insolation, Meta(description="Radiation a day in December")]


class HoursByMonth(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="month"):
    """Twelve monthly means of the peak sun hours a day."""

    january: Annotated[Hours, Meta(description="Peak sun hours a day in January")]
    february: Annotated[Hours, Meta(description="Peak sun hours a day in February")]
    march: Annotated[Hours, Meta(description="Peak sun hours a day in March")]
    april: Annotated[Hours, Meta(description="Peak sun hours a day in April")]
    may: Annotated[Hours, Meta(description="Peak sun hours a day in May")]
    june: Annotated[Hours, Meta(description="Peak sun hours a day in June")]
    july: Annotated[Hours, Meta(description="Peak sun hours a day in July")]
    august: Annotated[Hours, Meta(description="Peak sun hours a day in August")]
    september: Annotated[Hours, Meta(description="Peak sun hours a day in September")]
    october: Annotated[Hours, Meta(description="Peak sun hours a day in October")]
    november: Annotated[Hours, Meta(description="Peak sun hours a day in November")]
    december: Annotated[Hours, Meta(description="Peak sun hours a day in December")]


class HoursAllYear(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="all-year"):
    """One figure that stands for every month."""

    hours: Annotated[Hours, Meta(description="Peak sun hours a day in every month")]


class ByInsolation(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="monthly-insolation"):
    """The radiation is known by month."""

    months: Annotated[InsolationMonths, Meta(description="Monthly means of the radiation a day; not totals of the month")]
    plane: Plane = "horizontal"


class ByPeakSunHours(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="peak-sun-hours"):
    """The peak sun hours are known: hours a day at 1 kW/m2 that bring the day's radiation."""

    hours: Annotated[HoursByMonth | HoursAllYear, Meta(description="Monthly means, or one figure for all months")]
    plane: Plane = "horizontal"


class ByClimate(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="climate-class"):
    """Only latitude and climate are known; the answer is a guess and says so."""

    climate_class: Annotated[model.ClimateClass, Meta(description="Koppen group: A tropical, BW desert, BS steppe, Cs Mediterranean, Cf humid temperate, Cw dry-winter highland, Ds and Dw dry continental, Df humid continental, E polar")]
    latitude: Annotated[Latitude, Meta(description="Latitude of the site")]


SunShape = ByInsolation | ByPeakSunHours | ByClimate


class SunAnswer(Struct, frozen=True):
    """The sun that the sizes rest on."""

    route: Annotated[model.Route, Meta(description="Where the figures come from")]
    plane: Annotated[model.Plane, Meta(description="Plane that they hold for; modules that lie flat see the horizontal")]
    guess: Annotated[bool, Meta(description="Whether they are a guess from latitude and climate")]
    planning_margin: Annotated[float, Meta(description="Share of them that is planned on")]
    error_month: Annotated[float | None, Meta(description="One standard deviation of a month, as a share; null where only the caller knows")]
    error_worst_month: Annotated[float | None, Meta(description="The same of the worst month")]
    error_year: Annotated[float | None, Meta(description="The same of the year")]
    basis: Annotated[Basis | None, Meta(description="How well the figures are known; null for the caller's own")]
    months: Annotated[list[Amount], Meta(description="Radiation a day before the planning margin, January first")]


def read_sun(sun: SunShape, door: Door, base: str) -> model.Sun:
    """The sun in service units. Raises Problem for figures that no day can bring, with the likely reason."""
    if isinstance(sun, ByClimate):
        return model.ClimateAtLatitude(sun.climate_class, door.quantity(sun.latitude, "latitude_deg", base, "latitude"))
    if isinstance(sun, ByInsolation):
        _refuse_other_units(sun.months, f"{base}/months")
        return model.MonthlyInsolation(read_months(sun.months, "insolation_kwh_m2", f"{base}/months", door), sun.plane)
    hours = sun.hours
    if isinstance(hours, HoursAllYear):
        return model.PeakSunHours((door.number(hours.hours, "peak_sun_hours", f"{base}/hours", "hours"),) * 12, sun.plane)
    return model.PeakSunHours(
        tuple([door.number(getattr(hours, month), "peak_sun_hours", f"{base}/hours", month) for month in MONTHS]), sun.plane
    )


def read_months(months: Any, term: str, base: str, door: Door) -> tuple[float, ...]:
    """Twelve quantities out of an object with a field a month."""
    return tuple([door.quantity(getattr(months, month), term, base, month) for month in MONTHS])


def _refuse_other_units(months: InsolationMonths, base: str) -> None:
    faults = []
    for month in MONTHS:
        given = getattr(months, month)
        num, add, den = given.factors[given.unit]
        if (given.value * num + add) / den > _MOST_A_DAY:
            faults.append(Fault(
                "wrong-unit", f"{given.value:g} {given.unit} a day is more than any place receives ({_MOST_A_DAY:g} kWh/m2); "
                "give the mean of a day, not the total of a month, and MJ/m2 as MJ/m2", f"{base}/{month}", allowed=list(given.units),
            ))  # fmt: skip
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)


def write_sun(sun: model.Resource) -> SunAnswer:
    """The sun as it stands in an answer."""
    return SunAnswer(
        sun.route, sun.plane, sun.guess, sun.planning_margin, sun.error_month, sun.error_worst_month, sun.error_year, sun.basis,
        [Amount(month, "kWh/m2") for month in sun.insolation_kwh_m2],
    )
