"""Circuits that cannot be: each is a problem with its place, or an outcome that says why nothing fits."""

from __future__ import annotations

from typing import get_args

import msgspec
import pytest

from electrical.conductors.asking import ask
from ohmstead.api.body import Reader
from ohmstead.wire.problems import Problem
from ohmstead.wire.v1.circuit import CircuitRequest, PracticeName

READER = Reader(CircuitRequest)
EVERY = pytest.mark.parametrize("practice", get_args(PracticeName))
POWER = {"by": "power", "power": {"value": 240, "unit": "W"}}


def volts(nominal: float, circuit_class: str = "dc-branch", by: str = "direct") -> dict:
    return {"by": by, "circuit_class": circuit_class, "nominal": {"value": nominal, "unit": "V"}}


def sound(practice: str, **given) -> dict:
    load, run = {"by": "current", "current": {"value": 10, "unit": "A"}}, {"value": 2, "unit": "m"}
    return {"practice": practice, "system": volts(24), "load": load, "run": run} | given


def refused(practice: str, **given) -> tuple[int, dict[str, str]]:
    """Status of the problem, and the code of each fault by its place."""
    with pytest.raises(Problem) as problem:
        ask(msgspec.to_builtins(READER.read(msgspec.json.encode(sound(practice, **given)))))
    return problem.value.status, {fault.pointer: fault.code for fault in problem.value.faults}


@EVERY
def test_the_request_that_all_others_spoil_is_sound(practice):
    assert ask(sound(practice)).circuit.outcome == "sized"


@EVERY
def test_power_with_no_voltage(practice):
    system = {"by": "direct", "circuit_class": "dc-branch"}
    assert refused(practice, load=POWER, system=system) == (400, {"/system/nominal": "missing-field"})
    assert refused(practice, load=POWER, system=volts(0)) == (400, {"/system/nominal/value": "out-of-range"})
    alternating = {"by": "alternating", "circuit_class": "ac-branch"}
    assert refused(practice, load=POWER, system=alternating) == (400, {"/system/nominal": "missing-field"})


@EVERY
@pytest.mark.parametrize("unit", ["m", "ft"])
def test_no_length(practice, unit):
    assert refused(practice, run={"value": 0, "unit": unit}) == (400, {"/run/value": "out-of-range"})


@EVERY
@pytest.mark.parametrize("count", [0, -3])
def test_no_conductor_together(practice, count):
    assert refused(practice, loaded_conductors=count) == (400, {"/loaded_conductors": "out-of-range"})


@EVERY
def test_a_size_that_no_practice_has(practice):
    assert refused(practice, largest_conductor="7") == (400, {"/largest_conductor": "not-in-list"})


@EVERY
def test_a_size_of_the_other_system(practice):
    other = "25" if practice.startswith("us") else "1/0"
    assert refused(practice, largest_conductor=other) == (422, {"/largest_conductor": "contradiction"})


@EVERY
def test_an_ambient_that_leaves_no_ampacity(practice):
    """Hotter than the insulation may become: an outcome that names both temperatures, without conductor and device."""
    insulation = "75C" if practice.startswith("us") else "70C"
    circuit = ask(sound(practice, insulation=insulation, ambient={"value": 90, "unit": "degC"})).circuit
    assert (circuit.outcome, circuit.conductor, circuit.device, circuit.ambient_factor) == ("nothing-fits", None, None, None)
    assert insulation[:-1] in circuit.why and "90 °C" in circuit.why and "no permitted ampacity" in circuit.why


@EVERY
@pytest.mark.parametrize("celsius", [10, 30])
def test_terminals_rated_above_the_insulation(practice, celsius):
    """The lower of the two counts, in the cold too, and it is said; terminals that are not above it are nothing to remark."""
    insulation, cooler, hotter = ("75C", "75C", "90C") if practice.startswith("us") else ("70C", "70C", "90C")
    load, air = {"by": "current", "current": {"value": 60, "unit": "A"}}, {"value": celsius, "unit": "degC"}
    given = sound(practice, system=volts(24, "dc-feeder"), insulation=insulation, load=load, run={"value": 0.3, "unit": "m"}, ambient=air)
    plain, above = ask(given | {"terminals": cooler}), ask(given | {"terminals": hotter})
    assert plain.circuit.outcome == "sized" and above.circuit == plain.circuit
    assert above.circuit.terminal_temperature.value == float(insulation[:-1])
    said = [[finding.pointer for finding in answer.findings if finding.code == "terminals-above-insulation"] for answer in (plain, above)]
    assert said == [[], ["/terminals"]]


@pytest.mark.parametrize(("practice", "nominal"), [("us-vehicle", 400), ("us-dwelling", 400), ("intl-vehicle", 400), ("intl-dwelling", 400)])
def test_no_family_is_made_for_the_voltage(practice, nominal):
    """The strongest direct-current families end at 125 V; what is missing is said with the voltage that was asked for."""
    circuit = ask(sound(practice, system=volts(nominal))).circuit
    assert (circuit.outcome, circuit.conductor, circuit.device) == ("nothing-fits", None, None)
    assert "overcurrent device" in circuit.why and "direct current" in circuit.why


@pytest.mark.parametrize(("practice", "limit"), [("us-craft", 60), ("intl-craft", 50)])
def test_no_rules_are_written_for_the_voltage(practice, limit):
    """Boats: the low-voltage documents end at a voltage, and the check that says so is named."""
    assert ask(sound(practice, system=volts(limit))).circuit.outcome == "sized"
    circuit = ask(sound(practice, system=volts(limit + 1))).circuit
    assert (circuit.outcome, circuit.conductor, circuit.failed.name) == ("nothing-fits", None, "within-scope")
    assert circuit.failed.limit.value == limit


def test_many_faults_are_said_in_one_go():
    status, faults = refused("us-van", run={"value": 0, "unit": "m"}, loaded_conductors=0, parallel_sets=0, terminals="105C")
    assert status == 400
    assert faults == {
        "/practice": "not-in-list", "/run/value": "out-of-range", "/loaded_conductors": "out-of-range", "/parallel_sets": "out-of-range",
        "/terminals": "not-in-list",
    }
