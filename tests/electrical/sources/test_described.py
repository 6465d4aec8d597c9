"""Supplies by request and answer: worked examples, what always holds, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest
from examples_loader import examples
from examples_runner import calculate, check_example
from hypothesis import given
from hypothesis import strategies as st

from ohmstead.api.calculations import CALCULATIONS
from ohmstead.reference.case import Shelf
from ohmstead.wire.collect import examine
from ohmstead.wire.problems import Problem

SHELF = Shelf()
SHAPE = next(item for item in CALCULATIONS if item.name == "supplies").request
FOLDER = Path(__file__).parents[3] / "openapi" / "examples"
BASE = {
    "practice": "us-vehicle", "chemistry": "lfp", "system_voltage": 12,
    "bank": {"by": "units", "voltage": {"value": 12.8, "unit": "V"}, "capacity": {"value": 200, "unit": "Ah"}, "charging_current": {"value": 100, "unit": "A"}},
    "loads": {"ac_energy": {"value": 1500, "unit": "Wh"}, "dc_energy": {"value": 500, "unit": "Wh"}, "together": {"by": "apparent-power"}},
    "supplies": [{"kind": "shore", "id": "site", "service": "120V-30A"}],
}  # fmt: skip
SERVICES = ("120V-15A", "120V-20A", "120V-30A", "120-240V-50A")
SIZES = ("16", "14", "12", "10", "8", "6", "2.5 mm2", "6 mm2")


def ask(**changes) -> dict:
    return calculate("supplies", BASE | changes, SHELF)


def only(answer: dict) -> dict:
    (supply,) = answer["supplies"]["supplies"]
    return supply


def codes(answer: dict) -> set[str]:
    return {finding["code"] for finding in answer["findings"]}


def shore(service: str = "120V-30A", **more) -> dict:
    return {"kind": "shore", "id": "site", "service": service} | more


@pytest.mark.parametrize("example", examples("supplies"))
def test_example(example):
    check_example(example | {"calculation": "supplies", "given": BASE | example["given"]}, SHELF)


def same(one, other) -> bool:
    """Whether two answers agree to the tolerance of the service."""
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(same(*pair) for pair in zip(one, other))
    return one == pytest.approx(other, rel=1e-9) if isinstance(one, float) else one == other


def energy(value: float) -> dict:
    return {"value": value, "unit": "Wh"}


def number(low: float, high: float):
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


@given(st.sampled_from(SERVICES), number(0, 40000), number(0, 40000), number(0, 5000))
def test_more_load_never_leaves_more_for_charging(service, one, other, direct):
    def charging(ac: float) -> dict:
        return only(ask(loads={"ac_energy": energy(ac), "dc_energy": energy(direct)}, supplies=[shore(service)]))["charging"]

    light, heavy = (charging(ac) for ac in sorted((one, other)))
    for field in ("current", "balance"):
        assert heavy[field]["value"] <= light[field]["value"] + 1e-9 * abs(light[field]["value"])
    if light["time"] is not None and heavy["time"] is not None:
        assert heavy["time"]["value"] >= light["time"]["value"] * (1 - 1e-9)


@given(st.sampled_from(SERVICES[:3]), number(0.01, 6000), number(0.01, 6000))
def test_more_ahead_of_the_inverter_never_leaves_it_a_higher_limit(service, one, other):
    def side(va: float) -> dict:
        together = {"by": "apparent-power", "shore_only": {"value": va, "unit": "VA"}}
        return only(ask(loads=BASE["loads"] | {"together": together}, supplies=[shore(service)]))["alternating"]

    light, heavy = (side(va) for va in sorted((one, other)))
    assert heavy["program"]["value"] <= light["program"]["value"] and heavy["limit"] == light["limit"]
    assert heavy["supplement"]["value"] >= light["supplement"]["value"]


@given(st.sampled_from(SERVICES), st.sampled_from(SIZES), number(0.5, 1000), number(0.5, 1000))
def test_a_longer_cord_never_leaves_a_higher_voltage(service, size, one, other):
    def cord(length: float) -> dict:
        return only(ask(supplies=[shore(service, cord={"size": size, "length": {"value": length, "unit": "ft"}})]))["cord"]

    short, long = (cord(length) for length in sorted((one, other)))
    assert long["drop"]["value"] >= short["drop"]["value"] and long["heat"]["value"] >= short["heat"]["value"]
    if long["voltage"] is not None:
        assert 0 < long["voltage"]["value"] <= short["voltage"]["value"] < 120


@given(st.sampled_from(SERVICES), st.sampled_from([1, 2]), st.one_of(st.none(), number(5, 100)))
def test_an_adapter_never_gives_more_than_the_service(service, legs, rated):
    adapter = {"inlet_legs": legs} | ({} if rated is None else {"rated": {"value": rated, "unit": "A"}})
    answer = ask(supplies=[shore(service, adapter=adapter)])
    plain, through = only(ask(supplies=[shore(service)]))["alternating"], only(answer)["alternating"]
    assert through["limit"]["value"] <= plain["limit"]["value"] and through["power"]["value"] <= plain["power"]["value"]
    assert through["legs"] == min(legs, plain["legs"]) and through["has_240"] == (through["legs"] == 2)
    if rated is not None:
        assert through["limit"]["value"] <= rated
        assert ("contacts-behind-larger-breaker" in codes(answer)) == (plain["breaker"]["value"] > rated)


@pytest.mark.parametrize("name", ["supplies-travelling-library", "supplies-climbers-van"])
def test_the_order_of_supplies_does_not_matter(name):
    request = json.loads((FOLDER / f"{name}.json").read_text("utf-8"))
    answer, turned = (calculate("supplies", request | {"supplies": asked}, SHELF) for asked in (request["supplies"], request["supplies"][::-1]))
    assert answer["supplies"]["supplies"] == turned["supplies"]["supplies"][::-1]
    assert answer["supplies"]["charge_total"] == turned["supplies"]["charge_total"]
    assert sorted(finding["message"] for finding in answer["findings"]) == sorted(finding["message"] for finding in turned["findings"])


def test_the_same_in_other_units():
    def one(length, power, energy, temperature):
        return ask(
            temperature=temperature,
            loads={"ac_energy": energy, "dc_energy": {"value": 0, "unit": "Wh"}, "together": {"by": "apparent-power", "running": power}},
            supplies=[shore(cord={"size": "10", "length": length})])

    metric = one({"value": 7.62, "unit": "m"}, {"value": 1900, "unit": "VA"}, {"value": 2500, "unit": "Wh"}, {"value": 10, "unit": "degC"})
    other = one({"value": 25, "unit": "ft"}, {"value": 1.9, "unit": "kVA"}, {"value": 2.5, "unit": "kWh"}, {"value": 50, "unit": "degF"})
    assert same(metric["supplies"], other["supplies"]) and metric["findings"] == other["findings"]


def test_contacts_behind_a_larger_breaker_leave_the_neutral_unguarded():
    """34 A of one leg behind a 50 A breaker through contacts of 30 A: nothing opens; behind 30 A the breaker does."""
    loads = BASE["loads"] | {"together": {"by": "legs", "leg_1": {"value": 34, "unit": "A"}}}
    adapter = {"inlet_legs": 1, "rated": {"value": 30, "unit": "A"}}
    assert "neutral-overloaded" in codes(ask(loads=loads, supplies=[shore("120-240V-50A", adapter=adapter)]))
    assert "neutral-overloaded" not in codes(ask(loads=loads, supplies=[shore("120V-30A", adapter=adapter)]))


def test_nothing_adds_to_a_supply_beside_a_charger_that_only_charges():
    loads = BASE["loads"] | {"together": {"by": "apparent-power", "running": {"value": 3, "unit": "kVA"}}}
    alone = only(ask(loads=loads, charger={"kind": "stand-alone"}))
    assert (alone["carried"], alone["supplement_time"]) == ("too-much", None)
    beside = only(ask(loads=loads))
    assert beside["carried"] == "with-the-bank" and beside["supplement_time"]["value"] > 0
    ahead = BASE["loads"] | {"together": {"by": "apparent-power", "shore_only": {"value": 3, "unit": "kVA"}}}
    assert only(ask(loads=ahead))["carried"] == "too-much"


def test_only_the_strongest_alternating_supply_counts_beside_the_others():
    answer = ask(
        bank=BASE["bank"] | {"capacity": {"value": 400, "unit": "Ah"}, "charging_current": {"value": 60, "unit": "A"}},
        supplies=[shore("120V-15A"), shore("120V-30A") | {"id": "b"}, {"kind": "alternator", "rated": {"value": 180, "unit": "A"}}],
        controllers=[{"value": 30, "unit": "A"}])
    a, b, engine = (supply["charging"]["setting"]["value"] for supply in answer["supplies"]["supplies"])
    total = answer["supplies"]["charge_total"]
    assert total["current"]["value"] == max(a, b) + engine + 30 and not total["check"]["passed"]
    assert "chargers-together" in codes(answer)


def test_a_balance_needs_hours():
    assert only(ask())["day_balance"] is None
    supply = only(ask(supplies=[shore(hours_per_day=24)]))
    assert supply["day_balance"]["value"] == pytest.approx(supply["energy"]["value"] - 2000)


def test_a_cord_that_cannot_carry_the_limit_has_no_voltage_at_its_end():
    supply = only(ask(supplies=[shore(cord={"size": "0.75 mm2", "length": {"value": 900, "unit": "m"}})]))
    assert supply["cord"]["voltage"] is None and supply["cord"]["drop_fraction"] > 1


def test_a_bank_too_cold_is_not_charged():
    answer = ask(temperature={"value": -10, "unit": "degC"})["supplies"]
    assert (answer["outcome"], answer["supplies"], answer["bank"]) == ("forbidden", [], None)
    assert answer["failed"]["passed"] is False and "-10" in answer["why"]


def test_units_that_make_no_bank_are_an_outcome():
    answer = ask(bank=BASE["bank"] | {"voltage": {"value": 9, "unit": "V"}})["supplies"]
    assert answer["outcome"] == "nothing-fits" and answer["why"] and answer["supplies"] == []


def test_a_supply_of_another_voltage_is_not_connected():
    answer = ask(supplies=[shore("230V-16A", cord={"size": "2.5 mm2", "length": {"value": 25, "unit": "m"}})])
    supply = only(answer)
    assert supply["outcome"] == answer["supplies"]["outcome"] == "nothing-fits"
    assert (supply["alternating"], supply["cord"], supply["arrangement"]) == (None, None, None)


def test_all_that_is_wrong_is_told_at_once():
    wrong = BASE | {
        "supplies": [{"kind": "shore"}, shore(cord={"length": {"value": 25, "unit": "ft"}}), shore(adapter={"inlet_legs": 3}), {"kind": "wind"}],
        "depth_of_discharge": 1.4,
    }  # fmt: skip
    with pytest.raises(Problem) as told:
        examine(msgspec.json.encode(wrong), SHAPE)
    assert {fault.pointer for fault in told.value.faults} == {
        "/supplies/0/service", "/supplies/1/cord/size", "/supplies/2/adapter/inlet_legs", "/supplies/3/kind", "/depth_of_discharge"}


def test_names_that_stand_twice_and_two_systems_of_sizes_are_told_at_once():
    mixed = {"size": "10", "neutral": "6 mm2", "length": {"value": 25, "unit": "ft"}}
    with pytest.raises(Problem) as told:
        ask(supplies=[shore(cord=mixed), shore()])
    assert {fault.pointer for fault in told.value.faults} == {"/supplies/0/cord/neutral", "/supplies/1/id"}
    assert told.value.status == 422


@pytest.mark.parametrize("chemistry", ["flooded", "golf-cart", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion"])
@pytest.mark.parametrize("practice", ["us-vehicle", "us-craft", "us-dwelling", "intl-vehicle", "intl-craft", "intl-dwelling"])
def test_every_practice_and_chemistry_is_answered(practice, chemistry):
    """Each names the check of charging where the bank is out of its temperatures, and a cord's limit where it is not."""
    service, size = ("120V-30A", "10") if practice.startswith("us") else ("230V-16A", "2.5 mm2")
    request = dict(
        practice=practice, chemistry=chemistry, system_voltage=24, bank={"by": "energy", "energy": {"value": 5, "unit": "kWh"}},
        supplies=[shore(service, cord={"size": size, "length": {"value": 25, "unit": "m"}})])
    answer = ask(**request)
    assert only(answer)["outcome"] == "sized" and only(answer)["carried"] == "all"
    volts = only(answer)["alternating"]["voltage"]["value"]
    assert only(answer)["cord"]["voltage"]["value"] == pytest.approx(volts - only(answer)["cord"]["drop"]["value"])
    hot = ask(**request, temperature={"value": 70, "unit": "degC"})["supplies"]
    assert (hot["outcome"], hot["failed"]["name"]) == ("forbidden", "charge-temperature-high")
