"""Judge a panel as it is, divide it for an inverter, and say what to change. Which circuits go is told in `choosing`."""

from __future__ import annotations

from msgspec.structs import replace

from ...reference.case import Case
from ...reference.citations import cite
from ...working import Check, Citation
from ..legs.model import LegsRequest, SharedNeutral, SharedResult
from ..legs.shared import judge_shared
from ..legs.sizing import neutral_current, worst_neutral
from . import formulas
from .choosing import Chosen, Feed, Taken, Unit, choose, feed_family, sub_legs
from .feeding import alone, feeding_line, in_mode, while_alone
from .model import Change, FeedBreaker, Panel, PanelCircuit, PanelRequest, Placed, SubPanel
from .protecting import poles_needed, protect, whole_panel

_WHY = {
    "charger-of-this-bank": "it charges this bank",
    "needs-both-legs": "it hangs between the legs, and the inverter has no two outputs in opposition",
    "partner-stays": "it shares a neutral with {partner}, which stays",
}


def size_panel(request: PanelRequest, case: Case) -> Panel:
    """The panel in and out: nothing fits where what was wished on the inverter passes its output, its relay or every breaker."""
    request = replace(request, circuits=tuple(sorted(request.circuits, key=lambda circuit: circuit.name)))
    barred = case.library.bonding[request.practice].shared_neutral
    units = _units(request, case)
    feed = feed_family(request, case)
    chosen = choose(request, units, feed, barred is not None, case)
    staying = [circuit for circuit in request.circuits if chosen.places[circuit.name][0] == "old-panel"]
    moved = [circuit for circuit in request.circuits if chosen.places[circuit.name][0] == "sub-panel"]
    sub = _sub_panel(request, feed, chosen.taken, staying, case) if moved else None
    failed = next((check for check in chosen.taken.checks if not check.passed), None)
    _remark(request, chosen, moved, failed, case)
    neutral = request.neutral_a
    if neutral is None:
        neutral = case.assumed_value(
            "neutral_limit_a", request.main_a, "No ampacity of the neutral ahead of the panel given; it counts as good for the main breaker's rating",
            cite("common-practice"), "/neutral_ampacity",
        )
    modes = [in_mode(position, request, staying, moved, sub, neutral, case) for position in range(len(request.modes))]
    modes.append(while_alone(request, staying, moved, sub, case))
    shared = [_judge(unit, request, chosen, barred.citation if barred is not None else None, case) for unit in units if unit.shared is not None]
    source = case.library.practices[request.practice].source("ac-branch")
    placed, changes = [], _changes(units, chosen, shared)
    for circuit in request.circuits:
        asked, missing = protect(circuit, source, len(request.circuits) == 1, case)
        placed.append(Placed(circuit, *chosen.places[circuit.name], poles_needed(circuit, source), asked))
        changes += missing
    whole = whole_panel(request, bool(moved), case)
    # The sub-panel is judged in every mode, and what does not change between them is said once.
    case.findings[:] = dict.fromkeys(case.findings)
    return Panel(
        "sized" if failed is None else "nothing-fits", failed, tuple(placed), sub, chosen.taken.checks, tuple(modes), tuple(shared), whole, tuple(changes),
    )


def _units(request: PanelRequest, case: Case) -> tuple[Unit, ...]:
    """Circuits alone, and in pairs that share a neutral."""
    by_name = {circuit.name: circuit for circuit in request.circuits}
    units = []
    for circuit in request.circuits:
        if circuit.partner is None:
            units.append(Unit((circuit,), formulas.together(circuit.current_a)))
        elif circuit.name < circuit.partner:
            pair = tuple(sorted((circuit, by_name[circuit.partner]), key=lambda one: (one.line, one.name)))
            current = formulas.together(*(one.current_a for one in pair))
            units.append(Unit((circuit, by_name[circuit.partner]), current, _shared(pair, case)))
    return tuple(units)


def _shared(pair: tuple[PanelCircuit, ...], case: Case) -> SharedNeutral:
    """The pair as the judgement of shared neutrals takes it. Of two statements the worse one counts."""
    first, second = pair
    name = f"{first.name} and {second.name}"
    ampacity = None
    for circuit in pair:
        if circuit.neutral_a is not None and (ampacity is None or circuit.neutral_a < ampacity):
            ampacity = circuit.neutral_a
    if ampacity is None:
        smaller = first if first.breaker_a <= second.breaker_a else second
        ampacity = case.assumed_value(
            "neutral_limit_a", smaller.breaker_a, f"No ampacity of the neutral that {name} share; it counts as good for the smaller breaker's rating",
            cite("common-practice"), f"{first.pointer}/neutral_ampacity",
        )
    said = {circuit.opens_together for circuit in pair}
    tied = False if False in said else True if True in said else None
    return SharedNeutral(name, first.current_a, second.current_a, ampacity, first.breaker_a, second.breaker_a, tied)


def _sub_panel(request: PanelRequest, feed: Feed, taken: Taken, staying: list[PanelCircuit], case: Case) -> SubPanel:
    legs = sub_legs(request)
    breaker = FeedBreaker(feed.family, taken.rating_a, feed.source.poles(legs)) if taken.holds else None
    return SubPanel(legs, feeding_line(request, staying, case), taken.leg_1_a, taken.leg_2_a if legs == 2 else None, breaker, taken.needed_a)


def _judge(unit: Unit, request: PanelRequest, chosen: Chosen, barred: Citation | None, case: Case) -> SharedResult:
    """A shared neutral in every mode that feeds it. Two circuits on one leg, or behind one output of one leg, add up in all of them."""
    on_inverter = chosen.places[unit.circuits[0].name][0] == "sub-panel"
    first, second = unit.circuits
    modes = [*request.modes, *([alone(request)] if on_inverter else [])]
    same_leg = first.line == second.line
    if same_leg:
        case.note("shared-neutral-same-leg", first.pointer, name=unit.shared.name)
    if same_leg or request.legs == 1 or (on_inverter and sub_legs(request) == 1):
        modes = [replace(mode, arrangement="one-hot") for mode in modes]
    shared = unit.shared
    asked = LegsRequest(
        request.modes[0].arrangement, shared.leg_1_a, shared.leg_2_a, request.supply_voltage_v, shared=(shared,), modes=tuple(modes),
        shared_barred=barred, pointer=first.pointer,
    )
    return judge_shared(asked, neutral_current, worst_neutral, case)[0]


def _remark(request: PanelRequest, chosen: Chosen, moved: list[PanelCircuit], failed: Check | None, case: Case) -> None:
    """What becomes of wishes and of chargers."""
    for circuit in request.circuits:
        place, reason = chosen.places[circuit.name]
        if circuit.purpose == "bank-charger":
            case.note("bank-charger-wished" if circuit.wish == "yes" else "bank-charger-kept-off", circuit.pointer, id=circuit.name)
        elif circuit.wish == "yes" and place == "old-panel":
            case.note("inverter-wish-not-met", circuit.pointer, id=circuit.name, why=_WHY[reason].format(partner=circuit.partner))
    if failed is not None:
        case.note(
            "inverter-wishes-too-much", "/inverter", ids=", ".join(circuit.name for circuit in moved), asked=float(failed.actual),
            limit=float(failed.limit), unit=failed.rule.limit.unit, check=failed.rule.name,
        )
    elif not moved:
        left = any(reason in ("does-not-fit", "neutral-not-borne") for _, reason in chosen.places.values())
        case.note("inverter-feeds-nothing", "/inverter", why="none fits" if left else "none was wished on it and may go")


def _changes(units: tuple[Unit, ...], chosen: Chosen, shared: list[SharedResult]) -> list[Change]:
    """What to do about the places of circuits and about shared neutrals."""
    verdicts = {result.name: result for result in shared}
    changes = []
    for unit in units:
        names = tuple(circuit.name for circuit in unit.circuits)
        if chosen.places[names[0]][0] == "sub-panel":
            whose = "both hots and their one neutral" if unit.shared is not None else "hot and neutral"
            changes.append(Change("move-to-sub-panel", names, f"{whose} together: a neutral left behind carries a current that its own breaker does not see"))
        for circuit in unit.circuits:
            if circuit.purpose == "bank-charger":
                changes.append(Change(
                    "keep-ahead-of-inverter", (circuit.name,), "on the inverter it would charge the bank from the bank; take it off where the inverter charges too",
                ))
        if unit.shared is None:
            continue
        result = verdicts[unit.shared.name]
        if result.verdict == "split":
            failing = [mode.mode for mode in result.modes if not all(check.passed for check in mode.checks)]
            why = f"the shared neutral can be overloaded in: {', '.join(failing)}" if failing else "the practice bars shared neutrals behind such a source"
            changes.append(Change("split-neutral", names, why))
        elif unit.shared.opens_together is not True:
            changes.append(Change("fit-breaker", names, "two poles that open together: the circuits share a neutral"))
    return changes
