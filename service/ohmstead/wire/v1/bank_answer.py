"""The bank as it is answered, and the translation from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.faults import formulas as fault_formulas
from ...electrical.recharge import supply_formulas
from ...electrical.sharing.formulas import typical_resistance
from ...electrical.storage import bank_formulas, gas_formulas, life_formulas, model, resting_formulas, string_formulas
from ...electrical.storage import formulas as need_formulas
from ...electrical.storage.chemistry import properties
from ...reference.case import Case, Library
from ...reference.citations import cite
from ...working import Citation, cited
from ..base import Amount, Answer, envelope, known_amount
from .bank import BankChemistry
from .bank_beside import (
    BankComparison, DeliveredCost, BankFrost, BankLife, BankVentilation, SeriesWindow, write_comparison, write_cost, write_frost, write_life,
    write_ventilation, write_window,
)
from .checked import CheckAnswer, ChoiceAnswer, write_check, write_choice


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
    peak_one_string_gone: Annotated[Amount, Meta(description="The same with one string gone")]
    margin: Annotated[float | None, Meta(description="Continuous current over the continuous current asked; null where none is asked")]
    charging_limit: Annotated[Amount, Meta(description="Largest charging current, all chargers together")]
    charging_limit_cold: Annotated[Amount | None, Meta(description="The same between the limit of charging and 5 °C; null where the chemistry has no such limit")]
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
    series_window: Annotated[SeriesWindow | None, Meta(description="How many units in series the equipment permits; null where the request says nothing of it")]
    voltage_under_load: Annotated[Amount | None, Meta(description="At the equipment, at the depth of discharge, while the continuous current asked flows; null without a cut-off, or where no rest voltages are known")]
    life: Annotated[BankLife | None, Meta(description="How long it lasts when every day takes the energy of the request; null where nothing is drawn")]
    cost: Annotated[DeliveredCost | None, Meta(description="Cost of a delivered kilowatt-hour; null without prices, or where no cycle life is documented")]
    ventilation: Annotated[BankVentilation | None, Meta(description="Air against hydrogen; null for what gives none")]
    frost: Annotated[BankFrost | None, Meta(description="Frost; null for what does not freeze in use")]
    comparison: Annotated[BankComparison | None, Meta(description="Other chemistries, where the request names some")]
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


def write_bank(bank: model.Bank) -> SizedBank:
    """A bank as it stands in an answer."""
    return SizedBank(
        outcome=bank.outcome, why=bank.why, chemistry=bank.chemistry, unit=_unit(bank.unit), series=bank.series, parallel=bank.parallel,
        units=bank.units, new_units=bank.new_units, governed_by=bank.governed_by, need=_need(bank.need),
        capacity=known_amount(bank.capacity_ah, "Ah"), rated_energy=known_amount(bank.rated_energy_wh, "Wh"),
        usable_energy=known_amount(bank.usable_energy_wh, "Wh"), usable_energy_aged=known_amount(bank.usable_energy_aged_wh, "Wh"),
        autonomy_days=bank.autonomy_days, autonomy_aged_days=bank.autonomy_aged_days,
        life_years=bank.life_years, mass=known_amount(bank.mass_kg, "kg"),
        voltages=_voltages(bank.voltages), currents=_currents(bank.currents, bank.current_margin),
        fault=ProspectiveFault(Amount(bank.fault.current_a, "A"), bank.fault.proven) if bank.fault else None,
        series_window=write_window(bank.window), voltage_under_load=known_amount(bank.loaded_v, "V"), life=write_life(bank.life),
        cost=write_cost(bank.cost), ventilation=write_ventilation(bank.ventilation), frost=write_frost(bank.frost),
        comparison=write_comparison(bank), lock_out_below=known_amount(bank.lock_out_below_c, "degC"),
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


def _currents(currents: model.Currents | None, margin: float | None) -> BankCurrents | None:
    if currents is None:
        return None
    return BankCurrents(
        Amount(currents.continuous_a, "A"), Amount(currents.one_string_gone_a, "A"), Amount(currents.peak_a, "A"),
        Amount(currents.peak_one_string_gone_a, "A"), margin, Amount(currents.charge_limit_a, "A"), known_amount(currents.charge_limit_cold_a, "A"),
        known_amount(currents.charge_floor_a, "A"), currents.sharing_factor,
    )


_SOURCES = cited(need_formulas, bank_formulas, string_formulas, fault_formulas, life_formulas)
_GAS = cited(gas_formulas) | {cite("iec-62485"): None}
_WINDOW = cited(resting_formulas) | {typical_resistance.formula.citation: None}
_COLD = cited(supply_formulas)


def printed(bank: model.Bank, library: Library) -> dict[Citation, None]:
    """Every source behind a bank."""
    tables = library.tables
    clauses = [check.rule.clause for check in bank.checks]
    found = dict.fromkeys([
        *properties(library, bank.chemistry).citations, tables["battery_units"].citation, tables["short_circuit_bounds"].citation, *clauses,
    ]) | _SOURCES
    if bank.ventilation is not None:
        found |= _GAS | dict.fromkeys([*tables["gassing"].citation_of_row, *tables["electrolyte_freezing"].citation_of_row])
    if bank.window is not None:
        found |= _WINDOW | dict.fromkeys(
            [*tables["rest_voltages"].citation_of_row, *tables["internal_resistances"].citation_of_row, *tables["loaded_resistances"].citation_of_row])
    if bank.currents is not None and bank.currents.charge_limit_cold_a is not None:
        found |= _COLD
    for rival in bank.rivals:
        found |= dict.fromkeys(properties(library, rival.chemistry).citations)
    return found


def write(bank: model.Bank, case: Case) -> BankAnswer:
    """The answer."""
    return BankAnswer(bank=write_bank(bank), **envelope(case, printed(bank, case.library), CAUTIONS))
