"""The course of a charge: steady current, falling current, waiting, day after day, until the target or for ever."""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case
from ...working import at_least, at_most
from .formulas import (
    accepted, charge_of_fall, hours_at_steady, hours_of_fall, left_at_steady, left_of_fall, left_while_emptied, missing_at_knee,
    rest_of_section, until,
)
from .model import Phase
from .supplies import Offer, Source, filling, reaches

DAYS = 60
"""Longer charges by the clock are not followed."""


class Ground(Struct, frozen=True):
    """Everything that a charge rests on."""

    sources: list[Source]
    day: list[Offer]
    limit_a: float
    tail_a: float
    capacity_ah: float
    target_ah: float
    """Charge that may be missing at the end."""
    efficiency: float
    taper_h: float
    none_a: float
    """Nought, as a number that formulas accept."""
    whole: float
    """One, in the same way: a discharge loses nothing here."""


class Piece(Struct, frozen=True):
    """A piece of the charge with one law."""

    from_h: float
    to_h: float
    phase: Phase
    current_a: float
    missing_ah: float
    """At its end."""
    charge_in_ah: float | None
    hours: float
    section: int


class Course(Struct, frozen=True):
    """How it went."""

    reached: bool
    pieces: list[Piece]
    best_ah: float
    """Least missing charge."""
    emptied: bool
    ran_out_of_days: bool


def follow(ground: Ground, missing_ah: float, case: Case) -> Course:
    """The course from a missing charge.

    A day that ends no fuller than it began is repeated for ever, so the target is never reached then.
    """
    elapsed = case.chosen(0.0, "elapsed_hours", "the charge begins")
    pieces: list[Piece] = []
    best, emptied = missing_ah, False
    for _ in range(DAYS):
        start = missing_ah
        for position, offer in enumerate(ground.day):
            for piece in _section(ground, offer, position, missing_ah, elapsed):
                pieces.append(piece)
                missing_ah, elapsed = piece.missing_ah, piece.to_h
                best = missing_ah if missing_ah < best else best
                emptied = emptied or at_least(missing_ah, ground.capacity_ah)
                if at_most(missing_ah, ground.target_ah):
                    return Course(True, pieces, ground.target_ah, emptied, False)
        if len(ground.day) == 1 or at_least(missing_ah, start):
            return Course(False, pieces, best, emptied, False)
    return Course(False, pieces, best, emptied, True)


def _section(g: Ground, offer: Offer, position: int, missing_ah: float, elapsed_h: float):
    """The pieces of one section, each with one law, up to the target."""
    left = offer.section_hours
    while True:
        current, phase, barrier = _law(g, offer, missing_ah)
        if phase == "waiting" and barrier is None:
            if current < 0:
                after = left_while_emptied(missing_ah, current, left, g.capacity_ah)
            else:
                after = missing_ah
            yield _piece(elapsed_h, left, phase, current, after, None, position)
            return
        if phase == "waiting":
            hours = hours_at_steady(missing_ah, barrier, current, g.whole)
        elif phase == "bulk":
            hours = hours_at_steady(missing_ah, barrier, current, g.efficiency)
        else:
            hours = hours_of_fall(missing_ah, barrier, g.tail_a, g.efficiency, g.taper_h)
        whole = not at_most(hours, left)
        if whole:
            hours = left
            if phase == "waiting":
                after = left_while_emptied(missing_ah, current, left, g.capacity_ah)
            elif phase == "bulk":
                after = left_at_steady(missing_ah, current, g.efficiency, left)
            else:
                after = left_of_fall(missing_ah, left, g.tail_a, g.efficiency, g.taper_h)
        else:
            after = barrier
        flowed = None if phase == "waiting" else charge_of_fall(missing_ah, after, g.efficiency)
        yield _piece(elapsed_h, hours, phase, current, after, flowed, position)
        if whole or at_least(hours, left):
            return
        left, missing_ah, elapsed_h = rest_of_section(left, hours), after, until(elapsed_h, hours)


def _piece(elapsed_h: float, hours: float, phase: Phase, current: float, after: float, flowed: float | None, position: int) -> Piece:
    return Piece(elapsed_h, until(elapsed_h, hours), phase, current, after, flowed, hours, position)


def _law(g: Ground, offer: Offer, missing_ah: float) -> tuple[float, Phase, float | None]:
    """Current into the bank, the law that it follows, and the missing charge up to which that law holds.

    Where a source stops at its own voltage and the loads are more than the others bring, it holds the bank there.
    """
    beyond = filling(offer, g.sources, missing_ah, g.limit_a, g.none_a, at_ceiling=False)
    within = filling(offer, g.sources, missing_ah, g.limit_a, g.none_a, at_ceiling=True)
    if beyond <= 0 <= within:
        return g.none_a, "waiting", None
    if within < 0:
        # Emptied, up to where a source of low voltage begins to help.
        held = [
            g.sources[place].ceiling_missing_ah for place in offer.present
            if not reaches(g.sources[place], missing_ah, at_ceiling=True)
        ]
        return within, "waiting", min(held, key=float) if held else None
    stops = [g.target_ah, *(
        g.sources[place].ceiling_missing_ah for place in offer.present
        if g.sources[place].ceiling_missing_ah is not None and g.sources[place].ceiling_missing_ah < missing_ah
    )]
    barrier = max(stops, key=float)
    knee = missing_at_knee(beyond, g.tail_a, g.efficiency, g.taper_h)
    if at_most(missing_ah, knee):
        return accepted(missing_ah, g.tail_a, g.efficiency, g.taper_h), "taper", barrier
    return beyond, "bulk", knee if knee > barrier else barrier
