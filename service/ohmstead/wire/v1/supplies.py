"""Supplies: what a client says of them, and what is answered for each. The list is the same in a brief and on its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any, Literal

from msgspec import Meta, Struct

from ...electrical.sources import model
from ..base import Amount, known_amount
from ..door import Door
from ..problems import Contradiction
from ..quantities import AirTemperature, Altitude, ApparentPower, Current, Power
from .checked import CheckAnswer, ChoiceAnswer, write_check, write_choice

Service = Literal["120V-15A", "120V-20A", "120V-30A", "120-240V-50A", "230V-6A", "230V-10A", "230V-16A", "230V-32A"]
SupplyId = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$", description="Name of the supply in findings and answers; kind and position when silent")]
HoursPerDay = Annotated[float, Meta(ge=0, le=24, description="Hours on a day on which it is there")]
DaysPerWeek = Annotated[float, Meta(ge=0, le=7, description="Days of a week on which it is there")]


class ShoreSupply(Struct, frozen=True, forbid_unknown_fields=True, tag="shore", tag_field="kind"):
    """A service at a site, or a receptacle of a house."""

    service: Annotated[Service, Meta(description="Voltage and breaker of each leg; one of another voltage than the practice's is answered as not to be connected")]
    id: Annotated[SupplyId | None, Meta(description="Name of the supply in findings and answers")] = None
    hours_per_day: Annotated[HoursPerDay | None, Meta(description="Hours on a day on which it is there; without them no balance counts on it")] = None
    days_per_week: Annotated[DaysPerWeek | None, Meta(description="Days of a week on which it is there; every day when silent")] = None


class RatedPower(Struct, frozen=True, forbid_unknown_fields=True, tag="power", tag_field="by"):
    """The plate says watts."""

    power: Annotated[Power, Meta(description="Rated power, at sea level and a mild temperature")]


class RatedApparentPower(Struct, frozen=True, forbid_unknown_fields=True, tag="apparent-power", tag_field="by"):
    """The plate says volt-amperes."""

    apparent_power: Annotated[ApparentPower, Meta(description="Rated apparent power, at sea level and a mild temperature")]
    power_factor: Annotated[Annotated[float, Meta(ge=0.5, le=1)] | None, Meta(description="Power factor of the rating; 0.8 when silent")] = None


class GeneratorSupply(Struct, frozen=True, forbid_unknown_fields=True, tag="generator", tag_field="kind"):
    """A generator that is started for some hours."""

    rated: Annotated[RatedPower | RatedApparentPower, Meta(description="Continuous rating on the plate")]
    wiring: Annotated[Literal["120V", "120-240V", "230V"], Meta(description="120V and 230V: one hot. 120-240V: two in opposition")] = "120V"
    neutral: Annotated[Literal["bonded", "floating", "not-known"], Meta(description="Whether its neutral is joined to its frame: bonded, floating, or not known; it is marked on the set, or measured")] = "not-known"
    id: Annotated[SupplyId | None, Meta(description="Name of the supply in findings and answers")] = None
    altitude: Annotated[Altitude | None, Meta(description="Highest place of use")] = None
    ambient: Annotated[AirTemperature | None, Meta(description="Hottest air that the engine takes in")] = None
    hours_per_day: Annotated[HoursPerDay | None, Meta(description="Hours on a day on which it runs; without them no balance counts on it")] = None
    days_per_week: Annotated[DaysPerWeek | None, Meta(description="Days of a week on which it runs; every day when silent")] = None


class AlternatorSupply(Struct, frozen=True, forbid_unknown_fields=True, tag="alternator", tag_field="kind"):
    """The alternator of the engine, while driving."""

    rated: Annotated[Current, Meta(description="Rated output, cold")]
    starter_voltage: Annotated[Literal[12, 24], Meta(description="Nominal voltage of the starter battery, in volts")] = 12
    coupling: Annotated[Literal["dc-dc", "direct"], Meta(description="dc-dc: through a DC-DC charger. direct: through a relay or an isolator, lead-acid only")] = "dc-dc"
    dc_dc_output: Annotated[Current | None, Meta(description="Rated output of a DC-DC charger that is there already; one is picked when silent")] = None
    id: Annotated[SupplyId | None, Meta(description="Name of the supply in findings and answers")] = None
    hours_per_day: Annotated[HoursPerDay | None, Meta(description="Hours of driving on a day with driving; without them no balance counts on it")] = None
    days_per_week: Annotated[DaysPerWeek | None, Meta(description="Days of a week with driving; every day when silent")] = None


SupplyRequest = ShoreSupply | GeneratorSupply | AlternatorSupply


class AlternatingAnswer(Struct, frozen=True):
    """The supply as its inlet sees it."""

    voltage: Annotated[Amount, Meta(description="Line to neutral")]
    legs: Annotated[float, Meta(description="Live legs")]
    breaker: Annotated[Amount | None, Meta(description="Breaker of each leg; null for a generator")]
    limit: Annotated[Amount, Meta(description="What the supply gives without end, each leg, the transfer relay's limit included")]
    program: Annotated[Amount, Meta(description="Input limit to program on the inverter-charger, each leg; less where other loads hang on the leg ahead of it")]
    leg_power: Annotated[Amount, Meta(description="Power without end, each leg")]
    power: Annotated[Amount, Meta(description="Power without end, all legs; only loads divided evenly can use it")]
    charger_input: Annotated[Amount | None, Meta(description="Current of the charger at its setting, on leg 1")]
    charger_apparent_power: Annotated[Amount | None, Meta(description="Apparent power of the charger at its setting")]
    left: Annotated[Amount | None, Meta(description="Left for loads on leg 1 while the charger runs at its setting")]
    supplement: Annotated[Amount, Meta(description="What the inverter has to add when all loads that run together do; nought when nothing")]
    neutral: Annotated[Amount | None, Meta(description="Neutral current; null where the currents of the legs are not known")]
    has_240: Annotated[bool, Meta(description="Whether there is 240 V between the legs")]
    dead_loads: Annotated[list[str], Meta(description="Loads that this supply does not run for want of 240 V")]


class AlternatorAnswer(Struct, frozen=True):
    """The alternator and what stands between it and the bank."""

    coupling: Annotated[Literal["dc-dc", "direct"], Meta(description="How it reaches the bank")]
    hot_output: Annotated[Amount, Meta(description="Output once it is hot")]
    spare: Annotated[Amount, Meta(description="What may go to the bank")]
    voltage: Annotated[Amount, Meta(description="Voltage that was reckoned with")]
    drawn: Annotated[Amount, Meta(description="Current drawn from the alternator")]


class ChargerAnswer(Struct, frozen=True):
    """The charger that this supply feeds."""

    kind: Annotated[Literal["inverter-charger", "stand-alone", "dc-dc"], Meta(description="What it is part of")]
    output: Annotated[Amount, Meta(description="Rated output")]
    given: Annotated[bool, Meta(description="Whether it was there already")]
    choice: Annotated[ChoiceAnswer | None, Meta(description="Why this rating; null where it was given")]


class ChargingAnswer(Struct, frozen=True):
    """How the supply fills the bank from its depth of discharge, with the loads of an average hour on."""

    setting: Annotated[Amount, Meta(description="Output current to program on this supply")]
    current: Annotated[Amount, Meta(description="Into bank and direct-current loads together")]
    voltage: Annotated[Amount, Meta(description="Voltage at which the current is reckoned")]
    power: Annotated[Amount, Meta(description="Power at the charger's output")]
    taken_by_loads: Annotated[Amount, Meta(description="Share of the current that the loads take")]
    bulk: Annotated[Amount | None, Meta(description="Time to the beginning of absorption; null when nothing is left for the bank")]
    absorption: Annotated[Amount | None, Meta(description="Time from there to full; null when this source does not get there")]
    time: Annotated[Amount | None, Meta(description="Time to full; null when this source never gets there")]
    walks_down: Annotated[bool, Meta(description="Whether the bank empties although the supply is on")]
    balance: Annotated[Amount, Meta(description="Power over for the bank, negative when it walks down")]


class SupplyAnswer(Struct, frozen=True):
    """One supply, sized, or the nearest miss."""

    id: Annotated[str, Meta(description="Name of the supply")]
    kind: Annotated[Literal["shore", "generator", "alternator"], Meta(description="Kind of the supply")]
    outcome: Annotated[Literal["sized", "nothing-fits"], Meta(description="Whether a charger was found for it")]
    why: Annotated[str, Meta(description="Why nothing fits; empty when sized")]
    hours_per_day: Annotated[float, Meta(description="Hours counted on, on a day on which it is there")]
    days_per_week: Annotated[float, Meta(description="Days of a week counted on")]
    energy: Annotated[Amount, Meta(description="What it stores or spares on the average day of a week, at the bank")]
    alternating: Annotated[AlternatingAnswer | None, Meta(description="Shore and generator; null otherwise")]
    alternator: Annotated[AlternatorAnswer | None, Meta(description="Alternator; null otherwise, and where nothing joins it to the bank")]
    charger: Annotated[ChargerAnswer | None, Meta(description="The charger; null when none fits or none is needed")]
    charging: Annotated[ChargingAnswer | None, Meta(description="How it fills the bank; null when no charger fits")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check, those that failed among them")]
    failed: Annotated[CheckAnswer | None, Meta(description="The check that the nearest miss fails")]


def read_supplies(supplies: Sequence[SupplyRequest], door: Door, base: str = "/supplies") -> tuple[model.Request, ...]:
    """The list in service units; `base` points at it. Raises Problem when two supplies have one name."""
    read = tuple(read_supply(supply, door, f"{base}/{position}", f"{supply.__struct_config__.tag}-{position + 1}") for position, supply in enumerate(supplies))
    twice = named_twice(read, base)
    if twice:
        raise Contradiction(*twice)
    return read


def named_twice(supplies: Sequence[model.Request], base: str) -> list[tuple[str, str]]:
    """Where a supply has the name of one before it, and the sentence that says so."""
    seen: set[str] = set()
    twice = []
    for position, request in enumerate(supplies):
        if request.id in seen:
            twice.append((f"{base}/{position}/id", f"a supply before this one is named {request.id} too"))
        seen.add(request.id)
    return twice


_WIRING: dict[str, model.Wiring] = {"120V": "120", "120-240V": "120-240", "230V": "230"}


def read_supply(supply: SupplyRequest, door: Door, base: str, name: str) -> model.Request:
    """One supply in service units; `name` is its id where it has none of its own."""
    when = dict(
        id=supply.id or name,
        hours_per_day=door.number(supply.hours_per_day, "supply_hours_per_day", base, "hours_per_day"),
        days_per_week=door.number(supply.days_per_week, "days_per_week", base, "days_per_week"),
    )
    if isinstance(supply, ShoreSupply):
        return model.Shore(service=supply.service, **when)
    if isinstance(supply, GeneratorSupply):
        rated = supply.rated
        if isinstance(rated, RatedPower):
            rating = model.ByPower(door.quantity(rated.power, "generator_rating_w", f"{base}/rated", "power"))
        else:
            rating = model.ByApparentPower(
                door.quantity(rated.apparent_power, "apparent_power_va", f"{base}/rated", "apparent_power"),
                door.number(rated.power_factor, "rating_power_factor", f"{base}/rated", "power_factor"))
        return model.Generator(
            rating=rating, wiring=_WIRING[supply.wiring],
            altitude_m=door.quantity(supply.altitude, "altitude_m", base, "altitude"),
            ambient_c=door.quantity(supply.ambient, "ambient_c", base, "ambient"), neutral=supply.neutral, **when)
    return model.Alternator(
        alternator_rating_a=door.quantity(supply.rated, "alternator_rating_a", base, "rated"),
        starter_voltage_v=door.number(supply.starter_voltage, "nominal_voltage_v", base, "starter_voltage"), coupling=supply.coupling,
        dc_dc_output_a=door.quantity(supply.dc_dc_output, "dc_dc_output_a", base, "dc_dc_output"), **when)


def write_supply(supply: model.Supply) -> SupplyAnswer:
    """A supply as it stands in an answer."""
    return SupplyAnswer(**fields_of(supply))


def fields_of(supply: model.Supply) -> dict[str, Any]:
    """The fields of a supply's answer."""
    side, dc, charger, charging = supply.alternating, supply.dc_dc, supply.charger, supply.charging
    return dict(
        id=supply.id, kind=supply.kind, outcome=supply.outcome, why=supply.why, hours_per_day=supply.hours_per_day,
        days_per_week=supply.days_per_week, energy=Amount(supply.energy_wh, "Wh"),
        alternating=side and AlternatingAnswer(
            Amount(side.supply_voltage_v, "V"), side.legs, known_amount(side.supply_breaker_a, "A"), Amount(side.supply_limit_a, "A"), Amount(side.program_a, "A"),
            Amount(side.leg_power_w, "W"), Amount(side.supply_power_w, "W"), known_amount(side.charger_input_a, "A"),
            known_amount(side.charger_input_va, "VA"), known_amount(side.left_va, "VA"), Amount(side.supplement_w, "W"),
            known_amount(side.neutral_a, "A"), side.has_240, list(side.dead_loads),
        ),
        alternator=dc and AlternatorAnswer(
            dc.coupling, Amount(dc.alternator_hot_a, "A"), Amount(dc.alternator_current_a, "A"), Amount(dc.alternator_voltage_v, "V"),
            Amount(dc.dc_dc_input_a, "A"),
        ),
        charger=charger and ChargerAnswer(
            charger.kind, Amount(charger.charger_current_a, "A"), charger.given, charger.choice and write_choice(charger.choice),
        ),
        charging=charging and ChargingAnswer(
            Amount(charging.charger_setting_a, "A"), Amount(charging.charging_a, "A"), Amount(charging.charging_voltage_v, "V"),
            Amount(charging.charge_power_w, "W"), Amount(charging.load_current_a, "A"), known_amount(charging.bulk_hours, "h"),
            known_amount(charging.absorption_hours, "h"), known_amount(charging.charge_hours, "h"), charging.walks_down,
            Amount(charging.balance_w, "W"),
        ),
        checks=[write_check(check) for check in supply.checks], failed=supply.failed and write_check(supply.failed),
    )

