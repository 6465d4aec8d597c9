"""Branch circuits that share a neutral: sound only if the neutral carries every supply mode of the panel."""

from __future__ import annotations

from collections.abc import Callable

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...working import Rule
from .formulas import heat_over_limit, over_limit
from .model import Arrangement, LegsRequest, Poles, SharedInMode, SharedNeutral, SharedResult, SharedVerdict, SupplyMode

SHARED = Rule("shared-neutral-current", TERMS["neutral_a"], "at most", TERMS["neutral_limit_a"], cite("nec-240-4"))
SHARED_WORST = Rule(
    "shared-neutral-behind-breakers", TERMS["neutral_worst_a"], "at most", TERMS["neutral_limit_a"],
    cite("design-arithmetic", "no breaker sits in the neutral"),
)

Neutral = Callable[[Arrangement, float, float], float]
Worst = Callable[[Arrangement, Poles], float | None]


def judge_shared(request: LegsRequest, neutral: Neutral, worst: Worst, case: Case) -> tuple[SharedResult, ...]:
    """Each shared neutral in every declared supply mode. One mode in which it is overloaded, or could be, splits it."""
    modes = request.modes or (SupplyMode("as given", request.arrangement, request.poles.joint_a),)
    return tuple(_judge(branch, modes, request, neutral, worst, case) for branch in request.shared)


def _judge(
    branch: SharedNeutral, modes: tuple[SupplyMode, ...], request: LegsRequest, neutral: Neutral, worst: Worst, case: Case
) -> SharedResult:
    found = []
    for mode in modes:
        carried = neutral(mode.arrangement, branch.leg_1_a, branch.leg_2_a)
        # Two branches stay two branches where the supply has a single leg: it then is the one hot of both.
        way = "one-hot" if mode.arrangement == "one-leg" else mode.arrangement
        most = worst(way, Poles(mode.joint_a, branch.breaker_1_a, branch.breaker_2_a))
        checks = [SHARED.check(carried, branch.ampacity_a)]
        if most is not None:
            checks.append(SHARED_WORST.check(most, branch.ampacity_a))
        ratio = over_limit(carried, branch.ampacity_a)
        found.append(SharedInMode(mode.name, carried, most, ratio, heat_over_limit(ratio), tuple(checks)))
    barred = request.shared_barred is not None and any(mode.stand_alone and _on_one_hot(mode) for mode in modes)
    failing = [mode.mode for mode in found if not all(check.passed for check in mode.checks)]
    verdict: SharedVerdict = "may-stay"
    if failing or barred:
        verdict = "split"
    elif any(mode.worst_a is None for mode in found):
        verdict = "cannot-be-judged"
    result = SharedResult(branch.name, verdict, barred, tuple(found))
    _remark(result, branch, failing, modes, request, case)
    return result


def _on_one_hot(mode: SupplyMode) -> bool:
    return mode.arrangement in ("one-leg", "one-hot")


def _remark(
    result: SharedResult, branch: SharedNeutral, failing: list[str], modes: tuple[SupplyMode, ...], request: LegsRequest, case: Case
) -> None:
    if failing:
        case.note("shared-neutral-overload", request.pointer, name=branch.name, modes=", ".join(failing), limit=float(branch.ampacity_a))
    if result.barred:
        case.note("shared-neutral-barred", request.pointer, name=branch.name, clause=str(request.shared_barred))
    if result.verdict == "cannot-be-judged":
        case.note("shared-neutral-not-judged", request.pointer, name=branch.name)
    if branch.opens_together is False:
        case.note("shared-neutral-not-tied", request.pointer, name=branch.name)
    elif branch.opens_together is None:
        case.note("shared-neutral-tie-unknown", request.pointer, name=branch.name)
    if branch.watched and any(_on_one_hot(mode) for mode in modes):
        case.note("watched-breaker-on-one-hot", request.pointer, name=branch.name)
