"""Recharge: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.held import formulas as held_formulas
from ...electrical.recharge import formulas, model, supply_formulas
from ...electrical.runtime import clock_formulas
from ...electrical.runtime import formulas as runtime_formulas
from ...electrical.runtime.model import Always, ByTheClock
from ...electrical.sharing.formulas import typical_resistance
from ...electrical.sources.formulas import bulk_acceptance, dc_dc_carried, hot_output, spare_output
from ...electrical.storage import bank_formulas, resting_formulas
from ...electrical.storage.chemistry import properties
from ...reference.case import Case
from ...working import cited
from ..base import Amount, Answer, envelope, known_amount
from ..door import Door
from ..quantities import AcVoltage, Current, DcVoltage, FuelRate, Power
from .checked import CheckAnswer, write_check
from .held import Chemistry, HeldBank, System, Temperature, read_held
from .loads import LoadId
from .runtime import (
    AlwaysUse, BandAnswer, ClockUse, Hour, HoursBand, InverterByEfficiency, InverterByRating, Share, read_inverter, write_band,
    write_hours,
)

SupplyId = Annotated[LoadId, Meta(description="Name of the supply")]
Presence = Annotated[AlwaysUse | ClockUse, Meta(description="When it is there")]
OwnVoltage = Annotated[DcVoltage | None, Meta(description="Highest voltage that it reaches at the bank; set to the bank's when null")]
ChargeEfficiency = Annotated[Annotated[float, Meta(ge=0.3, le=1)] | None, Meta(description="Output over input power of the charger")]
PowerFactor = Annotated[Annotated[float, Meta(ge=0.3, le=1)] | None, Meta(description="Power factor of the charger")]


class InputLimit(Struct, frozen=True, forbid_unknown_fields=True):
    """What a supply has for charger and alternating-current loads together."""

    current: Annotated[Current, Meta(description="Current limit as programmed, of the leg that the charger is on")]
    voltage: Annotated[AcVoltage, Meta(description="Voltage of that leg")]


class ShoreCharge(Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", tag="shore"):
    """A charger on a shore service or another site supply."""

    current: Annotated[Current, Meta(description="Output current of the charger")]
    efficiency: ChargeEfficiency = None
    power_factor: PowerFactor = None
    limit: Annotated[InputLimit | None, Meta(description="Limit of the supply; it carries whatever is asked when null")] = None
    voltage: OwnVoltage = None
    present: Presence = AlwaysUse()
    id: SupplyId = "shore"


class GeneratorCharge(Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", tag="generator"):
    """A charger on a generator."""

    current: Annotated[Current, Meta(description="Output current of the charger")]
    efficiency: ChargeEfficiency = None
    power_factor: PowerFactor = None
    power: Annotated[Power | None, Meta(description="Power that the generator gives for hours on end, at its altitude and temperature; it carries whatever is asked when null")] = None
    fuel: Annotated[FuelRate | None, Meta(description="Fuel that it burns in an hour at this load")] = None
    voltage: OwnVoltage = None
    present: Presence = AlwaysUse()
    id: SupplyId = "generator"


class AlternatorCharge(Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", tag="alternator"):
    """A DC-DC charger behind an alternator."""

    current: Annotated[Current, Meta(description="Output current of the DC-DC charger")]
    rated: Annotated[Current | None, Meta(description="Rated output of the alternator, cold; it carries the charger when null")] = None
    starter_voltage: Annotated[Literal[12, 24], Meta(description="Nominal voltage of the starter battery, in volts")] = 12
    voltage: OwnVoltage = None
    present: Presence = AlwaysUse()
    id: SupplyId = "alternator"


class ArrayCharge(Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", tag="array"):
    """An array, its day's energy brought within its peak sun hours around noon."""

    power: Annotated[Power, Meta(description="Nameplate power of all modules")]
    peak_sun_hours: Annotated[float, Meta(ge=0.05, le=14, description="Peak sun hours of a day in the plane of the modules")]
    share: Annotated[Annotated[float, Meta(ge=0.05, le=1)] | None, Meta(description="Power at the bank in full sun over nameplate power; from the documented losses when silent, and said")] = None
    voltage: OwnVoltage = None
    id: SupplyId = "array"


class SteadyCharge(Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", tag="steady"):
    """A steady power at the bank, such as that of a fuel cell."""

    power: Annotated[Power, Meta(description="Power at the bank")]
    voltage: OwnVoltage = None
    present: Presence = AlwaysUse()
    id: SupplyId = "steady"


AnySupply = ShoreCharge | GeneratorCharge | AlternatorCharge | ArrayCharge | SteadyCharge


class RechargeRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A bank, the supplies that charge it and the loads that are on meanwhile."""

    chemistry: Chemistry
    system_voltage: System
    bank: HeldBank
    state_of_charge: Annotated[Share, Meta(description="At the start")]
    target: Annotated[Share | None, Meta(description="State of charge to reach; full when silent, and said")] = None
    supply: Annotated[AnySupply | None, Meta(description="A supply; added to `supplies`")] = None
    supplies: Annotated[Annotated[list[AnySupply], Meta(max_length=12)], Meta(description="Supplies that charge the bank")] = []
    temperature: Temperature = None
    dc_load: Annotated[Power | None, Meta(description="Direct-current loads that are on meanwhile, averaged, at the bank")] = None
    ac_load: Annotated[Power | None, Meta(description="Alternating-current loads that are on meanwhile, averaged: carried by shore or generator while one is there, else by the inverter")] = None
    inverter: Annotated[InverterByEfficiency | InverterByRating | None, Meta(description="The inverter; a usual one when null and it has loads to carry")] = None
    start_hour: Annotated[Hour | None, Meta(description="Hour of the day at which the charge begins; 18 when silent and supplies go by the clock, and said")] = None


class SupplyUseAnswer(Struct, frozen=True):
    """What one supply does."""

    id: Annotated[str, Meta(description="Name of the supply")]
    current: Annotated[Amount, Meta(description="What it brings at most, on charging voltage")]
    ceiling: Annotated[float | None, Meta(description="State of charge beyond which its voltage does not charge; null: it fills the bank")]
    never_fills: Annotated[bool, Meta(description="Whether its voltage can never fill this bank")]
    why: Annotated[str, Meta(description="Why not; empty otherwise")]
    input_power: Annotated[Amount | None, Meta(description="Power that the charger takes at its current; null without alternating-current side")]
    hours: Annotated[Amount | None, Meta(description="Hours in which it is there until the target; null when that is not reached")]
    fuel: Annotated[Amount | None, Meta(description="Fuel burnt in these hours at the stated rate; null without one")]


class LegAnswer(Struct, frozen=True):
    """A stretch of the charge, as expected."""

    start: Annotated[Amount, Meta(description="Beginning, from the start")]
    end: Annotated[Amount, Meta(description="End, from the start")]
    phase: Annotated[model.Phase, Meta(description="bulk: steady current. taper: the current falls. waiting: nothing charges, and loads may empty the bank")]
    current: Annotated[Amount, Meta(description="Into the bank at its beginning; below nought while loads empty it")]
    state_of_charge: Annotated[float, Meta(description="At its end")]


class ChargeOfBank(Struct, frozen=True):
    """How long the charge takes, or what stands in the way."""

    outcome: Annotated[model.Outcome, Meta(description="reached; reached-already; not-reached: `why` and `failed`; forbidden: out of the temperatures for charging")]
    why: Annotated[str, Meta(description="Why the target is not reached; empty otherwise")]
    hours: Annotated[HoursBand | None, Meta(description="From the start to the target, waiting included; null ends are never reached")]
    bulk_hours: Annotated[Amount | None, Meta(description="Until the current first falls: the part that is worth a generator's fuel; null where it does not fall")]
    bulk_state_of_charge: Annotated[float | None, Meta(description="State of charge then")]
    state_of_charge: Annotated[float | None, Meta(description="At the start")]
    target: Annotated[float | None, Meta(description="State of charge to reach")]
    reached: Annotated[float | None, Meta(description="Highest state of charge that is reached when the target is not")]
    start_current: Annotated[Amount | None, Meta(description="Into the bank at the start, with the supplies of the best section of the day")]
    held_by: Annotated[model.Holds, Meta(description="What holds that current: the supplies, the bank's limit, what lead-acid accepts, or the cold")]
    limit: Annotated[Amount | None, Meta(description="Largest charging current of the bank, all chargers together")]
    tail_current: Annotated[Amount | None, Meta(description="Current at which the bank counts as full")]
    charging_voltage: Annotated[Amount | None, Meta(description="Absorption voltage of the bank at its temperature")]
    capacity: Annotated[Amount | None, Meta(description="Rated capacity of the bank; null when there is no such bank")]
    charge: Annotated[Amount | None, Meta(description="Charge that goes into the bank until the target")]
    energy_in: Annotated[Amount | None, Meta(description="The same as energy on charging voltage")]
    energy_stored: Annotated[Amount | None, Meta(description="Energy that the bank holds more at the end")]
    energy_lost: Annotated[Amount | None, Meta(description="Energy that turned to heat in the bank; the loss of the chargers is not in it")]
    supplies: Annotated[list[SupplyUseAnswer], Meta(description="The supplies in their order")]
    legs: Annotated[list[LegAnswer], Meta(description="The course of the charge as expected, its first 48 stretches")]
    band: Annotated[list[BandAnswer], Meta(description="What makes the band between low and high")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check")]
    failed: Annotated[CheckAnswer | None, Meta(description="The check that stands in the way")]


class RechargeAnswer(Answer):
    """How long a charge takes."""

    recharge: Annotated[ChargeOfBank, Meta(description="The charge")]


CAUTIONS = (
    "An estimate: chargers that end absorption by the clock, cold and sulphated plates make it longer. Lead-acid is full when its current has fallen and stays, not when a time is over.",
    "What supplies bring together is taken to be held back to the bank's limit: program the chargers so, nothing else does it.",
    "Never charge a frozen or a swollen unit, nor lithium cells outside their temperatures.",
)


def read(request: RechargeRequest, door: Door) -> model.RechargeRequest:
    """The request in service units. Raises Problem outside the physical bounds."""
    supplies = [] if request.supply is None else [_supply(request.supply, "/supply", door)]
    supplies += [_supply(supply, f"/supplies/{position}", door) for position, supply in enumerate(request.supplies)]
    return model.RechargeRequest(
        bank=read_held(request.bank, request.chemistry, request.system_voltage, request.temperature, door), supplies=tuple(supplies),
        state_of_charge=door.number(request.state_of_charge, "state_of_charge", "", "state_of_charge"),
        target_state=door.number(request.target, "target_state", "", "target"),
        dc_loads_w=door.quantity(request.dc_load, "section_dc_w", "", "dc_load"),
        ac_loads_w=door.quantity(request.ac_load, "ac_loads_w", "", "ac_load"),
        inverter=None if request.inverter is None else read_inverter(request.inverter, door),
        start_hour_h=door.number(request.start_hour, "start_hour_h", "", "start_hour"),
    )


def _supply(supply, base: str, door: Door) -> model.MainsCharger | model.DcDc | model.Array | model.Steady:
    common = dict(id=supply.id, pointer=base, charger_v=door.quantity(supply.voltage, "charger_v", base, "voltage"))
    if isinstance(supply, ArrayCharge):
        return model.Array(
            array_nameplate_w=door.quantity(supply.power, "array_nameplate_w", base, "power"),
            peak_sun_hours=door.number(supply.peak_sun_hours, "peak_sun_hours", base, "peak_sun_hours"),
            array_share=door.number(supply.share, "array_share", base, "share"), **common)
    common["present"] = Always()
    if isinstance(supply.present, ClockUse):
        present = f"{base}/present"
        common["present"] = ByTheClock(
            door.number(supply.present.start, "clock_from_h", present, "start"), door.number(supply.present.hours, "section_hours", present, "hours"))
    if isinstance(supply, SteadyCharge):
        return model.Steady(charging_power_w=door.quantity(supply.power, "charging_power_w", base, "power"), **common)
    if isinstance(supply, AlternatorCharge):
        return model.DcDc(
            dc_dc_output_a=door.quantity(supply.current, "dc_dc_output_a", base, "current"),
            alternator_rating_a=door.quantity(supply.rated, "alternator_rating_a", base, "rated"),
            starter_voltage_v=float(supply.starter_voltage), **common)
    generator = isinstance(supply, GeneratorCharge)
    if generator:
        limit = door.quantity(supply.power, "input_limit_w", base, "power")
    elif supply.limit is None:
        limit = None
    else:
        limit = supply_formulas.power_of_limit(
            door.quantity(supply.limit.current, "supply_limit_a", f"{base}/limit", "current"),
            door.quantity(supply.limit.voltage, "supply_voltage_v", f"{base}/limit", "voltage"))
    return model.MainsCharger(
        charger_current_a=door.quantity(supply.current, "charger_current_a", base, "current"),
        charger_efficiency=door.number(supply.efficiency, "charger_efficiency", base, "efficiency"),
        charger_power_factor=door.number(supply.power_factor, "charger_power_factor", base, "power_factor"), input_limit_w=limit,
        generator=generator, fuel_l_per_h=door.quantity(supply.fuel, "fuel_l_per_h", base, "fuel") if generator else None, **common)



_SOURCES = (
    *cited(formulas, supply_formulas, clock_formulas, runtime_formulas, held_formulas, bank_formulas, resting_formulas),
    *[used.formula.citation for used in (typical_resistance, bulk_acceptance, dc_dc_carried, hot_output, spare_output)],
)


def write(recharge: model.Recharge, case: Case) -> RechargeAnswer:
    """The answer."""
    r = recharge
    charge = ChargeOfBank(
        outcome=r.outcome, why=r.why, hours=None if r.charge_hours is None else write_hours(r.charge_hours),
        bulk_hours=known_amount(r.bulk_hours, "h"), bulk_state_of_charge=r.bulk_state, state_of_charge=r.state_of_charge, target=r.target_state,
        reached=r.reached_state, start_current=known_amount(r.start_a, "A"), held_by=r.held_by, limit=known_amount(r.limit_a, "A"),
        tail_current=known_amount(r.tail_a, "A"), charging_voltage=known_amount(r.charging_v, "V"), capacity=known_amount(r.capacity_ah, "Ah"),
        charge=known_amount(r.charge_ah, "Ah"), energy_in=known_amount(r.energy_in_wh, "Wh"), energy_stored=known_amount(r.energy_stored_wh, "Wh"),
        energy_lost=known_amount(r.energy_lost_wh, "Wh"),
        supplies=[
            SupplyUseAnswer(
                use.id, Amount(use.current_a, "A"), use.ceiling, use.never_fills, use.why, known_amount(use.input_w, "W"),
                known_amount(use.present_hours, "h"), known_amount(use.fuel_l, "L"))
            for use in r.supplies
        ],
        legs=[
            LegAnswer(Amount(leg.from_h, "h"), Amount(leg.to_h, "h"), leg.phase, Amount(leg.current_a, "A"), leg.state_of_charge) for leg in r.legs
        ],
        band=write_band(r.band), checks=[write_check(check) for check in r.checks], failed=write_check(r.failed) if r.failed else None,
    )
    tables = case.library.tables
    constants = tables["constants"]
    sources = [
        *properties(case.library, r.chemistry).citations,
        *[citation for name in ("chemistry_ranges", "charge_taper", "rest_voltages") for citation in dict.fromkeys(tables[name].citation_of_row)],
        *[constants.citation_of_row[constants.row(name)] for name in ("reference_temperature_c", "cold_charge_below_c", "cold_charge_rate")],
        *[check.rule.clause for check in r.checks], *_SOURCES,
    ]
    return RechargeAnswer(recharge=charge, **envelope(case, sources, CAUTIONS))
