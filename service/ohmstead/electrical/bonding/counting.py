"""Count the bonds of each mode as described: as few and as many as what is not known allows.

A bond counts in a mode if it is closed then and its neutral is tied to that of the panel. Neutrals of other sources are
tied where the transfer equipment does not switch them; a shore cord may then be in or out.
"""

from __future__ import annotations

from msgspec import Struct

from .model import BondingRequest, CountVerdict, Known, Screw, Source, Units

_TIED: dict[str, tuple[int, int]] = {"yes": (0, 0), "no": (1, 1), "not-known": (0, 1)}
"""How surely another source's neutral is tied, by whether it is switched."""
_PANEL: dict[Screw, tuple[int, int]] = {"fitted": (1, 1), "removed": (0, 0), "not-known": (0, 1)}
_NEUTRAL = {"bonded": (1, 1), "floating": (0, 0), "not-known": (0, 1)}


class Span(Struct, frozen=True):
    """Fewest and most."""

    fewest: int
    most: int

    def plus(self, other: Span) -> Span:
        """Both together."""
        return Span(self.fewest + other.fewest, self.most + other.most)

    def tied(self, tie: tuple[int, int]) -> Span:
        """What of it counts when the neutral is surely, perhaps or not tied."""
        return Span(self.fewest * tie[0], self.most * tie[1])


def own(source: Source) -> Span:
    """Bonds that a source brings while it is active."""
    if source.kind == "shore":
        if source.transformer == "none":
            return Span(1, 1)
        return Span(0, 1) if source.transformer == "not-known" else Span(*_NEUTRAL[source.neutral])
    if source.kind == "generator":
        return Span(*_NEUTRAL[source.neutral])
    if source.bonding in ("none", "not-known"):
        return Span(0, 0 if source.bonding == "none" else source.units)
    return _in_units(source)


def _in_units(source: Source) -> Span:
    many: dict[Units, tuple[int, int]] = {
        "one": (1, 1), "all": (source.units, source.units), "none": (0, 0), "not-known": (0, source.units),
    }
    return Span(*many[source.closed_in])


def elsewhere(source: Source, unplugged: bool) -> Span:
    """Bonds that it brings while another source is active, were its neutral tied; `unplugged` if its cord is out."""
    if source.kind == "inverter":
        if source.bonding == "relay":
            return Span(0, 0)
        return own(source)
    if source.kind == "shore" and unplugged and source.transformer != "isolation" and source.transformer != "polarization":
        # What is behind a transformer on board stays there; the site's bond leaves with the cord.
        return Span(0, 0) if source.transformer == "none" else Span(0, own(source).most)
    return own(source)


def tie_of(source: Source, switched: Known) -> tuple[int, int]:
    """How surely the neutral of an idle source is tied to that of the panel."""
    sure, perhaps = _TIED[switched]
    if source.kind == "inverter" and source.bonding in ("fixed", "not-known"):
        # A fixed bond behind which a supply passes through sits on the panel's neutral whatever is switched.
        through = {"yes": (1, 1), "no": (0, 0), "not-known": (0, 1)}[source.passes_supply]
        return max(sure, through[0]), max(perhaps, through[1])
    return sure, perhaps


def count(request: BondingRequest, active: int, switched: Known, by_cord: bool) -> tuple[Span, CountVerdict]:
    """The range of the count, and the verdict on the worst that can be."""
    source = request.sources[active]
    others = [other for position, other in enumerate(request.sources) if position != active]
    loose = by_cord and any(other.kind == "shore" for other in others)
    spans = []
    for unplugged in (False, True) if loose else (False,):
        span = own(source).plus(Span(*_PANEL[request.panel_screw]))
        for other in others:
            span = span.plus(elsewhere(other, unplugged).tied(tie_of(other, switched)))
        spans.append(span)
    fewest, most = _verdict([span.fewest for span in spans]), _verdict([span.most for span in spans])
    span = Span(min(span.fewest for span in spans), max(span.most for span in spans))
    return span, fewest if fewest == most else "cannot-be-judged"


def _verdict(counts: list[int]) -> CountVerdict:
    """The worst of the states of the cord."""
    if any(found > 1 for found in counts):
        return "several"
    return "none" if 0 in counts else "one"
