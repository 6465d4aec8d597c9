"""Put equipment, conductors and circuits together; every circuit is sized as it is drawn."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from ..electrical.conductors.model import Circuit as Sized
from ..electrical.conductors.model import End as Landing
from ..electrical.conductors.model import Run
from ..electrical.conductors.own_choices import own_choices_used
from ..electrical.faults.model import Fault
from ..electrical.people.model import Serves
from ..electrical.protection.opening import Passing, Transient
from ..reference.case import Case
from ..reference.practices import Practice, RuleSource
from .devices import Asked, settled
from .earthing import Earth
from .formulas import piece_length
from .model import (
    NO_RATINGS, Bond, Circuit, Conductor, ControlLead, End, Equipment, Fastening, Function, Installation, Kind, LeadPurpose, Mode, Network,
    Origin, Path, Protection, Ratings, Segment, Terminal,
)
from .needs import RunLengths
from .people import protect

STUD = Fastening("stud", "M8")
LARGE_STUD = Fastening("stud", "M10")
CLAMP = Fastening("clamp")
BANK, BAY, PANEL = "bank", "equipment bay", "panel"


_ON_STUDS = ("bank-unit", "bank-main", "inverter-dc", "controller-output", "dc-dc-input", "dc-dc-output", "charger-output", "dc-feeder", "always-live")
"""Classes of circuits that end on the large studs of battery posts, bus bars and fuse holders."""
_ON_LARGE_STUDS = (Landing(LARGE_STUD.size, conductors_most=4),) * 2


class Drawn:
    """A circuit that was drawn, with the sizing behind it and the rules it was sized under."""

    __slots__ = ("circuit", "sized", "asked", "source", "run_m", "from_title", "to_title", "serves", "passing", "in_heat")

    def __init__(self, circuit: Circuit, sized: Sized, asked: Asked, run_m: float, from_title: str, to_title: str, serves: Serves | None = None):
        self.circuit = circuit
        self.sized = sized
        self.asked = asked
        self.source: RuleSource = asked.source
        self.serves = serves
        self.passing: Passing | None = None
        """Whether its device lets the start behind it pass; None where nothing starts."""
        self.in_heat = False
        """Whether its device was held against the heat of its place."""
        self.run_m = run_m
        """One way, as it was sized; its conductors are the pieces between devices and switches."""
        self.from_title = from_title
        self.to_title = to_title


class Assembly:
    """An installation in the making."""

    def __init__(self, practice: Practice, modes: tuple[Mode, ...], lengths: RunLengths, case: Case):
        self.practice = practice
        self.modes = modes
        self.lengths = lengths
        self.case = case
        self.networks: list[Network] = []
        self.equipment: dict[str, Equipment] = {}
        self.conductors: list[Conductor] = []
        self.drawn: list[Drawn] = []
        self.leads: list[ControlLead] = []
        self.bonds: list[Bond] = []
        self.always_live: list[str] = []
        self.earth = Earth(self)
        self.fastened: dict[str, Terminal] = {}
        """Every terminal so far, by its name as conductors write it."""
        self._made_up: dict[tuple, tuple[End, End]] = {}
        self._segments: dict[tuple, tuple[Segment, ...]] = {}
        self._lengths: dict[str, float] = {}
        self._pieces: dict[tuple[str, int], float] = {}
        self._ambient_c = case.assume(self.earth.source.ambient_default)

    def add(
        self, id: str, kind: Kind, title: str, place: str, terminals: Iterable[tuple[str, Function]], *, paths: tuple[Path, ...] = (),
        ratings: Ratings = NO_RATINGS, fastening: Fastening | None = STUD, studs: tuple[str, ...] = (), generic: bool = False, origin="new", verdict=None,
        conductors_max: int | None = None,
    ) -> str:
        """Add a piece of equipment; a terminal that nothing joins in the end is written down as spare."""
        if id in self.equipment:
            raise ValueError(f"two pieces of equipment are named {id}")
        made = [
            Terminal(name, function, "used", LARGE_STUD if name in studs else fastening, conductors_max) for name, function in terminals
        ]
        for terminal in made:
            self.fastened[f"{id}.{terminal.id}"] = terminal
        self.equipment[id] = Equipment(id, kind, title, place, tuple(made), paths, ratings, origin, verdict, generic)
        return id

    def through(self, a: str, b: str, *, opens: bool = False, modes: tuple[Mode, ...] | None = None) -> Path:
        """A path inside equipment, closed in every mode unless told otherwise."""
        return Path((a, b), self.modes if modes is None else modes, opens)

    def rate(self, id: str, *devices: str) -> None:
        """Write down the current that a piece of equipment has to carry: what the largest of these devices lets through, as far as they are there."""
        found = [self.equipment[device].ratings.current_a for device in devices if device in self.equipment]
        if id in self.equipment and found:
            ratings = self.equipment[id].ratings
            confirm = ratings.to_confirm if "current" in ratings.to_confirm else (*ratings.to_confirm, "current")
            self.equipment[id] = replace(self.equipment[id], ratings=replace(ratings, current_a=max(found), to_confirm=confirm))

    def wire(
        self, start: str, end: str, function: Function, sized: Sized | None, length_m: float, *, size: str | None = None, sets: int = 1,
        origin: Origin = "new",
    ) -> str:
        """Draw a conductor with the size of its circuit, or with a size that a rule fixes."""
        row = sized.conductor if sized else None
        name = size if size is not None else row.size if row else None
        count = row.sets if row and size is None else sets
        id = f"w{len(self.conductors) + 1}"
        self.conductors.append(Conductor(
            id, start, end, function, name, count, sized.insulation_temperature_c if sized else None,
            self._segment(length_m, count, sized), self._ends(start, end, name), origin,
        ))
        return id

    def _segment(self, length_m: float, sets: int, sized: Sized | None) -> tuple[Segment, ...]:
        ambient = self._ambient_c if sized is None else sized.ambient_c
        key = (id(length_m), sets, id(ambient))
        if key not in self._segments:
            self._segments[key] = (Segment(length_m, ambient, 2 * sets, "enclosed"),)
        return self._segments[key]

    def function(self, terminal: str) -> Function:
        """Function of a terminal written `equipment.terminal`. Raises KeyError when there is none."""
        return self.fastened[terminal].function

    def _ends(self, start: str, end: str, size: str | None) -> tuple[End, End]:
        """How the ends are made up: a lug made for conductor and stud, or a ferrule in a clamp."""
        key = (size, self._stud(start), self._stud(end))
        found = self._made_up.get(key)
        if found is None:
            found = self._made_up[key] = (self._made("from", size, key[1]), self._made("to", size, key[2]))
        return found

    def _stud(self, terminal: str) -> str | None:
        fastening = self.fastened[terminal].fastening
        return fastening.size if fastening is not None and fastening.by == "stud" else None

    def _made(self, at, size: str | None, stud: str | None) -> End:
        if size is None or stud is None:
            return End(at, "ferrule" if size else "", "")
        lugs = self.earth.source.lugs
        made = lugs.columns["made_studs"][lugs.index[size]].split() if size in lugs.index else []
        found = stud if stud in made else next((item for item in reversed(made) if item.startswith("M")), "")
        return End(at, f"{size}-{found}" if found else "", found)

    def grounds(self, circuit_class: str) -> bool:
        """Whether the practice asks for a grounding conductor with the circuits of a class."""
        return self.practice.source(circuit_class).grounding_conductor

    def length(self, circuit_class: str) -> float:
        """One-way length of the runs of a class."""
        known = self._lengths.get(circuit_class)
        if known is None:
            given = self.lengths.length_m.get(circuit_class)
            known = self._lengths[circuit_class] = self.case.assume(f"run_{circuit_class.replace('-', '_')}", given)
        return known

    def piece(self, circuit_class: str, pieces: int) -> float:
        """Length of each of the pieces that a run of the class is cut into by devices and switches."""
        if pieces == 1:
            return self.length(circuit_class)
        known = self._pieces.get((circuit_class, pieces))
        if known is None:
            count = self.case.chosen(pieces, "pieces", "pieces of a run between devices and switches")
            known = self._pieces[circuit_class, pieces] = piece_length(self.length(circuit_class), count)
        return known

    def size(
        self, circuit_class: str, current_a: float, network: Network, fault: Fault | None, *, both_ways: bool = False,
        ripple_power_factor: float | None = None, device: bool = True, device_limit_a: float | None = None, device_least_a: float | None = None,
        continuous: bool = True,
        lowest_v: float | None = None, nominal_v: float, drop_limit: float | None = None, start_a: float | None = None,
    ) -> tuple[Sized, Asked]:
        """Size a circuit of a class under the practice; `start_a` is what flows while a motor starts."""
        source = self.practice.source(circuit_class)
        run = Run(
            source=source, current_a=current_a, nominal_voltage_v=nominal_v, lowest_voltage_v=network.lowest_v if lowest_v is None else lowest_v,
            highest_voltage_v=network.highest_v, run_m=self.length(circuit_class), continuous=continuous,
            ripple_power_factor=ripple_power_factor, ambient_c=self.lengths.ambient_c.get(circuit_class),
            fault_current_a=fault.current_a if fault else None, fault_proven=fault.proven if fault else False, both_ways=both_ways,
            device=device, device_limit_a=device_limit_a, device_least_a=device_least_a, drop_limit=drop_limit,
            ends=_ON_LARGE_STUDS if circuit_class in _ON_STUDS else (), grounding=source.grounding_conductor,
            enlarge_grounding=source.grounding_enlarged,
        )
        asked = Asked(run, None if start_a is None else Transient("motor-start", start_a, self.case.assume("start_s")))
        sized = settled(asked, self.case)
        self.case.assume_own(source, own_choices_used(sized, run))
        return sized, asked

    def device(self, id: str, sized: Sized, place: str, what: str) -> str | None:
        """Add the overcurrent device of a circuit with two studs; None when none was found."""
        found = sized.device
        if found is None:
            return None
        ratings = Ratings(
            family=found.family, current_a=found.rating_a, voltage_v=found.voltage_v, interrupting_a=found.interrupting_a,
            interrupting=found.interrupting, polarised=found.polarised,
        )
        return self.add(
            id, found.kind, f"{found.title}, {what}", place, (("a", "dc-positive"), ("b", "dc-positive")),
            paths=(self.through("a", "b", opens=True),), ratings=ratings, generic=True,
        )

    def draw(
        self, id: str, circuit_class: str, network: str, conductors: list[str], sized: Sized, asked: Asked, *,
        protected_by: tuple[Protection, ...], both_ways: bool = False, source_at=("from",), unprotected_why: str = "", titles=("", ""), serves: Serves | None = None,
    ) -> Drawn:
        """Write a sized circuit down."""
        circuit = Circuit(
            id, circuit_class, network, tuple(conductors), protected_by, both_ways, tuple(source_at), sized.design_current_a,
            sized.outcome, unprotected_why, sized.grounding_size,
        )
        drawn = Drawn(circuit, sized, asked, self.length(circuit_class), *titles, serves)
        self.drawn.append(drawn)
        return drawn

    def lead(self, start: str, end: str, purpose: LeadPurpose, acts_on: tuple[str, ...] = (), fuse_a: float | None = None) -> str:
        """Draw a control or sensing lead."""
        id = f"k{len(self.leads) + 1}"
        self.leads.append(ControlLead(id, start, end, purpose, acts_on, fuse_a))
        return id

    def finish(self) -> Installation:
        """The installation; terminals that nothing joins are spare."""
        self.earth.finish()
        joined = {end for line in (*self.conductors, *self.leads) for end in (line.start, line.end)}

        def settled(equipment: Equipment) -> Equipment:
            prefix = f"{equipment.id}."
            if joined.issuperset([prefix + item.id for item in equipment.terminals]):
                return equipment
            terminals = tuple(
                item if prefix + item.id in joined else Terminal(item.id, item.function, "spare", item.fastening, item.conductors_max, item.temperature_c)
                for item in equipment.terminals
            )
            return Equipment(equipment.id, equipment.kind, equipment.title, equipment.place, terminals, equipment.paths,
                             equipment.ratings, equipment.origin, equipment.verdict, equipment.generic)

        return Installation(
            self.practice.name, "planned", self.modes, tuple(self.networks), tuple(map(settled, self.equipment.values())),
            tuple(self.conductors), tuple(drawn.circuit for drawn in self.drawn), tuple(self.leads), tuple(self.bonds),
            tuple(self.always_live), protect(self.drawn, self.case),
        )
