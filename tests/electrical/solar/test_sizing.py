"""Months of sun: the caller's figures, the guess by climate, seasons, the table behind it."""

from __future__ import annotations

import random
from math import fsum

import pytest

from ohmstead.electrical.solar.almanac import month_means
from ohmstead.electrical.solar.model import MONTHS, ClimateAtLatitude, MonthlyInsolation, PeakSunHours
from ohmstead.electrical.solar.sizing import local_season, monthly_extraterrestrial, sun_of_months
from ohmstead.reference.case import Shelf

SHELF = Shelf()
PLAIN = SHELF.plain.tables
GIVEN = (2.0, 3.0, 4.0, 5.0, 6.0, 6.5, 6.5, 6.0, 5.0, 4.0, 2.5, 1.8)
CLASSES = PLAIN["clearness_by_class"].columns["climate"]


def guess(climate: str, latitude: float, case=None):
    return sun_of_months(ClimateAtLatitude(climate, latitude), case or SHELF.case())


def test_every_cell_of_the_table_is_what_the_days_add_up_to():
    table = PLAIN["extraterrestrial"]
    assert table.rows == 181
    constant = PLAIN["constants"].cell("solar_constant", "value")
    for row in range(0, table.rows, 5):
        means = month_means(table.columns["latitude_deg"][row], constant)
        for month, mean in zip(MONTHS, means):
            assert table.columns[month][row] == pytest.approx(mean, abs=6e-7), (row, month)


def test_between_rows_the_straight_line_is_as_good_as_the_certificate_says():
    draw = random.Random(7)
    case, worst = SHELF.case(), 0.0
    for latitude in [*(draw.uniform(-90, 90) for _ in range(60)), *(row + 0.5 for row in range(-75, -60, 2)), *(row + 0.5 for row in range(60, 75, 2))]:
        means = month_means(latitude, 1367.0)
        worst = max(worst, *(abs(one - other) for one, other in zip(monthly_extraterrestrial(latitude, case), means)))
    assert 0.003 < worst <= 0.007


def test_the_callers_figures_are_kept_and_the_margin_is_said():
    case = SHELF.case()
    sun = sun_of_months(MonthlyInsolation(GIVEN), case)
    assert sun.insolation_kwh_m2 == GIVEN and not sun.guess and sun.basis is None and sun.error_month is None
    assert sun.planned_kwh_m2 == tuple(0.9 * month for month in GIVEN)
    assert [said.name for said in case.assumptions] == ["planning_margin"]


def test_peak_sun_hours_are_the_same_number():
    by_hours, by_energy = (sun_of_months(kind(GIVEN), SHELF.case()) for kind in (PeakSunHours, MonthlyInsolation))
    assert by_hours.insolation_kwh_m2 == by_energy.insolation_kwh_m2
    assert (by_hours.route, by_energy.route) == ("peak-sun-hours", "monthly-insolation")


def test_a_house_rule_sets_the_margin():
    case = SHELF.case(house_rules={"planning_margin": 1.0})
    assert sun_of_months(MonthlyInsolation(GIVEN), case).planned_kwh_m2 == GIVEN
    assert case.assumptions == []


@pytest.mark.parametrize("plane", ["horizontal", "array"])
def test_figures_that_no_month_reaches_are_doubted_on_the_horizontal_only(plane):
    case = SHELF.case()
    sun_of_months(MonthlyInsolation((*GIVEN[:5], 11.0, *GIVEN[6:]), plane), case)
    assert [said.code for said in case.findings] == (["sun-implausible"] if plane == "horizontal" else [])
    assert all("June" in said.message for said in case.findings)


def test_a_guess_by_hand():
    """Humid temperate at 45 degrees north: the table's row of the latitude times the clearness of the season."""
    case = SHELF.case()
    sun = guess("Cf", 45.0, case)
    # Clearness 0.42 in winter, 0.49 in summer; above the atmosphere a textbook prints 12.2 and 41.7 MJ/m2 (3.39 and 11.6 kWh/m2).
    assert sun.extraterrestrial_kwh_m2[0] == pytest.approx(3.39, abs=0.05) and sun.extraterrestrial_kwh_m2[5] == pytest.approx(11.6, abs=0.05)
    assert sun.insolation_kwh_m2[0] == 0.42 * sun.extraterrestrial_kwh_m2[0]
    assert sun.insolation_kwh_m2[5] == 0.49 * sun.extraterrestrial_kwh_m2[5]
    assert sun.guess and sun.route == "climate-class" and sun.basis == "computed"
    assert (sun.error_month, sun.error_worst_month, sun.error_year) == (0.17, 0.26, 0.1)
    assert [said.code for said in case.findings] == ["sun-guessed"] and "26 percent" in case.findings[0].message


@pytest.mark.parametrize("climate", CLASSES)
def test_seasons_are_local(climate):
    """South of the equator every month has the clearness that the month half a year away has north of it."""
    north, south = guess(climate, 38.0), guess(climate, -38.0)
    for month in range(12):
        assert south.clearness[month] == north.clearness[(month + 6) % 12]
    # January is the sunny side of the year in the south; the sun is also nearer then, which the north does not see in July.
    assert south.extraterrestrial_kwh_m2[0] > north.extraterrestrial_kwh_m2[6]


def test_the_equator_has_one_set_of_seasons():
    assert [local_season(month, 0.0) for month in (0, 3, 6, 9)] == ["winter", "spring", "summer", "autumn"]
    assert local_season(0, -0.0) == local_season(0, 0.0)


@pytest.mark.parametrize(("latitude", "dark", "bright"), [(90.0, (0, 1, 9, 10, 11), 5), (-90.0, (3, 4, 5, 6, 7), 11), (80.0, (0, 10, 11), 5)])
def test_the_polar_night_is_nought(latitude, dark, bright):
    sun = guess("E", latitude)
    assert all(sun.insolation_kwh_m2[month] == pytest.approx(0.0, abs=0.02) for month in dark)
    assert sun.insolation_kwh_m2[bright] == max(sun.insolation_kwh_m2) > 5
    assert min(sun.insolation_kwh_m2) >= 0.0


def test_no_guess_passes_what_any_month_is_known_to_reach():
    ceiling = PLAIN["constants"].cell("insolation_month_ceiling", "value")
    for climate in CLASSES:
        for latitude in range(-90, 91, 10):
            assert max(guess(climate, float(latitude)).insolation_kwh_m2) < ceiling


def test_the_year_of_a_guess_beside_known_places():
    """Means of the year at places with measured-weather files, in kWh/m2 a day (reference/solar/resource.md, flat).

    The printed error of the year is 10 percent (one sigma) with a bias of minus 6; two sigma about the bias are allowed.
    """
    for climate, latitude, measured in (
        ("Cf", -33.9, 4.53), ("Cs", 40.4, 4.78), ("Cf", 51.5, 3.00), ("BW", 33.4, 5.74), ("A", 25.8, 4.80), ("Df", 44.9, 3.83), ("Cs", 47.6, 3.40),
    ):
        year = fsum(guess(climate, latitude).insolation_kwh_m2) / 12
        assert 0.74 < year / measured < 1.14, (climate, latitude, year / measured)
