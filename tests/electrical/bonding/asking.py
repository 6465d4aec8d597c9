"""Ask about bonds as a client would, without HTTP, or in the model's own words."""

from __future__ import annotations

import msgspec

from ohmstead.electrical.bonding.model import Bonding, BondingRequest, Facts
from ohmstead.electrical.bonding.sizing import judge_bonding
from ohmstead.reference.case import Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.v1 import bonding as wire
from ohmstead.wire.v1.bonding_answer import BondingAnswer, write

SHELF = Shelf()
PRACTICES = tuple(SHELF.plain.bonding)


def ask(given: dict, *, traced: bool = False) -> BondingAnswer:
    """The answer to a request in JSON."""
    case = SHELF.case(traced=traced)
    return write(judge_bonding(wire.read(msgspec.convert(given, wire.BondingRequest), Door(traced)), case), case)


def judge(request: BondingRequest) -> tuple[Bonding, list]:
    """The result and its findings."""
    case = SHELF.case()
    return judge_bonding(request, case), case.findings


def described(practice: str, *sources, switched: str = "yes", screw: str = "removed", double: str = "yes", poles: float | None = None) -> BondingRequest:
    """A request without conductors."""
    return BondingRequest(practice, tuple(sources), switched, poles, screw, double, Facts(), None)


def codes(findings) -> set[str]:
    """Codes of findings."""
    return {finding.code for finding in findings}


def actions(bonding) -> list[tuple[str, int | None]]:
    """Changes in their order."""
    return [(change.action, change.source) for change in bonding.changes]
