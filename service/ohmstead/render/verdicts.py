"""Checks and outcomes in a sentence."""

from __future__ import annotations

from ..working import Check
from .layout import word
from .number import pair


def demand(check: Check) -> str:
    """What a check demands, with its two numbers, and the clause where it is a printed rule."""
    rule = check.rule
    actual, limit = pair(float(check.actual), float(check.limit), rule.actual.unit)
    clause = f" ({rule.printed})" if rule.clause.edition else ""
    return f"{word(rule.name)}, {actual} must be {rule.relation} {limit}{clause}"


def said(check: Check) -> str:
    """A check with its verdict."""
    return f"{demand(check)}: {'kept' if check.passed else 'NOT KEPT'}"


def stands_in_the_way(failed: Check | None, why: str) -> str:
    """Why nothing fits: the reason in words and the check behind it, as far as there are any."""
    return " ".join(part for part in (why, f"It fails {demand(failed)}." if failed is not None else "") if part)
