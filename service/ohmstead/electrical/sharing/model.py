"""A bank of parallel units as a network, and how it shares a current. Service units throughout; None means not given."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...reference.practices import SizeSystem
from ...working import Check

LayoutName = Literal["one-end", "diagonal", "bus-bars"]
LimitVerdict = Literal["within", "not-proven", "exceeded", "not-asked"]


class Cable(Struct, frozen=True):
    """Conductors of one size out, and as many back."""

    size: str
    sets: float
    run_m: float
    system: SizeSystem = "awg"


class Link(Struct, frozen=True):
    """What joins neighbouring units, one conductor a pole; behind bus bars the leads of one unit. Resistance or cable."""

    resistance_ohm: float | None = None
    """Of one conductor with its joints."""
    cable: Cable | None = None
    joints: float | None = None
    """Bolted joints of one conductor."""
    conductor_temperature_c: float | None = None


class Layout(Struct, frozen=True):
    """How the units are joined and where the bank's own leads sit."""

    name: LayoutName
    link: Link


class Unit(Struct, frozen=True):
    """One unit, or one string that is joined to the others at its ends only. Resistance, or capacity and cells."""

    resistance_ohm: float | None = None
    capacity_ah: float | None = None
    cells: float | None = None
    own_resistance_ohm: float | None = None
    """In series with this unit alone, both poles together: fuse, its own leads, a joint."""
    positive: Link | None = None
    """The link or lead of the positive pole that starts at this unit, where it is not like the others."""
    negative: Link | None = None


class SharingRequest(Struct, frozen=True):
    """A bank, its layout and the current that it gives or takes."""

    chemistry: str
    layout: Layout
    units: tuple[Unit, ...]
    """In the order in which they stand; the positive lead is at the first one."""
    total_current_a: float
    unit_limit_a: float | None


class Flow(Struct, frozen=True):
    """Currents of a network."""

    units_a: tuple[float, ...]
    positive_a: tuple[float, ...]
    """Of the links of the positive pole from the first unit on, or of the leads to the bus bars."""
    negative_a: tuple[float, ...]
    bank_resistance_ohm: float


class SharedUnit(Struct, frozen=True):
    """What one unit carries."""

    resistance_ohm: float
    typical: bool
    """Whether its resistance is the usual one of its chemistry, not given."""
    current_a: float
    share: float
    over_equal: float
    heat_w: float


class SharedLink(Struct, frozen=True):
    """What one link or lead carries."""

    pole: Literal["positive", "negative"]
    after: int
    """The unit that it starts from, counted from one: a link goes on to the next one, a lead to the bus bar."""
    resistance_ohm: float
    current_a: float
    heat_w: float


class Sharing(Struct, frozen=True):
    """How the bank shares the current."""

    chemistry: str
    layout: LayoutName
    units: tuple[SharedUnit, ...]
    links: tuple[SharedLink, ...]
    link_resistance_ohm: float
    """Of one link or lead with its joints, where none of its own is given."""
    equal_current_a: float
    largest: int
    """The unit that carries most, counted from one."""
    hottest: int
    """The unit with the most heat inside."""
    hottest_link: int
    """Position in `links`, from nought."""
    usable_ratio: float
    bank_resistance_ohm: float
    bus_bars_largest_a: float
    """Current of the unit that would carry most behind equal leads to bus bars."""
    bus_bars_resistance_ohm: float
    layout_ratio: float
    limit: LimitVerdict
    checks: tuple[Check, ...]
    bank_limit_a: float | None
    bus_bars_limit_a: float | None
    systems: tuple[SizeSystem, ...]
    """Systems of sizes in which links are given."""
