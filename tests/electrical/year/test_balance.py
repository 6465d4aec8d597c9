"""The balance of twelve months: worked examples, and what holds for every year."""

from __future__ import annotations

import math

import pytest
from examples_loader import close, examples
from hypothesis import given
from hypothesis import strategies as st

from ohmstead.electrical.year.model import SupplyEnergy
from ohmstead.electrical.year.sizing import monthly_balance
from ohmstead.nomenclature import TERMS
from ohmstead.reference.case import Shelf
from ohmstead.working import Given, Traced
from ohmstead.working.trace import behind

SHELF = Shelf()
ENERGY = st.floats(0, 1e6, allow_nan=False)
YEAR = st.lists(ENERGY, min_size=12, max_size=12)
SUPPLIES = st.lists(YEAR, max_size=3)


@pytest.mark.parametrize("example", examples("year"))
def test_year(example):
    facts, expect, tolerance = example["given"], example["expect"], example["tolerance"]
    case = SHELF.case()
    year = monthly_balance(
        facts["loads"], facts["sun"], [SupplyEnergy("generator", tuple(facts["generator"]))], case, facts["usable_energy_wh"])
    june, december = year.months[5], year.months[11]
    assert year.worst_month == expect["worst_month"]
    assert list(year.deficit_months) == expect["deficit_months"]
    assert close(december.balance_wh, expect["december_balance_wh"], tolerance)
    assert close(december.covered_fraction, expect["december_covered"], tolerance)
    assert close(june.balance_wh, expect["june_balance_wh"], tolerance)
    if "december_days" in expect:
        assert close(december.days_to_empty, expect["december_days"], tolerance)
    else:
        assert december.days_to_empty is None
    assert june.days_to_empty is None
    said = [finding.code for finding in case.findings]
    assert said == (["months-in-deficit"] if expect["deficit_months"] else [])


def test_the_finding_names_the_months():
    case = SHELF.case()
    loads = [1000.0] * 12
    sun = [500.0, *[2000.0] * 10, 900.0]
    monthly_balance(loads, sun, [], case)
    (finding,) = case.findings
    assert "January, December" in finding.message and "Worst is January: 500 Wh of 1000 Wh, 50 %" in finding.message


def test_a_deficit_too_small_to_count_in_days():
    year = monthly_balance([2e-309] * 12, [0.0] * 12, [], SHELF.case(), 1000.0)
    assert year.months[0].days_to_empty is None and year.months[0].month in year.deficit_months


def test_without_the_banks_energy_no_days_are_made_up():
    year = monthly_balance([1000.0] * 12, [500.0] * 12, [], SHELF.case())
    assert [month.days_to_empty for month in year.months] == [None] * 12
    assert year.supplies == () and not year.checks[0].passed


@given(YEAR, YEAR, SUPPLIES, st.floats(1, 1e6))
def test_every_year_adds_up(loads, sun, brought, usable):
    supplies = [SupplyEnergy(f"s{position}", tuple(energy)) for position, energy in enumerate(brought)]
    year = monthly_balance(loads, sun, supplies, SHELF.case(), usable)
    for position, month in enumerate(year.months):
        total = math.fsum([sun[position], *(energy[position] for energy in brought)])
        assert month.balance_wh == pytest.approx(total - loads[position], abs=1e-6)
        assert 0 <= month.covered_fraction <= 1
        assert month.covered_fraction >= year.months[year.worst_month - 1].covered_fraction
        lacking = month.month in year.deficit_months
        assert lacking == (loads[position] > 0 and month.balance_wh < -1e-9 * loads[position])
        if month.days_to_empty is None:
            assert not lacking or month.balance_wh > -1e-300
        else:
            assert lacking
        assert month.days_to_empty is None or (math.isfinite(month.days_to_empty) and month.days_to_empty > 0)


@given(YEAR, YEAR, SUPPLIES)
def test_another_supply_never_covers_less_and_order_is_irrelevant(loads, sun, brought):
    supplies = [SupplyEnergy(f"s{position}", tuple(energy)) for position, energy in enumerate(brought)]
    without = monthly_balance(loads, sun, [], SHELF.case())
    all_of_them = monthly_balance(loads, sun, supplies, SHELF.case())
    backwards = monthly_balance(loads, sun, supplies[::-1], SHELF.case())
    for bare, full, other in zip(without.months, all_of_them.months, backwards.months):
        assert full.covered_fraction >= bare.covered_fraction
        assert full.income_wh == pytest.approx(other.income_wh)


@given(YEAR, YEAR, SUPPLIES, st.floats(1, 1e6))
def test_traced_equals_plain(loads, sun, brought, usable):
    def told(values, term):
        return [Traced(value, TERMS[term], Given(f"/{term}/{position}")) for position, value in enumerate(values)]

    plain_case, traced_case = SHELF.case(), SHELF.case(traced=True)
    plain = monthly_balance(loads, sun, [SupplyEnergy("s", tuple(energy)) for energy in brought], plain_case, usable)
    traced = monthly_balance(
        told(loads, "month_energy_wh"), told(sun, "array_energy_wh"),
        [SupplyEnergy("s", tuple(told(energy, "supply_energy_wh"))) for energy in brought], traced_case,
        Traced(usable, TERMS["usable_energy_wh"], Given("/usable")))
    assert plain == traced
    assert plain_case.findings == traced_case.findings
    for month in traced.months:
        shown = [month.month_energy_wh, month.array_energy_wh, *month.supply_energy_wh, month.income_wh, month.balance_wh, month.covered_fraction]
        shown += [] if month.days_to_empty is None else [month.days_to_empty]
        assert all(type(value) is Traced for value in behind(shown))
