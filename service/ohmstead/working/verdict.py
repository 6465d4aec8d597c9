"""Rules, checks and choices: the demand, the limit, the verdict and the clause together."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct
from msgspec.structs import force_setattr

from .term import Citation, Term

TOLERANCE = 1e-9
"""The one relative tolerance of every comparison, so that a round trip through other units flips no verdict."""


def at_most(actual: float, limit: float) -> bool:
    """Whether `actual` does not exceed `limit`, within the tolerance."""
    return actual <= limit + TOLERANCE * abs(limit)


def at_least(actual: float, limit: float) -> bool:
    """Whether `actual` reaches `limit`, within the tolerance."""
    return actual >= limit - TOLERANCE * abs(limit)


Relation = Literal["at most", "at least"]


class Rule(Struct, frozen=True):
    """A comparison that a clause demands, declared once."""

    name: str
    actual: Term
    relation: Relation
    limit: Term
    clause: Citation
    printed: str = ""
    """The clause in words, made once: it stands in every answer that the rule is checked in."""

    def __post_init__(self) -> None:
        force_setattr(self, "printed", str(self.clause))

    def check(self, actual: float, limit: float) -> "Check":
        """Put two numbers to the rule."""
        slack = TOLERANCE * abs(limit)  # as in at_most and at_least, without a call for each of some hundred checks
        return Check(self, actual, limit, actual <= limit + slack if self.relation == "at most" else actual >= limit - slack)


class Check(Struct, frozen=True):
    """A rule with its two numbers; it is its own verdict. `Rule.check` makes it."""

    rule: Rule
    actual: float
    limit: float
    passed: bool
    """The verdict, within the one tolerance: settled when it is made, for it is asked several times."""


class Choice(Struct, frozen=True):
    """Why this size, count or family and not the next smaller one."""

    what: str
    chosen: str
    governed_by: str
    checks: tuple[Check, ...] = ()
    smaller: str = ""
    smaller_failed: Check | None = None
