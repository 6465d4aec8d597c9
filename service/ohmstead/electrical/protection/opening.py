"""Whether a device lets a start or an inrush pass, and how long it lets a fault last.

Nothing is read between two printed multiples: what a device surely carries is read at the next multiple up, when it has
surely opened at the next one down. A family or a rating without a curve is not known, and that is the answer.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...reference.practices import RuleSource
from ...working import Check, Rule, at_least, at_most
from .model import Device
from .opening_formulas import multiple_of_rating, rating_in_cold, rating_in_heat
from .sizing import ampacity_for

OpeningVerdict = Literal["holds", "may-open", "opens", "not-known"]
TransientKind = Literal["motor-start", "inrush"]

CARRIES_IN_HEAT = Rule(
    "device-carries-load-in-heat", TERMS["derated_rating_a"], "at least", TERMS["current_a"],
    cite("common-practice", "derating of overcurrent devices"),
)

_IN_WORDS: dict[TransientKind, str] = {"motor-start": "a motor start", "inrush": "an inrush"}
_SOFTER: dict[TransientKind, str] = {"motor-start": "fit a soft starter", "inrush": "fill the capacitors through a resistor first"}


class Transient(Struct, frozen=True):
    """A current above the running one that lasts for a moment."""

    kind: TransientKind
    current_a: float
    duration_s: float


class Opening(Struct, frozen=True):
    """What the curve of a family says of a current and a time."""

    verdict: OpeningVerdict
    multiple: float
    least_s: float | None
    """Before this it does not open. None: not known, or it never opens."""
    most_s: float | None
    """After this it has opened; None where it is not known."""
    row: str = ""
    """Row of the table on which the verdict rests; empty when it rests on none."""
    typical: bool = False
    """Whether that row is an envelope of makers' curves and no limit of a standard."""


class Passing(Struct, frozen=True):
    """Whether a device lets a transient pass, and which one would."""

    transient: Transient
    opening: Opening
    holds_a: float | None
    """Next rating of the series that surely lets it pass; None when none does or none is known to."""
    ampacity_a: float | None
    """Ampacity that the conductors need for that rating."""
    ampacity_suffices: bool
    """Whether that ampacity itself suffices, or has to be passed."""


def opening(family: str, rating_a: float, current_a: float, duration_s: float, case: Case, hottest_c: float | None = None) -> Opening:
    """Whether a device carries a current for a time, at its rating or as the heat of the place leaves it.

    A factor for heat that is not known leaves the rating as it is.
    """
    table = case.library.tables["time_current"]
    columns = table.columns
    multiple = multiple_of_rating(current_a, rating_a if hottest_c is None else _in_heat(family, rating_a, hottest_c, case))
    least = most = None
    carried = False
    for row in _rows(family, rating_a, case):
        printed = columns["multiple"][row]
        if least is None and not carried and at_least(printed, multiple):
            carried = columns["carries"][row] == "yes"
            if carried or columns["least_s"][row] is not None:
                least = row
        if columns["most_s"][row] is not None and at_most(printed, multiple):
            most = row
    least_s = None if least is None else columns["least_s"][least]
    most_s = None if most is None else columns["most_s"][most]
    verdict: OpeningVerdict = "not-known" if least is None and most is None else "may-open"
    decided = None
    if carried or (least_s is not None and not at_least(duration_s, least_s)):
        verdict, decided = "holds", least
    elif most_s is not None and not at_most(duration_s, most_s):
        verdict, decided = "opens", most
    elif verdict == "may-open":
        decided = least if least is not None else most
    if decided is None:
        return Opening(verdict, multiple, least_s, most_s)
    return Opening(verdict, multiple, least_s, most_s, columns["row"][decided], columns["grade"][decided] != "limit")


def smallest_that_holds(
    family: str, current_a: float, duration_s: float, case: Case, above_a: float = 0.0, hottest_c: float | None = None
) -> float | None:
    """Smallest rating above one that is made in the family and surely lets the current pass for the time; None when none is known to."""
    for rating in case.library.series.get(family, ()):
        if rating > above_a and opening(family, rating, current_a, duration_s, case, hottest_c).verdict == "holds":
            return rating
    return None


def longest_opening(family: str, rating_a: float, fault_current_a: float, case: Case, coldest_c: float | None = None) -> float | None:
    """Time after which a device has opened at a fault current, for what its conductors have to stand; None when no limit is known.

    Envelopes of makers' curves do not count here: they prove nothing.
    """
    columns = case.library.tables["time_current"].columns
    factor = None if coldest_c is None else ambient_factor(family, coldest_c, case, colder=True)
    multiple = multiple_of_rating(fault_current_a, rating_a if factor is None else rating_in_cold(rating_a, factor))
    longest = None
    for row in _rows(family, rating_a, case):
        if columns["grade"][row] == "limit" and columns["most_s"][row] is not None and at_most(columns["multiple"][row], multiple):
            longest = columns["most_s"][row]
    return longest


def ambient_factor(family: str, ambient_c: float, case: Case, *, colder: bool = False) -> float | None:
    """What a device carries at a temperature over its rating, by the next hotter row, or the next colder one; None when it is not known.

    Below the coldest row for heat, and above the hottest for cold, that row holds too: it errs to the safe side.
    """
    columns = case.library.tables["device_ambient"].columns
    found = None
    for row in case.library.heat.get(family, ()):
        printed = columns["temperature_c"][row]
        if not colder and at_least(printed, ambient_c):
            return columns["factor"][row]
        if colder and at_most(printed, ambient_c):
            found = columns["factor"][row]
    return found


def derated_rating(family: str, rating_a: float, hottest_c: float, case: Case) -> float | None:
    """Current that a device carries in the hottest place; None when no factor is known for its family or its heat."""
    factor = ambient_factor(family, hottest_c, case)
    return None if factor is None else rating_in_heat(rating_a, factor)


def smallest_in_heat(family: str, current_a: float, hottest_c: float, case: Case, least_a: float = 0.0) -> float | None:
    """Smallest rating from one on that is made in the family and carries the current in the hottest place; None when none does.

    A factor that is not known is no reason for a larger one.
    """
    factor = ambient_factor(family, hottest_c, case)
    for rating in case.library.series.get(family, ()):
        if at_least(rating, least_a) and (factor is None or CARRIES_IN_HEAT.check(rating_in_heat(rating, factor), current_a).passed):
            return rating
    return None


def carried_in_heat(device: Device, current_a: float, hottest_c: float, case: Case, pointer: str = "") -> Check | None:
    """Whether the device still carries the current in the hottest place, with a finding when it does not; None when that is not known."""
    derated = derated_rating(device.family, device.rating_a, hottest_c, case)
    if derated is None:
        case.note("device-heat-not-known", pointer, title=device.title, hottest=float(hottest_c))
        return None
    check = CARRIES_IN_HEAT.check(derated, current_a)
    if not check.passed:
        better = smallest_in_heat(device.family, current_a, hottest_c, case)
        case.note(
            "device-short-in-heat", pointer, title=device.title, rating=float(device.rating_a), left=float(derated), hottest=float(hottest_c),
            current=float(current_a), cure="a device of a family that heat does not touch" if better is None else f"{better:g} A",
        )
    return check


def let_pass(
    transient: Transient, device: Device, source: RuleSource, case: Case, hottest_c: float | None = None, pointer: str = ""
) -> Passing:
    """Whether the device of a circuit lets a start or an inrush pass, with a finding when it does not surely do."""
    current, duration = transient.current_a, transient.duration_s
    found = opening(device.family, device.rating_a, current, duration, case, hottest_c)
    holds = ampacity = None
    suffices = True
    if found.verdict in ("may-open", "opens"):
        holds = smallest_that_holds(device.family, current, duration, case, device.rating_a, hottest_c)
        if holds is not None:
            ampacity, suffices = ampacity_for(source.device_relation, holds, source)
    said = {"what": _IN_WORDS[transient.kind], "current": float(current), "duration": float(duration), "title": device.title, "rating": float(device.rating_a)}
    if found.verdict in ("may-open", "opens"):
        case.note(
            "transient-opens-device", pointer, does="opens" if found.verdict == "opens" else "can open",
            better=_better(holds, ampacity, suffices), softer=_SOFTER[transient.kind], **said,
        )
    elif found.verdict == "not-known" and not at_most(current, device.rating_a):
        case.note("transient-not-known", pointer, **said)
    elif found.verdict == "holds" and found.typical:
        case.note("transient-by-typical-curve", pointer, **said)
    return Passing(transient, found, holds, ampacity, suffices)


def _better(holds_a: float | None, ampacity_a: float | None, suffices: bool) -> str:
    if holds_a is None:
        return "a slower family by its maker's curve (no rating of this one is known to hold)"
    return f"{holds_a:g} A, for which the conductors need an ampacity of {'' if suffices else 'more than '}{ampacity_a:.4g} A"


def _in_heat(family: str, rating_a: float, hottest_c: float, case: Case) -> float:
    derated = derated_rating(family, rating_a, hottest_c, case)
    return rating_a if derated is None else derated


def _rows(family: str, rating_a: float, case: Case) -> tuple[int, ...]:
    """Rows of the family whose band holds the rating, by rising multiple."""
    columns = case.library.tables["time_current"].columns
    first, last = columns["from_rating_a"], columns["up_to_rating_a"]
    return tuple(
        row for row in case.library.curves.get(family, ()) if at_least(rating_a, first[row]) and at_most(rating_a, last[row])
    )
