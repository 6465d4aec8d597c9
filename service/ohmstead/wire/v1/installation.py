"""The wiring graph as it stands in an answer."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from ...electrical.conductors.model import Circuit as Sized
from ...installation import model as graph
from ...installation.assembly import Drawn
from ...reference.case import Case
from ...reference.practices import SizeSystem
from ..base import Amount, known_amount
from .circuit_beside import RequirementAnswer, StartField, requirement_fields, write_start
from .circuit_answer import ConductorSize, SizedCircuit, size_name, write_circuit


class FasteningAnswer(Struct, frozen=True):
    """How a conductor is fastened to a terminal."""

    by: Annotated[str, Meta(description="stud, clamp, blade or plug")]
    size: Annotated[str | None, Meta(description="Thread of the stud; null when not known")]


class TerminalAnswer(Struct, frozen=True):
    """A place on a piece of equipment where conductors or leads end."""

    id: Annotated[str, Meta(description="Name within the equipment")]
    function: Annotated[str, Meta(description="What it carries")]
    use: Annotated[str, Meta(description="used or spare")]
    fastening: Annotated[FasteningAnswer | None, Meta(description="How conductors are fastened; null when not known")]


# An answer holds the graph's own paths, devices at ends and bonds in place of the three shapes that describe them here,
# and these are written alike. A test holds the fields equal.
class PathAnswer(Struct, frozen=True):
    """What the equipment joins inside."""

    between: Annotated[tuple[str, str], Meta(description="The two terminals")]
    closed_in: Annotated[list[str], Meta(description="Modes in which they are joined")]
    opens: Annotated[bool, Meta(description="Whether a hand or the device itself can part them")]


class RatingsAnswer(Struct, frozen=True, omit_defaults=True):
    """Ratings of the equipment; what is absent does not apply or is not known."""

    chemistry: Annotated[str | None, Meta(description="Battery chemistry")] = None
    family: Annotated[str | None, Meta(description="Family of an overcurrent device")] = None
    voltage: Annotated[Amount | None, Meta(description="Rated voltage")] = None
    highest_voltage: Annotated[Amount | None, Meta(description="Highest voltage that it has to stand")] = None
    current: Annotated[Amount | None, Meta(description="Rated current")] = None
    interrupting: Annotated[Amount | None, Meta(description="Interrupting rating")] = None
    interrupting_verdict: Annotated[str | None, Meta(description="Against the prospective short-circuit current")] = None
    short_circuit: Annotated[Amount | None, Meta(description="Prospective short-circuit current by the maker")] = None
    capacity: Annotated[Amount | None, Meta(description="Rated capacity")] = None
    power: Annotated[Amount | None, Meta(description="Rated power")] = None
    apparent_power: Annotated[Amount | None, Meta(description="Rated apparent power")] = None
    transfer: Annotated[Amount | None, Meta(description="Rating of the transfer relay")] = None
    charger_current: Annotated[Amount | None, Meta(description="Output of its charger")] = None
    mass: Annotated[Amount | None, Meta(description="Mass")] = None
    polarised: Annotated[bool | None, Meta(description="Whether it is marked for polarity")] = None
    poles: Annotated[int | None, Meta(description="Number of poles")] = None
    switches_neutral: Annotated[bool | None, Meta(description="Whether it switches the neutral")] = None
    lowest_charge_temperature: Annotated[Amount | None, Meta(description="Temperature below which it may not be charged")] = None
    to_confirm: Annotated[list[str], Meta(description="Ratings to confirm on the item that is bought")] = []


class EquipmentAnswer(Struct, frozen=True):
    """A piece of equipment."""

    id: Annotated[str, Meta(description="Name within the installation")]
    kind: Annotated[str, Meta(description="What it is")]
    title: Annotated[str, Meta(description="The same in words")]
    place: Annotated[str, Meta(description="Where it sits; for a device in a panel the panel's id")]
    origin: Annotated[str, Meta(description="new or existing")]
    verdict: Annotated[str | None, Meta(description="keep, refuse or remove; null for what is new")]
    generic: Annotated[bool, Meta(description="Whether nobody named it, so that its ratings are to be confirmed")]
    ratings: Annotated[RatingsAnswer, Meta(description="Its ratings")]
    terminals: Annotated[list[TerminalAnswer], Meta(description="Its terminals")]
    paths: Annotated[list[PathAnswer], Meta(description="What it joins inside")]


class SegmentAnswer(Struct, frozen=True):
    """A stretch of a conductor in one place."""

    length: Annotated[Amount, Meta(description="Length of the run, one way")]
    ambient: Annotated[Amount, Meta(description="Hottest air")]
    loaded_together: Annotated[int, Meta(description="Loaded conductors that lie together")]
    place: Annotated[str, Meta(description="enclosed or free air")]


class EndAnswer(Struct, frozen=True):
    """How one end of a conductor is made up."""

    at: Annotated[str, Meta(description="from or to")]
    lug: Annotated[str | None, Meta(description="Lug by conductor and stud, or ferrule; null when none is usual")]
    stud: Annotated[str | None, Meta(description="Stud; null at a clamp")]


class WireAnswer(Struct, frozen=True, rename={"start": "from", "end": "to"}):
    """A conductor, or equal conductors in parallel, from terminal to terminal."""

    id: Annotated[str, Meta(description="Name within the installation")]
    start: Annotated[str, Meta(description="equipment.terminal at which it starts")]
    end: Annotated[str, Meta(description="equipment.terminal at which it ends")]
    function: Annotated[str, Meta(description="What it carries")]
    origin: Annotated[str, Meta(description="new or existing")]
    size: Annotated[ConductorSize | None, Meta(description="Size of each; null when not known")]
    sets: Annotated[int, Meta(description="Conductors in parallel")]
    insulation_temperature: Annotated[Amount | None, Meta(description="Temperature rating of the insulation; null when not known")]
    segments: Annotated[list[SegmentAnswer], Meta(description="Stretches by place")]
    ends: Annotated[list[EndAnswer], Meta(description="How its ends are made up")]


class ProtectionAnswer(Struct, frozen=True):
    """A device and the end of the circuit that it guards."""

    equipment: Annotated[str, Meta(description="Id of the device")]
    guards: Annotated[str, Meta(description="from or to")]


class CircuitInGraph(Struct, frozen=True):
    """Conductors that carry one current, what protects them, and how they were sized."""

    id: Annotated[str, Meta(description="Name within the installation")]
    circuit_class: Annotated[str, Meta(description="What the circuit connects")]
    title: Annotated[str, Meta(description="From where to where, in words")]
    network: Annotated[str, Meta(description="Id of its network")]
    conductors: Annotated[list[str], Meta(description="Ids of its conductors")]
    protected_by: Annotated[list[ProtectionAnswer], Meta(description="Its overcurrent devices")]
    both_ways: Annotated[bool, Meta(description="Whether current flows both ways")]
    source_at: Annotated[list[str], Meta(description="Ends that are sources")]
    unprotected_why: Annotated[str | None, Meta(description="Why a source end has no device of its own; null when each has one")]
    sizing: Annotated[SizedCircuit, Meta(description="How it was sized")]
    start: StartField


class LeadAnswer(Struct, frozen=True, rename={"start": "from", "end": "to"}):
    """A lead that carries a permission, a measurement or a message."""

    id: Annotated[str, Meta(description="Name within the installation")]
    start: Annotated[str, Meta(description="equipment.terminal at which it starts")]
    end: Annotated[str, Meta(description="equipment.terminal at which it ends")]
    purpose: Annotated[str, Meta(description="What it is for")]
    acts_on: Annotated[list[str], Meta(description="Equipment that it can stop or start")]
    fuse: Annotated[Amount | None, Meta(description="Its fuse; null when it needs none")]


class NetworkAnswer(Struct, frozen=True):
    """Conductors at one voltage."""

    id: Annotated[str, Meta(description="Name within the installation")]
    kind: Annotated[str, Meta(description="dc or ac")]
    lowest: Annotated[Amount, Meta(description="Lowest voltage")]
    highest: Annotated[Amount, Meta(description="Highest voltage")]


class BondAnswer(Struct, frozen=True):
    """Where neutral and earth meet in a mode."""

    mode: Annotated[str, Meta(description="The mode")]
    at: Annotated[str, Meta(description="Id of the equipment, or site")]
    off_board: Annotated[bool, Meta(description="Whether the bond lies outside the dwelling")]


class ProtectedAnswer(RequirementAnswer, frozen=True):
    """A device that the rules ask for to protect people, and what it is for."""

    circuits: Annotated[list[str], Meta(description="Ids of the circuits that it is for")]


class InstallationAnswer(Struct, frozen=True):
    """Equipment, conductors, circuits and control leads as one graph."""

    practice: Annotated[str, Meta(description="Whose rules apply")]
    stage: Annotated[str, Meta(description="planned or as-found")]
    modes: Annotated[list[str], Meta(description="Modes in which the dwelling lives")]
    networks: Annotated[list[NetworkAnswer], Meta(description="Its networks")]
    equipment: Annotated[list[EquipmentAnswer], Meta(description="Its equipment")]
    conductors: Annotated[list[WireAnswer], Meta(description="Its conductors")]
    circuits: Annotated[list[CircuitInGraph], Meta(description="Its circuits")]
    control_leads: Annotated[list[LeadAnswer], Meta(description="Its control and sensing leads")]
    bonds: Annotated[list[BondAnswer], Meta(description="Where neutral and earth meet, mode by mode")]
    always_live: Annotated[list[str], Meta(description="Circuits that stay live with the bank switched off")]
    people_protection: Annotated[list[ProtectedAnswer], Meta(description="Devices that the rules ask for to protect people, each once")]


class _Written:
    """Parts that many conductors and terminals share are written once."""

    __slots__ = ("system", "ends", "segments", "sizes", "fastenings")

    def __init__(self, system: SizeSystem) -> None:
        self.system = system
        self.ends: dict[int, list[EndAnswer]] = {}
        self.segments: dict[int, list[SegmentAnswer]] = {}
        self.sizes: dict[str, ConductorSize] = {}
        self.fastenings: dict[int, FasteningAnswer] = {}

    def made_up(self, ends: tuple[graph.End, ...]) -> list[EndAnswer]:
        """How the ends are made up."""
        found = self.ends.get(id(ends))
        if found is None:
            found = self.ends[id(ends)] = [EndAnswer(end.at, end.lug or None, end.stud or None) for end in ends]
        return found

    def run(self, segments: tuple[graph.Segment, ...]) -> list[SegmentAnswer]:
        """The stretches of a conductor."""
        found = self.segments.get(id(segments))
        if found is None:
            found = self.segments[id(segments)] = [
                SegmentAnswer(Amount(part.length_m, "m"), Amount(part.ambient_c, "degC"), part.loaded_together, part.place) for part in segments
            ]
        return found

    def size(self, name: str | None) -> ConductorSize | None:
        """A size with its system."""
        if name is None:
            return None
        found = self.sizes.get(name)
        if found is None:
            found = self.sizes[name] = size_name(name, self.system)
        return found

    def fastening(self, fastening: graph.Fastening | None) -> FasteningAnswer | None:
        """How a conductor is fastened."""
        if fastening is None:
            return None
        found = self.fastenings.get(id(fastening))
        if found is None:
            found = self.fastenings[id(fastening)] = FasteningAnswer(fastening.by, fastening.size or None)
        return found


def write_installation(installation: graph.Installation, circuits: tuple[Drawn, ...], case: Case) -> InstallationAnswer:
    """The graph as it stands in an answer."""
    written = _Written(case.library.practices[installation.practice].source("bank-main").size_system)
    return InstallationAnswer(
        practice=installation.practice, stage=installation.stage, modes=list(installation.modes),
        networks=[NetworkAnswer(item.id, item.kind, Amount(item.lowest_v, "V"), Amount(item.highest_v, "V")) for item in installation.networks],
        equipment=[_equipment(item, written) for item in installation.equipment],
        conductors=[_wire(item, written) for item in installation.conductors],
        circuits=[_circuit(item, case) for item in circuits],
        control_leads=[
            LeadAnswer(item.id, item.start, item.end, item.purpose, list(item.acts_on), known_amount(item.fuse_a, "A"))
            for item in installation.control_leads
        ],
        bonds=list(installation.bonds),
        always_live=list(installation.always_live),
        people_protection=[ProtectedAnswer(*requirement_fields(item.requirement), list(item.circuits)) for item in installation.people],
    )


def _equipment(item: graph.Equipment, written: _Written) -> EquipmentAnswer:
    return EquipmentAnswer(
        item.id, item.kind, item.title, item.place, item.origin, item.verdict, item.generic, _ratings(item.ratings),
        [TerminalAnswer(end.id, end.function, end.use, written.fastening(end.fastening)) for end in item.terminals],
        list(item.paths),
    )


def _ratings(ratings: graph.Ratings) -> RatingsAnswer:
    if ratings is graph.NO_RATINGS:
        return _NO_RATINGS
    return RatingsAnswer(
        ratings.chemistry, ratings.family, known_amount(ratings.voltage_v, "V"), known_amount(ratings.highest_voltage_v, "V"),
        known_amount(ratings.current_a, "A"), known_amount(ratings.interrupting_a, "A"), ratings.interrupting, known_amount(ratings.short_circuit_a, "A"),
        known_amount(ratings.capacity_ah, "Ah"), known_amount(ratings.power_w, "W"), known_amount(ratings.apparent_power_va, "VA"),
        known_amount(ratings.transfer_a, "A"), known_amount(ratings.charger_current_a, "A"), known_amount(ratings.mass_kg, "kg"), ratings.polarised,
        ratings.poles, ratings.switches_neutral, known_amount(ratings.lowest_charge_c, "degC"), list(ratings.to_confirm),
    )



_NO_RATINGS = RatingsAnswer()


def _wire(item: graph.Conductor, written: _Written) -> WireAnswer:
    insulation = item.insulation_temperature_c
    return WireAnswer(
        item.id, item.start, item.end, item.function, item.origin, written.size(item.size), item.sets,
        known_amount(insulation, "degC"), written.run(item.segments), written.made_up(item.ends),
    )


def _circuit(drawn: Drawn, case: Case) -> CircuitInGraph:
    item = drawn.circuit
    sizing: Sized = drawn.sized
    return CircuitInGraph(
        item.id, item.circuit_class, f"{drawn.from_title} to {drawn.to_title}", item.network, list(item.conductors),
        list(item.protected_by), item.both_ways, list(item.source_at),
        item.unprotected_why or None, write_circuit(sizing, drawn.source, len(item.source_at) > 1, case),
        None if drawn.passing is None else write_start(drawn.passing),
    )
