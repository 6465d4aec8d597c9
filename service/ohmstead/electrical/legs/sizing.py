"""Judge two legs and their neutral: at the currents given, and at what the overcurrent devices would let through.

Nothing is chosen. Every leg and the neutral is held against its own limit; where a limit or a device is not known the
verdict says so and is never `within`.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...working import Check, Rule, at_least, at_most
from ..sources.formulas import neutral_in_phase, neutral_opposed, neutral_two_of_three, programmed_limit
from . import formulas
from .model import Arrangement, LegDrop, Legs, LegsRequest, LineToLine, NeutralLimits, NeutralVerdict, OpenNeutral, Poles
from .shared import judge_shared

NEUTRAL = Rule("neutral-current", TERMS["neutral_a"], "at most", TERMS["neutral_limit_a"], cite("nec-240-4"))
NEUTRAL_WORST = Rule(
    "neutral-behind-devices", TERMS["neutral_worst_a"], "at most", TERMS["neutral_limit_a"], cite("design-arithmetic", "no breaker sits in the neutral"),
)
LEG = Rule("leg-current", TERMS["own_leg_a"], "at most", TERMS["leg_limit_a"], cite("nec-210-19"))
ONE_HOT = Rule("one-hot-current", TERMS["hot_a"], "at most", TERMS["leg_limit_a"], cite("nec-210-19"))
CONTACTS = Rule("breaker-protects-contacts", TERMS["joint_breaker_a"], "at most", TERMS["contact_limit_a"], cite("nec-240-4"))
LINE_TO_LINE = Rule("line-to-line-voltage", TERMS["between_legs_v"], "at least", TERMS["line_to_line_least_v"], cite("nec-551", "551.40(A)", "published-once"))
DROP = Rule("leg-voltage-drop", TERMS["drop_fraction"], "at most", TERMS["drop_limit"], cite("design-arithmetic", "drop of a leg with its neutral"))


class _Way(Struct, frozen=True):
    """What an arrangement makes of two leg currents."""

    neutral: Callable[[float, float], float]
    between: Callable[[float], float] | None
    cosine: float
    """Of the angle between the legs."""
    hots: int
    loaded: int
    """Conductors that count as carrying current."""
    together: bool
    """Whether one hot carries both legs."""


WAYS: dict[Arrangement, _Way] = {
    "one-leg": _Way(neutral_in_phase, None, 1.0, 1, 2, True),
    "split-phase": _Way(neutral_opposed, formulas.between_opposed, -1.0, 2, 2, False),
    "one-hot": _Way(neutral_in_phase, formulas.between_in_phase, 1.0, 2, 3, True),
    "wye": _Way(neutral_two_of_three, formulas.between_two_of_three, -0.5, 2, 3, False),
}
"""Loaded conductors by NEC 310.15(E): the neutral of legs in opposition carries the difference alone and does not count."""


def hots(arrangement: Arrangement) -> int:
    """Live conductors of a supply, the neutral apart."""
    return WAYS[arrangement].hots


def on_one_hot(arrangement: Arrangement) -> bool:
    """Whether one hot carries both legs, so that the neutral carries the sum."""
    return WAYS[arrangement].together


def loaded_conductors(arrangement: Arrangement) -> int:
    """Conductors that count as carrying current, NEC 310.15(E)."""
    return WAYS[arrangement].loaded


def between_legs(arrangement: Arrangement, supply_voltage_v: float) -> float | None:
    """Voltage between the two legs; None where there is one."""
    between = WAYS[arrangement].between
    return None if between is None else between(supply_voltage_v)


def neutral_current(arrangement: Arrangement, leg_1_a: float, leg_2_a: float) -> float:
    """Neutral current of two leg currents at like power factor."""
    return WAYS[arrangement].neutral(leg_1_a, leg_2_a)


def worst_neutral(arrangement: Arrangement, poles: Poles) -> float | None:
    """Largest neutral current that the devices let through; None when nothing known limits it."""
    way = WAYS[arrangement]
    if not way.together:
        known = poles.leg_1_a is not None and poles.leg_2_a is not None
        return formulas.let_through_larger(poles.leg_1_a, poles.leg_2_a) if known else None
    bounds = [] if poles.joint_a is None else [formulas.let_through_one(poles.joint_a)]
    if way.hots == 1 and poles.leg_1_a is not None:
        bounds.append(formulas.let_through_one(poles.leg_1_a))
    elif poles.leg_1_a is not None and poles.leg_2_a is not None:
        bounds.append(formulas.let_through_both(poles.leg_1_a, poles.leg_2_a))
    return formulas.let_through_smaller(*bounds) if bounds else None


def size_legs(request: LegsRequest, case: Case) -> Legs:
    """Judge the legs, the neutral, the drop and the circuits that share a neutral."""
    way, pointer, voltage = WAYS[request.arrangement], request.pointer, request.supply_voltage_v
    leg_1 = request.leg_1_a
    leg_2 = case.chosen(0.0, "leg_2_a", "nothing hangs on a second leg") if request.leg_2_a is None else request.leg_2_a
    neutral = way.neutral(leg_1, leg_2)
    worst = worst_neutral(request.arrangement, request.poles)
    verdict, smallest, checks = _judge_neutral(neutral, worst, request.neutral)
    ratio = None if smallest is None else formulas.over_limit(neutral, smallest)
    hot = formulas.on_one_hot(leg_1, leg_2) if way.together else None
    limit, limited = _limits(request, leg_1, leg_2, hot, case)
    checks += limited
    between, line_to_line, share = _between(request, case)
    drop = None if request.wires is None else _drop(request, leg_1, leg_2, neutral, case)
    if drop is not None and request.wires.drop_limit is not None:
        checks.append(DROP.check(drop.worst_fraction, request.wires.drop_limit))
    if request.line_to_line and between is not None:
        checks.append(LINE_TO_LINE.check(between, case.constant("line_to_line_least_v")))
    legs = Legs(
        arrangement=request.arrangement, leg_1_a=leg_1, leg_2_a=request.leg_2_a, neutral_a=neutral, neutral_worst_a=worst, verdict=verdict,
        neutral_ratio=ratio, heat_ratio=None if ratio is None else formulas.heat_over_limit(ratio), hot_a=hot, limit_a=limit,
        between_legs_v=between, line_to_line=line_to_line, line_to_line_power=share,
        loaded_conductors=case.chosen(float(way.loaded), "loaded_conductors", "conductors that carry current, the neutral by NEC 310.15(E)"),
        neutral_counts=way.loaded > way.hots, drop=drop,
        open_neutral=None if voltage is None or between is None else _open(way, leg_1, leg_2, between, voltage),
        shared=judge_shared(request, neutral_current, worst_neutral, case), checks=tuple(checks),
    )
    _remark(legs, request, pointer, case)
    return legs


def _judge_neutral(neutral: float, worst: float | None, limits: NeutralLimits) -> tuple[NeutralVerdict, float | None, list[Check]]:
    """The neutral against everything that it passes through; the verdict is that of the weakest."""
    known = [limit for limit in (limits.conductor_a, limits.contact_a, limits.pole_a) if limit is not None]
    checks = [NEUTRAL.check(neutral, limit) for limit in known]
    let_through = [] if worst is None else [NEUTRAL_WORST.check(worst, limit) for limit in known]
    smallest = None
    for limit in known:
        if smallest is None or limit < smallest:
            smallest = limit
    if not all(check.passed for check in checks):
        verdict = "overloaded"
    elif not all(check.passed for check in let_through):
        verdict = "not-guarded"
    else:
        verdict = "within" if checks and let_through else "cannot-be-judged"
    return verdict, smallest, checks + let_through


def _limits(request: LegsRequest, leg_1: float, leg_2: float, hot: float | None, case: Case) -> tuple[float | None, list[Check]]:
    """Each leg, or the one hot of both, against breaker, adapter and cord in series."""
    poles, contacts = request.poles, [rating for rating in (request.adapter_a, request.cord_a) if rating is not None]

    def limit(breaker: float | None) -> float | None:
        if breaker is None:
            return formulas.weakest(*contacts) if contacts else None
        lasting = programmed_limit(breaker, case.assume("continuous_share")) if request.continuous else breaker
        return formulas.weakest(lasting, *contacts)

    checks, found = [], None
    if hot is not None:
        found = limit(poles.joint_a)
        if found is not None:
            checks.append(ONE_HOT.check(hot, found))
    for leg, breaker in ((leg_1, poles.leg_1_a), (leg_2, poles.leg_2_a)):
        own = limit(breaker)
        if own is None or (breaker is None and hot is not None):
            continue
        checks.append(LEG.check(leg, own))
        if found is None or (hot is None and own < found):
            found = own
    ahead = [breaker for breaker in (poles.joint_a, poles.leg_1_a, poles.leg_2_a) if breaker is not None]
    checks += [CONTACTS.check(breaker, rating) for breaker in ahead[:1] for rating in contacts]
    return found, checks


def _between(request: LegsRequest, case: Case) -> tuple[float | None, LineToLine | None, float | None]:
    """Voltage between the legs and what it does to loads that hang between them."""
    way, voltage = WAYS[request.arrangement], request.supply_voltage_v
    if voltage is None:
        return None, None, None
    if way.between is None:
        return None, "dead", None
    between = way.between(voltage)
    share = formulas.line_to_line_share(between, voltage)
    if way.together:
        return between, "dead", share
    if not at_least(between, case.library.tables["constants"].cell("line_to_line_least_v", "value")):
        return between, "too-low", share
    return between, "supplied" if at_least(share, 1.0) else "reduced", share


def _drop(request: LegsRequest, leg_1: float, leg_2: float, neutral: float, case: Case) -> LegDrop:
    """Drop of the worse leg with its neutral. A leg is also looked at alone: in opposition an idle neighbour relieves nothing."""
    way, wires, voltage = WAYS[request.arrangement], request.wires, request.supply_voltage_v
    leg_ohm, neutral_ohm = wires.leg_resistance_ohm, wires.neutral_resistance_ohm
    cosine = case.chosen(way.cosine, "phase_cosine", f"angle between the legs: {request.arrangement}")
    first = formulas.leg_drop(leg_1, leg_2, cosine, leg_ohm, neutral_ohm)
    second = formulas.leg_drop(leg_2, leg_1, cosine, leg_ohm, neutral_ohm)
    alone = [formulas.leg_drop_alone(leg, leg_ohm, neutral_ohm) for leg in (leg_1, leg_2)]
    worst = formulas.largest_drop(first, second, *alone)
    if voltage is None:
        voltage = case.constant("line_to_neutral_v")
    return LegDrop(
        first, None if request.leg_2_a is None else second, worst, formulas.leg_drop_share(worst, voltage),
        formulas.cord_heat(leg_1, leg_2, neutral, leg_ohm, neutral_ohm),
    )


def _open(way: _Way, leg_1: float, leg_2: float, between: float, voltage: float) -> OpenNeutral | None:
    """The loads of both legs in series; None where no voltage drives a current through them or one leg is idle."""
    if way.together or not (leg_1 > 0 and leg_2 > 0):
        return None
    return OpenNeutral(
        formulas.in_series_across(between, voltage, leg_1, leg_2), formulas.voltage_of_open_leg(between, leg_1, leg_2),
        formulas.voltage_of_open_leg(between, leg_2, leg_1),
    )


def _remark(legs: Legs, request: LegsRequest, pointer: str, case: Case) -> None:
    if legs.verdict == "overloaded":
        case.note("neutral-overloaded", pointer, neutral=float(legs.neutral_a), limit=float(_weakest_limit(request.neutral)))
    elif legs.verdict == "not-guarded":
        code = "neutral-behind-two-breakers" if WAYS[legs.arrangement].together else "neutral-behind-larger-breaker"
        case.note(code, pointer, worst=float(legs.neutral_worst_a), limit=float(_weakest_limit(request.neutral)))
    elif legs.verdict == "cannot-be-judged" and request.leg_2_a is not None:
        case.note("neutral-not-judged", pointer)
    if legs.arrangement == "wye":
        case.note("two-legs-of-three", pointer)
    if request.line_to_line and legs.line_to_line in ("dead", "too-low"):
        case.note("line-to-line-dead", pointer, voltage=float(legs.between_legs_v or 0.0))
    elif request.line_to_line and legs.line_to_line == "reduced":
        case.note("line-to-line-reduced", pointer, voltage=float(legs.between_legs_v), percent=100 * float(legs.line_to_line_power))
    failed = {check.rule.name: check for check in legs.checks if not check.passed}
    if CONTACTS.name in failed:
        case.note("contacts-behind-larger-breaker", pointer, breaker=float(failed[CONTACTS.name].actual), contact=float(failed[CONTACTS.name].limit))
    for rule in (ONE_HOT, LEG):
        if rule.name in failed:
            case.note("leg-over-limit", pointer, current=float(failed[rule.name].actual), limit=float(failed[rule.name].limit))
    opened = legs.open_neutral
    if opened is not None and not at_most(max(float(opened.leg_1_v), float(opened.leg_2_v)), float(request.supply_voltage_v)):
        case.note("open-neutral", pointer, voltage=max(float(opened.leg_1_v), float(opened.leg_2_v)))


def _weakest_limit(limits: NeutralLimits) -> float:
    return min(float(limit) for limit in (limits.conductor_a, limits.contact_a, limits.pole_a) if limit is not None)
