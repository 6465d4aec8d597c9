"""A list of circuits says of each what it would say of it alone; the order of lists does not matter."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import strategies as st

from electrical.conductors.asking import ask
from electrical.conductors.circuit_requests import requests, stretches
from generated import held, some
from ohmstead.reference.case import Shelf
from ohmstead.wire.base import plain_float
from ohmstead.wire.door import Door
from ohmstead.wire.problems import Problem
from ohmstead.wire.v1 import circuits
from ohmstead.wire.v1.circuits import CircuitsRequest, NamedCircuit

SHELF = Shelf()
FEEDER = {
    "practice": "us-dwelling",
    "system": {"by": "direct", "circuit_class": "dc-feeder", "nominal": {"value": 24, "unit": "V"}},
    "load": {"by": "current", "current": {"value": 20, "unit": "A"}},
    "run": {"value": 2, "unit": "m"},
}


def listed(parts: list, *, traced: bool = False) -> circuits.CircuitsAnswer:
    """The answer to circuits named by their places."""
    request = CircuitsRequest([NamedCircuit(f"c{place}", part) for place, part in enumerate(parts)])
    case = SHELF.case(traced=traced)
    return circuits.write(circuits.work(circuits.read(request, Door(traced)), case), case)


def bare(answer) -> object:
    """An answer as plain JSON."""
    return msgspec.json.decode(msgspec.json.encode(answer, enc_hook=plain_float))


def told(answer) -> set:
    return {(finding.code, finding.severity, finding.message, finding.pointer) for finding in answer.findings}


def each_as_alone(parts: list) -> None:
    # Twice the same, and the same in another order: what is remembered from one circuit must fit the next.
    parts = [*parts, parts[0]]
    together, turned, alone = listed(parts), listed(parts[::-1]), [ask(part) for part in parts]
    expected = [(bare(answer.circuit), bare(answer.chosen)) for answer in alone]
    assert [(bare(part.circuit), bare(part.chosen)) for part in together.circuits] == expected
    assert [(bare(part.circuit), bare(part.chosen)) for part in turned.circuits] == expected[::-1]
    places = [f"/circuits/{place}/circuit" for place in range(len(parts))]
    said = {(code, severity, message, base + pointer) for base, answer in zip(places, alone, strict=True) for code, severity, message, pointer in told(answer)}
    assert told(together) == said
    assert {said.name for said in together.assumptions} == {said.name for answer in alone for said in answer.assumptions}
    assert {(said.id, said.clause) for answer in alone for said in answer.citations} == {(said.id, said.clause) for said in together.citations}


@some(60)
def test_every_circuit_of_a_list_is_sized_as_alone(many):
    held(each_as_alone, many, parts=st.lists(requests(), min_size=1, max_size=4))


@some(40)
def test_circuits_that_share_their_surroundings_are_sized_as_alone(many):
    """The same place, insulation and ends with other loads: what was settled for the first is found again by the others."""
    shared = st.fixed_dictionaries({"load": requests().map(lambda request: request.load), "both_ways": st.booleans(), "continuous": st.booleans()})

    def check(base, others):
        each_as_alone([base, *(msgspec.structs.replace(base, **other) for other in others)])

    held(check, many, base=requests(), others=st.lists(shared, min_size=1, max_size=3))


BARE = FEEDER | {
    "practice": "us-vehicle", "load": {"by": "current", "current": {"value": 60, "unit": "A"}}, "run": {"value": 1, "unit": "m"},
    "fault": {"by": "maker", "current": {"value": 900, "unit": "A"}},
}
"""Silent about everything that has a default, so that nothing but what is said in a test tells two of them apart."""


LONG, LARGE = {"run": {"value": 9, "unit": "m"}}, {"load": {"by": "current", "current": {"value": 200, "unit": "A"}}}


@pytest.mark.parametrize(("both", "other"), [
    ({}, {"practice": "us-dwelling"}),
    ({}, {"load": {"by": "current", "current": {"value": 120, "unit": "A"}}}),  # above 100 A terminals count as 75 °C
    ({"loaded_conductors": 6}, {"run": {"value": 2, "unit": "ft"}}),  # so short that nothing is adjusted
    ({}, {"place": "free-air"}),
    ({}, {"ambient": {"value": 60, "unit": "degC"}}),
    ({}, {"engine_space": True}),
    ({}, {"loaded_conductors": 12}),
    ({}, {"insulation": "60C"}),
    ({}, {"terminals": "90C"}),
    ({}, {"largest_conductor": "6"}),
    (LARGE, {"parallel_sets": 1}),
    ({}, {"from_end": {"by": "clamp", "largest": "8"}}),
    ({}, {"to_end": {"by": "clamp", "largest": "2/0", "smallest": "2"}}),
    ({}, {"further": [{"length": {"value": 3, "unit": "m"}, "ambient": {"value": 70, "unit": "degC"}}]}),
    (LONG, {"critical": False}),
    (LONG, {"drop_limit": 0.01}),
    (LONG, {"system": FEEDER["system"] | {"nominal": {"value": 12, "unit": "V"}}}),
])
def test_circuits_that_differ_in_one_thing_do_not_share_it(both, other):
    """What is remembered of one circuit is not taken for the next, whichever comes first."""
    parts = [msgspec.convert(BARE | both | more, circuits.CircuitRequest) for more in ({}, other)]
    one, another = (bare(ask(part).circuit) for part in parts)
    assert one != another
    each_as_alone(parts)


def stretches_turned(request) -> None:
    turned = msgspec.structs.replace(request, further=request.further[::-1])
    one, other = ask(request).circuit, ask(turned).circuit
    first, second = ((circuit.outcome, circuit.conductor and (circuit.conductor.size, circuit.conductor.sets)) for circuit in (one, other))
    assert first == second
    assert one.device == other.device and one.grounding_conductor == other.grounding_conductor
    if one.conductor:
        numbers = ("ampacity", "drop", "drop_at_temperature", "load_voltage")
        assert [getattr(one.conductor, name).value for name in numbers] == pytest.approx([getattr(other.conductor, name).value for name in numbers], rel=1e-9)


@some(80)
def test_the_order_of_stretches_does_not_matter(many):
    held(stretches_turned, many, request=requests(further=st.lists(stretches, min_size=2, max_size=3)))


def test_what_is_wrong_with_any_of_them_is_said_at_its_place():
    sound, other = (msgspec.convert(FEEDER | more, circuits.CircuitRequest) for more in ({}, {"largest_conductor": "25"}))
    with pytest.raises(Problem) as refused:
        listed([sound, other, sound, other])
    assert [fault.pointer for fault in refused.value.faults] == ["/circuits/1/circuit/largest_conductor", "/circuits/3/circuit/largest_conductor"]


def test_a_name_stands_once():
    sound = msgspec.convert(FEEDER, circuits.CircuitRequest)
    with pytest.raises(Problem) as refused:
        circuits.read(CircuitsRequest([NamedCircuit("pump", sound), NamedCircuit("lamp", sound), NamedCircuit("pump", sound)]), Door())
    assert [(fault.code, fault.pointer) for fault in refused.value.faults] == [("contradiction", "/circuits/2/id")]


def test_an_empty_list_is_refused():
    with pytest.raises(msgspec.ValidationError):
        msgspec.convert({"circuits": []}, CircuitsRequest)
