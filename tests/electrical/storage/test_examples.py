"""The bank against worked examples."""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

import pytest
from examples_loader import close, examples

from ohmstead.electrical import loads
from ohmstead.electrical.storage import bank_formulas, formulas
from ohmstead.electrical.storage.model import BankRequest, OwnedUnits, Unit
from ohmstead.electrical.storage.sizing import size_bank
from ohmstead.reference.case import Shelf

# The printed banks start from the loads, so their relations are tried here too.
MODULES = (formulas, bank_formulas, *(import_module(f"{loads.__name__}.{module.name}") for module in iter_modules(loads.__path__)))


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


@pytest.mark.parametrize("example", examples("bank_relations"))
def test_relation(example):
    given = dict(example["given"])
    name = given.pop("relation")
    relation = next(getattr(module, name) for module in MODULES if hasattr(module, name))
    operands = given.pop("operands", None)
    if operands is None:
        parameters = [term.name for term in relation.formula.parameters]
        assert sorted(parameters) == sorted(given)
        operands = [given[parameter] for parameter in parameters]
    ((term, expected),) = example["expect"].items()
    assert relation.formula.yields.name == term
    found = relation(*operands)
    assert close(found, expected, example["tolerance"]), found
    if "never" in example:
        assert not close(found, example["never"], 1e-2)


@pytest.mark.parametrize("example", examples("bank_sizing"))
def test_bank(example, shelf):
    case = shelf.case()
    bank = size_bank(_request(example["given"]), case)
    for path, expected in example["expect"].items():
        found = bank
        for name in path.split("."):
            found = getattr(found, name)
        if isinstance(expected, (str, bool)):
            assert found == expected, path
        else:
            assert close(found, expected, example["tolerance"]), (path, found, expected)
    said = {finding.code for finding in case.findings}
    assert set(example.get("findings", ())) <= said, said
    assert not set(example.get("silent", ())) & said, said


def _request(given: dict) -> BankRequest:
    given = dict(given)
    if "unit" in given:
        given["unit"] = Unit("unit", given["chemistry"], **given["unit"])
    given["owned"] = tuple(OwnedUnits(**batch) for batch in given.get("owned", ()))
    return BankRequest(**given)
