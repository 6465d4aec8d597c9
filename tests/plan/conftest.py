"""Plans made in process, from JSON to the answer's shape."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest

from ohmstead.plan.size import size_plan
from ohmstead.reference.case import Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.v1 import brief as wire

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"


@pytest.fixture(scope="session")
def shelf() -> Shelf:
    return Shelf()


@pytest.fixture(scope="session")
def planned(shelf):
    """From a brief as a dictionary to the plan and its case."""
    def plan(brief: dict):
        request = msgspec.convert(brief, wire.Brief)
        door = Door()
        case = shelf.case(house_rules=wire.house_rules(request, door))
        return size_plan(wire.read(request, door), case), case

    return plan


@pytest.fixture(scope="session")
def demo():
    """A demo brief by name, as a dictionary."""
    def load(name: str) -> dict:
        return json.loads((EXAMPLES / f"plan-{name}.json").read_text("utf-8"))

    return load
