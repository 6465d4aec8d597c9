"""Charge controllers as their data sheets describe them, and what one is asked to do."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

ControllerKind = Literal["mppt"]
"""Tracks the maximum-power point and steps the voltage down to the battery's."""


class ControllerType(Struct, frozen=True):
    """One controller's limits. None: not known."""

    name: str
    input_limit_v: float
    """Largest open-circuit voltage at the input."""
    output_rating_a: float
    kind: ControllerKind = "mppt"
    input_short_circuit_a: float | None = None
    """Largest short-circuit current of the array that the maker permits."""
    start_headroom_v: float | None = None
    """Voltage above the battery's that the controller needs to charge."""
    blocks_backfeed: bool | None = None
    """Listed against feeding the array from the battery."""
    generic: bool = False


class GenericController(Struct, frozen=True):
    """Take the smallest that fits out of the ratings that are made."""

    kind: ControllerKind = "mppt"


ControllerWish = GenericController | ControllerType


class BankSide(Struct, frozen=True):
    """What a controller sees at its output."""

    system_voltage_v: float
    """Nominal."""
    charging_voltage_v: float
    """Highest voltage at which the bank is charged."""
    lowest_voltage_v: float
    """Lowest battery voltage while charging: there the current is largest."""
