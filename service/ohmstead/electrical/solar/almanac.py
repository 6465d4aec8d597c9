"""Radiation above the atmosphere by latitude and month: every day of the year, summed the long way.

The service reads the table `extraterrestrial`, because 365 days a request would cost more than the rest of the array;
this is what the table was made with and what a test compares every cell with.
"""

from __future__ import annotations

from math import fsum

from .formulas import day_angle, declination, distance_factor, extraterrestrial, in_radians, sunset_hour_angle
from .model import DAYS


def month_means(latitude_deg: float, solar_constant_w_per_m2: float) -> tuple[float, ...]:
    """Mean radiation a day of each month in kWh/m2 on the horizontal, January first, over all days of the month."""
    latitude = in_radians(latitude_deg)
    means, first = [], 1
    for days in DAYS:
        total = fsum(_day(latitude, float(day), solar_constant_w_per_m2) for day in range(first, first + days))
        means.append(total / days)
        first += days
    return tuple(means)


def _day(latitude_rad: float, day_of_year: float, solar_constant_w_per_m2: float) -> float:
    angle = day_angle(day_of_year)
    tilt = declination(angle)
    return extraterrestrial(solar_constant_w_per_m2, distance_factor(angle), latitude_rad, tilt, sunset_hour_angle(latitude_rad, tilt))
