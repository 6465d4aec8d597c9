"""What the bank gives in each section of the day, for each end of the band."""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case
from ..held.model import Held
from ..held.sizing import resistance
from ..loads.formulas import alike_power
from .clock import Stretch
from .clock_formulas import charge_given, current_of_day
from .formulas import (
    alternating_mean, alternating_most, at_bank, cost_of_rate, current_with_all_on, direct_mean, direct_most,
    draw_by_duty, draw_by_hours, half_of_loss, input_by_efficiency, input_by_load, net_current, net_most, smaller_cost, square_of_load,
)
from .model import BandPart, ByEfficiency, ByRating, HoursADay, Inverter, Load, RuntimeRequest

ENDS = ("unfavourable", "expected", "favourable")


class Losses(Struct, frozen=True):
    """An inverter at one end of the band."""

    inverter_efficiency: float
    """The average one, or that at full power."""
    slope: float | None
    square_per_w: float | None
    """None for an inverter of one efficiency."""


class Scenario(Struct, frozen=True):
    """Everything that is not known to the digit, at one end of the band."""

    losses: Losses | None
    """None where nothing hangs on an inverter."""
    resistance_ohm: float
    exponent: float
    discharge_efficiency: float


class Part(Struct, frozen=True):
    """The bank in one section."""

    mean_w: float
    most_w: float
    net_a: float
    net_most_w: float
    rate_factor: float


def scenarios(
    request: RuntimeRequest, held: Held, inverter: Inverter | None, idle_w: float, case: Case
) -> tuple[tuple[Scenario, Scenario, Scenario], tuple[BandPart, ...]]:
    """The three ends of the band, all against the run, as expected and all in its favour; and what makes the band.

    A value that the request gives has no band.
    """
    band: list[BandPart] = []
    path = request.path_resistance_ohm
    if path is None:
        path = case.chosen(0.0, "path_resistance_ohm", "no cables given")
    resistances = tuple(resistance(held, end, path, case) for end in ("high", "typical", "low"))
    band.append(BandPart("resistance of the bank", *resistances, "ohm"))
    exponents = _exponents(held, band, case)
    discharge = _discharge(request, held, band, case)
    losses = (None,) * 3 if inverter is None else _losses(inverter, idle_w, band, case)
    return tuple(map(Scenario, losses, resistances, exponents, discharge)), tuple(band)


def _exponents(held: Held, band: list[BandPart], case: Case) -> tuple[float, float, float]:
    known = held.known
    if known.lithium:
        one = case.chosen(1, "peukert_exponent", "lithium cells give their rated capacity at every permitted rate")
        return one, one, one
    ranges, row = case.library.tables["chemistry_ranges"], f"{known.chemistry}/peukert_exponent"
    found = ranges.cell(row, "high"), known.peukert_exponent, ranges.cell(row, "low")
    band.append(BandPart("Peukert exponent", *found))
    band.append(BandPart("rate of the discharge is judged by", "everything on", "the mean of the section", "the mean of the day, recovered at rest"))
    return found


def _discharge(request: RuntimeRequest, held: Held, band: list[BandPart], case: Case) -> tuple[float, float, float]:
    known = held.known
    given = request.discharge_efficiency
    if given is None:
        given = case.house_rules.get("discharge_efficiency")
    expected = case.assume(f"discharge_efficiency_{known.family}", given)
    ranges, row = case.library.tables["chemistry_ranges"], f"{known.chemistry}/round_trip_efficiency"
    if given is not None or row not in ranges.index:
        return expected, expected, expected
    low, high = half_of_loss(ranges.cell(row, "low")), half_of_loss(ranges.cell(row, "high"))
    found = low if low < expected else expected, expected, high if high > expected else expected
    band.append(BandPart("discharge efficiency", *found))
    return found


def _losses(inverter: Inverter, idle_w: float, band: list[BandPart], case: Case) -> tuple[Losses, Losses, Losses]:
    """Worst, usual and best: what is given holds for all three."""
    made = inverter.losses
    if isinstance(made, ByEfficiency):
        given = made.inverter_efficiency
        usual = case.assume("inverter_efficiency", given)
        if given is not None or "inverter_efficiency" in case.house_rules:
            return (Losses(usual, None, None),) * 3
        ends = case.assume("inverter_efficiency_low"), usual, case.assume("inverter_efficiency_high")
        band.append(BandPart("inverter efficiency", *ends))
        return tuple(Losses(end, None, None) for end in ends)
    given, slope = made.full_efficiency, case.assume("inverter_slope")
    usual = case.assume("inverter_efficiency_full", given)
    ends = (usual, usual, usual)
    if given is None and "inverter_efficiency_full" not in case.house_rules:
        ends = case.assume("inverter_efficiency_full_low"), usual, case.assume("inverter_efficiency_full_high")
        band.append(BandPart("inverter efficiency at full power", *ends))
    return tuple(Losses(end, slope, square_of_load(slope, end, made.inverter_rating_w, idle_w)) for end in ends)


class Powers(Struct, frozen=True):
    """Loads of one request, ready to be added up."""

    loads: tuple[Load, ...]
    alike_w: tuple[float, ...]
    drawn_w: tuple[float, ...]
    none_w: float
    """Nought, as a number that formulas accept."""


def powers(loads: tuple[Load, ...], case: Case) -> Powers:
    """Power of each load with all of its kind on, and averaged over its duty, or over the day where no hour is named."""
    alike = tuple(alike_power(load.power_w, load.load_count) for load in loads)
    drawn = tuple(
        draw_by_hours(each, load.duty, load.use.hours_per_day) if isinstance(load.use, HoursADay) else draw_by_duty(each, load.duty)
        for each, load in zip(alike, loads)
    )
    return Powers(loads, alike, drawn, case.chosen(0.0, "alike_power_w", "nothing"))


def alternating(p: Powers, stretch: Stretch) -> tuple[float, float]:
    """Alternating-current power of a section: averaged, and with everything on."""
    places = [place for place in stretch.active if p.loads[place].kind == "ac"]
    return alternating_mean(p.none_w, *[p.drawn_w[place] for place in places]), alternating_most(p.none_w, *[p.alike_w[place] for place in places])


def parts(
    p: Powers, day: list[Stretch], scenario: Scenario, end: str, inverter: Inverter | None, idle_w: float, wiring: float, charging_w: float,
    held: Held,
) -> list[Part]:
    """The bank in every section, at one end of the band.

    Lead-acid gives less at a high rate. Against the run the rate is that of everything on; as expected it is the
    mean of the section; in its favour rests bring back what the mean of the day leaves.
    """
    made = []
    for stretch in day:
        places = [place for place in stretch.active if p.loads[place].kind == "dc"]
        mean, most = direct_mean(p.none_w, *[p.drawn_w[place] for place in places]), direct_most(p.none_w, *[p.alike_w[place] for place in places])
        taken, taken_most = _taken(p, stretch, scenario.losses, inverter, idle_w)
        mean, most = at_bank(taken, mean, wiring), at_bank(taken_most, most, wiring)
        made.append((mean, most, net_current(mean, charging_w, held.voltage_v), net_most(most, charging_w)))

    def cost(current: float) -> float:
        return cost_of_rate(current, held.rated_hours, held.capacity_ah, scenario.exponent)

    day_a = current_of_day(*[charge_given(net, stretch.section_hours) for (_, _, net, _), stretch in zip(made, day)])
    found = []
    for mean, most, net, heaviest in made:
        if end == "unfavourable":
            factor = cost(current_with_all_on(heaviest, held.voltage_v))
        elif end == "expected":
            factor = cost(net)
        else:
            factor = smaller_cost(cost(net), cost(day_a))
        found.append(Part(mean, most, net, heaviest, factor))
    return found


def _taken(p: Powers, stretch: Stretch, losses: Losses | None, inverter: Inverter | None, idle_w: float) -> tuple[float, float]:
    """What the inverter takes: averaged, and with everything on."""
    if inverter is None or losses is None:
        return p.none_w, p.none_w
    on = inverter.always_on or any(p.loads[place].kind == "ac" for place in stretch.active)
    if not on:
        return p.none_w, p.none_w
    mean, most = alternating(p, stretch)
    if isinstance(inverter.losses, ByRating):
        return (
            input_by_load(mean, losses.slope, losses.square_per_w, most, idle_w),
            input_by_load(most, losses.slope, losses.square_per_w, most, idle_w),
        )
    return input_by_efficiency(mean, losses.inverter_efficiency, idle_w), input_by_efficiency(most, losses.inverter_efficiency, idle_w)
