"""The registry: one entry a calculation, and everything else follows from it."""

from __future__ import annotations

from ..electrical.conductors.single import size_single
from ..electrical.storage.sizing import size_bank
from ..wire.v1 import bank, circuit
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
    Calculation(
        name="bank", request=bank.BankRequest, answer=bank.BankAnswer, read=bank.read, work=size_bank, write=bank.write,
        summary="Size the bank",
        description="How many units in series and in parallel serve the energy, the currents and the charging that are asked, which "
        "demand governed, what the bank then gives new and at the end of its life, its voltages and currents with one string gone, "
        "and what becomes of units that are there already.",
        examples=("bank-climbers-van", "bank-beekeepers-cabin", "bank-horse-trailer"), get=True,
    ),
)  # fmt: skip
