"""The list of faults that change nothing speaks of lines that are there."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from architecture.source_tree import PACKAGE

LISTED = tomllib.loads((Path(__file__).parent / "equivalent.toml").read_text("utf-8"))["equivalent"]


@pytest.mark.parametrize("entry", LISTED, ids=lambda entry: f"{entry['module']}: {entry['now']}")
def test_what_is_explained_stands_in_the_code(entry):
    """Whoever changes such a line looks at its explanation again."""
    code = " ".join((PACKAGE / "electrical" / entry["module"]).read_text("utf-8").split())
    assert " ".join(entry["was"].split()) in code
    assert " ".join(entry["now"].split()) not in code
    assert len(entry["why"]) > 20


def test_nothing_is_explained_twice():
    keys = [(entry["module"], entry["was"], entry["now"]) for entry in LISTED]
    assert len(set(keys)) == len(keys)
