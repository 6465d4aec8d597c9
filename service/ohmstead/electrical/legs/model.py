"""Two legs on one supply, and what came of them. Service units throughout; None means not known."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Check, Citation

Arrangement = Literal["one-leg", "split-phase", "one-hot", "wye"]
"""one-leg: a single hot. split-phase: 180 degrees apart. one-hot: one hot, or two in phase, on both legs (an adapter, a
generator wired for one voltage, inverters in phase; 230 V inverters in phase too). wye: two legs of a three-phase site."""

NeutralVerdict = Literal["within", "not-guarded", "overloaded", "cannot-be-judged"]
"""not-guarded: the loads keep within the limit, the overcurrent devices would let more through."""

LineToLine = Literal["supplied", "reduced", "too-low", "dead"]
SharedVerdict = Literal["may-stay", "split", "cannot-be-judged"]


class Poles(Struct, frozen=True):
    """Overcurrent devices ahead of the neutral that is looked at. A two-pole breaker is a pole of its rating in each leg."""

    joint_a: float | None = None
    """One breaker in the one hot ahead of both legs; it limits nothing where the legs have hots of their own."""
    leg_1_a: float | None = None
    leg_2_a: float | None = None


class NeutralLimits(Struct, frozen=True):
    """What the neutral passes through."""

    conductor_a: float | None = None
    contact_a: float | None = None
    """Plug, inlet or adapter contact."""
    pole_a: float | None = None
    """Pole of the transfer equipment."""


class Wires(Struct, frozen=True):
    """Conductors of the run that is looked at, one way."""

    leg_resistance_ohm: float
    neutral_resistance_ohm: float
    drop_limit: float | None = None
    """Over the voltage of a leg."""


class SupplyMode(Struct, frozen=True):
    """A way in which the panel can be supplied."""

    name: str
    arrangement: Arrangement
    joint_a: float | None = None
    """Breaker in the one hot, where there is one."""
    stand_alone: bool = False
    """Whether the source stands alone: an inverter or a generator and no site."""


class SharedNeutral(Struct, frozen=True):
    """Two branch circuits that share a neutral."""

    name: str
    leg_1_a: float
    leg_2_a: float
    ampacity_a: float
    """Of the shared neutral conductor."""
    breaker_1_a: float | None = None
    breaker_2_a: float | None = None
    opens_together: bool | None = None
    """Whether both poles open together."""
    watched: bool = False
    """Whether the two-pole breaker is one with ground-fault or arc-fault electronics."""


class LegsRequest(Struct, frozen=True):
    """Currents of two legs and what they pass through."""

    arrangement: Arrangement
    leg_1_a: float
    leg_2_a: float | None = None
    """None: nothing hangs on a second leg."""
    supply_voltage_v: float | None = None
    """Of a leg to neutral."""
    poles: Poles = Poles()
    neutral: NeutralLimits = NeutralLimits()
    adapter_a: float | None = None
    cord_a: float | None = None
    continuous: bool = True
    line_to_line: bool = False
    """Whether loads are connected between the legs."""
    wires: Wires | None = None
    shared: tuple[SharedNeutral, ...] = ()
    modes: tuple[SupplyMode, ...] = ()
    """Every supply mode of the panel; the arrangement of this request alone when empty."""
    shared_barred: Citation | None = None
    """The clause by which a stand-alone source of one hot must not feed shared neutrals, where the practice has one."""
    pointer: str = ""


class LegDrop(Struct, frozen=True):
    """Voltage drop with the neutral's own."""

    leg_1_v: float
    """With both legs loaded as given; below nought where the other leg lifts the neutral."""
    leg_2_v: float | None
    worst_v: float
    """Of the worse leg, the other one loaded or idle."""
    worst_fraction: float
    heat_w: float


class OpenNeutral(Struct, frozen=True):
    """What the legs see once their neutral is open, their loads taken as resistances."""

    series_a: float
    leg_1_v: float
    leg_2_v: float


class SharedInMode(Struct, frozen=True):
    """A shared neutral in one supply mode."""

    mode: str
    neutral_a: float
    worst_a: float | None
    ratio: float
    heat_ratio: float
    checks: tuple[Check, ...]


class SharedResult(Struct, frozen=True):
    """Whether two circuits may share a neutral in every supply mode; the cure is two circuits of two wires."""

    name: str
    verdict: SharedVerdict
    barred: bool
    modes: tuple[SharedInMode, ...]


class Legs(Struct, frozen=True):
    """Leg 1, leg 2 and neutral, each against its own limit."""

    arrangement: Arrangement
    leg_1_a: float
    leg_2_a: float | None
    neutral_a: float
    neutral_worst_a: float | None
    """None where it is not known what limits it."""
    verdict: NeutralVerdict
    neutral_ratio: float | None
    """Over the smallest limit that is known."""
    heat_ratio: float | None
    hot_a: float | None
    """Current of the one hot, where both legs hang on it."""
    limit_a: float | None
    """Common limit of both legs on one hot, else of the weaker leg."""
    between_legs_v: float | None
    line_to_line: LineToLine | None
    """None where the voltage is not given."""
    line_to_line_power: float | None
    loaded_conductors: float
    neutral_counts: bool
    """Whether the neutral counts as a current-carrying conductor."""
    drop: LegDrop | None
    open_neutral: OpenNeutral | None
    shared: tuple[SharedResult, ...]
    checks: tuple[Check, ...]
