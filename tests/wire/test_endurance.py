"""Run time and recharge on the wire: every field reaches the calculation, other units and a query string ask the same."""

from __future__ import annotations

import msgspec
import pytest

from ohmstead.api.calculation import Options, carry_out
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.api.reply import encode
from ohmstead.contract import flat
from ohmstead.reference.case import Shelf
from ohmstead.wire import query
from ohmstead.wire.collect import examine
from ohmstead.wire.door import Door
from ohmstead.wire.problems import Problem
from ohmstead.wire.v1 import recharge, runtime

SHELF = Shelf()
UNITS = {
    "by": "units", "voltage": {"value": 6, "unit": "V"}, "capacity": {"value": 225, "unit": "Ah"}, "parallel": 2, "rated_hours": 20, "cells": 3,
    "current": {"value": 75, "unit": "A"}, "charging_current": {"value": 30, "unit": "A"},
}  # fmt: skip
RUN = {
    "chemistry": "golf-cart", "system_voltage": 24, "bank": UNITS, "temperature": {"value": 50, "unit": "degF"}, "state_of_charge": 0.9,
    "depth_of_discharge": 0.5, "ageing_convention": "product", "ageing_factor": 0.8, "discharge_efficiency": 0.98, "wiring_efficiency": 0.96,
    "inverter": {"by": "rating", "rating": {"value": 2, "unit": "kW"}, "full_efficiency": 0.86, "idle": {"value": 20, "unit": "W"}, "always_on": False},
    "cut_off": {"value": 22, "unit": "V"}, "cable_resistance": {"value": 3, "unit": "mohm"}, "charging_power": {"value": 0.1, "unit": "kW"},
    "start_hour": 17,
    "load": {"id": "lamps", "current": "dc", "draw": {"by": "current", "current": {"value": 2, "unit": "A"}, "voltage": {"value": 12, "unit": "V"}},
             "count": 3, "duty": 0.5, "use": {"by": "clock", "start": 18.5, "hours": 4}},
    "loads": [{"id": "pump", "current": "ac", "draw": {"by": "power", "power": {"value": 600, "unit": "W"}}, "use": {"by": "hours", "hours_per_day": 1}}],
}  # fmt: skip
CHARGE = {
    "chemistry": "golf-cart", "system_voltage": 24, "bank": UNITS, "temperature": {"value": 50, "unit": "degF"}, "state_of_charge": 0.5,
    "target": 0.95, "dc_load": {"value": 40, "unit": "W"}, "ac_load": {"value": 0.3, "unit": "kW"}, "start_hour": 7,
    "inverter": {"by": "efficiency", "efficiency": 0.9, "idle": {"value": 20, "unit": "W"}},
    "supply": {"kind": "shore", "id": "yard", "current": {"value": 40, "unit": "A"}, "efficiency": 0.9, "power_factor": 0.9,
               "limit": {"current": {"value": 12, "unit": "A"}, "voltage": {"value": 120, "unit": "V"}}, "voltage": {"value": 29, "unit": "V"},
               "present": {"by": "clock", "start": 20, "hours": 10}},
    "supplies": [
        {"kind": "generator", "id": "set", "current": {"value": 30, "unit": "A"}, "power": {"value": 2, "unit": "kW"}, "fuel": {"value": 0.2, "unit": "gal/h"},
         "efficiency": 0.9, "power_factor": 0.9, "voltage": {"value": 29, "unit": "V"}},
        {"kind": "alternator", "id": "engine", "current": {"value": 20, "unit": "A"}, "rated": {"value": 150, "unit": "A"}, "starter_voltage": 24,
         "voltage": {"value": 29, "unit": "V"}},
        {"kind": "array", "id": "roof", "power": {"value": 0.4, "unit": "kW"}, "peak_sun_hours": 4, "share": 0.7, "voltage": {"value": 29, "unit": "V"}},
        {"kind": "steady", "id": "cell", "power": {"value": 50, "unit": "W"}, "voltage": {"value": 29, "unit": "V"}},
    ],
}  # fmt: skip


def calculation(name: str):
    return next(calculation for calculation in CALCULATIONS if calculation.name == name)


def decode(name: str, request: dict):
    return msgspec.json.decode(msgspec.json.encode(request), type=calculation(name).request)


def answer(name: str, request) -> dict:
    made = msgspec.json.decode(encode(carry_out(calculation(name), SHELF, request, Options())[1]))
    return made[name]


def unset(part, place: str = "") -> list[str]:
    """Fields that nothing reached."""
    found = []
    for name in part.__struct_fields__:
        value = getattr(part, name)
        if value is None or value == ():
            found.append(f"{place}{name}")
        elif isinstance(value, msgspec.Struct):
            found += unset(value, f"{place}{name}.")
        elif isinstance(value, tuple):
            for item in value:
                found += unset(item, f"{place}{name}.")
    return found


def test_every_field_of_a_run_is_read_in_service_units():
    made = runtime.read(decode("runtime", RUN), Door())
    assert unset(made) == []
    assert (made.bank.bank_temperature_c, made.charging_power_w, made.path_resistance_ohm) == (10.0, 100.0, 0.003)
    assert [(load.id, load.power_w, load.load_count, load.duty, load.pointer) for load in made.loads] == [
        ("lamps", 24.0, 3.0, 0.5, "/load"), ("pump", 600.0, 1.0, 1.0, "/loads/0")]
    assert (made.loads[0].use.from_h, made.loads[0].use.hours, made.loads[1].use.hours_per_day) == (18.5, 4.0, 1.0)
    assert (made.inverter.losses.inverter_rating_w, made.inverter.idle_w, made.inverter.always_on) == (2000.0, 20.0, False)


def test_every_field_of_a_charge_is_read_in_service_units():
    made = recharge.read(decode("recharge", CHARGE), Door())
    assert unset(made) == ["supplies.fuel_l_per_h"], "shore burns nothing"
    shore, generator, engine, roof, cell = made.supplies
    assert (shore.input_limit_w, shore.present.from_h, shore.generator, shore.pointer) == (1440.0, 20.0, False, "/supply")
    assert generator.generator and generator.input_limit_w == 2000.0 and generator.fuel_l_per_h == pytest.approx(0.757082, rel=1e-6)
    assert (engine.starter_voltage_v, engine.alternator_rating_a) == (24.0, 150.0)
    assert (roof.array_nameplate_w, roof.peak_sun_hours, roof.array_share, cell.charging_power_w) == (400.0, 4.0, 0.7, 50.0)
    assert {supply.charger_v for supply in made.supplies} == {29.0} and made.supplies[4].pointer == "/supplies/3"


@pytest.mark.parametrize(("name", "request_", "other"), [
    ("runtime", RUN, {"temperature": {"value": 10, "unit": "degC"}, "charging_power": {"value": 100, "unit": "W"}, "cable_resistance": {"value": 0.003, "unit": "ohm"}}),
    ("recharge", CHARGE, {"temperature": {"value": 10, "unit": "degC"}, "ac_load": {"value": 300, "unit": "W"}}),
])
def test_the_same_in_other_units(name, request_, other):
    assert answer(name, decode(name, request_ | other)) == answer(name, decode(name, request_))


@pytest.mark.parametrize(("name", "request_"), [("runtime", RUN), ("recharge", CHARGE)])
def test_the_same_as_a_query_string(name, request_):
    alone = {field: value for field, value in request_.items() if field not in ("loads", "supplies")}
    asked = query.read(flat(alone), calculation(name).request)
    assert answer(name, asked) == answer(name, decode(name, alone))


@pytest.mark.parametrize(("change", "places"), [
    ({"load": {"current": "dc", "draw": {"by": "power"}, "duty": 1.5}}, {"/load/draw/power", "/load/duty"}),
    ({"chemistry": "zinc", "bank": {"by": "units", "voltage": 12, "capacity": {"value": 100, "unit": "V"}}, "state_of_charge": -1},
     {"/chemistry", "/bank/voltage", "/bank/capacity/unit", "/state_of_charge"}),
])
def test_all_that_is_wrong_with_a_run_is_told_at_once(change, places):
    with pytest.raises(Problem) as told:
        examine(msgspec.json.encode(RUN | change), calculation("runtime").request)
    assert {fault.pointer for fault in told.value.faults} == places


def test_all_that_is_wrong_with_a_charge_is_told_at_once():
    wrong = CHARGE | {"state_of_charge": 1.2, "supply": {"kind": "shore", "limit": {"current": {"value": 12, "unit": "A"}}}}
    with pytest.raises(Problem) as told:
        examine(msgspec.json.encode(wrong), calculation("recharge").request)
    assert {fault.pointer for fault in told.value.faults} == {"/state_of_charge", "/supply/current", "/supply/limit/voltage"}
