"""Ask for a short-circuit current as a client would, without HTTP."""

from __future__ import annotations

import msgspec

from ohmstead.electrical.faults.point import fault_at_point
from ohmstead.reference.case import Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.v1.fault import FaultAnswer, FaultRequest, read, write

_SHELF = Shelf()


def maker(current_a: float, strings: int = 1) -> dict:
    """A source by the maker's figure."""
    return {"by": "maker", "current": {"value": current_a, "unit": "A"}, "strings": strings}


def resistance(mohm: float, **more) -> dict:
    """A source by its internal resistance."""
    return {"by": "resistance", "resistance": {"value": mohm, "unit": "mohm"}} | more


def of_bank(chemistry: str, capacity_ah: float, strings: int = 1) -> dict:
    """A source by chemistry and capacity."""
    return {"by": "bank", "chemistry": chemistry, "unit_capacity": {"value": capacity_ah, "unit": "Ah"}, "strings": strings}


def cranking(current_a: float, **more) -> dict:
    """A source by its cold-cranking current."""
    return {"by": "cranking", "current": {"value": current_a, "unit": "A"}} | more


def cable(size: str, length_m: float, sets: int = 1) -> dict:
    """A cable."""
    return {"size": size, "length": {"value": length_m, "unit": "m"}, "sets": sets}


def request(source: dict, volt: float = 14.6, **more) -> dict:
    """A request at a voltage."""
    return {"source": source, "highest_voltage": {"value": volt, "unit": "V"}} | more


def ask(given: dict, *, traced: bool = False) -> FaultAnswer:
    """The answer to a request in JSON."""
    case = _SHELF.case(traced=traced)
    return write(fault_at_point(read(msgspec.convert(given, FaultRequest), Door(traced)), case), case)


def at_point(given: dict) -> float:
    """Current at the point."""
    return ask(given).fault.at_point.value


def codes(answer: FaultAnswer) -> list[str]:
    """Codes of the findings."""
    return [finding.code for finding in answer.findings]
