"""Ask about two legs in the service's own units."""

from __future__ import annotations

import msgspec

from ohmstead.electrical.legs.model import Legs, LegsRequest
from ohmstead.electrical.legs.sizing import size_legs
from ohmstead.reference.case import Shelf

_SHELF = Shelf()


def ask(given: dict | LegsRequest) -> tuple[Legs, set[str]]:
    """The result and the codes of its findings."""
    case = _SHELF.case()
    request = msgspec.convert(given, LegsRequest) if isinstance(given, dict) else given
    return size_legs(request, case), {finding.code for finding in case.findings}


def at(part, path: str):
    """What stands at a dotted path."""
    for name in path.split("."):
        part = part[int(name)] if isinstance(part, tuple) else getattr(part, name)
    return part
