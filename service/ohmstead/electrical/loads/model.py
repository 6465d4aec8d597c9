"""Loads, and what they ask of the bank, the inverter and the supplies. Service units; None means not given."""

from __future__ import annotations

from typing import Literal, Union

from msgspec import Struct

from ...working import Check, Citation

Current = Literal["ac", "dc"]
Nature = Literal["resistive", "motor", "electronic"]


class ByPower(Struct, frozen=True):
    """Running power of one appliance is known."""

    load_power_w: float


class ByCurrent(Struct, frozen=True):
    """Running current of one appliance at a voltage is known."""

    current_a: float
    voltage_v: float


class ByCookingPower(Struct, frozen=True):
    """What a microwave oven's label gives: power that reaches the food, less than it draws."""

    cooking_power_w: float
    cooking_efficiency: float | None = None


class ByAppliance(Struct, frozen=True):
    """A row of the list of appliances; what the load itself says goes before the list."""

    appliance: str
    load_power_w: float | None = None


Draw = Union[ByPower, ByCurrent, ByCookingPower, ByAppliance]


class EveryDay(Struct, frozen=True):
    """The same hours on every day of the year."""

    hours_per_day: float


class BySeason(Struct, frozen=True):
    """Hours a day in the six warm months and in the six cold ones."""

    summer_hours: float
    winter_hours: float


class ByMonth(Struct, frozen=True):
    """Hours a day in each of the twelve months, January first."""

    month_hours: tuple[float, ...]


Use = Union[EveryDay, BySeason, ByMonth]


class Standby(Struct, frozen=True):
    """Power drawn when plugged in but not in use; `standby_hours` None is the rest of the day."""

    standby_w: float
    standby_hours: float | None = None


class SoftStart(Struct, frozen=True):
    """An electronic soft starter; `soft_start_factor` is the share of the starting current that it leaves."""

    soft_start_factor: float | None = None


class NoStart(Struct, frozen=True):
    """Starts with no more than it runs on."""


class StartMultiple(Struct, frozen=True):
    """Starting over running apparent power."""

    start_multiple: float


class StartKind(Struct, frozen=True):
    """A kind of motor, by its row in the table `start_multiples`; the upper end of its band counts."""

    kind: str


class LockedRotor(Struct, frozen=True):
    """Locked-rotor current of the nameplate at its voltage."""

    locked_rotor_a: float
    voltage_v: float
    soft_start: SoftStart | None = None


class CodeLetter(Struct, frozen=True):
    """Locked-rotor code letter of the nameplate, a row of the table `code_letters`, with the rated motor power."""

    letter: str
    horsepower_hp: float
    soft_start: SoftStart | None = None


class MeasuredStart(Struct, frozen=True):
    """Apparent power measured, or stated by the maker, at the start."""

    start_va: float


Start = Union[NoStart, StartMultiple, StartKind, LockedRotor, CodeLetter, MeasuredStart]


class Load(Struct, frozen=True):
    """One appliance, or several alike."""

    id: str
    current: Current
    draw: Draw
    use: Use | None = None
    """None is the list's hours for an appliance by name, else all day long, and said."""
    load_count: float | None = None
    duty: float | None = None
    """Share of the hours in use during which it draws power."""
    standby: Standby | None = None
    power_factor: float | None = None
    """Alternating current only."""
    start: Start | None = None
    nature: Nature | None = None
    voltage_v: float | None = None
    """Nominal voltage of the appliance; None is that of the system or of the service."""
    group: str | None = None
    """Loads of one group run together, two groups never do; a load without a group runs with everything."""
    critical: bool = False
    shore_only: bool = False
    """Served only where shore or a generator is present: takes nothing from the bank or the inverter."""
    pointer: str = ""
    """JSON Pointer of the load in the request."""


class Request(Struct, frozen=True):
    """The loads of one dwelling."""

    loads: tuple[Load, ...]
    nominal_voltage_v: float
    latitude_deg: float | None = None
    """Tells the hemisphere; None is the northern one, and said."""
    idle_w: float | None = None
    """Idle draw of the inverter."""
    idle_hours: float | None = None
    """Hours a day that the inverter is switched on."""
    inverter_efficiency: float | None = None
    wiring_efficiency: float | None = None
    converter_efficiency: float | None = None
    converter_idle_w: float | None = None
    """Idle draw of each converter; None is that of the generic one."""
    growth_factor: float | None = None


class LoadLine(Struct):
    """What one load asks for; its energy is that of the day in the heaviest month."""

    id: str
    current: Current
    load_power_w: float
    """One appliance."""
    load_count: float
    running_power_w: float
    """All alike, at the appliance."""
    apparent_power_va: float
    """All alike; for direct current the same number as the power."""
    start_va: float
    """One appliance by itself at its start."""
    start_increment_va: float | None
    """What the start of one adds; None where it starts with no more than it runs on."""
    restart_increment_va: float | None
    """What the start of all alike at once adds."""
    bus_power_w: float | None
    """Direct current only: all alike at the bus, the loss of a converter included."""
    bus_increment_w: float | None
    """Direct current only: what the start of one adds at the bus; None as the increment."""
    on_bank: bool
    group: str | None
    critical: bool
    converter: bool
    """Whether the load needs a converter because its voltage is not that of the system."""
    voltage_v: float | None
    """Voltage of the load behind a converter; None where it needs none."""
    day_standby_wh: tuple[float, ...]
    """Part of the energy at the appliances that standby takes, on the same days; empty without standby."""
    day_load_energy_wh: tuple[float, ...]
    """At the appliances, on each of the days that differ: one, two seasons or twelve months."""
    day_bank_energy_wh: tuple[float, ...]
    """At the bank on the same days; without the allowance for growth."""
    load_energy_wh: float = 0.0
    bank_energy_wh: float = 0.0
    """Nought where the load is served from shore or a generator alone."""
    energy_share: float = 0.0


class LargestStart(Struct, frozen=True):
    """The start that decides the surge."""

    id: str
    start_va: float
    start_increment_va: float


class Dominant(Struct, frozen=True):
    """The load that takes the largest share of the day, and what one change would save a day at the bank."""

    id: str
    energy_share: float
    saved_without_wh: float
    saved_halved_wh: float


class Season(Struct, frozen=True):
    """The heaviest day of one half of the year, and what each load has in it."""

    name: Literal["warm", "cold"]
    month: int | None
    """0 is January; None where every day of the year is alike."""
    day_energy_wh: float
    """Growth included."""
    line_energy_wh: tuple[float, ...]
    """At the bank, in the order of the loads, without growth."""
    line_share: tuple[float, ...]


class Change(Struct, frozen=True):
    """One change and what it would save a day at the bank in the heaviest month."""

    what: Literal["use-half", "switch-off-standby", "inverter-off-between-uses"]
    load: str | None
    saved_wh: float


class Buffer(Struct, frozen=True):
    """A battery behind a charger, for loads that no converter starts or carries."""

    feed: str
    """Row of the table of DC-DC chargers, or of converters where no charger is made for these voltages."""
    feed_is_charger: bool
    feed_output_a: float
    feed_needed_a: float
    discharge_w: float
    """Power at the largest start, which the battery has to give."""
    usable_energy_wh: float
    """Energy of a day, which the battery has to hold at most."""


class Converter(Struct, frozen=True):
    """What stands between the bank and loads of another voltage."""

    voltage_v: float
    loads: tuple[str, ...]
    outcome: Literal["converter", "buffer-battery", "nothing-fits"]
    running_w: float
    surge_w: float
    start: LargestStart | None
    needed_a: float
    start_a: float
    row: str | None
    """Row of the table of converters; None unless one fits."""
    output_a: float | None
    peak_a: float | None
    idle_w: float
    idle_energy_wh: float
    checks: tuple[Check, ...]
    """Of the converter, or of the largest one made."""
    buffer: Buffer | None
    why: str


class Demand(Struct, frozen=True):
    """What the loads ask for. Energies are a day at the bank."""

    month_energy_wh: tuple[float, ...]
    """Twelve, January first: losses, idle draw and the allowance for growth included."""
    heaviest_month: int
    """0 is January; the first of the heaviest ones."""
    day_energy_wh: float
    """The heaviest month's day, growth included."""
    day_charge_ah: float
    """The same over the nominal voltage."""
    ac_energy_wh: float
    """Part of the heaviest day that passes the inverter, without its idle draw and without growth."""
    dc_energy_wh: float
    """Part of the heaviest day that direct-current loads take, without growth."""
    ac_load_energy_wh: float
    """The same part of the day as `ac_energy_wh`, at the appliances."""
    idle_w: float | None
    """None, as the next one and the inverter's efficiency, where nothing hangs on the inverter."""
    idle_hours: float | None
    idle_energy_wh: float
    converter_idle_wh: float
    """Part of every day that idle converters take, without growth."""
    growth_factor: float
    inverter_efficiency: float | None
    wiring_efficiency: float
    critical_energy_wh: float
    """Part of the heaviest day that the critical loads take."""
    always_live_energy_wh: float
    """Part of it that is fed ahead of the load disconnect: critical, direct current, without a converter."""
    always_live_a: float
    """The same as an average current, which goes on while the dwelling is laid up."""
    loads: tuple[LoadLine, ...]
    running_w: float
    """Alternating-current loads on the inverter that run together; nought where there are none."""
    running_va: float
    """The same loads, apparent powers added as plain numbers, which is never too low."""
    largest_ac_w: float
    """Largest single alternating-current load on the inverter."""
    dc_running_w: float
    """Direct-current loads that run together, at the direct-current bus."""
    bank_running_w: float
    """Power that the bank gives when everything that runs together does."""
    start: LargestStart | None
    surge_va: float
    """The largest start while the others run."""
    restart_va: float
    """Everything that runs together starting at once, as after a transfer or a low-voltage trip."""
    dc_start: LargestStart | None
    dc_surge_w: float
    """Largest direct-current start while the others run."""
    shore_w: float
    """Loads that only shore or a generator serves."""
    shore_va: float
    dominant: Dominant | None
    changes: tuple[Change, ...]
    """The one that saves most first."""
    seasons: tuple[Season, Season]
    converters: tuple[Converter, ...]
    always_live: tuple[str, ...]
    critical: tuple[str, ...] = ()
    sources: tuple[Citation, ...] = ()
    """Tables that starts were read from because the request names a row of them."""
