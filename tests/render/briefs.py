"""Briefs to render: the published examples, and many made up from their parts."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import msgspec
from hypothesis import strategies as st

from ohmstead.electrical.solar.model import MONTHS
from ohmstead.plan.model import Plan
from ohmstead.plan.size import size_plan
from ohmstead.reference.case import Shelf
from ohmstead.render.text import render_plan
from ohmstead.wire.door import Door
from ohmstead.wire.v1 import brief as wire_brief
from ohmstead.wire.v1 import plan as wire_plan

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
NAMES = sorted(path.stem for path in EXAMPLES.glob("plan-*.json"))
SHELF = Shelf()


class Rendered(NamedTuple):
    """A plan with the answer that goes with it and the text made of both."""

    plan: Plan
    answer: wire_plan.PlanAnswer
    text: str

    def section(self, title: str) -> list[str]:
        """Lines of the section whose heading begins with this title."""
        lines = self.text.splitlines()
        heads = [number for number, line in enumerate(lines) if number + 1 < len(lines) and set(lines[number + 1]) == {"-"}]
        start = next(number for number in heads if lines[number].startswith(title.upper()))
        end = next((number for number in heads if number > start), len(lines))
        return lines[start + 2 : end]

    def item(self, section: str, label: str) -> str:
        """The text beside a label, its lines joined."""
        lines = self.section(section)
        start = next(number for number, line in enumerate(lines) if line.strip().startswith(label + "  "))
        margin = len(lines[start]) - len(lines[start].lstrip()) + 18
        text = [lines[start].strip().removeprefix(label).strip()]
        for line in lines[start + 1 :]:
            if line[:margin].strip() or not line.strip():
                break
            text.append(line.strip())
        return " ".join(text)


def render(brief: dict[str, Any], *, traced: bool = False) -> Rendered:
    """Size a brief as the service does, and render the plan."""
    request = msgspec.convert(brief, wire_brief.Brief)
    door = Door(traced)
    case = SHELF.case(traced=traced, house_rules=wire_brief.house_rules(request, door))
    plan = size_plan(wire_brief.read(request, door), case)
    answer = wire_plan.write(plan, case)
    return Rendered(plan, answer, render_plan(plan, answer))


def example(name: str) -> dict[str, Any]:
    """A published brief."""
    return msgspec.json.decode((EXAMPLES / f"{name}.json").read_bytes())


def _amount(low: float, high: float, unit: str) -> st.SearchStrategy[dict[str, Any]]:
    return st.floats(low, high, allow_nan=False).map(lambda value: {"value": value, "unit": unit})


_months = st.fixed_dictionaries({month: st.floats(0.5, 8) for month in MONTHS})


@st.composite
def _loads(draw) -> list[dict[str, Any]]:
    ids = draw(st.lists(st.from_regex(r"[a-z][a-z0-9-]{0,39}", fullmatch=True), min_size=1, max_size=5, unique=True))
    loads = []
    for id in ids:
        current = draw(st.sampled_from(["ac", "dc"]))
        load = {
            "current": current, "id": id, "draw": {"by": "power", "power": draw(_amount(1, 1200, "W"))}, "count": draw(st.integers(1, 3)),
            "use": {"by": "every-day", "hours_per_day": draw(st.floats(0, 3))},
        }
        load["start"] = {"by": "none"}
        if draw(st.booleans()):
            load["start"] = {"by": "multiple", "multiple": draw(st.floats(1, 4))}
        if draw(st.booleans()):
            load["critical"] = True
        elif current == "ac" and draw(st.booleans()):
            load["shore_only"] = True
        loads.append(load)
    return loads


_SUPPLIES = (
    {"kind": "shore", "id": "site", "service": "120V-30A", "hours_per_day": 3},
    {"kind": "shore", "id": "a-site-with-a-name-as-long-as-is-allowed", "service": "120-240V-50A"},
    {"kind": "shore", "id": "pitch", "service": "230V-16A", "hours_per_day": 3},
    {"kind": "alternator", "id": "engine", "rated": {"value": 150, "unit": "A"}, "hours_per_day": 1},
    {"kind": "generator", "id": "generator", "rated": {"by": "power", "power": {"value": 3000, "unit": "W"}}, "hours_per_day": 2, "days_per_week": 3},
)


@st.composite
def briefs(draw) -> dict[str, Any]:
    """Briefs of every kind, those that nothing fits among them."""
    practice = draw(st.sampled_from(["us-vehicle", "us-dwelling", "us-craft", "intl-vehicle", "intl-dwelling", "intl-craft"]))
    cabin, boat = practice.endswith("dwelling"), practice.endswith("craft")
    chosen = draw(st.sets(st.integers(0, len(_SUPPLIES) - 1)))
    if cabin:
        chosen.discard(3)
    brief: dict[str, Any] = {
        "dwelling": {"practice": practice, "kind": "cabin"} if cabin
        else {"practice": practice, "kind": "boat", "hull": draw(st.sampled_from(["metal", "wood", "composite"])), "fuel": draw(st.sampled_from(["petrol", "diesel", "none"]))}
        if boat else {"practice": practice, "kind": draw(st.sampled_from(["van", "trailer"]))},
        "site": {
            "sun": {"by": "peak-sun-hours", "plane": "horizontal", "hours": {"by": "month", **draw(_months)}},
            "air_coldest": draw(_amount(-40, 10, "degC")), "air_hottest": draw(_amount(20, 50, "degC")),
        },
        "loads": draw(_loads()),
        "bank": {"chemistry": draw(st.sampled_from(["flooded", "agm", "lfp"])), "autonomy_days": draw(st.sampled_from([0.5, 1, 2]))},
        "supplies": [_SUPPLIES[number] for number in sorted(chosen)],
    }
    if draw(st.booleans()):
        brief["system_voltage"] = draw(st.sampled_from([12, 24, 48]))
    if draw(st.booleans()):
        brief["array"] = {"by": "planned", "module": {"by": "generic", "size": draw(st.sampled_from(["100w", "400w"]))}, "controller": {"by": "generic"}}
    if draw(st.booleans()):
        brief["inverter"] = {"by": "none"}
    if draw(st.booleans()):
        brief["runs"] = [{"circuit_class": draw(st.sampled_from(["inverter-dc", "dc-branch", "controller-input"])), "one_way": draw(_amount(1, 60, "ft"))}]
    return brief
