"""What must hold in every installation, asked of the graph and of nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from ..reference.case import Case
from ..working import at_least
from .model import Equipment, Installation, Mode

CHARGERS = ("charge-controller", "dc-dc-charger", "charger", "inverter-charger")
CONSUMERS = ("inverter", "inverter-charger", "dc-panel", "dc-load", *CHARGERS)
LITHIUM = ("lfp", "nmc", "lto", "sodium-ion")


class Graph:
    """Terminals joined by conductors and by closed inner paths."""

    def __init__(self, installation: Installation):
        self.installation = installation
        self.by_id: dict[str, Equipment] = {item.id: item for item in installation.equipment}
        self.wires: dict[str, list[str]] = {}
        for conductor in installation.conductors:
            self.wires.setdefault(conductor.start, []).append(conductor.end)
            self.wires.setdefault(conductor.end, []).append(conductor.start)

    def reach(self, starts: Iterable[str], *, mode: Mode | None = None, open_equipment: Callable[[Equipment], bool] = lambda item: False) -> set[str]:
        """Terminals that are joined to the starts. A mode of None closes every path; opened equipment passes nothing."""
        seen: set[str] = set()
        stack = list(starts)
        while stack:
            terminal = stack.pop()
            if terminal in seen:
                continue
            seen.add(terminal)
            stack.extend(self.wires.get(terminal, ()))
            owner, _, name = terminal.partition(".")
            equipment = self.by_id.get(owner)
            if equipment is None or open_equipment(equipment):
                continue
            for path in equipment.paths:
                if mode is not None and mode not in path.closed_in:
                    continue
                if name in path.between:
                    other = path.between[1] if name == path.between[0] else path.between[0]
                    stack.append(f"{owner}.{other}")
        return seen

    def terminals(self, kinds: Iterable[str], function: str) -> Iterator[tuple[Equipment, str]]:
        """Terminals of a function on equipment of these kinds."""
        for equipment in self.installation.equipment:
            if equipment.kind in kinds:
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
    for circuit in graph.installation.circuits:
        if circuit.outcome != "sized":
            continue
        guarded = {protection.guards for protection in circuit.protected_by}
        for end in circuit.source_at:
            if end not in guarded and not circuit.unprotected_why:
                case.note("source-end-unprotected", circuit.id, circuit=circuit.id, end=end)
        for protection in circuit.protected_by:
            device = graph.by_id[protection.equipment]
            ratings, highest = device.ratings, networks[circuit.network].highest_v
            if ratings.voltage_v is not None and not at_least(ratings.voltage_v, highest):
                case.note("device-voltage-low", device.id, equipment=device.title, rated=float(ratings.voltage_v), highest=float(highest))
            if ratings.polarised and circuit.both_ways:
                case.note("polarised-device-both-ways", device.id, equipment=device.title)
            if ratings.interrupting == "short":
                case.note("interrupting-short", device.id, equipment=device.title)


def _posts(graph: Graph, function: str) -> list[str]:
    return [terminal for _, terminal in graph.terminals(("battery-unit",), function)]


def _shunt(graph: Graph, case: Case) -> None:
    if not any(item.kind == "shunt" for item in graph.installation.equipment):
        return
    bank_side = graph.reach(_posts(graph, "dc-negative"), open_equipment=lambda item: item.kind == "shunt")
    for equipment, terminal in graph.terminals((*CONSUMERS, "always-live-load"), "dc-negative"):
        if terminal in bank_side:
            case.note("shunt-bypassed", equipment.id, equipment=equipment.title)


def _isolation(graph: Graph, case: Case) -> None:
    posts = _posts(graph, "dc-positive")
    opened = graph.reach(posts, open_equipment=lambda item: item.kind == "disconnect")
    closed = graph.reach(posts)
    without_loads = graph.reach(posts, open_equipment=lambda item: item.kind == "load-disconnect")
    for equipment, terminal in graph.terminals(CONSUMERS, "dc-positive"):
        if terminal in opened:
            case.note("bank-not-isolated", equipment.id, equipment=equipment.title)
        if equipment.kind in CHARGERS and terminal in closed and terminal not in without_loads:
            case.note("load-disconnect-stops-charging", equipment.id, equipment=equipment.title)


def _array(graph: Graph, case: Case) -> None:
    strings = [terminal for _, terminal in graph.terminals(("array-string",), "dc-positive")]
    joined = graph.reach(strings, open_equipment=lambda item: item.kind == "array-disconnect")
    for equipment, terminal in graph.terminals(("charge-controller",), "dc-positive"):
        if terminal in joined:
            case.note("array-not-isolated", equipment.id, equipment=equipment.title)


def _bonds(graph: Graph, case: Case) -> None:
    installation = graph.installation
    neutrals = {terminal.id for item in installation.equipment for terminal in item.terminals if terminal.function == "neutral"}
    if not neutrals:
        return
    for mode in installation.modes:
        made = {bond.at for bond in installation.bonds if bond.mode == mode and bond.off_board}
        for equipment in installation.equipment:
            functions = {terminal.id: terminal.function for terminal in equipment.terminals}
            for path in equipment.paths:
                if mode in path.closed_in and {functions[path.between[0]], functions[path.between[1]]} == {"neutral", "earth"}:
                    made.add(equipment.id)
        active = mode in ("shore", "generator") or any(item.kind in ("inverter", "inverter-charger") for item in installation.equipment)
        if active and len(made) != 1:
            case.note("bond-count", mode, mode=mode, count=len(made))


def _own_inverter(graph: Graph, case: Case) -> None:
    for mode in graph.installation.modes:
        outputs = [terminal for equipment, terminal in graph.terminals(("inverter", "inverter-charger"), "line-1") if terminal.endswith(".line-out")]
        fed = graph.reach(outputs, mode=mode) if mode in ("inverter", "driving") else set()
        for equipment, terminal in graph.terminals(("charger",), "line-1"):
            if terminal in fed:
                case.note("charger-on-own-inverter", equipment.id, equipment=equipment.title)


def _lock_outs(graph: Graph, case: Case) -> None:
    limits = [item.ratings.lowest_charge_c for item in graph.installation.equipment if item.kind == "battery-unit" and item.ratings.lowest_charge_c is not None]
    if not limits:
        return
    stopped = {target for lead in graph.installation.control_leads if lead.purpose == "charge-lock-out" for target in lead.acts_on}
    for equipment in graph.installation.equipment:
        if equipment.kind in CHARGERS and equipment.id not in stopped:
            case.note("charge-lock-out-missing", equipment.id, equipment=equipment.title, limit=float(max(limits)))


def _ends(graph: Graph, case: Case) -> None:
    for conductor in graph.installation.conductors:
        if conductor.origin == "existing" or conductor.size is None:
            continue
        for end in conductor.ends:
            if not end.lug:
                case.note("lug-missing", conductor.id, conductor=conductor.id, size=conductor.size, end=end.at)
