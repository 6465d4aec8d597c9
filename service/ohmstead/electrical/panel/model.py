"""A panel as it is, and what becomes of it behind an inverter. Service units; None means not known."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Check
from ..legs.model import Legs, SharedResult, SupplyMode
from ..people.model import PeoplePlace, Requirement, Serves

Line = Literal["1", "2", "both"]
"""The leg that a circuit hangs on; both: between the two legs."""
Purpose = Literal["load", "bank-charger"]
Wish = Literal["yes", "no", "as-fits"]
Protected = Literal["yes", "no", "not-known"]
Output = Literal["one-leg", "one-hot", "split-phase"]
"""one-leg: one hot in and out, so that the new panel has one leg. one-hot: both legs of a supply pass through, and while
the inverter alone feeds, its one output is on both. split-phase: two outputs in opposition."""
Place = Literal["old-panel", "sub-panel"]
Reason = Literal[
    "wished", "fits", "partner-goes", "wished-off", "charger-of-this-bank", "needs-both-legs", "partner-stays", "neutral-not-borne", "does-not-fit",
]
Action = Literal["move-to-sub-panel", "keep-ahead-of-inverter", "fit-breaker", "split-neutral", "fit-protection"]
ALONE = "inverter-alone"
"""The mode that is added to those of the request."""


class PanelCircuit(Struct, frozen=True):
    """A circuit of the panel."""

    name: str
    breaker_a: float
    current_a: float
    """While it runs."""
    line: Line
    purpose: Purpose = "load"
    wish: Wish = "as-fits"
    partner: str | None = None
    """The other circuit of a shared neutral; both of them name each other."""
    opens_together: bool | None = None
    neutral_a: float | None = None
    """Ampacity of the shared neutral, where it is known."""
    poles: int | None = None
    serves: Serves | None = None
    where: PeoplePlace | None = None
    protected: Protected = "not-known"
    pointer: str = ""


class PanelInverter(Struct, frozen=True):
    """The inverter with its transfer relay."""

    rating_va: float
    """Of all outputs together, without end."""
    transfer_a: float
    """Of each pole of the relay, that of the neutral too."""
    output: Output


class PanelRequest(Struct, frozen=True):
    """The panel, the inverter and every supply ahead of them."""

    practice: str
    supply_voltage_v: float
    main_a: float
    legs: int
    circuits: tuple[PanelCircuit, ...]
    inverter: PanelInverter
    modes: tuple[SupplyMode, ...]
    neutral_a: float | None = None
    """Ampacity of the neutral ahead of the panel."""
    continuous: bool = True


class Placed(Struct, frozen=True):
    """A circuit and where it belongs."""

    circuit: PanelCircuit
    place: Place
    reason: Reason
    poles_needed: int
    protection: tuple[Requirement, ...] = ()


class FeedBreaker(Struct, frozen=True):
    """The breaker in the old panel that feeds the new one."""

    family: str
    rating_a: float
    poles: int


class SubPanel(Struct, frozen=True):
    """The new panel behind the inverter."""

    legs: int
    fed_from: tuple[str, ...]
    """Lines of the old panel."""
    leg_1_a: float
    leg_2_a: float | None
    feed: FeedBreaker | None
    needed_a: float
    """What the feed breaker has to carry."""


class PanelMode(Struct, frozen=True):
    """Currents while one supply feeds; None where a panel is not fed or has no circuit."""

    name: str
    main: Legs | None
    sub: Legs | None
    dead: tuple[str, ...]


class Change(Struct, frozen=True):
    """One thing to do."""

    action: Action
    circuits: tuple[str, ...]
    reason: str


class Panel(Struct, frozen=True):
    """The panel judged and divided."""

    outcome: Literal["sized", "nothing-fits"]
    failed: Check | None
    circuits: tuple[Placed, ...]
    """In the order of their names."""
    sub: SubPanel | None
    checks: tuple[Check, ...]
    modes: tuple[PanelMode, ...]
    shared: tuple[SharedResult, ...]
    whole: tuple[Requirement, ...]
    """Devices that protect people at the inlet and behind the inverter."""
    changes: tuple[Change, ...]
