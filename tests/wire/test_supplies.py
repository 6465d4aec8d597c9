"""Supplies on the wire: what a brief may say, how it is read, and what is answered."""

from __future__ import annotations

import msgspec
import pytest

from ohmstead.electrical.sources.model import BankFacts, LoadFacts
from ohmstead.electrical.sources.sizing import size_supplies
from ohmstead.electrical.year.model import SupplyEnergy
from ohmstead.electrical.year.sizing import monthly_balance
from ohmstead.reference.case import Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.problems import Problem
from ohmstead.wire.v1.balance import write_balance
from ohmstead.wire.v1.supplies import SupplyRequest, read_supplies, write_supply
from ohmstead.working import Traced

LIST = b"""[
  {"kind": "shore", "service": "120V-30A"},
  {"kind": "alternator", "rated": {"value": 150, "unit": "A"}, "hours_per_day": 1},
  {"kind": "generator", "id": "genset", "rated": {"by": "apparent-power", "apparent_power": {"value": 3.5, "unit": "kVA"}},
   "wiring": "120-240V", "altitude": {"value": 5000, "unit": "ft"}, "ambient": {"value": 95, "unit": "degF"}, "hours_per_day": 2, "days_per_week": 3},
  {"kind": "generator", "rated": {"by": "power", "power": {"value": 2, "unit": "kW"}}}
]"""
BANK, LOADS = BankFacts("lfp", 12.0, 200.0, 0.8, 14.2, 100.0), LoadFacts(1200.0, 600.0, 500.0, 0.0, 0.0)


def decode(text: bytes):
    return msgspec.json.decode(text, type=list[SupplyRequest])


def test_a_list_is_read_in_service_units():
    shore, alternator, genset, small = read_supplies(decode(LIST), Door())
    assert [supply.id for supply in (shore, alternator, genset, small)] == ["shore-1", "alternator-2", "genset", "generator-4"]
    assert shore.hours_per_day is None and alternator.hours_per_day == 1.0
    assert alternator.alternator_rating_a == 150.0 and alternator.starter_voltage_v == 12.0
    assert genset.rating.apparent_power_va == 3500.0 and genset.wiring == "120-240" and genset.days_per_week == 3.0
    assert genset.altitude_m == pytest.approx(1524.0) and genset.ambient_c == pytest.approx(35.0)
    assert small.rating.generator_rating_w == 2000.0


def test_a_traced_door_says_where_each_number_stands():
    _, alternator, genset, _ = read_supplies(decode(LIST), Door(traced=True), "/brief/supplies")
    assert type(alternator.alternator_rating_a) is Traced
    assert alternator.alternator_rating_a.origin.pointer == "/brief/supplies/1/rated"
    assert genset.rating.apparent_power_va.origin.pointer == "/brief/supplies/2/rated/apparent_power"


def test_two_supplies_of_one_name_are_refused_with_every_pointer():
    text = b'[{"kind":"shore","service":"120V-30A","id":"a"},{"kind":"shore","service":"120V-15A","id":"a"},{"kind":"shore","service":"120V-20A","id":"a"}]'
    with pytest.raises(Problem) as refused:
        read_supplies(decode(text), Door())
    assert [fault.pointer for fault in refused.value.faults] == ["/supplies/1/id", "/supplies/2/id"]
    assert refused.value.status == 422


@pytest.mark.parametrize("text", [
    b'[{"kind":"shore","service":"400V-16A"}]',
    b'[{"kind":"shore","service":"120V-30A","hours_per_day":25}]',
    b'[{"kind":"shore","service":"120V-30A","hours":2}]',
    b'[{"kind":"wind","rated":{"value":400,"unit":"W"}}]',
    b'[{"kind":"alternator","rated":150}]',
    b'[{"kind":"generator","rated":{"value":2,"unit":"kW"}}]',
])
def test_what_the_schema_refuses(text):
    with pytest.raises(msgspec.ValidationError):
        decode(text)


@pytest.mark.parametrize("traced", [False, True])
def test_every_supply_is_answered(traced):
    door = Door(traced)
    case = Shelf().case(traced=traced)

    def told(record):
        return type(record)(**{
            field: door.number(value, field, "", field) if isinstance(value, float) else value
            for field, value in zip(record.__struct_fields__, msgspec.structs.astuple(record))
        })

    supplies = size_supplies(read_supplies(decode(LIST), door), told(BANK), told(LOADS), case)
    answers = [write_supply(supply) for supply in supplies]
    text = msgspec.json.decode(msgspec.json.encode(answers, enc_hook=float))
    assert [answer["id"] for answer in text] == ["shore-1", "alternator-2", "genset", "generator-4"]
    shore, alternator = text[0], text[1]
    assert shore["alternating"]["limit"] == {"value": 24.0, "unit": "A"} and shore["alternator"] is None
    assert shore["energy"] == {"value": 0.0, "unit": "Wh"}
    assert alternator["alternating"] is None and alternator["charger"]["output"] == {"value": 40.0, "unit": "A"}
    assert alternator["charging"]["time"]["unit"] == "h"
    assert {check["name"] for check in shore["checks"]} >= {"loads-within-supply", "charger-within-supply"}


def test_a_year_is_answered():
    year = monthly_balance([1000.0] * 12, [900.0] * 12, [SupplyEnergy("shore-1", (50.0,) * 12)], Shelf().case(), 500.0)
    answer = write_balance(year)
    assert answer.worst_month == 1 and answer.deficit_months == list(range(1, 13))
    assert answer.months[3].supplies[0].id == "shore-1" and answer.months[3].balance.value == -50.0
    assert answer.months[3].days_to_empty == 10.0
