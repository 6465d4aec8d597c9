"""Edges of bands and series, under every practice: what stands on an edge stays, and a hair beyond it does not."""

from __future__ import annotations

from typing import get_args

import pytest

from electrical.conductors.asking import ask
from ohmstead.electrical.protection.sizing import next_rating_up
from ohmstead.reference.case import Shelf
from ohmstead.wire.v1.circuit import PracticeName

SHELF = Shelf()
TABLES, SERIES = SHELF.plain.tables, SHELF.plain.series
LIBRARY_CASE = SHELF.case()
INSULATION = {"us-vehicle": (60, 75, 90), "us-dwelling": (60, 75, 90), "us-craft": (60, 75, 80, 90, 105, 125)}
INSULATION |= {"intl-craft": (60, 70, 90, 105, 125), "intl-vehicle": (70, 90), "intl-dwelling": (70, 90)}
AMBIENT = {
    "us-vehicle": "nec_310_15_ambient", "us-dwelling": "nec_310_15_ambient", "us-craft": "craft_ambient",
    "intl-craft": "iso_13297_ambient", "intl-vehicle": "iec_60364_5_52_ambient", "intl-dwelling": "iec_60364_5_52_ambient",
}
BUNDLING = {practice: table.replace("ambient", "bundling") for practice, table in AMBIENT.items()}
COLUMNS = [(practice, rating) for practice in get_args(PracticeName) for rating in INSULATION[practice]]
HOTTEST = {"degC": 90, "degF": 140}
HAIR = 0.05


def circuit(practice: str, **given):
    system = {"by": "direct", "circuit_class": "dc-feeder", "nominal": {"value": 24, "unit": "V"}}
    load, run = {"by": "current", "current": {"value": 5, "unit": "A"}}, {"value": 2, "unit": "m"}
    return ask({"practice": practice, "system": system, "load": load, "run": run} | given).circuit


def in_air(practice: str, rating: int, value: float, unit: str):
    return circuit(practice, insulation=f"{rating}C", ambient={"value": value, "unit": unit}).ambient_factor


@pytest.mark.parametrize(("practice", "rating"), COLUMNS)
def test_the_upper_edge_of_a_band_of_ambient_belongs_to_it(practice, rating):
    """In both units, 104 °F among them; beyond the last band that the column prints there is no ampacity at all."""
    table = TABLES[AMBIENT[practice]]
    factors = [*table.column(f"f_{rating}"), None]
    for position, upper in enumerate(table.column("upper_c")):
        for unit, value in (("degC", upper), ("degF", upper * 9 / 5 + 32)):
            # No hotter air is taken than that.
            if value + HAIR <= HOTTEST[unit]:
                assert in_air(practice, rating, value, unit) == factors[position]
                assert in_air(practice, rating, value + HAIR, unit) == factors[position + 1]


@pytest.mark.parametrize("practice", get_args(PracticeName))
@pytest.mark.parametrize("place", ["enclosed", "free-air"])
def test_the_last_of_a_bundle_belongs_to_its_row(practice, place):
    table = TABLES[BUNDLING[practice]]
    factors = [*table.column("factor"), None]
    for position, upper in enumerate(table.column("upper_count")):
        for count, at in ((upper, position), (upper + 1, position + 1)):
            if count <= 60:
                expected = 1.0 if place == "free-air" else factors[at]
                assert circuit(practice, place=place, loaded_conductors=int(count)).bundling_factor == expected


@pytest.mark.parametrize("family", sorted(SERIES))
def test_a_need_on_a_rating_is_met_by_it(family):
    """No rating rounds up to the next one, and none is a hair too small; above the last there is none."""
    ratings = SERIES[family]
    assert len(ratings) > 3
    for rating, above in zip(ratings, [*ratings[1:], None], strict=True):
        assert next_rating_up(family, rating, LIBRARY_CASE) == rating
        assert next_rating_up(family, rating * (1 + 1e-10), LIBRARY_CASE) == rating
        assert next_rating_up(family, rating * (1 + 1e-6), LIBRARY_CASE) == above


@pytest.mark.parametrize(("amperes", "rating"), [(95.0, 125.0), (100.0, 125.0), (100.001, 150.0), (80.0, 100.0), (80.001, 110.0)])
@pytest.mark.parametrize("practice", [name for name in get_args(PracticeName) if name.startswith("us")])
def test_a_continuous_load_on_an_edge(practice, amperes, rating):
    """95 A for three hours or more ask for 118.75 A and get 125 A; 100 A ask for exactly 125 A and get no more."""
    load, fault = {"by": "current", "current": {"value": amperes, "unit": "A"}}, {"by": "maker", "current": {"value": 8, "unit": "kA"}}
    found = circuit(practice, load=load, fault=fault, run={"value": 0.3, "unit": "m"})
    assert (found.outcome, found.device.family, found.device.rating.value) == ("sized", "class-t", rating)


@pytest.mark.parametrize("practice", get_args(PracticeName))
def test_a_voltage_on_a_mark_is_served_by_it(practice):
    """A fault of 1.8 kA: the terminal fuse that interrupts 2 kA at 58 V serves 58.0 V, and 58.1 V need another family."""
    fault, load = {"by": "maker", "current": {"value": 1.8, "unit": "kA"}}, {"by": "current", "current": {"value": 40, "unit": "A"}}

    def family(highest: float) -> str:
        system = {"by": "direct", "circuit_class": "dc-feeder", "nominal": {"value": 48, "unit": "V"}, "highest": {"value": highest, "unit": "V"}}
        return circuit(practice, load=load, fault=fault, system=system).device.family

    assert family(58.0) == "terminal-fuse"
    assert family(58.1) == "strip-51-70v"


@pytest.mark.parametrize("practice", get_args(PracticeName))
def test_a_fault_on_an_interrupting_rating_is_interrupted(practice):
    """2000 A at 58 V, sent in both units; one ampere more needs another family."""
    system = {"by": "direct", "circuit_class": "dc-feeder", "nominal": {"value": 48, "unit": "V"}, "highest": {"value": 58, "unit": "V"}}
    load = {"by": "current", "current": {"value": 40, "unit": "A"}}

    def family(value: float, unit: str) -> tuple[str, str]:
        device = circuit(practice, load=load, system=system, fault={"by": "maker", "current": {"value": value, "unit": unit}}).device
        return device.family, device.interrupting_verdict

    assert family(2000, "A") == family(2, "kA") == ("terminal-fuse", "sufficient")
    assert family(2001, "A") == family(2.001, "kA") == ("strip-51-70v", "sufficient")
