"""What is answered beside the sizes of a bank: window, life, cost, ventilation, frost, comparison."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from ...electrical.storage import model
from ..base import Amount, known_amount
from .bank import BankChemistry


class SeriesWindow(Struct, frozen=True):
    """Units in series between the cut-off and the highest voltage of the equipment."""

    least: Annotated[int | None, Meta(description="Fewest in series that are not empty below the cut-off; null without one")]
    most: Annotated[int | None, Meta(description="Most in series that stay below the highest voltage; null without one")]
    unit_lowest: Annotated[Amount, Meta(description="Voltage of one unit at the depth of discharge, at rest; where no rest voltages are known, when it is empty")]
    unit_highest: Annotated[Amount, Meta(description="Highest voltage of one unit while charging")]


class BankLife(Struct, frozen=True):
    """How long the bank lasts when every day takes the energy of the request."""

    day_depth: Annotated[float, Meta(description="Share of the rated energy that a day takes from the new bank")]
    cycles: Annotated[float | None, Meta(description="Cycles at the next deeper depth that is documented; null beyond the deepest")]
    years: Annotated[float | None, Meta(description="Years to the end of life; null where no cycle life is documented")]
    ends_by: Annotated[model.EndsBy | None, Meta(description="cycling, or calendar: the years that the request gives come first")]


class DeliveredCost(Struct, frozen=True):
    """What a delivered kilowatt-hour costs, in the currency of the prices."""

    purchase: Annotated[float, Meta(description="Units to buy and fitting")]
    delivered: Annotated[Amount, Meta(description="Energy that the bank delivers in its life")]
    bank_per_kwh: Annotated[float, Meta(description="Purchase over that energy")]
    charging_per_kwh: Annotated[float | None, Meta(description="Charging behind a delivered kilowatt-hour, the losses of the bank included; null without its price")]
    per_kwh: Annotated[float, Meta(description="Both together")]
    a_year: Annotated[float, Meta(description="The same for a year of such days")]


class AirNeeded(Struct, frozen=True):
    """Ventilation in one mode of charging."""

    gas_current: Annotated[Amount, Meta(description="Part of the charging current that makes gas")]
    airflow: Annotated[Amount, Meta(description="Air that the space needs")]
    opening: Annotated[Amount, Meta(description="Free area of the inlet, and the same of the outlet, where the air moves by itself")]
    hydrogen: Annotated[Amount, Meta(description="Hydrogen an hour")]
    until_explosive: Annotated[Amount | None, Meta(description="Hours until the compartment, were it closed, holds a share of hydrogen that can explode; null without its volume")]


class BankVentilation(Struct, frozen=True):
    """Air that the hydrogen of lead-acid units needs."""

    charging: Annotated[AirNeeded, Meta(description="While charging, equalising included where the chemistry is equalised")]
    on_float: Annotated[AirNeeded, Meta(description="On float")]
    free_volume: Annotated[Amount, Meta(description="Volume around the bank in which the air has room to mix")]
    spark_distance: Annotated[Amount, Meta(description="Distance from the bank within which nothing may spark or glow")]


class BankFrost(Struct, frozen=True):
    """Lead-acid electrolyte in frost."""

    freezes_below: Annotated[Amount, Meta(description="Where the electrolyte freezes at the depth of discharge")]
    safe_depth: Annotated[float | None, Meta(description="Deepest discharge that stays liquid at the coldest; null where the coldest is not known, or where even a full unit freezes")]


class RivalBank(Struct, frozen=True):
    """A bank of generic units of another chemistry for the same job."""

    chemistry: Annotated[BankChemistry, Meta(description="Chemistry")]
    outcome: Annotated[model.Outcome, Meta(description="Whether anything passed every check")]
    why: Annotated[str, Meta(description="Why nothing fits; empty when sized")]
    unit: Annotated[str | None, Meta(description="The unit in words; null when there is none to try")]
    series: Annotated[int, Meta(description="Units in series")]
    parallel: Annotated[int, Meta(description="Strings in parallel")]
    governed_by: Annotated[model.Governed | None, Meta(description="The demand that set the number of strings")]
    rated_energy: Annotated[Amount | None, Meta(description="Rated energy")]
    usable_energy: Annotated[Amount | None, Meta(description="Energy that it delivers new, at its temperature")]
    usable_energy_aged: Annotated[Amount | None, Meta(description="The same at the end of life")]
    mass: Annotated[Amount | None, Meta(description="Mass of the units")]
    life_years: Annotated[float | None, Meta(description="Years when every day takes the energy of the request, by cycling alone")]


class LabelledBank(Struct, frozen=True):
    """What a chemistry gives under the label of this bank: as many ampere-hours at the same system voltage."""

    chemistry: Annotated[BankChemistry, Meta(description="Chemistry")]
    rated_energy: Annotated[Amount, Meta(description="Energy on the label")]
    usable_energy: Annotated[Amount | None, Meta(description="Energy that it delivers new, within its depth of discharge, at the temperature; null where that is not known")]
    usable_energy_aged: Annotated[Amount | None, Meta(description="The same at the end of life")]
    at_current: Annotated[Amount | None, Meta(description="The same, new, at the continuous current asked; null without one")]
    at_current_aged: Annotated[Amount | None, Meta(description="The same at that current and at the end of life")]


class BankComparison(Struct, frozen=True):
    """Other chemistries beside this bank."""

    same_job: Annotated[list[RivalBank], Meta(description="Sized with generic units for the same energy, days, temperature and currents; depth of discharge and efficiency are those of each")]
    same_label: Annotated[list[LabelledBank], Meta(description="Under the label of this bank, its own chemistry first; empty where there is no bank")]


def write_window(window: model.Window | None) -> SeriesWindow | None:
    """The window, where the request says something of the equipment."""
    if window is None:
        return None
    return SeriesWindow(window.least, window.most, Amount(window.unit_lowest_v, "V"), Amount(window.unit_highest_v, "V"))


def write_life(life: model.Life | None) -> BankLife | None:
    """The life; null for a bank that nothing draws on."""
    return None if life is None else BankLife(life.day_depth, life.cycle_life, life.life_years, life.ends_by)


def write_cost(cost: model.Cost | None) -> DeliveredCost | None:
    """The cost, where prices are given."""
    if cost is None:
        return None
    return DeliveredCost(
        cost.purchase_price, Amount(cost.delivered_kwh, "kWh"), cost.bank_price_per_kwh, cost.charging_price_per_kwh, cost.price_per_kwh, cost.year_price,
    )


def write_ventilation(ventilation: model.Ventilation | None) -> BankVentilation | None:
    """The ventilation of what gives gas."""
    if ventilation is None:
        return None
    return BankVentilation(
        _air(ventilation.charging), _air(ventilation.on_float), Amount(ventilation.free_volume_m3, "m3"), Amount(ventilation.spark_distance_m, "m"),
    )


def _air(air: model.Air) -> AirNeeded:
    return AirNeeded(
        Amount(air.gas_current_a, "A"), Amount(air.airflow_m3_per_h, "m3/h"), Amount(air.opening_cm2, "cm2"), Amount(air.hydrogen_m3_per_h, "m3/h"),
        known_amount(air.hydrogen_hours, "h"),
    )


def write_frost(frost: model.Frost | None) -> BankFrost | None:
    """Frost, for what can freeze."""
    return None if frost is None else BankFrost(Amount(frost.freezes_c, "degC"), frost.safe_depth)


def write_comparison(bank: model.Bank) -> BankComparison | None:
    """The comparison, where the request asks for one."""
    if not bank.rivals:
        return None
    return BankComparison(
        [RivalBank(
            rival.chemistry, rival.outcome, rival.why, None if rival.unit is None else rival.unit.name, rival.series, rival.parallel, rival.governed_by,
            known_amount(rival.rated_energy_wh, "Wh"), known_amount(rival.usable_energy_wh, "Wh"), known_amount(rival.usable_energy_aged_wh, "Wh"),
            known_amount(rival.mass_kg, "kg"), rival.life_years,
        ) for rival in bank.rivals],
        [LabelledBank(
            label.chemistry, Amount(label.rated_energy_wh, "Wh"), known_amount(label.usable_energy_wh, "Wh"),
            known_amount(label.usable_energy_aged_wh, "Wh"), known_amount(label.at_current_wh, "Wh"), known_amount(label.at_current_aged_wh, "Wh"),
        ) for label in bank.same_label],
    )
