"""Supplies against worked examples."""

from __future__ import annotations

import pytest
from examples_loader import close, examples

from ohmstead.electrical.sources import charging_formulas, formulas
from ohmstead.electrical.sources.model import (
    Alternator, BankFacts, ByApparentPower, ByPower, ChargerFacts, Generator, LegLoads, LoadFacts, Shore,
)
from ohmstead.electrical.sources.sizing import size_supplies
from ohmstead.reference.case import Shelf

BANK = dict(chemistry="lfp", bank_voltage_v=12.0, bank_capacity_ah=200.0, depth_of_discharge=0.8, absorption_v=14.2, charge_limit_a=100.0)
LOADS = dict(day_energy_wh=1200.0, dc_energy_wh=600.0, running_va=0.0, start_increment_va=0.0, shore_va=0.0)


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


@pytest.mark.parametrize("example", examples("sources_relations"))
def test_relation(example):
    given = dict(example["given"])
    name = given.pop("relation")
    relation = getattr(formulas, name, None) or getattr(charging_formulas, name)
    parameters = [term.name for term in relation.formula.parameters]
    assert sorted(parameters) == sorted(given)
    (term, expected), = example["expect"].items()
    assert relation.formula.yields.name == term
    assert close(relation(*(given[parameter] for parameter in parameters)), expected, example["tolerance"])


@pytest.mark.parametrize("example", examples("sources_supplies"))
def test_supply(example, shelf):
    given = example["given"]
    loads = dict(LOADS, **given.get("loads", {}))
    if "legs" in loads:
        loads["legs"] = LegLoads(**loads["legs"])
    loads["loads_240"] = tuple(loads.get("loads_240", ()))
    case = shelf.case()
    (supply,) = size_supplies(
        [_request(given["supply"])], BankFacts(**dict(BANK, **given.get("bank", {}))), LoadFacts(**loads), case,
        ChargerFacts(**given.get("charger", {})))
    assert supply.outcome == "sized"
    for path, expected in example["expect"].items():
        assert close(_at(supply, path), expected, example["tolerance"]), (path, _at(supply, path), expected)
    for path, wrong in example.get("never", {}).items():
        assert not close(_at(supply, path), wrong, 1e-2), path
    said = {finding.code for finding in case.findings}
    assert set(example.get("findings", ())) <= said, said


def _request(given: dict):
    given = dict(given)
    kind = given.pop("kind")
    if kind == "shore":
        return Shore("it", **given)
    if kind == "alternator":
        return Alternator("it", **given)
    watts = given.pop("generator_rating_w", None)
    rating = ByPower(watts) if watts is not None else ByApparentPower(given.pop("apparent_power_va"))
    return Generator("it", rating, **given)


def _at(supply, path: str) -> float:
    """A field of the answer, or a side of a check by the check's name."""
    first, _, rest = path.partition(".")
    for check in supply.checks:
        if check.rule.name == first:
            return getattr(check, rest)
    value = getattr(supply, first)
    return getattr(value, rest) if rest else value
