"""Which circuits go on the inverter.

The order of the list never matters: circuits are looked at by their names. A charger of the bank, what was wished off
and, unless there are two outputs in opposition, what hangs between the legs stay. Wishes go first, all of them, whether
they fit or not. The others follow by their running current, the smallest first and names deciding between equals, each one
as long as output, relay and a feed breaker within the relay hold with everything chosen before. Two circuits that share a
neutral are one piece; of its own accord the service moves such a piece only where their neutral bears the inverter.
"""

from __future__ import annotations

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...reference.practices import RuleSource, SizeSystem
from ...working import Check, Rule, at_most
from ..legs.formulas import between_opposed, on_one_hot
from ..legs.model import Poles, SharedNeutral
from ..legs.sizing import neutral_current, worst_neutral
from ..protection.sizing import CARRIES, DEVICE_VOLTAGE, next_rating_up
from . import formulas
from .model import PanelCircuit, PanelRequest, Place, Reason

OUTPUT = Rule(
    "inverter-output", TERMS["output_asked_va"], "at most", TERMS["output_va"], cite("inverter-literature", "loads within the rating without end"),
)
_TRADE = cite("supply-tutorials", "transfer relay and the breaker upstream")
RELAY: dict[SizeSystem, Rule] = {
    "awg": Rule("relay-current", TERMS["hot_a"], "at most", TERMS["transfer_rating_a"], cite("nec-551")),
    "mm2": Rule("relay-current", TERMS["hot_a"], "at most", TERMS["transfer_rating_a"], _TRADE),
}
FEED: dict[SizeSystem, Rule] = {
    "awg": Rule("feed-within-relay", TERMS["device_rating_a"], "at most", TERMS["transfer_rating_a"], cite("nec-551")),
    "mm2": Rule("feed-within-relay", TERMS["device_rating_a"], "at most", TERMS["transfer_rating_a"], _TRADE),
}


class Unit(Struct, frozen=True):
    """A circuit, or two that share a neutral."""

    circuits: tuple[PanelCircuit, ...]
    current_a: float
    shared: SharedNeutral | None = None


class Taken(Struct, frozen=True):
    """What the sub-panel carries, and every check of it."""

    leg_1_a: float
    leg_2_a: float
    needed_a: float
    rating_a: float | None
    checks: tuple[Check, ...]

    @property
    def holds(self) -> bool:
        """Whether every check passed."""
        return all(check.passed for check in self.checks)


class Chosen(Struct, frozen=True):
    """Where each circuit goes, and what the sub-panel carries then."""

    places: dict[str, tuple[Place, Reason]]
    taken: Taken


class Feed(Struct, frozen=True):
    """What the feed breaker is chosen by."""

    source: RuleSource
    family: str | None
    voltage: Check
    """Of the family with the highest voltage where none suits."""


def sub_legs(request: PanelRequest) -> int:
    """Legs of the sub-panel."""
    return 1 if request.inverter.output == "one-leg" else request.legs


def feed_family(request: PanelRequest, case: Case) -> Feed:
    """The family of breakers that is made for the voltage of the feed, by the practice's order of preference."""
    source = case.library.practices[request.practice].source("ac-feeder")
    families = case.library.families[source.device_use].by_preference
    voltage = between_opposed(request.supply_voltage_v) if sub_legs(request) == 2 else request.supply_voltage_v
    check = None
    for family in families:
        tried = DEVICE_VOLTAGE.check(family.voltage_v, voltage)
        if tried.passed:
            return Feed(source, family.name, tried)
        if check is None or family.voltage_v > check.actual:
            check = tried
    return Feed(source, None, check)


def choose(request: PanelRequest, units: tuple[Unit, ...], feed: Feed, barred: bool, case: Case) -> Chosen:
    """The circuits of the sub-panel by the rule of this module."""
    inverter = request.inverter
    places: dict[str, tuple[Place, Reason]] = {}
    taken = _nothing(case)
    willing = []
    for unit in units:
        own = [_stays(circuit, request) for circuit in unit.circuits]
        if any(own):
            places.update((circuit.name, ("old-panel", why or "partner-stays")) for circuit, why in zip(unit.circuits, own, strict=True))
        elif any(circuit.wish == "yes" for circuit in unit.circuits):
            places.update((circuit.name, ("sub-panel", "wished" if circuit.wish == "yes" else "partner-goes")) for circuit in unit.circuits)
            taken = _with(taken, unit, request, feed, case)
        else:
            willing.append(unit)
    for unit in sorted(willing, key=lambda unit: (float(unit.current_a), unit.circuits[0].name)):
        why: Reason = "fits"
        if unit.shared is not None and (barred and inverter.output != "split-phase" or not _borne(unit.shared, request)):
            why = "neutral-not-borne"
        else:
            tried = _with(taken, unit, request, feed, case)
            if tried.holds:
                taken = tried
            else:
                why = "does-not-fit"
        places.update((circuit.name, ("sub-panel" if why == "fits" else "old-panel", why)) for circuit in unit.circuits)
    return Chosen(places, taken)


def _stays(circuit: PanelCircuit, request: PanelRequest) -> Reason | None:
    """Why a circuit may not go, if there is a reason."""
    if circuit.purpose == "bank-charger":
        return "charger-of-this-bank"
    if circuit.line == "both" and request.inverter.output != "split-phase":
        return "needs-both-legs"
    return "wished-off" if circuit.wish == "no" else None


def _borne(shared: SharedNeutral, request: PanelRequest) -> bool:
    """Whether the shared neutral bears both circuits, and what their breakers let through, while the inverter feeds."""
    output = "one-hot" if sub_legs(request) == 1 else request.inverter.output
    worst = worst_neutral(output, Poles(None, shared.breaker_1_a, shared.breaker_2_a))
    return at_most(neutral_current(output, shared.leg_1_a, shared.leg_2_a), shared.ampacity_a) and at_most(worst, shared.ampacity_a)


def _nothing(case: Case) -> Taken:
    """A sub-panel without a circuit."""
    why = "nothing is on the inverter yet"
    return Taken(case.chosen(0.0, "leg_1_a", why), case.chosen(0.0, "leg_2_a", why), case.chosen(0.0, "device_needed_a", why), None, ())


def _with(taken: Taken, unit: Unit, request: PanelRequest, feed: Feed, case: Case) -> Taken:
    """The sub-panel with one unit more, checked."""
    leg_1, leg_2 = taken.leg_1_a, taken.leg_2_a
    for circuit in unit.circuits:
        if circuit.line != "2" or sub_legs(request) == 1:
            leg_1 = formulas.on_leg_1(leg_1, circuit.current_a)
        if circuit.line != "1" and sub_legs(request) == 2:
            leg_2 = formulas.on_leg_2(leg_2, circuit.current_a)
    inverter, system = request.inverter, feed.source.size_system
    if inverter.output == "split-phase":
        limit = formulas.half_output(inverter.rating_va)
        outputs = [formulas.one_output(leg) for leg in (leg_1, leg_2)[: request.legs]]
    else:
        limit, outputs = formulas.whole_output(inverter.rating_va), [on_one_hot(leg_1, leg_2)]
    checks = [OUTPUT.check(formulas.asked_of_output(hot, request.supply_voltage_v), limit) for hot in outputs]
    # One output loads the pole of the neutral with the sum of both legs, so that the sum is held against the relay.
    checks += [RELAY[system].check(hot, inverter.transfer_a) for hot in outputs]
    heavier = formulas.heavier(leg_1, leg_2)
    needed = formulas.feed_needed(heavier, feed.source.device_factor)
    rating = None if feed.family is None else next_rating_up(feed.family, needed, case)
    if feed.family is None:
        checks.append(feed.voltage)
    elif rating is None:
        checks.append(CARRIES.check(case.library.series[feed.family][-1], needed))
    else:
        checks += [CARRIES.check(rating, needed), FEED[system].check(rating, inverter.transfer_a)]
    return Taken(leg_1, leg_2, needed, rating, tuple(checks))
