"""One circuit to size, and what came of it. Service units throughout; None means not given."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...reference.practices import RuleSource
from ...working import Check, Choice
from ..protection.model import Device

Place = Literal["enclosed", "free-air"]
Outcome = Literal["sized", "nothing-fits"]


class Run(Struct, frozen=True):
    """A circuit between two places."""

    source: RuleSource
    current_a: float
    """Average current at the lowest voltage."""
    nominal_voltage_v: float
    lowest_voltage_v: float
    highest_voltage_v: float
    run_m: float
    continuous: bool = True
    ripple_power_factor: float | None = None
    """Power factor of the loads of a single-phase inverter fed by this circuit; None when there is no ripple."""
    critical: bool = True
    """Whether the load minds the voltage; it decides which drop is allowed where none is given."""
    place: Place = "enclosed"
    engine_space: bool = False
    ambient_c: float | None = None
    loaded_conductors: float | None = None
    insulation_temperature_c: float | None = None
    terminal_temperature_c: float | None = None
    largest_conductor: str | None = None
    """Largest conductor that the terminals take."""
    smallest_conductor: str | None = None
    """Smallest conductor for which a lug is made for the studs."""
    drop_limit: float | None = None
    max_sets: int = 4
    device: bool = True
    fault_current_a: float | None = None
    fault_proven: bool = False
    both_ways: bool = False
    device_limit_a: float | None = None
    grounding: bool = False
    enlarge_grounding: bool = True


class Row(Struct, frozen=True):
    """A conductor size, how many of it, and what it gives under the conditions of the run."""

    size: str
    sets: int
    area_mm2: float
    ampacity_terminal_a: float
    ampacity_insulation_a: float
    ampacity_terminals_a: float
    ampacity_conditions_a: float
    ampacity_a: float
    drop_v: float
    drop_fraction: float
    conductor_temperature_c: float
    drop_at_temperature_v: float
    drop_at_temperature_fraction: float

    @property
    def what(self) -> str:
        """The conductor in words."""
        return f"{self.sets} × {self.size}" if self.sets > 1 else self.size


class Neighbour(Struct, frozen=True):
    """The next size down or up and the check that rules it out, if one does."""

    size: str
    sets: int
    failed: Check | None


class Circuit(Struct, frozen=True):
    """A sized circuit, or the nearest miss."""

    outcome: Outcome
    design_current_a: float
    thermal_current_a: float
    ambient_c: float
    ambient_factor: float | None
    bundling_factor: float | None
    terminal_temperature_c: float
    insulation_temperature_c: float
    drop_limit: float
    conductor: Row | None
    device: Device | None
    grounding_size: str | None
    load_voltage_v: float | None
    choice: Choice | None
    checks: tuple[Check, ...]
    smaller: Neighbour | None = None
    larger: Neighbour | None = None
    failed: Check | None = None
    why: str = ""
    conventional_drop_v: float | None = None
    drop_constant: float | None = None
    above_ampacity: bool = False
    """Whether the device exceeds the ampacity by an allowance of the document."""
