"""Storage, sun, supplies and generic equipment against arithmetic and against each other."""

from itertools import pairwise
from math import exp

import pytest

from ohmstead.nomenclature import TERMS

CHEMISTRIES = ("flooded", "golf-cart", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion")

def cells(table, *names):
    """Rows of some columns."""
    return zip(*(table.columns[name] for name in names), strict=True)



@pytest.fixture(scope="module")
def chemistry(tables):
    table = tables["chemistry_values"]
    return lambda name, parameter: table.cell(f"{name}/{parameter}", "value")


@pytest.fixture(scope="module")
def default(tables):
    return lambda name: tables["defaults"].cell(name, "value")


def test_ids_are_made_of_chemistry_and_parameter(tables):
    table = tables["chemistry_values"]
    for row_id, name, parameter in cells(table, "id", "chemistry", "parameter"):
        assert row_id == f"{name}/{parameter}"
    assert set(table.columns["chemistry"]) == set(CHEMISTRIES)
    assert set(tables["short_circuit_bounds"].columns["chemistry"]) == set(CHEMISTRIES)


@pytest.mark.parametrize("name", CHEMISTRIES)
def test_cells_stand_in_the_order_that_physics_asks_for(chemistry, name):
    assert chemistry(name, "load_disconnect_cell") < chemistry(name, "cell_voltage")
    assert chemistry(name, "cell_voltage") < chemistry(name, "absorption_cell") <= chemistry(name, "highest_cell")
    assert chemistry(name, "cells_24") in (2 * chemistry(name, "cells_12"), 2 * chemistry(name, "cells_12") + 1)
    assert 0 < chemistry(name, "depth_of_discharge") <= chemistry(name, "depth_of_discharge_max") <= 1
    assert 0 < chemistry(name, "round_trip_efficiency") <= chemistry(name, "coulombic_efficiency") <= 1
    assert 1 <= chemistry(name, "peukert_exponent") < 1.4
    assert chemistry(name, "charge_temperature_min") < chemistry(name, "charge_temperature_max")
    assert chemistry(name, "charge_rate") <= chemistry(name, "charge_rate_max")
    assert chemistry(name, "discharge_rate") <= chemistry(name, "discharge_rate_max")


def test_twelve_volt_banks_charge_where_the_trade_expects(chemistry):
    """14.6 V is the top of lithium iron phosphate, 10.5 V the empty lead-acid block of the 20-hour rating."""
    assert 4 * chemistry("lfp", "highest_cell") == pytest.approx(14.6)
    assert 6 * chemistry("flooded", "end_cell") == pytest.approx(10.5)
    assert 13.2 <= 6 * chemistry("flooded", "float_cell") <= 13.5
    assert 6 * chemistry("flooded", "highest_cell") == pytest.approx(16.0, abs=0.05)


def test_only_lithium_of_the_cold_sensitive_kinds_is_locked_out_at_freezing(chemistry):
    assert chemistry("lfp", "charge_temperature_min") == chemistry("nmc", "charge_temperature_min") == 0
    assert chemistry("flooded", "charge_temperature_min") < 0


def test_capacity_rises_with_temperature_to_one_at_25_degrees(tables):
    points = {}
    for name, temperature, factor in cells(tables["capacity_by_temperature"], "chemistry", "temperature_c", "factor"):
        points.setdefault(name, []).append((temperature, factor))
    assert set(points) == set(CHEMISTRIES)
    for name, pairs in points.items():
        assert all(cold[0] < warm[0] and cold[1] <= warm[1] for cold, warm in pairwise(pairs)), name
        assert dict(pairs)[25] == 1


@pytest.mark.parametrize("temperature_c", [-10, 0, 10, 20])
def test_multipliers_are_the_inverse_of_the_capacity_of_flooded_cells(tables, temperature_c):
    """Two separate tables of the same thing; they agree within two percent."""
    known = list(cells(tables["lead_temperature_multipliers"], "temperature_c", "multiplier"))
    (t0, m0), (t1, m1) = next(pair for pair in pairwise(known) if pair[0][0] <= temperature_c <= pair[1][0])
    multiplier = m0 + (m1 - m0) * (temperature_c - t0) / (t1 - t0)
    capacity = tables["capacity_by_temperature"].cell(f"flooded/{temperature_c}", "factor")
    assert multiplier * capacity == pytest.approx(1, rel=0.02)


def test_multipliers_stand_at_the_printed_fahrenheit_temperatures(tables):
    printed = [14, 20, 30, 40, 50, 60, 70, 80]
    celsius = tables["lead_temperature_multipliers"].columns["temperature_c"]
    assert [temperature * 1.8 + 32 for temperature in celsius] == pytest.approx(printed)


def test_defaults_and_chemistries_do_not_contradict_each_other(chemistry, default):
    for lead in ("flooded", "golf-cart", "agm", "gel"):
        assert default("depth_of_discharge_lead") == chemistry(lead, "depth_of_discharge")
    assert default("depth_of_discharge_lfp") == chemistry("lfp", "depth_of_discharge")
    round_trip = default("charge_efficiency_lead") * default("discharge_efficiency_lead")
    assert round_trip == chemistry("flooded", "round_trip_efficiency")
    assert default("charge_efficiency_agm") == chemistry("agm", "round_trip_efficiency")
    both_ways = default("charge_efficiency_lfp") * default("discharge_efficiency_lfp")
    assert both_ways == pytest.approx(chemistry("lfp", "round_trip_efficiency"), rel=1e-3)
    assert default("highest_voltage_ratio") == pytest.approx(chemistry("lfp", "highest_cell") * 4 / 12)
    for voltage in (12, 24, 48):
        empty_v = chemistry("flooded", "end_cell") * chemistry("flooded", f"cells_{voltage}")
        assert default(f"cut_off_{voltage}") == pytest.approx(empty_v)


def test_shares_are_shares(tables):
    of_one = {"depth_of_discharge", "ageing_factor", "sharing_factor", "power_factor", "planning_margin", "drop_limit"}
    checked = 0
    for name, value, term in cells(tables["defaults"], "name", "value", "term"):
        derate = term.startswith("derate_") and TERMS[term].unit == "1"
        if derate or term in of_one or term.endswith(("_efficiency", "_share")):
            assert 0 < value <= 1, name
            checked += 1
    assert checked > 25


LEAD = ("flooded", "golf-cart", "agm", "gel")
PACK = 100 / 120
"""Part of the specific energy of a lithium cell that case and management leave."""


def test_unit_masses_follow_from_energy(tables, chemistry):
    """Lithium units complete with case at 100 Wh/kg, lead-acid blocks at the specific energy of their chemistry."""
    units = tables["battery_units"]
    for row in range(units.rows):
        cell = {name: column[row] for name, column in units.columns.items()}
        energy_wh = cell["unit_voltage_v"] * cell["unit_capacity_ah"]
        density = chemistry(cell["chemistry"], "specific_energy") * (1 if cell["chemistry"] in LEAD else PACK)
        assert cell["unit_mass_kg"] == pytest.approx(energy_wh / density, abs=0.06)
        assert cell["unit_current_a"] <= cell["unit_peak_current_a"]


def test_units_keep_to_the_rates_of_their_chemistry(tables, chemistry):
    """Lithium units discharge as their management permits, which may be less than the cells do."""
    units = tables["battery_units"]
    for row in range(units.rows):
        cell = {name: column[row] for name, column in units.columns.items()}
        kind, capacity_ah = cell["chemistry"], cell["unit_capacity_ah"]
        assert cell["charge_limit_a"] == pytest.approx(capacity_ah * chemistry(kind, "charge_rate"))
        for column, rate in (("unit_current_a", "discharge_rate"), ("unit_peak_current_a", "discharge_rate_max")):
            expected_a = capacity_ah * chemistry(kind, rate)
            if kind not in LEAD:
                assert cell[column] <= expected_a
            else:
                assert cell[column] == pytest.approx(expected_a)


def test_modules_are_consistent_with_themselves(tables):
    modules = tables["module_sizes"]
    for row in range(modules.rows):
        cell = {name: column[row] for name, column in modules.columns.items()}
        assert cell["max_power_v"] * cell["max_power_a"] == pytest.approx(cell["module_power_w"], rel=2e-3)
        assert cell["open_circuit_v"] > cell["max_power_v"]
        assert cell["short_circuit_a"] > cell["max_power_a"]
        # NEC 690.8 and 690.9(B): a series fuse has to carry 1.5625 times the short-circuit current.
        assert cell["module_fuse_limit_a"] >= 1.5625 * cell["short_circuit_a"]
        watts_per_m2 = cell["module_power_w"] / (cell["length_m"] * cell["width_m"])
        assert 150 < watts_per_m2 < 230
        assert 10 <= cell["mass_kg"] / (cell["length_m"] * cell["width_m"]) <= 12.1


def test_rises_of_cell_temperature_come_from_the_published_coefficients(default):
    """Sandia 2004: module over air G·exp(a) in still air, cell over module ΔT, at 1000 W/m²."""
    for name, a, over in (("open_rack", -3.56, 3), ("close", -2.98, 1), ("bonded", -2.81, 0)):
        assert default(f"mounting_rise_{name}") == pytest.approx(1000 * exp(a) + over, abs=0.06)


def test_mismatch_is_the_product_of_its_three_losses(default):
    assert default("derate_mismatch") == pytest.approx((1 - 0.02) * (1 - 0.01) * (1 - 0.015), abs=1e-3)


def test_voltage_coefficient_at_maximum_power_is_power_less_current(default):
    difference = default("power_coefficient_per_k") - default("current_coefficient_per_k")
    assert default("max_power_voltage_coefficient_per_k") == pytest.approx(difference)


def test_solar_constant_agrees_with_the_one_of_irrigation_engineers(tables):
    """FAO paper 56 uses 0.0820 MJ/m² a minute."""
    assert tables["constants"].cell("solar_constant", "value") == pytest.approx(0.0820e6 / 60, rel=1e-3)


def test_cold_factors_stand_for_four_tenths_of_a_percent_a_kelvin(tables):
    for edge, factor in cells(tables["nec_690_7"], "lower_c", "factor"):
        assert 0.0038 <= (factor - 1) / (25 - edge) <= 0.00401, edge


def test_clearness_lies_within_what_the_sky_allows(tables):
    table = tables["clearness_by_class"].columns
    for season in ("winter", "spring", "summer", "autumn"):
        assert all(0.3 < value < 0.65 for value in table[season])
    assert set(table["climate"]) == {"A", "BW", "BS", "Cs", "Cf", "Cw", "Ds", "Dw", "Df", "E"}


def test_shore_services_have_the_power_of_their_names(tables):
    services = tables["shore_services"]
    for name, expected in (("120V-15A", 1800), ("120V-20A", 2400), ("120V-30A", 3600), ("120-240V-50A", 12000)):
        breaker_a, voltage_v, legs = (services.cell(name, column) for column in ("breaker_a", "voltage_v", "legs"))
        assert breaker_a * voltage_v * legs == expected


def test_generator_derating_is_three_percent_a_thousand_feet(default):
    assert default("generator_derate_per_m") * 304.8 == pytest.approx(0.03)


def test_code_letter_bands_meet(tables):
    """NEC 430.7(B): each band begins 0.01 above the end of the one before; the last has no end."""
    table = tables["code_letters"].columns
    for end, start in zip(table["high"], table["low"][1:], strict=False):
        assert start - end == pytest.approx(0.01)
    assert table["letter"] == tuple("ABCDEFGHJKLMNPRSTUV")
    assert table["high"][-1] is None


def test_start_multiples_have_an_upper_end(tables):
    assert all(1 <= typical <= high for typical, high in cells(tables["start_multiples"], "typical", "high"))


def test_inverters_surge_at_the_documented_ratio(tables, default):
    for rating, apparent, surge in cells(tables["inverter_ratings"], "rating_w", "rating_va", "surge_va"):
        assert surge == default("surge_ratio") * rating
        assert apparent == rating


@pytest.mark.parametrize("name", ["inverter_ratings", "controller_ratings", "battery_units"])
def test_every_system_voltage_has_equipment(tables, name):
    offered = set(" ".join(tables[name].columns["system_voltages"]).split())
    assert offered == {"12", "24", "48"}
