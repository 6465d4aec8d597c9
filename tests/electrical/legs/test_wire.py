"""Two legs by request and answer: what a client sends, and what it may build on."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest

from ohmstead.api.calculation import Options, carry_out
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.reference.case import Shelf
from ohmstead.wire.problems import Problem

LEGS = next(item for item in CALCULATIONS if item.name == "legs")
EXAMPLES = Path(__file__).parents[3] / "openapi" / "examples"
SHELF = Shelf()


def ask(body: dict, **changes):
    return carry_out(LEGS, SHELF, msgspec.convert(body | changes, LEGS.request), Options())[1]


@pytest.fixture
def adapter() -> dict:
    return json.loads((EXAMPLES / "legs-adapter.json").read_text("utf-8"))


@pytest.fixture
def library() -> dict:
    return json.loads((EXAMPLES / "legs-library.json").read_text("utf-8"))


def test_an_adapter_holds_both_legs_to_one_limit(adapter):
    """13 A and 12.5 A behind one 30 A breaker: 25.5 A on hot and neutral, 24 A without end; nothing between the legs."""
    answer = ask(adapter)
    legs = answer.legs
    assert (legs.hot.value, legs.neutral.value, legs.limit.value, legs.between_legs.value) == (25.5, 25.5, 24.0, 0.0)
    assert (legs.verdict, legs.line_to_line) == ("within", "dead")
    assert {"leg-over-limit", "line-to-line-dead"} <= {finding.code for finding in answer.findings}


def test_the_drop_of_a_cord_counts_the_neutral(adapter):
    """25 ft of 10 AWG, 1.24 ohm per 1000 ft: 13 A in the line and 25.5 A in the neutral drop 38.5 × 0.031 = 1.1935 V."""
    drop = ask(adapter).legs.drop
    assert drop.leg_1.value == pytest.approx(1.1935) and drop.worst_fraction == pytest.approx(1.1935 / 120)
    thin = ask(adapter, wires=adapter["wires"] | {"neutral": "12"}).legs.drop
    assert thin.leg_1.value == pytest.approx(25 * (13 * 0.00124 + 25.5 * 0.00198))  # 12 AWG: 1.98 ohm per 1000 ft


def test_a_shared_neutral_is_judged_in_every_mode(library):
    """12 A and 10 A: 2 A on true split phase, 22 A on one hot, 147 % of 15 A and 2.15 times the heat."""
    answer = ask(library)
    (pair,) = answer.legs.shared
    by_mode = {mode.mode: mode for mode in pair.modes}
    assert (by_mode["site"].neutral.value, by_mode["adapter"].neutral.value) == (2.0, 22.0)
    assert by_mode["adapter"].ratio == pytest.approx(22 / 15) and by_mode["adapter"].heat_ratio == pytest.approx((22 / 15) ** 2)
    assert (pair.verdict, pair.barred) == ("split", False)


def test_a_cabin_bars_shared_neutrals_behind_an_inverter_of_one_hot(library):
    """NEC 710.15(C), recalled; the vehicle's practice names no such clause."""
    sound = library["shared"][0] | {"ampacity": {"value": 40, "unit": "A"}}
    modes = [{"id": "inverter", "arrangement": "one-hot", "stand_alone": True}]
    cabin = ask(library, practice="us-dwelling", shared=[sound], modes=modes)
    assert (cabin.legs.shared[0].verdict, cabin.legs.shared[0].barred) == ("split", True)
    vehicle = ask(library, shared=[sound], modes=modes)
    assert (vehicle.legs.shared[0].verdict, vehicle.legs.shared[0].barred) == ("may-stay", False)


def test_names_that_stand_twice_and_cords_of_two_systems(library, adapter):
    with pytest.raises(Problem) as raised:
        ask(library, shared=library["shared"] * 2, modes=library["modes"] + library["modes"][:1])
    assert [fault.pointer for fault in raised.value.faults] == ["/shared/1/id", "/modes/3/id"]
    with pytest.raises(Problem) as raised:
        ask(adapter, wires=adapter["wires"] | {"neutral": "6 mm2"})
    assert [fault.pointer for fault in raised.value.faults] == ["/wires/neutral"]
