"""A circuit's device in the heat of its place."""

from __future__ import annotations

from ...reference.case import Case
from ...working import Check, at_most
from ..protection.model import Device
from ..protection.opening import ambient_factor, carried_in_heat
from .currents import currents_of
from .model import Circuit, Run


def at_device(circuit: Circuit) -> float:
    """Air around the device: it sits where the run begins."""
    row = circuit.conductor
    return row.stretches[0].ambient_c if row is not None and row.stretches else circuit.ambient_c


def is_asked(device: Device, hottest_c: float, case: Case) -> bool:
    """Whether the heat is worth a word: not where the place is mild and no factor is known."""
    return not at_most(hottest_c, case.library.defaults["ambient_c"][0]) or ambient_factor(device.family, hottest_c, case) is not None


def carried(circuit: Circuit, run: Run, hottest_c: float, case: Case, pointer: str = "") -> Check | None:
    """Whether the device carries the current in the heat of its place; None where that is not asked or not known."""
    if circuit.conductor is None or not is_asked(circuit.device, hottest_c, case):
        return None
    return carried_in_heat(circuit.device, currents_of(run).rms_a, hottest_c, case, pointer)
