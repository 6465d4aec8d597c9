"""One circuit: the shapes of its answer, and how they are written; plans use them too."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.conductors.model import Circuit, End, Neighbour, Part, Row
from ...electrical.protection.model import Device
from ...reference.case import Case, Library
from ...reference.practices import RuleSource, SizeSystem
from ...working import Citation
from ..base import Amount, known_amount
from .checked import CheckAnswer, ChoiceAnswer, write_check


class ConductorSize(Struct, frozen=True):
    """A conductor size in the system that the practice uses."""

    system: Annotated[str, Meta(description="awg up to 4/0, kcmil above; mm2 outside the United States")]
    name: Annotated[str, Meta(description="Name of the size")]


class ConventionalDrop(Struct, frozen=True):
    """Voltage drop as the trade reckons it, beside the physical one."""

    drop: Annotated[Amount, Meta(description="Voltage drop by the constant, out and back")]
    constant: Annotated[Amount, Meta(description="The constant; it stands for one conductor temperature, which is cooler than a loaded cable outside NEC practice")]


class StretchAnswer(Struct, frozen=True):
    """The conductor in one stretch of its run."""

    length: Annotated[Amount, Meta(description="One-way length")]
    place: Annotated[str, Meta(description="Enclosed or free air")]
    ambient: Annotated[Amount, Meta(description="Air along it")]
    ambient_factor: Annotated[float, Meta(description="Correction for ambient temperature")]
    bundling_factor: Annotated[float, Meta(description="Adjustment for loaded conductors together")]
    insulation_value: Annotated[Amount, Meta(description="Table value at the insulation's temperature, one conductor")]
    ampacity: Annotated[Amount, Meta(description="Ampacity under its conditions, all sets")]
    temperature: Annotated[Amount, Meta(description="Conductor temperature at the design current")]
    drop: Annotated[Amount, Meta(description="Voltage drop at that temperature, out and back")]


class LugAnswer(Struct, frozen=True):
    """Lugs at one end of the circuit, for one pole."""

    at: Annotated[Literal["from", "to"], Meta(description="Which end")]
    stud: Annotated[str, Meta(description="Thread that the hole of the lug fits")]
    count: Annotated[int, Meta(description="Lugs for one pole")]


class ConductorAnswer(Struct, frozen=True):
    """The conductor and what it gives here."""

    size: Annotated[ConductorSize, Meta(description="Size of each conductor")]
    sets: Annotated[int, Meta(description="Conductors in parallel per pole")]
    area: Annotated[Amount, Meta(description="Area of one conductor")]
    ampacity: Annotated[Amount, Meta(description="Ampacity of all sets: the smaller of terminals and conditions of use")]
    terminal_value: Annotated[Amount, Meta(description="Table value at the terminals' temperature, one conductor")]
    insulation_value: Annotated[Amount, Meta(description="Table value at the insulation's temperature, one conductor, before corrections")]
    drop: Annotated[Amount, Meta(description="Voltage drop by the table's resistance at 75 °C, out and back")]
    drop_fraction: Annotated[float, Meta(description="The same over nominal voltage")]
    temperature: Annotated[Amount, Meta(description="Conductor temperature at the design current")]
    drop_at_temperature: Annotated[Amount, Meta(description="Voltage drop at that temperature")]
    conventional_drop: Annotated[ConventionalDrop | None, Meta(description="Voltage drop by the constant that the practice's trade uses; no check rests on it; null in a verdict")]
    load_voltage: Annotated[Amount | None, Meta(description="Voltage at the load when the source is at its lowest; null in a verdict")]
    lug_studs: Annotated[str, Meta(description="Studs for which lugs of this size are usual")]
    lugs: Annotated[list[LugAnswer], Meta(description="Lugs at the ends of which the stud is known")] = []
    stretches: Annotated[list[StretchAnswer], Meta(description="What each stretch gives, where the run has several; the first one is the run itself")] = []
    governing_stretch: Annotated[int, Meta(description="Position of the stretch that allows least")] = 0


class DeviceAnswer(Struct, frozen=True):
    """The overcurrent device."""

    family: Annotated[str, Meta(description="Family by its trade or standard name")]
    title: Annotated[str, Meta(description="The family in words")]
    kind: Annotated[Literal["fuse", "breaker"], Meta(description="Fuse or breaker")]
    rating: Annotated[Amount, Meta(description="Rating, from the series in which the family is made")]
    voltage: Annotated[Amount | None, Meta(description="Voltage at which the interrupting rating holds; null only where the label of a chosen device is not known")]
    interrupting: Annotated[Amount | None, Meta(description="Interrupting rating at that voltage; null only where it is not known")]
    interrupting_verdict: Annotated[Literal["sufficient", "not-proven", "short", "not-asked"], Meta(description="Against the prospective short-circuit current; without a maker's figure it is never sufficient")]
    opens_by_hand: Annotated[bool, Meta(description="Whether it can serve as the disconnect of its circuit: a breaker can, a fuse is not opened under load")]
    places: Annotated[list[str], Meta(description="Where it sits: at each end that is a source")]
    within: Annotated[Amount | None, Meta(description="Largest distance from the source end, where the rules give one")]


class NeighbourAnswer(Struct, frozen=True):
    """The next size down or up."""

    size: Annotated[ConductorSize, Meta(description="Its size")]
    sets: Annotated[int, Meta(description="Conductors in parallel per pole")]
    failed: Annotated[CheckAnswer | None, Meta(description="The first check that it fails; null when it passes all")]


class SizedCircuit(Struct, frozen=True):
    """A sized circuit, or the nearest miss."""

    outcome: Annotated[Literal["sized", "nothing-fits"], Meta(description="Whether anything passed every check")]
    why: Annotated[str, Meta(description="Why nothing fits; empty when sized")]
    rules: Annotated[str, Meta(description="The document that rules this class of circuit")]
    by_analogy: Annotated[bool, Meta(description="Whether that document is applied by analogy")]
    size_table: Annotated[str, Meta(description="Which areas stand behind the names of the sizes")]
    design_current: Annotated[Amount, Meta(description="Average current")]
    thermal_current: Annotated[Amount, Meta(description="Current that the conductor is sized for; the device too, unless its check says more")]
    conductor: Annotated[ConductorAnswer | None, Meta(description="The conductor; null when nothing fits")]
    device: Annotated[DeviceAnswer | None, Meta(description="The overcurrent device; null when none belongs here or none fits")]
    grounding_conductor: Annotated[ConductorSize | None, Meta(description="Grounding or protective conductor, where the practice asks for one")]
    terminal_temperature: Annotated[Amount, Meta(description="Temperature rating used for the terminals")]
    insulation_temperature: Annotated[Amount, Meta(description="Temperature rating used for the insulation")]
    ambient_factor: Annotated[float | None, Meta(description="Correction for ambient temperature; null when no ampacity is permitted")]
    bundling_factor: Annotated[float | None, Meta(description="Adjustment for loaded conductors together")]
    drop_limit: Annotated[float, Meta(description="Allowed voltage drop over nominal voltage")]
    choice: Annotated[ChoiceAnswer | None, Meta(description="Which check decided and what the next smaller size failed")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check of the chosen conductor and device")]
    smaller: Annotated[NeighbourAnswer | None, Meta(description="Next size down")]
    larger: Annotated[NeighbourAnswer | None, Meta(description="Next size up")]
    failed: Annotated[CheckAnswer | None, Meta(description="The check that the nearest miss fails")]


def size_name(name: str, system: SizeSystem = "awg") -> ConductorSize:
    """A size with its system; awg holds the kcmil sizes too."""
    if system == "awg" and name.isdigit() and int(name) >= 250:
        return ConductorSize("kcmil", name)
    return ConductorSize(system, name)


def write_device(device: Device, source: RuleSource, both_ends: bool, sheathed: bool = False) -> DeviceAnswer:
    """A device as it stands in an answer."""
    distance = source.source_distance_sheathed_m if sheathed else source.source_distance_m
    within = known_amount(distance, "m")
    return DeviceAnswer(
        device.family, device.title, device.kind, Amount(device.rating_a, "A"), known_amount(device.voltage_v, "V"),
        known_amount(device.interrupting_a, "A"), device.interrupting, device.kind == "breaker", ["from", "to"] if both_ends else ["from"], within,
    )


_CONSTANT_UNITS = {"circular-mils": "ohm.cmil/ft", "square-millimetres": "ohm.mm2/m"}


def write_conductor(row: Row, source: RuleSource, conventional: ConventionalDrop | None, load_voltage_v: float | None, ends: tuple[End, ...]) -> ConductorAnswer:
    """A conductor as it stands in an answer."""
    lugs = source.lugs
    return ConductorAnswer(
        size=size_name(row.size, source.size_system), sets=row.sets, area=Amount(row.area_mm2, "mm2"), ampacity=Amount(row.ampacity_a, "A"),
        terminal_value=Amount(row.ampacity_terminal_a, "A"), insulation_value=Amount(row.ampacity_insulation_a, "A"),
        drop=Amount(row.drop_v, "V"), drop_fraction=row.drop_fraction, temperature=Amount(row.conductor_temperature_c, "degC"),
        drop_at_temperature=Amount(row.drop_at_temperature_v, "V"),
        load_voltage=known_amount(load_voltage_v, "V"), conventional_drop=conventional,
        lug_studs=lugs.columns["usual_studs"][lugs.index[row.size]] if lugs is not None and row.size in lugs.index else "",
        lugs=[LugAnswer(at, end.stud, row.sets) for at, end in zip(("from", "to"), ends) if end.stud is not None] if ends else [],
        stretches=[_write_stretch(part) for part in row.stretches] if row.stretches else [], governing_stretch=row.governing,
    )


def write_circuit(circuit: Circuit, source: RuleSource, both_ends: bool, case: Case, sheathed: bool = False, ends: tuple[End, ...] = ()) -> SizedCircuit:
    """A sized circuit as it stands in an answer."""
    row, system, choice = circuit.conductor, source.size_system, circuit.choice
    conductor = None
    if row is not None:
        conventional = ConventionalDrop(Amount(circuit.conventional_drop_v, "V"), Amount(circuit.drop_constant, _CONSTANT_UNITS[source.drop_rule]))
        conductor = write_conductor(row, source, conventional, circuit.load_voltage_v, ends)
    smaller = _neighbour(circuit.smaller, system) if circuit.smaller is not None else None
    return SizedCircuit(
        outcome=circuit.outcome, why=circuit.why, rules=source.document, by_analogy=source.by_analogy, size_table=source.sizes.title,
        design_current=Amount(circuit.design_current_a, "A"), thermal_current=Amount(circuit.thermal_current_a, "A"), conductor=conductor,
        device=write_device(circuit.device, source, both_ends, sheathed) if circuit.device is not None else None,
        grounding_conductor=size_name(circuit.grounding_size, system) if circuit.grounding_size is not None else None,
        terminal_temperature=Amount(circuit.terminal_temperature_c, "degC"),
        insulation_temperature=Amount(circuit.insulation_temperature_c, "degC"), ambient_factor=circuit.ambient_factor,
        bundling_factor=circuit.bundling_factor, drop_limit=circuit.drop_limit,
        # The choice names the check that the smaller neighbour fails.
        choice=ChoiceAnswer(choice.chosen, choice.governed_by, choice.smaller or None, smaller.failed if smaller is not None else None) if choice is not None else None,
        checks=[write_check(check) for check in circuit.checks],
        smaller=smaller, larger=_neighbour(circuit.larger, system) if circuit.larger is not None else None,
        failed=write_check(circuit.failed) if circuit.failed is not None else None,
    )


def _write_stretch(part: Part) -> StretchAnswer:
    return StretchAnswer(
        Amount(part.run_m, "m"), part.place, Amount(part.ambient_c, "degC"), part.ambient_factor, part.bundling_factor,
        Amount(part.ampacity_insulation_a, "A"), Amount(part.ampacity_conditions_a, "A"), Amount(part.conductor_temperature_c, "degC"),
        Amount(part.drop_at_temperature_v, "V"),
    )


def _neighbour(neighbour: Neighbour, system: SizeSystem) -> NeighbourAnswer:
    return NeighbourAnswer(size_name(neighbour.size, system), neighbour.sets, write_check(neighbour.failed) if neighbour.failed is not None else None)


def checks_printed(circuit: Circuit, library: Library) -> list[Citation]:
    """What a circuit's own checks and its device rest on."""
    found = [check.rule.clause for check in circuit.checks]
    if circuit.failed is not None:
        found.append(circuit.failed.rule.clause)
    if circuit.device is not None:
        families = library.tables["device_families"]
        found.append(families.citation_of_row[families.row(circuit.device.row)])
    return found
