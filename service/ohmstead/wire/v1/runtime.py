"""Run time: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.held import formulas as held_formulas
from ...electrical.loads.formulas import alike_power, direct_power
from ...electrical.runtime import clock_formulas, formulas, model
from ...electrical.sharing.formulas import typical_resistance
from ...electrical.storage import bank_formulas, resting_formulas
from ...electrical.storage import formulas as need_formulas
from ...electrical.storage.chemistry import properties
from ...reference.case import Case
from ...working import cited
from ..base import Amount, Answer, amount, envelope, known_amount
from ..door import Door
from ..quantities import Current, DcVoltage, LoadVoltage, Power, Resistance, StandbyPower
from .bank import AgeingFactor, DepthOfDischarge
from .checked import CheckAnswer, write_check
from .held import Chemistry, HeldBank, System, Temperature, read_held
from .loads import LoadId

Share = Annotated[float, Meta(ge=0, le=1)]
Hour = Annotated[float, Meta(ge=0, le=24)]
Efficiency = Annotated[float, Meta(ge=0.5, le=1)]


class RuntimePower(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="power"):
    """The power that one appliance draws is known; a measured one beats the plate's."""

    power: Annotated[Power, Meta(description="Running power of one appliance")]


class RuntimeCurrent(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="current"):
    """The current that one appliance draws is known; on alternating current all of it counts as power."""

    current: Annotated[Current, Meta(description="Running current of one appliance")]
    voltage: Annotated[LoadVoltage, Meta(description="Voltage at which it draws that current")]


class AlwaysUse(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="always"):
    """On all the time, with its duty."""


class HoursUse(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="hours"):
    """Some hours a day, whichever: its energy is spread over the day."""

    hours_per_day: Annotated[float, Meta(ge=0.01, le=24, description="Hours a day in use")]


class ClockUse(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="clock"):
    """Every day from an hour of the clock on; it may pass midnight."""

    start: Annotated[Hour, Meta(description="Hour of the day at which it begins, such as 18.5 for half past six in the evening")]
    hours: Annotated[float, Meta(ge=0.01, le=24, description="Hours from then on")]


class RuntimeLoad(Struct, frozen=True, forbid_unknown_fields=True):
    """Like appliances that run from the bank."""

    draw: Annotated[RuntimePower | RuntimeCurrent, Meta(description="What one of them draws")]
    current: Annotated[Literal["dc", "ac"], Meta(description="dc: on the bank's own side. ac: behind the inverter")]
    count: Annotated[int, Meta(ge=1, le=500, description="Number of like appliances")] = 1
    duty: Annotated[Annotated[float, Meta(ge=0.001, le=1)], Meta(description="Share of the hours in use that it draws power, such as 0.35 for a refrigerator")] = 1.0
    use: Annotated[AlwaysUse | HoursUse | ClockUse, Meta(description="When it is in use")] = AlwaysUse()
    id: Annotated[LoadId, Meta(description="Name of the load")] = "load"


class InverterByEfficiency(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="efficiency"):
    """One efficiency at every load, idle draw apart."""

    efficiency: Annotated[Efficiency | None, Meta(description="Output over input without the idle draw; the documented average when silent, and said")] = None
    idle: Annotated[StandbyPower | None, Meta(description="Idle draw")] = None
    always_on: Annotated[bool, Meta(description="Whether it idles while no alternating-current load is on")] = True


class InverterByRating(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="rating"):
    """Losses that follow the load: poor at light load, best in the middle, falling towards full power."""

    rating: Annotated[Power, Meta(description="Continuous power")]
    full_efficiency: Annotated[Efficiency | None, Meta(description="Efficiency at full power, which is below the best that catalogues print")] = None
    idle: Annotated[StandbyPower | None, Meta(description="Idle draw")] = None
    always_on: Annotated[bool, Meta(description="Whether it idles while no alternating-current load is on")] = True


class RuntimeRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A bank and what runs on it."""

    chemistry: Chemistry
    system_voltage: System
    bank: HeldBank
    load: Annotated[RuntimeLoad | None, Meta(description="A load; added to `loads`")] = None
    loads: Annotated[Annotated[list[RuntimeLoad], Meta(max_length=60)], Meta(description="Loads that are on the bank together")] = []
    temperature: Temperature = None
    state_of_charge: Annotated[Share | None, Meta(description="At the start; full when silent, and said")] = None
    depth_of_discharge: Annotated[DepthOfDischarge | None, Meta(description="Share of the rated capacity that may be used")] = None
    ageing_convention: Annotated[model.AgeingConvention | None, Meta(description="larger-of: depth and end of life are not multiplied. product: they are. The other one is shown beside it")] = None
    ageing_factor: Annotated[AgeingFactor | None, Meta(description="Capacity at the end of life over rated capacity")] = None
    discharge_efficiency: Annotated[Efficiency | None, Meta(description="Energy delivered over energy taken out of the cells")] = None
    wiring_efficiency: Annotated[Efficiency | None, Meta(description="Share that reaches the loads")] = None
    inverter: Annotated[InverterByEfficiency | InverterByRating | None, Meta(description="The inverter; a usual one when null and there are alternating-current loads")] = None
    cut_off: Annotated[DcVoltage | None, Meta(description="Voltage of the bank under load at which inverter or load disconnect cuts off, as programmed; where the bank counts as empty, or the usual one of inverters if that is higher, when null")] = None
    cable_resistance: Annotated[Resistance | None, Meta(description="Resistance of the cables to the heaviest load, out and back; none when null")] = None
    charging_power: Annotated[Power | None, Meta(description="Steady charging power at the bank, such as that of a fuel cell or a mains charger")] = None
    start_hour: Annotated[Hour | None, Meta(description="Hour of the day at which the run begins; 18 when silent and loads go by the clock, and said")] = None


class HoursBand(Struct, frozen=True):
    """Hours with the band in which they lie; null is without end."""

    low: Annotated[Amount | None, Meta(description="The shortest: everything that is uncertain on that side at once")]
    expected: Annotated[Amount | None, Meta(description="As expected")]
    high: Annotated[Amount | None, Meta(description="The longest: everything that is uncertain on that side at once")]


class LifeAnswer(Struct, frozen=True):
    """The run from the bank at one age."""

    hours: Annotated[HoursBand, Meta(description="How long the loads run; count on the low end where it matters")]
    usable_charge: Annotated[Amount, Meta(description="Charge that may be used up from the state of charge at the start, expected")]
    usable_energy: Annotated[Amount, Meta(description="The same as energy on nominal voltage")]
    ended_by: Annotated[model.EndedBy, Meta(description="What ends the run: the depth of discharge, or earlier the cut-off under load; nothing when charging keeps up")]


class AgedAnswer(Struct, frozen=True):
    """The run from the bank at the end of its life."""

    convention: Annotated[model.AgeingConvention, Meta(description="How depth of discharge and ageing go together")]
    run: Annotated[LifeAnswer, Meta(description="The run")]


class SectionAnswer(Struct, frozen=True):
    """A stretch of each day with the same loads on."""

    start: Annotated[Amount, Meta(description="Beginning, from the start of the run")]
    end: Annotated[Amount, Meta(description="End, from the start of the run")]
    power: Annotated[Amount, Meta(description="At the bank, averaged over duties")]
    highest_power: Annotated[Amount, Meta(description="At the bank with everything on")]
    net_current: Annotated[Amount, Meta(description="Out of the bank on nominal voltage less what charging brings; below nought while it fills")]
    rate_factor: Annotated[float, Meta(description="Charge used up over charge given: above one for lead-acid at high rates")]


class BandAnswer(Struct, frozen=True):
    """A value that makes the band; what the request gives does not."""

    name: Annotated[str, Meta(description="What it is")]
    unfavourable: Annotated[Amount | float | str, Meta(description="Against a long run or a short charge")]
    expected: Annotated[Amount | float | str, Meta(description="As expected")]
    favourable: Annotated[Amount | float | str, Meta(description="In favour of it")]


class RunOfBank(Struct, frozen=True):
    """How long the loads run, or the check that they fail."""

    outcome: Annotated[model.Outcome, Meta(description="runs-out; never-empty: charging brings what the loads take; cannot-run: `failed` says why")]
    why: Annotated[str, Meta(description="Why it cannot run; empty otherwise")]
    new: Annotated[LifeAnswer | None, Meta(description="From the new bank; null when it cannot run")]
    aged: Annotated[AgedAnswer | None, Meta(description="At the end of its life, by the convention in use")]
    aged_otherwise: Annotated[AgedAnswer | None, Meta(description="The same by the other convention")]
    band: Annotated[list[BandAnswer], Meta(description="What makes the band between low and high")]
    capacity: Annotated[Amount | None, Meta(description="Rated capacity of the bank; null when there is no such bank")]
    rated_energy: Annotated[Amount | None, Meta(description="Rated energy of the bank")]
    nominal_voltage: Annotated[Amount | None, Meta(description="Nominal voltage of the bank")]
    temperature_factor: Annotated[float | None, Meta(description="Capacity at the temperature over rated capacity")]
    depth_of_discharge: Annotated[float | None, Meta(description="Share of the rated capacity that may be used")]
    mean_power: Annotated[Amount | None, Meta(description="At the bank, averaged over a day")]
    highest_current: Annotated[Amount | None, Meta(description="With everything on, on the cut-off voltage")]
    bank_current: Annotated[Amount | None, Meta(description="What the bank gives without end")]
    cut_off: Annotated[Amount | None, Meta(description="Voltage under load at which the loads are cut off")]
    full_voltage_under_load: Annotated[Amount | None, Meta(description="Voltage of the full bank with everything on; null where rest voltages are not known")]
    sections: Annotated[list[SectionAnswer], Meta(description="The day, from the start of the run")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check")]
    failed: Annotated[CheckAnswer | None, Meta(description="The check that stands in the way")]


class RuntimeAnswer(Answer):
    """How long loads run from a bank."""

    runtime: Annotated[RunOfBank, Meta(description="The run")]


CAUTIONS = (
    "An estimate: temperature, age and the way in which a bank was treated move it by more than the band. For what must not stop, measure once and keep a reserve.",
    "Starting currents are not looked at here: ask for the inverter's surge and the bank's peak current.",
    "A bank that is emptied to the end of a run has to be recharged soon; lead-acid that stands discharged is lost.",
)


def read(request: RuntimeRequest, door: Door) -> model.RuntimeRequest:
    """The request in service units. Raises Problem outside the physical bounds."""
    loads = [] if request.load is None else [read_load(request.load, "/load", door)]
    loads += [read_load(load, f"/loads/{position}", door) for position, load in enumerate(request.loads)]
    return model.RuntimeRequest(
        bank=read_held(request.bank, request.chemistry, request.system_voltage, request.temperature, door), loads=tuple(loads),
        inverter=None if request.inverter is None else read_inverter(request.inverter, door),
        depth_of_discharge=door.number(request.depth_of_discharge, "depth_of_discharge", "", "depth_of_discharge"),
        state_of_charge=door.number(request.state_of_charge, "state_of_charge", "", "state_of_charge"),
        ageing_convention=request.ageing_convention, ageing_factor=door.number(request.ageing_factor, "ageing_factor", "", "ageing_factor"),
        discharge_efficiency=door.number(request.discharge_efficiency, "discharge_efficiency", "", "discharge_efficiency"),
        wiring_efficiency=door.number(request.wiring_efficiency, "wiring_efficiency", "", "wiring_efficiency"),
        cut_off_v=door.quantity(request.cut_off, "cut_off_v", "", "cut_off"),
        path_resistance_ohm=door.quantity(request.cable_resistance, "path_resistance_ohm", "", "cable_resistance"),
        charging_power_w=door.quantity(request.charging_power, "charging_power_w", "", "charging_power"),
        start_hour_h=door.number(request.start_hour, "start_hour_h", "", "start_hour"),
    )


def read_load(load: RuntimeLoad, base: str, door: Door) -> model.Load:
    """A load in service units."""
    if isinstance(load.draw, RuntimePower):
        power = door.quantity(load.draw.power, "load_power_w", f"{base}/draw", "power")
    else:
        current = door.quantity(load.draw.current, "current_a", f"{base}/draw", "current")
        power = direct_power(door.quantity(load.draw.voltage, "voltage_v", f"{base}/draw", "voltage"), current)
    if isinstance(load.use, HoursUse):
        use = model.HoursADay(door.number(load.use.hours_per_day, "hours_per_day", f"{base}/use", "hours_per_day"))
    elif isinstance(load.use, ClockUse):
        use = model.ByTheClock(
            door.number(load.use.start, "clock_from_h", f"{base}/use", "start"), door.number(load.use.hours, "section_hours", f"{base}/use", "hours"))
    else:
        use = model.Always()
    return model.Load(
        load.id, load.current, power, door.number(load.count, "load_count", base, "count"), door.number(load.duty, "duty", base, "duty"), use, base)


def read_inverter(inverter: InverterByEfficiency | InverterByRating, door: Door) -> model.Inverter:
    """An inverter in service units."""
    idle = door.quantity(inverter.idle, "idle_w", "/inverter", "idle")
    if isinstance(inverter, InverterByEfficiency):
        losses = model.ByEfficiency(door.number(inverter.efficiency, "inverter_efficiency", "/inverter", "efficiency"))
    else:
        losses = model.ByRating(
            door.quantity(inverter.rating, "inverter_rating_w", "/inverter", "rating"),
            door.number(inverter.full_efficiency, "inverter_efficiency", "/inverter", "full_efficiency"))
    return model.Inverter(losses, idle, inverter.always_on)



def write_band(band: tuple[model.BandPart, ...]) -> list[BandAnswer]:
    """What makes a band, as it stands in an answer."""
    return [
        BandAnswer(part.name, *[end if isinstance(end, str) else amount(end, part.unit) for end in (part.unfavourable, part.expected, part.favourable)])
        for part in band
    ]


def write_hours(spread: model.Spread) -> HoursBand:
    """Hours with their band, as they stand in an answer."""
    return HoursBand(known_amount(spread.low, "h"), known_amount(spread.expected, "h"), known_amount(spread.high, "h"))


def _life(life: model.Life | None) -> LifeAnswer | None:
    if life is None:
        return None
    return LifeAnswer(write_hours(life.run_hours), Amount(life.usable_ah, "Ah"), Amount(life.usable_energy_wh, "Wh"), life.ended_by)


def _aged(life: model.Life | None) -> AgedAnswer | None:
    return None if life is None else AgedAnswer(life.convention, _life(life))


_SOURCES = (
    *cited(formulas, clock_formulas, held_formulas, bank_formulas, resting_formulas, need_formulas),
    *[used.formula.citation for used in (alike_power, direct_power, typical_resistance)],
)


def write(runtime: model.Runtime, case: Case) -> RuntimeAnswer:
    """The answer."""
    run = RunOfBank(
        outcome=runtime.outcome, why=runtime.why, new=_life(runtime.new), aged=_aged(runtime.aged), aged_otherwise=_aged(runtime.aged_other),
        band=write_band(runtime.band), capacity=known_amount(runtime.capacity_ah, "Ah"), rated_energy=known_amount(runtime.rated_energy_wh, "Wh"),
        nominal_voltage=known_amount(runtime.bank_voltage_v, "V"), temperature_factor=runtime.temperature_factor,
        depth_of_discharge=runtime.depth_of_discharge, mean_power=known_amount(runtime.day_w, "W"), highest_current=known_amount(runtime.asked_a, "A"),
        bank_current=known_amount(runtime.bank_current_a, "A"), cut_off=known_amount(runtime.cut_off_v, "V"),
        full_voltage_under_load=known_amount(runtime.loaded_v, "V"),
        sections=[
            SectionAnswer(
                Amount(section.from_h, "h"), Amount(section.to_h, "h"), Amount(section.section_w, "W"), Amount(section.most_w, "W"),
                Amount(section.net_current_a, "A"), section.rate_factor)
            for section in runtime.sections
        ],
        checks=[write_check(check) for check in runtime.checks], failed=write_check(runtime.failed) if runtime.failed else None,
    )
    tables = case.library.tables
    named = ("chemistry_ranges", "rest_voltages", "internal_resistances", "loaded_resistances")
    sources = [
        *properties(case.library, runtime.chemistry).citations, *[citation for name in named for citation in dict.fromkeys(tables[name].citation_of_row)],
        *[check.rule.clause for check in runtime.checks], *_SOURCES,
    ]
    return RuntimeAnswer(runtime=run, **envelope(case, sources, CAUTIONS))
