"""Conductor and device tables against physics and against each other, with the source of each relation named."""

from itertools import pairwise
from math import pi, sqrt

import pytest

RATINGS = ((60.0, "60"), (75.0, "75"), (90.0, "90"))

def cells(table, *names):
    """Rows of some columns."""
    return zip(*(table.columns[name] for name in names), strict=True)



def test_area_and_diameter_follow_the_astm_formula(tables):
    """ASTM B258: d = 0.127 mm × 92^((36 − n)/39); a circular mil is π/4 × (0.0254 mm)²."""
    awg = tables["awg_conductors"]
    for size, gauge, area, diameter in cells(awg, "size", "gauge_number", "area_mm2", "diameter_mm"):
        if gauge is None:
            expected = pi / 4 * 0.0254**2 * 1000 * float(size)
        else:
            expected = pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2
        assert area == pytest.approx(expected, rel=1e-3), size
        assert pi / 4 * diameter**2 == pytest.approx(area, rel=1e-3), size


def test_printed_circular_mils_agree_with_the_area(tables):
    """Table 8 rounds to three or four digits: 18 AWG prints 1620 for 1624."""
    for size, cmil, area in cells(tables["awg_conductors"], "size", "area_cmil", "area_mm2"):
        assert cmil * pi / 4 * 0.0254**2 == pytest.approx(area, rel=3e-3), size


def test_resistance_is_that_of_copper_with_the_lay_of_the_strands(tables):
    """IEC 60028 copper, 0.017241 Ω·mm²/m at 20 °C and 0.00393 per kelvin; strands are about two percent longer."""
    hot = 0.017241 * (1 + 0.00393 * 55) * 1000
    for size, resistance, area in cells(tables["awg_conductors"], "size", "resistance_75c", "area_mm2"):
        assert 1.015 < resistance * area / hot < 1.028, size


def test_resistance_is_the_printed_figure_of_three_digits(tables):
    for resistance in tables["awg_conductors"].columns["resistance_75c"]:
        per_kft = resistance * 0.3048
        assert per_kft == pytest.approx(float(f"{per_kft:.3g}"), rel=1e-12)


def test_drop_constant_is_resistance_times_area(tables):
    """NEC Chapter 9 Table 8: ohm per 1000 ft times circular mils over 1000 is about 12.9 for every size."""
    constant = tables["constants"].cell("nec_drop_constant", "value")
    for size, resistance, cmil in cells(tables["awg_conductors"], "size", "resistance_75c", "area_cmil"):
        assert resistance * 0.3048 * cmil / 1000 == pytest.approx(constant, rel=1e-2), size


def test_temperature_coefficient_is_copper_at_75_degrees(tables):
    """Copper's inferred zero lies at −234.5 °C (IEC 60028), so the coefficient at 75 °C is 1/309.5."""
    assert tables["constants"].cell("copper_temperature_coefficient", "value") == pytest.approx(1 / 309.5, rel=1e-3)


def test_every_ampacity_table_has_the_sizes_of_the_conductor_table(tables):
    sizes = tables["awg_conductors"].columns["size"]
    assert sizes[0] == "18"
    assert sizes[-1] == "500"
    assert tables["nec_310_16"].columns["size"] == tables["nec_310_17"].columns["size"] == sizes


@pytest.mark.parametrize("name", ["nec_310_16", "nec_310_17"])
def test_ampacity_rises_with_size_and_with_insulation(tables, name):
    columns = tables[name].columns
    for _, rating in RATINGS:
        assert all(thin < thick for thin, thick in pairwise(columns[f"a_{rating}"]))
    for cool, warm, hot in cells(tables[name], "a_60", "a_75", "a_90"):
        assert cool <= warm < hot


@pytest.mark.parametrize("name", ["nec_310_16", "nec_310_17"])
def test_ampacity_columns_stand_as_the_roots_of_their_temperature_rises(tables, name):
    """At 30 °C, I² R = (Tc − Ta)/R_th, so columns stand as √(Tc − 30); printed values are rounded to 5 A."""
    for cool, hot, expected in (("a_60", "a_75", sqrt(45 / 30)), ("a_75", "a_90", sqrt(60 / 45))):
        for size, low, high in cells(tables[name], "size", cool, hot):
            if size not in ("18", "16"):
                assert high / low == pytest.approx(expected, rel=0.12), (size, cool, hot)


def test_free_air_carries_more_than_raceway_except_where_the_device_cap_stands(tables):
    raceway, air = tables["nec_310_16"].columns, tables["nec_310_17"].columns
    for position, size in enumerate(raceway["size"]):
        for _, rating in RATINGS:
            ratio = air[f"a_{rating}"][position] / raceway[f"a_{rating}"][position]
            assert ratio == 1 if size in ("18", "16") and rating != "90" else 1.2 < ratio < 1.7, size


def test_thin_sizes_carry_the_device_caps_and_say_that_they_are_recalled(tables):
    table, caps = tables["nec_310_16"], tables["nec_240_4_caps"]
    for size in ("18", "16"):
        assert table.cell(size, "a_60") == table.cell(size, "a_75") == caps.cell(size, "cap_a")
        assert table.basis_of_row[table.row(size)] == "recalled"


def test_ambient_factors_follow_the_equation_to_the_printed_digit(tables):
    """NEC equation 310.15(B): √((Tc − Ta')/(Tc − 30)) at the upper edge of each band, printed to two places."""
    table = tables["nec_310_15_ambient"].columns
    for position, edge in enumerate(table["upper_c"]):
        for insulation, rating in RATINGS:
            factor = table[f"f_{rating}"][position]
            if edge >= insulation:
                assert factor is None
            else:
                expected = sqrt((insulation - edge) / (insulation - 30))
                assert factor == pytest.approx(expected, abs=0.0055), (edge, rating)
                assert factor == pytest.approx(expected, rel=0.0105), (edge, rating)


def test_caps_do_not_exceed_the_coolest_ampacity_and_the_low_voltage_caps_are_no_looser(tables):
    wiring, vehicle, ampacity = tables["nec_240_4_caps"], tables["nec_552_10_caps"], tables["nec_310_16"]
    assert wiring.columns["size"] == vehicle.columns["size"]
    for size in wiring.columns["size"]:
        assert vehicle.cell(size, "cap_a") <= wiring.cell(size, "cap_a") <= ampacity.cell(size, "a_60")


def test_standard_ratings(tables):
    table = tables["nec_240_6"]
    fuse_only = [rating for rating, kind in cells(table, "rating_a", "applies_to") if kind == "fuse"]
    assert fuse_only == [1, 3, 6, 601]
    assert set(table.columns["applies_to"]) == {"any", "fuse"}
    assert {10, 15, 20, 200, 400, 800, 6000} <= set(table.columns["rating_a"])
    # 118.75 A asks for 125 A; exactly 125 A does not round up.
    assert table.columns["rating_a"][table.first_at_least("rating_a", 118.75)] == 125
    assert table.columns["rating_a"][table.first_at_least("rating_a", 125.0)] == 125


def test_grounding_conductors_have_the_areas_of_the_conductor_table(tables):
    table, sizes = tables["nec_250_122"], tables["awg_conductors"]
    for size, area in cells(table, "size", "area_cmil"):
        assert area == sizes.cell(size, "area_cmil")
    # The device that protects 20 A and 60 A, as every inspector knows them.
    assert table.columns["size"][table.first_at_least("device_up_to_a", 20)] == "12"
    assert table.columns["size"][table.first_at_least("device_up_to_a", 60)] == "10"


def test_lugs_end_at_the_largest_listed_size(tables):
    lugs, sizes, constants = tables["lugs"], tables["awg_conductors"], tables["constants"]
    assert lugs.columns["size"][-1] == "4/0"
    assert lugs.columns["area_cmil"][-1] == constants.cell("largest_lug_area_cmil", "value")
    for size, area, usual, made in cells(lugs, "size", "area_cmil", "usual_studs", "made_studs"):
        assert area == sizes.cell(size, "area_cmil")
        assert set(usual.split()) <= set(made.split()), size


def test_metric_lugs_are_listed_for_every_size_and_the_usual_ones_are_made(tables):
    lugs, sizes = tables["lugs_mm2"], tables["mm2_conductors"]
    assert lugs.columns["size"] == sizes.columns["size"]
    for size, area, usual, made in cells(lugs, "size", "area_mm2", "usual_studs", "made_studs"):
        assert area == sizes.cell(size, "area_mm2")
        assert set(usual.split()) <= set(made.split()), size
        assert all(stud.startswith("M") for stud in made.split())
        assert (made == "") is (area < 1.5)


def test_the_default_largest_metric_conductor_is_the_last_with_a_lug_for_an_m8_stud(tables, shelf):
    lugs = tables["lugs_mm2"]
    for_m8 = [size for size, made in cells(lugs, "size", "made_studs") if "M8" in made.split()]
    for practice in shelf.plain.practices.values():
        for source in practice.sources.values():
            if source.size_system == "mm2":
                assert source.largest == for_m8[-1] == "120"
                assert source.largest_with_lug == "240"
            else:
                assert source.largest == source.largest_with_lug == "4/0"


def test_distances_and_bonds_are_the_inches_and_gauges_of_the_rule(tables):
    constants = tables["constants"]
    assert constants.cell("source_distance_vehicle", "value") == pytest.approx(18 * 0.0254)
    assert constants.cell("bundling_free_run", "value") == pytest.approx(24 * 0.0254)
    assert constants.cell("chassis_bond_minimum_cmil", "value") == tables["awg_conductors"].cell("8", "area_cmil")
