"""Whole circuits against sums worked by hand, plain and traced."""

from __future__ import annotations

import tomllib

import msgspec
import pytest

from electrical.conductors.asking import ask, floats, place, size
from examples_loader import FOLDER, close, examples
from ohmstead.wire.v1.circuit import CircuitRequest
from ohmstead.working import Derived, trace

FILES = ("circuit", "circuit_practices")
BASES = {
    name: base
    for file in FILES
    for name, base in tomllib.loads((FOLDER / f"{file}.toml").read_text("utf-8"))["base"].items()
}


def request_of(case: dict) -> dict:
    """The request of a case: its base with its own fields on top; `none` leaves a field of the base out."""
    fields = {**BASES[case["base"]], **case["given"]}
    return {name: value for name, value in fields.items() if value != "none"}


@pytest.mark.parametrize("traced", [False, True], ids=["plain", "traced"])
@pytest.mark.parametrize("case", examples(*FILES))
def test_circuit(case, traced):
    answer = ask(request_of(case), traced=traced)
    for path, expected in case["expect"].items():
        found = place(answer, path)
        if isinstance(expected, (str, bool)):
            assert found == expected, path
        else:
            assert close(found, expected, case["tolerance"]), f"{path}: {found!r}, expected {expected!r}"


@pytest.mark.parametrize("case", examples(*FILES))
def test_numbers_name_their_origin(case):
    """Every number that can have an origin has one, operands come before results, every source is listed."""
    answer = ask(request_of(case), traced=True)
    working = answer.working
    listed = {(source.id, source.clause, source.edition) for source in answer.citations}
    for number in working.numbers:
        assert (
            number.citation is None or (number.citation.id, number.citation.clause, number.citation.edition) in listed
        )
        assert number.how in ("given", "assumed", "table", "formula", "choice")
        assert all(operand < number.id for operand in number.operands)
    if answer.circuit.outcome == "sized":
        conductor = "/circuit/conductor"
        assert {
            f"{conductor}/ampacity/value",
            f"{conductor}/drop/value",
            f"{conductor}/load_voltage/value",
            f"{conductor}/area/value",
        } <= set(working.places)


@pytest.mark.parametrize("case", examples("circuit"))
def test_operands_are_what_the_formula_names(case):
    """Each operand stands in its own place: in the unit that the formula's symbol stands for."""
    answer = ask(request_of(case), traced=True)
    for number in trace.behind([number for _, number in floats(answer.circuit, "")]):
        if isinstance(number.origin, Derived):
            named = number.origin.formula.parameters
            units = [operand.term.unit for operand in number.origin.operands]
            assert units[: len(named)] == [term.unit for term in named], number.origin.formula


FINDINGS = [
    pytest.param("inverter", {}, "parallel-sets", id="parallel sets"),
    pytest.param("inverter", {"largest_conductor": "500"}, "beyond-listed-lugs", id="no lugs listed"),
    pytest.param("vehicle-feeder", {"place": "free-air"}, "free-air-basis", id="free air"),
    pytest.param("vehicle-branch", {"run": {"value": 6, "unit": "m"}}, "drop-governs", id="drop"),
    pytest.param(
        "vehicle-feeder",
        {"fault": {"by": "bank", "chemistry": "lfp", "unit_capacity": {"value": 100, "unit": "Ah"}}},
        "no-short-circuit-figure",
        id="bank",
    ),
    pytest.param("vehicle-feeder", {"fault": "none"}, "short-circuit-not-known", id="nothing known"),
    pytest.param("vehicle-branch", {}, "recalled-value-decides", id="18 AWG, recalled"),
    pytest.param(
        "vehicle-feeder",
        {"fault": {"by": "maker", "current": {"value": 25, "unit": "kA"}}},
        "interrupting-rating-short",
        id="short",
    ),
]


@pytest.mark.parametrize(("base", "given", "code"), FINDINGS)
def test_what_is_said_beside_the_size(base, given, code):
    answer = ask(request_of({"base": base, "given": given}))
    assert code in [finding.code for finding in answer.findings]
    assert answer.circuit.outcome == "sized"


POINTERS = {
    "free-air-basis": "/place",
    "beyond-listed-lugs": "/largest_conductor",
    "no-short-circuit-figure": "/fault",
    "short-circuit-not-known": "/fault",
    "interrupting-rating-short": "/fault",
}


@pytest.mark.parametrize(("base", "given", "code"), FINDINGS)
def test_a_finding_points_at_the_field_that_it_is_about(base, given, code):
    found = ask(request_of({"base": base, "given": given})).findings
    assert {finding.pointer for finding in found if finding.code == code} == {POINTERS.get(code, "")}


@pytest.mark.parametrize("code", [param.values[2] for param in FINDINGS])
def test_what_is_not_said_without_need(code):
    """A sound short feeder with a maker's figure leaves nothing to remark."""
    assert code not in [finding.code for finding in ask(BASES["vehicle-feeder"]).findings]


def test_a_proven_fault_beyond_every_device_is_unsafe():
    answer = ask({**BASES["vehicle-feeder"], "fault": {"by": "maker", "current": {"value": 25, "unit": "kA"}}})
    (finding,) = [finding for finding in answer.findings if finding.code == "interrupting-rating-short"]
    assert (finding.kind, finding.severity) == ("hazard", "unsafe")
    assert [check.name for check in answer.circuit.checks if not check.passed] == ["device-interrupts"]


def test_free_air_names_its_basis():
    answer = ask({**BASES["vehicle-feeder"], "place": "free-air"})
    (finding,) = [finding for finding in answer.findings if finding.code == "free-air-basis"]
    assert "310.17" in finding.message
    assert any("310.17" in citation.clause for citation in answer.citations)


def test_the_rules_are_named_and_analogy_is_said():
    vehicle, dwelling = ask(BASES["vehicle-feeder"]).circuit, ask(BASES["dwelling-feeder"]).circuit
    assert "RVIA" in vehicle.rules and vehicle.by_analogy
    assert "NEC" in dwelling.rules and not dwelling.by_analogy


def test_the_device_sits_within_eighteen_inches_in_a_vehicle():
    within = ask(BASES["vehicle-feeder"]).circuit.device.within
    assert within.value == pytest.approx(18 * 0.0254) and within.unit == "m"



def test_silence_is_said():
    """Whatever the request left open comes back as an assumption; what it gave does not."""
    silent = dict(BASES["vehicle-feeder"])
    del silent["ambient"]
    names = {assumption.name for assumption in ask(silent).assumptions}
    assert {
        "ambient_c",
        "insulation_temperature_c",
        "loaded_conductors",
        "drop_limit_direct",
        "terminal_temperature_small",
        "highest_voltage_ratio",
    } <= names
    told = {
        **BASES["vehicle-feeder"],
        "insulation": "90C",
        "terminals": "75C",
        "loaded_conductors": 2,
        "drop_limit": 0.03,
        "system": {
            "by": "direct",
            "circuit_class": "dc-feeder",
            "nominal": {"value": 12, "unit": "V"},
            "highest": {"value": 14.6, "unit": "V"},
        },
    }
    assert ask(told).assumptions == []


def test_only_a_recalled_value_that_decided_is_remarked():
    """10 AWG is published, the caps of vehicles and the table of free air are recalled."""

    def remarked(base, **given):
        answer = ask({**BASES[base], **given})
        return [finding.message for finding in answer.findings if finding.code == "recalled-value-decides"]

    def amperes(value):
        return {"by": "current", "current": {"value": value, "unit": "A"}}

    assert remarked("vehicle-feeder") == []
    assert remarked("dwelling-alternating") == []
    (cap,) = remarked("vehicle-branch", load=amperes(8))
    assert "small-conductor-cap" in cap and "14 in" in cap and "552.10" in cap
    hot = {"ambient": {"value": 60, "unit": "degC"}, "load": amperes(120), "continuous": False, "terminals": "75C"}
    assert remarked("vehicle-feeder", place="free-air", **hot) == []
    hot["ambient"] = {"value": 75, "unit": "degC"}
    (air,) = remarked("vehicle-feeder", place="free-air", **hot)
    assert "310.17" in air
    assert remarked("vehicle-feeder", **hot) == []


def test_the_choice_is_one_of_a_conductor():
    circuit = size(msgspec.convert(BASES["vehicle-feeder"], CircuitRequest))[0].circuit
    assert circuit.choice.what == "conductor"
    assert circuit.choice.checks == circuit.checks
