"""The array on the wire: what the examples say, what is refused and why, and units that do not matter."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest

from ohmstead.api.body import Reader
from ohmstead.api.calculation import Options, carry_out
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.reference.case import Shelf
from ohmstead.units import convert
from ohmstead.wire.base import plain_float
from ohmstead.wire.problems import Problem
from ohmstead.wire.v1.array import ArrayRequest

SHELF = Shelf()
ARRAY = next(calculation for calculation in CALCULATIONS if calculation.name == "array")
EXAMPLES = Path(__file__).parents[3] / "openapi" / "examples"
READER = Reader(ArrayRequest)


def example(name: str) -> dict:
    return json.loads((EXAMPLES / f"{name}.json").read_text("utf-8"))


def ask(body: dict, **options) -> dict:
    """The answer as a client sees it. Raises Problem."""
    _, answer = carry_out(ARRAY, SHELF, READER.read(json.dumps(body).encode()), Options(**options))
    return json.loads(msgspec.json.encode(answer, enc_hook=plain_float))


def refused(body: dict) -> dict[str, str]:
    """Code of every fault by its pointer."""
    with pytest.raises(Problem) as caught:
        ask(body)
    return {fault.pointer: fault.code for fault in caught.value.faults}


@pytest.mark.parametrize("name", ARRAY.examples)
def test_examples_are_answered_and_explained(name):
    plain, told = ask(example(name)), ask(example(name), working=True)
    assert plain["array"]["outcome"] == "sized" and plain["array"]["short_months"] == []
    working = told.pop("working")
    plain.pop("working")
    assert plain == told
    places = working["places"]
    assert "/array/power/value" in places and "/array/groups/0/strings/cold_voltage/value" in places
    assert {said["id"] for said in plain["citations"]} >= {"nec-690-7", "nec-690-8", "king-2004"}
    behind = {number["citation"]["id"] for number in working["numbers"] if "citation" in number}
    assert behind <= {said["id"] for said in plain["citations"]}
    assumed = {number["assumption"] for number in working["numbers"] if number["how"] == "assumed"}
    assert assumed <= {said["name"] for said in plain["assumptions"]}


def test_the_van_by_hand():
    """850 Wh a day on 1.8 peak sun hours less a tenth.

    Cell 25 + 0.65 x 51.8 = 58.67 °C; losses 0.95 x 0.97 x 0.955 x 0.97 x 0.95 x 0.875421 x 0.97 x 0.975 = 0.671409;
    850 / (1.62 x 0.671409) = 781.5 W: four of 200 W. At 5 °F, -15 °C, the table says 1.16: 4 x 21.96 x 1.16 = 101.9 V.
    """
    array = ask(example("array-climbers-van"))["array"]
    group = array["groups"][0]
    assert array["design_month"] == "december" and array["needed_power"]["value"] == pytest.approx(781.5, abs=0.05)
    assert (array["count"], group["strings"]["series"], group["strings"]["parallel"]) == (4, 4, 1)
    assert group["strings"]["cold_voltage"]["value"] == pytest.approx(101.894, abs=1e-3)


def test_the_trailer_keeps_its_sound_modules_apart():
    array = ask(example("array-horse-trailer"))["array"]
    assert [(said["position"], said["verdict"], said["kept"]) for said in array["owned"]] == [(0, "keep", 2), (1, "refuse", 0)]
    assert [group["id"] for group in array["groups"]] == ["array", "owned-0"]
    # -70 mV/K on 21.6 V: 2 x (21.6 + 0.070 x 43) = 49.22 V at -18 °C; the table's 1.18 gives more.
    strings = array["groups"][1]["strings"]
    assert strings["cold_by_coefficient"]["value"] == pytest.approx(49.22, abs=1e-9)
    assert strings["cold_voltage"] == strings["cold_by_table"] and strings["cold_by_table"]["value"] == pytest.approx(50.976, abs=1e-9)


def in_other_units(part):
    """The same request with every quantity in another unit of its list."""
    other = {"Wh": "kWh", "kWh": "Wh", "degC": "degF", "degF": "degC", "kWh/m2": "MJ/m2", "cm": "mm", "m2": "ft2"}
    if isinstance(part, dict):
        if set(part) == {"value", "unit"} and part["unit"] in other:
            target = other[part["unit"]]
            return {"value": convert(float(part["value"]), part["unit"], target), "unit": target}
        return {name: in_other_units(value) for name, value in part.items()}
    return [in_other_units(item) for item in part] if isinstance(part, list) else part


@pytest.mark.parametrize("name", ARRAY.examples)
def test_the_same_request_in_other_units(name):
    one, two = ask(example(name))["array"], ask(in_other_units(example(name)))["array"]
    assert [group["strings"]["series"] for group in one["groups"]] == [group["strings"]["series"] for group in two["groups"]]
    assert one["count"] == two["count"] and one["needed_power"]["value"] == pytest.approx(two["needed_power"]["value"], rel=1e-12)


def test_a_band_edge_survives_another_unit():
    """-20 °C is the edge of a band of the table; -4 °F is the same."""
    body = example("array-climbers-van")
    cold = [
        ask({**body, "air_coldest": {"value": value, "unit": unit}})["array"]["groups"][0]["strings"]["cold_by_table"]["value"]
        for value, unit in ((-20, "degC"), (-4, "degF"))
    ]
    assert cold[0] == cold[1]


def test_a_months_total_is_refused_with_the_reason():
    months = {"january": {"value": 49, "unit": "kWh/m2"}, "february": {"value": 15, "unit": "kWh/m2"}}
    rest = dict.fromkeys(("march", "april", "may", "june", "july", "august", "september", "october", "november", "december"), {"value": 4, "unit": "kWh/m2"})
    body = {**example("array-climbers-van"), "sun": {"by": "monthly-insolation", "months": months | rest}}
    with pytest.raises(Problem) as caught:
        ask(body)
    assert [(fault.code, fault.pointer) for fault in caught.value.faults] == [
        ("wrong-unit", "/sun/months/january"), ("wrong-unit", "/sun/months/february"),
    ]  # fmt: skip
    assert "total of a month" in caught.value.faults[0].detail and caught.value.status == 422


def test_megajoules_are_taken_as_megajoules():
    body = example("array-climbers-van")
    hours = {name: value for name, value in body["sun"]["hours"].items() if name != "by"}
    as_mj = {name: {"value": value * 3.6, "unit": "MJ/m2"} for name, value in hours.items()}
    one, two = ask(body)["array"], ask({**body, "sun": {"by": "monthly-insolation", "months": as_mj}})["array"]
    assert one["count"] == two["count"] and one["needed_power"]["value"] == pytest.approx(two["needed_power"]["value"], rel=1e-12)


def test_contradictions_are_named_together():
    body = example("array-beekeepers-cabin")
    body["module"] |= {"max_power_voltage": {"value": 40, "unit": "V"}, "max_power_current": {"value": 14, "unit": "A"}}
    body |= {"air_hottest": {"value": -35, "unit": "degC"}, "charging_voltage": {"value": 14.4, "unit": "V"}}
    assert refused(body) == dict.fromkeys(
        ("/air_hottest", "/charging_voltage", "/module/max_power_voltage", "/module/max_power_current"), "contradiction")


@pytest.mark.parametrize(("change", "pointer", "code"), [
    ({"sun": {"by": "climate-class", "climate_class": "Cf", "latitude": {"value": 91, "unit": "deg"}}}, "/sun/latitude/value", "out-of-range"),
    ({"sun": {"by": "peak-sun-hours", "hours": {"by": "all-year", "hours": 15}}}, "/sun/hours/hours", "out-of-range"),
    ({"sun": {"by": "peak-sun-hours", "hours": [2] * 13}}, "/sun/hours", "wrong-type"),
    ({"loads": {"by": "all-year", "energy": 1350}}, "/loads/energy", "bare-number"),
    ({"system_voltage": 36}, "/system_voltage", "not-in-list"),
    ({"roof": 3}, "/roof", "unknown-field"),
])  # fmt: skip
def test_what_does_not_fit_the_schema(change, pointer, code):
    assert refused({**example("array-climbers-van"), **change})[pointer] == code


def test_the_pole_in_winter_is_an_answer():
    body = {**example("array-beekeepers-cabin"), "sun": {"by": "climate-class", "climate_class": "E", "latitude": {"value": -90, "unit": "deg"}}}
    answer = ask(body)
    dark = [month["month"] for month in answer["array"]["months"] if month["needed_power"] is None]
    assert dark == ["april", "may", "june", "july", "august"]
    assert answer["array"]["covers"] == 0.0 and {"no-sun", "sun-guessed"} <= {finding["code"] for finding in answer["findings"]}
