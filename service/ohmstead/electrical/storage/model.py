"""One bank to size, and what came of it. Service units throughout; None means not given or not known."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Check, Choice
from ..faults.model import Fault

Chemistry = Literal["flooded", "golf-cart", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion"]
AgeingConvention = Literal["larger-of", "product"]
Outcome = Literal["sized", "nothing-fits"]
Governed = Literal["energy", "steady-load", "discharge-current", "peak-current", "charging-current", "owned-units"]
Duty = Literal["house", "starter"]
Verdict = Literal["keep", "refuse"]
Refusal = Literal[
    "starter-battery", "other-chemistry", "worn-out", "voltage-does-not-divide", "incomplete-string", "other-unit-asked",
    "unlike-the-larger-batch", "age-gap", "does-not-carry-the-job",
]


class Unit(Struct, frozen=True):
    """One battery unit, generic or as its maker describes it."""

    name: str
    chemistry: Chemistry
    voltage_v: float
    """Nominal voltage."""
    capacity_ah: float
    """Rated capacity at `rated_hours`."""
    rated_hours: float | None = None
    """Hour rate of the rated capacity; None is the usual one of the chemistry."""
    mass_kg: float | None = None
    current_a: float | None = None
    """Continuous discharge current."""
    peak_current_a: float | None = None
    """Discharge current for the seconds of a start."""
    charge_current_a: float | None = None
    """Largest charging current."""
    fault_current_a: float | None = None
    """The maker's prospective short-circuit current."""
    cells: float | None = None
    """Cells in series inside the unit."""
    largest_series: float | None = None
    largest_parallel: float | None = None
    row: str = ""
    """Row of the table of generic units."""
    generic: bool = False
    """Not a unit that anybody named: its ratings are to be confirmed against the one that is bought."""


class OwnedUnits(Struct, frozen=True):
    """A batch of like units that is there already."""

    chemistry: Chemistry
    voltage_v: float
    capacity_ah: float
    count: int
    age_years: float
    tested_capacity_ah: float | None = None
    duty: Duty = "house"
    pointer: str = ""
    """Where the batch stands in the request."""


class BankRequest(Struct, frozen=True):
    """What the bank has to do and what it may be made of."""

    chemistry: Chemistry
    nominal_voltage_v: float
    """12, 24 or 48."""
    day_energy_wh: float
    """Energy a day at the bank in the governing season."""
    autonomy_days: float | None = None
    depth_of_discharge: float | None = None
    bank_temperature_c: float | None = None
    """Lowest temperature of the bank in use, for its capacity."""
    coldest_c: float | None = None
    """Lowest temperature that the bank can get to at any time, for charging and frost; None: as in use."""
    ageing_convention: AgeingConvention | None = None
    ageing_factor: float | None = None
    discharge_efficiency: float | None = None
    discharge_current_a: float | None = None
    """Continuous current asked by the inverter and the direct-current loads together."""
    peak_current_a: float | None = None
    """Current asked for the seconds of the largest start."""
    charge_current_a: float | None = None
    """Sum of the chargers that can work at the same time."""
    average_current_a: float | None = None
    """A steady high load that has to run for `discharge_hours` on one charge; lead-acid gives less at high rates."""
    discharge_hours: float | None = None
    unit: Unit | None = None
    """None: a generic unit of the chemistry is picked."""
    owned: tuple[OwnedUnits, ...] = ()
    payload_kg: float | None = None
    largest_series: float | None = None
    largest_parallel: float | None = None


class Need(Struct, frozen=True):
    """What the energy asks of the bank, under both conventions of ageing."""

    convention: AgeingConvention
    energy_needed_wh: float
    """Under the convention in use."""
    energy_for_depth_wh: float
    energy_for_ageing_wh: float
    energy_larger_of_wh: float
    energy_product_wh: float
    capacity_needed_ah: float
    steady_load_capacity_ah: float | None
    """Rated capacity that the steady high load needs, by Peukert's relation for lead-acid."""
    autonomy_days: float
    depth_of_discharge: float
    ageing_factor: float
    temperature_factor: float
    discharge_efficiency: float
    bank_temperature_c: float


class Voltages(Struct, frozen=True):
    """Voltages of the whole bank. Charging voltages hold at 25 °C."""

    nominal_v: float
    absorption_v: float
    float_v: float | None
    """None where the chemistry is not floated."""
    load_disconnect_v: float
    """Loads off."""
    end_v: float
    """The bank counts as empty."""
    highest_v: float
    """Highest voltage that devices of the bank's circuits see: equalising, and charging at the coldest."""
    compensation_v_per_k: float
    """Change of the charging voltages per kelvin above 25 °C."""
    cells: float


class Currents(Struct, frozen=True):
    """Currents of the whole bank."""

    continuous_a: float
    one_string_gone_a: float
    """Continuous current that is left when one string has opened; nought for a single string."""
    peak_a: float
    charge_limit_a: float
    charge_floor_a: float | None
    """Less than this does not finish a charge; None where the chemistry does not care."""
    sharing_factor: float


class OwnedVerdict(Struct, frozen=True):
    """What becomes of a batch of owned units."""

    position: int
    verdict: Verdict
    kept: int
    """Units of the batch that go into the bank."""
    reason: Refusal | None
    why: str


class Bank(Struct, frozen=True):
    """A sized bank, or the nearest miss: then the counts are those of the nearest miss and `failed` is what it fails."""

    outcome: Outcome
    chemistry: Chemistry
    need: Need | None
    """None when no capacity is known at the bank's temperature."""
    unit: Unit | None
    series: int
    parallel: int
    units: int
    new_units: int
    """Units to buy: all but the owned ones that are kept."""
    governed_by: Governed | None
    choice: Choice | None
    checks: tuple[Check, ...]
    owned: tuple[OwnedVerdict, ...]
    capacity_ah: float | None = None
    rated_energy_wh: float | None = None
    usable_energy_wh: float | None = None
    """New, within the depth of discharge, at the bank's temperature."""
    usable_energy_aged_wh: float | None = None
    """The same at the end of life."""
    autonomy_days: float | None = None
    """Days that the usable energy of the new bank lasts."""
    autonomy_aged_days: float | None = None
    life_years: float | None = None
    """Years to the end of life when every day takes the whole depth of discharge; by cycling alone."""
    mass_kg: float | None = None
    voltages: Voltages | None = None
    currents: Currents | None = None
    fault: Fault | None = None
    """Prospective short-circuit current at the bank's posts."""
    lock_out_below_c: float | None = None
    """Every charger has to be stopped below this bank temperature; None when no lock-out is called for."""
    failed: Check | None = None
    why: str = ""
