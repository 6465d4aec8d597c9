"""Two legs against every worked figure of the reference."""

from __future__ import annotations

import pytest
from electrical.legs.asking import ask, at
from examples_loader import close, examples
from examples_runner import check_example

from ohmstead.reference.case import Shelf


@pytest.mark.parametrize("example", examples("legs"))
def test_example(example):
    if "formula" in example:
        check_example(example, Shelf())
        return
    legs, codes = ask(example["given"])
    for path, expected in example["expect"].items():
        actual = at(legs, path)
        same = close(actual, expected, example["tolerance"]) if type(expected) is float else actual == expected
        assert same, f"{path} is {actual!r}"
    assert set(example.get("findings", ())) <= codes
    assert not set(example.get("without", ())) & codes
