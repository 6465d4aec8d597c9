"""Shapes of verdicts and choices, the same in every answer."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from ...working import Check, Choice
from ..base import Amount


class CheckAnswer(Struct, frozen=True):
    """A demand, its limit, the verdict and the clause."""

    name: Annotated[str, Meta(description="Name of the check")]
    actual: Annotated[Amount | float, Meta(description="The value that was checked")]
    relation: Annotated[str, Meta(description="at most or at least")]
    limit: Annotated[Amount | float, Meta(description="What it was checked against")]
    passed: Annotated[bool, Meta(description="The verdict")]
    source: Annotated[str, Meta(description="Short name of the document, as in `citations`")]
    clause: Annotated[str, Meta(description="Clause of the document; empty when the document is meant as a whole")]


class ChoiceAnswer(Struct, frozen=True):
    """Why this one and not the next smaller one."""

    chosen: Annotated[str, Meta(description="What was chosen")]
    governed_by: Annotated[str, Meta(description="The check that decided")]
    smaller: Annotated[str | None, Meta(description="The next smaller one, if there is one")]
    smaller_failed: Annotated[CheckAnswer | None, Meta(description="The check that the next smaller one fails")]


def write_check(check: Check) -> CheckAnswer:
    """A check as it stands in an answer."""
    rule = check.rule
    actual, limit, unit = check.actual, check.limit, rule.actual.unit
    if unit != "1":
        actual, limit = Amount(actual, unit), Amount(limit, rule.limit.unit)
    return CheckAnswer(rule.name, actual, rule.relation, limit, check.passed, rule.clause.id, rule.clause.clause)


def write_choice(choice: Choice) -> ChoiceAnswer:
    """A choice as it stands in an answer."""
    failed = choice.smaller_failed
    return ChoiceAnswer(choice.chosen, choice.governed_by, choice.smaller or None, write_check(failed) if failed else None)
