"""Relations of conductors against printed examples; `trap` cases are wrong in their source and must differ from it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from electrical.conductors.asking import ask, place
from examples_loader import close, examples
from ohmstead.electrical.conductors.formulas import (
    ampacity_conditions,
    ampacity_terminals,
    area_for_drop,
    awg_diameter,
    circular_mils,
    conductor_temperature,
    column_needed,
    continuous_current,
    current_from_power,
    derated_needed,
    drop_by_circular_mils,
    drop_by_square_millimetres,
    drop_limit_volts,
    drop_share,
    loop_by_chassis,
    loop_resistance,
    resistance_at,
    resistance_needed,
    resistance_needed_by_chassis,
    ripple_current,
    ripple_factor,
    voltage_drop,
)
from ohmstead.units import convert


def over_total_length(given, tables):
    """The books count conductor out and back as one length; ours is one way."""
    run_m = convert(given["total_ft"], "ft", "m") / 2
    resistance = convert(given["resistance_ohm_per_kft"], "ohm/kft", "ohm/km")
    return {"drop_v": voltage_drop(given["current_a"], loop_resistance(resistance, run_m, 1.0))}


def one_way(given, tables):
    drop = voltage_drop(given["current_a"], loop_resistance(given["resistance_ohm_per_km"], given["run_m"], 1.0))
    return {"drop_v": drop, "drop_fraction": drop_share(drop, given.get("nominal_voltage_v", 1.0))}


def resistance_of_length(given, tables):
    length = convert(given["length_ft"], "ft", "m")
    return {
        "resistance_ohm": loop_resistance(
            convert(given["resistance_ohm_per_kft"], "ohm/kft", "ohm/km"), length / 2, 1.0
        )
    }


def row_for_drop(given, tables):
    """First of the source's own resistances that the allowed drop admits."""
    needed = resistance_needed(
        given["drop_limit_v"], given["current_a"], convert(given["total_ft"], "ft", "m") / 2, 1.0
    )
    listed = [convert(value, "ohm/kft", "ohm/km") for value in given["resistances_ohm_per_kft"]]
    return {"size": next(size for size, value in zip(given["sizes"], listed, strict=True) if value <= needed)}


def circuit_by_drop(given, tables):
    answer = ask(
        {
            "practice": given["practice"],
            "system": {
                "by": "direct",
                "circuit_class": "dc-feeder",
                "nominal": {"value": given["nominal_voltage_v"], "unit": "V"},
            },
            "load": {"by": "current", "current": {"value": given["current_a"], "unit": "A"}},
            "run": {"value": given["total_ft"] / 2, "unit": "ft"},
            "ambient": {"value": 30, "unit": "degC"},
            "device": False,
            "drop_limit": given["drop_limit_v"] / given["nominal_voltage_v"],
        }
    )
    return {"size": place(answer, "conductor.size.name"), "governed_by": place(answer, "choice.governed_by")}


def resistance_ratio(given, tables):
    alpha = tables["constants"].cell("copper_temperature_coefficient", "value")
    return {"ratio": resistance_at(1.0, alpha, given["to_c"]) / resistance_at(1.0, alpha, given["from_c"])}


def size_by_area(given, tables):
    limit = drop_limit_volts(given["drop_limit"], given["nominal_voltage_v"])
    needed = area_for_drop(given["drop_constant"], given["current_a"], given["total_ft"], limit)
    sizes = tables[given.get("sizes", "awg_conductors")]
    return {"area_cmil": needed, "size": sizes.column("size")[sizes.first_at_least("area_cmil", needed)]}


def gauge_area(given, tables):
    return {"area_cmil": circular_mils(awg_diameter(given["gauge_number"]))}


def _corrected(table, given, tables):
    ambient, bundling = tables["nec_310_15_ambient"], tables["nec_310_15_bundling"]
    factor = ambient.column("f_90")[ambient.first_at_least("upper_c", given["ambient_c"])]
    adjustment = bundling.column("factor")[bundling.first_at_least("upper_count", given.get("loaded", 1.0))]
    value = tables[table].cell(given["size"], given.get("insulation", "a_90"))
    return {
        "table_a": value,
        "ambient_factor": factor,
        "bundling_factor": adjustment,
        "ampacity_a": ampacity_conditions(value, factor, adjustment, 1.0),
    }


def craft_corrected(given, tables):
    """105 °C boat cable: bundled by the number together, and hot as an engine space where it is one."""
    ambient, bundling = tables["craft_ambient"], tables["craft_bundling"]
    factor = ambient.column("f_105")[ambient.first_at_least("upper_c", 50.0 if given["engine_space"] else 30.0)]
    adjustment = bundling.column("factor")[bundling.first_at_least("upper_count", given["loaded"])]
    return {"ampacity_a": ampacity_conditions(tables["craft_ampacity"].cell(given["size"], "a_105"), factor, adjustment, 1.0)}


def metric_drop(given, tables):
    constant = tables["constants"].cell("small_craft_drop_constant", "value")
    return {"drop_v": drop_by_square_millimetres(constant, given["current_a"], given["total_m"] / 2, given["area_mm2"], 1.0)}


RELATIONS = {
    "craft_corrected": craft_corrected,
    "metric_drop": metric_drop,
    "conductor_heat": lambda given, tables: {
        "temperature_c": conductor_temperature(
            given["ambient_c"], given["insulation_c"], given["current_a"], given["ampacity_a"]
        )
    },
    "drop_over_total_length": over_total_length,
    "drop_one_way": one_way,
    "resistance_of_length": resistance_of_length,
    "row_for_drop": row_for_drop,
    "circuit_by_drop": circuit_by_drop,
    "resistance_ratio": resistance_ratio,
    "size_by_area": size_by_area,
    "gauge_area": gauge_area,
    "corrected": lambda given, tables: _corrected("nec_310_16", given, tables),
    "corrected_free_air": lambda given, tables: _corrected("nec_310_17", given, tables),
    "continuous": lambda given, tables: {
        "current_a": continuous_current(tables["constants"].cell("continuous_factor", "value"), given["current_a"])
    },
    "from_power": lambda given, tables: {
        "current_a": current_from_power(given["power_w"], given["efficiency"], given["lowest_voltage_v"])
    },
    "ripple": lambda given, tables: {
        "factor": ripple_factor(given["power_factor"]),
        "current_a": ripple_current(given["current_a"], ripple_factor(given["power_factor"])),
    },
}


@pytest.mark.parametrize("case", examples("conductors_drop", "conductors_area", "conductors_ampacity", "conductors_practices"))
def test_printed_example(case, shelf):
    found = RELATIONS[case["given"]["relation"]](case["given"], shelf.plain.tables)
    for name, expected in case["expect"].items():
        if isinstance(expected, str):
            assert found[name] == expected, name
        else:
            assert close(found[name], expected, case["tolerance"]), f"{name}: {found[name]!r}, expected {expected!r}"
    for name, wrong in case.get("printed", {}).items():
        assert found[name] != wrong if isinstance(wrong, str) else not close(found[name], wrong, 2e-3), (
            f"the misprint {wrong!r} came out"
        )


amounts, factors, sets = st.floats(0.1, 1000), st.floats(0.05, 1.29), st.sampled_from((1.0, 2.0, 3.0, 6.0))


@given(current=amounts, ambient=factors, bundling=factors, count=sets)
def test_what_is_asked_of_the_table_is_what_then_carries(current, ambient, bundling, count):
    """Asking and verifying are inverse to each other: the value asked for carries exactly the current."""
    asked = derated_needed(current, ambient, bundling, count)
    assert ampacity_conditions(asked, ambient, bundling, count) == pytest.approx(current, rel=1e-12)
    assert ampacity_terminals(column_needed(current, count), count) == pytest.approx(current, rel=1e-12)


@given(current=amounts, run=st.floats(0.1, 500), limit=st.floats(0.01, 20), count=sets)
def test_the_resistance_asked_for_drops_exactly_what_is_allowed(current, run, limit, count):
    asked = resistance_needed(limit, current, run, count)
    assert voltage_drop(current, loop_resistance(asked, run, count)) == pytest.approx(limit, rel=1e-12)


@given(current=amounts, run=st.floats(0.1, 500), metal=st.floats(0.0001, 0.1), spare=st.floats(0.01, 20), count=sets)
def test_behind_a_chassis_the_conductor_has_what_the_metal_leaves(current, run, metal, spare, count):
    """Out by so many conductors and back by the metal: what is asked for drops exactly what the metal leaves of the limit."""
    limit = spare + current * metal
    asked = resistance_needed_by_chassis(limit, current, run, count, metal)
    assert voltage_drop(current, loop_by_chassis(asked, run, count, metal)) == pytest.approx(limit, rel=1e-12)
    assert loop_by_chassis(asked, run, count, 0.0) == pytest.approx(loop_resistance(asked, run, count) / 2, rel=1e-12)


@given(current=amounts, run=st.floats(0.1, 500), area=st.floats(1, 1e6), count=sets)
def test_sets_in_parallel_share_the_conventional_drop(current, run, area, count):
    """So many conductors drop as much as one of so many times the area."""
    assert drop_by_circular_mils(10.75, current, run, area, count) == pytest.approx(
        drop_by_circular_mils(10.75, current, run, area * count, 1.0), rel=1e-12
    )
    assert drop_by_square_millimetres(0.0164, current, run, area, count) == pytest.approx(
        drop_by_square_millimetres(0.0164, current, run, area * count, 1.0), rel=1e-12
    )


def test_traps_are_among_them():
    """The misprints that the sources are known for are tested as such."""
    assert {param.id for param in examples("conductors_drop", "conductors_area") if "printed" in param.values[0]} == {
        "VD03",
        "VD06",
        "CM11",
    }
