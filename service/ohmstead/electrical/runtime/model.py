"""Loads on a bank, and how long it carries them. Service units; None means not given, and no end for hours."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Check
from ..held.model import HeldRequest
from ..storage.model import AgeingConvention, Chemistry

Outcome = Literal["runs-out", "never-empty", "cannot-run"]
EndedBy = Literal["depth-of-discharge", "cut-off", "nothing"]
Kind = Literal["dc", "ac"]


class Always(Struct, frozen=True):
    """On all the time."""


class HoursADay(Struct, frozen=True):
    """Some hours a day, nobody says which: the energy is spread over the day."""

    hours_per_day: float


class ByTheClock(Struct, frozen=True):
    """Every day from an hour on; it may pass midnight."""

    from_h: float
    hours: float


class Load(Struct, frozen=True):
    """Like appliances on the bank."""

    id: str
    kind: Kind
    power_w: float
    """Of one."""
    load_count: float
    duty: float
    use: Always | HoursADay | ByTheClock
    pointer: str = ""


class ByEfficiency(Struct, frozen=True):
    """An inverter with one efficiency at every load; None is the documented average."""

    inverter_efficiency: float | None = None


class ByRating(Struct, frozen=True):
    """An inverter whose losses follow its load: idle draw, a share of the load, and the square of the load."""

    inverter_rating_w: float
    full_efficiency: float | None = None
    """At full power."""


class Inverter(Struct, frozen=True):
    """What stands between the bank and the alternating-current loads."""

    losses: ByEfficiency | ByRating = ByEfficiency()
    idle_w: float | None = None
    always_on: bool = True
    """Whether it idles while no alternating-current load is on."""


class RuntimeRequest(Struct, frozen=True):
    """A bank and what runs on it."""

    bank: HeldRequest
    loads: tuple[Load, ...]
    inverter: Inverter | None = None
    """None with alternating-current loads: a usual one."""
    depth_of_discharge: float | None = None
    state_of_charge: float | None = None
    """At the start."""
    ageing_convention: AgeingConvention | None = None
    ageing_factor: float | None = None
    discharge_efficiency: float | None = None
    wiring_efficiency: float | None = None
    cut_off_v: float | None = None
    """Voltage of the bank under load at which the loads are cut off."""
    path_resistance_ohm: float | None = None
    """Of the cables to the heaviest load, out and back."""
    charging_power_w: float | None = None
    """Steady charging power at the bank."""
    start_hour_h: float | None = None
    """Hour of the day at which the run begins."""


class Spread(Struct, frozen=True):
    """A number with the band in which it lies; None for hours without end."""

    low: float | None
    expected: float | None
    high: float | None


class BandPart(Struct, frozen=True):
    """A value that is not known to the digit, and so makes the band."""

    name: str
    unfavourable: float | str
    expected: float | str
    favourable: float | str
    unit: str = "1"


class Section(Struct, frozen=True):
    """A stretch of the day with the same loads, from the start of the run."""

    from_h: float
    to_h: float
    section_w: float
    """At the bank, averaged over duties, expected."""
    most_w: float
    """At the bank with everything on, expected."""
    net_current_a: float
    """Out of the bank, less what charging brings."""
    rate_factor: float
    """Charge used up over charge given, expected."""


class Life(Struct, frozen=True):
    """The bank at one age."""

    age: Literal["new", "aged"]
    convention: AgeingConvention | None
    """None for the new bank."""
    usable_ah: float
    """Expected, down to whatever ends the run."""
    usable_energy_wh: float
    run_hours: Spread
    ended_by: EndedBy


class Runtime(Struct, frozen=True):
    """How long it runs, or why it cannot. Lists are empty where a bank was not found or is out of its temperatures."""

    chemistry: Chemistry
    outcome: Outcome
    why: str
    failed: Check | None
    checks: tuple[Check, ...]
    new: Life | None
    aged: Life | None
    """By the convention in use."""
    aged_other: Life | None
    """By the other one."""
    sections: tuple[Section, ...]
    band: tuple[BandPart, ...]
    capacity_ah: float | None = None
    rated_energy_wh: float | None = None
    bank_voltage_v: float | None = None
    temperature_factor: float | None = None
    depth_of_discharge: float | None = None
    asked_a: float | None = None
    """Heaviest current, on the cut-off voltage."""
    bank_current_a: float | None = None
    cut_off_v: float | None = None
    loaded_v: float | None = None
    """Voltage of the full bank under the heaviest load, expected."""
    day_w: float | None = None
    """At the bank averaged over a day, expected."""
