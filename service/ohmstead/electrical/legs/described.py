"""Two legs as a caller describes them: a cord by its size and length, and the rules of a practice."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from ...reference.case import Case
from ...reference.practices import SIZES, SizeSystem
from .formulas import leg_wire, neutral_wire
from .model import Legs, LegsRequest, Wires
from .sizing import size_legs


class Cord(Struct, frozen=True):
    """A cord or cable; its conductors count as 75 °C warm."""

    system: SizeSystem
    line: str
    neutral: str
    run_m: float
    drop_limit: float | None = None


class Described(Struct, frozen=True):
    """The request with what has to be looked up."""

    practice: str
    legs: LegsRequest
    cord: Cord | None = None


def judge_legs(described: Described, case: Case) -> Legs:
    """Look up the cord and what the practice bars, then judge the legs."""
    barred = case.library.bonding[described.practice].shared_neutral
    request = replace(described.legs, shared_barred=barred.citation if barred is not None else None)
    cord = described.cord
    if cord is not None:
        request = replace(request, wires=wires_of(cord, case))
    return size_legs(request, case)


def wires_of(cord: Cord, case: Case) -> Wires:
    """Look up the conductors of a cord."""
    table = case.library.tables[SIZES[cord.system].table]
    line, neutral = (leg(table.cell(size, "resistance_75c"), cord.run_m) for leg, size in ((leg_wire, cord.line), (neutral_wire, cord.neutral)))
    return Wires(line, neutral, cord.drop_limit)
