"""What every answer says beside its sizes: edition, assumptions, findings, citations, cautions, and its working."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Any, Literal

from msgspec import Meta, Struct

from ..reference.case import Assumption as Said
from ..reference.case import Case, Library
from ..working import Basis, Kind, Severity, Traced
from ..working import Citation as Printed
from .quantities import Amount

CALCULATION_EDITION = "1"
"""Goes up when a number moves; openapi/CHANGELOG.md says which and why."""


class Edition(Struct, frozen=True):
    """Which numbers these are: of the calculation and of each table that it can read."""

    calculation: Annotated[str, Meta(description="Edition of the calculation")]
    tables: Annotated[dict[str, str], Meta(description="Edition of each table by its name")]


# Answers hold the calculation's own citations and findings in place of the two shapes that describe them here, and
# these are written alike: a plan names its sources some hundred times. A test holds the fields equal.
class Citation(Struct, frozen=True):
    """Where a rule, a relation or a value is printed."""

    id: Annotated[str, Meta(description="Short name of the source")]
    title: Annotated[str, Meta(description="Title of the source")]
    clause: Annotated[str, Meta(description="Clause, table or section; empty when the source is meant as a whole")]
    edition: Annotated[str, Meta(description="Edition or year; empty when not known")]
    basis: Annotated[Basis, Meta(description="How well the value is known")]


class Assumption(Struct, frozen=True):
    """A value that the request did not give and that was used all the same."""

    name: Annotated[str, Meta(description="What was assumed")]
    value: Annotated[Amount | float | None, Meta(description="The number used; null when a word was assumed")]
    text: Annotated[str | None, Meta(description="The word used; null when a number was assumed")]
    basis: Annotated[Basis, Meta(description="How well the value is known")]
    why: Annotated[str, Meta(description="Why this value")]
    citation: Annotated[Citation, Meta(description="Where it is printed")]
    pointer: Annotated[
        str | None, Meta(description="JSON Pointer to the field of the request that was silent, if there is one")
    ]


class Finding(Struct, frozen=True):
    """A coded remark: what is unsafe, short or missing, by which clause, and what would mend it."""

    code: Annotated[str, Meta(description="Code from the published list")]
    kind: Annotated[Kind, Meta(description="Class of the finding")]
    severity: Annotated[Severity, Meta(description="How grave it is")]
    message: Annotated[str, Meta(description="The finding in a sentence")]
    cure: Annotated[str, Meta(description="What would mend it")]
    clause: Annotated[str, Meta(description="The clause that says so; empty when none does")]
    pointer: Annotated[
        str, Meta(description="JSON Pointer to what it is about, in the request or the answer; may be empty")
    ]


class WorkedNumber(Struct, frozen=True, omit_defaults=True):
    """A number of the calculation and how it came about."""

    id: Annotated[int, Meta(ge=0, description="Position in the list; operands always come before the result")]
    term: Annotated[str, Meta(description="Name of the quantity")]
    symbol: Annotated[str, Meta(description="Symbol in the formulas")]
    meaning: Annotated[str, Meta(description="What the quantity is")]
    value: Annotated[float, Meta(description="The number, in the service's own unit")]
    unit: Annotated[str, Meta(description="Unit; 1 for a ratio")]
    how: Annotated[Literal["given", "assumed", "table", "formula", "choice"], Meta(description="What made the number")]
    pointer: Annotated[str, Meta(description="given: JSON Pointer into the request")] = ""
    assumption: Annotated[str, Meta(description="assumed: name of the assumption")] = ""
    table: Annotated[str, Meta(description="table: its name")] = ""
    row: Annotated[str, Meta(description="table: the row")] = ""
    column: Annotated[str, Meta(description="table: the column")] = ""
    formula: Annotated[str, Meta(description="formula: the relation in symbols, read from the code that ran")] = ""
    operands: Annotated[list[int], Meta(description="formula, choice: ids of the numbers that went in, in order")] = []
    why: Annotated[str, Meta(description="assumed, choice: why")] = ""
    citation: Annotated[Citation | None, Meta(description="Where the value or the relation is printed")] = None


class Working(Struct, frozen=True):
    """How every number of the answer was reached."""

    numbers: Annotated[list[WorkedNumber], Meta(description="Every number behind the answer, operands before results")]
    places: Annotated[dict[str, int], Meta(description="JSON Pointer in the answer to the id of its number")]


class Answer(Struct, kw_only=True):
    """The part that all answers share. Shapes of answers are open: a client ignores what it does not know."""

    edition: Annotated[Edition, Meta(description="Which edition of the numbers this is")]
    assumptions: Annotated[list[Assumption], Meta(description="Every value that was used without being given")]
    findings: Annotated[list[Finding], Meta(description="Coded remarks")]
    citations: Annotated[list[Citation], Meta(description="Every source that the answer rests on")]
    cautions: Annotated[list[str], Meta(description="What to keep in mind when acting on this answer")]
    working: Annotated[Working | None, Meta(description="How each number was reached; only with ?working=true")] = None


def envelope(case: Case, citations: Iterable[Printed] = (), cautions: Iterable[str] = ()) -> dict[str, Any]:
    """The shared part of an answer, as keyword arguments for its shape."""
    sources = dict.fromkeys(citations)
    written, assumptions = _defaults(case.library), []
    for said in case.assumptions:
        sources[said.citation] = None
        assumptions.append(written.get(said) or _assumption(said))
    return {
        "edition": _edition(case),
        "assumptions": assumptions,
        "findings": case.findings,
        "citations": list(sources),
        "cautions": list(cautions),
    }  # fmt: skip


def _defaults(library: Library) -> dict[Said, Assumption]:
    """The documented defaults as they stand in answers; made once for a library, for an answer says the same few again and again."""
    if not library.written:
        library.written = {said: _assumption(said) for _, said in library.defaults.values()}
    return library.written


def _assumption(said: Said) -> Assumption:
    return Assumption(
        said.name, None if said.value is None else amount(said.value, said.unit), said.text or None,
        said.basis, said.why, said.citation, said.pointer or None,
    )  # fmt: skip


def known_amount(value: float | None, unit: str) -> Amount | None:
    """A quantity of an answer; null where it is not known or does not apply."""
    return None if value is None else Amount(value, unit)


def amount(value: float, unit: str) -> Amount | float:
    """A quantity of an answer; a ratio or a count stays a plain number."""
    return value if unit == "1" else Amount(value, unit)


def _edition(case: Case) -> Edition:
    return Edition(CALCULATION_EDITION, case.library.editions)


def plain_float(number: Any) -> float:
    """For the encoder: a traced number as the float that it is."""
    if type(number) is Traced:
        return float(number)
    raise TypeError(f"{type(number).__name__} does not belong in an answer")
