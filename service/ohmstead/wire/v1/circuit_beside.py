"""What an answer says beside a sized circuit: the verdict on a choice, the neutral, a start, and what protects people."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.conductors.chosen import Judged
from ...electrical.conductors.model import Circuit
from ...electrical.conductors.single import Neutral, SizedSingle
from ...electrical.people.model import Requirement
from ...electrical.protection.opening import Passing
from ...reference.case import Case, Library
from ...reference.practices import RuleSource
from ...working import Citation
from ..base import Amount, known_amount
from ..base import Citation as CitationShape
from .checked import CheckAnswer, write_check
from .circuit_answer import ConductorAnswer, DeviceAnswer, checks_printed, write_conductor, write_device


class JudgedChoice(Struct, frozen=True):
    """The verdict on a conductor and a device that were chosen beforehand."""

    verdict: Annotated[Literal["passes", "fails", "not-proven"], Meta(description="Not proven: nothing fails, but a label or the short-circuit current is not known")]
    why: Annotated[list[str], Meta(description="What stands against it or is not known, beside its checks")]
    conductor: Annotated[ConductorAnswer | None, Meta(description="What the conductor gives here; null when it cannot be reckoned")]
    device: Annotated[DeviceAnswer | None, Meta(description="The device, as its label and its family describe it")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check, passed or not")]


class NeutralAnswer(Struct, frozen=True):
    """The neutral of two legs."""

    current: Annotated[Amount, Meta(description="Neutral current of the two legs")]
    behind_devices: Annotated[Amount | None, Meta(description="The most that the overcurrent devices let through; null when nothing that is known limits it")]
    between_legs: Annotated[Amount, Meta(description="Voltage between the legs; nought on one hot, where loads on both legs are dead")]


class TransientAnswer(Struct, frozen=True):
    """Whether the device lets a start or an inrush pass."""

    verdict: Annotated[Literal["holds", "may-open", "opens", "not-known"], Meta(description="By the printed times of the family, read to the safe side")]
    multiple: Annotated[float, Meta(description="The current over the rating")]
    least: Annotated[Amount | None, Meta(description="Before this time the device does not open; null when not known or never")]
    most: Annotated[Amount | None, Meta(description="After this time it has opened; null when not known")]
    holding_rating: Annotated[Amount | None, Meta(description="Next rating of the family that surely lets it pass; null when the chosen one does or none is known to")]
    ampacity_needed: Annotated[Amount | None, Meta(description="Ampacity that the conductors need for that rating")]


class RequirementAnswer(Struct, frozen=True):
    """A device that the rules ask for to protect people."""

    device: Annotated[str, Meta(description="Kind of device")]
    title: Annotated[str, Meta(description="The device in words")]
    residual_current: Annotated[Amount | None, Meta(description="Residual current at which it opens at the latest")]
    within: Annotated[Amount | None, Meta(description="Time in which it opens at that current")]
    poles: Annotated[float | None, Meta(description="Poles that open together")]
    text: Annotated[str, Meta(description="For what, and where it sits")]
    unless: Annotated[str, Meta(description="When it is not needed; empty when always")]
    certain: Annotated[bool, Meta(description="False where it depends on what the circuit serves or where, which was not said")]
    citation: Annotated[CitationShape, Meta(description="Where it is printed")]


ChosenField = Annotated[JudgedChoice | None, Meta(description="The verdict on what was chosen beforehand; null when nothing was")]
NeutralField = Annotated[NeutralAnswer | None, Meta(description="The neutral of two legs; null on one")]
StartField = Annotated[TransientAnswer | None, Meta(description="Whether the device lets the start or the inrush pass; null when none was given")]
PeopleField = Annotated[list[RequirementAnswer], Meta(description="Devices that the rules ask for to protect people on this circuit")]


def write_beside(worked: SizedSingle) -> dict[str, object]:
    """The fields beside the circuit, as keyword arguments for a shape of an answer."""
    return {
        "chosen": _judged(worked.judged, worked.source, worked.both_ends, worked.sheathed) if worked.judged is not None else None,
        "neutral": _neutral(worked.legs) if worked.legs is not None else None,
        "start": write_start(worked.passing) if worked.passing is not None else None,
        "people_protection": [write_requirement(requirement) for requirement in worked.people],
    }


def devices_printed(circuit: Circuit, passing: Passing | None, in_heat: bool, library: Library) -> list[Citation]:
    """Where the time-current row of a start and the figures for heat of a device are printed."""
    found = []
    if passing is not None and passing.opening.row:
        curves = library.tables["time_current"]
        found.append(curves.citation_of_row[curves.row(passing.opening.row)])
    if circuit.device is not None and (passing is not None or in_heat):
        heat = library.tables["device_ambient"].citation_of_row
        found += [heat[row] for row in library.heat.get(circuit.device.family, ())]
    return found


def printed(worked: SizedSingle, case: Case) -> list[Citation]:
    """Where the checks and devices of a circuit are printed; what its rules rest on comes before, its formulas' sources on top."""
    found = checks_printed(worked.circuit, case.library)
    if worked.judged is not None:
        found += [check.rule.clause for check in worked.judged.checks]
        device = worked.judged.device
        if device is not None and device.row:
            families = case.library.tables["device_families"]
            found.append(families.citation_of_row[families.row(device.row)])
    found += devices_printed(worked.circuit, worked.passing, worked.in_heat, case.library)
    if worked.people:
        people = case.library.tables["people_protection"]
        for requirement in worked.people:
            found += [requirement.citation, people.citation_of_row[people.row(requirement.row)]]
    return found


def _judged(judged: Judged, source: RuleSource, both_ends: bool, sheathed: bool) -> JudgedChoice:
    return JudgedChoice(
        judged.verdict, list(judged.why), write_conductor(judged.conductor, source, None, None, ()) if judged.conductor is not None else None,
        write_device(judged.device, source, both_ends, sheathed) if judged.device is not None else None, [write_check(check) for check in judged.checks],
    )


def _neutral(neutral: Neutral) -> NeutralAnswer:
    return NeutralAnswer(known_amount(neutral.neutral_a, "A"), known_amount(neutral.worst_a, "A"), known_amount(neutral.between_legs_v, "V"))


def write_start(passing: Passing) -> TransientAnswer:
    """Whether a device lets a start pass, as it stands in an answer."""
    found = passing.opening
    return TransientAnswer(
        found.verdict, found.multiple, known_amount(found.least_s, "s"), known_amount(found.most_s, "s"), known_amount(passing.holds_a, "A"), known_amount(passing.ampacity_a, "A"),
    )


def write_requirement(requirement: Requirement) -> RequirementAnswer:
    """What protects people, as it stands in an answer."""
    return RequirementAnswer(*requirement_fields(requirement))


def requirement_fields(requirement: Requirement) -> tuple:
    """What a requirement says, in the order of its shape."""
    return (
        requirement.device, requirement.title, known_amount(requirement.residual_current_a, "A"), known_amount(requirement.longest_s, "s"), requirement.poles,
        requirement.text, requirement.unless, requirement.certain, requirement.citation,
    )

