"""What a number is: its name, symbol, unit and meaning; and where a fact is printed."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

Basis = Literal["published", "published-once", "computed", "common-practice", "recalled"]

# From the best known to the least; a list is only as well known as its weakest member.
BASES: tuple[Basis, ...] = ("published", "computed", "published-once", "common-practice", "recalled")


class Term(Struct, frozen=True):
    """One quantity of the nomenclature. `unit` is the unit used inside the service ("1" for a ratio)."""

    name: str
    symbol: str
    unit: str
    meaning: str


class Citation(Struct, frozen=True, cache_hash=True):
    """Where a relation, a rule or a table is printed, and how well we know it."""

    id: str
    title: str
    clause: str = ""
    edition: str = ""
    basis: Basis = "published"

    def __str__(self) -> str:
        parts = [self.title, self.edition and f"({self.edition})", self.clause]
        return " ".join(part for part in parts if part)
