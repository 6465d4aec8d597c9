"""The array and its controllers against worked examples."""

from __future__ import annotations

import pytest

from examples_loader import close, examples
from ohmstead.electrical.array import energy_formulas, formulas
from ohmstead.electrical.array.model import ArrayRequest, GenericModule, ModuleType
from ohmstead.electrical.array.sizing import size_array
from ohmstead.electrical.conductors import formulas as conductor_formulas
from ohmstead.electrical.controller import formulas as controller_formulas
from ohmstead.electrical.controller.model import ControllerType, GenericController
from ohmstead.electrical.solar.model import PeakSunHours
from ohmstead.reference.case import Shelf

SHELF = Shelf()
MODULES = (formulas, energy_formulas, controller_formulas, conductor_formulas)
NO_LOSSES = {
    "planning_margin": 1.0, "derate_soiling": 1.0, "derate_wiring": 1.0, "derate_mismatch": 1.0, "derate_shading": 1.0, "derate_ageing": 1.0,
    "controller_efficiency": 1.0, "power_coefficient_per_k": 0.0,
}  # fmt: skip


def at(found, path: str):
    """The part of an answer at a path such as `groups.0.power_w`."""
    for name in path.split("."):
        found = found[int(name)] if name.isdigit() else getattr(found, name)
    return found


def request(given: dict) -> ArrayRequest:
    """The request of an example. One figure of load or sun stands for every month."""
    given = dict(given)
    plain = given.pop("plain", False)
    given.pop("rules", None)
    loads = tuple(given.pop("loads_wh", ())) or (given.pop("load_wh"),) * 12
    months = tuple(given.pop("months", ())) or (given.pop("hours"),) * 12
    other = given.pop("other_wh", None)
    module, controller = given.pop("module"), given.pop("controller", None)
    return ArrayRequest(
        load_wh=loads, sun=PeakSunHours(months), module=ModuleType(name="module", **module) if isinstance(module, dict) else GenericModule(module),
        controller=ControllerType(**controller) if controller else GenericController(), other_supplies_wh=None if other is None else (other,) * 12,
        charge_efficiency=1.0 if plain else None, **given,
    )  # fmt: skip


@pytest.mark.parametrize("example", examples("array_relations"))
def test_relation(example):
    given = example["given"]
    relation = next(getattr(module, given["relation"]) for module in MODULES if hasattr(module, given["relation"]))
    ((term, expected),) = example["expect"].items()
    assert relation.formula.yields.name == term
    found = relation(*given["operands"])
    assert close(found, expected, example["tolerance"]), found


@pytest.mark.parametrize("example", examples("array_sizing"))
def test_array(example):
    given = example["given"]
    rules = (NO_LOSSES if given.get("plain") else {}) | given.get("rules", {})
    case = SHELF.case(house_rules=rules)
    array = size_array(request(given), case)
    for path, expected in example["expect"].items():
        found = at(array, path)
        if isinstance(expected, (str, bool)):
            assert found == expected, path
        else:
            assert close(found, expected, example["tolerance"]), (path, found, expected)
    assert set(example.get("findings", ())) <= {finding.code for finding in case.findings}
