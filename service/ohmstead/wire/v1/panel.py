"""The alternating-current panel in and out: request, answer, and the translation to and from the model."""

from __future__ import annotations

from collections import Counter
from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.legs import formulas as leg_formulas
from ...electrical.panel import formulas, model
from ...electrical.people.model import PeoplePlace, Serves
from ...electrical.sources import formulas as source_formulas
from ...reference.case import Case
from ...working import cited
from ..base import Amount, Answer, envelope, known_amount
from ..door import Door
from ..problems import Fault, Problem, named_twice
from ..quantities import AcVoltage, ApparentPower, Current
from .checked import CheckAnswer, write_check
from .circuit import PracticeName
from .circuit_beside import PeopleField, write_requirement
from .legs import JudgedLegs, LegsMode, Name, SharedAnswer, read_modes, write_legs, write_shared


class PanelCircuit(Struct, frozen=True, forbid_unknown_fields=True):
    """A circuit of the panel as it is."""

    id: Annotated[Name, Meta(description="Name of the circuit")]
    breaker: Annotated[Current, Meta(description="Rating of its breaker")]
    current: Annotated[Current, Meta(description="Current while it runs; all circuits count as running together")]
    line: Annotated[model.Line, Meta(description="Leg that it hangs on; both: between the two legs")] = "1"
    purpose: Annotated[model.Purpose, Meta(description="bank-charger: a charger or converter that charges the bank of this inverter; it never goes on the inverter")] = "load"
    on_inverter: Annotated[model.Wish, Meta(description="Whether it shall run from the inverter; as-fits: when there is room, the smallest current first")] = "as-fits"
    shares_neutral_with: Annotated[Name | None, Meta(description="The circuit with which it shares its neutral; said of one of the two or of both")] = None
    opens_together: Annotated[bool | None, Meta(description="Whether one handle opens both circuits of the shared neutral; null when nobody looked")] = None
    neutral_ampacity: Annotated[Current | None, Meta(description="Ampacity of the shared neutral; the smaller breaker's rating when silent")] = None
    poles: Annotated[Annotated[int, Meta(ge=1, le=4)] | None, Meta(description="Poles of its breaker that open together; null when nobody looked")] = None
    serves: Annotated[Serves | None, Meta(description="What it serves; it decides which protection of people is asked for")] = None
    where: Annotated[PeoplePlace | None, Meta(description="Where it serves. Bath: with lavatory, toilet, shower or tub. Sink: within 1.8 m of one")] = None
    protected: Annotated[model.Protected, Meta(description="Whether it has the devices for people that the rules ask for")] = "not-known"


class PanelInverter(Struct, frozen=True, forbid_unknown_fields=True):
    """The inverter behind which the new panel stands."""

    apparent_power: Annotated[ApparentPower, Meta(description="Continuous apparent power of all outputs together")]
    transfer: Annotated[Current, Meta(description="Rating of each pole of the transfer relay, that of the neutral too")]
    output: Annotated[model.Output, Meta(description="one-leg: one hot in and out. one-hot: both legs of a supply pass through, and alone its one output is on both. split-phase: two outputs in opposition")] = "one-leg"


class PanelRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A panel as it is, the inverter, and every supply ahead of them."""

    practice: Annotated[PracticeName, Meta(description="Whose rules apply")]
    voltage: Annotated[AcVoltage, Meta(description="Voltage of a leg to neutral")]
    main_breaker: Annotated[Current, Meta(description="Rating of the main breaker, in each leg")]
    circuits: Annotated[list[PanelCircuit], Meta(min_length=1, max_length=40, description="Every circuit of the panel, in any order")]
    inverter: Annotated[PanelInverter, Meta(description="The inverter")]
    modes: Annotated[list[LegsMode], Meta(min_length=1, max_length=8, description="Every way in which shore or a generator supplies the panel; the inverter alone is added")]
    legs: Annotated[Literal[1, 2], Meta(description="Legs of the panel")] = 2
    neutral_ampacity: Annotated[Current | None, Meta(description="Ampacity of the neutral ahead of the panel; the main breaker's rating when silent")] = None
    continuous: Annotated[bool, Meta(description="Whether the currents can last three hours or more")] = True


class PlacedCircuit(Struct, frozen=True):
    """Where a circuit belongs."""

    id: Annotated[str, Meta(description="The circuit")]
    place: Annotated[Literal["old-panel", "sub-panel"], Meta(description="Where it belongs")]
    reason: Annotated[str, Meta(description="Why: wished, fits, partner-goes, wished-off, charger-of-this-bank, needs-both-legs, partner-stays, neutral-not-borne or does-not-fit")]
    line: Annotated[str, Meta(description="Leg on which it hangs there")]
    breaker: Annotated[Amount, Meta(description="Rating of its breaker, as given")]
    poles: Annotated[int, Meta(description="Poles of its breaker that have to open together")]
    people_protection: PeopleField


class FeedAnswer(Struct, frozen=True):
    """The breaker in the old panel that feeds the new one."""

    family: Annotated[str, Meta(description="Family of devices")]
    rating: Annotated[Amount, Meta(description="Rating")]
    poles: Annotated[int, Meta(description="Poles that open together")]


class SubPanelAnswer(Struct, frozen=True):
    """The new panel behind the inverter."""

    legs: Annotated[int, Meta(description="Its legs")]
    fed_from: Annotated[list[str], Meta(description="Legs of the old panel that feed it while a supply is there")]
    leg_1: Annotated[Amount, Meta(description="Current of its leg 1")]
    leg_2: Annotated[Amount | None, Meta(description="Current of its leg 2; null when it has one leg")]
    needed: Annotated[Amount, Meta(description="What the feed breaker has to carry")]
    feed: Annotated[FeedAnswer | None, Meta(description="The feed breaker; null when nothing fits")]


class PanelModeAnswer(Struct, frozen=True):
    """Both panels while one supply feeds."""

    id: Annotated[str, Meta(description="The mode; inverter-alone is the one that was added")]
    old_panel: Annotated[JudgedLegs | None, Meta(description="The old panel with what it feeds; null while only the inverter feeds")]
    old_panel_legs: Annotated[list[Amount], Meta(description="Currents of its legs")]
    sub_panel: Annotated[JudgedLegs | None, Meta(description="The new panel; null without a circuit or a feed")]
    sub_panel_legs: Annotated[list[Amount], Meta(description="Currents of its legs")]
    dead: Annotated[list[str], Meta(description="Circuits that have no supply, or too low a voltage between the legs")]


class PanelChange(Struct, frozen=True):
    """One thing to do."""

    action: Annotated[Literal["move-to-sub-panel", "keep-ahead-of-inverter", "fit-breaker", "split-neutral", "fit-protection"], Meta(description="What to do")]
    circuits: Annotated[list[str], Meta(description="The circuit, or the two that share a neutral")]
    reason: Annotated[str, Meta(description="Why, and what to mind")]


class JudgedPanel(Struct, frozen=True):
    """The panel judged and divided."""

    outcome: Annotated[Literal["sized", "nothing-fits"], Meta(description="nothing-fits: what was wished on the inverter passes its output, its relay or every breaker")]
    failed: Annotated[CheckAnswer | None, Meta(description="The check that stands in the way")]
    circuits: Annotated[list[PlacedCircuit], Meta(description="Every circuit, by name")]
    sub_panel: Annotated[SubPanelAnswer | None, Meta(description="The new panel; null when no circuit goes there")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check of output, relay and feed breaker")]
    modes: Annotated[list[PanelModeAnswer], Meta(description="Every supply mode, and the inverter alone")]
    shared: Annotated[list[SharedAnswer], Meta(description="Circuits that share a neutral, in every mode that feeds them")]
    people_protection: Annotated[PeopleField, Meta(description="Devices that the rules ask for at the inlet and behind the inverter")]
    changes: Annotated[list[PanelChange], Meta(description="What to do")]


class PanelAnswer(Answer):
    """A panel judged and divided."""

    panel: Annotated[JudgedPanel, Meta(description="The panel")]


CAUTIONS = (
    "This is a calculation aid, not an inspection; the local code and the authority decide, and licensed practice applies.",
    "Switch off and lock out every supply, the inverter and the bank included, before a panel is opened; prove it dead.",
    "What the charger of the inverter draws from a supply is not among the circuits: program its input limit to what the legs have left.",
    "Neutrals of the new panel land on its own bar, apart from earth; the bond between neutral and earth is a question of its own for each supply.",
)


def read(request: PanelRequest, door: Door) -> model.PanelRequest:
    """The request in service units. Raises Problem with every fault of names, legs and shared neutrals."""
    partners, faults = _partners(request.circuits)
    faults = named_twice(request.circuits, "circuits") + named_twice(request.modes, "modes", {model.ALONE}) + faults + [
        Fault("contradiction", f"{circuit.id} hangs on a second leg and the panel has one", f"/circuits/{position}/line")
        for position, circuit in enumerate(request.circuits) if request.legs == 1 and circuit.line != "1"
    ]
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)
    inverter = request.inverter
    return model.PanelRequest(
        request.practice, door.quantity(request.voltage, "supply_voltage_v", "", "voltage"), door.quantity(request.main_breaker, "leg_1_breaker_a", "", "main_breaker"),
        request.legs, tuple(_circuit(circuit, partners, door, f"/circuits/{position}") for position, circuit in enumerate(request.circuits)),
        model.PanelInverter(
            door.quantity(inverter.apparent_power, "inverter_rating_va", "/inverter", "apparent_power"),
            door.quantity(inverter.transfer, "transfer_rating_a", "/inverter", "transfer"), inverter.output,
        ),
        read_modes(request.modes, door),
        door.quantity(request.neutral_ampacity, "neutral_limit_a", "", "neutral_ampacity"), request.continuous,
    )


def _circuit(circuit: PanelCircuit, partners: dict[str, str], door: Door, base: str) -> model.PanelCircuit:
    return model.PanelCircuit(
        circuit.id, door.quantity(circuit.breaker, "leg_1_breaker_a", base, "breaker"), door.quantity(circuit.current, "own_leg_a", base, "current"),
        circuit.line, circuit.purpose, circuit.on_inverter, partners.get(circuit.id), circuit.opens_together,
        door.quantity(circuit.neutral_ampacity, "neutral_limit_a", base, "neutral_ampacity"), circuit.poles, circuit.serves, circuit.where,
        circuit.protected, base,
    )


def _partners(circuits: list[PanelCircuit]) -> tuple[dict[str, str], list[Fault]]:
    """Who shares a neutral with whom, both ways, and what cannot be."""
    lines = {circuit.id: circuit.line for circuit in circuits}
    pairs = {frozenset((circuit.id, circuit.shares_neutral_with)) for circuit in circuits if circuit.shares_neutral_with is not None}
    times = Counter(name for pair in pairs for name in pair)
    partners, faults = {}, []
    for position, circuit in enumerate(circuits):
        other = circuit.shares_neutral_with
        if other is None:
            continue
        if other not in lines:
            why = f"there is no circuit {other}"
        elif other == circuit.id:
            why = "a circuit shares its neutral with another one"
        elif times[other] > 1 or times[circuit.id] > 1:
            why = "two circuits share a neutral, and one of these has another partner too"
        elif "both" in (lines[other], lines[circuit.id]):
            why = "a circuit between the legs has no neutral to share"
        else:
            partners[circuit.id], partners[other] = other, circuit.id
            continue
        faults.append(Fault("contradiction", why, f"/circuits/{position}/shares_neutral_with"))
    return partners, faults


_SOURCES = cited(formulas, leg_formulas, source_formulas)


def write(panel: model.Panel, case: Case) -> PanelAnswer:
    """The answer."""
    sub, legs = panel.sub, [legs for mode in panel.modes for legs in (mode.main, mode.sub) if legs is not None]
    checks = [*panel.checks, *(check for judged in legs for check in judged.checks)]
    checks += [check for pair in panel.shared for mode in pair.modes for check in mode.checks]
    constants = case.library.tables["constants"]
    printed = [constants.citation_of_row[constants.row(name)] for name in ("line_to_line_least_v", "line_to_neutral_v", "continuous_factor", "continuous_factor_none", "continuous_factor_device")]
    printed += [citation for name in ("device_series", "device_families") for citation in case.library.tables[name].citations]
    people, asked = case.library.tables["people_protection"], []
    for requirement in (*(requirement for placed in panel.circuits for requirement in placed.protection), *panel.whole):
        asked += [requirement.citation, people.citation_of_row[people.row(requirement.row)]]
    return PanelAnswer(
        panel=JudgedPanel(
            outcome=panel.outcome, failed=write_check(panel.failed) if panel.failed is not None else None,
            circuits=[
                PlacedCircuit(
                    placed.circuit.name, placed.place, placed.reason,
                    "1" if placed.place == "sub-panel" and sub.legs == 1 else placed.circuit.line, Amount(placed.circuit.breaker_a, "A"), placed.poles_needed,
                    [write_requirement(requirement) for requirement in placed.protection],
                ) for placed in panel.circuits
            ],
            sub_panel=None if sub is None else SubPanelAnswer(
                sub.legs, list(sub.fed_from), Amount(sub.leg_1_a, "A"), known_amount(sub.leg_2_a, "A"), Amount(sub.needed_a, "A"),
                None if sub.feed is None else FeedAnswer(sub.feed.family, Amount(sub.feed.rating_a, "A"), sub.feed.poles),
            ),
            checks=[write_check(check) for check in panel.checks],
            modes=[
                PanelModeAnswer(mode.name, *_judged(mode.main), *_judged(mode.sub), list(mode.dead)) for mode in panel.modes
            ],
            shared=[write_shared(pair) for pair in panel.shared],
            people_protection=[write_requirement(requirement) for requirement in panel.whole],
            changes=[PanelChange(change.action, list(change.circuits), change.reason) for change in panel.changes],
        ),
        **envelope(case, [*(check.rule.clause for check in checks), *asked, *printed, *_SOURCES], CAUTIONS),
    )


def _judged(legs: model.Legs | None) -> tuple[JudgedLegs | None, list[Amount]]:
    if legs is None:
        return None, []
    return write_legs(legs), [Amount(leg, "A") for leg in (legs.leg_1_a, legs.leg_2_a) if leg is not None]
