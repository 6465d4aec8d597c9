"""The sun of a site: the caller's own figures first, else a guess from latitude and climate class."""

from __future__ import annotations

from math import floor

from ...reference.case import Case
from .formulas import between_latitudes, insolation_from_clearness, insolation_from_hours, planned_insolation
from .model import MONTHS, ClimateAtLatitude, MonthlyInsolation, Resource, Sun

_SEASONS = ("winter", "winter", "spring", "spring", "spring", "summer", "summer", "summer", "autumn", "autumn", "autumn", "winter")
"""Northern season of each month; the south is half a year away."""


def sun_of_months(sun: Sun, case: Case) -> Resource:
    """The sun month by month and what is planned on.

    The rule of choice: figures of the caller are taken as they are, in the plane that they hold for; a climate class
    is a guess and says so. Modules lie flat, so that figures on the horizontal hold for them. A polar night is nought.
    """
    margin = case.assume("planning_margin")
    if isinstance(sun, ClimateAtLatitude):
        return _guess(sun, margin, case)
    if isinstance(sun, MonthlyInsolation):
        route, months = "monthly-insolation", sun.insolation_kwh_m2
    else:
        route, months = "peak-sun-hours", tuple([insolation_from_hours(hours) for hours in sun.hours])
    if sun.plane == "horizontal":
        _doubt(months, case)
    return Resource(
        route=route, plane=sun.plane, insolation_kwh_m2=months, planned_kwh_m2=tuple([planned_insolation(month, margin) for month in months]),
        planning_margin=margin, error_month=None, error_worst_month=None, error_year=None, guess=False, basis=None, citation=None,
    )


def monthly_extraterrestrial(latitude_deg: float, case: Case) -> tuple[float, ...]:
    """Radiation a day above the atmosphere on the horizontal, month by month, from the table's rows on either side."""
    table = case.library.tables["extraterrestrial"]
    latitudes = table.columns["latitude_deg"]
    # Rows are one degree apart from the first; the last row serves as the upper neighbour of the pole.
    below = min(floor(latitude_deg - latitudes[0]), table.rows - 2)
    return tuple([
        between_latitudes(column[below], column[below + 1], latitude_deg, latitudes[below])
        for column in map(table.columns.__getitem__, MONTHS)
    ])


def local_season(month: int, latitude_deg: float) -> str:
    """Season of a month (0 is January) on its side of the equator; the equator itself counts as north.

    >>> local_season(0, 45.0), local_season(0, -35.0)
    ('winter', 'summer')
    """
    return _SEASONS[month if latitude_deg >= 0 else (month + 6) % 12]


def _guess(sun: ClimateAtLatitude, margin: float, case: Case) -> Resource:
    table = case.library.tables["clearness_by_class"]
    row = table.row(sun.climate_class)
    above = monthly_extraterrestrial(sun.latitude_deg, case)
    clearness = tuple([table.columns[local_season(month, sun.latitude_deg)][row] for month in range(12)])
    months = tuple(map(insolation_from_clearness, clearness, above))
    worst = case.constant("guess_error_worst_month")
    case.note("sun-guessed", "/sun", climate=sun.climate_class, percent=f"{100 * worst:.0f}")
    return Resource(
        route="climate-class", plane="horizontal", insolation_kwh_m2=months,
        planned_kwh_m2=tuple([planned_insolation(month, margin) for month in months]), planning_margin=margin,
        error_month=case.constant("guess_error_month"), error_worst_month=worst, error_year=case.constant("guess_error_year"),
        guess=True, basis=table.basis_of_row[row], citation=table.citation_of_row[row], extraterrestrial_kwh_m2=above, clearness=clearness,
    )


def _doubt(months: tuple[float, ...], case: Case) -> None:
    """Figures that no month on the horizontal has reached are probably in another unit."""
    ceiling = case.constant("insolation_month_ceiling")
    largest = max(range(12), key=months.__getitem__)
    if months[largest] > ceiling:
        case.note("sun-implausible", "/sun", month=MONTHS[largest].capitalize(), given=float(months[largest]), ceiling=float(ceiling))
