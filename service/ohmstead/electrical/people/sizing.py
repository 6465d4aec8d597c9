"""Which devices protect people on a circuit, read from the group of rules that its source names.

What the request does not say is taken as if it asked for protection, and the requirement says that it is not certain.
Direct current has no rules of this kind: photovoltaic ground faults and arcs are duties of the plan.
"""

from __future__ import annotations

from msgspec.structs import replace

from ...reference.case import Case
from ...reference.practices import RuleSource
from .model import PeoplePlace, Requirement, Serves, Side


def people_requirements(
    source: RuleSource, circuit_class: str, serves: Serves | None, place: PeoplePlace | None, case: Case, *,
    single_circuit: bool = False, sides: tuple[Side, ...] = ("installation",),
) -> tuple[Requirement, ...]:
    """What the rules of a circuit ask for, in the order of the table; nothing when they ask for nothing.

    `single_circuit`: whether the vehicle has no other circuit than one of 15 or 20 A. `sides` adds what a source or the
    site has to bring.
    """
    if source.people is None:
        return ()
    table = case.library.tables["people_protection"]
    columns = table.columns
    found = []
    for row in case.library.people.get((source.people, circuit_class), ()):
        if columns["side"][row] not in sides or columns["when"][row] == ("several-circuits" if single_circuit else "single-circuit"):
            continue
        served, where = (_matches(columns[name][row], asked) for name, asked in (("serves", serves), ("places", place)))
        if served is False or where is False:
            continue
        found.append(Requirement(
            columns["row"][row], columns["device"][row], columns["title"][row], columns["side"][row], columns["residual_a"][row],
            columns["longest_s"][row], columns["poles"][row], columns["text"][row], columns["unless"][row], bool(served and where),
            replace(table.citation_of_row[row], clause=columns["clause"][row]),
        ))
    return tuple(found)


def _matches(printed: str, asked: str | None) -> bool | None:
    """Whether a row is meant; None where that is not known."""
    words = printed.split()
    if "any" in words:
        return True
    return None if asked is None else asked in words


def remark_people(requirements: tuple[Requirement, ...], case: Case, pointer: str = "") -> None:
    """Say each requirement as a finding."""
    for requirement in requirements:
        figures = [
            f"{value:g} {unit}" for value, unit in (
                (_milli(requirement.residual_current_a), "mA"), (_milli(requirement.longest_s), "ms"), (requirement.poles, "poles"),
            ) if value is not None
        ]
        case.note(
            "people-protection" if requirement.certain else "people-protection-possible", pointer, device=requirement.title,
            figures=f" ({', '.join(figures)})" if figures else "", text=requirement.text,
            unless=f", unless {requirement.unless}" if requirement.unless else "", clause=str(requirement.citation.clause),
        )


def _milli(value: float | None) -> float | None:
    """For a sentence only: thousandths, which people read more easily."""
    return None if value is None else 1000 * float(value)
