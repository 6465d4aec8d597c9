"""One circuit: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.conductors import formulas as conductor_formulas
from ...electrical.conductors.chosen import Chosen, ChosenDevice
from ...electrical.conductors.model import End, Stretch
from ...electrical.conductors.single import SecondLeg, Single, SizedSingle, size_single
from ...electrical.faults import formulas as fault_formulas
from ...electrical.legs import formulas as leg_formulas
from ...electrical.protection import formulas as protection_formulas
from ...electrical.protection import opening_formulas
from ...electrical.protection.opening import Transient
from ...electrical.sources import formulas as source_formulas
from ...reference.case import Case
from ...working import Citation, cited
from ..base import Answer, envelope
from ..door import Door
from ..problems import Fault, Problem
from ..quantities import AcVoltage, AirTemperature, Capacity, Current, DcVoltage, FaultCurrent, Power, Resistance, RunLength, ShortDuration
from .circuit_answer import SizedCircuit, write_circuit
from .circuit_beside import ChosenField, NeutralField, PeopleField, StartField, printed, write_beside

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
PlaceName = Literal["enclosed", "free-air"]
Thread = Literal[
    "#4", "#6", "#8", "#10", "1/4", "5/16", "3/8", "1/2", "5/8", "M3", "M3.5", "M4", "M5", "M6", "M8", "M10", "M12", "M16", "M20",
]
FamilyName = Literal[
    "class-t", "moulded-case-dc", "terminal-fuse", "strip-30", "strip-51", "strip-51-70v", "bolt-down-limiter", "panel-breaker-dc-large", "blade",
    "large-blade", "panel-breaker-dc", "din-breaker-dc", "photovoltaic-fuse", "breaker-ac", "breaker-ac-metric",
]
Chemistry = Literal["flooded", "golf-cart", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion"]


class DirectSystem(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="direct"):
    """A direct-current circuit."""

    circuit_class: Annotated[DirectClass, Meta(description="What the circuit connects; it decides which rules apply")]
    nominal: Annotated[DcVoltage, Meta(description="Nominal voltage")]
    lowest: Annotated[DcVoltage | None, Meta(description="Lowest voltage at which the load still runs at full power, for an inverter its cut-off as programmed; the nominal voltage when silent")] = None
    highest: Annotated[DcVoltage | None, Meta(description="Highest voltage, charging included; 1.25 times nominal when silent")] = None


class SecondLegShape(Struct, frozen=True, forbid_unknown_fields=True):
    """The other leg of a circuit of two legs that share a neutral."""

    arrangement: Annotated[Literal["split-phase", "one-hot", "wye"], Meta(description="Split phase: 180 degrees apart. One hot: one hot, or two in phase, on both legs, as behind an adapter. Wye: two legs of a three-phase site")]
    current: Annotated[Current, Meta(description="Current of the other leg; the load of the request is the first one")]
    joint_breaker: Annotated[Current | None, Meta(description="The one breaker ahead of both legs, as in the post of a site behind an adapter")] = None


class AlternatingSystem(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="alternating"):
    """An alternating-current circuit."""

    circuit_class: Annotated[AlternatingClass, Meta(description="What the circuit connects; it decides which rules apply")]
    nominal: Annotated[AcVoltage, Meta(description="Nominal voltage, of a leg to neutral where there is a neutral")]
    second_leg: Annotated[SecondLegShape | None, Meta(description="The other leg, where two share the neutral")] = None
    serves: Annotated[Literal["receptacles", "fixed", "lighting"] | None, Meta(description="What the circuit serves; it decides which protection of people is asked for")] = None
    where: Annotated[Literal["bath", "galley", "sink", "outside", "machinery-space", "laundry", "basement", "elsewhere"] | None, Meta(description="Where it serves. Bath: with lavatory, toilet, shower or tub. Sink: within 1.8 m of one")] = None
    only_circuit: Annotated[bool, Meta(description="Whether a vehicle has no other circuit of alternating current")] = False


class ByCurrent(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="current"):
    """The design current is known."""

    current: Annotated[Current, Meta(description="Average current at the lowest voltage")]


class ByPower(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="power"):
    """The power is known; the current follows at the lowest voltage."""

    power: Annotated[Power, Meta(description="Power at the output of the device fed by this circuit")]
    efficiency: Annotated[float, Meta(ge=0.3, le=1, description="Output over input of that device, for alternating current times power factor")] = 1.0


class MotorStart(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="motor-start"):
    """The start of a motor."""

    current: Annotated[Current, Meta(description="Current of the start")]
    duration: Annotated[ShortDuration, Meta(description="How long it lasts")]


class Inrush(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="inrush"):
    """Capacitors or a transformer that are switched on."""

    current: Annotated[Current, Meta(description="Current of the inrush")]
    duration: Annotated[ShortDuration, Meta(description="How long it lasts")]


class MakersFigure(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="maker"):
    """The prospective short-circuit current is known from the maker."""

    current: Annotated[FaultCurrent, Meta(description="Prospective short-circuit current where the device sits")]


class FromBank(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="bank"):
    """Nothing is known but the bank; an upper bound is used."""

    chemistry: Annotated[Chemistry, Meta(description="Chemistry of the bank")]
    unit_capacity: Annotated[Capacity, Meta(description="Rated capacity of one string")]
    strings: Annotated[int, Meta(ge=1, le=60, description="Strings in parallel")] = 1


class StudEnd(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="stud"):
    """A threaded stud or bolt: the conductor needs a lug that is made for it."""

    thread: Annotated[Thread, Meta(description="Thread of the stud or bolt")]
    largest: Annotated[SizeName | None, Meta(description="Largest conductor that fits, when the equipment says one")] = None
    lugs_most: Annotated[int, Meta(ge=1, le=6, description="Lugs that the stud takes for this circuit")] = 4
    rating: Annotated[TerminalRating | None, Meta(description="Temperature rating of the terminal")] = None


class ClampEnd(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="clamp"):
    """A clamp or pressure terminal: the conductor enters it without a lug."""

    largest: Annotated[SizeName, Meta(description="Largest conductor that it takes")]
    smallest: Annotated[SizeName | None, Meta(description="Smallest conductor that it takes")] = None
    conductors_most: Annotated[int, Meta(ge=1, le=6, description="Conductors that it takes together; one unless it is marked for more")] = 1
    rating: Annotated[TerminalRating | None, Meta(description="Temperature rating of the terminal")] = None


class FurtherStretch(Struct, frozen=True, forbid_unknown_fields=True):
    """One more stretch of the same run, in surroundings of its own."""

    length: Annotated[RunLength, Meta(description="One-way length of the stretch")]
    place: Annotated[PlaceName, Meta(description="Enclosed or free air, as for the run")] = "enclosed"
    engine_space: Annotated[bool, Meta(description="Whether it passes an engine space")] = False
    ambient: Annotated[AirTemperature | None, Meta(description="Hottest air along the stretch")] = None
    loaded_conductors: Annotated[Annotated[int, Meta(ge=1, le=60)] | None, Meta(description="Loaded conductors that lie together there, both poles counted")] = None


class ByConductor(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="conductor"):
    """A conductor like the one out."""


class ByChassis(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="chassis"):
    """The metal frame of a vehicle."""

    resistance: Annotated[Resistance | None, Meta(description="Of the chassis with its joints; when silent it counts like the conductor out")] = None


class ByHull(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="hull"):
    """The metal hull of a boat, or its bonding system."""


class DeviceLabel(Struct, frozen=True, forbid_unknown_fields=True):
    """A device as its label describes it; what nobody read stays silent and is not proven."""

    rating: Annotated[Current, Meta(description="Rating")]
    family: Annotated[FamilyName | None, Meta(description="Family; its usual figures stand in for a silent label")] = None
    voltage: Annotated[DcVoltage | None, Meta(description="Voltage on the label, of the kind of current of this circuit")] = None
    interrupting: Annotated[FaultCurrent | None, Meta(description="Interrupting rating at that voltage")] = None
    polarity_marked: Annotated[bool | None, Meta(description="Whether it is marked for polarity")] = None
    poles: Annotated[Annotated[int, Meta(ge=1, le=4)] | None, Meta(description="Poles that open together; asked where the practice opens the neutral too")] = None


class ChosenConductor(Struct, frozen=True, forbid_unknown_fields=True):
    """A conductor and its device to be judged. Whatever is silent is taken from the sizing."""

    size: Annotated[SizeName | None, Meta(description="Size, in the sizes of the practice")] = None
    sets: Annotated[int, Meta(ge=1, le=6, description="Conductors in parallel per pole")] = 1
    device: Annotated[DeviceLabel | None, Meta(description="The device")] = None


class CircuitRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A circuit to size: the smallest conductor that passes every check, and its overcurrent device."""

    practice: Annotated[PracticeName, Meta(description="Whose rules apply; it also decides whether sizes are AWG and kcmil or mm2")]
    system: Annotated[DirectSystem | AlternatingSystem, Meta(description="Kind of current, class and voltages")]
    load: Annotated[ByCurrent | ByPower, Meta(description="What the circuit carries")]
    run: Annotated[RunLength, Meta(description="One-way length of the run, or of its first stretch where further ones follow")]
    continuous: Annotated[bool, Meta(description="Whether the current can last three hours or more")] = True
    kind: Annotated[DwellingKind | None, Meta(description="Kind of dwelling; a practice that is not written for it is refused")] = None
    critical: Annotated[bool, Meta(description="Whether the load minds the voltage; it decides which drop is allowed when no drop_limit is given")] = True
    ripple_power_factor: Annotated[Annotated[float, Meta(ge=0.5, le=1)] | None, Meta(description="Power factor of the loads of the single-phase inverter on this circuit; null when the current is smooth")] = None
    further: Annotated[list[FurtherStretch], Meta(max_length=20, description="Further stretches of the run, each in surroundings of its own; place, ambient and the like of the request describe the first one")] = []
    place: Annotated[PlaceName, Meta(description="Enclosed: in raceway, bundle or locker. Free air: single spaced conductors along the whole run")] = "enclosed"
    engine_space: Annotated[bool, Meta(description="Whether the run passes an engine space, which counts as at least 50 °C")] = False
    sheathed_at_source: Annotated[bool, Meta(description="Whether the conductor is sheathed or enclosed all the way from the source to its device; some rules then permit a larger distance")] = False
    ambient: Annotated[AirTemperature | None, Meta(description="Hottest air along the run")] = None
    loaded_conductors: Annotated[Annotated[int, Meta(ge=1, le=60)] | None, Meta(description="Loaded conductors that lie together, both poles counted")] = None
    insulation: Annotated[InsulationRating | None, Meta(description="Temperature rating of the insulation")] = None
    terminals: Annotated[TerminalRating | None, Meta(description="Temperature rating of the terminals of an end that does not say its own; when silent the rules say: in the United States 60C up to 100 A and 75C above, elsewhere 70C")] = None
    largest_conductor: Annotated[SizeName | None, Meta(description="Largest conductor that the terminals of an end take that does not say its own, in the sizes of the practice: AWG and kcmil, or mm2; 4/0 or 120 mm2 when silent")] = None
    from_end: Annotated[StudEnd | ClampEnd | None, Meta(description="The terminal at the source")] = None
    to_end: Annotated[StudEnd | ClampEnd | None, Meta(description="The terminal at the load")] = None
    return_path: Annotated[ByConductor | ByChassis | ByHull, Meta(description="What carries the current back; the rules of the class refuse or limit all but a conductor")] = ByConductor()
    chosen: Annotated[ChosenConductor | None, Meta(description="What was chosen beforehand or is there already, to be judged beside what is sized")] = None
    drop_limit: Annotated[Annotated[float, Meta(ge=0.002, le=0.2)] | None, Meta(description="Allowed voltage drop over nominal voltage")] = None
    parallel_sets: Annotated[int, Meta(ge=1, le=6, description="Most conductors in parallel per pole")] = 4
    device: Annotated[bool, Meta(description="Whether an overcurrent device belongs to this circuit")] = True
    device_family: Annotated[FamilyName | None, Meta(description="Family that the device has to be of; when silent the rules and the fault choose")] = None
    device_limit: Annotated[Current | None, Meta(description="Largest device that the equipment allows, for example a module's series fuse")] = None
    start: Annotated[MotorStart | Inrush | None, Meta(description="A start or an inrush that the device has to let pass")] = None
    fault: Annotated[MakersFigure | FromBank | None, Meta(description="What is known of the short-circuit current")] = None
    both_ways: Annotated[bool, Meta(description="Whether current flows both ways, as to an inverter-charger")] = False
    source_at_load: Annotated[bool | None, Meta(description="Whether the far end is a source that can give more than the conductors carry, so that it needs a device too; when silent the strings of a bank are, and chargers, which limit themselves, are not")] = None


class CircuitAnswer(Answer):
    """A circuit sized under one practice."""

    circuit: Annotated[SizedCircuit, Meta(description="The circuit")]
    chosen: ChosenField
    neutral: NeutralField
    start: StartField
    people_protection: PeopleField


CAUTIONS = (
    "This is a calculation aid under the named rules, not a permit or an inspection; the local code and the authority decide, and licensed practice applies.",
    "Read the label of the device before you buy it: its direct-current voltage and interrupting rating must reach the figures given here.",
    "Voltage drop leaves out joints, fuses and switches.",
)


def read(request: CircuitRequest, door: Door, base: str = "") -> Single:
    """The request, which stands at `base`, in service units. Raises Problem when its voltages contradict each other."""
    system, load, fault = request.system, request.load, request.fault
    direct = isinstance(system, DirectSystem)
    nominal = door.quantity(system.nominal, "nominal_voltage_v", f"{base}/system", "nominal")
    lowest = highest = None
    if direct:
        lowest = door.quantity(system.lowest, "lowest_voltage_v", f"{base}/system", "lowest")
        highest = door.quantity(system.highest, "highest_voltage_v", f"{base}/system", "highest")
        faults = []
        if lowest is not None and lowest > nominal:
            faults.append(Fault("contradiction", f"the lowest voltage {lowest:g} V is above the nominal {nominal:g} V", f"{base}/system/lowest"))
        if highest is not None and highest < nominal:
            faults.append(Fault("contradiction", f"the highest voltage {highest:g} V is below the nominal {nominal:g} V", f"{base}/system/highest"))
        if faults:
            raise Problem("cannot-be-calculated", faults=faults)
    back = request.return_path
    powered, maker, bank = isinstance(load, ByPower), isinstance(fault, MakersFigure), isinstance(fault, FromBank)
    return Single(
        practice=request.practice, kind=request.kind, circuit_class=system.circuit_class, direct=direct, nominal_voltage_v=nominal,
        lowest_voltage_v=nominal if lowest is None else lowest, highest_voltage_v=highest,
        current_a=None if powered else door.quantity(load.current, "current_a", f"{base}/load", "current"),
        power_w=door.quantity(load.power, "power_w", f"{base}/load", "power") if powered else None,
        efficiency=door.number(load.efficiency, "efficiency", f"{base}/load", "efficiency") if powered else None,
        run_m=door.quantity(request.run, "run_m", base, "run"), continuous=request.continuous, critical=request.critical, place=request.place,
        engine_space=request.engine_space, sheathed=request.sheathed_at_source,
        ambient_c=door.quantity(request.ambient, "ambient_c", base, "ambient"),
        loaded_conductors=door.number(request.loaded_conductors, "loaded_conductors", base, "loaded_conductors"),
        further=tuple(_stretch(stretch, f"{base}/further/{place}", door) for place, stretch in enumerate(request.further)),
        ends=(_end(request.from_end, "/from_end", door, base), _end(request.to_end, "/to_end", door, base)) if request.from_end or request.to_end else (),
        return_path=_RETURNS[type(back)], chosen=_chosen(request.chosen, door, f"{base}/chosen/device") if request.chosen is not None else None,
        return_resistance_ohm=door.quantity(back.resistance, "return_resistance_ohm", f"{base}/return_path", "resistance") if isinstance(back, ByChassis) else None,
        insulation_temperature_c=_rating(request.insulation, "insulation_temperature_c", "insulation", door, base),
        terminal_temperature_c=_rating(request.terminals, "terminal_temperature_c", "terminals", door, base),
        largest_conductor=request.largest_conductor, max_sets=request.parallel_sets, device=request.device, device_family=request.device_family,
        drop_limit=door.number(request.drop_limit, "drop_limit", base, "drop_limit"),
        ripple_power_factor=door.number(request.ripple_power_factor, "power_factor", base, "ripple_power_factor"),
        device_limit_a=door.quantity(request.device_limit, "device_limit_a", base, "device_limit"), both_ways=request.both_ways, source_at_load=request.source_at_load,
        makers_fault_a=door.quantity(fault.current, "fault_current_a", f"{base}/fault", "current") if maker else None,
        chemistry=fault.chemistry if bank else None,
        unit_capacity_ah=door.quantity(fault.unit_capacity, "unit_capacity_ah", f"{base}/fault", "unit_capacity") if bank else None,
        second_leg=_second(system.second_leg, door, f"{base}/system/second_leg") if not direct and system.second_leg is not None else None,
        start=_start(request.start, door, f"{base}/start") if request.start is not None else None,
        serves=None if direct else system.serves, where=None if direct else system.where, only_circuit=not direct and system.only_circuit,
        strings=door.number(fault.strings, "strings", f"{base}/fault", "strings") if bank else None,
    )


_RETURNS = {ByConductor: "conductor", ByChassis: "chassis", ByHull: "hull"}
_UNTOLD = 6
"""An end of which nothing is said limits nothing."""


def _rating(name: str | None, term: str, field: str, door: Door, base: str) -> float | None:
    return door.number(float(name[:-1]), term, base, field) if name is not None else None


def _stretch(stretch: FurtherStretch, pointer: str, door: Door) -> Stretch:
    return Stretch(
        door.quantity(stretch.length, "run_m", pointer, "length"), stretch.place, stretch.engine_space,
        door.quantity(stretch.ambient, "ambient_c", pointer, "ambient"),
        door.number(stretch.loaded_conductors, "loaded_conductors", pointer, "loaded_conductors"),
    )


def _end(end: StudEnd | ClampEnd | None, pointer: str, door: Door, base: str) -> End:
    if end is None:
        return End(conductors_most=_UNTOLD)
    rating = _rating(end.rating, "terminal_temperature_c", "rating", door, base + pointer)
    if isinstance(end, StudEnd):
        return End(end.thread, end.largest, None, end.lugs_most, rating, pointer)
    return End(None, end.largest, end.smallest, end.conductors_most, rating, pointer)


def _second(leg: SecondLegShape, door: Door, place: str) -> SecondLeg:
    return SecondLeg(leg.arrangement, door.quantity(leg.current, "leg_2_a", place, "current"), door.quantity(leg.joint_breaker, "joint_breaker_a", place, "joint_breaker"))


def _start(start: MotorStart | Inrush, door: Door, place: str) -> Transient:
    kind = "motor-start" if isinstance(start, MotorStart) else "inrush"
    return Transient(kind, door.quantity(start.current, "transient_current_a", place, "current"), door.quantity(start.duration, "transient_s", place, "duration"))


def _chosen(chosen: ChosenConductor, door: Door, place: str) -> Chosen:
    label = chosen.device
    if label is None:
        return Chosen(chosen.size, chosen.sets)
    return Chosen(chosen.size, chosen.sets, ChosenDevice(
        door.quantity(label.rating, "device_rating_a", place, "rating"), label.family, door.quantity(label.voltage, "device_voltage_v", place, "voltage"),
        door.quantity(label.interrupting, "interrupting_rating_a", place, "interrupting"), label.polarity_marked, label.poles,
    ))


def work(request: Single, case: Case) -> SizedSingle:
    """Size the circuit. Raises Problem for a kind of dwelling or a size that the practice does not know."""
    practice = case.library.practices[request.practice]
    faults = []
    if request.kind is not None and not practice.fits(request.kind):
        faults.append(Fault("contradiction", f"{practice.title}: the practice is written for {', '.join(practice.kinds)}", "/kind"))
    sizes = practice.source(request.circuit_class).sizes
    named = [("/largest_conductor", request.largest_conductor)]
    if request.chosen is not None:
        named.append(("/chosen/size", request.chosen.size))
    for end in request.ends:
        named += [(f"{end.pointer}/largest", end.largest_conductor), (f"{end.pointer}/smallest", end.smallest_conductor)]
    for pointer, size in named:
        if size is not None and size not in sizes.index:
            known = list(sizes.columns[sizes.key])
            faults.append(Fault("contradiction", f"{sizes.title}: {', '.join(known)}", pointer, allowed=known))
    for end in request.ends:
        largest, smallest = end.largest_conductor, end.smallest_conductor
        if largest in sizes.index and smallest in sizes.index and sizes.row(smallest) > sizes.row(largest):
            faults.append(Fault("contradiction", f"the smallest conductor {smallest} is larger than the largest, {largest}", f"{end.pointer}/smallest"))
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)
    return size_single(request, case)


_EVERY_CIRCUIT = cited(conductor_formulas, protection_formulas)
_FAULTS, _STARTS, _LEGS = cited(fault_formulas), cited(opening_formulas), cited(leg_formulas, source_formulas)


def sources(worked: SizedSingle, case: Case) -> dict[Citation, None]:
    """Everything that one circuit rests on, each once."""
    found = worked.source.printed | dict.fromkeys(printed(worked, case)) | _EVERY_CIRCUIT
    if worked.fault_reckoned:
        found |= _FAULTS
    if worked.passing is not None or worked.in_heat:
        found |= _STARTS
    return found | _LEGS if worked.legs is not None else found


def write(worked: SizedSingle, case: Case) -> CircuitAnswer:
    """The answer."""
    circuit, source = worked.circuit, worked.source
    return CircuitAnswer(
        circuit=write_circuit(circuit, source, worked.both_ends, case, worked.sheathed, worked.ends),
        **write_beside(worked),
        **envelope(case, sources(worked, case), CAUTIONS),
    )
