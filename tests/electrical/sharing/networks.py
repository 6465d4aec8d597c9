"""Banks as plain networks, solved by others: node by node with a library of linear algebra, and by a circuit simulator.

Nothing here knows a ladder or a superposition: a network is a list of resistors, sources and one current drawn.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from typing import NamedTuple

import numpy as np
import scipy.linalg

SIMULATOR = shutil.which("ngspice")
REST_V = 12.8
"""Voltage at rest of every unit; how they share a current does not depend on it."""


class Branch(NamedTuple):
    """A resistor, or with a voltage a unit: a source behind a resistor, positive at `plus`."""

    name: str
    plus: str
    minus: str
    ohm: float
    volt: float = 0.0


class Network(NamedTuple):
    """Branches, and the nodes between which the load or the fault lies."""

    branches: tuple[Branch, ...]
    plus: str
    minus: str


def bank(layout: str, strings_ohm: list[float], link_ohm: float, rest_v: float = REST_V) -> Network:
    """The network of a bank: units named u1 on, links named p1 and n1 on by the unit they start from."""
    count = len(strings_ohm)
    units = [Branch(f"u{k}", f"a{k}", f"b{k}", ohm, rest_v) for k, ohm in enumerate(strings_ohm, start=1)]
    if layout == "bus-bars":
        leads = [Branch(f"p{k}", f"a{k}", "plus", link_ohm) for k in range(1, count + 1)]
        leads += [Branch(f"n{k}", "minus", f"b{k}", link_ohm) for k in range(1, count + 1)]
        return Network((*units, *leads), "plus", "minus")
    links = [Branch(f"p{k}", f"a{k}", f"a{k + 1}", link_ohm) for k in range(1, count)]
    links += [Branch(f"n{k}", f"b{k}", f"b{k + 1}", link_ohm) for k in range(1, count)]
    return Network((*units, *links), "a1", f"b{count}" if layout == "diagonal" else "b1")


def unlike(network: Network, ohm: dict[str, float]) -> Network:
    """The same network with links of their own resistance, by name."""
    assert set(ohm) <= {branch.name for branch in network.branches}
    return network._replace(branches=tuple(branch._replace(ohm=ohm.get(branch.name, branch.ohm)) for branch in network.branches))


def by_nodes(network: Network, drawn_a: float) -> dict[str, float]:
    """Current of every branch with `drawn_a` taken from the bank: nodal analysis, the negative take-off as ground."""
    nodes = sorted({node for branch in network.branches for node in (branch.plus, branch.minus)} - {network.minus})
    place = {node: position for position, node in enumerate(nodes)}
    conductance, injected = np.zeros((len(nodes), len(nodes))), np.zeros(len(nodes))
    for branch in network.branches:
        ends = [(place[node], sign) for node, sign in ((branch.plus, 1.0), (branch.minus, -1.0)) if node in place]
        for row, sign in ends:
            injected[row] += sign * branch.volt / branch.ohm
            for column, other in ends:
                conductance[row, column] += sign * other / branch.ohm
    injected[place[network.plus]] -= drawn_a
    solved = scipy.linalg.solve(conductance, injected, assume_a="pos")
    volt = {**{node: solved[position] for node, position in place.items()}, network.minus: 0.0}
    return {branch.name: (branch.volt - volt[branch.plus] + volt[branch.minus]) / branch.ohm for branch in network.branches}


def resistance(network: Network) -> float:
    """Resistance between the take-offs, sources dead, by the nodes."""
    dead = network._replace(branches=tuple(branch._replace(volt=0.0) for branch in network.branches))
    lossy = by_nodes(dead, 1.0)
    return sum(branch.ohm * lossy[branch.name] ** 2 for branch in network.branches)


def by_simulator(network: Network, load: str) -> dict[str, float]:
    """Current of every branch and of the load, from ngspice. `load` is the line of what lies between the nodes `top` and 0."""
    def node(name: str) -> str:
        return "0" if name == network.minus else name

    lines = ["bank", f"vload {node(network.plus)} top 0", load]
    for branch in network.branches:
        # Every branch has a source, if only of nought volts: through it the simulator tells the current.
        lines += [
            f"r{branch.name} {node(branch.plus)} m{branch.name} {branch.ohm!r}",
            f"v{branch.name} m{branch.name} {node(branch.minus)} {branch.volt!r}",
        ]
    names = ["load", *(branch.name for branch in network.branches)]
    lines += [".control", "set numdgt=12", "op", *(f"print i(v{name})" for name in names), ".endc", ".end"]
    said = subprocess.run([SIMULATOR, "-b"], input="\n".join(lines) + "\n", capture_output=True, text=True, timeout=60, check=False).stdout
    found = {name: float(value) for name, value in re.findall(r"i\(v(\w+)\) = (\S+)", said)}
    assert set(found) == set(names), said
    return {name: value if name == "load" else -value for name, value in found.items()}
