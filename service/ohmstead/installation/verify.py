"""What must hold in every installation, asked of the graph and of nothing else."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from ..reference.case import Case
from ..working import at_least
from .model import EARTH_POINTS, ISLAND_MODES, Circuit, Equipment, Installation, Mode, Protection, Terminal

CHARGERS = ("charge-controller", "dc-dc-charger", "charger", "inverter-charger")
CONSUMERS = ("inverter", "inverter-charger", "dc-panel", "dc-converter", "dc-load", *CHARGERS)
_LIVE = "always-live-load"
_END = {"from": "begins", "to": "ends"}
# What hangs behind a consumer shares its fault; the first one on the way is the one to mend.
_WITHOUT_SHUNT = frozenset((*CONSUMERS, "shunt"))
_WITHOUT_DISCONNECT = frozenset((*CONSUMERS, "disconnect"))
_WITHOUT_ARRAY_DISCONNECT = frozenset((*CONSUMERS, "array-disconnect"))


class Graph:
    """Terminals joined by conductors and by closed inner paths."""

    def __init__(self, installation: Installation):
        self.installation = installation
        self.by_id: dict[str, Equipment] = {item.id: item for item in installation.equipment}
        self.by_kind: dict[str, list[Equipment]] = {}
        self.terminal: dict[str, Terminal] = {f"{item.id}.{end.id}": end for item in installation.equipment for end in item.terminals}
        self.wires: dict[str, list[str]] = {}
        self.inner: dict[str, list[tuple[str, str, tuple[Mode, ...]]]] = {}
        self.meeting: list[tuple[Mode, ...]] = []
        """Modes in which each join of neutral and earth is closed."""
        wires, inner = self.wires, self.inner
        neutral = {name for name, end in self.terminal.items() if end.function == "neutral"}
        for item in installation.equipment:
            id, kind = item.id, item.kind
            self.by_kind.setdefault(kind, []).append(item)
            for path in item.paths:
                a, b = path.between
                a, b, closed_in = f"{id}.{a}", f"{id}.{b}", path.closed_in
                inner.setdefault(a, []).append((b, kind, closed_in))
                inner.setdefault(b, []).append((a, kind, closed_in))
                if (a in neutral or b in neutral) and self._bonds(a, b):
                    self.meeting.append(closed_in)
        for conductor in installation.conductors:
            a, b = conductor.start, conductor.end
            wires.setdefault(a, []).append(b)
            wires.setdefault(b, []).append(a)
            if (a in neutral or b in neutral) and self._bonds(a, b):
                self.meeting.append(installation.modes)

    def place(self, equipment: Equipment) -> str:
        """JSON Pointer to a piece of equipment in the answer."""
        return f"/installation/equipment/{list(self.by_id).index(equipment.id)}"

    def _bonds(self, a: str, b: str) -> bool:
        """Whether one terminal is a neutral and the other an earth."""
        return {self.function(a), self.function(b)} == {"neutral", "earth"}

    def function(self, name: str) -> str | None:
        """What a terminal carries; None when there is no such terminal."""
        found = self.terminal.get(name)
        return None if found is None else found.function

    def reach(self, starts: Iterable[str], *, mode: Mode | None = None, opened: Collection[str] = ()) -> set[str]:
        """Terminals that are joined to the starts. A mode of None closes every path; opened kinds pass nothing."""
        wires, inner = self.wires, self.inner
        seen = set(starts)
        stack = list(seen)
        while stack:
            terminal = stack.pop()
            for other in wires.get(terminal, ()):
                if other not in seen:
                    seen.add(other)
                    stack.append(other)
            for other, kind, closed_in in inner.get(terminal, ()):
                if other not in seen and kind not in opened and (mode is None or mode in closed_in):
                    seen.add(other)
                    stack.append(other)
        return seen

    def terminals(self, kinds: Iterable[str], function: str) -> list[str]:
        """Terminals of a function on equipment of these kinds."""
        return [
            f"{item.id}.{end.id}" for kind in kinds for item in self.by_kind.get(kind, ()) for end in item.terminals if end.function == function
        ]

    def equipment(self, kinds: Iterable[str], functions: Collection[str], reached: Collection[str]) -> Iterable[Equipment]:
        """Each piece of equipment of these kinds with a terminal of these functions among those reached, once."""
        found = {
            item.id: item for kind in dict.fromkeys(kinds) for item in self.by_kind.get(kind, ()) for end in item.terminals
            if end.function in functions and f"{item.id}.{end.id}" in reached
        }
        return found.values()


def verify(installation: Installation, case: Case) -> None:
    """Note a finding for everything that does not hold."""
    graph = Graph(installation)
    _circuits(graph, case)
    _shunt(graph, case)
    _isolation(graph, case)
    _array(graph, case)
    _bonds(graph, case)
    _own_inverter(graph, case)
    _lock_outs(graph, case)
    _grounding(graph, case)
    _negative(graph, case)
    _ends(graph, case)


def _circuits(graph: Graph, case: Case) -> None:
    installation = graph.installation
    networks = {network.id: network for network in installation.networks}
    ends = {conductor.id: (conductor.start, conductor.end) for conductor in installation.conductors}
    functions = {conductor.id: conductor.function for conductor in installation.conductors}
    practice = case.library.practices[installation.practice]
    for position, circuit in enumerate(installation.circuits):
        if circuit.outcome != "sized":
            continue
        guarded, lost = set(), set()
        for protection in circuit.protected_by:
            (guarded if _stands_in(graph, protection, circuit, ends) else lost).add(protection.guards)
        if "combiner" in graph.by_kind and _fuse_missing(graph, circuit, ends):
            lost.add("to")
        for end in _bare(circuit, guarded, lost):
            case.note("source-end-unprotected", f"/installation/circuits/{position}", circuit=circuit.id, end=_END[end])
        for protection in circuit.protected_by:
            device = graph.by_id.get(protection.equipment)
            if device is None:
                continue
            ratings, highest = device.ratings, networks[circuit.network].highest_v
            if practice.source(circuit.circuit_class).opens_neutral and ratings.poles is not None:
                live = len({functions[id] for id in circuit.conductors} & {"line-1", "line-2"})
                if ratings.poles <= live:
                    case.note("neutral-not-opened", graph.place(device), equipment=device.title, poles=ratings.poles, needed=live + 1)
            if ratings.voltage_v is not None and not at_least(ratings.voltage_v, highest):
                case.note("device-voltage-low", graph.place(device), equipment=device.title, rated=float(ratings.voltage_v), highest=float(highest))
            if ratings.polarised and circuit.both_ways:
                case.note("polarised-device-both-ways", graph.place(device), equipment=device.title)
            if ratings.interrupting == "short":
                case.note("interrupting-short", graph.place(device), equipment=device.title)
    for position, lead in enumerate(installation.control_leads):
        if lead.fuse_a is None and graph.function(lead.start) == "dc-positive":
            case.note("source-end-unprotected", f"/installation/control_leads/{position}", circuit=lead.id, end=_END["from"])


def _stands_in(graph: Graph, protection: Protection, circuit: Circuit, ends: Mapping[str, tuple[str, str]]) -> bool:
    """Whether the device is there and the circuit's conductors run through it; one in a panel has no terminals of its own."""
    device = graph.by_id.get(protection.equipment)
    if device is None or not device.terminals:
        return device is not None
    wired = {end for id in circuit.conductors for end in ends[id]}
    return wired.issuperset([f"{device.id}.{terminal.id}" for terminal in device.terminals])


def _fuse_missing(graph: Graph, circuit: Circuit, ends: Mapping[str, tuple[str, str]]) -> bool:
    """Whether a combiner of the circuit has more ways that a fuse should open than fuses."""
    touched = {end.partition(".")[0] for id in circuit.conductors for end in ends[id]}
    for item in graph.by_kind["combiner"]:
        if item.id not in touched:
            continue
        devices = [graph.by_id.get(protection.equipment) for protection in circuit.protected_by]
        if sum(path.opens for path in item.paths) > sum(device is not None and device.place == item.id for device in devices):
            return True
    return False


def _bare(circuit: Circuit, guarded: Collection[str], lost: Collection[str]) -> list[str]:
    """Ends that are sources without a device. A reason why excuses one of them, never both, and none whose device was lost."""
    bare = [end for end in circuit.source_at if end not in guarded or end in lost]
    if circuit.unprotected_why:
        excused = next((end for end in reversed(bare) if end not in lost), None)
        bare = [end for end in bare if end != excused]
    return bare


def _shunt(graph: Graph, case: Case) -> None:
    if "shunt" not in graph.by_kind:
        return
    bank_side = graph.reach(graph.terminals(("battery-unit",), "dc-negative"), opened=_WITHOUT_SHUNT)
    for equipment in graph.equipment((*CONSUMERS, _LIVE), ("dc-negative",), bank_side):
        case.note("shunt-bypassed", graph.place(equipment), equipment=equipment.title)


def _isolation(graph: Graph, case: Case) -> None:
    posts, positive = graph.terminals(("battery-unit",), "dc-positive"), ("dc-positive",)
    opened = graph.reach(posts, opened=_WITHOUT_DISCONNECT)
    for equipment in graph.equipment(CONSUMERS, positive, opened):
        case.note("bank-not-isolated", graph.place(equipment), equipment=equipment.title)
    listed = _listed(graph)
    for equipment in graph.equipment((_LIVE,), positive, opened):
        if equipment.id not in listed:
            case.note("bank-not-isolated", graph.place(equipment), equipment=equipment.title)
    if "load-disconnect" not in graph.by_kind:
        return
    cut_off = set(graph.terminals(CHARGERS, "dc-positive")) - graph.reach(posts, opened=("load-disconnect",))
    for equipment in graph.equipment(CHARGERS, positive, cut_off & graph.reach(posts)) if cut_off else ():
        case.note("load-disconnect-stops-charging", graph.place(equipment), equipment=equipment.title)


def _listed(graph: Graph) -> set[str]:
    """Equipment of the circuits that are written down as live with the bank switched off."""
    always = set(graph.installation.always_live)
    wires = {id for circuit in graph.installation.circuits if circuit.id in always for id in circuit.conductors}
    return {end.partition(".")[0] for conductor in graph.installation.conductors if conductor.id in wires for end in (conductor.start, conductor.end)}


def _array(graph: Graph, case: Case) -> None:
    joined: set[str] = set()
    for function in ("dc-positive", "dc-negative"):
        joined |= graph.reach(graph.terminals(("array-string",), function), opened=_WITHOUT_ARRAY_DISCONNECT)
    for equipment in graph.equipment(("charge-controller",), ("dc-positive", "dc-negative"), joined):
        case.note("array-not-isolated", graph.place(equipment), equipment=equipment.title)


def _bonds(graph: Graph, case: Case) -> None:
    installation = graph.installation
    if not graph.meeting and not installation.bonds and "generator" not in graph.by_kind:
        return
    for mode in installation.modes:
        made = sum(bond.mode == mode and bond.off_board for bond in installation.bonds) + sum(mode in modes for modes in graph.meeting)
        active = mode not in ISLAND_MODES or "inverter" in graph.by_kind or "inverter-charger" in graph.by_kind
        floating = _generator(graph, mode) if made == 0 else None
        if floating is not None:
            case.note("generator-neutral-floating", graph.place(floating), equipment=floating.title.lower())
        elif active and made != 1:
            case.note("bond-count", "/installation/bonds", mode=mode, count=made)


def _generator(graph: Graph, mode: Mode) -> Equipment | None:
    """The generator of a mode: the only one, or the one whose id the mode names."""
    kind, _, id = mode.partition(":")
    found = graph.by_kind.get("generator", []) if kind == "generator" else []
    return next((item for item in found if not id or item.id == f"supply:{id}"), None)


def _own_inverter(graph: Graph, case: Case) -> None:
    outputs = [name for name in graph.terminals(("inverter", "inverter-charger"), "line-1") if name.endswith(".line-out")]
    fed: set[str] = set()
    for mode in graph.installation.modes:
        if mode in ISLAND_MODES:
            fed |= graph.reach(outputs, mode=mode)
    for equipment in graph.equipment(("charger",), ("line-1",), fed):
        case.note("charger-on-own-inverter", graph.place(equipment), equipment=equipment.title)


def _lock_outs(graph: Graph, case: Case) -> None:
    limits = [item.ratings.lowest_charge_c for item in graph.installation.equipment if item.kind == "battery-unit" and item.ratings.lowest_charge_c is not None]
    if not limits:
        return
    stopped = {target for lead in graph.installation.control_leads if lead.purpose == "charge-lock-out" for target in lead.acts_on}
    for equipment in graph.installation.equipment:
        if equipment.kind in CHARGERS and equipment.id not in stopped:
            case.note("charge-lock-out-missing", graph.place(equipment), equipment=equipment.title, limit=float(max(limits)))


def _grounding(graph: Graph, case: Case) -> None:
    """Each circuit that has to have a grounding conductor has one that is large enough and leads to the earth point.

    What hangs behind equipment whose own grounding conductor is missing shares its fault.
    """
    installation = graph.installation
    practice = case.library.practices[installation.practice]
    wires = {conductor.id: conductor for conductor in installation.conductors}
    earthed = graph.reach(graph.terminals(EARTH_POINTS, "earth"))
    bare: set[str] = set()
    loose: list[tuple[int, Circuit, str]] = []
    for position, circuit in enumerate(installation.circuits):
        asked = circuit.grounding_size
        if circuit.outcome != "sized" or asked is None:
            continue
        sizes = practice.source(circuit.circuit_class).sizes
        run = [wires[id] for id in circuit.conductors if wires[id].function == "earth"]
        small = next((wire.size for wire in run if wire.size is not None and sizes.row(wire.size) < sizes.row(asked)), None)
        if not run:
            bare |= {end.partition(".")[0] for id in circuit.conductors for end in (wires[id].start, wires[id].end)}
        elif small is None:
            loose += [(position, circuit, wire.start) for wire in run if wire.start not in earthed]
            continue
        case.note("grounding-conductor-missing", f"/installation/circuits/{position}", circuit=circuit.id, size=asked,
                  found=f"has one of {small}" if run else "has none")
    for position, circuit, start in loose:
        if not any(end.partition(".")[0] in bare for end in graph.reach([start])):
            case.note("grounding-conductor-missing", f"/installation/circuits/{position}", circuit=circuit.id, size=circuit.grounding_size,
                      found="has one that leads nowhere")


def _negative(graph: Graph, case: Case) -> None:
    """Where the practice grounds the negative, the bank's is joined to the earth point; a bank that feeds nothing has nothing to ground."""
    if not case.library.practices[graph.installation.practice].negative_grounded:
        return
    # The negative of another battery behind a DC-DC charger may be grounded too; its leads are no path for the faults of this one.
    joined = graph.reach(graph.terminals(("battery-unit",), "dc-negative"), opened=("dc-dc-charger",))
    feeds = any(True for _ in graph.equipment((*CONSUMERS, _LIVE), ("dc-negative",), joined))
    points = [item for kind in EARTH_POINTS for item in graph.by_kind.get(kind, ())]
    if feeds and not joined.intersection(graph.terminals(EARTH_POINTS, "earth")):
        earth = points[0].title.lower() if points else "chassis or an earth bus bar"
        case.note("negative-not-grounded", "/installation/equipment", earth=earth)


def _ends(graph: Graph, case: Case) -> None:
    studs = {name: end.fastening.size for name, end in graph.terminal.items() if end.fastening is not None and end.fastening.by == "stud"}
    for position, conductor in enumerate(graph.installation.conductors):
        if conductor.origin == "existing" or conductor.size is None:
            continue
        for end in conductor.ends:
            stud = studs.get(conductor.start if end.at == "from" else conductor.end, end.stud)
            if not end.lug or end.stud != stud:
                case.note("lug-missing", f"/installation/conductors/{position}", conductor=conductor.id, size=conductor.size, end=_END[end.at])
