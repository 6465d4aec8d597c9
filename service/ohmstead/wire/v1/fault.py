"""Short-circuit current at a point: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.conductors.formulas import loop_resistance, resistance_at
from ...electrical.faults import formulas, model
from ...electrical.sharing import formulas as sharing_formulas
from ...reference.case import Case
from ...reference.practices import SIZES
from ...working import cited
from ..base import Amount, Answer, envelope, known_amount
from ..door import Door
from ..quantities import Capacity, ClearingTime, DcVoltage, DeviceTemperature, FaultCurrent, Resistance
from .bank import BankChemistry
from .cable import BankLayout, CableRun, CableSize, read_cable, read_layout, read_size
from .checked import CheckAnswer, write_check
from .circuit_answer import ConductorSize, size_name

Strings = Annotated[int, Meta(ge=1, le=60)]
DirectFamily = Literal[
    "class-t", "moulded-case-dc", "terminal-fuse", "bolt-down-limiter", "strip-30", "strip-51", "strip-51-70v", "blade", "large-blade",
    "panel-breaker-dc", "panel-breaker-dc-large", "din-breaker-dc", "photovoltaic-fuse",
]
"""Families of overcurrent devices for direct current, as the table of families names them."""


class SourceByMaker(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="maker"):
    """The maker states the short-circuit current; nothing else proves a device."""

    current: Annotated[FaultCurrent, Meta(description="Prospective short-circuit current of one string, or of the whole bank as one string")]
    strings: Annotated[Strings, Meta(description="Like strings in parallel")] = 1


class SourceByResistance(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="resistance"):
    """The internal resistance of a unit is known."""

    resistance: Annotated[Resistance, Meta(description="Internal direct-current resistance of one unit, full and warm")]
    series: Annotated[int, Meta(ge=1, le=60, description="Units in series in a string")] = 1
    strings: Annotated[Strings, Meta(description="Like strings in parallel")] = 1
    figure: Annotated[model.ResistanceFigure, Meta(description="lowest: no unit of its kind has less, so the current is an upper bound. typical: a usual or a measured one. highest: the upper limit of a data sheet, so the current can be larger")] = "typical"


class SourceByBank(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="bank"):
    """Nothing is known but chemistry and capacity; an upper bound is used, and said."""

    chemistry: Annotated[BankChemistry, Meta(description="Chemistry of the bank")]
    unit_capacity: Annotated[Capacity, Meta(description="Rated capacity of one string")]
    strings: Annotated[Strings, Meta(description="Like strings in parallel")] = 1


class SourceByCranking(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="cranking"):
    """The cold-cranking current of a lead-acid bank is known; an upper bound is used, and said."""

    current: Annotated[FaultCurrent, Meta(description="Cold-cranking current of all strings together; blocks in series do not add")]
    system: Annotated[Literal["12-24", "32"], Meta(description="Nominal system voltage in volts, 12 to 24 or 32, as the table of breakers for boats groups it")] = "12-24"
    strings: Annotated[Strings, Meta(description="Strings in parallel, for the capacity and for links")] = 1
    unit_capacity: Annotated[Capacity | None, Meta(description="Rated capacity of one string, if known: the larger of the two bounds is used")] = None


class CheckedConductor(Struct, frozen=True, forbid_unknown_fields=True):
    """A conductor that begins at the point, and how soon its device opens."""

    size: Annotated[CableSize, Meta(description="Copper conductor: AWG up to 4/0, kcmil above, or mm2 where the name says so")]
    clearing_time: Annotated[ClearingTime, Meta(description="Time in which its device opens at this current, from the maker's curve")]
    insulation: Annotated[Literal["70C", "90C"], Meta(description="70C: thermoplastic of 70 to 75 degC. 90C: thermoset of 90 degC or more")] = "70C"
    sets: Annotated[int, Meta(ge=1, le=12, description="Conductors in parallel per pole that carry the fault together")] = 1


class FaultRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A source, the way from it to a point, and what is to be checked there."""

    source: Annotated[SourceByMaker | SourceByResistance | SourceByBank | SourceByCranking, Meta(description="What is known of the source")]
    highest_voltage: Annotated[DcVoltage, Meta(description="Highest voltage of the circuit, charging and equalising included; devices must be rated for it")]
    joined: Annotated[BankLayout | None, Meta(description="Links or leads of the strings; when null they count nothing, which errs high")] = None
    cable: Annotated[CableRun | None, Meta(description="Cable from the posts or the bus bars up to the point")] = None
    onward: Annotated[Annotated[list[CableRun], Meta(max_length=8)], Meta(description="Further cables in series after the first")] = []
    joints: Annotated[int, Meta(ge=0, le=40, description="Bolted joints on the way, both poles counted; the least that a joint has is used")] = 0
    cable_temperature: Annotated[DeviceTemperature | None, Meta(description="Coldest temperature of the cable; a cold cable passes more")] = None
    conductor: Annotated[CheckedConductor | None, Meta(description="A conductor to check for what it stands")] = None
    device: Annotated[DirectFamily | None, Meta(description="A family of devices to check for its interrupting rating at this voltage")] = None


class FamilyAnswer(Struct, frozen=True):
    """A family of devices at the lowest voltage at which it is marked that is not below the circuit's."""

    family: Annotated[str, Meta(description="Family by its trade or standard name")]
    title: Annotated[str, Meta(description="The family in words")]
    kind: Annotated[Literal["fuse", "breaker"], Meta(description="Fuse or breaker")]
    voltage: Annotated[Amount, Meta(description="Voltage at which the interrupting rating holds")]
    interrupting: Annotated[Amount, Meta(description="Interrupting rating at that voltage")]
    current_limiting: Annotated[bool, Meta(description="Whether it opens before the current has risen to its peak")]
    uses: Annotated[list[str], Meta(description="Kinds of circuit that it is used in: main, feeder, branch, photovoltaic")]
    verdict: Annotated[model.Verdict, Meta(description="Against the current at the point; sufficient only by a maker's figure")]


class CheckedDevice(Struct, frozen=True):
    """The verdict on the family asked about."""

    family: Annotated[str, Meta(description="The family")]
    verdict: Annotated[model.Verdict, Meta(description="sufficient, not-proven or short")]
    marked: Annotated[FamilyAnswer | None, Meta(description="Its ratings at this voltage; null when none holds there")]
    checks: Annotated[list[CheckAnswer], Meta(description="Voltage, and interrupting rating where the voltage suffices")]
    least_length: Annotated[Amount | None, Meta(description="One-way length of the first cable from which on the rating reaches the fault; the cable before the device needs protection of its own. Null when it does so now or no cable is given")]


class WithstandAnswer(Struct, frozen=True):
    """Whether the conductor stands the fault until its device opens."""

    size: Annotated[ConductorSize, Meta(description="Its size")]
    verdict: Annotated[model.Verdict, Meta(description="sufficient, not-proven or short")]
    check: Annotated[CheckAnswer, Meta(description="Area of the conductors against the area needed")]
    withstands: Annotated[Amount, Meta(description="How long it stands the fault; the relation ends at 5 s")]
    smallest: Annotated[ConductorSize | None, Meta(description="Smallest size that stands it in as many sets; null when none does")]


class CraftBreakersAnswer(Struct, frozen=True):
    """Least interrupting ratings that the rules for boats ask of breakers at this cold-cranking current."""

    main: Annotated[Amount, Meta(description="Main breaker")]
    branch: Annotated[Amount, Meta(description="Branch breakers")]


class ProspectiveCurrent(Struct, frozen=True):
    """Short-circuit currents, and what stands them."""

    rests_on: Annotated[model.Knowledge, Meta(description="makers-figure; upper-bound: hardly ever more; estimate: may be more or less")]
    proven: Annotated[bool, Meta(description="Whether it rests on a maker's figure; without one no device is ever sufficient")]
    highest_voltage: Annotated[Amount, Meta(description="Voltage used")]
    at_posts: Annotated[Amount, Meta(description="Current at the posts of the source, or at the take-off of strings with links or leads")]
    at_point: Annotated[Amount, Meta(description="Current at the point")]
    source_resistance: Annotated[Amount, Meta(description="Internal resistance that goes with the current at the posts")]
    path_resistance: Annotated[Amount | None, Meta(description="Cables out and back, and joints; null when the point is at the posts")]
    families: Annotated[list[FamilyAnswer], Meta(description="Families whose rating at this voltage reaches the current at the point. Proven: the least that does first. Else: current-limiting ones and the strongest first")]
    strongest: Annotated[FamilyAnswer | None, Meta(description="The family that interrupts most at this voltage; null when none is made for it")]
    device: Annotated[CheckedDevice | None, Meta(description="The family asked about; null when none was")]
    conductor: Annotated[WithstandAnswer | None, Meta(description="The conductor asked about; null when none was")]
    craft_breakers: Annotated[CraftBreakersAnswer | None, Meta(description="By the table for boats; null without a cold-cranking current or beyond the table")]


class FaultAnswer(Answer):
    """Prospective short-circuit current at a point."""

    fault: Annotated[ProspectiveCurrent, Meta(description="The currents and the verdicts")]


CAUTIONS = (
    "Every source on the same bus bars adds its own current: chargers, alternators and other banks are not counted here.",
    "A management system is not counted as the device that stops a short circuit: its switch can fail closed.",
    "Read the label of the device: its direct-current interrupting rating must hold at a voltage not below the circuit's highest.",
)


def read(request: FaultRequest, door: Door) -> model.FaultRequest:
    """The request in service units. Raises Problem outside the physical bounds."""
    cables = [] if request.cable is None else [read_cable(request.cable, door, "/cable")]
    cables += [read_cable(cable, door, f"/onward/{position}") for position, cable in enumerate(request.onward)]
    return model.FaultRequest(
        source=_source(request.source, door), highest_voltage_v=door.quantity(request.highest_voltage, "highest_voltage_v", "", "highest_voltage"),
        joined=None if request.joined is None else read_layout(request.joined, door, "/joined"), cables=tuple(cables),
        joints=door.number(request.joints, "joints", "", "joints"),
        conductor_temperature_c=door.quantity(request.cable_temperature, "conductor_temperature_c", "", "cable_temperature"),
        conductor=None if request.conductor is None else _conductor(request.conductor, door), family=request.device,
    )


def _source(source: SourceByMaker | SourceByResistance | SourceByBank | SourceByCranking, door: Door) -> model.Source:
    strings = door.number(source.strings, "strings", "/source", "strings")
    if isinstance(source, SourceByMaker):
        return model.MakersFigure(door.quantity(source.current, "string_fault_a", "/source", "current"), strings)
    if isinstance(source, SourceByResistance):
        resistance = door.quantity(source.resistance, "unit_resistance_ohm", "/source", "resistance")
        return model.UnitResistance(resistance, door.number(source.series, "series", "/source", "series"), strings, source.figure)
    capacity = door.quantity(source.unit_capacity, "unit_capacity_ah", "/source", "unit_capacity")
    if isinstance(source, SourceByBank):
        return model.BankOf(source.chemistry, capacity, strings)
    return model.Cranking(door.quantity(source.current, "cranking_current_a", "/source", "current"), source.system, strings, capacity)


def _conductor(conductor: CheckedConductor, door: Door) -> model.Conductor:
    size, system = read_size(conductor.size)
    return model.Conductor(
        size, door.number(conductor.sets, "sets", "/conductor", "sets"), f"short_circuit_constant_{conductor.insulation.lower()}",
        door.quantity(conductor.clearing_time, "clearing_time_s", "/conductor", "clearing_time"), system,
    )


def write(found: model.FaultAtPoint, case: Case) -> FaultAnswer:
    """The answer."""
    device, conductor, craft = found.device, found.conductor, found.craft
    fault = ProspectiveCurrent(
        rests_on=found.knowledge, proven=found.knowledge == "makers-figure", highest_voltage=Amount(found.highest_voltage_v, "V"),
        at_posts=Amount(found.at_posts_a, "A"), at_point=Amount(found.at_point_a, "A"), source_resistance=Amount(found.source_resistance_ohm, "ohm"),
        path_resistance=known_amount(found.path_resistance_ohm, "ohm"),
        families=[_family(family) for family in found.families], strongest=None if found.strongest is None else _family(found.strongest),
        device=None if device is None else CheckedDevice(
            device.family, device.verdict, None if device.marked is None else _family(device.marked), [write_check(check) for check in device.checks],
            known_amount(device.least_run_m, "m"),
        ),
        conductor=None if conductor is None else WithstandAnswer(
            size_name(conductor.size, conductor.system), conductor.verdict, write_check(conductor.check), Amount(conductor.time_s, "s"),
            None if conductor.smallest is None else size_name(conductor.smallest, conductor.system),
        ),
        craft_breakers=None if craft is None else CraftBreakersAnswer(Amount(craft.main_a, "A"), Amount(craft.branch_a, "A")),
    )
    return FaultAnswer(fault=fault, **envelope(case, _sources(found, case), CAUTIONS))


def _family(family: model.FamilyAt) -> FamilyAnswer:
    return FamilyAnswer(
        family.family, family.title, family.kind, Amount(family.voltage_v, "V"), Amount(family.interrupting_a, "A"), family.current_limiting,
        list(family.uses), family.verdict,
    )


def _sources(found: model.FaultAtPoint, case: Case) -> list:
    """Where bounds, constants, resistances, devices and checks are printed."""
    tables = case.library.tables
    constants, families = tables["constants"], tables["device_families"]
    used = [constants.citation_of_row[constants.row(name)] for name in _CONSTANTS]
    for system in found.systems:
        sizes, coefficient = SIZES[system]
        used += [tables[sizes].citation, constants.citation_of_row[constants.row(coefficient)]]
    if "mm2" in found.systems:
        used.append(constants.citation_of_row[constants.row("copper_resistivity")])
    if found.knowledge == "upper-bound":
        used.append(tables["short_circuit_bounds"].citation)
    if found.craft is not None:
        breakers = tables["craft_interrupting"]
        used.append(breakers.citation_of_row[breakers.row(found.craft.row)])
    shown = [*found.families, *(family for family in (found.strongest,) if family is not None)]
    if found.device is not None:
        used += [check.rule.clause for check in found.device.checks]
        shown += [found.device.marked] if found.device.marked is not None else []
    if found.conductor is not None:
        used.append(found.conductor.check.rule.clause)
    used += [families.citation_of_row[families.row(family.row)] for family in shown]
    return [*used, *_SOURCES, *(_JOINED if found.joined else ())]


_CONSTANTS = (
    "joint_resistance_least_ohm", "short_circuit_per_cranking", "craft_table_capacity_ah",
    "short_circuit_constant_70c", "short_circuit_constant_90c",
)
_SOURCES = (*cited(formulas), loop_resistance.formula.citation, resistance_at.formula.citation)
_JOINED = cited(sharing_formulas)
