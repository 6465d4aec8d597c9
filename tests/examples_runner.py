"""Run a worked example: a single relation by `formula`, or a whole request by `calculation`.

`given` holds operands by name for a relation (a list for one that takes any number), and the request as it stands
in JSON for a calculation, in which `expect` and `never` are JSON Pointers into the answer. A case with `never` is a
trap: the figure that was printed and is wrong.
"""

from __future__ import annotations

from importlib import import_module

import msgspec
from examples_loader import close

from ohmstead.api.calculation import Options, carry_out
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.api.reply import encode
from ohmstead.reference.case import Shelf


def check_example(example: dict, shelf: Shelf) -> None:
    """Assert what the example expects, and that it is not what it says can never be."""
    if "formula" in example:
        actual = relation(example["formula"], example["given"])
        assert close(actual, example["expect"]["value"], example["tolerance"]), actual
        if "never" in example:
            assert not close(actual, example["never"]["value"], example["tolerance"])
        return
    answer = calculate(example["calculation"], example["given"], shelf)
    for pointer, expected in example["expect"].items():
        actual = at(answer, pointer)
        if expected == "none":  # TOML has no null
            expected = None
        same = close(actual, expected, example["tolerance"]) if isinstance(expected, float) else actual == expected
        assert same, f"{pointer} is {actual!r}"
    for pointer, wrong in example.get("never", {}).items():
        assert not close(at(answer, pointer), wrong, example["tolerance"]), pointer
    said = {finding["code"] for finding in answer["findings"]}
    assert set(example.get("findings", ())) <= said, said
    assert not set(example.get("without", ())) & said, said


def relation(name: str, given: dict) -> float:
    """A formula with the operands of an example, in the order of its parameters."""
    module, _, function = name.partition(":")
    formula = getattr(import_module(f"ohmstead.{module}"), function)
    record = formula.formula
    names = [term.name for term in record.parameters]
    assert set(given) == {*names, *([record.variadic] if record.variadic else [])}, f"{name} takes {names} {record.variadic}"
    return formula(*[given[name] for name in names], *given.get(record.variadic, []))


def calculate(name: str, given: dict, shelf: Shelf) -> dict:
    """The answer to a request, as plain JSON."""
    calculation = next(calculation for calculation in CALCULATIONS if calculation.name == name)
    request = msgspec.convert(given, calculation.request)
    return msgspec.json.decode(encode(carry_out(calculation, shelf, request, Options())[1]))


def at(answer: dict, pointer: str):
    """What stands at a JSON Pointer."""
    for part in pointer.split("/")[1:]:
        answer = answer[int(part)] if isinstance(answer, list) else answer[part]
    return answer
