"""What protects people on a circuit. Service units; None means not known or not stated."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Citation

Serves = Literal["receptacles", "fixed", "lighting"]
"""What the circuit serves; fixed: appliances without a plug."""
PeoplePlace = Literal["bath", "galley", "sink", "outside", "machinery-space", "laundry", "basement", "elsewhere"]
"""Where. Bath: with lavatory, toilet, shower or tub, on a boat the head. Sink: within 1.8 m of one. Basement: garage and crawl space too."""
ProtectionDevice = Literal[
    "ground-fault-interrupter", "equipment-leakage-interrupter", "residual-current-device", "arc-fault-interrupter", "all-pole-breaker",
    "main-switch", "polarity-indicator", "galvanic-isolator", "ground-fault-protection-of-equipment",
]
Side = Literal["installation", "source", "site"]
"""Whose it is: of the installation, of a source that is bought with it, of the place where the supply is taken."""


class Requirement(Struct, frozen=True):
    """A device that the rules ask for on a circuit."""

    row: str
    """Row of the table of people protection."""
    device: ProtectionDevice
    title: str
    side: Side
    residual_current_a: float | None
    longest_s: float | None
    """Time in which it opens at that current."""
    poles: float | None
    """Poles that open together on a circuit of two wires."""
    text: str
    """For what, and where it sits."""
    unless: str
    """When it is not needed; empty when always."""
    certain: bool
    """Whether what the circuit serves and where is known; else it may not be needed."""
    citation: Citation
