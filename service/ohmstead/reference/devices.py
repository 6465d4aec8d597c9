"""Families of overcurrent devices as records, made once from their table."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from .tables import Table


class Family(Struct, frozen=True):
    """A family of overcurrent devices at one of the voltages that it is made for. Numbers are traced in the traced library."""

    row: str
    """Row of the table of families."""
    name: str
    title: str
    kind: Literal["fuse", "breaker"]
    voltage_v: float
    interrupting_a: float
    polarised: bool
    """Whether it is marked for polarity."""
    current_limiting: bool
    mounting: str


class Families(Struct, frozen=True):
    """The families of one use in the two orders in which they are asked."""

    by_preference: tuple[Family, ...]
    by_interrupting: tuple[Family, ...]
    """The one that interrupts most first; those that interrupt alike in the order of preference."""


def families_by_use(table: Table) -> dict[str, Families]:
    """The families of each use."""
    column = table.columns
    uses: dict[str, list[Family]] = {}
    for row in sorted(range(table.rows), key=lambda row: column["preference_rank"][row]):
        family = Family(
            column["row"][row], column["family"][row], column["title"][row], column["kind"][row], column["device_voltage_v"][row],
            column["interrupting_a"][row], column["polarised"][row] == "yes", column["current_limiting"][row] == "yes",
            column["mounting"][row],
        )
        for use in column["use"][row].split():
            uses.setdefault(use, []).append(family)
    return {
        use: Families(tuple(found), tuple(sorted(found, key=lambda family: -family.interrupting_a))) for use, found in uses.items()
    }
