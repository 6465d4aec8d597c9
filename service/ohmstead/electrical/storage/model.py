"""One bank to size, and what came of it. Service units throughout; None means not given or not known."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...working import Check, Choice
from ..faults.model import Fault

Chemistry = Literal["flooded", "golf-cart", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion"]
AgeingConvention = Literal["larger-of", "product"]
Outcome = Literal["sized", "nothing-fits"]
Governed = Literal["energy", "steady-load", "discharge-current", "peak-current", "charging-current", "voltage", "owned-units"]
EndsBy = Literal["cycling", "calendar"]
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


class Prices(Struct, frozen=True):
    """Prices, all in one currency."""

    unit_price: float
    """One unit."""
    fitting_price: float | None = None
    charging_price_per_kwh: float | None = None
    """A kilowatt-hour that goes into the bank."""


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
    equipment_highest_v: float | None = None
    """Highest voltage that the equipment on the bank stands."""
    cut_off_v: float | None = None
    """Voltage at which the equipment switches off."""
    path_resistance_ohm: float | None = None
    """From the bank to that equipment, out and back."""
    calendar_years: float | None = None
    """Years after which the maker counts a unit as worn out whatever it did."""
    prices: Prices | None = None
    compartment_m3: float | None = None
    """Volume of the space that the bank stands in."""
    compare: tuple[Chemistry, ...] = ()
    """Chemistries to be sized for the same job, and to be compared on the same label."""

    @property
    def windowed(self) -> bool:
        """Whether it says which voltages the equipment works with."""
        return self.cut_off_v is not None or self.equipment_highest_v is not None


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
    peak_one_string_gone_a: float
    charge_limit_a: float
    charge_limit_cold_a: float | None
    """The same between the limit of charging and 5 °C; None where the chemistry has no such limit."""
    charge_floor_a: float | None
    """Less than this does not finish a charge; None where the chemistry does not care."""
    sharing_factor: float


class Window(Struct, frozen=True):
    """Units in series between the cut-off and the highest voltage of the equipment; None where that end is not given."""

    least: int | None
    most: int | None
    unit_lowest_v: float
    unit_highest_v: float


class Frost(Struct, frozen=True):
    """Lead-acid electrolyte in frost."""

    freezes_c: float
    """At the depth of discharge in use."""
    safe_depth: float | None
    """Deepest discharge that stays liquid at the coldest; None where the coldest is not known or even a full unit freezes."""


class Air(Struct, frozen=True):
    """Ventilation in one mode of charging."""

    gas_current_a: float
    airflow_m3_per_h: float
    opening_cm2: float
    """Free area of the inlet, and the same of the outlet."""
    hydrogen_m3_per_h: float
    hydrogen_hours: float | None
    """Until a space without an opening holds a share that can explode; None without its volume."""


class Ventilation(Struct, frozen=True):
    """Air that the hydrogen of lead-acid units needs."""

    charging: Air
    on_float: Air
    free_volume_m3: float
    spark_distance_m: float


class Life(Struct, frozen=True):
    """How long the bank lasts when every day takes what the request says."""

    day_depth: float
    cycle_life: float | None
    """At the next deeper depth that is documented; None beyond the deepest."""
    life_years: float | None
    """The earlier of cycling and calendar; None where no cycle life is known."""
    ends_by: EndsBy | None


class Cost(Struct, frozen=True):
    """What a delivered kilowatt-hour costs, in the currency of the prices."""

    purchase_price: float
    delivered_kwh: float
    bank_price_per_kwh: float
    charging_price_per_kwh: float | None
    price_per_kwh: float
    year_price: float


class Rival(Struct, frozen=True):
    """A bank of generic units of another chemistry for the same job."""

    chemistry: Chemistry
    outcome: Outcome
    why: str
    unit: Unit | None
    series: int
    parallel: int
    governed_by: Governed | None
    rated_energy_wh: float | None
    usable_energy_wh: float | None
    usable_energy_aged_wh: float | None
    mass_kg: float | None
    life_years: float | None
    """When every day takes what the request says, by cycling alone."""


class SameLabel(Struct, frozen=True):
    """What a chemistry gives under the label of the sized bank: the same ampere-hours at the same system voltage."""

    chemistry: Chemistry
    rated_energy_wh: float
    usable_energy_wh: float | None
    """New; None where no capacity is known at the temperature."""
    usable_energy_aged_wh: float | None
    at_current_wh: float | None
    """New, at the continuous current asked; None without one."""
    at_current_aged_wh: float | None


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
    window: Window | None = None
    """None where the request says nothing of the equipment."""
    current_margin: float | None = None
    """Continuous current over the current asked; None where none is asked."""
    loaded_v: float | None = None
    """At the equipment, at the depth of discharge, while the current asked flows; None where it is not known."""
    life: Life | None = None
    cost: Cost | None = None
    ventilation: Ventilation | None = None
    """None for what gives no gas."""
    frost: Frost | None = None
    """None for what does not freeze in use."""
    rivals: tuple[Rival, ...] = ()
    same_label: tuple[SameLabel, ...] = ()
    lock_out_below_c: float | None = None
    """Every charger has to be stopped below this bank temperature; None when no lock-out is called for."""
    failed: Check | None = None
    why: str = ""
