"""An array to size, and what came of it. Service units throughout; None means not given. January first."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Check, Choice
from ..controller.model import ControllerType, ControllerWish
from ..protection.model import Device
from ..solar.model import Month, Resource, Sun

Mounting = Literal["open-rack", "close-mount", "bonded"]
"""Open rack; 25 to 40 mm above a roof; glued on without an air gap."""

Outcome = Literal["sized", "nothing-fits"]
Condition = Literal["sound", "damaged", "unknown"]


class ModuleType(Struct, frozen=True):
    """One module at 1000 W/m2 and 25 °C."""

    name: str
    power_w: float
    open_circuit_v: float
    max_power_v: float
    short_circuit_a: float
    max_power_a: float
    voltage_coefficient_per_k: float | None = None
    """Relative change of the open-circuit voltage per kelvin, negative."""
    power_coefficient_per_k: float | None = None
    max_power_voltage_coefficient_per_k: float | None = None
    current_coefficient_per_k: float | None = None
    fuse_limit_a: float | None = None
    """Largest series fuse that the module permits."""
    length_m: float | None = None
    width_m: float | None = None
    mass_kg: float | None = None
    generic: bool = False


class GenericModule(Struct, frozen=True):
    """A row of the table of usual sizes."""

    name: str


ModuleWish = GenericModule | ModuleType


class OwnedModules(Struct, frozen=True):
    """Modules that are there already."""

    id: str
    count: int
    condition: Condition
    module: ModuleWish | None
    """None: no data plate, no data."""


class FreeArea(Struct, frozen=True):
    """Free area on the roof: without hatches, fans and walkways."""

    area_m2: float


class LargestCount(Struct, frozen=True):
    """Most modules that fit, owned ones included."""

    count: int


Space = FreeArea | LargestCount


class ArrayRequest(Struct, frozen=True):
    """What the array must do and where it sits."""

    load_wh: tuple[float, ...]
    """Energy a day that the loads take from the bank, by month."""
    sun: Sun
    module: ModuleWish
    controller: ControllerWish
    system_voltage_v: float
    air_coldest_c: float
    """Lowest air temperature expected. Never assumed: the strings' voltage rests on it."""
    air_hottest_c: float | None = None
    charging_voltage_v: float | None = None
    """Highest voltage at which the bank is charged; a bound from the system voltage stands in."""
    chemistry: str | None = None
    """Of the bank: decides what charging loses. None counts as flooded lead-acid, which loses most."""
    charge_efficiency: float | None = None
    """Energy stored over energy offered to the bank, where it is known."""
    other_supplies_wh: tuple[float, ...] | None = None
    """Energy a day that other supplies store in the bank, by month."""
    air_months_c: tuple[float, ...] | None = None
    """Air temperature in the sun hours, by month; a documented default stands in."""
    lowest_voltage_v: float | None = None
    """Lowest battery voltage while charging; the system voltage stands in."""
    mounting: Mounting | None = None
    owned: tuple[OwnedModules, ...] = ()
    count_wanted: int | None = None
    """New modules that the client has settled on; the size is then checked, not chosen."""
    space: Space | None = None
    minimum_strings: int = 1
    """Fewest strings in the new array, so that shade on one leaves the others."""
    drop_limit: float | None = None
    """Voltage drop between array and controller over the array's voltage."""
    voltage_limit_v: float | None = None
    """Largest photovoltaic voltage that the practice permits; the limit of small dwellings stands in."""


class MonthBalance(Struct, frozen=True):
    """One month, energies a day at the bank."""

    month: Month
    load_wh: float
    other_supplies_wh: float
    net_wh: float
    """What is left for the array."""
    insolation_kwh_m2: float
    """Planned radiation a day in the plane of the modules."""
    cell_temperature_c: float
    array_efficiency: float
    needed_w: float | None
    """Nameplate power that this month needs; None where no sun rises and something is needed."""
    yield_wh: float
    balance_wh: float
    """Array and other supplies minus loads; below nought what the bank loses a day."""


class StringFuse(Struct, frozen=True):
    """Whether every string needs its own fuse, and which."""

    required: bool
    backfeed_a: float
    """Current that the other strings and other sources can drive into one string."""
    limit_a: float | None
    """Largest series fuse of the module; None where not known."""
    needed_a: float
    """Smallest permitted rating."""
    device: Device | None
    count: int


class Strings(Struct, frozen=True):
    """The arrangement at one controller."""

    series: float
    parallel: float
    cold_v: float
    """Open-circuit voltage of a string at the coldest air, by the route that governs."""
    cold_coefficient_v: float | None
    cold_table_v: float
    hot_v: float
    """Maximum-power voltage of a string at the hottest cell."""
    hot_cell_c: float
    short_circuit_a: float
    photovoltaic_current_a: float
    """1.25 times the short-circuit current of the parallel strings."""
    conductor_current_a: float
    """1.5625 times it: for conductors and devices."""
    fuse: StringFuse


class Group(Struct, frozen=True):
    """Like modules on like controllers: `controllers` times the same arrangement."""

    id: str
    module: ModuleType
    owned: int
    new: int
    module_count: float
    power_w: float
    strings: Strings
    controller: ControllerType
    controllers: float
    power_each_w: float
    """Nameplate power at one controller."""
    output_a: float
    """Charging current that one controller's share of the array can drive, before its own limit."""
    output_limited_a: float
    """The same after the controller's limit: what its output circuit carries."""
    clipped_fraction: float
    longest_series: float
    shortest_series: float
    checks: tuple[Check, ...]
    choice: Choice
    longer_failed: Check | None
    """What one more module in series would break; None when it would not."""
    shorter_failed: Check | None


class OwnedVerdict(Struct, frozen=True):
    """What becomes of owned modules."""

    id: str
    verdict: Literal["keep", "refuse"]
    count: int
    why: str
    group: str | None = None
    """Id of the group that they work in."""


class Array(Struct, frozen=True):
    """A sized array, or the nearest miss."""

    outcome: Outcome
    sun: Resource
    months: tuple[MonthBalance, ...]
    design_month: Month | None
    """The month with the largest load over sun; None when nothing is needed."""
    needed_w: float
    """Nameplate power that the design month needs."""
    module_count: float
    array_power_w: float
    groups: tuple[Group, ...]
    owned: tuple[OwnedVerdict, ...]
    mounting: Mounting
    short_months: tuple[Month, ...]
    """Months that array and other supplies together do not cover."""
    covers: float
    """Smallest share of a month's loads that array and other supplies cover."""
    largest_count: float | None
    """New modules that the space takes; None without a limit."""
    failed: Check | None = None
    why: str = ""
    nearest: str = ""
    """The arrangement that comes closest when nothing fits."""
