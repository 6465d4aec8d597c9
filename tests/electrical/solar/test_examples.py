"""The sun against printed figures and against an independent library."""

from __future__ import annotations

from math import cos, degrees, fsum, pi, radians, sin

import numpy
import pandas
import pytest
from pvlib import irradiance, solarposition

from examples_loader import examples
from ohmstead.electrical.solar.formulas import (
    day_angle,
    declination,
    distance_factor,
    extraterrestrial,
    in_radians,
    sunset_hour_angle,
)
from ohmstead.electrical.solar.model import DAYS

MJ_PER_KWH = 3.6
YEAR = range(1, 366)


def cooper(day: int) -> float:
    """The book's declination in radians (equation 1.6.1a)."""
    return radians(23.45 * sin(radians(360 * (284 + day) / 365)))


def book_day(latitude_deg: float, day: int) -> float:
    """One day above the atmosphere in MJ/m2: the service's relation on the book's declination and distance."""
    latitude, tilt = in_radians(latitude_deg), cooper(day)
    distance = 1 + 0.033 * cos(2 * pi * day / 365)
    return MJ_PER_KWH * extraterrestrial(1367.0, distance, latitude, tilt, sunset_hour_angle(latitude, tilt))


def month_of(month: int) -> range:
    """Days of the year of a month; 1 is January."""
    first = 1 + sum(DAYS[: month - 1])
    return range(first, first + DAYS[month - 1])


@pytest.mark.parametrize("example", examples("solar_relations"))
def test_printed_figures(example):
    given = example["given"]
    if "declination_deg" in example["expect"]:
        found = [degrees(declination(day_angle(float(day)))) for day in given["days"]]
    elif "days" in given:
        found = [book_day(given["latitude_deg"], day) for day in given["days"]]
    else:
        found = [fsum(book_day(given["latitude_deg"], day) for day in month_of(month)) / DAYS[month - 1] for month in given["months"]]
    ((_, expected),) = example["expect"].items()
    assert len(found) == len(expected)
    assert [abs(one - other) <= example["tolerance"] for one, other in zip(found, expected)] == [True] * len(found), found


def test_declination_is_the_one_of_the_library():
    ours = [declination(day_angle(float(day))) for day in YEAR]
    theirs = solarposition.declination_spencer71(numpy.array(YEAR))
    assert numpy.allclose(ours, theirs, rtol=0, atol=1e-12)


def test_distance_is_the_one_of_the_library():
    ours = [distance_factor(day_angle(float(day))) for day in YEAR]
    theirs = irradiance.get_extra_radiation(numpy.array(YEAR), solar_constant=1.0, method="spencer")
    assert numpy.allclose(ours, theirs, rtol=0, atol=1e-9)


def test_declination_beside_the_full_algorithm():
    # A year is no whole number of days, so a series of the day's number alone cannot follow the sun exactly.
    noons = pandas.date_range("2019-01-01 12:00", periods=365, freq="D", tz="UTC")
    spa = solarposition.spa_python(noons, 0.0, 0.0)
    ours = numpy.array([degrees(declination(day_angle(float(day)))) for day in YEAR])
    # Seen from the equator at the sun's noon, the zenith is the declination.
    noon = solarposition.sun_rise_set_transit_spa(noons, 0.0, 0.0)["transit"]
    zenith = solarposition.spa_python(pandas.DatetimeIndex(noon), 0.0, 0.0)["zenith"].to_numpy()
    assert numpy.abs(numpy.abs(ours) - zenith).max() < 0.4
    assert len(spa) == 365


@pytest.mark.parametrize("latitude", [-75.0, -33.9, 0.0, 21.3, 47.6, 66.0, 80.0])
def test_a_day_is_the_sum_of_its_moments(latitude):
    """The closed form against adding up the sine of the sun's height through the day."""
    steps = numpy.arange(0.5, 1440) / 1440 * 2 * pi - pi
    for day in range(3, 366, 17):
        angle = day_angle(float(day))
        tilt, phi = declination(angle), radians(latitude)
        height = sin(phi) * sin(tilt) + cos(phi) * cos(tilt) * numpy.cos(steps)
        summed = 24 * 1.367 * distance_factor(angle) * numpy.clip(height, 0, None).mean()
        closed = extraterrestrial(1367.0, distance_factor(angle), phi, tilt, sunset_hour_angle(phi, tilt))
        assert closed == pytest.approx(summed, abs=2e-4)
