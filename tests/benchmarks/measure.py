"""Processor time of small pieces of work, taken in turns, and how a cost grows."""

from __future__ import annotations

import math
import statistics
import time
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

Repeated = Callable[[int], None]
"""Does a piece of work so many times over."""


class Timing(NamedTuple):
    """Processor time of one piece of work, in seconds."""

    best: float
    median: float


_LEAST = 5
"""Repetitions in a sample, at least."""


def repeated(function: Callable, *arguments: Any) -> Repeated:
    """A call as a piece of work."""

    def run(times: int) -> None:
        for _ in range(times):
            function(*arguments)

    return run


def in_turns(work: Mapping[str, Repeated], rounds: int, sample_s: float) -> dict[str, Timing]:
    """Best and median of each piece over the rounds.

    In every round each piece gets one sample, so that a slow spell of the machine falls on all of them alike and
    ratios between them stay true. A sample repeats its piece for about `sample_s`, but five times at least: the first
    time pays for what the piece before it has driven out of the processor's caches.
    """
    times = {name: _times(run, sample_s) for name, run in work.items()}
    taken: dict[str, list[float]] = {name: [] for name in work}
    for _ in range(rounds):
        for name, run in work.items():
            taken[name].append(_sample(run, times[name]) / times[name])
    return {name: Timing(min(samples), statistics.median(samples)) for name, samples in taken.items()}


def _times(run: Repeated, sample_s: float) -> int:
    """How often the piece fits a sample. What is made at the first call, such as a framework's routes, does not count."""
    run(3)
    times = 1
    while True:
        took = _sample(run, times)
        if took >= sample_s / 4 or times >= 100_000:
            return max(_LEAST, round(times * sample_s / max(took, 1e-9)))
        times *= 2


def _sample(run: Repeated, times: int) -> float:
    began = time.process_time()
    run(times)
    return time.process_time() - began


def exponent(sizes: Sequence[int], costs: Sequence[float]) -> float:
    """The p of cost ~ size^p that fits best: the slope of a straight line through both logarithms.

    >>> exponent([5, 10, 20], [3.0, 6.0, 12.0])
    1.0
    >>> exponent([5, 10, 20], [1.0, 4.0, 16.0])
    2.0
    """
    x, y = [math.log(size) for size in sizes], [math.log(cost) for cost in costs]
    return statistics.linear_regression(x, y).slope
