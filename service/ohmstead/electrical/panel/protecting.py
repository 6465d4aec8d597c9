"""What protects people on the circuits of a panel, and how many poles have to open together."""

from __future__ import annotations

from ...reference.case import Case
from ...reference.practices import RuleSource
from ...working import at_most
from ..people.model import Requirement
from ..people.sizing import people_requirements, remark_people
from .model import Change, PanelCircuit, PanelRequest


def poles_needed(circuit: PanelCircuit, source: RuleSource) -> int:
    """Poles of the circuit's breaker that open together."""
    return source.poles(2 if circuit.line == "both" else 1)


def whole_panel(request: PanelRequest, behind_inverter: bool, case: Case) -> tuple[Requirement, ...]:
    """What the rules ask for at the inlet and, where circuits hang on it, behind the inverter; said as findings."""
    practice, found = case.library.practices[request.practice], []
    for circuit_class, at in (("shore-inlet", ""), ("inverter-ac", "/inverter"))[: 2 if behind_inverter else 1]:
        asked = people_requirements(practice.source(circuit_class), circuit_class, None, None, case, single_circuit=len(request.circuits) == 1)
        remark_people(asked, case, at)
        found += asked
    return tuple(found)


def protect(circuit: PanelCircuit, source: RuleSource, single: bool, case: Case) -> tuple[tuple[Requirement, ...], list[Change]]:
    """The devices that protect people which this circuit needs, and what is missing of them and of its breaker.

    What the practice asks of the poles of a breaker is judged by the poles and not a second time as such a device.
    """
    changes: list[Change] = []
    asked = tuple(
        requirement for requirement in people_requirements(source, "ac-branch", circuit.serves, circuit.where, case, single_circuit=single)
        if requirement.device != "all-pole-breaker"
    )
    for requirement in asked if circuit.protected != "yes" else ():
        words = {
            "id": circuit.name, "device": requirement.title, "text": requirement.text,
            "unless": f", unless {requirement.unless}" if requirement.unless else "", "clause": str(requirement.citation.clause),
        }
        if circuit.protected == "no" and requirement.certain:
            case.note("people-protection-missing", circuit.pointer, **words)
            changes.append(Change("fit-protection", (circuit.name,), f"{requirement.title}: {requirement.text}; {requirement.citation.clause}"))
        else:
            unknown = ([] if requirement.certain else ["what it serves and where"]) + (["whether it is there"] if circuit.protected == "not-known" else [])
            case.note("people-protection-not-proven", circuit.pointer, asked=" and ".join(unknown), **words)
    return asked, changes + _breaker(circuit, source, case)


def _breaker(circuit: PanelCircuit, source: RuleSource, case: Case) -> list[Change]:
    """The breaker: its poles, and whether the circuit runs behind it at all."""
    if not at_most(circuit.current_a, circuit.breaker_a):
        case.note("circuit-above-breaker", circuit.pointer, id=circuit.name, current=float(circuit.current_a), breaker=float(circuit.breaker_a))
    needed = poles_needed(circuit, source)
    if circuit.poles is None:
        if needed > 1:
            case.note("breaker-poles-not-known", circuit.pointer, id=circuit.name, needed=needed)
        return []
    if circuit.poles >= needed:
        return []
    if source.opens_neutral:
        case.note("neutral-not-opened", circuit.pointer, equipment=f"The breaker of {circuit.name}", poles=circuit.poles, needed=needed)
    else:
        case.note("hots-not-opened-together", circuit.pointer, id=circuit.name, poles=circuit.poles, needed=needed)
    what = "all live conductors and the neutral" if source.opens_neutral else "both legs"
    return [Change("fit-breaker", (circuit.name,), f"{needed} poles that open together: {what}; there are {circuit.poles}")]
