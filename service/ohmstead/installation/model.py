"""An installation, planned or as found. Service units; None means not known.

Edges are conductors between terminals. What a piece of equipment joins inside is a path, closed in some modes.
A terminal is written `equipment.terminal`.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ..electrical.people.model import Requirement

Mode = str
"""shore, generator, inverter or driving; where several supplies are of one kind, the kind and the id, as in shore:pitch."""
ISLAND_MODES = ("inverter", "driving")
"""Modes without an alternating-current supply: the inverter, where there is one, is the source."""
Function = Literal["dc-positive", "dc-negative", "line-1", "line-2", "neutral", "earth", "control", "sense"]
Origin = Literal["new", "existing"]
Verdict = Literal["keep", "refuse", "remove"]
Kind = Literal[
    "battery-unit", "fuse", "breaker", "disconnect", "load-disconnect", "shunt", "battery-monitor", "bus-bar", "inverter",
    "inverter-charger", "charger", "charge-controller", "array-string", "array-disconnect", "combiner", "dc-dc-charger", "dc-converter", "alternator",
    "starter-battery", "dc-panel", "dc-load", "always-live-load", "ac-panel", "ac-load", "shore-inlet", "generator", "transfer-switch",
    "chassis", "earth-bus", "grounding-electrode", "management-gateway",
]
EARTH_POINTS = ("chassis", "earth-bus", "grounding-electrode")
"""Kinds of equipment that exposed metal is joined to."""
LeadPurpose = Literal["charge-lock-out", "sense", "ignition", "network", "remote-switch"]


class Fastening(Struct, frozen=True):
    """How a conductor is fastened to a terminal."""

    by: Literal["stud", "clamp", "blade", "plug"]
    size: str = ""
    """Thread of a stud."""
    largest_conductor: str = ""


class Terminal(Struct, frozen=True):
    """A place on a piece of equipment where conductors or leads end."""

    id: str
    function: Function
    use: Literal["used", "spare"] = "used"
    fastening: Fastening | None = None
    conductors_max: int | None = None
    temperature_c: float | None = None


class Path(Struct, frozen=True):
    """What the equipment joins inside, and in which modes. `opens` when a hand or the device itself can part it."""

    between: tuple[str, str]
    closed_in: tuple[Mode, ...]
    opens: bool = False


class Ratings(Struct, frozen=True):
    """Ratings of any kind of equipment; None is not known, and absent where it does not apply."""

    chemistry: str | None = None
    family: str | None = None
    voltage_v: float | None = None
    highest_voltage_v: float | None = None
    current_a: float | None = None
    interrupting_a: float | None = None
    interrupting: str | None = None
    """Verdict against the prospective short-circuit current."""
    short_circuit_a: float | None = None
    capacity_ah: float | None = None
    power_w: float | None = None
    apparent_power_va: float | None = None
    transfer_a: float | None = None
    charger_current_a: float | None = None
    mass_kg: float | None = None
    polarised: bool | None = None
    poles: int | None = None
    switches_neutral: bool | None = None
    lowest_charge_c: float | None = None
    to_confirm: tuple[str, ...] = ()
    """Ratings of generic equipment that have to be confirmed against the one that is bought."""


NO_RATINGS = Ratings()
"""Of equipment that is not rated."""


class Equipment(Struct, frozen=True):
    """A piece of equipment."""

    id: str
    kind: Kind
    title: str
    place: str
    terminals: tuple[Terminal, ...]
    paths: tuple[Path, ...] = ()
    ratings: Ratings = NO_RATINGS
    origin: Origin = "new"
    verdict: Verdict | None = None
    generic: bool = False


class Segment(Struct, frozen=True):
    """A stretch of a conductor in one place."""

    length_m: float
    ambient_c: float
    loaded_together: int
    place: str


class End(Struct, frozen=True):
    """How one end of a conductor is made up."""

    at: Literal["from", "to"]
    lug: str
    stud: str


class Conductor(Struct, frozen=True):
    """A conductor, or equal conductors in parallel, from terminal to terminal."""

    id: str
    start: str
    end: str
    function: Function
    size: str | None
    """None when no size was found."""
    sets: int = 1
    insulation_temperature_c: float | None = None
    segments: tuple[Segment, ...] = ()
    ends: tuple[End, ...] = ()
    origin: Origin = "new"
    verdict: Verdict | None = None


class Protection(Struct, frozen=True):
    """A device and the end of the circuit that it guards."""

    equipment: str
    guards: Literal["from", "to"]


class Circuit(Struct, frozen=True):
    """Conductors that carry one current, and what protects them."""

    id: str
    circuit_class: str
    network: str
    conductors: tuple[str, ...]
    protected_by: tuple[Protection, ...]
    both_ways: bool
    source_at: tuple[Literal["from", "to"], ...]
    design_current_a: float | None
    outcome: Literal["sized", "nothing-fits", "not-sized"]
    unprotected_why: str = ""
    """Why no device is called for at an end that is a source; empty when every such end has one."""
    grounding_size: str | None = None
    """Smallest grounding conductor that has to run with it; None when the practice asks for none, or when it is not known."""


class ControlLead(Struct, frozen=True):
    """A lead that carries a permission, a measurement or a message."""

    id: str
    start: str
    end: str
    purpose: LeadPurpose
    acts_on: tuple[str, ...] = ()
    fuse_a: float | None = None
    origin: Origin = "new"


class Network(Struct, frozen=True):
    """Conductors at one voltage."""

    id: str
    kind: Literal["dc", "ac"]
    lowest_v: float
    highest_v: float


class Bond(Struct, frozen=True):
    """Where neutral and earth meet in a mode. `off-board` when the site or the generator makes the bond."""

    mode: Mode
    at: str
    off_board: bool


class Protected(Struct, frozen=True):
    """A device that protects people, and the circuits that it is for."""

    requirement: Requirement
    circuits: tuple[str, ...]


class Installation(Struct, frozen=True):
    """The wiring graph."""

    practice: str
    stage: Literal["planned", "as-found"]
    modes: tuple[Mode, ...]
    networks: tuple[Network, ...]
    equipment: tuple[Equipment, ...]
    conductors: tuple[Conductor, ...]
    circuits: tuple[Circuit, ...]
    control_leads: tuple[ControlLead, ...]
    bonds: tuple[Bond, ...]
    always_live: tuple[str, ...]
    """Circuits that stay live with the bank switched off, for the label at the disconnect."""
    people: tuple[Protected, ...] = ()
    """What protects people on the alternating-current side."""
