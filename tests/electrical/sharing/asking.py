"""Ask how a bank shares a current as a client would, without HTTP."""

from __future__ import annotations

import msgspec

from ohmstead.electrical.sharing.sizing import share_current
from ohmstead.reference.case import Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.v1.sharing import SharingAnswer, SharingRequest, read, write

_SHELF = Shelf()


def request(layout: str, strings_mohm: list[float], link_mohm: float, *, chemistry: str = "lfp", **more) -> dict:
    """A request with every resistance given."""
    joined = {"by": layout, "lead" if layout == "bus-bars" else "link": {"by": "resistance", "resistance": {"value": link_mohm, "unit": "mohm"}}}
    units = [{"by": "resistance", "resistance": {"value": ohm, "unit": "mohm"}} for ohm in strings_mohm]
    return {"chemistry": chemistry, "layout": joined, "units": units, "current": {"value": 100.0, "unit": "A"}} | more


def with_links(given: dict, mohm: dict[str, float]) -> dict:
    """The request with links of their own resistance: `p2` is the one of the positive pole that starts at unit 2."""
    units = [dict(unit) for unit in given["units"]]
    for name, ohm in mohm.items():
        pole = {"p": "positive", "n": "negative"}[name[0]]
        units[int(name[1:]) - 1][pole] = {"by": "resistance", "resistance": {"value": ohm, "unit": "mohm"}}
    return given | {"units": units}


def ask(given: dict, *, traced: bool = False) -> SharingAnswer:
    """The answer to a request in JSON."""
    case = _SHELF.case(traced=traced)
    return write(share_current(read(msgspec.convert(given, SharingRequest), Door(traced)), case), case)


def currents(answer: SharingAnswer) -> list[float]:
    """Currents of the units in their order."""
    return [unit.current.value for unit in answer.sharing.units]


def codes(answer: SharingAnswer) -> list[str]:
    """Codes of the findings."""
    return [finding.code for finding in answer.findings]
