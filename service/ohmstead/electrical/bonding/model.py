"""Sources and the bonds they bring, and what came of them. Service units throughout; None means not given."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...reference.bonding import BondRule, ConductorRule
from ...reference.practices import SizeSystem
from ...working import Check
from ..legs.model import Arrangement

Known = Literal["yes", "no", "not-known"]
SourceKind = Literal["shore", "generator", "inverter"]
Transformer = Literal["none", "isolation", "polarization", "not-known"]
Neutral = Literal["bonded", "floating", "not-known"]
InverterBond = Literal["relay", "fixed", "none", "not-known"]
Units = Literal["one", "all", "none", "not-known"]
Screw = Literal["fitted", "removed", "not-known"]

Place = Literal["supply", "transformer-secondary", "generator", "inverter", "panel"]
"""supply: off board, at the site's or the utility's service."""

How = Literal["cut-off", "relay-open", "disabled-in-other-units", "not-made", "removed"]
"""Why a bond does not count. cut-off: it stays, the transfer equipment parts its neutral from the panel."""

CountVerdict = Literal["one", "none", "several", "cannot-be-judged"]
Verdict = Literal["sound", "to-be-changed", "cannot-be-judged"]

Action = Literal[
    "switch-neutral", "take-more-poles", "remove-panel-bond", "fit-panel-bond", "bond-generator", "open-generator-bond", "bond-secondary",
    "open-secondary-bond", "bond-inverter", "open-inverter-bond", "bond-one-unit-only", "fit-bonding-relay",
    "ask-transfer", "ask-generator", "ask-inverter", "ask-secondary", "ask-transformer", "ask-panel", "ask-pass-through", "ask-double-pole",
]

ConductorOutcome = Literal["sized", "nothing-fits", "no-figure-seen", "not-needed", "data-missing"]
WithstandVerdict = Literal["sufficient", "not-proven", "short", "not-asked"]


class Source(Struct, frozen=True):
    """A source that can feed the panel."""

    kind: SourceKind
    arrangement: Arrangement = "one-leg"
    transformer: Transformer = "none"
    """Of a shore supply, on board."""
    neutral: Neutral = "not-known"
    """Of a generator, or of the secondary of a shore supply's transformer."""
    units: int = 1
    """Inverters that work together."""
    bonding: InverterBond = "not-known"
    closed_in: Units = "not-known"
    """How many of the units close the bond."""
    passes_supply: Known = "not-known"
    """Whether a supply passes through the inverter to the panel, so that a fixed bond stays on the panel's neutral."""


class Lead(Struct, frozen=True):
    """A conductor by its size, with how many of it in parallel."""

    size: str
    system: SizeSystem
    sets: float


class Circuit(Struct, frozen=True):
    """An alternating-current circuit whose protective conductor is asked for."""

    name: str
    breaker_a: float
    line: Lead
    least_line: Lead | None = None
    """Size that ampacity alone asks, where the line was enlarged for voltage drop."""


class Fault(Struct, frozen=True):
    """A short circuit of the bank to a bonded case or the chassis."""

    current_a: float
    clearing_time_s: float
    """Until the battery's device opens."""
    constant: str
    """Name of the constant of the insulation."""
    proven: bool
    """Whether current and time are makers' figures."""


class Facts(Struct, frozen=True):
    """What the sizes rest on."""

    battery_lead: Lead | None = None
    """Largest ungrounded one."""
    device_lead: Lead | None = None
    """Positive conductor of the largest direct-current device with a metal case; the battery lead when not given."""
    battery_device_a: float | None = None
    circuits: tuple[Circuit, ...] = ()
    makers_case_bond: Lead | None = None
    to_rod: bool = False
    """Whether the grounding electrode is a rod alone."""
    fault: Fault | None = None


class Divided(Struct, frozen=True):
    """Two bonds, and the paths between them."""

    current_a: float
    """In the neutral, were there one bond."""
    neutral_path_ohm: float
    earth_path_ohm: float


class BondingRequest(Struct, frozen=True):
    """Everything that can join neutral and earth."""

    practice: str
    sources: tuple[Source, ...]
    switches_neutral: Known
    """Whether the transfer equipment switches the neutral; `no` if any of several pieces does not."""
    poles: float | None
    panel_screw: Screw
    double_pole: Known
    """Whether protection and switching open both poles of every circuit."""
    facts: Facts
    divided: Divided | None


class Closed(Struct, frozen=True):
    """Where the bond has to be made in a mode."""

    place: Place
    source: int | None
    rule: BondRule


class Open(Struct, frozen=True):
    """Where it must not count, and why it does not."""

    place: Place
    source: int | None
    how: How


class Mode(Struct, frozen=True):
    """One source active."""

    name: str
    source: int
    verdict: CountVerdict
    fewest: int
    most: int
    """Bonds as described: the range over what is not known and over a shore cord in or out."""
    permitted: Known
    must_close: Closed | None
    """None where that hangs on something not known."""
    must_open: tuple[Open, ...]
    separately_derived: Known


class Change(Struct, frozen=True):
    """What has to be done, or asked."""

    action: Action
    source: int | None
    rule: BondRule


class Condition(Struct, frozen=True):
    """A condition of a floating neutral."""

    name: Literal["transformer-on-every-shore-supply-or-none", "double-pole-protection-and-switching"]
    met: Known


class Floating(Struct, frozen=True):
    """Whether neutrals may float."""

    permitted: Known
    conditions: tuple[Condition, ...]
    rule: BondRule


class BondConductor(Struct, frozen=True):
    """A bonding or grounding conductor."""

    rule: ConductorRule
    circuit: str | None
    """Name of the circuit that it belongs to."""
    outcome: ConductorOutcome
    why: str
    size: str | None
    system: SizeSystem
    area_mm2: float | None
    least: str | None
    governed_by: Literal["rule", "maker", "withstand"] | None
    withstand: WithstandVerdict
    stands: str | None
    """Smallest size that stands the fault; None when none does, or it is not asked or not known."""
    checks: tuple[Check, ...]


class Bonding(Struct, frozen=True):
    """Bonds by mode, what to change, and the conductors."""

    verdict: Verdict
    switches_neutral: Known | Literal["not-asked"]
    poles_needed: float | None
    poles_check: Check | None
    modes: tuple[Mode, ...]
    changes: tuple[Change, ...]
    floating: Floating | None
    conductors: tuple[BondConductor, ...]
    earth_current_a: float | None
    earth_check: Check | None
