"""How circuits in series share the drop that is allowed from the source to the load."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from ..electrical.conductors.model import Circuit as Sized
from .formulas import feeders_drop, left_of_drop, share_by_length, summed_drop, summed_run

if TYPE_CHECKING:
    from .assembly import Assembly


class Ahead(Struct, frozen=True):
    """What the circuits ahead of a place have taken."""

    drop_fraction: float
    voltage_v: float
    """What is left when they are fully loaded and the source is at its lowest."""


def behind(ahead: Ahead | None, sized: Sized) -> Ahead | None:
    """What is taken behind a further circuit; as before where it is not sized."""
    if sized.conductor is None or sized.load_voltage_v is None:
        return ahead
    own = sized.conductor.drop_fraction
    return Ahead(own if ahead is None else summed_drop(ahead.drop_fraction, own), sized.load_voltage_v)


def worst(*paths: Ahead | None) -> Ahead | None:
    """The path that takes most, of several of which one is in use at a time."""
    return max((path for path in paths if path is not None), key=lambda path: path.drop_fraction, default=None)


def feeder_limit(a: Assembly, circuit_class: str, ahead: Ahead | None, after: tuple[str, ...] = ()) -> float:
    """Drop that a feeder may have: its part by length of what the feeders together may take and those ahead have left.

    `after` are the classes of the feeders behind this one.
    """
    case, source = a.case, a.practice.source(circuit_class)
    together = feeders_drop(case.assume(source.drop_limit_default), case.assume(a.practice.drop_total[source.current]),
                            case.assume(a.practice.feeder_share[source.current]))
    taken = case.chosen(0.0, "drop_fraction", "nothing lies ahead") if ahead is None else ahead.drop_fraction
    run = a.length(circuit_class)
    return share_by_length(together, taken, run, summed_run(run, *(a.length(name) for name in after)))


def branch_limit(a: Assembly, circuit_class: str, ahead: Ahead | None) -> float | None:
    """Drop that a branch may have behind its feeders; None, its own limit, where there is none."""
    if ahead is None:
        return None
    source = a.practice.source(circuit_class)
    return left_of_drop(a.case.assume(source.drop_limit_default), a.case.assume(a.practice.drop_total[source.current]), ahead.drop_fraction)
