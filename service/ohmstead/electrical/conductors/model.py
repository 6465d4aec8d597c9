"""One circuit to size, and what came of it. Service units throughout; None means not given."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...reference.practices import RuleSource
from ...working import Check, Choice
from ..legs.model import Arrangement
from ..protection.model import Device

Place = Literal["enclosed", "free-air"]
Outcome = Literal["sized", "nothing-fits"]
ReturnPath = Literal["conductor", "chassis", "hull"]


class Stretch(Struct, frozen=True):
    """A part of a run in surroundings of its own."""

    run_m: float
    place: Place = "enclosed"
    engine_space: bool = False
    ambient_c: float | None = None
    loaded_conductors: float | None = None


class End(Struct, frozen=True):
    """Where a circuit ends: what the terminal takes."""

    stud: str | None = None
    """Thread; None for a clamp, which takes the conductor without a lug."""
    largest_conductor: str | None = None
    smallest_conductor: str | None = None
    conductors_most: int = 1
    """Conductors that the terminal takes together."""
    temperature_c: float | None = None
    pointer: str = ""


class TwoLegs(Struct, frozen=True):
    """The second leg of a circuit of alternating current."""

    arrangement: Arrangement
    own_leg_a: float
    """The leg that carries more."""
    other_leg_a: float
    joint_breaker_a: float | None = None
    """One breaker in the one hot ahead of both legs."""


class Run(Struct, frozen=True):
    """A circuit between two places."""

    source: RuleSource
    current_a: float
    """Average current at the lowest voltage."""
    nominal_voltage_v: float
    lowest_voltage_v: float
    highest_voltage_v: float
    run_m: float
    """Of the whole run, or of its first stretch where there are further ones."""
    continuous: bool = True
    ripple_power_factor: float | None = None
    """Power factor of the loads of a single-phase inverter fed by this circuit; None when there is no ripple."""
    critical: bool = True
    """Whether the load minds the voltage; it decides which drop is allowed where none is given."""
    place: Place = "enclosed"
    engine_space: bool = False
    ambient_c: float | None = None
    loaded_conductors: float | None = None
    further: tuple[Stretch, ...] = ()
    """More stretches of the same run, each in surroundings of its own."""
    insulation_temperature_c: float | None = None
    terminal_temperature_c: float | None = None
    """Rating of the terminals of an end that does not say its own."""
    largest_conductor: str | None = None
    """Largest conductor that the terminals of an end take that does not say its own."""
    ends: tuple[End, ...] = ()
    """What is known of the terminals; both ends, or none."""
    drop_limit: float | None = None
    max_sets: int = 4
    device: bool = True
    device_family: str | None = None
    """Family that the device has to be of; None leaves the choice to the rules."""
    fault_current_a: float | None = None
    fault_proven: bool = False
    both_ways: bool = False
    device_limit_a: float | None = None
    device_least_a: float | None = None
    """Smallest rating that something other than the load asks for: a start, the heat of the place, a breaker upstream."""
    grounding: bool = False
    enlarge_grounding: bool = True
    return_path: ReturnPath = "conductor"
    return_resistance_ohm: float | None = None
    """Of a chassis that carries the current back; None counts it as a conductor like the one out."""
    legs: TwoLegs | None = None


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
    stretches: tuple["Part", ...] = ()
    """What each stretch gives, where there are several."""
    governing: int = 0
    """The stretch that allows least."""

    @property
    def what(self) -> str:
        """The conductor in words."""
        return f"{self.sets} × {self.size}" if self.sets > 1 else self.size


class Part(Struct, frozen=True):
    """A conductor in one stretch of its run."""

    run_m: float
    place: Place
    ambient_c: float
    ambient_factor: float
    bundling_factor: float
    ampacity_insulation_a: float
    ampacity_conditions_a: float
    conductor_temperature_c: float
    drop_at_temperature_v: float


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
    """Of the stretch that allows least, as are the two factors."""
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
