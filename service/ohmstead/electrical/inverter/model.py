"""What is asked of an inverter, and the one that gives it. Service units; None means not given."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Check, Choice, Citation
from ..loads.model import Start

Outcome = Literal["sized", "nothing-fits"]
Wave = Literal["sine", "modified-sine"]
Fed = Literal["resistive", "motor", "electronic", "medical"]


class Unit(Struct, frozen=True):
    """An inverter that is there already or wished for: what its plate says."""

    inverter_rating_w: float
    inverter_rating_va: float | None = None
    inverter_surge_va: float | None = None
    idle_w: float | None = None
    transfer_rating_a: float | None = None
    surge_duration_s: float | None = None
    """How long the surge rating lasts."""
    wave: Wave | None = None


class Motor(Struct, frozen=True):
    """The load with the largest start; it is one of those that run together."""

    running_power_w: float
    start: Start
    power_factor: float | None = None


class Bank(Struct, frozen=True):
    """The bank behind the inverter, as far as it is known."""

    continuous_a: float
    peak_a: float | None = None
    peak_duration_s: float | None = None
    usable_wh: float | None = None


class SecondLeg(Struct, frozen=True):
    """Loads of the second leg and between the legs, where two inverters stand on two legs."""

    running_w: float
    running_va: float | None = None
    surge_va: float | None = None
    between_w: float | None = None
    """Loads that need both legs; half of them hangs on each."""
    between_va: float | None = None
    between_surge_va: float | None = None
    """With the largest start among them."""


class Request(Struct, frozen=True):
    """Loads that run together, the largest start, and where the inverter stands."""

    running_w: float
    nominal_voltage_v: float
    running_va: float | None = None
    """None is worked out with the power factor."""
    surge_va: float | None = None
    """None is taken as the running apparent power, and said."""
    power_factor: float | None = None
    largest_load_w: float | None = None
    cut_off_v: float | None = None
    """Low-voltage cut-off as programmed."""
    inverter_efficiency: float | None = None
    """At full power, for the current on the battery side; less than the day's average."""
    inverter_temperature_c: float | None = None
    altitude_m: float | None = None
    sizing_margin: float | None = None
    unit: Unit | None = None
    """Checked instead of choosing one."""
    supply_breaker_a: float | None = None
    """Breaker upstream of the transfer relay."""
    motor: Motor | None = None
    """Its start with the others running; where a surge is given too the larger of both counts."""
    start_duration_s: float | None = None
    """How long the largest start lasts."""
    feeds: tuple[Fed, ...] = ()
    """What the loads are by nature, for the wave form."""
    idle_hours: float | None = None
    bank: Bank | None = None
    second_leg: SecondLeg | None = None
    """Everything else is then the load of the first leg."""


class Rating(Struct, frozen=True):
    """An inverter: chosen from the generic ratings, or the one that the request names."""

    name: str
    """Row of the table of ratings, or `given`."""
    given: bool
    inverter_rating_w: float
    inverter_rating_va: float
    inverter_surge_va: float
    derated_w: float
    """Continuous power left at this temperature and altitude."""
    derated_va: float
    derated_surge_va: float
    idle_w: float
    transfer_rating_a: float | None
    inverter_current_a: float
    """Average direct current at full power on the cut-off voltage."""
    surge_current_a: float
    """Direct current at the surge that the loads ask for, on the cut-off voltage."""
    ripple_current_a: float
    """Root mean square of the current at full power, ripple of a single-phase inverter included."""
    idle_hours: float
    idle_energy_wh: float
    """A day, for being on."""
    surge_counts: bool
    """Whether the surge rating lasts as long as the start; else the continuous rating stands in its place."""


class Neighbour(Struct, frozen=True):
    """The next smaller or larger generic rating and the check that rules it out, if one does."""

    name: str
    inverter_rating_w: float
    failed: Check | None


class VoltageAdvice(Struct, frozen=True):
    """The lowest system voltage at which an inverter of this power is usual."""

    voltage_v: float
    current_a: float
    """At full power on the same cut-off in proportion."""
    usual_current_a: float


class Legs(Struct, frozen=True):
    """Inverters on two legs."""

    heavier: Literal["first", "second"]
    units: float | None
    """Both legs together; None when nothing fits."""
    running_w: float
    """Both legs and between them."""


class Inverter(Struct, frozen=True):
    """A sized or checked inverter, or the nearest miss."""

    outcome: Outcome
    continuous_needed_w: float
    apparent_needed_va: float
    surge_needed_va: float
    rating_factor: float
    """Share of the rating left by heat and altitude."""
    cut_off_v: float
    inverter_efficiency: float
    ripple_factor: float
    governed_by: str
    """Name of the check that decided, or that stands in the way."""
    rating: Rating | None
    """None when nothing fits; the nearest miss is `nearest`."""
    nearest: Rating | None
    checks: tuple[Check, ...]
    transfer: Check | None = None
    """Transfer relay against the breaker upstream of it, where both are known; it does not decide the rating."""
    choice: Choice | None = None
    smaller: Neighbour | None = None
    failed: Check | None = None
    stacked: float | None = None
    """Units of the largest generic rating that together would carry it, when one does not."""
    why: str = ""
    start_va: float | None = None
    """Apparent power of the motor's start alone; None without a motor."""
    start_duration_s: float | None = None
    """None where nothing asked how long the start lasts."""
    bank_running_a: float = 0.0
    """From the bank while the loads run, on the cut-off voltage."""
    bank: tuple[Check, ...] = ()
    """The bank against what runs and what starts, where it is known; they do not decide the rating."""
    idle_share: float | None = None
    """Share of the usable bank that a day of idling takes, where that is known."""
    advice: VoltageAdvice | None = None
    legs: Legs | None = None
    sources: tuple[Citation, ...] = ()
    """Tables that starts were read from because the request names a row of them."""
