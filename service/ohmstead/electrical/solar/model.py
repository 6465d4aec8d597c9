"""What is known of the sun at a site, and what is planned on. Twelve months, January first, everywhere."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Basis, Citation

Month = Literal[
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
]  # fmt: skip
MONTHS: tuple[Month, ...] = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)

Plane = Literal["horizontal", "array"]
"""Plane that the caller's figures hold for: the horizontal, or the modules as they are mounted."""

Route = Literal["monthly-insolation", "peak-sun-hours", "climate-class"]
ClimateClass = Literal["A", "BW", "BS", "Cs", "Cf", "Cw", "Ds", "Dw", "Df", "E"]


class MonthlyInsolation(Struct, frozen=True):
    """Twelve monthly means of the radiation a day."""

    insolation_kwh_m2: tuple[float, ...]
    plane: Plane = "horizontal"


class PeakSunHours(Struct, frozen=True):
    """Twelve monthly means of the peak sun hours a day: the same number as kWh/m2."""

    hours: tuple[float, ...]
    plane: Plane = "horizontal"


class ClimateAtLatitude(Struct, frozen=True):
    """Only the latitude and the climate class are known: a guess. Always on the horizontal."""

    climate_class: ClimateClass
    latitude_deg: float


Sun = MonthlyInsolation | PeakSunHours | ClimateAtLatitude


class Resource(Struct, frozen=True):
    """The sun in the plane of the modules, month by month."""

    route: Route
    plane: Plane
    insolation_kwh_m2: tuple[float, ...]
    """Radiation a day by month, best estimate."""
    planned_kwh_m2: tuple[float, ...]
    """The same after the planning margin: what sizes rest on."""
    planning_margin: float
    error_month: float | None
    """One standard deviation of a month over its mean; None where only the caller knows."""
    error_worst_month: float | None
    error_year: float | None
    guess: bool
    basis: Basis | None
    """None where the caller's own figures are used."""
    citation: Citation | None
    extraterrestrial_kwh_m2: tuple[float, ...] | None = None
    clearness: tuple[float, ...] | None = None
