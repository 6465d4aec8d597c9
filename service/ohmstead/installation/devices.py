"""Devices of drawn circuits: the rating that lets a start pass and carries its load in the heat, and what stays short of that."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from ..electrical.conductors.currents import currents_of
from ..electrical.conductors.device_heat import at_device, carried, is_asked
from ..electrical.conductors.model import Circuit as Sized
from ..electrical.conductors.model import Run
from ..electrical.conductors.sizing import size_circuit
from ..electrical.protection.opening import Transient, derated_rating, let_pass, opening, smallest_in_heat, smallest_that_holds
from ..reference.case import Case
from ..reference.practices import RuleSource

if TYPE_CHECKING:
    from .assembly import Drawn


class Asked(Struct, frozen=True):
    """What a circuit was sized for."""

    run: Run
    start: Transient | None = None
    """The start that its device has to let pass."""

    @property
    def source(self) -> RuleSource:
        """The rules that it is under."""
        return self.run.source


def settled(asked: Asked, case: Case) -> Sized:
    """A circuit with a device that carries its load in the heat and lets its start pass.

    The smallest rating of the family that carries the load in the heat is taken where conductors for it can be had. Of
    those that surely let the start pass the smallest is taken if it asks for no more than the next size of conductor.
    Where none can be had the smallest device stays, and what it is short of is found at the end.
    """
    run = asked.run
    sized = size_circuit(run, case, neighbours=False)
    device = sized.device
    if device is None or sized.conductor is None:
        return sized
    family, hottest, flowing = device.family, at_device(sized), currents_of(run).rms_a
    cool = smallest_in_heat(family, flowing, hottest, case, device.rating_a)
    if cool is None:
        return sized
    if cool != device.rating_a:
        larger = _with_device(run, family, cool, case)
        sized = sized if larger is None else larger
    if asked.start is None:
        return sized
    passing = _from_on(cool, family, asked.start, hottest, case)
    if passing is None or passing == sized.device.rating_a:
        return sized
    larger = _with_device(run, family, passing, case)
    return sized if larger is None or not _close(larger, sized, run) else larger


def _with_device(run: Run, family: str, rating_a: float, case: Case) -> Sized | None:
    """The circuit with a device of at least this rating; None where no conductor is protected by it, or only above its ampacity."""
    found = size_circuit(replace(run, device_family=family, device_least_a=rating_a), case, neighbours=False)
    return None if found.conductor is None or found.device is None or found.above_ampacity else found


def _from_on(rating_a: float, family: str, start: Transient, hottest_c: float, case: Case) -> float | None:
    """This rating or the next one made that surely lets a start pass; None when none is known to."""
    if opening(family, rating_a, start.current_a, start.duration_s, case, hottest_c).verdict == "holds":
        return rating_a
    return smallest_that_holds(family, start.current_a, start.duration_s, case, rating_a, hottest_c)


def _close(larger: Sized, sized: Sized, run: Run) -> bool:
    """Whether the conductors stay as many, and of their size or the next one."""
    sizes = run.source.sizes
    return larger.conductor.sets == sized.conductor.sets and sizes.row(larger.conductor.size) - sizes.row(sized.conductor.size) <= 1


def remark_devices(circuits: Iterable[Drawn], case: Case) -> None:
    """Hold every device against the heat of its place and against the start behind it; what is not known of a family is said once."""
    unknown: set[tuple[str, float]] = set()
    for position, drawn in enumerate(circuits):
        sized, device = drawn.sized, drawn.sized.device
        if device is None or sized.conductor is None:
            continue
        pointer, hottest = f"/installation/circuits/{position}", at_device(sized)
        known = derated_rating(device.family, device.rating_a, hottest, case) is not None
        if known or ((device.family, float(hottest)) not in unknown and is_asked(device, hottest, case)):
            check = carried(sized, drawn.asked.run, hottest, case, pointer)
            if check is not None:
                drawn.sized, drawn.in_heat = replace(sized, checks=(*sized.checks, check)), True
            if not known:
                unknown.add((device.family, float(hottest)))
        if drawn.asked.start is not None:
            drawn.passing = let_pass(drawn.asked.start, device, drawn.source, case, hottest, pointer)
