"""Two legs and their neutral: request, answer, and the translation to and from the model."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.legs import formulas as leg_formulas
from ...electrical.legs import model
from ...electrical.legs.described import Cord, Described
from ...electrical.sources import formulas as source_formulas
from ...reference.case import Case
from ...reference.practices import SIZES
from ...working import Citation, cited
from ..base import Amount, Answer, envelope, known_amount
from ..door import Door
from ..problems import Fault, Problem, named_twice
from ..quantities import AcVoltage, CordLength, Current
from .bonding import ArrangementField
from .cable import CableSize, read_size
from .checked import CheckAnswer, write_check
from .circuit import PracticeName

Name = Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$")]


class Breakers(Struct, frozen=True, forbid_unknown_fields=True):
    """Overcurrent devices ahead of the neutral. A two-pole breaker is a pole of its rating in each leg."""

    joint: Annotated[Current | None, Meta(description="The one breaker in the one hot ahead of both legs")] = None
    leg_1: Annotated[Current | None, Meta(description="In leg 1")] = None
    leg_2: Annotated[Current | None, Meta(description="In leg 2")] = None


class NeutralPath(Struct, frozen=True, forbid_unknown_fields=True):
    """What the neutral passes through."""

    conductor: Annotated[Current | None, Meta(description="Ampacity of the neutral conductor")] = None
    contact: Annotated[Current | None, Meta(description="Rating of the neutral contact of plug, inlet or adapter")] = None
    pole: Annotated[Current | None, Meta(description="Rating of the neutral pole of the transfer equipment")] = None


class CordWires(Struct, frozen=True, forbid_unknown_fields=True):
    """The cord or cable of the run, for its voltage drop."""

    size: Annotated[CableSize, Meta(description="Conductor of each leg")]
    length: Annotated[CordLength, Meta(description="One-way length")]
    neutral: Annotated[CableSize | None, Meta(description="Neutral conductor, when it is of another size")] = None
    drop_limit: Annotated[Annotated[float, Meta(ge=0.002, le=0.2)] | None, Meta(description="Allowed drop over the voltage of a leg")] = None


class SharedBranch(Struct, frozen=True, forbid_unknown_fields=True):
    """Two branch circuits that share a neutral."""

    id: Annotated[Name, Meta(description="Name of the pair")]
    leg_1: Annotated[Current, Meta(description="Current of the circuit on leg 1")]
    leg_2: Annotated[Current, Meta(description="Current of the circuit on leg 2")]
    ampacity: Annotated[Current, Meta(description="Ampacity of the shared neutral")]
    breaker_1: Annotated[Current | None, Meta(description="Breaker of the circuit on leg 1")] = None
    breaker_2: Annotated[Current | None, Meta(description="Breaker of the circuit on leg 2")] = None
    opens_together: Annotated[bool | None, Meta(description="Whether one handle opens both; null when nobody looked")] = None
    watched: Annotated[bool, Meta(description="Whether the two-pole breaker is one with ground-fault or arc-fault electronics")] = False


class LegsMode(Struct, frozen=True, forbid_unknown_fields=True):
    """A way in which the panel can be supplied."""

    id: Annotated[Name, Meta(description="Name of the mode")]
    arrangement: ArrangementField
    joint_breaker: Annotated[Current | None, Meta(description="The one breaker in the one hot, where there is one")] = None
    stand_alone: Annotated[bool, Meta(description="Whether the source is an inverter or a generator and no site")] = False


class LegsRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """Currents on two legs, and what they pass through."""

    practice: Annotated[PracticeName, Meta(description="Whose rules apply")]
    arrangement: ArrangementField
    leg_1: Annotated[Current, Meta(description="Current of leg 1")]
    leg_2: Annotated[Current | None, Meta(description="Current of leg 2; null when nothing hangs on it")] = None
    voltage: Annotated[AcVoltage | None, Meta(description="Voltage of a leg to neutral")] = None
    breakers: Annotated[Breakers, Meta(description="Devices ahead")] = Breakers()
    neutral: Annotated[NeutralPath, Meta(description="Limits of the neutral")] = NeutralPath()
    adapter: Annotated[Current | None, Meta(description="Rating of an adapter in the way")] = None
    cord: Annotated[Current | None, Meta(description="Rating of the cord's plugs")] = None
    continuous: Annotated[bool, Meta(description="Whether the currents can last three hours or more")] = True
    line_to_line: Annotated[bool, Meta(description="Whether loads hang between the legs")] = False
    wires: Annotated[CordWires | None, Meta(description="The cord, for its drop")] = None
    shared: Annotated[list[SharedBranch], Meta(max_length=24, description="Branch circuits in pairs that share a neutral")] = []
    modes: Annotated[list[LegsMode], Meta(max_length=8, description="Every way in which the panel can be supplied; this one alone when empty")] = []


class LegsDrop(Struct, frozen=True):
    """Voltage drop with the neutral's own."""

    leg_1: Annotated[Amount, Meta(description="With both legs loaded as given; below nought where the other leg lifts the neutral")]
    leg_2: Annotated[Amount | None, Meta(description="The same for leg 2")]
    worst: Annotated[Amount, Meta(description="Of the worse leg, the other one loaded or idle")]
    worst_fraction: Annotated[float, Meta(description="The same over the voltage of a leg")]
    heat: Annotated[Amount, Meta(description="Heat in the cord")]


class OpenNeutralAnswer(Struct, frozen=True):
    """What the legs see once their neutral is open."""

    current: Annotated[Amount, Meta(description="Current through both loads in series")]
    leg_1: Annotated[Amount, Meta(description="Voltage on leg 1")]
    leg_2: Annotated[Amount, Meta(description="Voltage on leg 2")]


class SharedModeAnswer(Struct, frozen=True):
    """A shared neutral in one supply mode."""

    mode: Annotated[str, Meta(description="The mode")]
    neutral: Annotated[Amount, Meta(description="Neutral current")]
    behind_devices: Annotated[Amount | None, Meta(description="The most that the breakers let through; null when not known")]
    ratio: Annotated[float, Meta(description="Neutral current over its ampacity")]
    heat_ratio: Annotated[float, Meta(description="Heat over that at its ampacity")]
    checks: Annotated[list[CheckAnswer], Meta(description="The checks")]


class SharedAnswer(Struct, frozen=True):
    """Whether two circuits may share a neutral in every supply mode."""

    id: Annotated[str, Meta(description="The pair")]
    verdict: Annotated[Literal["may-stay", "split", "cannot-be-judged"], Meta(description="Split: make two circuits of two wires of it")]
    barred: Annotated[bool, Meta(description="Whether the practice bars shared neutrals behind such a source")]
    modes: Annotated[list[SharedModeAnswer], Meta(description="Mode by mode")]


class JudgedLegs(Struct, frozen=True):
    """Leg 1, leg 2 and the neutral, each against its own limit."""

    arrangement: Annotated[str, Meta(description="How the legs are supplied")]
    verdict: Annotated[Literal["within", "not-guarded", "overloaded", "cannot-be-judged"], Meta(description="Of the neutral. Not guarded: the loads keep within the limit, the devices would let more through")]
    neutral: Annotated[Amount, Meta(description="Neutral current")]
    behind_devices: Annotated[Amount | None, Meta(description="The most that the devices let through; null when nothing known limits it")]
    neutral_ratio: Annotated[float | None, Meta(description="Neutral current over the smallest limit that is known")]
    heat_ratio: Annotated[float | None, Meta(description="Heat over that at the limit")]
    hot: Annotated[Amount | None, Meta(description="Current of the one hot that both legs hang on")]
    limit: Annotated[Amount | None, Meta(description="Common limit of both legs on one hot, else of the weaker leg")]
    between_legs: Annotated[Amount | None, Meta(description="Voltage between the legs")]
    line_to_line: Annotated[Literal["supplied", "reduced", "too-low", "dead"] | None, Meta(description="What becomes of loads between the legs; null when the voltage is not given")]
    line_to_line_power: Annotated[float | None, Meta(description="Power of a heater between the legs over its power on legs in opposition")]
    loaded_conductors: Annotated[float, Meta(description="Conductors that count as carrying current")]
    neutral_counts: Annotated[bool, Meta(description="Whether the neutral counts as one of them")]
    drop: Annotated[LegsDrop | None, Meta(description="Voltage drop of the cord; null when it is not given")]
    open_neutral: Annotated[OpenNeutralAnswer | None, Meta(description="What the loads see when the neutral opens; null where nothing drives a current then")]
    shared: Annotated[list[SharedAnswer], Meta(description="Circuits that share a neutral")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check")]


class LegsAnswer(Answer):
    """Two legs judged."""

    legs: Annotated[JudgedLegs, Meta(description="The legs and the neutral")]


CAUTIONS = (
    "This is a calculation aid, not an inspection; the local code and the authority decide, and licensed practice applies.",
    "No breaker sits in a neutral: an overload there opens nothing. Electronic loads add harmonics to it that are not counted here.",
    "Never open or work on a neutral under load: what hangs on the two legs then stands in series across both.",
)


def read(request: LegsRequest, door: Door) -> Described:
    """The request in service units. Raises Problem for a name that stands twice and for a cord of two systems of sizes."""
    faults = named_twice(request.shared, "shared") + named_twice(request.modes, "modes")
    cord = None if request.wires is None else read_cord(request.wires, door, "/wires", faults)
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)

    def amps(given: Current | None, term: str, base: str, field: str) -> float | None:
        return door.quantity(given, term, base, field)

    breakers, limits = request.breakers, request.neutral
    return Described(request.practice, model.LegsRequest(
        arrangement=request.arrangement, leg_1_a=amps(request.leg_1, "leg_1_a", "", "leg_1"), leg_2_a=amps(request.leg_2, "leg_2_a", "", "leg_2"),
        supply_voltage_v=door.quantity(request.voltage, "supply_voltage_v", "", "voltage"),
        poles=model.Poles(
            amps(breakers.joint, "joint_breaker_a", "/breakers", "joint"), amps(breakers.leg_1, "leg_1_breaker_a", "/breakers", "leg_1"),
            amps(breakers.leg_2, "leg_2_breaker_a", "/breakers", "leg_2"),
        ),
        neutral=model.NeutralLimits(
            *(amps(given, "neutral_limit_a", "/neutral", field) for given, field in ((limits.conductor, "conductor"), (limits.contact, "contact"), (limits.pole, "pole"))),
        ),
        adapter_a=amps(request.adapter, "contact_limit_a", "", "adapter"), cord_a=amps(request.cord, "contact_limit_a", "", "cord"),
        continuous=request.continuous, line_to_line=request.line_to_line,
        shared=tuple(_shared(branch, door, f"/shared/{position}") for position, branch in enumerate(request.shared)),
        modes=read_modes(request.modes, door),
    ), cord)


def read_cord(wires: CordWires, door: Door, base: str, faults: list[Fault]) -> Cord:
    """A cord in service units; two systems of sizes go to the faults. Raises Problem outside the physical bounds."""
    (line, system), (neutral, other) = read_size(wires.size), read_size(wires.neutral or wires.size)
    if system != other:
        faults.append(Fault("contradiction", "line and neutral are named in two systems of sizes", f"{base}/neutral"))
    return Cord(system, line, neutral, door.quantity(wires.length, "run_m", base, "length"), door.number(wires.drop_limit, "drop_limit", base, "drop_limit"))


def read_modes(modes: Sequence[LegsMode], door: Door) -> tuple[model.SupplyMode, ...]:
    """The field `modes` of a request in service units."""
    return tuple(
        model.SupplyMode(mode.id, mode.arrangement, door.quantity(mode.joint_breaker, "joint_breaker_a", f"/modes/{position}", "joint_breaker"), mode.stand_alone)
        for position, mode in enumerate(modes)
    )


def _shared(branch: SharedBranch, door: Door, base: str) -> model.SharedNeutral:
    return model.SharedNeutral(
        branch.id, door.quantity(branch.leg_1, "leg_1_a", base, "leg_1"), door.quantity(branch.leg_2, "leg_2_a", base, "leg_2"),
        door.quantity(branch.ampacity, "neutral_limit_a", base, "ampacity"), door.quantity(branch.breaker_1, "leg_1_breaker_a", base, "breaker_1"),
        door.quantity(branch.breaker_2, "leg_2_breaker_a", base, "breaker_2"), branch.opens_together, branch.watched,
    )


_SOURCES = cited(leg_formulas, source_formulas)


def write_legs(legs: model.Legs) -> JudgedLegs:
    """Two legs and their neutral as they stand in an answer."""
    drop, opened = legs.drop, legs.open_neutral
    return JudgedLegs(
        arrangement=legs.arrangement, verdict=legs.verdict, neutral=Amount(legs.neutral_a, "A"), behind_devices=known_amount(legs.neutral_worst_a, "A"),
        neutral_ratio=legs.neutral_ratio, heat_ratio=legs.heat_ratio, hot=known_amount(legs.hot_a, "A"), limit=known_amount(legs.limit_a, "A"),
        between_legs=known_amount(legs.between_legs_v, "V"), line_to_line=legs.line_to_line, line_to_line_power=legs.line_to_line_power,
        loaded_conductors=legs.loaded_conductors, neutral_counts=legs.neutral_counts,
        drop=None if drop is None else LegsDrop(
            Amount(drop.leg_1_v, "V"), known_amount(drop.leg_2_v, "V"), Amount(drop.worst_v, "V"), drop.worst_fraction, Amount(drop.heat_w, "W")),
        open_neutral=None if opened is None else OpenNeutralAnswer(Amount(opened.series_a, "A"), Amount(opened.leg_1_v, "V"), Amount(opened.leg_2_v, "V")),
        shared=[write_shared(pair) for pair in legs.shared],
        checks=[write_check(check) for check in legs.checks],
    )


def write_shared(pair: model.SharedResult) -> SharedAnswer:
    """A shared neutral as it stands in an answer."""
    return SharedAnswer(pair.name, pair.verdict, pair.barred, [
        SharedModeAnswer(
            mode.mode, Amount(mode.neutral_a, "A"), known_amount(mode.worst_a, "A"), mode.ratio, mode.heat_ratio, [write_check(check) for check in mode.checks])
        for mode in pair.modes
    ])


def write(legs: model.Legs, case: Case) -> LegsAnswer:
    """The answer."""
    checks = [*legs.checks, *(check for pair in legs.shared for mode in pair.modes for check in mode.checks)]
    sizes: list[Citation] = [citation for size in SIZES.values() for citation in case.library.tables[size.table].citations] if legs.drop is not None else []
    constants = case.library.tables["constants"]
    limits = [constants.citation_of_row[constants.row(name)] for name in ("line_to_line_least_v", "line_to_neutral_v")]
    return LegsAnswer(legs=write_legs(legs), **envelope(case, [*(check.rule.clause for check in checks), *sizes, *limits, *_SOURCES], CAUTIONS))
