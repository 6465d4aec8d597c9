"""Supplies that charge a bank, and what comes of them. Service units; None means not given, and no end for hours."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Check
from ..held.model import HeldRequest
from ..runtime.model import Always, BandPart, ByTheClock, Inverter, Spread
from ..storage.model import Chemistry

Outcome = Literal["reached", "reached-already", "not-reached", "forbidden"]
Holds = Literal["nothing", "bank-limit", "acceptance", "cold", "supplies"]
"""What holds the charging current at the start."""
Phase = Literal["bulk", "taper", "waiting"]


class Supply(Struct, frozen=True, kw_only=True):
    """What every supply may say."""

    id: str
    present: Always | ByTheClock = Always()
    charger_v: float | None = None
    """Highest voltage that it reaches at the bank; None: it is set to the bank's."""
    pointer: str = ""


class MainsCharger(Supply, frozen=True, kw_only=True):
    """A charger fed with alternating current, from a shore service or a generator, that carries the alternating loads too."""

    charger_current_a: float
    charger_efficiency: float | None = None
    charger_power_factor: float | None = None
    input_limit_w: float | None = None
    """Power for charger and alternating loads; None: as much as they take."""
    generator: bool = False
    fuel_l_per_h: float | None = None


class DcDc(Supply, frozen=True, kw_only=True):
    """A DC-DC charger behind an alternator."""

    dc_dc_output_a: float
    alternator_rating_a: float | None = None
    """None: the alternator carries the charger."""
    starter_voltage_v: float = 12.0


class Array(Supply, frozen=True, kw_only=True):
    """An array: its nameplate power for the peak sun hours of a day, around noon."""

    array_nameplate_w: float
    peak_sun_hours: float
    array_share: float | None = None


class Steady(Supply, frozen=True, kw_only=True):
    """A steady power at the bank."""

    charging_power_w: float


class RechargeRequest(Struct, frozen=True):
    """A bank, the supplies that charge it and the loads that are on meanwhile."""

    bank: HeldRequest
    supplies: tuple[MainsCharger | DcDc | Array | Steady, ...]
    state_of_charge: float
    target_state: float | None = None
    dc_loads_w: float | None = None
    """Steady, at the bank."""
    ac_loads_w: float | None = None
    """Steady; a supply of alternating current carries them, else the inverter."""
    inverter: Inverter | None = None
    start_hour_h: float | None = None


class SupplyUse(Struct, frozen=True):
    """What one supply does."""

    id: str
    current_a: float
    """At most, on charging voltage."""
    ceiling: float | None
    """State of charge beyond which its voltage does not charge; None: it fills the bank."""
    never_fills: bool
    why: str
    input_w: float | None
    """Power that a charger takes at its current."""
    present_hours: float | None
    """Until the target is reached; None when it is not."""
    fuel_l: float | None


class Leg(Struct, frozen=True):
    """A stretch of the charge, as expected."""

    from_h: float
    to_h: float
    phase: Phase
    current_a: float
    """Into the bank at its beginning; below nought while loads empty it."""
    state_of_charge: float
    """At its end."""


class Recharge(Struct, frozen=True):
    """How long it takes, or why it does not come to an end."""

    chemistry: Chemistry
    outcome: Outcome
    why: str
    failed: Check | None
    checks: tuple[Check, ...]
    charge_hours: Spread | None = None
    bulk_hours: float | None = None
    """Until the current begins to fall, expected; None where it does not fall."""
    bulk_state: float | None = None
    """State of charge then."""
    legs: tuple[Leg, ...] = ()
    supplies: tuple[SupplyUse, ...] = ()
    band: tuple[BandPart, ...] = ()
    held_by: Holds = "nothing"
    start_a: float | None = None
    """Into the bank when the charge begins with everything present."""
    limit_a: float | None = None
    tail_a: float | None = None
    charging_v: float | None = None
    capacity_ah: float | None = None
    state_of_charge: float | None = None
    target_state: float | None = None
    reached_state: float | None = None
    """Highest state of charge that is reached when the target is not."""
    charge_ah: float | None = None
    """Charge that the supplies bring into the bank until the target, expected."""
    energy_in_wh: float | None = None
    energy_stored_wh: float | None = None
    energy_lost_wh: float | None = None
