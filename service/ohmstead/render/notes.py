"""What to know before acting on a plan: findings, assumptions, sources, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol

from ..working import BASES, Citation, Finding
from .layout import heading, item, numbered, paragraph
from .number import quantity

_ORDER = ("unsafe", "caution", "note")


class Said(Protocol):
    """What an answer says beside the sizes."""

    outcome: str
    assumptions: Sequence
    findings: Sequence[Finding]
    citations: Sequence[Citation]
    cautions: Sequence[str]
    edition: object


def of_severity(findings: Iterable[Finding], severity: str) -> list[Finding]:
    """The findings of one severity in the order in which they were made."""
    return [finding for finding in findings if finding.severity == severity]


def finding_lines(number: int, finding: Finding) -> list[str]:
    """A finding, its cure, its clause and its place."""
    about = "; ".join(part for part in (finding.clause, finding.pointer and f"about {finding.pointer}") if part)
    return numbered(number, f"{finding.message} [{finding.code}]", f"Cure: {finding.cure}", *((f"({about})",) if about else ()))


def findings_lines(findings: Sequence[Finding]) -> list[str]:
    """All findings but the unsafe ones, which stand at the top."""
    lines: list[str] = []
    for severity in _ORDER[1:]:
        found = of_severity(findings, severity)
        if found:
            lines += heading(f"{severity}s ({len(found)})")
            for number, finding in enumerate(found, 1):
                lines += finding_lines(number, finding)
    return lines


def assumption_lines(assumptions: Sequence) -> list[str]:
    """Every value that was used without being given, with its basis and why."""
    lines = heading(f"Assumptions ({len(assumptions)}): what the brief did not say")
    for said in assumptions:
        lines += paragraph(f"{said.name} = {_value(said)} [{said.basis}] {said.why}", 2, 4)
    return lines


def _value(said) -> str:
    if said.value is None:
        return said.text
    if isinstance(said.value, (int, float)):
        return quantity(said.value, getattr(said, "unit", "1"))
    return quantity(said.value.value, said.value.unit)


def source_lines(citations: Sequence[Citation], edition) -> list[str]:
    """Every source once, with its clauses and how well it is known."""
    lines = heading("Sources")
    found: dict[tuple[str, str], list[Citation]] = {}
    for citation in citations:
        found.setdefault((citation.title, citation.edition), []).append(citation)
    for (title, year), all_of_it in sorted(found.items()):
        # A clause can be looked up where there is an edition; elsewhere it is a remark of ours, which the answer keeps.
        clauses = "; ".join(dict.fromkeys(citation.clause for citation in all_of_it if citation.clause and year))
        bases = ", ".join(basis for basis in BASES if any(citation.basis == basis for citation in all_of_it))
        lines += paragraph(f"{title}{f' ({year})' if year else ''}{f': {clauses}' if clauses else ''} [{bases}]", 2, 4)
    return [*lines, "", *item("Edition", f"of the calculation: {edition.calculation}")]


def caution_lines(cautions: Sequence[str]) -> list[str]:
    """What to keep in mind when acting on the plan."""
    lines = heading("Keep in mind")
    for number, caution in enumerate(cautions, 1):
        lines += numbered(number, caution)
    return lines
