"""The day cut into sections in which the same loads are on, from the start of the run."""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case
from ...working import at_least, at_most
from .clock_formulas import after_start, day_before, end_of_use, length, past_midnight
from .model import Always, ByTheClock, HoursADay


class Stretch(Struct, frozen=True):
    """A section of the day and the uses that it belongs to, by position."""

    from_h: float
    to_h: float
    section_hours: float
    active: tuple[int, ...]


def stretches(uses: tuple[Always | HoursADay | ByTheClock, ...], given_start_h: float | None, case: Case) -> list[Stretch]:
    """The sections of a day in their order; one of 24 hours when nothing goes by the clock."""
    begin = case.chosen(0.0, "section_from_h", "the run begins")
    end = case.chosen(24.0, "section_to_h", "a day")
    if not any(isinstance(use, ByTheClock) for use in uses):
        return [Stretch(begin, end, length(end, begin), tuple(range(len(uses))))]
    start = case.assume("start_hour", given_start_h)
    spans = [_spans(use, start, begin, end) if isinstance(use, ByTheClock) else ((begin, end),) for use in uses]
    bounds = [begin]
    for bound in sorted(bound for span in spans for part in span for bound in part):
        if not at_most(bound, bounds[-1]):
            bounds.append(bound)
    if not at_least(bounds[-1], end):
        bounds.append(end)
    return [
        Stretch(low, high, length(high, low), tuple(
            position for position, span in enumerate(spans)
            if any(at_most(first, low) and at_least(last, high) for first, last in span)))
        for low, high in zip(bounds, bounds[1:])
    ]


def _spans(use: ByTheClock, start_h: float, begin: float, end: float) -> tuple[tuple[float, float], ...]:
    """One stretch, or two where the use passes the end of the first day."""
    on = after_start(use.from_h, start_h) if at_least(use.from_h, start_h) else past_midnight(use.from_h, start_h)
    off = end_of_use(on, use.hours)
    if at_most(off, end):
        return ((on, off),)
    return (on, end), (begin, day_before(off))
