"""How long loads run from a bank: new and aged, with a band, by the clock, or why they cannot."""

from __future__ import annotations

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case, no_less, no_more
from ...reference.citations import cite
from ...working import TOLERANCE, Check, Rule, at_least, at_most
from ..held.formulas import cell_at_cut_off, reach_down_to, voltage_under_load
from ..held.model import Held, NotHeld
from ..held.sizing import COLD, HOT, hold, property_of, say_assumed
from ..storage.bank_formulas import end_voltage
from ..storage.chemistry import capacity_factor
from ..storage.resting import charge_at_rest, full_cell, rests_known
from .clock import Stretch, stretches
from .clock_formulas import filled_an_hour, used_an_hour
from .formulas import (
    current_on_cut_off, energy_given, energy_of_charge, higher_cut_off, power_of_day, share_of_larger, share_of_product, usable_charge,
)
from .model import ByRating, EndedBy, Inverter, Life, Runtime, RuntimeRequest, Section, Spread
from .powers import ENDS, Part, Scenario, alternating, parts, powers, scenarios
from .walk import End, Step, walk

RATING = Rule("inverter-carries-loads", TERMS["section_ac_most_w"], "at most", TERMS["inverter_rating_w"], cite("common-practice", "rating of the inverter"))
CURRENT = Rule("bank-gives-current", TERMS["discharge_current_a"], "at most", TERMS["bank_current_a"], cite("common-practice", "limit of the units"))
SAG = Rule("voltage-under-load", TERMS["loaded_v"], "at least", TERMS["cut_off_v"], cite("design-arithmetic", "rest voltage less the drop"))
LONG_HOURS = 720.0
"""Beyond a month self-discharge is no longer small beside what the loads take."""


class _Run(Struct, frozen=True):
    """Everything that is the same for a bank of any age."""

    held: Held
    case: Case
    factor: float
    depth: float
    state: float
    day: list[Stretch]
    made: tuple[tuple[Scenario, list[Part], list[float]], ...]
    """For each end of the band: the scenario, the bank in every section, and how far down its cut-off lets it go."""


def size_runtime(request: RuntimeRequest, case: Case) -> Runtime:
    """How long the loads run.

    The run ends when the depth of discharge is reached, or earlier when a load pulls the bank down to the cut-off.
    A load that passes the limits of bank or inverter does not run: then the outcome is `cannot-run` with the check
    that fails. Where charging brings as much as the loads take there is no end.
    """
    held = hold(request.bank, case)
    if isinstance(held, NotHeld):
        return _cannot(request, held.why, held.failed)
    known, temperature = held.known, held.bank_temperature_c
    for check in (COLD.check(temperature, known.discharge_above_c), HOT.check(temperature, known.discharge_below_c)):
        if not check.passed:
            return _cannot(request, f"Units of this chemistry may not be discharged at {temperature:g} °C.", check)
    factor = capacity_factor(known, temperature)
    if factor is None:
        return _cannot(request, f"No capacity of this chemistry is known at {temperature:g} °C.", None)
    given = case.house_rules.get("depth_of_discharge") if request.depth_of_discharge is None else request.depth_of_discharge
    depth = case.assume(f"depth_of_discharge_{known.family}", given)
    if not at_most(depth, known.largest_depth):
        case.note("depth-beyond-chemistry", "/depth_of_discharge", given=float(depth), limit=float(known.largest_depth))

    inverter = request.inverter
    if inverter is None and any(load.kind == "ac" for load in request.loads):
        inverter = Inverter()
    zero = case.chosen(0.0, "idle_w", "no inverter")
    idle = zero if inverter is None else case.assume("idle_w", inverter.idle_w)
    ends, band = scenarios(request, held, inverter, idle, case)
    wiring = case.assume("wiring_efficiency", request.wiring_efficiency)
    charging = request.charging_power_w
    if charging is None:
        charging = case.chosen(0.0, "charging_power_w", "nothing charges")
    day = stretches(tuple(load.use for load in request.loads), request.start_hour_h, case)
    summed = powers(request.loads, case)
    made = [parts(summed, day, scenario, end, inverter, idle, wiring, charging, held) for scenario, end in zip(ends, ENDS)]
    cut_off = _cut_off(request, held, inverter, case)
    reach = [[_reach(held, cut_off, part, scenario, case) for part in of_end] for scenario, of_end in zip(ends, made)]

    checks: list[Check] = []
    if inverter is not None and isinstance(inverter.losses, ByRating):
        checks.append(RATING.check(max((alternating(summed, stretch)[1] for stretch in day), key=float), inverter.losses.inverter_rating_w))
    asked = current_on_cut_off(max((part.net_most_w for part in made[0]), key=float), cut_off)
    checks.append(CURRENT.check(asked, held.continuous_a))
    loaded = None
    if rests_known(held.known.chemistry, case):
        heaviest = max((part.net_most_w for part in made[1]), key=float)
        loaded = voltage_under_load(full_cell(held.known.chemistry, case), held.cells, heaviest, cut_off, ends[1].resistance_ohm)
        checks.append(SAG.check(loaded, cut_off))
    run = _Run(
        held, case, factor, depth, case.assume("state_of_charge", request.state_of_charge), day, tuple(zip(ends, made, reach)))
    found = dict(
        checks=tuple(checks), sections=_sections(day, made[1]), band=band, capacity_ah=held.capacity_ah,
        rated_energy_wh=held.rated_energy_wh, bank_voltage_v=held.voltage_v, temperature_factor=factor, depth_of_discharge=depth,
        asked_a=asked, bank_current_a=held.continuous_a, cut_off_v=cut_off, loaded_v=loaded,
        day_w=power_of_day(*[energy_given(part.mean_w, stretch.section_hours) for part, stretch in zip(made[1], day)]),
    )
    say_assumed(held.current_assumed, case)
    failed = next((check for check in checks if not check.passed), None)
    if failed is not None:
        _say_recalled(failed, held, case)
        return Runtime(request.bank.chemistry, "cannot-run", _why(failed), failed, new=None, aged=None, aged_other=None, **found)
    new, aged, other = _lives(request, run)
    outcome = "never-empty" if new.run_hours.expected is None else "runs-out"
    _remark(run, new, asked, case)
    return Runtime(request.bank.chemistry, outcome, "", None, new=new, aged=aged, aged_other=other, **found)


def _cannot(request: RuntimeRequest, why: str, failed: Check | None) -> Runtime:
    checks = () if failed is None else (failed,)
    return Runtime(request.bank.chemistry, "cannot-run", why, failed, checks, None, None, None, (), ())


def _cut_off(request: RuntimeRequest, held: Held, inverter: Inverter | None, case: Case) -> float:
    """The given voltage; else where the bank counts as empty, or earlier where an inverter cuts off."""
    if request.cut_off_v is not None:
        return request.cut_off_v
    empty = end_voltage(held.cells, held.known.end_cell_v)
    if inverter is None:
        return empty
    return higher_cut_off(case.assume(f"cut_off_{request.bank.nominal_voltage_v:g}"), empty)


def _reach(held: Held, cut_off_v: float, part: Part, scenario: Scenario, case: Case) -> float:
    """Share of a full bank that comes out before this section's heaviest load meets the cut-off."""
    if not rests_known(held.known.chemistry, case):
        return case.chosen(1, "reach_share", "no rest voltages of this chemistry are known", cut_off_v)
    left = charge_at_rest(held.known.chemistry, cell_at_cut_off(cut_off_v, part.net_most_w, scenario.resistance_ohm, held.cells), case)
    if left is None:
        return case.chosen(0.0, "reach_share", "a full bank sags below the cut-off", cut_off_v)
    return reach_down_to(left)


def _sections(day: list[Stretch], made: list[Part]) -> tuple[Section, ...]:
    return tuple(
        Section(stretch.from_h, stretch.to_h, part.mean_w, part.most_w, part.net_a, part.rate_factor) for stretch, part in zip(day, made))


def _lives(request: RuntimeRequest, run: _Run) -> tuple[Life, Life, Life]:
    case = run.case
    ageing = case.assume("ageing_factor", request.ageing_factor)
    convention = case.assume_choice(
        "ageing_convention", request.ageing_convention, "larger-of",
        "Depth of discharge and ageing are not multiplied; the product is shown beside it", cite("ieee-1013"),
    )
    whole = case.chosen(1, "held_share", "a new bank holds its rated capacity")
    new = _life("new", None, run.depth, whole, run)
    larger = _life("aged", "larger-of", share_of_larger(run.depth, ageing), ageing, run)
    product = _life("aged", "product", share_of_product(run.depth, ageing), ageing, run)
    return (new, larger, product) if convention == "larger-of" else (new, product, larger)


def _life(age: str, convention: str | None, share: float, held_share: float, run: _Run) -> Life:
    ends, usable, reached = [], [], []
    for scenario, made, reach in run.made:
        charge = [
            usable_charge(run.held.capacity_ah, run.factor, scenario.discharge_efficiency, share, held_share, each, run.state) for each in reach]
        steps = [
            Step(stretch.section_hours, _used(part, run), each) for stretch, part, each in zip(run.day, made, charge)]
        end = walk(steps, run.case)
        ends.append(end)
        usable.append(charge[end.section])
        reached.append(reach[end.section])
    return Life(
        age, convention, usable[1], energy_of_charge(usable[1], run.held.voltage_v), Spread(*[end.hours for end in ends]),
        _ended_by(ends[1], reached[1], share, held_share),
    )


def _used(part: Part, run: _Run) -> float:
    if at_most(abs(float(part.net_a)) * float(run.held.voltage_v), TOLERANCE * float(part.mean_w)):
        return run.case.chosen(0.0, "used_current_a", "charging brings what the loads take", part.net_a)
    if part.net_a < 0:
        return filled_an_hour(part.net_a, property_of(run.held, "coulombic_efficiency", run.case))
    return used_an_hour(part.net_a, part.rate_factor)


def _ended_by(end: End, reach: float, share: float, held_share: float) -> EndedBy:
    if end.hours is None:
        return "nothing"
    return "depth-of-discharge" if at_least(float(held_share) * float(reach), share) else "cut-off"


def _why(failed: Check) -> str:
    if failed.rule is RATING:
        return f"The loads take {no_less(failed.actual, 0)} W together and the inverter gives {no_more(failed.limit, 0)} W."
    if failed.rule is CURRENT:
        return f"The loads ask for {no_less(failed.actual)} A and the bank gives {no_more(failed.limit)} A without end."
    return f"Even full the bank sags to {no_more(failed.actual, 2)} V under the loads and is cut off at {no_less(failed.limit, 2)} V."


def _say_recalled(failed: Check, held: Held, case: Case) -> None:
    """A limit that is known from memory only and decides is said."""
    if failed.rule is CURRENT and held.current_assumed is not None and held.current_assumed.citation.basis == "recalled":
        case.note("recalled-value-decides", "/bank", check=CURRENT.name, value=f"{float(held.current_assumed.value):g} A for each unit")
    if failed.rule is SAG:
        case.note("recalled-value-decides", "/bank", check=SAG.name, value="internal resistance by chemistry")


def _remark(run: _Run, new: Life, asked_a: float, case: Case) -> None:
    held, known = run.held, run.held.known
    if new.ended_by == "cut-off":
        case.note("cut-off-before-depth", "/cut_off")
        case.note("recalled-value-decides", "/bank", check=SAG.name, value="internal resistance by chemistry")
    if held.usual_a is not None and not at_most(asked_a, held.usual_a):
        case.note("discharge-rate-high", "/bank", asked=no_less(asked_a), usual=no_more(held.usual_a))
    if held.strings > 1 and not at_most(asked_a, held.one_string_gone_a):
        case.note("one-string-gone-overload", "/bank", left=float(held.one_string_gone_a), asked=float(asked_a))
    if not rests_known(held.known.chemistry, case):
        case.note("cut-off-not-judged", "/cut_off")
    hours = new.run_hours.expected
    if hours is not None and hours > LONG_HOURS:
        case.note("self-discharge-not-counted", "", days=float(hours) / 24)
    freezes = case.constant("partly_charged_freezes_c")
    if not known.lithium and at_most(held.bank_temperature_c, freezes):
        case.note("electrolyte-can-freeze", "/temperature", coldest=float(held.bank_temperature_c), freezes=float(freezes))
