"""Demand: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.loads import converter_formulas, formulas, model, power, starts
from ...reference.case import Case
from ...working import Citation, cited
from ..base import Amount, Answer, envelope, known_amount
from ..door import Door
from ..quantities import Latitude, StandbyPower
from .checked import CheckAnswer, write_check
from .loads import Efficiency, Hours, LoadRequest, read_loads


class InverterIdle(Struct, frozen=True, forbid_unknown_fields=True):
    """The inverter that serves the alternating-current loads, as far as its losses go."""

    power: Annotated[StandbyPower | None, Meta(description="Draw of the inverter when it is on and nothing runs")] = None
    hours_per_day: Annotated[Hours | None, Meta(description="Hours a day that it is on; never fewer than its loads need")] = None
    efficiency: Annotated[Efficiency | None, Meta(description="Output over input over a day, without the idle draw")] = None


class DemandRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """The loads of one dwelling."""

    system_voltage: Annotated[Literal[12, 24, 48], Meta(description="Nominal voltage of the system, in volts")]
    loads: Annotated[list[LoadRequest], Meta(min_length=1, max_length=200, description="The loads; ids are unique")]
    latitude: Annotated[Latitude | None, Meta(description="Latitude of the place of use; it tells the warm months from the cold ones")] = None
    inverter: Annotated[InverterIdle | None, Meta(description="Losses of the inverter")] = None
    wiring_efficiency: Annotated[Annotated[float, Meta(ge=0.8, le=1)] | None, Meta(description="Share of the energy that the wiring leaves")] = None
    converter_efficiency: Annotated[Efficiency | None, Meta(description="Output over input of converters for loads of another voltage")] = None
    converter_idle: Annotated[StandbyPower | None, Meta(description="Idle draw of each such converter; it counts as always on")] = None
    growth_factor: Annotated[Annotated[float, Meta(ge=1, le=2)] | None, Meta(description="Factor on the energy for loads to come; 1.10 to 1.25 is the habit")] = None


class LoadAnswer(Struct, frozen=True):
    """One load; energies are those of a day in the heaviest month."""

    id: Annotated[str, Meta(description="Id of the load")]
    current: Annotated[Literal["ac", "dc"], Meta(description="Kind of current")]
    served_by: Annotated[Literal["bank", "shore"], Meta(description="bank: from the bank. shore: only where shore or a generator is present")]
    power: Annotated[Amount, Meta(description="Running power of all like appliances")]
    apparent_power: Annotated[Amount, Meta(description="Running apparent power of all like appliances")]
    start: Annotated[Amount, Meta(description="Apparent power of one appliance at its start")]
    energy: Annotated[Amount, Meta(description="Energy a day at the appliances, standby included")]
    bank_energy: Annotated[Amount, Meta(description="Energy a day at the bank")]
    share: Annotated[float, Meta(description="Share in the day's energy at the bank, idle draw included, growth not")]
    converter: Annotated[bool, Meta(description="Whether it needs a converter because its voltage is not that of the system")]


class EnergyAnswer(Struct, frozen=True):
    """Energy a day at the terminals of the bank."""

    months: Annotated[list[Amount], Meta(description="A day in each month, January first: losses, idle draw and growth included")]
    heaviest_month: Annotated[int, Meta(description="Month with the heaviest day; 1 is January")]
    day: Annotated[Amount, Meta(description="A day in that month, growth included")]
    day_charge: Annotated[Amount, Meta(description="The same as charge at the nominal voltage")]
    alternating: Annotated[Amount, Meta(description="Of it through the inverter, without its idle draw and without growth")]
    direct: Annotated[Amount, Meta(description="Of it by direct-current loads, without growth")]
    idle: Annotated[Amount, Meta(description="Of it by the inverter for being on, without growth")]
    converter_idle: Annotated[Amount, Meta(description="Of it by converters for being on, without growth")]
    critical: Annotated[Amount, Meta(description="Of it by loads that must never be cut, without growth")]
    always_live: Annotated[Amount, Meta(description="Of it by critical loads that are fed ahead of the load disconnect, without growth")]
    always_live_current: Annotated[Amount, Meta(description="The same as an average current, which goes on while the dwelling is laid up")]
    growth_factor: Annotated[float, Meta(description="Factor for loads to come")]


class StartAnswer(Struct, frozen=True):
    """The start that makes the largest surge."""

    id: Annotated[str, Meta(description="Id of the load")]
    start: Annotated[Amount, Meta(description="Apparent power of that start alone")]
    increment: Annotated[Amount, Meta(description="What it adds to the running load")]


class PowerAnswer(Struct, frozen=True):
    """Power of the loads on the bank that run together."""

    running: Annotated[Amount, Meta(description="Alternating current, real power")]
    running_apparent: Annotated[Amount, Meta(description="Alternating current, apparent powers added as plain numbers, which is never too low")]
    largest: Annotated[Amount, Meta(description="Largest single alternating-current load")]
    surge: Annotated[Amount, Meta(description="Alternating current with the largest start while the others run")]
    common_restart: Annotated[Amount, Meta(description="Alternating current when everything starts at once, as after a transfer or a trip")]
    start: Annotated[StartAnswer | None, Meta(description="Which start makes the surge; null when none adds to the running load")]
    direct: Annotated[Amount, Meta(description="Direct current, losses of converters included")]
    direct_surge: Annotated[Amount, Meta(description="Direct current with the largest start while the others run")]
    direct_start: Annotated[StartAnswer | None, Meta(description="Which start makes it; null when none adds to the running load")]
    bank: Annotated[Amount, Meta(description="What the bank gives when all of it runs")]
    shore_only: Annotated[Amount, Meta(description="Loads that only shore or a generator serves, real power")]
    shore_only_apparent: Annotated[Amount, Meta(description="The same, apparent power")]


class DominantAnswer(Struct, frozen=True):
    """The load that takes most, and what a change would save at the bank on the heaviest day."""

    id: Annotated[str, Meta(description="Id of the load")]
    share: Annotated[float, Meta(description="Its share in the day's energy at the bank")]
    saved_without: Annotated[Amount, Meta(description="Saved a day by doing without it")]
    saved_halved: Annotated[Amount, Meta(description="Saved a day by half of its use")]


class LoadShare(Struct, frozen=True):
    """What one load takes on a day."""

    id: Annotated[str, Meta(description="Id of the load")]
    bank_energy: Annotated[Amount, Meta(description="Energy at the bank, without growth")]
    share: Annotated[float, Meta(description="Share in the day's energy at the bank, idle draw included, growth not")]


class SeasonAnswer(Struct, frozen=True):
    """The heaviest day of one half of the year."""

    season: Annotated[Literal["warm", "cold"], Meta(description="Half of the year; the hemisphere decides which months")]
    month: Annotated[int | None, Meta(description="Its heaviest month, 1 is January; null where every day is alike")]
    day: Annotated[Amount, Meta(description="Energy of that day at the bank, growth included")]
    loads: Annotated[list[LoadShare], Meta(description="Every load, in the order of the request")]


class ChangeAnswer(Struct, frozen=True):
    """One change and what it saves on the heaviest day."""

    what: Annotated[Literal["use-half", "switch-off-standby", "inverter-off-between-uses"], Meta(description="The change")]
    load: Annotated[str | None, Meta(description="Id of the load; null for the inverter")]
    saved: Annotated[Amount, Meta(description="Saved a day at the bank, growth included")]


class BufferAnswer(Struct, frozen=True):
    """A battery beside loads that no converter carries and starts."""

    feed: Annotated[str, Meta(description="Row of the generic chargers or converters that keeps it full")]
    feed_table: Annotated[Literal["dc_dc_ratings", "dc_converters"], Meta(description="Table of that row; a converter has to be set to the charging voltage")]
    feed_rating: Annotated[Amount, Meta(description="Its rated output")]
    feed_needed: Annotated[Amount, Meta(description="Charging current that brings a day's energy back within a day")]
    discharge: Annotated[Amount, Meta(description="Power that the battery gives at the largest start")]
    usable_energy: Annotated[Amount, Meta(description="Usable energy that it has to hold at most: a day of its loads")]


class ConverterAnswer(Struct, frozen=True):
    """What stands between the bank and loads of one other voltage."""

    voltage: Annotated[Amount, Meta(description="Voltage of the loads")]
    loads: Annotated[list[str], Meta(description="Ids of the loads")]
    outcome: Annotated[Literal["converter", "buffer-battery", "nothing-fits"], Meta(description="converter: one carries and starts them. buffer-battery: none does, a battery with a charger would. nothing-fits: neither")]
    why: Annotated[str, Meta(description="Why nothing fits; else empty")]
    running: Annotated[Amount, Meta(description="Power of the loads that run together")]
    surge: Annotated[Amount, Meta(description="The same with the largest start")]
    start: Annotated[StartAnswer | None, Meta(description="Which start; null when none adds to the running load")]
    needed: Annotated[Amount, Meta(description="Rated output that it needs, margin included")]
    needed_at_start: Annotated[Amount, Meta(description="Peak output that it needs")]
    row: Annotated[str | None, Meta(description="Row of the generic converters; null unless one fits")]
    rating: Annotated[Amount | None, Meta(description="Its rated output")]
    peak: Annotated[Amount | None, Meta(description="Its peak output as it counts here")]
    idle_energy: Annotated[Amount, Meta(description="Energy a day for being on")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check of the converter, or of the largest one made")]
    buffer: Annotated[BufferAnswer | None, Meta(description="The buffer battery; null unless it is the outcome")]


class SizedDemand(Struct, frozen=True):
    """What the loads ask for."""

    energy: Annotated[EnergyAnswer, Meta(description="Energy a day")]
    power: Annotated[PowerAnswer, Meta(description="Power and starts")]
    dominant: Annotated[DominantAnswer | None, Meta(description="What dominates; null when no load takes from the bank")]
    changes: Annotated[list[ChangeAnswer], Meta(description="What single changes would save, the largest first")]
    seasons: Annotated[list[SeasonAnswer], Meta(description="The warm half of the year, then the cold one")]
    converters: Annotated[list[ConverterAnswer], Meta(description="What serves loads of each voltage that is not the system's, the lowest first; loads too hard for the converter stand apart, behind it")]
    critical: Annotated[list[str], Meta(description="Ids of the loads that must never be cut")]
    always_live: Annotated[list[str], Meta(description="Those of them that are fed ahead of the load disconnect")]
    loads: Annotated[list[LoadAnswer], Meta(description="Every load, in the order of the request")]


class DemandAnswer(Answer):
    """The demand of a list of loads."""

    demand: Annotated[SizedDemand, Meta(description="The demand")]


CAUTIONS = (
    "Measured power beats the plate's; the plate of a microwave oven gives the power in the food, not the power drawn.",
    "Starts are those of the plate or of the kind of motor; what a weak source lets through is less, and the motor may then not start.",
)
_SOURCES = cited(converter_formulas, formulas, power, starts)


def read(request: DemandRequest, door: Door) -> model.Request:
    """The request in service units. Raises Contradiction when two loads have one id."""
    inverter = request.inverter
    return model.Request(
        read_loads(request.loads, door, "/loads"), door.number(request.system_voltage, "nominal_voltage_v", "", "system_voltage"),
        door.quantity(request.latitude, "latitude_deg", "", "latitude"),
        door.quantity(inverter.power, "idle_w", "/inverter", "power") if inverter else None,
        door.number(inverter.hours_per_day, "idle_hours", "/inverter", "hours_per_day") if inverter else None,
        door.number(inverter.efficiency, "inverter_efficiency", "/inverter", "efficiency") if inverter else None,
        door.number(request.wiring_efficiency, "wiring_efficiency", "", "wiring_efficiency"),
        door.number(request.converter_efficiency, "converter_efficiency", "", "converter_efficiency"),
        door.quantity(request.converter_idle, "converter_idle_w", "", "converter_idle"),
        door.number(request.growth_factor, "growth_factor", "", "growth_factor"),
    )


def write_demand(demand: model.Demand) -> SizedDemand:
    """A demand as it stands in an answer."""
    dominant = demand.dominant
    return SizedDemand(
        EnergyAnswer(
            [Amount(energy, "Wh") for energy in demand.month_energy_wh], demand.heaviest_month + 1, Amount(demand.day_energy_wh, "Wh"),
            Amount(demand.day_charge_ah, "Ah"), Amount(demand.ac_energy_wh, "Wh"), Amount(demand.dc_energy_wh, "Wh"),
            Amount(demand.idle_energy_wh, "Wh"), Amount(demand.converter_idle_wh, "Wh"), Amount(demand.critical_energy_wh, "Wh"),
            Amount(demand.always_live_energy_wh, "Wh"), Amount(demand.always_live_a, "A"), demand.growth_factor,
        ),
        PowerAnswer(
            Amount(demand.running_w, "W"), Amount(demand.running_va, "VA"), Amount(demand.largest_ac_w, "W"), Amount(demand.surge_va, "VA"),
            Amount(demand.restart_va, "VA"), _started(demand.start), Amount(demand.dc_running_w, "W"), Amount(demand.dc_surge_w, "W"),
            _started(demand.dc_start), Amount(demand.bank_running_w, "W"), Amount(demand.shore_w, "W"), Amount(demand.shore_va, "VA"),
        ),
        None if dominant is None
        else DominantAnswer(dominant.id, dominant.energy_share, Amount(dominant.saved_without_wh, "Wh"), Amount(dominant.saved_halved_wh, "Wh")),
        [ChangeAnswer(change.what, change.load, Amount(change.saved_wh, "Wh")) for change in demand.changes],
        [_season(season, demand.loads) for season in demand.seasons], [_converter(converter) for converter in demand.converters],
        list(demand.critical), list(demand.always_live),
        [
            LoadAnswer(
                line.id, line.current, "bank" if line.on_bank else "shore", Amount(line.running_power_w, "W"),
                Amount(line.apparent_power_va, "VA"), Amount(line.start_va, "VA"), Amount(line.load_energy_wh, "Wh"),
                Amount(line.bank_energy_wh, "Wh"), line.energy_share, line.converter,
            )
            for line in demand.loads
        ],
    )


def _started(start: model.LargestStart | None) -> StartAnswer | None:
    return None if start is None else StartAnswer(start.id, Amount(start.start_va, "VA"), Amount(start.start_increment_va, "VA"))


def _season(season: model.Season, lines: tuple[model.LoadLine, ...]) -> SeasonAnswer:
    return SeasonAnswer(season.name, None if season.month is None else season.month + 1, Amount(season.day_energy_wh, "Wh"), [
        LoadShare(line.id, Amount(energy, "Wh"), share)
        for line, energy, share in zip(lines, season.line_energy_wh, season.line_share, strict=True)
    ])


def _converter(converter: model.Converter) -> ConverterAnswer:
    buffer = converter.buffer
    return ConverterAnswer(
        Amount(converter.voltage_v, "V"), list(converter.loads), converter.outcome, converter.why, Amount(converter.running_w, "W"),
        Amount(converter.surge_w, "W"), _started(converter.start), Amount(converter.needed_a, "A"), Amount(converter.start_a, "A"), converter.row,
        known_amount(converter.output_a, "A"), known_amount(converter.peak_a, "A"),
        Amount(converter.idle_energy_wh, "Wh"), [write_check(check) for check in converter.checks],
        None if buffer is None else BufferAnswer(
            buffer.feed, "dc_dc_ratings" if buffer.feed_is_charger else "dc_converters", Amount(buffer.feed_output_a, "A"),
            Amount(buffer.feed_needed_a, "A"), Amount(buffer.discharge_w, "W"), Amount(buffer.usable_energy_wh, "Wh"),
        ),
    )


def printed(demand: model.Demand) -> dict[Citation, None]:
    """Every source behind a demand."""
    return dict.fromkeys(demand.sources) | _SOURCES | dict.fromkeys([check.rule.clause for converter in demand.converters for check in converter.checks])


def write(demand: model.Demand, case: Case) -> DemandAnswer:
    """The answer."""
    return DemandAnswer(demand=write_demand(demand), **envelope(case, printed(demand), CAUTIONS))
