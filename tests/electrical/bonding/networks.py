"""The neutrals and bonds of a dwelling as a graph, for a test of the counting that knows none of its rules.

A world has no doubt left in it. Its neutrals are nodes, tied or not; every bond is an edge of its own from a neutral to
earth. The bonds of a mode are the edges between earth and whatever the panel's neutral is tied to.
"""

from __future__ import annotations

from itertools import product
from typing import NamedTuple

import networkx


class World(NamedTuple):
    """One source as it really is."""

    bonds_active: int
    """Bonds while it is the active source."""
    bonds_idle: int
    bond_leaves: bool
    """Whether its bond is ashore, and gone when the cord is out."""
    on_panel: bool
    """Whether its neutral is the panel's own even when it is idle."""


def worlds_of(source) -> list[World]:
    """Every way in which a source as described can really be."""
    if source.kind == "shore":
        found = []
        if source.transformer in ("none", "not-known"):
            found.append(World(1, 1, True, False))
        if source.transformer != "none":
            found += [World(bonds, bonds, False, False) for bonds in _bonds(source.neutral)]
        return found
    if source.kind == "generator":
        return [World(bonds, bonds, False, False) for bonds in _bonds(source.neutral)]
    closing = {"one": [1], "all": [source.units], "none": [0], "not-known": range(source.units + 1)}[source.closed_in]
    relays = [World(many, 0, False, False) for many in closing]
    through = {"yes": [True], "no": [False], "not-known": [False, True]}[source.passes_supply]
    fixed = [World(many, many, False, passes) for many in closing for passes in through]
    nothing = [World(0, 0, False, False)]
    if source.bonding == "not-known":
        some = range(1, source.units + 1)
        return nothing + [World(many, 0, False, False) for many in some] + [World(many, many, False, passes) for many in some for passes in through]
    return {"relay": relays, "fixed": fixed, "none": nothing}[source.bonding]


def _bonds(neutral: str) -> list[int]:
    return {"bonded": [1], "floating": [0], "not-known": [0, 1]}[neutral]


def bonds(sources: tuple[World, ...], active: int, switched: bool, screw: bool, cords_in: bool) -> int:
    """Bonds between earth and what the panel's neutral is tied to."""
    graph = networkx.MultiGraph()
    graph.add_nodes_from(["panel", "earth"])
    joins = [("panel", "earth", "screw")] if screw else []
    for position, source in enumerate(sources):
        graph.add_node(position)
        if position == active or not switched or source.on_panel:
            graph.add_edge(position, "panel")
        count = source.bonds_active if position == active else source.bonds_idle
        if position != active and source.bond_leaves and not cords_in:
            count = 0
        joins += [(position, "earth", f"bond {number}") for number in range(count)]
    tied = networkx.node_connected_component(graph, "panel")
    graph.add_edges_from(joins)
    return sum(graph.number_of_edges("earth", node) for node in tied)


def expected(request, active: int, switched: str, by_cord: bool) -> tuple[int, int, str]:
    """Fewest, most and verdict over every world that fits the description."""
    fewest, most, verdicts = 99, 0, set()
    screws = {"fitted": [True], "removed": [False], "not-known": [False, True]}[request.panel_screw]
    ways = {"yes": [True], "no": [False], "not-known": [False, True]}[switched]
    for screw, way in product(screws, ways):
        for sources in product(*map(worlds_of, request.sources)):
            counts = [bonds(sources, active, way, screw, cords_in) for cords_in in ((True, False) if by_cord else (True,))]
            fewest, most = min(fewest, *counts), max(most, *counts)
            verdicts.add("several" if max(counts) > 1 else "none" if min(counts) == 0 else "one")
    return fewest, most, verdicts.pop() if len(verdicts) == 1 else "cannot-be-judged"
