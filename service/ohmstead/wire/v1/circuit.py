"""One circuit: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.conductors import formulas as conductor_formulas
from ...electrical.conductors.model import Circuit
from ...electrical.conductors.single import Single, SizedSingle, size_single
from ...electrical.faults import formulas as fault_formulas
from ...electrical.protection import formulas as protection_formulas
from ...electrical.protection.model import Device
from ...reference.case import Case, Library
from ...reference.practices import RuleSource, SizeSystem
from ...working import Citation, cited
from ..base import Amount, Answer, envelope
from ..door import Door
from ..problems import Fault, Problem
from ..quantities import AcVoltage, AirTemperature, Capacity, Current, DcVoltage, FaultCurrent, Power, RunLength
from .checked import CheckAnswer, ChoiceAnswer, write_check, write_choice

PracticeName = Literal["us-vehicle", "us-craft", "us-dwelling", "intl-craft", "intl-vehicle", "intl-dwelling"]
DwellingKind = Literal["trailer", "motor-home", "van", "truck-camper", "food-truck", "boat", "cabin"]
DirectClass = Literal[
    "bank-unit", "bank-main", "inverter-dc", "controller-input", "controller-output", "dc-dc-input", "dc-dc-output",
    "charger-output", "dc-feeder", "dc-branch", "always-live",
]
AlternatingClass = Literal["shore-inlet", "generator-feeder", "inverter-ac", "ac-feeder", "ac-branch"]
InsulationRating = Literal["60C", "70C", "75C", "80C", "90C", "105C", "125C"]
TerminalRating = Literal["60C", "70C", "75C", "90C"]
SizeName = Literal[
    "18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0", "250", "300", "350", "400", "500",
    "0.75", "1.5", "2.5", "25", "35", "50", "70", "95", "120", "150", "185", "240",
]
"""Sizes of both systems; the practice says which one is meant: 10 is 10 AWG in the United States and 10 mm2 elsewhere."""
Chemistry = Literal["flooded", "golf-cart", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion"]


class DirectSystem(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="direct"):
    """A direct-current circuit."""

    circuit_class: Annotated[DirectClass, Meta(description="What the circuit connects; it decides which rules apply")]
    nominal: Annotated[DcVoltage, Meta(description="Nominal voltage")]
    lowest: Annotated[DcVoltage | None, Meta(description="Lowest voltage at which the load still runs at full power, for an inverter its cut-off as programmed; the nominal voltage when silent")] = None
    highest: Annotated[DcVoltage | None, Meta(description="Highest voltage, charging included; 1.25 times nominal when silent")] = None


class AlternatingSystem(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="alternating"):
    """An alternating-current circuit."""

    circuit_class: Annotated[AlternatingClass, Meta(description="What the circuit connects; it decides which rules apply")]
    nominal: Annotated[AcVoltage, Meta(description="Nominal voltage")]


class ByCurrent(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="current"):
    """The design current is known."""

    current: Annotated[Current, Meta(description="Average current at the lowest voltage")]


class ByPower(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="power"):
    """The power is known; the current follows at the lowest voltage."""

    power: Annotated[Power, Meta(description="Power at the output of the device fed by this circuit")]
    efficiency: Annotated[float, Meta(ge=0.3, le=1, description="Output over input of that device, for alternating current times power factor")] = 1.0


class MakersFigure(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="maker"):
    """The prospective short-circuit current is known from the maker."""

    current: Annotated[FaultCurrent, Meta(description="Prospective short-circuit current where the device sits")]


class FromBank(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="bank"):
    """Nothing is known but the bank; an upper bound is used."""

    chemistry: Annotated[Chemistry, Meta(description="Chemistry of the bank")]
    unit_capacity: Annotated[Capacity, Meta(description="Rated capacity of one string")]
    strings: Annotated[int, Meta(ge=1, le=60, description="Strings in parallel")] = 1


class CircuitRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A circuit to size: the smallest conductor that passes every check, and its overcurrent device."""

    practice: Annotated[PracticeName, Meta(description="Whose rules apply; it also decides whether sizes are AWG and kcmil or mm2")]
    system: Annotated[DirectSystem | AlternatingSystem, Meta(description="Kind of current, class and voltages")]
    load: Annotated[ByCurrent | ByPower, Meta(description="What the circuit carries")]
    run: Annotated[RunLength, Meta(description="One-way length of the run")]
    continuous: Annotated[bool, Meta(description="Whether the current can last three hours or more")] = True
    kind: Annotated[DwellingKind | None, Meta(description="Kind of dwelling; a practice that is not written for it is refused")] = None
    critical: Annotated[bool, Meta(description="Whether the load minds the voltage; it decides which drop is allowed when no drop_limit is given")] = True
    ripple_power_factor: Annotated[Annotated[float, Meta(ge=0.5, le=1)] | None, Meta(description="Power factor of the loads of the single-phase inverter on this circuit; null when the current is smooth")] = None
    place: Annotated[Literal["enclosed", "free-air"], Meta(description="Enclosed: in raceway, bundle or locker. Free air: single spaced conductors along the whole run")] = "enclosed"
    engine_space: Annotated[bool, Meta(description="Whether the run passes an engine space, which counts as at least 50 °C")] = False
    sheathed_at_source: Annotated[bool, Meta(description="Whether the conductor is sheathed or enclosed all the way from the source to its device; some rules then permit a larger distance")] = False
    ambient: Annotated[AirTemperature | None, Meta(description="Hottest air along the run")] = None
    loaded_conductors: Annotated[Annotated[int, Meta(ge=1, le=60)] | None, Meta(description="Loaded conductors that lie together, both poles counted")] = None
    insulation: Annotated[InsulationRating | None, Meta(description="Temperature rating of the insulation")] = None
    terminals: Annotated[TerminalRating | None, Meta(description="Lower temperature rating of the two ends; when silent the rules say: in the United States 60C up to 100 A and 75C above, elsewhere 70C")] = None
    largest_conductor: Annotated[SizeName | None, Meta(description="Largest conductor that the terminals take, in the sizes of the practice: AWG and kcmil, or mm2; 4/0 or 120 mm2 when silent")] = None
    drop_limit: Annotated[Annotated[float, Meta(ge=0.002, le=0.2)] | None, Meta(description="Allowed voltage drop over nominal voltage")] = None
    parallel_sets: Annotated[int, Meta(ge=1, le=6, description="Most conductors in parallel per pole")] = 4
    device: Annotated[bool, Meta(description="Whether an overcurrent device belongs to this circuit")] = True
    device_limit: Annotated[Current | None, Meta(description="Largest device that the equipment allows, for example a module's series fuse")] = None
    fault: Annotated[MakersFigure | FromBank | None, Meta(description="What is known of the short-circuit current")] = None
    both_ways: Annotated[bool, Meta(description="Whether current flows both ways, as to an inverter-charger")] = False


class ConductorSize(Struct, frozen=True):
    """A conductor size in the system that the practice uses."""

    system: Annotated[str, Meta(description="awg up to 4/0, kcmil above; mm2 outside the United States")]
    name: Annotated[str, Meta(description="Name of the size")]


class ConventionalDrop(Struct, frozen=True):
    """Voltage drop as the trade reckons it, beside the physical one."""

    drop: Annotated[Amount, Meta(description="Voltage drop by the constant, out and back")]
    constant: Annotated[Amount, Meta(description="The constant; it stands for one conductor temperature, which is cooler than a loaded cable outside NEC practice")]


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
    conventional_drop: Annotated[ConventionalDrop, Meta(description="Voltage drop by the constant that the practice's trade uses; no check rests on it")]
    load_voltage: Annotated[Amount, Meta(description="Voltage at the load when the source is at its lowest")]
    lug_studs: Annotated[str, Meta(description="Studs for which lugs of this size are usual")]


class DeviceAnswer(Struct, frozen=True):
    """The overcurrent device."""

    family: Annotated[str, Meta(description="Family by its trade or standard name")]
    title: Annotated[str, Meta(description="The family in words")]
    kind: Annotated[Literal["fuse", "breaker"], Meta(description="Fuse or breaker")]
    rating: Annotated[Amount, Meta(description="Rating, from the series in which the family is made")]
    voltage: Annotated[Amount, Meta(description="Voltage at which the interrupting rating holds")]
    interrupting: Annotated[Amount, Meta(description="Interrupting rating at that voltage")]
    interrupting_verdict: Annotated[Literal["sufficient", "not-proven", "short", "not-asked"], Meta(description="Against the prospective short-circuit current; without a maker's figure it is never sufficient")]
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


class CircuitAnswer(Answer):
    """A circuit sized under one practice."""

    circuit: Annotated[SizedCircuit, Meta(description="The circuit")]


CAUTIONS = (
    "This is a calculation aid under the named rules, not a permit or an inspection; the local code and the authority decide, and licensed practice applies.",
    "Read the label of the device before you buy it: its direct-current voltage and interrupting rating must reach the figures given here.",
    "Voltage drop leaves out joints, fuses and switches.",
)


def read(request: CircuitRequest, door: Door) -> Single:
    """The request in service units. Raises Problem when its voltages contradict each other."""
    system, load, fault = request.system, request.load, request.fault
    direct = isinstance(system, DirectSystem)
    nominal = door.quantity(system.nominal, "nominal_voltage_v", "/system", "nominal")
    lowest = highest = None
    if direct:
        lowest = door.quantity(system.lowest, "lowest_voltage_v", "/system", "lowest")
        highest = door.quantity(system.highest, "highest_voltage_v", "/system", "highest")
        faults = []
        if lowest is not None and lowest > nominal:
            faults.append(Fault("contradiction", f"the lowest voltage {lowest:g} V is above the nominal {nominal:g} V", "/system/lowest"))
        if highest is not None and highest < nominal:
            faults.append(Fault("contradiction", f"the highest voltage {highest:g} V is below the nominal {nominal:g} V", "/system/highest"))
        if faults:
            raise Problem("cannot-be-calculated", faults=faults)
    powered, maker, bank = isinstance(load, ByPower), isinstance(fault, MakersFigure), isinstance(fault, FromBank)
    return Single(
        practice=request.practice, kind=request.kind, circuit_class=system.circuit_class, direct=direct, nominal_voltage_v=nominal,
        lowest_voltage_v=nominal if lowest is None else lowest, highest_voltage_v=highest,
        current_a=None if powered else door.quantity(load.current, "current_a", "/load", "current"),
        power_w=door.quantity(load.power, "power_w", "/load", "power") if powered else None,
        efficiency=door.number(load.efficiency, "efficiency", "/load", "efficiency") if powered else None,
        run_m=door.quantity(request.run, "run_m", "", "run"), continuous=request.continuous, critical=request.critical, place=request.place,
        engine_space=request.engine_space, sheathed=request.sheathed_at_source,
        ambient_c=door.quantity(request.ambient, "ambient_c", "", "ambient"),
        loaded_conductors=door.number(request.loaded_conductors, "loaded_conductors", "", "loaded_conductors"),
        insulation_temperature_c=_rating(request.insulation, "insulation_temperature_c", "insulation", door),
        terminal_temperature_c=_rating(request.terminals, "terminal_temperature_c", "terminals", door),
        largest_conductor=request.largest_conductor, max_sets=request.parallel_sets, device=request.device,
        drop_limit=door.number(request.drop_limit, "drop_limit", "", "drop_limit"),
        ripple_power_factor=door.number(request.ripple_power_factor, "power_factor", "", "ripple_power_factor"),
        device_limit_a=door.quantity(request.device_limit, "device_limit_a", "", "device_limit"), both_ways=request.both_ways,
        makers_fault_a=door.quantity(fault.current, "fault_current_a", "/fault", "current") if maker else None,
        chemistry=fault.chemistry if bank else None,
        unit_capacity_ah=door.quantity(fault.unit_capacity, "unit_capacity_ah", "/fault", "unit_capacity") if bank else None,
        strings=door.number(fault.strings, "strings", "/fault", "strings") if bank else None,
    )


def _rating(name: str | None, term: str, field: str, door: Door) -> float | None:
    return door.number(float(name[:-1]), term, "", field) if name is not None else None


def work(request: Single, case: Case) -> SizedSingle:
    """Size the circuit. Raises Problem for a kind of dwelling or a size that the practice does not know."""
    practice = case.library.practices[request.practice]
    faults = []
    if request.kind is not None and not practice.fits(request.kind):
        faults.append(Fault("contradiction", f"{practice.title}: the practice is written for {', '.join(practice.kinds)}", "/kind"))
    sizes = practice.source(request.circuit_class).sizes
    if request.largest_conductor is not None and request.largest_conductor not in sizes.index:
        known = list(sizes.columns[sizes.key])
        faults.append(Fault("contradiction", f"{sizes.title}: {', '.join(known)}", "/largest_conductor", allowed=known))
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)
    return size_single(request, case)


def size_name(name: str, system: SizeSystem = "awg") -> ConductorSize:
    """A size with its system; awg holds the kcmil sizes too."""
    if system == "awg" and name.isdigit() and int(name) >= 250:
        return ConductorSize("kcmil", name)
    return ConductorSize(system, name)


def write_device(device: Device, source: RuleSource, both_ways: bool, sheathed: bool = False) -> DeviceAnswer:
    """A device as it stands in an answer."""
    distance = source.source_distance_sheathed_m if sheathed else source.source_distance_m
    within = Amount(distance, "m") if distance is not None else None
    return DeviceAnswer(
        device.family, device.title, device.kind, Amount(device.rating_a, "A"), Amount(device.voltage_v, "V"),
        Amount(device.interrupting_a, "A"), device.interrupting, ["from", "to"] if both_ways else ["from"], within,
    )


_CONSTANT_UNITS = {"circular-mils": "ohm.cmil/ft", "square-millimetres": "ohm.mm2/m"}


def write_circuit(circuit: Circuit, source: RuleSource, both_ways: bool, case: Case, sheathed: bool = False) -> SizedCircuit:
    """A sized circuit as it stands in an answer."""
    row, system = circuit.conductor, source.size_system
    conductor = None
    if row is not None:
        lugs = source.lugs
        conductor = ConductorAnswer(
            size=size_name(row.size, system), sets=row.sets, area=Amount(row.area_mm2, "mm2"), ampacity=Amount(row.ampacity_a, "A"),
            terminal_value=Amount(row.ampacity_terminal_a, "A"), insulation_value=Amount(row.ampacity_insulation_a, "A"),
            drop=Amount(row.drop_v, "V"), drop_fraction=row.drop_fraction, temperature=Amount(row.conductor_temperature_c, "degC"),
            drop_at_temperature=Amount(row.drop_at_temperature_v, "V"), load_voltage=Amount(circuit.load_voltage_v, "V"),
            conventional_drop=ConventionalDrop(
                Amount(circuit.conventional_drop_v, "V"), Amount(circuit.drop_constant, _CONSTANT_UNITS[source.drop_rule])),
            lug_studs=lugs.columns["usual_studs"][lugs.index[row.size]] if lugs is not None and row.size in lugs.index else "",
        )
    return SizedCircuit(
        outcome=circuit.outcome, why=circuit.why, rules=source.document, by_analogy=source.by_analogy, size_table=source.sizes.title,
        design_current=Amount(circuit.design_current_a, "A"), thermal_current=Amount(circuit.thermal_current_a, "A"), conductor=conductor,
        device=write_device(circuit.device, source, both_ways, sheathed) if circuit.device else None,
        grounding_conductor=size_name(circuit.grounding_size, system) if circuit.grounding_size else None,
        terminal_temperature=Amount(circuit.terminal_temperature_c, "degC"),
        insulation_temperature=Amount(circuit.insulation_temperature_c, "degC"), ambient_factor=circuit.ambient_factor,
        bundling_factor=circuit.bundling_factor, drop_limit=circuit.drop_limit,
        choice=write_choice(circuit.choice) if circuit.choice else None, checks=[write_check(check) for check in circuit.checks],
        smaller=_neighbour(circuit.smaller, system), larger=_neighbour(circuit.larger, system),
        failed=write_check(circuit.failed) if circuit.failed else None,
    )


def _neighbour(neighbour, system: SizeSystem) -> NeighbourAnswer | None:
    if neighbour is None:
        return None
    return NeighbourAnswer(size_name(neighbour.size, system), neighbour.sets, write_check(neighbour.failed) if neighbour.failed else None)


_SOURCES = cited(conductor_formulas, fault_formulas, protection_formulas)


def printed(circuit: Circuit, source: RuleSource, library: Library) -> list[Citation]:
    """Where the rules, tables, constants, devices and checks of a circuit are printed; its formulas' sources come on top."""
    return [*rules_printed(source), *checks_printed(circuit, library)]


def rules_printed(source: RuleSource) -> list[Citation]:
    """What all circuits under one rule source rest on."""
    return [*source.printed, source.sizes.citation, *source.constants_printed]


def checks_printed(circuit: Circuit, library: Library) -> list[Citation]:
    """What a circuit's own checks and its device rest on."""
    found = [check.rule.clause for check in circuit.checks]
    if circuit.failed is not None:
        found.append(circuit.failed.rule.clause)
    if circuit.device is not None:
        families = library.tables["device_families"]
        found.append(families.citation_of_row[families.row(circuit.device.row)])
    return found


def write(worked: SizedSingle, case: Case) -> CircuitAnswer:
    """The answer."""
    circuit, source = worked.circuit, worked.source
    return CircuitAnswer(
        circuit=write_circuit(circuit, source, worked.both_ways, case, worked.sheathed),
        **envelope(case, [*printed(circuit, source, case.library), *_SOURCES], CAUTIONS),
    )
