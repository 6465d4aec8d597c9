"""Arithmetic of the sun: where it stands, what reaches the top of the atmosphere and the ground."""

from __future__ import annotations

from math import acos, cos, pi, radians, sin, tan

from ...nomenclature import formula
from ...reference.citations import cite


@formula("day_angle_rad", cite=cite("spencer-1971"))
def day_angle(day_of_year: float) -> float:
    """Angle of a day in the year of 365 days.

    Valid: day 1 to 365. Neglects: leap years. Errs: either, under 1 degree.

    >>> day_angle(1.0)
    0.0
    """
    return 2 * pi * (day_of_year - 1) / 365


@formula("declination_rad", cite=cite("spencer-1971"))
def declination(day_angle_rad: float) -> float:
    """Declination of the sun.

    Valid: any day. Neglects: the leap-year cycle, the hour. Errs: either, under 0.35 degrees.

    >>> round(declination(0.0), 6)
    -0.402449
    """
    return (
        0.006918
        - 0.399912 * cos(day_angle_rad)
        + 0.070257 * sin(day_angle_rad)
        - 0.006758 * cos(2 * day_angle_rad)
        + 0.000907 * sin(2 * day_angle_rad)
        - 0.002697 * cos(3 * day_angle_rad)
        + 0.00148 * sin(3 * day_angle_rad)
    )


@formula("distance_factor", cite=cite("spencer-1971"))
def distance_factor(day_angle_rad: float) -> float:
    """Square of mean over actual distance to the sun.

    Valid: any day. Neglects: the leap-year cycle. Errs: either, under 0.01 %.

    >>> round(distance_factor(0.0), 6)
    1.03505
    """
    return (
        1.00011
        + 0.034221 * cos(day_angle_rad)
        + 0.00128 * sin(day_angle_rad)
        + 0.000719 * cos(2 * day_angle_rad)
        + 0.000077 * sin(2 * day_angle_rad)
    )


@formula("latitude_rad", cite=cite("design-arithmetic", "change of unit"))
def in_radians(latitude_deg: float) -> float:
    """Latitude in radians.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> round(in_radians(90.0), 4)
    1.5708
    """
    return radians(latitude_deg)


@formula("sunset_hour_angle_rad", cite=cite("duffie-beckman", "equation 1.6.10"))
def sunset_hour_angle(latitude_rad: float, declination_rad: float) -> float:
    """Hour angle of sunset: nought in the polar night, half a turn in the polar day.

    Valid: -90 to 90 degrees. Neglects: refraction, the sun's disc. Errs: low by minutes of time.

    >>> round(sunset_hour_angle(0.0, 0.3), 4)
    1.5708
    """
    return acos(max(-1, min(1, -tan(latitude_rad) * tan(declination_rad))))


@formula("extraterrestrial_kwh_m2", cite=cite("duffie-beckman", "equation 1.10.3"))
def extraterrestrial(
    solar_constant_w_per_m2: float, distance_factor: float, latitude_rad: float, declination_rad: float, sunset_hour_angle_rad: float
) -> float:
    """Radiation of one day on the horizontal above the atmosphere.

    Valid: any latitude and day. Neglects: change of declination within the day. Errs: either, under 0.5 %.

    >>> round(extraterrestrial(1367.0, 1.0, 0.0, 0.0, pi / 2), 3)
    10.443
    """
    return (
        24 / pi * solar_constant_w_per_m2 / 1000 * distance_factor
        * (cos(latitude_rad) * cos(declination_rad) * sin(sunset_hour_angle_rad)
           + sunset_hour_angle_rad * sin(latitude_rad) * sin(declination_rad))
    )  # fmt: skip


@formula("extraterrestrial_kwh_m2", cite=cite("design-arithmetic", "straight line between rows"))
def between_latitudes(
    extraterrestrial_below_kwh_m2: float, extraterrestrial_above_kwh_m2: float, latitude_deg: float, latitude_below_deg: float
) -> float:
    """Mean of a month between two rows of the table that lie one degree apart.

    Valid: rows of whole degrees. Neglects: curvature. Errs: either, under 0.007 kWh/m2.

    >>> between_latitudes(8.0, 7.0, 40.25, 40.0)
    7.75
    """
    return extraterrestrial_below_kwh_m2 + (extraterrestrial_above_kwh_m2 - extraterrestrial_below_kwh_m2) * (
        latitude_deg - latitude_below_deg
    )


@formula("insolation_kwh_m2", cite=cite("duffie-beckman", "equation 2.9.1"))
def insolation_from_clearness(clearness: float, extraterrestrial_kwh_m2: float) -> float:
    """Radiation of a mean day on the horizontal at the ground.

    Valid: monthly means. Neglects: nothing. Errs: either, as the clearness does.

    >>> insolation_from_clearness(0.5, 9.0)
    4.5
    """
    return clearness * extraterrestrial_kwh_m2


@formula("insolation_kwh_m2", cite=cite("design-arithmetic", "definition of peak sun hours"))
def insolation_from_hours(peak_sun_hours: float) -> float:
    """Radiation a day: a peak sun hour is one hour at 1 kW/m2.

    Valid: any plane, which the result keeps. Neglects: nothing. Errs: exact.

    >>> insolation_from_hours(4.5)
    4.5
    """
    return peak_sun_hours


@formula("planned_insolation_kwh_m2", cite=cite("resource-study", "planning margin"))
def planned_insolation(insolation_kwh_m2: float, planning_margin: float) -> float:
    """Radiation a day that is planned on.

    Valid: monthly means. Neglects: the spread of days. Errs: low in a mean year.

    >>> planned_insolation(5.0, 0.9)
    4.5
    """
    return insolation_kwh_m2 * planning_margin
