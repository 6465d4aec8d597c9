"""Walk a bank through its days until its charge is used up, or until it is plain that it never is."""

from __future__ import annotations

from math import floor

from msgspec import Struct

from ...reference.case import Case
from ...working import at_most
from .clock_formulas import days_later, later, used_a_day, used_after, used_after_days, used_up_at


class Step(Struct, frozen=True):
    """A section of the day for the walk."""

    hours: float
    used_a: float
    """Charge used up an hour; below nought while the bank fills."""
    usable_ah: float
    """In this section: a heavy load reaches its cut-off earlier."""


class End(Struct, frozen=True):
    """When and where the walk ended; None for hours without end."""

    hours: float | None
    section: int


def walk(steps: list[Step], case: Case) -> End:
    """The hours until a section asks for more than is left.

    A day that ends no emptier than it began is repeated for ever. Days without a full bank in between are alike, so
    whole days are taken at once up to the last one before the end.
    """
    used = case.chosen(0.0, "used_ah", "the run begins")
    elapsed = case.chosen(0.0, "elapsed_hours", "the run begins")
    if len(steps) == 1 and steps[0].used_a > 0:
        return End(used_up_at(elapsed, steps[0].usable_ah, used, steps[0].used_a), 0)
    skipped = False
    while True:
        start, full, tops = used, False, []
        for position, step in enumerate(steps):
            if not at_most(used, step.usable_ah):
                return End(elapsed, position)
            after = used_after(used, step.used_a, step.hours)
            if step.used_a > 0 and not at_most(after, step.usable_ah):
                return End(used_up_at(elapsed, step.usable_ah, used, step.used_a), position)
            full = full or (step.used_a < 0 and not after > 0)
            tops.append(float(step.usable_ah) - max(float(used), float(after)))
            used, elapsed = after, later(elapsed, step.hours)
        if not skipped and at_most(used, start):
            return End(None, min(range(len(steps)), key=tops.__getitem__))
        if full or skipped:
            continue
        day = used_a_day(used, start)
        left = floor(min(tops) / float(day)) - 1
        if left > 0:
            days = case.chosen(left, "whole_days", "days that are alike before the one in which the run ends", day)
            used, elapsed, skipped = used_after_days(used, days, day), days_later(elapsed, days), True
