"""What is asked of an inverter, and the one that gives it. Service units; None means not given."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Check, Choice

Outcome = Literal["sized", "nothing-fits"]


class Unit(Struct, frozen=True):
    """An inverter that is there already or wished for: what its plate says."""

    inverter_rating_w: float
    inverter_rating_va: float | None = None
    inverter_surge_va: float | None = None
    idle_w: float | None = None
    transfer_rating_a: float | None = None


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


class Neighbour(Struct, frozen=True):
    """The next smaller or larger generic rating and the check that rules it out, if one does."""

    name: str
    inverter_rating_w: float
    failed: Check | None


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
