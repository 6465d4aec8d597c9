"""A bank as its owner describes it, and what follows from that. Service units; None means not given or not known."""

from __future__ import annotations

from msgspec import Struct

from ...working import Check
from ..storage.chemistry import Properties
from ..storage.fitting import Assumed
from ..storage.model import Chemistry


class ByUnits(Struct, frozen=True):
    """Like units, described by one of them."""

    voltage_v: float
    """Nominal voltage of one unit."""
    capacity_ah: float
    """Rated capacity of one unit."""
    parallel: float
    """Strings in parallel."""
    rated_hours: float | None = None
    cells: float | None = None
    """Cells in series inside one unit."""
    current_a: float | None = None
    """Continuous discharge current of one unit, as its management system or its maker limits it."""
    charge_current_a: float | None = None


class ByEnergy(Struct, frozen=True):
    """Only the rated energy of the whole bank is known."""

    rated_energy_wh: float
    parallel: float
    current_a: float | None = None
    """Continuous discharge current of one string."""
    charge_current_a: float | None = None


class HeldRequest(Struct, frozen=True):
    """A bank, and the temperature that it has."""

    chemistry: Chemistry
    nominal_voltage_v: float
    """12, 24 or 48."""
    made: ByUnits | ByEnergy
    bank_temperature_c: float | None = None


class Held(Struct, frozen=True):
    """What the bank is."""

    known: Properties
    bank_temperature_c: float
    capacity_ah: float
    voltage_v: float
    """Nominal."""
    rated_energy_wh: float
    series: int
    strings: float
    cells: float
    """In series, the whole bank."""
    string_capacity_ah: float
    rated_hours: float
    continuous_a: float
    """Discharge current without end, all strings."""
    usual_a: float | None
    """Discharge current that is usual for lead-acid where the maker states none; None elsewhere."""
    one_string_gone_a: float
    charge_limit_a: float
    charge_floor_a: float | None
    current_assumed: Assumed | None
    charging_assumed: Assumed | None


class NotHeld(Struct, frozen=True):
    """Why there is no such bank."""

    why: str
    failed: Check | None = None
