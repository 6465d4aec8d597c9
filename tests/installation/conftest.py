"""Sound installations: the demo briefs, planned, and variants with equipment that no demo has."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import msgspec
import pytest

from ohmstead.installation.verify import verify
from ohmstead.plan.size import size_plan
from ohmstead.reference.case import Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.v1 import brief as wire

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"


def brief_of(name: str) -> dict:
    """A demo brief, or a variant of one."""
    if name == "trailer-with-charger":
        return brief_of("horse-trailer") | {"charger": {"kind": "stand-alone"}}
    if name == "trailer-with-generator":
        brief = brief_of("horse-trailer")
        generator = {"kind": "generator", "id": "truck-bed-set", "rated": {"by": "power", "power": {"value": 3500, "unit": "W"}},
                     "hours_per_day": 1, "days_per_week": 2}
        return brief | {"supplies": [*brief["supplies"], generator]}
    if name == "trailer-with-two-generators":
        brief = brief_of("trailer-with-generator")
        shore, generator = brief["supplies"]
        return brief | {"supplies": [shore, generator | {"neutral": "bonded"}, generator | {"id": "small-set", "neutral": "floating"}]}
    if name == "van-with-fused-strings":
        # Two modules in series are the most that 60 V take at -12 °C, so six make three strings.
        controller = {"by": "stated", "input_limit": {"value": 60, "unit": "V"}, "output": {"value": 100, "unit": "A"}}
        array = {"by": "planned", "module": {"by": "generic", "size": "200w"}, "controller": controller, "space": {"by": "count", "count": 6}}
        return brief_of("climbers-van") | {"array": array}
    if name == "cabin-with-direct-loads":
        # A load of each kind: on a branch, heavy, behind a converter; chargers that stand alone, and one on an engine.
        def lamp(id: str, watts: float, **more) -> dict:
            return {"current": "dc", "id": id, "draw": {"by": "power", "power": {"value": watts, "unit": "W"}},
                    "use": {"by": "every-day", "hours_per_day": 1}, "start": {"by": "none"}} | more

        brief = brief_of("beekeepers-cabin")
        loads = [lamp("lamp", 60), lamp("winch", 1200), lamp("radio", 40, voltage={"value": 12, "unit": "V"})]
        engine = {"kind": "alternator", "id": "tractor", "rated": {"value": 120, "unit": "A"}, "hours_per_day": 1}
        return brief | {"system_voltage": 24, "loads": [*brief["loads"][3:], *loads], "bank": {"chemistry": "lfp"}, "charger": {"kind": "stand-alone"},
                        "supplies": [*brief["supplies"], engine]}
    return json.loads((EXAMPLES / f"plan-{name}.json").read_text("utf-8"))


@pytest.fixture(scope="session")
def shelf() -> Shelf:
    return Shelf()


@pytest.fixture(scope="session")
def sound(shelf):
    """A sound installation by the name of its brief."""
    @cache
    def draw(name: str):
        request = msgspec.convert(brief_of(name), wire.Brief)
        door = Door()
        plan = size_plan(wire.read(request, door), shelf.case(house_rules=wire.house_rules(request, door)))
        return plan.installation

    return draw


@pytest.fixture(scope="session")
def verified(shelf):
    """What verification says of an installation."""
    def say(installation):
        case = shelf.case()
        verify(installation, case)
        return case.findings

    return say
