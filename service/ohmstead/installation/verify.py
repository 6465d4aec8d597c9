"""What must hold in every installation, asked of the graph and of nothing else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ..reference.case import Case
from ..working import at_least
from .model import ISLAND_MODES, Equipment, Installation, Mode, Path

CHARGERS = ("charge-controller", "dc-dc-charger", "charger", "inverter-charger")
CONSUMERS = ("inverter", "inverter-charger", "dc-panel", "dc-converter", "dc-load", *CHARGERS)
LITHIUM = ("lfp", "nmc", "lto", "sodium-ion")


class Graph:
    """Terminals joined by conductors and by closed inner paths."""

    def __init__(self, installation: Installation):
        self.installation = installation
        self.by_id: dict[str, Equipment] = {item.id: item for item in installation.equipment}
        self.place = {item.id: f"/installation/equipment/{position}" for position, item in enumerate(installation.equipment)}
        self.by_kind: dict[str, list[Equipment]] = {}
        self.wires: dict[str, list[str]] = {}
        self.inner: dict[str, list[tuple[str, str, tuple[Mode, ...]]]] = {}
        for conductor in installation.conductors:
            self.wires.setdefault(conductor.start, []).append(conductor.end)
            self.wires.setdefault(conductor.end, []).append(conductor.start)
        for item in installation.equipment:
            self.by_kind.setdefault(item.kind, []).append(item)
            for path in item.paths:
                a, b = f"{item.id}.{path.between[0]}", f"{item.id}.{path.between[1]}"
                self.inner.setdefault(a, []).append((b, item.kind, path.closed_in))
                self.inner.setdefault(b, []).append((a, item.kind, path.closed_in))

    def reach(self, starts: Iterable[str], *, mode: Mode | None = None, opened: str = "") -> set[str]:
        """Terminals that are joined to the starts. A mode of None closes every path; an opened kind passes nothing."""
        seen: set[str] = set()
        stack = list(starts)
        while stack:
            terminal = stack.pop()
            if terminal in seen:
                continue
            seen.add(terminal)
            stack.extend(self.wires.get(terminal, ()))
            for other, kind, closed_in in self.inner.get(terminal, ()):
                if kind != opened and (mode is None or mode in closed_in):
                    stack.append(other)
        return seen

    def terminals(self, kinds: Iterable[str], function: str) -> Iterator[tuple[Equipment, str]]:
        """Terminals of a function on equipment of these kinds."""
        for kind in dict.fromkeys(kinds):
            for equipment in self.by_kind.get(kind, ()):
                for terminal in equipment.terminals:
                    if terminal.function == function:
                        yield equipment, f"{equipment.id}.{terminal.id}"


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
    _ends(graph, case)


def _circuits(graph: Graph, case: Case) -> None:
    networks = {network.id: network for network in graph.installation.networks}
    for position, circuit in enumerate(graph.installation.circuits):
        if circuit.outcome != "sized":
            continue
        guarded = {protection.guards for protection in circuit.protected_by}
        for end in circuit.source_at:
            if end not in guarded and not circuit.unprotected_why:
                case.note("source-end-unprotected", f"/installation/circuits/{position}", circuit=circuit.id, end=end)
        for protection in circuit.protected_by:
            device = graph.by_id[protection.equipment]
            ratings, highest = device.ratings, networks[circuit.network].highest_v
            if ratings.voltage_v is not None and not at_least(ratings.voltage_v, highest):
                case.note("device-voltage-low", graph.place[device.id], equipment=device.title, rated=float(ratings.voltage_v), highest=float(highest))
            if ratings.polarised and circuit.both_ways:
                case.note("polarised-device-both-ways", graph.place[device.id], equipment=device.title)
            if ratings.interrupting == "short":
                case.note("interrupting-short", graph.place[device.id], equipment=device.title)


def _posts(graph: Graph, function: str) -> list[str]:
    return [terminal for _, terminal in graph.terminals(("battery-unit",), function)]


def _shunt(graph: Graph, case: Case) -> None:
    if not any(item.kind == "shunt" for item in graph.installation.equipment):
        return
    bank_side = graph.reach(_posts(graph, "dc-negative"), opened="shunt")
    for equipment, terminal in graph.terminals((*CONSUMERS, "always-live-load"), "dc-negative"):
        if terminal in bank_side:
            case.note("shunt-bypassed", graph.place[equipment.id], equipment=equipment.title)


def _isolation(graph: Graph, case: Case) -> None:
    posts = _posts(graph, "dc-positive")
    opened = graph.reach(posts, opened="disconnect")
    closed = graph.reach(posts)
    without_loads = graph.reach(posts, opened="load-disconnect") if "load-disconnect" in graph.by_kind else closed
    for equipment, terminal in graph.terminals(CONSUMERS, "dc-positive"):
        if terminal in opened:
            case.note("bank-not-isolated", graph.place[equipment.id], equipment=equipment.title)
        if equipment.kind in CHARGERS and terminal in closed and terminal not in without_loads:
            case.note("load-disconnect-stops-charging", graph.place[equipment.id], equipment=equipment.title)


def _array(graph: Graph, case: Case) -> None:
    strings = [terminal for _, terminal in graph.terminals(("array-string",), "dc-positive")]
    joined = graph.reach(strings, opened="array-disconnect")
    for equipment, terminal in graph.terminals(("charge-controller",), "dc-positive"):
        if terminal in joined:
            case.note("array-not-isolated", graph.place[equipment.id], equipment=equipment.title)


def _bonds(graph: Graph, case: Case) -> None:
    installation = graph.installation
    meeting = [
        (equipment.id, path.closed_in)
        for equipment in installation.equipment if equipment.paths
        for path in equipment.paths if _joins_neutral_to_earth(equipment, path)
    ]
    if not meeting and not installation.bonds:
        return
    for mode in installation.modes:
        made = {bond.at for bond in installation.bonds if bond.mode == mode and bond.off_board}
        made.update(id for id, modes in meeting if mode in modes)
        active = mode not in ISLAND_MODES or "inverter" in graph.by_kind or "inverter-charger" in graph.by_kind
        if active and len(made) != 1:
            case.note("bond-count", "/installation/bonds", mode=mode, count=len(made))


def _joins_neutral_to_earth(equipment: Equipment, path: Path) -> bool:
    functions = {terminal.function for terminal in equipment.terminals if terminal.id in path.between}
    return functions == {"neutral", "earth"}


def _own_inverter(graph: Graph, case: Case) -> None:
    for mode in graph.installation.modes:
        outputs = [terminal for equipment, terminal in graph.terminals(("inverter", "inverter-charger"), "line-1") if terminal.endswith(".line-out")]
        fed = graph.reach(outputs, mode=mode) if mode in ISLAND_MODES else set()
        for equipment, terminal in graph.terminals(("charger",), "line-1"):
            if terminal in fed:
                case.note("charger-on-own-inverter", graph.place[equipment.id], equipment=equipment.title)


def _lock_outs(graph: Graph, case: Case) -> None:
    limits = [item.ratings.lowest_charge_c for item in graph.installation.equipment if item.kind == "battery-unit" and item.ratings.lowest_charge_c is not None]
    if not limits:
        return
    stopped = {target for lead in graph.installation.control_leads if lead.purpose == "charge-lock-out" for target in lead.acts_on}
    for equipment in graph.installation.equipment:
        if equipment.kind in CHARGERS and equipment.id not in stopped:
            case.note("charge-lock-out-missing", graph.place[equipment.id], equipment=equipment.title, limit=float(max(limits)))


def _ends(graph: Graph, case: Case) -> None:
    for position, conductor in enumerate(graph.installation.conductors):
        if conductor.origin == "existing" or conductor.size is None:
            continue
        for end in conductor.ends:
            if not end.lug:
                case.note("lug-missing", f"/installation/conductors/{position}", conductor=conductor.id, size=conductor.size, end=end.at)
