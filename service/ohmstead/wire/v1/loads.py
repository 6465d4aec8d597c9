"""Loads: what a client says of them, and their translation to the model. The list is the same in a brief and on its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.loads import model
from ..door import Door
from ..problems import Contradiction
from ..quantities import AcVoltage, ApparentPower, Current, DcVoltage, HorsePower, Power, StandbyPower
from .appliance_names import AcAppliance, DcAppliance

LoadId = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$")]
Hours = Annotated[float, Meta(ge=0, le=24)]
Share = Annotated[float, Meta(ge=0, le=1)]
Efficiency = Annotated[float, Meta(ge=0.3, le=1)]
Multiple = Annotated[float, Meta(ge=1, le=20, description="Starting over running apparent power")]
Count = Annotated[int, Meta(ge=1, le=500, description="Number of like appliances")]
Nature = Annotated[
    Literal["resistive", "motor", "electronic"],
    Meta(description="What the appliance is by nature; it decides what is assumed where power factor or start are not given"),
]
MotorKind = Literal[
    "resistive", "electronic-drive", "universal", "repulsion-induction", "capacitor-start", "brushed-direct-current", "induction",
    "compressor", "split-phase", "microwave-oven",
]
Letter = Literal["A", "B", "C", "D", "E", "F", "G", "H", "J", "K", "L", "M", "N", "P", "R", "S", "T", "U"]


class PowerDraw(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="power"):
    """The power that one appliance draws is known; a measured one beats the plate's."""

    power: Annotated[Power, Meta(description="Running power of one appliance")]


class AcCurrentDraw(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="current"):
    """The current that one appliance draws is known."""

    current: Annotated[Current, Meta(description="Running current of one appliance")]
    voltage: Annotated[AcVoltage, Meta(description="Voltage at which it draws that current")]


class DcCurrentDraw(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="current"):
    """The current that one appliance draws is known."""

    current: Annotated[Current, Meta(description="Running current of one appliance")]
    voltage: Annotated[DcVoltage, Meta(description="Voltage at which it draws that current")]


class CookingPowerDraw(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="cooking-power"):
    """The label of a microwave oven: the power that reaches the food, about half of what it draws."""

    cooking_power: Annotated[Power, Meta(description="Power that reaches the food")]
    efficiency: Annotated[Annotated[float, Meta(ge=0.3, le=0.9)] | None, Meta(description="Power into the food over power drawn")] = None


class AcApplianceDraw(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="appliance"):
    """An appliance by its name in the list; whatever else the load says goes before the list."""

    appliance: Annotated[AcAppliance, Meta(description="Name in the list of appliances")]
    power: Annotated[Power | None, Meta(description="Running power of one appliance; the list's typical one when silent")] = None


class DcApplianceDraw(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="appliance"):
    """An appliance by its name in the list; whatever else the load says goes before the list."""

    appliance: Annotated[DcAppliance, Meta(description="Name in the list of appliances")]
    power: Annotated[Power | None, Meta(description="Running power of one appliance; the list's typical one when silent")] = None


class EveryDayUse(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="every-day"):
    """The same hours on every day of the year."""

    hours_per_day: Annotated[Hours, Meta(description="Hours a day in use; for an appliance with a thermostat the hours that it is switched on, with its duty")]


class SeasonUse(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="by-season"):
    """Hours in the six warm and in the six cold months; the hemisphere decides which they are."""

    summer_hours: Annotated[Hours, Meta(description="Hours a day in the six warm months")]
    winter_hours: Annotated[Hours, Meta(description="Hours a day in the six cold months")]


class MonthUse(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="by-month"):
    """Hours a day in each month; none in a month that is left out."""

    january: Annotated[Hours, Meta(description="Hours a day in January")] = 0.0
    february: Annotated[Hours, Meta(description="Hours a day in February")] = 0.0
    march: Annotated[Hours, Meta(description="Hours a day in March")] = 0.0
    april: Annotated[Hours, Meta(description="Hours a day in April")] = 0.0
    may: Annotated[Hours, Meta(description="Hours a day in May")] = 0.0
    june: Annotated[Hours, Meta(description="Hours a day in June")] = 0.0
    july: Annotated[Hours, Meta(description="Hours a day in July")] = 0.0
    august: Annotated[Hours, Meta(description="Hours a day in August")] = 0.0
    september: Annotated[Hours, Meta(description="Hours a day in September")] = 0.0
    october: Annotated[Hours, Meta(description="Hours a day in October")] = 0.0
    november: Annotated[Hours, Meta(description="Hours a day in November")] = 0.0
    december: Annotated[Hours, Meta(description="Hours a day in December")] = 0.0


class Standby(Struct, frozen=True, forbid_unknown_fields=True):
    """Power drawn when plugged in but not in use."""

    power: Annotated[StandbyPower, Meta(description="Power of one appliance on standby")]
    hours_per_day: Annotated[Hours | None, Meta(description="Hours a day on standby; the rest of the day when silent")] = None


class SoftStarter(Struct, frozen=True, forbid_unknown_fields=True):
    """An electronic soft starter of a single-phase compressor."""

    left: Annotated[Annotated[float, Meta(ge=0.1, le=1)] | None, Meta(description="Share of the starting current that it leaves")] = None


class NoStart(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="none"):
    """Starts with no more than it runs on."""


class MultipleStart(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="multiple"):
    """The start as a multiple of the running load."""

    multiple: Annotated[Multiple, Meta(description="Starting over running apparent power")]


class KindStart(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="kind"):
    """The kind of motor; the upper end of its band counts."""

    kind: Annotated[MotorKind, Meta(description="Kind of motor, a row of the table start_multiples")]


class LockedRotorStart(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="locked-rotor"):
    """Locked-rotor current from the plate; a slow clamp meter does not show it."""

    current: Annotated[Current, Meta(description="Locked-rotor current, LRA on the plate")]
    voltage: Annotated[AcVoltage, Meta(description="Voltage of the plate")]
    soft_starter: Annotated[SoftStarter | None, Meta(description="A soft starter in front of it")] = None


class CodeLetterStart(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="code-letter"):
    """Code letter and rated power from the plate; the letter V has no upper end, so give the locked-rotor current there."""

    letter: Annotated[Letter, Meta(description="Locked-rotor indicating code letter")]
    rated: Annotated[HorsePower, Meta(description="Rated power of the motor")]
    soft_starter: Annotated[SoftStarter | None, Meta(description="A soft starter in front of it")] = None


class MeasuredStart(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="measured"):
    """Measured with an instrument fast enough, or stated by the maker."""

    apparent_power: Annotated[ApparentPower, Meta(description="Apparent power at the start of one appliance")]


Start = NoStart | MultipleStart | KindStart | LockedRotorStart | CodeLetterStart | MeasuredStart


class DcLockedRotorStart(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="locked-rotor"):
    """Current at standstill."""

    current: Annotated[Current, Meta(description="Current at standstill")]
    voltage: Annotated[DcVoltage, Meta(description="Voltage of the plate")]


class _Load(Struct, frozen=True, forbid_unknown_fields=True, tag_field="current", kw_only=True):
    """What loads of both kinds of current share."""

    id: Annotated[LoadId, Meta(description="Name of the load in findings and answers")]
    use: Annotated[EveryDayUse | SeasonUse | MonthUse | None, Meta(description="Hours in use; the list's hours for an appliance by name, else all day, when silent")] = None
    count: Annotated[Count, Meta(description="Number of like appliances")] = 1
    duty: Annotated[Share | None, Meta(description="Share of the hours in use during which it draws power")] = None
    standby: Annotated[Standby | None, Meta(description="What it draws when plugged in but not in use")] = None
    nature: Annotated[Nature | None, Meta(description="What the appliance is by nature; it decides what is assumed where power factor or start are not given")] = None
    group: Annotated[LoadId | None, Meta(description="Loads of one group run together and two groups never do; a load without a group runs with everything")] = None
    critical: Annotated[bool, Meta(description="Whether it must never be cut: breakaway brakes, gas detectors, bilge pump, medical")] = False
    shore_only: Annotated[bool, Meta(description="Whether it is served only where shore or a generator is present, and takes nothing from the bank")] = False


class AcLoad(_Load, frozen=True, tag="ac"):
    """An appliance on alternating current, or several alike."""

    draw: Annotated[PowerDraw | AcCurrentDraw | CookingPowerDraw | AcApplianceDraw, Meta(description="What one appliance draws while it runs")]
    power_factor: Annotated[Annotated[float, Meta(ge=0.1, le=1)] | None, Meta(description="Real over apparent power")] = None
    start: Annotated[Start | None, Meta(description="What one appliance takes when it starts")] = None
    voltage: Annotated[AcVoltage | None, Meta(description="Voltage of the appliance; that of the supply when silent")] = None


class DcLoad(_Load, frozen=True, tag="dc"):
    """An appliance on direct current, or several alike."""

    draw: Annotated[PowerDraw | DcCurrentDraw | DcApplianceDraw, Meta(description="What one appliance draws while it runs")]
    start: Annotated[NoStart | MultipleStart | KindStart | DcLockedRotorStart | None, Meta(description="What one appliance takes when it starts")] = None
    voltage: Annotated[DcVoltage | None, Meta(description="Nominal voltage of the appliance; that of the system when silent. Another one needs a converter")] = None


LoadRequest = AcLoad | DcLoad


def read_loads(loads: Sequence[LoadRequest], door: Door, base: str) -> tuple[model.Load, ...]:
    """Loads in service units; `base` is the JSON Pointer of the list. Raises Contradiction when two have one id."""
    first: dict[str, int] = {}
    twice = []
    for place, load in enumerate(loads):
        if first.setdefault(load.id, place) != place:
            twice.append((f"{base}/{place}/id", f"the load {base}/{first[load.id]} has the id {load.id} too"))
    if twice:
        raise Contradiction(*twice)
    return tuple([_load(load, door, f"{base}/{place}") for place, load in enumerate(loads)])


def _load(load: LoadRequest, door: Door, base: str) -> model.Load:
    alternating = type(load) is AcLoad
    draw, use, standby, start = load.draw, load.use, load.standby, load.start
    return model.Load(
        load.id, "ac" if alternating else "dc",
        model.ByPower(door.quantity(draw.power, "load_power_w", base, "draw/power")) if type(draw) is PowerDraw else _draw(draw, door, base),
        model.EveryDay(door.number(use.hours_per_day, "hours_per_day", base, "use/hours_per_day")) if type(use) is EveryDayUse
        else None if use is None else _use(use, door, base),
        None if load.count == 1 else door.number(load.count, "load_count", base, "count"),
        None if load.duty is None else door.number(load.duty, "duty", base, "duty"),
        None if standby is None else model.Standby(
            door.quantity(standby.power, "standby_w", base, "standby/power"),
            door.number(standby.hours_per_day, "standby_hours", base, "standby/hours_per_day"),
        ),
        door.number(load.power_factor, "power_factor", base, "power_factor") if alternating else None,
        None if start is None else read_start(start, door, base),
        load.nature, None if load.voltage is None else door.quantity(load.voltage, "voltage_v", base, "voltage"),
        load.group, load.critical, load.shore_only, base,
    )


def _draw(draw: AcCurrentDraw | DcCurrentDraw | CookingPowerDraw | AcApplianceDraw | DcApplianceDraw, door: Door, base: str) -> model.Draw:
    if type(draw) in (AcApplianceDraw, DcApplianceDraw):
        return model.ByAppliance(draw.appliance, door.quantity(draw.power, "load_power_w", base, "draw/power"))
    if type(draw) is CookingPowerDraw:
        return model.ByCookingPower(
            door.quantity(draw.cooking_power, "cooking_power_w", base, "draw/cooking_power"),
            door.number(draw.efficiency, "cooking_efficiency", base, "draw/efficiency"),
        )
    return model.ByCurrent(
        door.quantity(draw.current, "current_a", base, "draw/current"), door.quantity(draw.voltage, "voltage_v", base, "draw/voltage"),
    )


def _use(use: SeasonUse | MonthUse, door: Door, base: str) -> model.Use:
    if type(use) is SeasonUse:
        return model.BySeason(
            door.number(use.summer_hours, "hours_per_day", base, "use/summer_hours"),
            door.number(use.winter_hours, "hours_per_day", base, "use/winter_hours"),
        )
    return model.ByMonth(
        tuple([door.number(getattr(use, month), "hours_per_day", base, f"use/{month}") for month in MonthUse.__struct_fields__]))


def _locked_rotor(start: LockedRotorStart, door: Door, base: str) -> model.LockedRotor:
    return model.LockedRotor(
        door.quantity(start.current, "locked_rotor_a", base, "start/current"), door.quantity(start.voltage, "voltage_v", base, "start/voltage"),
        _soft(start.soft_starter, door, base),
    )


def _direct_locked_rotor(start: DcLockedRotorStart, door: Door, base: str) -> model.LockedRotor:
    return model.LockedRotor(
        door.quantity(start.current, "locked_rotor_a", base, "start/current"), door.quantity(start.voltage, "voltage_v", base, "start/voltage"),
    )


def _code_letter(start: CodeLetterStart, door: Door, base: str) -> model.CodeLetter:
    return model.CodeLetter(start.letter, door.quantity(start.rated, "horsepower_hp", base, "start/rated"), _soft(start.soft_starter, door, base))


def _soft(soft: SoftStarter | None, door: Door, base: str) -> model.SoftStart | None:
    return None if soft is None else model.SoftStart(door.number(soft.left, "soft_start_factor", base, "start/soft_starter/left"))


def read_start(start: Start | DcLockedRotorStart, door: Door, base: str) -> model.Start:
    """A start in service units; `base` is the JSON Pointer of what starts."""
    return _START[type(start)](start, door, base)


_START = {
    NoStart: lambda start, door, base: _NO_START,
    MultipleStart: lambda start, door, base: model.StartMultiple(door.number(start.multiple, "start_multiple", base, "start/multiple")),
    KindStart: lambda start, door, base: model.StartKind(start.kind),
    LockedRotorStart: _locked_rotor,
    DcLockedRotorStart: _direct_locked_rotor,
    CodeLetterStart: _code_letter,
    MeasuredStart: lambda start, door, base: model.MeasuredStart(door.quantity(start.apparent_power, "start_va", base, "start/apparent_power")),
}
_NO_START = model.NoStart()
