"""Which answers of a circuit rest on a choice of this service."""

from __future__ import annotations

import pytest

from ohmstead.electrical.conductors.model import Run
from ohmstead.electrical.conductors.own_choices import own_choices_used
from ohmstead.electrical.conductors.sizing import size_circuit
from ohmstead.reference.case import Shelf
from ohmstead.reference.practices import chosen_by_us

SHELF = Shelf()


def told(practice: str, circuit_class: str, current_a: float, **more) -> tuple[set[str], object]:
    """Names of our own choices behind a circuit of 3 m on 12 V, and the circuit."""
    case = SHELF.case()
    source = case.library.practices[practice].source(circuit_class)
    run = Run(source, current_a, 12.0, 12.0, 14.6, 3.0, **more)
    circuit = size_circuit(run, case)
    return {choice.name for choice in chosen_by_us(source, own_choices_used(circuit, run))}, circuit


@pytest.mark.parametrize(("practice", "circuit_class", "current", "more", "expected", "outcome", "sets"), [
    ("intl-dwelling", "dc-feeder", 20.0, {}, {"device-family"}, "sized", 1),
    ("intl-dwelling", "dc-feeder", 20.0, {"device": False}, set(), "sized", 1),
    ("intl-dwelling", "inverter-dc", 200.0, {}, {"device-family"}, "sized", 1),
    ("intl-dwelling", "inverter-dc", 250.0, {}, {"device-family", "largest-conductor", "parallel-from"}, "sized", 2),
    ("intl-dwelling", "inverter-dc", 250.0, {"largest_conductor": "240", "max_sets": 1}, {"device-family"}, "sized", 1),
    ("intl-dwelling", "inverter-dc", 250.0, {"max_sets": 1}, {"largest-conductor"}, "nothing-fits", None),
    ("intl-vehicle", "dc-branch", 2.0, {"drop_limit": 0.1}, {"device-family", "source-distance", "smallest-conductor"}, "sized", 1),
    ("intl-craft", "dc-branch", 2.0, {"drop_limit": 0.1}, {"device-family"}, "sized", 1),
    ("us-vehicle", "inverter-dc", 250.0, {}, set(), "sized", 2),
])
def test_what_was_used(practice, circuit_class, current, more, expected, outcome, sets):
    names, circuit = told(practice, circuit_class, current, **more)
    assert circuit.outcome == outcome
    assert (circuit.conductor.sets if circuit.conductor else None) == sets
    # A miss names the device that was tried; whether it counts is not what is asked here.
    assert names - ({"device-family"} if outcome == "nothing-fits" else set()) == expected
