"""What is timed: requests of a travelling puppet theatre's truck, of any number of loads, and the demo requests."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any
from unittest import mock

from ohmstead.api.body import Reader
from ohmstead.api.calculation import Calculation, Options, carry_out
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.electrical.conductors.model import Circuit, Run
from ohmstead.electrical.conductors.sizing import size_circuit
from ohmstead.installation import devices
from ohmstead.reference.case import Case, Shelf
from ohmstead.wire.v1.circuit_answer import write_circuit

EXAMPLES = Path(__file__).resolve().parents[2] / "openapi" / "examples"
BY_NAME: dict[str, Calculation] = {calculation.name: calculation for calculation in CALCULATIONS}

PLAIN = Options()
WORKING = Options(working=True)

_EVENING, _ALL_DAY = {"by": "every-day", "hours_per_day": 3}, {"by": "every-day", "hours_per_day": 24}
_SUMMER = {"by": "by-season", "summer_hours": 8, "winter_hours": 0}
_STEADY = {"by": "none"}

# Name, kind of current, watts of one, hours of use and what else is known; in the order in which they are added.
_LOADS: tuple[tuple[str, str, float, dict[str, Any], dict[str, Any]], ...] = (
    ("footlights", "dc", 60, _EVENING, {"start": _STEADY, "count": 4}),
    ("mixing-desk", "ac", 120, _EVENING, {"power_factor": 0.95, "start": _STEADY}),
    ("gas-detector", "dc", 2, _ALL_DAY, {"critical": True, "start": _STEADY}),
    ("water-pump", "dc", 70, {"by": "every-day", "hours_per_day": 0.5}, {"nature": "motor", "start": {"by": "multiple", "multiple": 3}}),
    ("kettle", "ac", 900, {"by": "every-day", "hours_per_day": 0.4}, {"group": "kitchen", "nature": "resistive"}),
    ("refrigerator", "dc", 45, _ALL_DAY, {"duty": 0.35, "start": {"by": "kind", "kind": "electronic-drive"}}),
    ("sewing-machine", "ac", 100, _EVENING, {"nature": "motor", "start": {"by": "kind", "kind": "universal"}}),
    ("roof-fan", "dc", 30, _SUMMER, {"start": {"by": "kind", "kind": "brushed-direct-current"}}),
    ("projector", "ac", 250, _EVENING, {"nature": "electronic", "standby": {"power": {"value": 1, "unit": "W"}}}),
    ("curtain-winch", "dc", 180, {"by": "every-day", "hours_per_day": 0.1}, {"start": {"by": "multiple", "multiple": 3}}),
    ("cabin-lights", "dc", 18, _EVENING, {"nature": "electronic"}),
    ("laptops", "dc", 65, _EVENING, {"count": 2, "nature": "electronic"}),
    ("heater-blower", "dc", 35, {"by": "by-season", "summer_hours": 0, "winter_hours": 10}, {"nature": "motor"}),
    ("bubble-machine", "dc", 40, {"by": "every-day", "hours_per_day": 0.3}, {"group": "stage", "start": _STEADY}),
    ("radio-link", "dc", 10, _ALL_DAY, {"start": _STEADY}),
)


def loads(count: int) -> list[dict[str, Any]]:
    """So many loads. Beyond the first fifteen all become smaller, so that inverter and bank still fit."""
    scale = min(1.0, len(_LOADS) / count)
    listed = []
    for number in range(count):
        name, current, power_w, use, more = _LOADS[number % len(_LOADS)]
        turn = number // len(_LOADS)
        listed.append({
            "id": f"{name}-{turn + 1}" if turn else name, "current": current, "use": use,
            "draw": {"by": "power", "power": {"value": round(power_w * scale, 3), "unit": "W"}}, **more,
        })  # fmt: skip
    return listed


def brief(count: int) -> dict[str, Any]:
    """A whole plan's request with so many loads."""
    return {
        "dwelling": {"practice": "us-vehicle", "kind": "motor-home"},
        "system_voltage": 24,
        "site": {
            "sun": {"by": "peak-sun-hours", "hours": {"by": "all-year", "hours": 4}},
            "air_coldest": {"value": -8, "unit": "degC"}, "air_hottest": {"value": 38, "unit": "degC"},
            "bank_coldest": {"value": 3, "unit": "degC"}, "latitude": {"value": 41, "unit": "deg"},
        },
        "loads": loads(count),
        "bank": {"chemistry": "lfp", "autonomy_days": 1.5},
        "array": {"by": "planned", "module": {"by": "generic", "size": "200w"}, "controller": {"by": "generic"}, "space": {"by": "count", "count": 6}},
        "inverter": {"by": "chosen"},
        "supplies": [
            {"kind": "shore", "id": "fairground", "service": "120V-30A", "hours_per_day": 8, "days_per_week": 2},
            {"kind": "generator", "id": "meadow", "rated": {"by": "power", "power": {"value": 2.8, "unit": "kW"}}, "wiring": "120V", "hours_per_day": 1},
            {"kind": "alternator", "id": "engine", "rated": {"value": 150, "unit": "A"}, "starter_voltage": 24, "hours_per_day": 2},
        ],
        "runs": [{"circuit_class": "inverter-dc", "one_way": {"value": 1.2, "unit": "m"}}, {"circuit_class": "dc-branch", "one_way": {"value": 6, "unit": "m"}}],
    }  # fmt: skip


def demand(count: int) -> dict[str, Any]:
    """The loads alone."""
    return {"system_voltage": 24, "latitude": {"value": 41, "unit": "deg"}, "loads": loads(count)}


# Class, amperes, metres and whether the current lasts; in the order in which they are added.
_CIRCUITS: tuple[tuple[str, float, float, bool], ...] = (
    ("inverter-dc", 110, 1.2, True), ("dc-branch", 6, 7, True), ("dc-branch", 2.5, 4, True), ("dc-feeder", 45, 2.5, True),
    ("controller-output", 30, 2, True), ("dc-branch", 9, 9, False), ("dc-dc-input", 40, 5, True), ("always-live", 1, 3, True),
)


def circuits(count: int) -> dict[str, Any]:
    """So many circuits of the truck in one list, no two alike: each turn through the kinds is a little longer."""
    listed = []
    for number in range(count):
        circuit_class, current_a, run_m, continuous = _CIRCUITS[number % len(_CIRCUITS)]
        listed.append({
            "id": f"circuit-{number + 1}",
            "circuit": {
                "practice": "us-vehicle", "kind": "motor-home", "system": {"by": "direct", "circuit_class": circuit_class, "nominal": {"value": 24, "unit": "V"}},
                "load": {"by": "current", "current": {"value": current_a, "unit": "A"}}, "continuous": continuous,
                "run": {"value": round(run_m * (1 + number / 1000), 3), "unit": "m"}, "fault": {"by": "maker", "current": {"value": 2.4, "unit": "kA"}},
            },
        })  # fmt: skip
    return {"circuits": listed}


def example(name: str) -> dict[str, Any]:
    """A demo request."""
    return json.loads((EXAMPLES / f"{name}.json").read_text("utf-8"))


class Work:
    """A request to a calculation with everything that is made of it."""

    def __init__(self, calculation: str, body: dict[str, Any], shelf: Shelf, options: Options = PLAIN):
        self.calculation = BY_NAME[calculation]
        self.shelf = shelf
        self.options = options
        self.body = json.dumps(body, separators=(",", ":")).encode()
        self.read = Reader(self.calculation.request).read
        self.request = self.read(self.body)
        self.result, self.answer = self.carry_out()

    def carry_out(self) -> tuple[Any, Any]:
        """From the decoded request to the wire objects of the answer."""
        return carry_out(self.calculation, self.shelf, self.request, self.options)


class Circuits:
    """The circuits of a plan, to be sized and written again in one case, as the plan does it."""

    def __init__(self, plan: Work):
        self.shelf = plan.shelf
        self.runs: list[Run] = []

        def noting(run: Run, case: Case, **how: Any) -> Circuit:
            self.runs.append(run)
            return size_circuit(run, case, **how)

        with mock.patch.object(devices, "size_circuit", noting):
            plan.carry_out()

    def size(self) -> None:
        """Size and write them all."""
        case = self.shelf.case()
        for run in self.runs:
            _size(run, case)

    def size_alone(self) -> None:
        """Size and write them all, each in a case of its own, so that none finds anything that another one has settled."""
        for run in self.runs:
            _size(run, self.shelf.case())


def _size(run: Run, case: Case) -> None:
    write_circuit(size_circuit(run, case, neighbours=False), run.source, run.both_ways, case)
