"""What a planned installation has to hold: the sizes and the places, before a single wire is drawn."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ..electrical.array.model import Group
from ..electrical.inverter.model import Inverter
from ..electrical.sources.model import Neutral, Supply
from ..electrical.storage.model import Bank
from ..reference.practices import Practice
from .model import Mode


Hull = Literal["composite", "wood", "metal"]
Fuel = Literal["petrol", "diesel", "none"]


class RunLengths(Struct, frozen=True):
    """One-way length of the runs of a class; None where the documented usual length stands in."""

    length_m: dict[str, float]
    ambient_c: dict[str, float]


class DirectLoad(Struct, frozen=True):
    """A direct-current load with its own branch."""

    id: str
    power_w: float
    """All alike together."""
    start_w: float | None = None
    """While one of them starts and the others run; None where nothing starts harder than it runs."""
    voltage_v: float | None = None
    """Voltage of the load where it is not the system's, so that it needs a converter."""
    always_live: bool = False
    """Stays on when the bank's disconnect is open: detectors, brakes, bilge pump."""


class AlternatingLoad(Struct, frozen=True):
    """An alternating-current load."""

    id: str
    apparent_va: float
    on_inverter: bool
    continuous: bool


class Needs(Struct, frozen=True):
    """Everything that is known when wiring starts."""

    practice: Practice
    kind: str
    nominal_v: float
    bank: Bank
    inverter: Inverter | None
    """None when there is none, or none that fits."""
    groups: tuple[Group, ...]
    supplies: tuple[Supply, ...]
    direct_loads: tuple[DirectLoad, ...]
    alternating_loads: tuple[AlternatingLoad, ...]
    lengths: RunLengths
    direct_running_w: float
    ripple_power_factor: float
    inverter_current_a: float | None
    cut_off_v: float
    lock_out: bool
    """Whether every charger has to be locked out in the cold."""
    starter_voltage_v: float = 12.0
    neutrals: dict[str, Neutral] = {}
    """What is known of the neutral of each generator, by its id."""
    hull: Hull | None = None
    """Of a boat; None of what is none."""
    fuel: Fuel | None = None


def mode_of(supply: Supply, supplies: tuple[Supply, ...]) -> Mode:
    """The mode in which an alternating-current supply is connected: its kind, with its id where others share the kind."""
    alike = sum(other.kind == supply.kind for other in supplies)
    return supply.kind if alike == 1 else f"{supply.kind}:{supply.id}"


def modes_of(needs: Needs) -> tuple[Mode, ...]:
    """Modes in which the dwelling lives: each alternating-current supply, the inverter or none of them, driving."""
    found = [mode_of(supply, needs.supplies) for supply in needs.supplies if supply.alternating is not None]
    found.append("inverter")
    if any(supply.kind == "alternator" for supply in needs.supplies):
        found.append("driving")
    return tuple(found)
