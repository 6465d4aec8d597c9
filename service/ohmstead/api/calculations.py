"""The registry: one entry a calculation, and everything else follows from it."""

from __future__ import annotations

from ..electrical.conductors.single import size_single
from ..wire.v1 import circuit
from .calculation import Calculation

CALCULATIONS: tuple[Calculation, ...] = (
    Calculation(
        name="circuit", request=circuit.CircuitRequest, answer=circuit.CircuitAnswer,
        read=circuit.read, work=size_single, write=circuit.write,
        summary="Size one circuit",
        description="The smallest conductor that passes every check of the practice for this class of circuit, and its "
        "overcurrent device: rating, voltage, interrupting rating, family and place. Says which check decided and what "
        "the next smaller size fails.",
        examples=("circuit-inverter", "circuit-water-pump"), get=True,
    ),
)  # fmt: skip
