"""Device families, their series, and the bounds of what they must interrupt."""

import tomllib
from importlib.resources import files

import pytest

USES = {"main", "feeder", "branch", "photovoltaic", "alternating", "alternating-metric", "alternating-craft"}


def rows(table):
    return [{name: column[row] for name, column in table.columns.items()} for row in range(table.rows)]


@pytest.fixture(scope="module")
def families(tables):
    return rows(tables["device_families"])


def test_every_family_has_a_series_and_every_series_a_family(tables, families):
    assert {row["family"] for row in families} == set(tables["device_series"].columns["family"])


def test_series_rise_within_a_family(tables):
    made = {}
    for row in rows(tables["device_series"]):
        made.setdefault(row["family"], []).append(row["rating_a"])
    for family, ratings in made.items():
        assert ratings == sorted(set(ratings)), family
        assert len(ratings) >= 7, family


@pytest.mark.parametrize("family", ["breaker-ac", "moulded-case-dc"])
def test_breakers_of_the_code_come_in_standard_ratings(tables, family):
    """NEC 240.6(A), without the ratings that are for fuses only."""
    standard = tables["nec_240_6"].columns
    kinds = zip(standard["rating_a"], standard["applies_to"], strict=True)
    any_device = {rating for rating, kind in kinds if kind == "any"}
    series = {row["rating_a"] for row in rows(tables["device_series"]) if row["family"] == family}
    assert series <= any_device


def test_class_t_fuses_come_in_standard_ratings_of_fuses(tables):
    series = {row["rating_a"] for row in rows(tables["device_series"]) if row["family"] == "class-t"}
    assert series <= set(tables["nec_240_6"].columns["rating_a"])


def test_words_are_from_closed_lists(families):
    for row in families:
        assert set(row["use"].split()) <= USES, row
        assert row["current"] == ("alternating" if "alternating" in row["use"] else "direct"), row
        assert row["kind"] in ("fuse", "breaker")
        assert row["polarised"] in ("yes", "no")
        assert row["current_limiting"] in ("yes", "no")
        assert row["title"]
        assert row["mounting"]


def test_every_use_that_a_practice_draws_on_has_a_family():
    text = (files("ohmstead.reference") / "tables" / "practices.toml").read_text("utf-8")
    assert {source["device_use"] for source in tomllib.loads(text)["sources"].values() if "device_use" in source} == USES


@pytest.mark.parametrize("use", ["main", "feeder", "branch", "photovoltaic"])
@pytest.mark.parametrize("highest_v", [14.6, 29.2, 58.4])
def test_every_use_has_a_family_for_every_charging_voltage(families, use, highest_v):
    assert any(use in row["use"].split() and row["device_voltage_v"] >= highest_v for row in families)


def test_a_mark_at_14_volts_does_not_count_at_14_6_and_58_volts_not_at_58_4(families):
    terminal = [row for row in families if row["family"] == "terminal-fuse"]
    assert max(row["interrupting_a"] for row in terminal if row["device_voltage_v"] >= 14.6) == 5000
    assert not [row for row in terminal if row["device_voltage_v"] >= 58.4]


def test_interrupting_ratings_fall_as_the_voltage_rises_within_a_family(families):
    by_family = {}
    for row in families:
        by_family.setdefault((row["family"], row["use"]), []).append((row["device_voltage_v"], row["interrupting_a"]))
    for family, marks in by_family.items():
        voltages = [voltage for voltage, _ in marks]
        assert voltages == sorted(voltages), family
        assert [current for _, current in marks] == sorted((current for _, current in marks), reverse=True), family


def test_a_current_limiting_family_comes_first_where_the_bank_feeds(families):
    first = min((row for row in families if "main" in row["use"].split()), key=lambda row: row["preference_rank"])
    assert first["current_limiting"] == "yes"
    assert first["interrupting_a"] == max(row["interrupting_a"] for row in families)
    assert first["polarised"] == "no"


def test_bounds_lie_above_the_lowest_resistances_that_were_found(tables):
    """A 12 V flooded block of 100 Ah with 3.5 mΩ, an AGM block of 40 Ah with 8 mΩ and one of 100 Ah with 2.2 mΩ."""
    bounds = tables["short_circuit_bounds"]
    for chemistry, capacity_ah, resistance_ohm in (("flooded", 100, 0.0035), ("agm", 40, 0.008), ("agm", 100, 0.0022)):
        assert bounds.cell(chemistry, "short_circuit_per_ah") * capacity_ah > 12.9 / resistance_ohm


@pytest.mark.parametrize(("chemistry", "capacity_ah", "expected_a"), [
    ("lfp", 100, 9700), ("lfp", 200, 17000), ("lfp", 280, 21600), ("lfp", 314, 23400),
    ("nmc", 50, 9200), ("nmc", 100, 16600), ("lto", 40, 6400), ("lto", 100, 13500), ("sodium-ion", 200, 15800),
])
def test_lithium_bounds_give_the_currents_that_were_worked_with_them(tables, chemistry, capacity_ah, expected_a):
    bounds = tables["short_circuit_bounds"]
    cell_ohm = bounds.cell(chemistry, "cell_resistance_capacity_ohm_ah") / capacity_ah
    joint_ohm = bounds.cell(chemistry, "joint_resistance_ohm")
    current_a = bounds.cell(chemistry, "full_cell_voltage_v") / (cell_ohm + joint_ohm)
    assert current_a == pytest.approx(expected_a, rel=1e-2)  # worked to the nearest 100 A


def test_a_chemistry_has_one_kind_of_bound(tables):
    for row in rows(tables["short_circuit_bounds"]):
        names = ("full_cell_voltage_v", "cell_resistance_capacity_ohm_ah", "joint_resistance_ohm")
        known = {row[name] is not None for name in names}
        assert known == {row["short_circuit_per_ah"] is None}, row["chemistry"]
