"""Where the bond belongs in each mode, how many there are as described, and what to change.

One target is set for every point at which neutral can meet earth, and what is described is held against it. Whoever
carries out the changes has one bond in every mode, or none where the practice lets neutrals float. What hangs on a fact
that is not known is asked for and not judged.
"""

from __future__ import annotations

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.bonding import BondingPractice, BondRule
from ...reference.case import Case
from ...reference.citations import cite
from ...working import Check, Rule, at_least
from ..legs.sizing import hots
from .changes import changes_of
from .conductors import size_conductors
from .counting import count, own
from .formulas import earth_share
from .model import (
    Bonding, BondingRequest, Change, Closed, Condition, Floating, Known, Mode, Open, Place, Source, Verdict,
)

POLES = Rule("transfer-poles", TERMS["transfer_poles"], "at least", TERMS["poles_needed"], cite("nec-551", "551.30(B), 551.33", "published-once"))
RESIDUAL = Rule("earth-current", TERMS["earth_current_a"], "at most", TERMS["residual_limit_a"], cite("iec-60364-7-721", "721.415.1", "published"))

TRANSFORMERS = ("isolation", "polarization")


class Target(Struct, frozen=True):
    """How the bonds should be."""

    switched: Known
    """Whether neutrals are parted, once what the practice demands is done; yes for a single source."""
    common: Place | None
    """The one point in common, where the bond is not each source's own."""
    settled: bool
    """Whether it can be told."""
    bonded: tuple[int, ...]
    """Sources that make a bond of their own."""
    parted: bool = False
    """Whether neutrals must be parted whatever the transfer equipment does now."""


def judge_bonding(request: BondingRequest, case: Case) -> Bonding:
    """Bonds by mode, changes, and the conductors that make the bonds."""
    rules = case.library.bonding[request.practice]
    needed = case.chosen(float(most_hots(request) + 1), "poles_needed", "live conductors of the largest source and the neutral")
    several = len(request.sources) > 1
    poles = POLES.check(request.poles, needed) if several and request.poles is not None else None
    switched = _switched(request, poles)
    floating = _floating(request, rules)
    target = _target(request, switched, rules)
    names = _names(request.sources)
    modes = tuple(_mode(request, position, switched, target, floating, rules, names) for position in range(len(request.sources)))
    changes = changes_of(request, target, switched, poles, floating, rules)
    earth_a = None if request.divided is None else earth_share(
        request.divided.current_a, request.divided.neutral_path_ohm, request.divided.earth_path_ohm)
    bonding = Bonding(
        verdict=_verdict(modes, changes), switches_neutral=switched if several else "not-asked", poles_needed=needed if several else None,
        poles_check=poles, modes=modes, changes=changes, floating=floating, conductors=size_conductors(request, case),
        earth_current_a=earth_a, earth_check=None if earth_a is None else RESIDUAL.check(earth_a, case.constant("residual_limit_a")),
    )
    _remark(bonding, request, rules, case)
    return bonding


def most_hots(request: BondingRequest) -> int:
    """Live conductors of the source that has most of them."""
    return max(hots(source.arrangement) for source in request.sources)


def _switched(request: BondingRequest, poles: Check | None) -> Known:
    """Whether the neutral is switched, as told or as too few poles prove."""
    if len(request.sources) == 1:
        return "yes"
    if request.switches_neutral == "not-known" and poles is not None and not poles.passed:
        return "no"
    return request.switches_neutral


def _target(request: BondingRequest, switched: Known, rules: BondingPractice) -> Target:
    every = tuple(range(len(request.sources)))
    service = [position for position, source in enumerate(request.sources) if source.kind == "shore" and source.transformer not in TRANSFORMERS]
    if rules.bus is not None and request.panel_screw == "fitted" and _behind_transformers(request) == "yes":
        return Target("yes", "panel", True, (), True)
    # Two services have two bonds that nobody on board can open.
    if rules.switching_needed or len(service) > 1:
        return Target("yes", None, True, every, True)
    if not service and request.panel_screw == "fitted":
        return Target(switched, "panel", True, ())
    if switched == "yes":
        return Target("yes", None, True, every)
    if switched == "no":
        return Target("no", "supply", True, tuple(service[:1])) if service else Target("no", "panel", True, ())
    return Target("not-known", None, False, tuple(service[:1]))


def _floating(request: BondingRequest, rules: BondingPractice) -> Floating | None:
    """Whether the practice lets neutrals float here, condition by condition."""
    if rules.floating is None:
        return None
    ashore = any(source.kind == "shore" for source in request.sources)
    behind = _behind_transformers(request) if ashore else "yes"
    conditions = (Condition("transformer-on-every-shore-supply-or-none", behind), Condition("double-pole-protection-and-switching", request.double_pole))
    met = {condition.met for condition in conditions}
    return Floating("no" if "no" in met else "not-known" if "not-known" in met else "yes", conditions, rules.floating)


def _behind_transformers(request: BondingRequest) -> Known:
    """Whether every shore supply is behind a transformer on board; no without a shore supply."""
    kinds = {source.transformer for source in request.sources if source.kind == "shore"}
    return "no" if "none" in kinds or not kinds else "not-known" if "not-known" in kinds else "yes"


def _names(sources: tuple[Source, ...]) -> tuple[str, ...]:
    """A mode is called after its source, with a number where there are several of the kind."""
    kinds = [source.kind for source in sources]
    return tuple(
        kind if kinds.count(kind) == 1 else f"{kind}-{kinds[: position + 1].count(kind)}" for position, kind in enumerate(kinds)
    )


def place_of(source: Source) -> Place | None:
    """Where a source's own bond is; None when it is not known whether a transformer is there."""
    if source.kind != "shore":
        return source.kind
    return {"none": "supply", "not-known": None}.get(source.transformer, "transformer-secondary")


def rule_of(source: Source, rules: BondingPractice) -> BondRule:
    """The rule for a source's own bond."""
    if source.kind == "shore":
        return rules.shore if source.transformer == "none" else rules.transformer
    if source.kind == "generator":
        return rules.generator
    return rules.stacked if source.units > 1 else rules.inverter


def _mode(
    request: BondingRequest, position: int, switched: Known, target: Target, floating: Floating | None, rules: BondingPractice,
    names: tuple[str, ...],
) -> Mode:
    source = request.sources[position]
    span, verdict = count(request, position, switched, rules.shore_by_cord)
    if verdict == "one" and switched == "not-known":
        # Which bond it ought to be hangs on the transfer equipment even where the number does not.
        verdict = "cannot-be-judged"
    closed = _closed(request, position, target, rules)
    permitted: Known = {"several": "no", "cannot-be-judged": "not-known"}.get(verdict, "no")
    if verdict == "none" and floating is not None:
        permitted = floating.permitted
    elif verdict == "one":
        permitted = "not-known" if closed is None else "yes" if _made(request, closed) else "no"
    return Mode(
        names[position], position, verdict, span.fewest, span.most, permitted, closed, _open(request, position, closed, target),
        _derived(source, switched, len(request.sources)),
    )


def _closed(request: BondingRequest, position: int, target: Target, rules: BondingPractice) -> Closed | None:
    """Where the bond belongs in a mode."""
    source = request.sources[position]
    if target.common == "panel":
        return Closed("panel", None, rules.at_panel)
    if target.common == "supply":
        return Closed("supply", target.bonded[0], rules.tied)
    if not target.settled and position not in target.bonded:
        return None
    place = place_of(source)
    return None if place is None else Closed(place, position, rule_of(source, rules))


def _made(request: BondingRequest, closed: Closed) -> bool:
    """Whether the one bond that there is sits where it belongs."""
    if closed.place == "panel":
        return request.panel_screw == "fitted"
    return own(request.sources[closed.source]).fewest > 0


def _open(request: BondingRequest, position: int, closed: Closed | None, target: Target) -> tuple[Open, ...]:
    """Every other point, and why it does not count there; only what can be told."""
    if closed is None and not target.settled:
        return ()
    found = [] if closed is not None and closed.place == "panel" else [Open("panel", None, "removed")]
    for other, source in enumerate(request.sources):
        place = place_of(source) or "supply"
        if closed is not None and closed.source == other:
            if source.kind == "inverter" and source.units > 1:
                found.append(Open("inverter", other, "disabled-in-other-units"))
        elif target.common is not None:
            found.append(Open(place, other, "not-made"))
        elif source.kind == "inverter" and not (source.bonding == "fixed" and source.passes_supply == "no"):
            found.append(Open("inverter", other, "relay-open"))
        elif other != position and target.settled:
            found.append(Open(place, other, "cut-off"))
    return tuple(found)


def _derived(source: Source, switched: Known, many: int) -> Known:
    """Whether the source is separately derived: its neutral is parted from that of every other."""
    if source.kind == "shore" and source.transformer not in TRANSFORMERS:
        return "not-known" if source.transformer == "not-known" else "no"
    return "yes" if many == 1 else switched


def _verdict(modes: tuple[Mode, ...], changes: tuple[Change, ...]) -> Verdict:
    if any(mode.permitted == "no" for mode in modes) or any(not change.action.startswith("ask-") for change in changes):
        return "to-be-changed"
    return "sound" if not changes and all(mode.permitted == "yes" for mode in modes) else "cannot-be-judged"


def _remark(bonding: Bonding, request: BondingRequest, rules: BondingPractice, case: Case) -> None:
    earthed = str(rules.earthed.citation)
    for mode in bonding.modes:
        pointer = f"/sources/{mode.source}"
        if mode.verdict == "several":
            case.note("bonds-several", pointer, mode=mode.name, count=_range(mode), clause=str(rule_of(request.sources[mode.source], rules).citation))
        elif mode.verdict == "none" and mode.permitted == "no":
            case.note("bond-missing", pointer, mode=mode.name, clause=earthed)
        elif mode.verdict == "none" and mode.permitted == "yes":
            case.note("neutral-floats", pointer, mode=mode.name, clause=str(bonding.floating.rule.citation))
        elif mode.verdict == "one" and mode.permitted == "no":
            case.note("bond-elsewhere", pointer, mode=mode.name, place=mode.must_close.place, clause=str(mode.must_close.rule.citation))
    unknown = [change for change in bonding.changes if change.action.startswith("ask-")]
    if unknown:
        modes = ", ".join(mode.name for mode in bonding.modes if mode.permitted == "not-known") or "no mode, but the changes"
        case.note("bonds-not-judged", "/sources", modes=modes, asked=", ".join(dict.fromkeys(_ASKED[change.action] for change in unknown)))
    if any(change.action == "switch-neutral" for change in bonding.changes):
        case.note("neutral-not-switched", "/transfer", poles=int(bonding.poles_needed), clause=str(rules.switching.citation))
    if bonding.poles_check is not None and not bonding.poles_check.passed and request.switches_neutral == "yes":
        case.note("transfer-poles-short", "/transfer/poles", poles=int(bonding.poles_check.actual), needed=int(bonding.poles_check.limit))
    if bonding.earth_check is not None and at_least(bonding.earth_current_a, bonding.earth_check.limit):
        case.note("earth-current", "/divided", current=float(bonding.earth_current_a), limit=float(bonding.earth_check.limit))


def _range(mode: Mode) -> str:
    return str(mode.most) if mode.fewest == mode.most else f"{mode.fewest} to {mode.most}"


_ASKED = {
    "ask-transfer": "whether the transfer equipment switches the neutral", "ask-generator": "whether the generator's neutral is bonded to its frame",
    "ask-inverter": "whether and in how many units the inverter bonds its neutral", "ask-secondary": "whether the transformer's secondary is bonded",
    "ask-transformer": "whether a transformer sits in the shore supply", "ask-panel": "whether the panel's bonding screw is fitted",
    "ask-pass-through": "whether a supply passes through the inverter", "ask-double-pole": "whether protection and switching are double-pole",
}
