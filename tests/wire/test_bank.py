"""The bank on the wire: how a request is read, and the same request in other units and as a query string."""

from __future__ import annotations

import msgspec
import pytest

from ohmstead.api.calculation import Options, carry_out
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.api.reply import encode
from ohmstead.reference.case import Shelf
from ohmstead.wire import query
from ohmstead.wire.door import Door
from ohmstead.wire.problems import Problem
from ohmstead.wire.v1.bank import BankRequest, read
from ohmstead.working import Traced

SHELF = Shelf()
BANK = next(calculation for calculation in CALCULATIONS if calculation.name == "bank")
WHOLE = {
    "chemistry": "golf-cart", "system_voltage": 24, "day_energy": {"value": 1.8, "unit": "kWh"}, "autonomy_days": 1.5,
    "depth_of_discharge": 0.5, "temperature": {"value": 50, "unit": "degF"}, "coldest": {"value": -4, "unit": "degF"},
    "ageing_convention": "product", "ageing_factor": 0.8, "discharge_efficiency": 0.98, "discharge_current": {"value": 60, "unit": "A"},
    "peak_current": {"value": 200, "unit": "A"}, "charging_current": {"value": 50, "unit": "A"},
    "steady_load": {"current": {"value": 40, "unit": "A"}, "time": {"value": 90, "unit": "min"}},
    "unit": {
        "by": "stated", "voltage": {"value": 6, "unit": "V"}, "capacity": {"value": 225, "unit": "Ah"}, "rated_hours": 20,
        "mass": {"value": 62, "unit": "lb"}, "current": {"value": 75, "unit": "A"}, "peak_current": {"value": 250, "unit": "A"},
        "charging_current": {"value": 30, "unit": "A"}, "fault_current": {"value": 4, "unit": "kA"}, "cells": 3, "largest_series": 8,
        "largest_parallel": 3,
    },
    "owned": [{
        "chemistry": "golf-cart", "voltage": {"value": 6, "unit": "V"}, "capacity": {"value": 225, "unit": "Ah"}, "count": 4, "age_years": 0.5,
        "tested_capacity": {"value": 210, "unit": "Ah"}, "duty": "house",
    }],
    "payload": {"value": 400, "unit": "kg"}, "largest_series": 8, "largest_parallel": 3,
    "equipment": {"highest": {"value": 34, "unit": "V"}, "cut_off": {"value": 21, "unit": "V"}, "lead_resistance": {"value": 2, "unit": "mohm"}},
    "calendar_life": 8, "prices": {"unit": 180, "fitting": 90, "charging": 0.3}, "compartment": {"value": 20, "unit": "ft3"},
    "compare": ["lfp", "agm"],
}  # fmt: skip


def decode(request: dict) -> BankRequest:
    return msgspec.json.decode(msgspec.json.encode(request), type=BankRequest)


def answer(request: BankRequest, **options):
    return carry_out(BANK, SHELF, request, Options(**options))[1]


def test_everything_is_read_in_service_units():
    made = read(decode(WHOLE), Door())
    assert (made.nominal_voltage_v, made.day_energy_wh, made.bank_temperature_c, made.coldest_c) == (24.0, 1800.0, 10.0, -20.0)
    assert (made.average_current_a, made.discharge_hours, made.payload_kg) == (40.0, 1.5, 400.0)
    assert made.unit.fault_current_a == 4000.0 and made.unit.mass_kg == pytest.approx(28.1227) and made.unit.chemistry == "golf-cart"
    assert made.owned[0].tested_capacity_ah == 210.0 and made.owned[0].pointer == "/owned/0"
    assert (made.equipment_highest_v, made.cut_off_v, made.path_resistance_ohm) == (34.0, 21.0, 0.002)
    assert made.compartment_m3 == pytest.approx(0.5663369) and made.prices.fitting_price == 90.0 and made.compare == ("lfp", "agm")
    unset = [name for name in made.__struct_fields__ if getattr(made, name) in (None, ())]
    assert unset == [], "every field of the request reaches the calculation"
    assert [name for name in made.unit.__struct_fields__ if getattr(made.unit, name) is None] == []


def test_a_traced_door_says_where_each_number_stands():
    made = read(decode(WHOLE), Door(traced=True))
    for part, base in ((made, ""), (made.unit, "/unit"), (made.owned[0], "/owned/0"), (made.prices, "/prices")):
        for name in part.__struct_fields__:
            value = getattr(part, name)
            if isinstance(value, float):
                assert type(value) is Traced, name
                place = WHOLE
                for key in value.origin.pointer.split("/")[1:]:
                    place = place[int(key)] if isinstance(place, list) else place[key]
                assert value.origin.pointer.startswith(base)
                assert value == pytest.approx(place if isinstance(place, (int, float)) else float(value))


def test_the_smallest_request_is_answered():
    said = answer(decode({"chemistry": "agm", "system_voltage": 12, "day_energy": {"value": 600, "unit": "Wh"}}))
    assert said.bank.outcome == "sized" and said.bank.unit.generic
    assert {assumed.name for assumed in said.assumptions} >= {"autonomy_days", "depth_of_discharge_lead", "bank_temperature_c", "ageing_factor"}


def test_other_units_make_no_difference():
    other = {
        **WHOLE, "day_energy": {"value": 1800, "unit": "Wh"}, "temperature": {"value": 10, "unit": "degC"}, "coldest": {"value": -20, "unit": "degC"},
        "steady_load": {"current": {"value": 40, "unit": "A"}, "time": {"value": 1.5, "unit": "h"}},
        "unit": {**WHOLE["unit"], "fault_current": {"value": 4000, "unit": "A"}},
    }  # fmt: skip
    assert encode(answer(decode(other))) == encode(answer(decode(WHOLE)))


def test_a_query_string_is_the_same_request():
    flat = {
        "chemistry": "lfp", "system_voltage": "48", "day_energy": "6.5 kWh", "temperature": "41 degF", "unit.by": "stated",
        "unit.voltage": "51.2 V", "unit.capacity": "100 Ah", "steady_load.current": "20 A", "steady_load.time": "2 h", "largest_parallel": "8",
    }  # fmt: skip
    body = {
        "chemistry": "lfp", "system_voltage": 48, "day_energy": {"value": 6.5, "unit": "kWh"}, "temperature": {"value": 41, "unit": "degF"},
        "unit": {"by": "stated", "voltage": {"value": 51.2, "unit": "V"}, "capacity": {"value": 100, "unit": "Ah"}},
        "steady_load": {"current": {"value": 20, "unit": "A"}, "time": {"value": 2, "unit": "h"}}, "largest_parallel": 8,
    }  # fmt: skip
    asked = query.read(flat, BankRequest)
    assert asked == decode(body)
    assert answer(asked).bank.parallel == 4  # 6500 Wh x 2 d / (0.8 x 0.86 x 0.975) = 19380 Wh of 5120 Wh each


def test_every_temperature_beyond_the_physical_is_named():
    hot = {**WHOLE, "temperature": {"value": 130, "unit": "degC"}, "coldest": {"value": 100, "unit": "degC"}}
    with pytest.raises(Problem) as refused:
        answer(decode(hot))
    assert {fault.pointer for fault in refused.value.faults} == {"/temperature", "/coldest"} and refused.value.status == 422


@pytest.mark.parametrize("wrong", [
    {"system_voltage": 36}, {"chemistry": "nickel-cadmium"}, {"day_energy": 600}, {"depth_of_discharge": 80}, {"unit": {"by": "stated"}},
    {"owned": [{"chemistry": "agm"}]}, {"autonomy_days": None, "nights": 2}, {"largest_parallel": 0},
])  # fmt: skip
def test_what_does_not_fit_the_shape(wrong):
    with pytest.raises(msgspec.ValidationError):
        decode({**WHOLE, **wrong})


def test_what_cannot_be_had_is_an_answer():
    said = answer(decode({**WHOLE, "owned": [], "payload": {"value": 50, "unit": "kg"}})).bank
    assert (said.outcome, said.failed.name, said.failed.passed) == ("nothing-fits", "bank-mass", False) and said.why
