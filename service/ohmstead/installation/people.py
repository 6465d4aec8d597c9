"""What protects people on the alternating-current side: each requirement once, with the circuits that it is for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from ..electrical.people.model import Requirement
from ..electrical.people.sizing import people_requirements
from ..reference.case import Case
from ..working import at_most
from .model import Protected

if TYPE_CHECKING:
    from .assembly import Drawn


def protect(circuits: Iterable[Drawn], case: Case) -> tuple[Protected, ...]:
    """Every requirement of the practice with the ids of its circuits, in the order of the table; a finding points to the list."""
    drawn = [item for item in circuits if item.source.people is not None and item.sized.outcome == "sized"]
    single = _one_small_circuit(drawn, case)
    found: dict[str, tuple[Requirement, list[str]]] = {}
    for item in drawn:
        for requirement in people_requirements(item.source, item.circuit.circuit_class, item.serves, None, case, single_circuit=single):
            known, ids = found.setdefault(requirement.row, (requirement, []))
            ids.append(item.circuit.id)
            if requirement.certain and not known.certain:
                found[requirement.row] = (replace(known, certain=True), ids)
    rows = case.library.tables["people_protection"]
    listed = tuple(Protected(requirement, tuple(ids)) for _, (requirement, ids) in sorted(found.items(), key=lambda item: rows.row(item[0])))
    if listed:
        case.note("people-protection-listed", "/installation/people_protection", devices="; ".join(dict.fromkeys(item.requirement.title for item in listed)))
    return listed


def _one_small_circuit(drawn: list[Drawn], case: Case) -> bool:
    """Whether all of it is one branch of no more than 20 A."""
    branches = [item for item in drawn if item.circuit.circuit_class == "ac-branch"]
    most = case.constant("single_circuit_most_a")
    return len(branches) <= 1 and all(item.sized.device is not None and at_most(item.sized.device.rating_a, most) for item in drawn)
