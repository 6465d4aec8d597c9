"""The bank: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.faults import formulas as fault_formulas
from ...electrical.storage import bank_formulas, model
from ...electrical.storage import formulas as need_formulas
from ...electrical.storage.chemistry import properties
from ...reference.case import Case, Library
from ...working import Citation, cited
from ..base import Amount, Answer, envelope, known_amount
from ..door import Door
from ..quantities import AirTemperature, Capacity, Current, DcVoltage, Duration, Energy, FaultCurrent, Mass
from .checked import CheckAnswer, ChoiceAnswer, write_check, write_choice

BankChemistry = Literal["flooded", "golf-cart", "agm", "gel", "lfp"]
KnownChemistry = Literal["flooded", "golf-cart", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion"]
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

    chemistry: Annotated[KnownChemistry, Meta(description="Chemistry")]
    voltage: Annotated[DcVoltage, Meta(description="Nominal voltage of one unit")]
    capacity: Annotated[Capacity, Meta(description="Rated capacity of one unit")]
    count: Annotated[int, Meta(ge=1, le=200, description="Number of units")]
    age_years: Annotated[float, Meta(ge=0, le=40, description="Age in years")]
    tested_capacity: Annotated[Capacity | None, Meta(description="Capacity of the weakest unit in a test at the hour rate; null when not tested")] = None
    duty: Annotated[Literal["house", "starter"], Meta(description="house: made for deep discharge. starter: made to start engines")] = "house"


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


class UnitAnswer(Struct, frozen=True):
    """The unit that the bank is made of. Null: not known."""

    name: Annotated[str, Meta(description="The unit in words")]
    generic: Annotated[bool, Meta(description="Whether nobody named it: its ratings are to be confirmed against the unit that is bought")]
    row: Annotated[str | None, Meta(description="Row of the table of generic units")]
    voltage: Annotated[Amount, Meta(description="Nominal voltage")]
    capacity: Annotated[Amount, Meta(description="Rated capacity")]
    mass: Annotated[Amount | None, Meta(description="Mass")]
    current: Annotated[Amount | None, Meta(description="Continuous discharge current, as stated")]
    peak_current: Annotated[Amount | None, Meta(description="Peak discharge current, as stated")]
    charging_current: Annotated[Amount | None, Meta(description="Largest charging current, as stated")]


class NeedAnswer(Struct, frozen=True):
    """What the energy asks of the bank, under both conventions of ageing."""

    convention: Annotated[model.AgeingConvention, Meta(description="The convention in use")]
    rated_energy: Annotated[Amount, Meta(description="Rated energy needed under it")]
    for_depth: Annotated[Amount, Meta(description="Rated energy for the depth of discharge alone")]
    for_ageing: Annotated[Amount, Meta(description="Rated energy for the end of life alone")]
    larger_of: Annotated[Amount, Meta(description="The larger of the two")]
    product: Annotated[Amount, Meta(description="Depth of discharge and ageing multiplied")]
    capacity: Annotated[Amount, Meta(description="The rated energy needed as a capacity, at the nominal voltage of the cells")]
    steady_load_capacity: Annotated[Amount | None, Meta(description="Rated capacity that the steady load needs")]
    autonomy_days: Annotated[float, Meta(description="Days without charging")]
    depth_of_discharge: Annotated[float, Meta(description="Usable share of the rated capacity")]
    ageing_factor: Annotated[float, Meta(description="Capacity at the end of life over rated capacity")]
    temperature: Annotated[Amount, Meta(description="Lowest temperature of the bank in use")]
    temperature_factor: Annotated[float, Meta(description="Capacity at that temperature over rated capacity")]
    discharge_efficiency: Annotated[float, Meta(description="Energy delivered over energy taken out of the cells")]


class BankVoltages(Struct, frozen=True):
    """Voltages of the whole bank; charging voltages at 25 °C."""

    nominal: Annotated[Amount, Meta(description="Nominal voltage")]
    cells: Annotated[float, Meta(description="Cells in series")]
    absorption: Annotated[Amount, Meta(description="Absorption voltage")]
    float_charge: Annotated[Amount | None, Meta(description="Float voltage; null where the chemistry is not floated")]
    load_disconnect: Annotated[Amount, Meta(description="Loads off")]
    empty: Annotated[Amount, Meta(description="The bank counts as empty")]
    highest: Annotated[Amount, Meta(description="Highest voltage that equipment on the bank sees: top of the charging range, or charging at the coldest")]
    compensation: Annotated[Amount, Meta(description="Change of the charging voltages per kelvin above 25 °C")]


class BankCurrents(Struct, frozen=True):
    """Currents of the whole bank."""

    continuous: Annotated[Amount, Meta(description="Continuous discharge current")]
    one_string_gone: Annotated[Amount, Meta(description="The same with one string gone")]
    peak: Annotated[Amount, Meta(description="Discharge current for the seconds of a start")]
    charging_limit: Annotated[Amount, Meta(description="Largest charging current, all chargers together")]
    charging_floor: Annotated[Amount | None, Meta(description="Charging current below which the bank is never properly filled; null where it does not matter")]
    sharing_factor: Annotated[float, Meta(description="Share of the summed unit currents that is counted on")]


class OwnedAnswer(Struct, frozen=True):
    """What becomes of a batch of owned units."""

    position: Annotated[int, Meta(description="Position of the batch in the request")]
    verdict: Annotated[model.Verdict, Meta(description="keep or refuse")]
    kept: Annotated[int, Meta(description="Units of the batch that go into the bank")]
    reason: Annotated[model.Refusal | None, Meta(description="Why it is refused; null when kept")]
    why: Annotated[str, Meta(description="The same in words")]


class ProspectiveFault(Struct, frozen=True):
    """Short-circuit current at the bank's posts."""

    current: Annotated[Amount, Meta(description="Prospective short-circuit current")]
    proven: Annotated[bool, Meta(description="Whether it rests on a maker's figure; else it is an upper bound")]


class SizedBank(Struct, frozen=True):
    """A sized bank, or the nearest miss: then the counts are those of the nearest miss, and `failed` is what it fails."""

    outcome: Annotated[Literal["sized", "nothing-fits"], Meta(description="Whether anything passed every check")]
    why: Annotated[str, Meta(description="Why nothing fits; empty when sized")]
    chemistry: Annotated[BankChemistry, Meta(description="Chemistry")]
    unit: Annotated[UnitAnswer | None, Meta(description="The unit; null when there is none to try")]
    series: Annotated[int, Meta(description="Units in series")]
    parallel: Annotated[int, Meta(description="Strings in parallel")]
    units: Annotated[int, Meta(description="Units in all")]
    new_units: Annotated[int, Meta(description="Units to buy")]
    governed_by: Annotated[model.Governed | None, Meta(description="The demand that set the number of strings")]
    need: Annotated[NeedAnswer | None, Meta(description="What the energy asks; null when no capacity is known at the temperature")]
    capacity: Annotated[Amount | None, Meta(description="Rated capacity")]
    rated_energy: Annotated[Amount | None, Meta(description="Rated energy")]
    usable_energy: Annotated[Amount | None, Meta(description="Energy that the new bank delivers within the depth of discharge, at its temperature")]
    usable_energy_aged: Annotated[Amount | None, Meta(description="The same at the end of life, the depth of discharge kept to")]
    autonomy_days: Annotated[float | None, Meta(description="Days that the usable energy of the new bank lasts")]
    autonomy_aged_days: Annotated[float | None, Meta(description="The same at the end of life")]
    life_years: Annotated[float | None, Meta(description="Years to the end of life when every day takes the whole depth of discharge, by cycling alone; null beyond the documented depths")]
    mass: Annotated[Amount | None, Meta(description="Mass of the units; null when not known")]
    voltages: Annotated[BankVoltages | None, Meta(description="Voltages")]
    currents: Annotated[BankCurrents | None, Meta(description="Currents")]
    fault: Annotated[ProspectiveFault | None, Meta(description="Prospective short-circuit current")]
    lock_out_below: Annotated[Amount | None, Meta(description="Every charger has to be stopped below this temperature of the bank; null when no lock-out is called for")]
    owned: Annotated[list[OwnedAnswer], Meta(description="Verdicts on the owned units")]
    choice: Annotated[ChoiceAnswer | None, Meta(description="Which demand decided and what one string less fails")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check of the bank")]
    failed: Annotated[CheckAnswer | None, Meta(description="The check that the nearest miss fails")]


class BankAnswer(Answer):
    """A bank."""

    bank: Annotated[SizedBank, Meta(description="The bank")]


CAUTIONS = (
    "This is a calculation aid, not the maker's manual: charging voltages, limits and permitted numbers in series and parallel of the unit that is bought go before these.",
    "The bank's short-circuit current is thousands of amperes: fuse every string at the unit, with an interrupting rating that reaches the figure given here.",
    "Do not mix chemistries, ages or capacities in one bank.",
)


def read(request: BankRequest, door: Door) -> model.BankRequest:
    """The request in service units. Raises Problem outside the physical bounds."""
    steady = request.steady_load
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


def write_bank(bank: model.Bank) -> SizedBank:
    """A bank as it stands in an answer."""
    return SizedBank(
        outcome=bank.outcome, why=bank.why, chemistry=bank.chemistry, unit=_unit(bank.unit), series=bank.series, parallel=bank.parallel,
        units=bank.units, new_units=bank.new_units, governed_by=bank.governed_by, need=_need(bank.need),
        capacity=known_amount(bank.capacity_ah, "Ah"), rated_energy=known_amount(bank.rated_energy_wh, "Wh"),
        usable_energy=known_amount(bank.usable_energy_wh, "Wh"), usable_energy_aged=known_amount(bank.usable_energy_aged_wh, "Wh"),
        autonomy_days=bank.autonomy_days, autonomy_aged_days=bank.autonomy_aged_days,
        life_years=bank.life_years, mass=known_amount(bank.mass_kg, "kg"),
        voltages=_voltages(bank.voltages), currents=_currents(bank.currents),
        fault=ProspectiveFault(Amount(bank.fault.current_a, "A"), bank.fault.proven) if bank.fault else None,
        lock_out_below=known_amount(bank.lock_out_below_c, "degC"),
        owned=[OwnedAnswer(said.position, said.verdict, said.kept, said.reason, said.why) for said in bank.owned],
        choice=write_choice(bank.choice) if bank.choice else None, checks=[write_check(check) for check in bank.checks],
        failed=write_check(bank.failed) if bank.failed else None,
    )



def _unit(unit: model.Unit | None) -> UnitAnswer | None:
    if unit is None:
        return None
    return UnitAnswer(
        unit.name, unit.generic, unit.row or None, Amount(unit.voltage_v, "V"), Amount(unit.capacity_ah, "Ah"), known_amount(unit.mass_kg, "kg"),
        known_amount(unit.current_a, "A"), known_amount(unit.peak_current_a, "A"), known_amount(unit.charge_current_a, "A"),
    )


def _need(need: model.Need | None) -> NeedAnswer | None:
    if need is None:
        return None
    return NeedAnswer(
        need.convention, Amount(need.energy_needed_wh, "Wh"), Amount(need.energy_for_depth_wh, "Wh"), Amount(need.energy_for_ageing_wh, "Wh"),
        Amount(need.energy_larger_of_wh, "Wh"), Amount(need.energy_product_wh, "Wh"), Amount(need.capacity_needed_ah, "Ah"),
        known_amount(need.steady_load_capacity_ah, "Ah"), need.autonomy_days, need.depth_of_discharge, need.ageing_factor,
        Amount(need.bank_temperature_c, "degC"), need.temperature_factor, need.discharge_efficiency,
    )


def _voltages(voltages: model.Voltages | None) -> BankVoltages | None:
    if voltages is None:
        return None
    return BankVoltages(
        Amount(voltages.nominal_v, "V"), voltages.cells, Amount(voltages.absorption_v, "V"), known_amount(voltages.float_v, "V"),
        Amount(voltages.load_disconnect_v, "V"), Amount(voltages.end_v, "V"), Amount(voltages.highest_v, "V"),
        Amount(voltages.compensation_v_per_k, "V/K"),
    )


def _currents(currents: model.Currents | None) -> BankCurrents | None:
    if currents is None:
        return None
    return BankCurrents(
        Amount(currents.continuous_a, "A"), Amount(currents.one_string_gone_a, "A"), Amount(currents.peak_a, "A"),
        Amount(currents.charge_limit_a, "A"), known_amount(currents.charge_floor_a, "A"), currents.sharing_factor,
    )


_SOURCES = cited(need_formulas, bank_formulas, fault_formulas)


def printed(bank: model.Bank, library: Library) -> dict[Citation, None]:
    """Every source behind a bank."""
    tables = library.tables
    clauses = [check.rule.clause for check in bank.checks]
    return dict.fromkeys([
        *properties(library, bank.chemistry).citations, tables["battery_units"].citation, tables["short_circuit_bounds"].citation, *clauses,
    ]) | _SOURCES


def write(bank: model.Bank, case: Case) -> BankAnswer:
    """The answer."""
    return BankAnswer(bank=write_bank(bank), **envelope(case, printed(bank, case.library), CAUTIONS))
