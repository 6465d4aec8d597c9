"""The inverter: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.conductors.formulas import current_from_power, ripple_current, ripple_factor
from ...electrical.inverter import formulas, leg_formulas, model
from ...electrical.loads import starts
from ...electrical.loads.formulas import apparent_power, idle_energy
from ...reference.case import Case, Library
from ...working import Citation, cited
from ..base import Amount, Answer, envelope, known_amount
from ..door import Door
from ..quantities import AirTemperature, Altitude, ApparentPower, Current, DcVoltage, Energy, Power, ShortDuration, StandbyPower
from .checked import CheckAnswer, ChoiceAnswer, write_check, write_choice
from .loads import Start, read_start


class StatedInverter(Struct, frozen=True, forbid_unknown_fields=True):
    """An inverter that is there already or wished for, as its data sheet describes it."""

    power: Annotated[Power, Meta(description="Continuous rating")]
    apparent_power: Annotated[ApparentPower | None, Meta(description="Apparent-power rating; some ratings in volt-amperes give only 0.8 in watts")] = None
    surge: Annotated[ApparentPower | None, Meta(description="Surge rating, for as long as the starts last")] = None
    idle: Annotated[StandbyPower | None, Meta(description="Draw when it is on and nothing runs")] = None
    transfer: Annotated[Current | None, Meta(description="Rating of the transfer relay")] = None
    surge_duration: Annotated[ShortDuration | None, Meta(description="How long the surge rating lasts; a start that lasts longer has the continuous rating alone")] = None
    wave: Annotated[Literal["sine", "modified-sine"] | None, Meta(description="Wave form")] = None


class MotorRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """The load with the largest start; it is one of those that run together."""

    power: Annotated[Power, Meta(description="Its running power")]
    start: Annotated[Start, Meta(description="What it takes when it starts")]
    power_factor: Annotated[Annotated[float, Meta(ge=0.1, le=1)] | None, Meta(description="Its real over apparent power while it runs")] = None


class BankBehind(Struct, frozen=True, forbid_unknown_fields=True):
    """The bank behind the inverter, as far as it is known."""

    current: Annotated[Current, Meta(description="Continuous current of the bank and its management system")]
    peak: Annotated[Current | None, Meta(description="Peak current; the continuous one when silent")] = None
    peak_duration: Annotated[ShortDuration | None, Meta(description="How long the peak lasts; a peak of unknown length does not count")] = None
    usable_energy: Annotated[Energy | None, Meta(description="Usable energy of the bank")] = None


class SecondLegRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """Loads of the second leg and between the legs."""

    running: Annotated[Power, Meta(description="Power drawn on the second leg by the loads that run together")]
    running_apparent: Annotated[ApparentPower | None, Meta(description="Apparent power of the same loads; by the power factor when silent")] = None
    surge: Annotated[ApparentPower | None, Meta(description="Apparent power on the second leg with its largest start; the running one when silent")] = None
    between: Annotated[Power | None, Meta(description="Power drawn by loads that need both legs; half of it hangs on each")] = None
    between_apparent: Annotated[ApparentPower | None, Meta(description="Apparent power of the same loads; by the power factor when silent")] = None
    between_surge: Annotated[ApparentPower | None, Meta(description="Their apparent power with the largest start among them; the running one when silent")] = None


class InverterRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """An inverter to choose, or to check: loads that run together, the largest start, and where it stands."""

    system_voltage: Annotated[Literal[12, 24, 48], Meta(description="Nominal voltage of the system, in volts")]
    running: Annotated[Power, Meta(description="Power drawn by the loads that run together")]
    running_apparent: Annotated[ApparentPower | None, Meta(description="Apparent power of the same loads; by the power factor when silent")] = None
    surge: Annotated[ApparentPower | None, Meta(description="Apparent power with the largest start while the others run; the running one when silent")] = None
    power_factor: Annotated[Annotated[float, Meta(ge=0.1, le=1)] | None, Meta(description="Real over apparent power of the loads")] = None
    largest_load: Annotated[Power | None, Meta(description="Power drawn by the largest single load")] = None
    cut_off: Annotated[DcVoltage | None, Meta(description="Low-voltage cut-off of the inverter, as programmed")] = None
    efficiency: Annotated[Annotated[float, Meta(ge=0.3, le=1)] | None, Meta(description="Output over input at full power")] = None
    temperature: Annotated[AirTemperature | None, Meta(description="Hottest air at the inverter")] = None
    altitude: Annotated[Altitude | None, Meta(description="Highest place of use")] = None
    margin: Annotated[Annotated[float, Meta(ge=1, le=3)] | None, Meta(description="Margin on the loads that run together; 1.25 to 1.30 is printed")] = None
    inverter: Annotated[StatedInverter | None, Meta(description="Check this one instead of choosing one")] = None
    supply_breaker: Annotated[Current | None, Meta(description="Breaker upstream of the transfer relay")] = None
    motor: Annotated[MotorRequest | None, Meta(description="The load with the largest start; with a surge given too the larger of both counts")] = None
    start_duration: Annotated[ShortDuration | None, Meta(description="How long the largest start lasts")] = None
    feeds: Annotated[Annotated[list[Literal["resistive", "motor", "electronic", "medical"]], Meta(max_length=4)], Meta(description="What the loads are by nature; it matters for the wave form")] = []
    hours_per_day: Annotated[Annotated[float, Meta(ge=0, le=24)] | None, Meta(description="Hours a day that the inverter is on")] = None
    bank: Annotated[BankBehind | None, Meta(description="The bank behind it, to be judged against what runs and what starts")] = None
    second_leg: Annotated[SecondLegRequest | None, Meta(description="For two inverters on two legs: the fields above are then those of the first leg")] = None


class RatingAnswer(Struct, frozen=True):
    """An inverter, what heat and altitude leave of it, and what it draws from the bank."""

    row: Annotated[str | None, Meta(description="Row of the table of generic ratings; null for the one of the request")]
    power: Annotated[Amount, Meta(description="Continuous rating")]
    apparent_power: Annotated[Amount, Meta(description="Apparent-power rating")]
    surge: Annotated[Amount, Meta(description="Surge rating")]
    power_left: Annotated[Amount, Meta(description="Continuous power left by heat and altitude")]
    apparent_power_left: Annotated[Amount, Meta(description="Apparent power left by heat and altitude")]
    surge_left: Annotated[Amount, Meta(description="Surge left by heat and altitude")]
    idle: Annotated[Amount, Meta(description="Draw when it is on and nothing runs")]
    transfer: Annotated[Amount | None, Meta(description="Rating of the transfer relay; null when not known")]
    current: Annotated[Amount, Meta(description="Direct current at full power on the cut-off voltage, average")]
    ripple_current: Annotated[Amount, Meta(description="The same as root mean square, ripple included: it heats cable and fuse")]
    surge_current: Annotated[Amount, Meta(description="Direct current at the surge that the loads ask for, on the cut-off voltage; of all inverters together")]
    idle_energy: Annotated[Amount, Meta(description="Energy a day for being on")]
    surge_counts: Annotated[bool, Meta(description="Whether its surge lasts as long as the start, as far as is known; else the continuous rating counts in its place")]


class SmallerRating(Struct, frozen=True):
    """The next smaller generic rating."""

    row: Annotated[str, Meta(description="Row of the table of generic ratings")]
    power: Annotated[Amount, Meta(description="Continuous rating")]
    failed: Annotated[CheckAnswer | None, Meta(description="The first check that it fails")]


class VoltageAdvice(Struct, frozen=True):
    """The lowest system voltage at which an inverter of this power is usual."""

    system_voltage: Annotated[Amount, Meta(description="Nominal voltage")]
    current: Annotated[Amount, Meta(description="Direct current at full power there, the cut-off in proportion")]
    usual_current: Annotated[Amount, Meta(description="Largest direct current that is usual")]


class LegsOfInverters(Struct, frozen=True):
    """Inverters on two legs. Rating and checks are those of one of them."""

    heavier: Annotated[Literal["first", "second"], Meta(description="The leg that decides the rating")]
    units: Annotated[float | None, Meta(description="Inverters on both legs together; null when no number of them fits")]
    running: Annotated[Amount, Meta(description="Power of both legs and of what hangs between them")]


class SizedInverter(Struct, frozen=True):
    """An inverter that passes every check, or the nearest miss."""

    outcome: Annotated[Literal["sized", "nothing-fits"], Meta(description="Whether one passed every check")]
    why: Annotated[str, Meta(description="Why nothing fits; empty when sized")]
    governed_by: Annotated[str, Meta(description="The check that decided, or that stands in the way")]
    continuous_needed: Annotated[Amount, Meta(description="Continuous power that has to be left, margin included")]
    apparent_needed: Annotated[Amount, Meta(description="Apparent power that has to be left, margin included")]
    surge_needed: Annotated[Amount, Meta(description="Surge that has to be left")]
    rating_factor: Annotated[float, Meta(description="Share of a rating left by heat and altitude")]
    cut_off: Annotated[Amount, Meta(description="Low-voltage cut-off that the currents are reckoned on")]
    efficiency: Annotated[float, Meta(description="Efficiency that the currents are reckoned with")]
    ripple_factor: Annotated[float, Meta(description="Root mean square over average current on the battery side")]
    rating: Annotated[RatingAnswer | None, Meta(description="The inverter; null when nothing fits")]
    nearest: Annotated[RatingAnswer | None, Meta(description="The nearest miss; null when one fits")]
    stacked: Annotated[float | None, Meta(description="Units of the largest generic rating that together would carry it; null when one does")]
    choice: Annotated[ChoiceAnswer | None, Meta(description="Which check decided and what the next smaller one failed; null when nothing was chosen")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check of the inverter or of the nearest miss")]
    transfer: Annotated[CheckAnswer | None, Meta(description="Transfer relay against the breaker upstream; null when either is not known")]
    smaller: Annotated[SmallerRating | None, Meta(description="The next smaller generic rating")]
    failed: Annotated[CheckAnswer | None, Meta(description="The check that the nearest miss fails")]
    start: Annotated[Amount | None, Meta(description="Apparent power of the motor's start alone; null without a motor")]
    start_duration: Annotated[Amount | None, Meta(description="How long the start is taken to last; null where nothing depends on it")]
    bank_current: Annotated[Amount, Meta(description="Direct current while the loads run, on the cut-off voltage")]
    bank: Annotated[list[CheckAnswer], Meta(description="The bank against what runs and what starts; they do not decide the rating")]
    idle_share: Annotated[float | None, Meta(description="Share of the usable bank that a day of idling takes; null when the bank is not known")]
    advice: Annotated[VoltageAdvice | None, Meta(description="Which system voltage suits this power; null when there is no inverter to judge")]
    legs: Annotated[LegsOfInverters | None, Meta(description="Two legs; null on one")]


class InverterAnswer(Answer):
    """An inverter chosen or checked."""

    inverter: Annotated[SizedInverter, Meta(description="The inverter")]


CAUTIONS = (
    "How long the surge of an inverter lasts differs from milliseconds to twenty seconds; the starts of its loads have to fit into it.",
    "The battery and its management system have to give the surge too, and the cable and the fuse to carry it.",
)


def read(request: InverterRequest, door: Door) -> model.Request:
    """The request in service units."""
    unit = request.inverter
    return model.Request(
        door.quantity(request.running, "running_power_w", "", "running"), door.number(request.system_voltage, "nominal_voltage_v", "", "system_voltage"),
        door.quantity(request.running_apparent, "running_va", "", "running_apparent"), door.quantity(request.surge, "surge_va", "", "surge"),
        door.number(request.power_factor, "power_factor", "", "power_factor"), door.quantity(request.largest_load, "largest_load_w", "", "largest_load"),
        door.quantity(request.cut_off, "cut_off_v", "", "cut_off"), door.number(request.efficiency, "inverter_efficiency", "", "efficiency"),
        door.quantity(request.temperature, "inverter_temperature_c", "", "temperature"), door.quantity(request.altitude, "altitude_m", "", "altitude"),
        door.number(request.margin, "sizing_margin", "", "margin"), read_unit(unit, door, "/inverter") if unit is not None else None,
        door.quantity(request.supply_breaker, "supply_breaker_a", "", "supply_breaker"), _motor(request.motor, door),
        door.quantity(request.start_duration, "transient_s", "", "start_duration"), tuple(request.feeds),
        door.number(request.hours_per_day, "idle_hours", "", "hours_per_day"), _bank(request.bank, door), _second_leg(request.second_leg, door),
    )


def _motor(motor: MotorRequest | None, door: Door) -> model.Motor | None:
    if motor is None:
        return None
    return model.Motor(
        door.quantity(motor.power, "load_power_w", "/motor", "power"), read_start(motor.start, door, "/motor"),
        door.number(motor.power_factor, "power_factor", "/motor", "power_factor"),
    )


def _bank(bank: BankBehind | None, door: Door) -> model.Bank | None:
    if bank is None:
        return None
    return model.Bank(
        door.quantity(bank.current, "bank_continuous_a", "/bank", "current"), door.quantity(bank.peak, "bank_surge_a", "/bank", "peak"),
        door.quantity(bank.peak_duration, "surge_duration_s", "/bank", "peak_duration"),
        door.quantity(bank.usable_energy, "bank_usable_wh", "/bank", "usable_energy"),
    )


def _second_leg(leg: SecondLegRequest | None, door: Door) -> model.SecondLeg | None:
    if leg is None:
        return None
    return model.SecondLeg(
        door.quantity(leg.running, "running_power_w", "/second_leg", "running"),
        door.quantity(leg.running_apparent, "running_va", "/second_leg", "running_apparent"),
        door.quantity(leg.surge, "surge_va", "/second_leg", "surge"), door.quantity(leg.between, "between_power_w", "/second_leg", "between"),
        door.quantity(leg.between_apparent, "between_va", "/second_leg", "between_apparent"),
        door.quantity(leg.between_surge, "surge_va", "/second_leg", "between_surge"),
    )


def read_unit(unit: StatedInverter, door: Door, base: str) -> model.Unit:
    """An inverter in service units; `base` is its JSON Pointer."""
    return model.Unit(
        door.quantity(unit.power, "inverter_rating_w", base, "power"), door.quantity(unit.apparent_power, "inverter_rating_va", base, "apparent_power"),
        door.quantity(unit.surge, "inverter_surge_va", base, "surge"), door.quantity(unit.idle, "idle_w", base, "idle"),
        door.quantity(unit.transfer, "transfer_rating_a", base, "transfer"),
        door.quantity(unit.surge_duration, "surge_duration_s", base, "surge_duration"), unit.wave,
    )


def write_inverter(inverter: model.Inverter) -> SizedInverter:
    """A sized inverter as it stands in an answer."""
    smaller, advice, legs = inverter.smaller, inverter.advice, inverter.legs
    return SizedInverter(
        inverter.outcome, inverter.why, inverter.governed_by, Amount(inverter.continuous_needed_w, "W"), Amount(inverter.apparent_needed_va, "VA"),
        Amount(inverter.surge_needed_va, "VA"), inverter.rating_factor, Amount(inverter.cut_off_v, "V"), inverter.inverter_efficiency,
        inverter.ripple_factor, _rating(inverter.rating), _rating(inverter.nearest), inverter.stacked,
        write_choice(inverter.choice) if inverter.choice is not None else None, [write_check(check) for check in inverter.checks],
        write_check(inverter.transfer) if inverter.transfer is not None else None,
        None if smaller is None
        else SmallerRating(smaller.name, Amount(smaller.inverter_rating_w, "W"), write_check(smaller.failed) if smaller.failed is not None else None),
        write_check(inverter.failed) if inverter.failed is not None else None,
        known_amount(inverter.start_va, "VA"),
        known_amount(inverter.start_duration_s, "s"), Amount(inverter.bank_running_a, "A"),
        [write_check(check) for check in inverter.bank], inverter.idle_share,
        None if advice is None
        else VoltageAdvice(Amount(advice.voltage_v, "V"), Amount(advice.current_a, "A"), Amount(advice.usual_current_a, "A")),
        None if legs is None else LegsOfInverters(legs.heavier, legs.units, Amount(legs.running_w, "W")),
    )


def _rating(rating: model.Rating | None) -> RatingAnswer | None:
    if rating is None:
        return None
    transfer = known_amount(rating.transfer_rating_a, "A")
    return RatingAnswer(
        None if rating.given else rating.name, Amount(rating.inverter_rating_w, "W"), Amount(rating.inverter_rating_va, "VA"),
        Amount(rating.inverter_surge_va, "VA"), Amount(rating.derated_w, "W"), Amount(rating.derated_va, "VA"),
        Amount(rating.derated_surge_va, "VA"), Amount(rating.idle_w, "W"), transfer, Amount(rating.inverter_current_a, "A"),
        Amount(rating.ripple_current_a, "A"), Amount(rating.surge_current_a, "A"), Amount(rating.idle_energy_wh, "Wh"), rating.surge_counts,
    )


_SOURCES = cited(formulas, leg_formulas, starts) | dict.fromkeys([
    shared.formula.citation for shared in (current_from_power, ripple_factor, ripple_current, idle_energy, apparent_power)
])


def printed(inverter: model.Inverter, library: Library) -> dict[Citation, None]:
    """Every source behind an inverter."""
    clauses = [check.rule.clause for check in inverter.checks]
    if inverter.transfer is not None:
        clauses.append(inverter.transfer.rule.clause)
    clauses += [check.rule.clause for check in inverter.bank]
    constants = library.tables["constants"]
    own = (library.tables["inverter_ratings"].citation, library.tables["system_voltages"].citation, constants.citation_of_row[constants.row("usual_direct_current")])
    return dict.fromkeys([*own, *inverter.sources, *clauses]) | _SOURCES


def write(inverter: model.Inverter, case: Case) -> InverterAnswer:
    """The answer."""
    return InverterAnswer(inverter=write_inverter(inverter), **envelope(case, printed(inverter, case.library), CAUTIONS))
