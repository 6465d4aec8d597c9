"""Many circuits in one request: each sized on its own, all under one envelope."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from ...electrical.conductors.single import Single, SizedSingle
from ...reference.case import Case
from ...working import Citation
from ..base import Answer, envelope
from ..door import Door
from ..problems import Fault, Problem
from . import circuit
from .circuit import CircuitRequest
from .circuit_answer import SizedCircuit, write_circuit
from .circuit_beside import ChosenField, NeutralField, PeopleField, StartField, write_beside

CircuitId = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$")]


class NamedCircuit(Struct, frozen=True, forbid_unknown_fields=True):
    """A circuit with a name to find it by in the answer."""

    id: Annotated[CircuitId, Meta(description="Name of the circuit; each one once")]
    circuit: Annotated[CircuitRequest, Meta(description="The circuit, as for a single one")]


class CircuitsRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """Circuits to size; each stands alone, and the order changes nothing."""

    circuits: Annotated[list[NamedCircuit], Meta(min_length=1, max_length=500, description="The circuits")]


class SizedNamed(Struct, frozen=True):
    """One of the circuits, sized."""

    id: Annotated[str, Meta(description="Its name in the request")]
    circuit: Annotated[SizedCircuit, Meta(description="The circuit")]
    chosen: ChosenField
    neutral: NeutralField
    start: StartField
    people_protection: PeopleField


class CircuitsAnswer(Answer):
    """Circuits, each sized under its practice. Findings point into the request by position; an assumption is listed once."""

    circuits: Annotated[list[SizedNamed], Meta(description="The circuits, in the order of the request")]


def read(request: CircuitsRequest, door: Door) -> list[tuple[str, Single]]:
    """The requests in service units. Raises Problem with what is wrong in any of them."""
    found, faults, seen = [], [], set()
    for position, named in enumerate(request.circuits):
        if named.id in seen:
            faults.append(Fault("contradiction", f"{named.id} names more than one circuit", f"/circuits/{position}/id"))
        seen.add(named.id)
        try:
            found.append((named.id, circuit.read(named.circuit, door, f"/circuits/{position}/circuit")))
        except Problem as problem:
            faults += problem.faults
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)
    return found


def work(requests: list[tuple[str, Single]], case: Case) -> list[tuple[str, SizedSingle]]:
    """Size every circuit. Raises Problem with what is wrong in any of them."""
    found, faults = [], []
    outside = case.places
    for position, (id, single) in enumerate(requests):
        base = f"/circuits/{position}/circuit"
        case.places = lambda pointer, base=base: outside(base + pointer)
        try:
            found.append((id, circuit.work(single, case)))
        except Problem as problem:
            faults += [Fault(fault.code, fault.detail, base + fault.pointer, fault.parameter, fault.allowed) for fault in problem.faults]
        finally:
            case.places = outside
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)
    return found


def write(worked: list[tuple[str, SizedSingle]], case: Case) -> CircuitsAnswer:
    """The answer."""
    sources: dict[Citation, None] = {}
    answers = []
    for id, single in worked:
        sized, source = single.circuit, single.source
        sources |= circuit.sources(single, case)
        answers.append(SizedNamed(
            id=id, circuit=write_circuit(sized, source, single.both_ends, case, single.sheathed, single.ends), **write_beside(single),
        ))
    return CircuitsAnswer(circuits=answers, **envelope(case, sources, circuit.CAUTIONS))
