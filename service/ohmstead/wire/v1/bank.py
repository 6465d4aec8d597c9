"""The bank as it is asked for, and the translation to the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.storage import model
from ..door import Door
from ..problems import Contradiction
from ..quantities import AirTemperature, Capacity, Current, DcVoltage, Duration, Energy, FaultCurrent, Mass, Resistance, RoomVolume

BankChemistry = Literal["flooded", "golf-cart", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion"]
SystemVoltage = Literal[12, 24, 48]
AutonomyDays = Annotated[float, Meta(ge=0.1, le=30)]
DepthOfDischarge = Annotated[float, Meta(ge=0.05, le=1)]
AgeingFactor = Annotated[float, Meta(ge=0.5, le=1)]
Count = Annotated[int, Meta(ge=1, le=60)]


class GenericUnit(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="generic"):
    """No unit is named: a generic one of the chemistry is picked."""


class StatedUnit(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="stated"):
    """The unit as its data sheet describes it; what is left out is taken from the chemistry and said."""

    voltage: Annotated[DcVoltage, Meta(description="Nominal voltage of one unit")]
    capacity: Annotated[Capacity, Meta(description="Rated capacity of one unit")]
    rated_hours: Annotated[Annotated[float, Meta(ge=0.5, le=120)] | None, Meta(description="Hour rate of the rated capacity, such as 20; the usual one of the chemistry when silent")] = None
    mass: Annotated[Mass | None, Meta(description="Mass of one unit")] = None
    current: Annotated[Current | None, Meta(description="Continuous discharge current of one unit")] = None
    peak_current: Annotated[Current | None, Meta(description="Discharge current of one unit for the seconds of a start")] = None
    charging_current: Annotated[Current | None, Meta(description="Largest charging current of one unit")] = None
    fault_current: Annotated[FaultCurrent | None, Meta(description="Prospective short-circuit current of one unit, the maker's figure")] = None
    cells: Annotated[Annotated[int, Meta(ge=1, le=60)] | None, Meta(description="Cells in series inside one unit")] = None
    largest_series: Annotated[Count | None, Meta(description="Most units that the maker permits in series")] = None
    largest_parallel: Annotated[Count | None, Meta(description="Most strings that the maker permits in parallel")] = None


class SteadyLoad(Struct, frozen=True, forbid_unknown_fields=True):
    """A high load that has to run on one charge; lead-acid gives less of its capacity to it."""

    current: Annotated[Current, Meta(description="Steady current out of the bank")]
    time: Annotated[Duration, Meta(description="How long it has to run")]


class OwnedBatch(Struct, frozen=True, forbid_unknown_fields=True):
    """Like battery units that are there already."""

    chemistry: Annotated[BankChemistry, Meta(description="Chemistry")]
    voltage: Annotated[DcVoltage, Meta(description="Nominal voltage of one unit")]
    capacity: Annotated[Capacity, Meta(description="Rated capacity of one unit")]
    count: Annotated[int, Meta(ge=1, le=200, description="Number of units")]
    age_years: Annotated[float, Meta(ge=0, le=40, description="Age in years")]
    tested_capacity: Annotated[Capacity | None, Meta(description="Capacity of the weakest unit in a test at the hour rate; null when not tested")] = None
    duty: Annotated[Literal["house", "starter"], Meta(description="house: made for deep discharge. starter: made to start engines")] = "house"


class BankEquipment(Struct, frozen=True, forbid_unknown_fields=True):
    """The voltages that the equipment on the bank works with, and the way to it."""

    highest: Annotated[DcVoltage | None, Meta(description="Highest voltage that all of it stands; it sets how many units may be in series")] = None
    cut_off: Annotated[DcVoltage | None, Meta(description="Voltage at which it switches off, as programmed")] = None
    lead_resistance: Annotated[Resistance | None, Meta(description="Resistance of the leads from the bank to it, out and back; none counts when silent, and said")] = None


Price = Annotated[float, Meta(ge=0, le=10_000_000)]


class BankPrices(Struct, frozen=True, forbid_unknown_fields=True):
    """Prices in any one currency."""

    unit: Annotated[Price, Meta(description="Price of one unit")]
    fitting: Annotated[Price | None, Meta(description="Price of fitting and of what goes with the bank; none counts when silent")] = None
    charging: Annotated[Price | None, Meta(description="Price of a kilowatt-hour that goes into the bank, from shore or as fuel")] = None


class BankRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A bank to size: how many units in series and in parallel, and what they can give and take."""

    chemistry: Annotated[BankChemistry, Meta(description="Chemistry of the bank")]
    system_voltage: Annotated[SystemVoltage, Meta(description="Nominal voltage of the system, in volts")]
    day_energy: Annotated[Energy, Meta(description="Energy a day at the bank's terminals in the season that needs most")]
    autonomy_days: Annotated[AutonomyDays | None, Meta(description="Days without charging")] = None
    depth_of_discharge: Annotated[DepthOfDischarge | None, Meta(description="Usable share of the rated capacity")] = None
    temperature: Annotated[AirTemperature | None, Meta(description="Lowest temperature of the bank in use")] = None
    coldest: Annotated[AirTemperature | None, Meta(description="Lowest temperature that the bank gets to at any time; as in use when silent")] = None
    ageing_convention: Annotated[model.AgeingConvention | None, Meta(description="larger-of: the larger of the needs for depth and for the end of life. product: both multiplied. The other one is shown beside it")] = None
    ageing_factor: Annotated[AgeingFactor | None, Meta(description="Capacity at the end of life over rated capacity")] = None
    discharge_efficiency: Annotated[Annotated[float, Meta(ge=0.5, le=1)] | None, Meta(description="Energy delivered over energy taken out of the cells")] = None
    discharge_current: Annotated[Current | None, Meta(description="Continuous current asked by the inverter and the direct-current loads together, at the lowest voltage")] = None
    peak_current: Annotated[Current | None, Meta(description="Current asked for the seconds of the largest start")] = None
    charging_current: Annotated[Current | None, Meta(description="Sum of the chargers that can work at the same time")] = None
    steady_load: Annotated[SteadyLoad | None, Meta(description="A high load that has to run for some time on one charge")] = None
    unit: Annotated[GenericUnit | StatedUnit, Meta(description="What the bank is made of")] = GenericUnit()
    owned: Annotated[Annotated[list[OwnedBatch], Meta(max_length=20)], Meta(description="Units that are there already, to be kept or refused")] = []
    payload: Annotated[Mass | None, Meta(description="Mass that the vehicle leaves for the bank")] = None
    largest_series: Annotated[Count | None, Meta(description="Most units in series that are wanted")] = None
    largest_parallel: Annotated[Count | None, Meta(description="Most strings in parallel that are wanted")] = None
    equipment: Annotated[BankEquipment | None, Meta(description="What the bank has to suit: voltages between which its equipment works")] = None
    calendar_life: Annotated[Annotated[float, Meta(ge=0.5, le=50)] | None, Meta(description="Years after which the maker counts a unit as worn out whatever it did")] = None
    prices: Annotated[BankPrices | None, Meta(description="Prices; with them the cost of a delivered kilowatt-hour is answered")] = None
    compartment: Annotated[RoomVolume | None, Meta(description="Volume of the space that the bank stands in, for the hydrogen of lead-acid units")] = None
    compare: Annotated[Annotated[list[BankChemistry], Meta(max_length=8)], Meta(description="Chemistries to size for the same job, and to set beside this one under the same label")] = []


def read(request: BankRequest, door: Door) -> model.BankRequest:
    """The request in service units. Raises Problem outside the physical bounds, and where fields contradict each other."""
    steady, equipment, prices = request.steady_load, request.equipment or BankEquipment(), request.prices
    if equipment.highest is not None and equipment.cut_off is not None and not equipment.cut_off.value < equipment.highest.value:
        raise Contradiction(("/equipment/cut_off", "the equipment switches off at or above the highest voltage that it stands"))
    return model.BankRequest(
        chemistry=request.chemistry, nominal_voltage_v=door.number(request.system_voltage, "nominal_voltage_v", "", "system_voltage"),
        day_energy_wh=door.quantity(request.day_energy, "day_energy_wh", "", "day_energy"),
        autonomy_days=door.number(request.autonomy_days, "autonomy_days", "", "autonomy_days"),
        depth_of_discharge=door.number(request.depth_of_discharge, "depth_of_discharge", "", "depth_of_discharge"),
        bank_temperature_c=door.quantity(request.temperature, "bank_temperature_c", "", "temperature"),
        coldest_c=door.quantity(request.coldest, "bank_temperature_c", "", "coldest"), ageing_convention=request.ageing_convention,
        ageing_factor=door.number(request.ageing_factor, "ageing_factor", "", "ageing_factor"),
        discharge_efficiency=door.number(request.discharge_efficiency, "discharge_efficiency", "", "discharge_efficiency"),
        discharge_current_a=door.quantity(request.discharge_current, "discharge_current_a", "", "discharge_current"),
        peak_current_a=door.quantity(request.peak_current, "peak_current_a", "", "peak_current"),
        charge_current_a=door.quantity(request.charging_current, "charge_current_a", "", "charging_current"),
        average_current_a=door.quantity(steady.current, "average_current_a", "/steady_load", "current") if steady else None,
        discharge_hours=door.quantity(steady.time, "discharge_hours", "/steady_load", "time") if steady else None,
        unit=read_unit(request.unit, request.chemistry, "/unit", door) if isinstance(request.unit, StatedUnit) else None,
        owned=tuple(read_owned(batch, f"/owned/{position}", door) for position, batch in enumerate(request.owned)),
        payload_kg=door.quantity(request.payload, "payload_kg", "", "payload"),
        largest_series=door.number(request.largest_series, "series", "", "largest_series"),
        largest_parallel=door.number(request.largest_parallel, "parallel_limit", "", "largest_parallel"),
        equipment_highest_v=door.quantity(equipment.highest, "equipment_highest_v", "/equipment", "highest"),
        cut_off_v=door.quantity(equipment.cut_off, "cut_off_v", "/equipment", "cut_off"),
        path_resistance_ohm=door.quantity(equipment.lead_resistance, "path_resistance_ohm", "/equipment", "lead_resistance"),
        calendar_years=door.number(request.calendar_life, "calendar_years", "", "calendar_life"),
        prices=read_prices(prices, door) if prices is not None else None,
        compartment_m3=door.quantity(request.compartment, "compartment_m3", "", "compartment"), compare=tuple(dict.fromkeys(request.compare)),
    )


def read_prices(prices: BankPrices, door: Door) -> model.Prices:
    """Prices for the calculation."""
    return model.Prices(
        door.number(prices.unit, "unit_price", "/prices", "unit"), door.number(prices.fitting, "fitting_price", "/prices", "fitting"),
        door.number(prices.charging, "price_per_kwh", "/prices", "charging"),
    )


def read_unit(unit: StatedUnit, chemistry: model.Chemistry, base: str, door: Door) -> model.Unit:
    """A stated unit in service units."""
    return model.Unit(
        name=f"{unit.voltage.value:g} V {unit.capacity.value:g} Ah unit", chemistry=chemistry,
        voltage_v=door.quantity(unit.voltage, "unit_voltage_v", base, "voltage"),
        capacity_ah=door.quantity(unit.capacity, "unit_capacity_ah", base, "capacity"),
        rated_hours=door.number(unit.rated_hours, "rated_hours", base, "rated_hours"),
        mass_kg=door.quantity(unit.mass, "unit_mass_kg", base, "mass"),
        current_a=door.quantity(unit.current, "unit_current_a", base, "current"),
        peak_current_a=door.quantity(unit.peak_current, "unit_peak_current_a", base, "peak_current"),
        charge_current_a=door.quantity(unit.charging_current, "unit_charge_limit_a", base, "charging_current"),
        fault_current_a=door.quantity(unit.fault_current, "fault_current_a", base, "fault_current"),
        cells=door.number(unit.cells, "cells", base, "cells"), largest_series=door.number(unit.largest_series, "series", base, "largest_series"),
        largest_parallel=door.number(unit.largest_parallel, "parallel_limit", base, "largest_parallel"),
    )


def read_owned(batch: OwnedBatch, base: str, door: Door) -> model.OwnedUnits:
    """A batch of owned units in service units."""
    return model.OwnedUnits(
        chemistry=batch.chemistry, voltage_v=door.quantity(batch.voltage, "unit_voltage_v", base, "voltage"),
        capacity_ah=door.quantity(batch.capacity, "unit_capacity_ah", base, "capacity"), count=batch.count,
        age_years=door.number(batch.age_years, "age_years", base, "age_years"),
        tested_capacity_ah=door.quantity(batch.tested_capacity, "available_capacity_ah", base, "tested_capacity"),
        duty=batch.duty, pointer=base,
    )
