"""The array as it stands in an answer."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.array import model
from ...electrical.controller import model as controller_model
from ...electrical.solar.model import Month
from ..base import Amount, known_amount
from .checked import CheckAnswer, ChoiceAnswer, write_check, write_choice
from .sun import SunAnswer, write_sun


class ModuleAnswer(Struct, frozen=True):
    """The module at 1000 W/m2 and 25 °C. Null: not known."""

    name: Annotated[str, Meta(description="The module in words or its row in the table of usual sizes")]
    generic: Annotated[bool, Meta(description="Whether its ratings are usual ones, to be confirmed against the module that is bought")]
    power: Annotated[Amount, Meta(description="Nameplate power")]
    open_circuit_voltage: Annotated[Amount, Meta(description="Open-circuit voltage")]
    max_power_voltage: Annotated[Amount, Meta(description="Voltage at maximum power")]
    short_circuit_current: Annotated[Amount, Meta(description="Short-circuit current")]
    max_power_current: Annotated[Amount, Meta(description="Current at maximum power")]
    series_fuse: Annotated[Amount | None, Meta(description="Largest series fuse")]
    length: Annotated[Amount | None, Meta(description="Longer side")]
    width: Annotated[Amount | None, Meta(description="Shorter side")]
    mass: Annotated[Amount | None, Meta(description="Mass")]


class ControllerAnswer(Struct, frozen=True):
    """One charge controller. Null: not known."""

    name: Annotated[str, Meta(description="The controller in words or its row in the table of usual ratings")]
    generic: Annotated[bool, Meta(description="Whether its ratings are usual ones, to be confirmed against the controller that is bought")]
    input_limit: Annotated[Amount, Meta(description="Largest input voltage")]
    output: Annotated[Amount, Meta(description="Rated output current")]
    input_short_circuit: Annotated[Amount | None, Meta(description="Largest short-circuit current at the input")]


class StringFuseAnswer(Struct, frozen=True):
    """Whether each string needs a fuse of its own."""

    required: Annotated[bool, Meta(description="Whether it does")]
    current: Annotated[Amount, Meta(description="Current that the other strings and other sources can drive into one string")]
    limit: Annotated[Amount | None, Meta(description="Largest series fuse of the module; null when not known")]
    needed: Annotated[Amount, Meta(description="Smallest permitted rating of a string's fuse: 1.5625 times the short-circuit current")]
    family: Annotated[str | None, Meta(description="Family of the fuse; null when none is required")]
    rating: Annotated[Amount | None, Meta(description="Rating of the fuse")]
    voltage: Annotated[Amount | None, Meta(description="Direct-current voltage rating of the fuse")]
    count_each: Annotated[int, Meta(description="Fuses at each controller")]


class StringsAnswer(Struct, frozen=True):
    """The arrangement at one controller."""

    series: Annotated[int, Meta(description="Modules in series")]
    parallel: Annotated[int, Meta(description="Strings in parallel")]
    longest_series: Annotated[int, Meta(description="Most modules in series at this controller when coldest")]
    shortest_series: Annotated[int, Meta(description="Fewest modules in series at this controller when hottest")]
    cold_voltage: Annotated[Amount, Meta(description="Open-circuit voltage of a string at the coldest: the larger of both routes")]
    cold_by_coefficient: Annotated[Amount | None, Meta(description="The same by the module's coefficient; null when it is not known")]
    cold_by_table: Annotated[Amount, Meta(description="The same by the code's table; below its end by the last row")]
    hot_voltage: Annotated[Amount, Meta(description="Maximum-power voltage of a string at the hottest, at the controller")]
    hot_cell: Annotated[Amount, Meta(description="Cell temperature at the hottest")]
    short_circuit_current: Annotated[Amount, Meta(description="Short-circuit current of the parallel strings")]
    photovoltaic_current: Annotated[Amount, Meta(description="Largest current: 1.25 times that")]
    conductor_current: Annotated[Amount, Meta(description="Current for conductors and devices: 1.25 times again")]
    fuse: Annotated[StringFuseAnswer, Meta(description="Fuse of each string")]


class GroupAnswer(Struct, frozen=True):
    """Like modules at like controllers."""

    id: Annotated[str, Meta(description="Name of the group")]
    module: Annotated[ModuleAnswer, Meta(description="The module")]
    count: Annotated[int, Meta(description="Modules in all")]
    owned: Annotated[int, Meta(description="Of them there already")]
    new: Annotated[int, Meta(description="Of them to buy")]
    power: Annotated[Amount, Meta(description="Nameplate power of all")]
    controllers: Annotated[int, Meta(description="Like controllers, each with an equal part")]
    controller: Annotated[ControllerAnswer, Meta(description="The controller")]
    strings: Annotated[StringsAnswer, Meta(description="The arrangement at each controller")]
    power_each: Annotated[Amount, Meta(description="Nameplate power at each controller")]
    output: Annotated[Amount, Meta(description="Charging current that this power can drive at the lowest battery voltage")]
    output_limited: Annotated[Amount, Meta(description="The same within the controller's rating")]
    clipped: Annotated[float, Meta(description="Share of the nameplate power that the controller cannot pass")]
    choice: Annotated[ChoiceAnswer, Meta(description="What decided and what one module less fails")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check of the arrangement")]
    longer_failed: Annotated[CheckAnswer | None, Meta(description="What one more module in series would break; null when nothing")]
    shorter_failed: Annotated[CheckAnswer | None, Meta(description="What one fewer in series would break; null when nothing or when there is one")]


class ArrayMonth(Struct, frozen=True):
    """The mean day of one month, at the bank."""

    month: Annotated[Month, Meta(description="The month")]
    loads: Annotated[Amount, Meta(description="Energy that the loads take")]
    other_supplies: Annotated[Amount, Meta(description="Energy that other supplies store")]
    left: Annotated[Amount, Meta(description="Energy that is left for the array")]
    insolation: Annotated[Amount, Meta(description="Radiation that is planned on, in the plane of the modules")]
    cell_temperature: Annotated[Amount, Meta(description="Cell temperature, weighted with the energy")]
    efficiency: Annotated[float, Meta(description="Energy stored over nameplate power times peak sun hours")]
    needed_power: Annotated[Amount | None, Meta(description="Nameplate power that this month asks of the module in question; null where there is next to no sun")]
    stored: Annotated[Amount, Meta(description="Energy that the array stores")]
    balance: Annotated[Amount, Meta(description="What is over, or lacking where negative")]


class OwnedModulesAnswer(Struct, frozen=True):
    """What becomes of owned modules."""

    position: Annotated[int, Meta(description="Position of the entry in the request")]
    verdict: Annotated[Literal["keep", "refuse"], Meta(description="keep or refuse")]
    kept: Annotated[int, Meta(description="Modules of the entry that stay in use")]
    why: Annotated[str, Meta(description="Why")]
    group: Annotated[str | None, Meta(description="The group that they work in")]


class SizedArray(Struct, frozen=True):
    """A sized array, or the nearest miss."""

    outcome: Annotated[Literal["sized", "nothing-fits"], Meta(description="Whether an arrangement passed every check")]
    why: Annotated[str, Meta(description="Why nothing fits; empty when sized")]
    nearest: Annotated[str, Meta(description="The arrangement that comes closest when nothing fits")]
    failed: Annotated[CheckAnswer | None, Meta(description="The check that it fails, when there is one")]
    design_month: Annotated[Month | None, Meta(description="The month with the largest load over sun; null when nothing is needed")]
    needed_power: Annotated[Amount, Meta(description="Nameplate power that the design month asks for")]
    count: Annotated[int, Meta(description="Modules in all")]
    power: Annotated[Amount, Meta(description="Nameplate power of all modules")]
    covers: Annotated[float, Meta(description="Share of the loads that array and other supplies cover in the worst month")]
    short_months: Annotated[list[Month], Meta(description="Months that they do not cover")]
    groups: Annotated[list[GroupAnswer], Meta(description="Like modules at like controllers")]
    owned: Annotated[list[OwnedModulesAnswer], Meta(description="Verdicts on the owned modules")]
    mounting: Annotated[model.Mounting, Meta(description="How the modules are mounted")]
    room_for: Annotated[int | None, Meta(description="Modules that have room beside owned ones of another type; null without a limit")]
    sun: Annotated[SunAnswer, Meta(description="The sun")]
    months: Annotated[list[ArrayMonth], Meta(description="Month by month, January first")]


def write_array(array: model.Array) -> SizedArray:
    """An array as it stands in an answer."""
    return SizedArray(
        outcome=array.outcome, why=array.why, nearest=array.nearest, failed=write_check(array.failed) if array.failed else None,
        design_month=array.design_month, needed_power=Amount(array.needed_w, "W"), count=int(array.module_count),
        power=Amount(array.array_power_w, "W"), covers=array.covers, short_months=list(array.short_months),
        groups=[_group(group) for group in array.groups],
        owned=[OwnedModulesAnswer(int(said.id), said.verdict, said.count, said.why, said.group) for said in array.owned],
        mounting=array.mounting, room_for=None if array.largest_count is None else int(array.largest_count), sun=write_sun(array.sun),
        months=[_month(month) for month in array.months],
    )


def _group(group: model.Group) -> GroupAnswer:
    return GroupAnswer(
        group.id, _module(group.module), int(group.module_count), group.owned, group.new, Amount(group.power_w, "W"), int(group.controllers),
        _controller(group.controller), _strings(group), Amount(group.power_each_w, "W"), Amount(group.output_a, "A"),
        Amount(group.output_limited_a, "A"), group.clipped_fraction, write_choice(group.choice), [write_check(check) for check in group.checks],
        write_check(group.longer_failed) if group.longer_failed else None, write_check(group.shorter_failed) if group.shorter_failed else None,
    )



def _module(module: model.ModuleType) -> ModuleAnswer:
    return ModuleAnswer(
        module.name, module.generic, Amount(module.power_w, "W"), Amount(module.open_circuit_v, "V"), Amount(module.max_power_v, "V"),
        Amount(module.short_circuit_a, "A"), Amount(module.max_power_a, "A"), known_amount(module.fuse_limit_a, "A"),
        known_amount(module.length_m, "m"), known_amount(module.width_m, "m"), known_amount(module.mass_kg, "kg"),
    )


def _controller(controller: controller_model.ControllerType) -> ControllerAnswer:
    return ControllerAnswer(
        controller.name, controller.generic, Amount(controller.input_limit_v, "V"), Amount(controller.output_rating_a, "A"),
        known_amount(controller.input_short_circuit_a, "A"),
    )


def _strings(group: model.Group) -> StringsAnswer:
    strings, fuse = group.strings, group.strings.fuse
    device = fuse.device
    return StringsAnswer(
        int(strings.series), int(strings.parallel), int(group.longest_series), int(group.shortest_series), Amount(strings.cold_v, "V"),
        known_amount(strings.cold_coefficient_v, "V"), Amount(strings.cold_table_v, "V"), Amount(strings.hot_v, "V"),
        Amount(strings.hot_cell_c, "degC"), Amount(strings.short_circuit_a, "A"), Amount(strings.photovoltaic_current_a, "A"),
        Amount(strings.conductor_current_a, "A"),
        StringFuseAnswer(
            fuse.required, Amount(fuse.backfeed_a, "A"), known_amount(fuse.limit_a, "A"), Amount(fuse.needed_a, "A"),
            device.family if device else None, Amount(device.rating_a, "A") if device else None,
            Amount(device.voltage_v, "V") if device else None, fuse.count,
        ),
    )  # fmt: skip


def _month(month: model.MonthBalance) -> ArrayMonth:
    return ArrayMonth(
        month.month, Amount(month.load_wh, "Wh"), Amount(month.other_supplies_wh, "Wh"), Amount(month.net_wh, "Wh"),
        Amount(month.insolation_kwh_m2, "kWh/m2"), Amount(month.cell_temperature_c, "degC"), month.array_efficiency,
        known_amount(month.needed_w, "W"), Amount(month.yield_wh, "Wh"), Amount(month.balance_wh, "Wh"),
    )
