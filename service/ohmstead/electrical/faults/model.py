"""What is known of a source's short-circuit current, and what follows at a point. Service units; None means not given."""

from __future__ import annotations

from typing import Literal, Union

from msgspec import Struct

from ...reference.practices import SizeSystem
from ...working import Check
from ..sharing.model import Cable, Layout

Knowledge = Literal["makers-figure", "upper-bound", "estimate"]
Verdict = Literal["sufficient", "not-proven", "short"]
"""Short: by what is known it does not do. Not proven: it may or may not; only a maker's figure proves anything."""
ResistanceFigure = Literal["lowest", "typical", "highest"]


class Fault(Struct, frozen=True):
    """Prospective short-circuit current at a point. `proven` only when it rests on a maker's figure."""

    current_a: float
    proven: bool


class MakersFigure(Struct, frozen=True):
    """The maker states the short-circuit current of one string."""

    current_a: float
    strings: float


class UnitResistance(Struct, frozen=True):
    """The internal resistance of one unit is known."""

    resistance_ohm: float
    series: float
    strings: float
    figure: ResistanceFigure
    """Lowest: none of its kind has less. Highest: a limit of a data sheet, below which the unit may lie far."""


class BankOf(Struct, frozen=True):
    """Chemistry and capacity are known."""

    chemistry: str
    unit_capacity_ah: float
    strings: float


class Cranking(Struct, frozen=True):
    """The cold-cranking current of a lead-acid bank is known."""

    current_a: float
    """Of all strings together."""
    system: str
    """System voltage as the table of breakers for boats groups it."""
    strings: float
    unit_capacity_ah: float | None


Source = Union[MakersFigure, UnitResistance, BankOf, Cranking]


class Conductor(Struct, frozen=True):
    """A conductor that begins at the point, and how soon its device opens."""

    size: str
    sets: float
    constant: str
    """Name of the constant of its insulation."""
    clearing_time_s: float
    system: SizeSystem = "awg"


class FaultRequest(Struct, frozen=True):
    """A source, the way from it to a point, and what stands at the point."""

    source: Source
    highest_voltage_v: float
    joined: Layout | None
    """How the strings are joined; None: right at their posts."""
    cables: tuple[Cable, ...]
    joints: float
    conductor_temperature_c: float | None
    conductor: Conductor | None
    family: str | None


class FamilyAt(Struct, frozen=True):
    """A device family at the lowest voltage at which it is marked that is not below the circuit's."""

    row: str
    family: str
    title: str
    kind: str
    voltage_v: float
    interrupting_a: float
    current_limiting: bool
    uses: tuple[str, ...]
    """Kinds of circuit that the family is used in."""
    check: Check
    verdict: Verdict


class AskedDevice(Struct, frozen=True):
    """The family that was asked about."""

    family: str
    title: str
    marked: FamilyAt | None
    """None when no rating holds at the circuit's voltage."""
    checks: tuple[Check, ...]
    verdict: Verdict
    least_run_m: float | None
    """Length of the first cable from which on its rating reaches the fault; None when it does so now, or there is no cable."""


class Withstand(Struct, frozen=True):
    """Whether a conductor stands the fault until its device opens."""

    size: str
    sets: float
    check: Check
    time_s: float
    """How long it stands the fault."""
    smallest: str | None
    """Smallest size that stands it in as many sets; None when none of the table does."""
    verdict: Verdict
    system: SizeSystem = "awg"


class CraftBreakers(Struct, frozen=True):
    """What boats' rules ask of breakers by cold-cranking current."""

    row: str
    main_a: float
    branch_a: float


class FaultAtPoint(Struct, frozen=True):
    """Prospective short-circuit currents and what they ask for."""

    knowledge: Knowledge
    highest_voltage_v: float
    joined: bool
    """Whether links or leads of the strings are counted."""
    at_posts_a: float
    """At the posts, or at the take-off of strings with links or leads."""
    at_point_a: float
    source_resistance_ohm: float
    path_resistance_ohm: float | None
    families: tuple[FamilyAt, ...]
    """Those whose rating reaches the current, best first."""
    strongest: FamilyAt | None
    """The one that interrupts most at this voltage; None when no family is made for it."""
    device: AskedDevice | None
    conductor: Withstand | None
    craft: CraftBreakers | None
    systems: tuple[SizeSystem, ...] = ()
    """Systems of the sizes that were used."""
