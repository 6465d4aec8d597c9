"""What has to be done to the bonds, or asked about them: each point held against its target."""

from __future__ import annotations

from typing import Protocol

from ...reference.bonding import BondingPractice, BondRule
from ...working import Check
from .model import Action, BondingRequest, Change, Floating, Known, Place, Source


_DOUBLE = "double-pole-protection-and-switching"


class Targets(Protocol):
    """How the bonds should be."""

    common: Place | None
    settled: bool
    bonded: tuple[int, ...]
    parted: bool


def changes_of(
    request: BondingRequest, target: Targets, switched: Known, poles: Check | None, floating: Floating | None, rules: BondingPractice,
) -> tuple[Change, ...]:
    """Changes in the order of work: transfer equipment, panel, sources."""
    found = _transfer(request, target, switched, poles, rules)
    if target.settled:
        found += _panel(request, target, rules)
    for position, source in enumerate(request.sources):
        if target.settled:
            actions = _source(source, position in target.bonded, len(request.sources) > 1, floating)
        else:
            # Only what is wrong whatever the transfer equipment does.
            actions = _transformer(source) + (["bond-one-unit-only"] if _in_every_unit(source) else [])
        found += [Change(action, None if action == "ask-double-pole" else position, _rule(action, source, target, rules)) for action in actions]
    return tuple(dict.fromkeys(found))


def _transfer(request: BondingRequest, target: Targets, switched: Known, poles: Check | None, rules: BondingPractice) -> list[Change]:
    found = []
    if len(request.sources) > 1:
        if switched == "not-known":
            found.append(Change("ask-transfer", None, rules.switching))
        elif switched == "no" and target.parted:
            found.append(Change("switch-neutral", None, rules.switching))
        if poles is not None and not poles.passed and switched == "yes":
            found.append(Change("take-more-poles", None, rules.switching))
    return found


def _panel(request: BondingRequest, target: Targets, rules: BondingPractice) -> list[Change]:
    fitted = target.common == "panel"
    if request.panel_screw == "not-known":
        action: Action = "ask-panel"
    elif (request.panel_screw == "fitted") == fitted:
        return []
    else:
        action = "fit-panel-bond" if fitted else "remove-panel-bond"
    return [Change(action, None, rules.at_panel if fitted else rules.panel or rules.earthed)]


def _transformer(source: Source) -> list[Action]:
    return ["ask-transformer"] if source.kind == "shore" and source.transformer == "not-known" else []


def _in_every_unit(source: Source) -> bool:
    return source.kind == "inverter" and source.bonding in ("relay", "fixed") and source.closed_in == "all" and source.units > 1


def _source(source: Source, bonded: bool, several: bool, floating: Floating | None) -> list[Action]:
    """What a source needs so that it makes its bond, or does not."""
    if source.kind == "inverter":
        return _inverter(source, bonded, several, floating)
    if source.kind == "shore":
        if source.transformer in ("none", "not-known"):
            return _transformer(source)
        ask, make, undo = "ask-secondary", "bond-secondary", "open-secondary-bond"
    else:
        ask, make, undo = "ask-generator", "bond-generator", "open-generator-bond"
    if source.neutral == "not-known":
        return [ask]
    if bonded:
        return _unless_floating(make, floating) if source.neutral == "floating" else []
    return [undo] if source.neutral == "bonded" else []


def _inverter(source: Source, bonded: bool, several: bool, floating: Floating | None) -> list[Action]:
    if source.bonding == "not-known":
        return ["ask-inverter"]
    makes = "no" if source.bonding == "none" or source.closed_in == "none" else "not-known" if source.closed_in == "not-known" else "yes"
    if not bonded:
        return {"no": [], "not-known": ["ask-inverter"], "yes": ["open-inverter-bond"]}[makes]
    if makes == "no":
        return _unless_floating("bond-inverter", floating)
    if makes == "not-known":
        return ["ask-inverter"]
    if source.bonding == "fixed" and several and source.passes_supply != "no":
        return ["fit-bonding-relay" if source.passes_supply == "yes" else "ask-pass-through"]
    return ["bond-one-unit-only"] if _in_every_unit(source) else []


def _unless_floating(make: Action, floating: Floating | None) -> list[Action]:
    """A bond is asked for unless the practice lets the neutral float here."""
    if floating is None or floating.permitted == "no":
        return [make]
    if floating.permitted == "yes":
        return []
    # Whether a transformer is there is asked at the shore supply itself.
    return ["ask-double-pole"] if any(condition.name == _DOUBLE and condition.met == "not-known" for condition in floating.conditions) else []


def _rule(action: Action, source: Source, target: Targets, rules: BondingPractice) -> BondRule:
    """The rule behind a change at a source."""
    if action == "bond-one-unit-only":
        return rules.stacked
    if action == "ask-double-pole":
        return rules.floating
    if target.common is not None:
        return rules.tied if target.common == "supply" else rules.at_panel
    if source.kind == "shore":
        return rules.transformer
    return rules.generator if source.kind == "generator" else rules.inverter
