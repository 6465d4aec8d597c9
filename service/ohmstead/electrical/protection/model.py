"""Overcurrent devices."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

InterruptingVerdict = Literal["sufficient", "not-proven", "short", "not-asked"]


class Device(Struct, frozen=True):
    """One overcurrent device, or the same at both ends."""

    family: str
    title: str
    kind: Literal["fuse", "breaker"]
    rating_a: float
    voltage_v: float | None
    """None, as the next one, only where nobody read the label of a device that was chosen."""
    interrupting_a: float | None
    interrupting: InterruptingVerdict
    polarised: bool
    current_limiting: bool
    mounting: str
    row: str
    """Row of the family table that the voltage and interrupting rating were read from."""


class Demand(Struct, frozen=True):
    """What a circuit asks of its device."""

    use: str
    needed_a: float
    highest_voltage_v: float
    fault_current_a: float | None
    fault_proven: bool
    both_ways: bool
    limit_a: float | None = None
    """Largest rating that something other than the conductor allows: a module's series fuse, a terminal."""
    least_a: float | None = None
    """Smallest rating that something other than the load asks for; None where nothing does."""
    family: str | None = None
    """Family that it has to be of; None leaves the choice to the order of preference."""
