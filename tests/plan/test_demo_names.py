"""Names that users give may be our own words: nothing is mistaken for anything else, and nothing is left out."""

from __future__ import annotations

import pytest

from ohmstead.installation.verify import verify

OURS = ("disconnect", "panel", "receptacles-1", "charger")


def power(watts: float) -> dict:
    return {"draw": {"by": "power", "power": {"value": watts, "unit": "W"}}, "use": {"by": "every-day", "hours_per_day": 1}, "start": {"by": "none"}}


def direct(name: str, watts: float, **more) -> dict:
    return {"current": "dc", "id": name} | power(watts) | more


def alternating(name: str, watts: float, **more) -> dict:
    return {"current": "ac", "id": name} | power(watts) | more


LOADS = {
    "direct": [*(direct(name, 24) for name in OURS), direct("main-fuse", 5, critical=True), direct("bus-positive", 900), direct("fuse-inverter", 12),
               alternating("inverter", 900)],
    "alternating": [*(alternating(name, 60) for name in OURS), alternating("inverter-feed", 900), alternating("ac-panel", 1300, shore_only=True),
                    alternating("transfer-switch", 80, shore_only=True)],
    "converted": [*(direct(name, 24, voltage={"value": 24, "unit": "V"}) for name in OURS), alternating("converter-24", 700),
                  direct("unit-1", 4, critical=True)],
    # Names that are one another with the word for a pole behind them.
    "poles": [direct("lamp", 24), direct("lamp-return", 12), direct("lamp-positive", 12, voltage={"value": 24, "unit": "V"}),
              alternating("kettle", 900), alternating("kettle-neutral", 900), alternating("kettle-earth", 900, shore_only=True)],
}
SUPPLIES = [
    {"kind": "shore", "id": "inverter", "service": "120V-30A", "hours_per_day": 4},
    {"kind": "shore", "id": "out", "service": "120-240V-50A", "hours_per_day": 1},
    {"kind": "generator", "id": "shunt", "rated": {"by": "power", "power": {"value": 3000, "unit": "W"}}, "hours_per_day": 1},
    {"kind": "alternator", "id": "chassis", "rated": {"value": 180, "unit": "A"}, "hours_per_day": 1},
    {"kind": "alternator", "id": "chassis-in", "rated": {"value": 180, "unit": "A"}, "hours_per_day": 1},
]


@pytest.fixture(scope="module", params=sorted(LOADS))
def named(request, planned, demo):
    brief = demo("climbers-van") | {"loads": LOADS[request.param], "supplies": SUPPLIES}
    return brief, *planned(brief)


def names(installation) -> dict[str, list[str]]:
    return {field: [item.id for item in getattr(installation, field)] for field in ("networks", "equipment", "conductors", "circuits", "control_leads")}


def test_every_name_is_given_once(named):
    _, plan, _ = named
    for found in names(plan.installation).values():
        assert len(found) == len(set(found))
    for item in plan.installation.equipment:
        terminals = [terminal.id for terminal in item.terminals]
        assert len(terminals) == len(set(terminals)), item.id
    assert len(plan.installation.modes) == len(set(plan.installation.modes))


def test_it_is_sound(named, shelf):
    _, plan, _ = named
    case = shelf.case()
    verify(plan.installation, case)
    assert [finding.code for finding in case.findings if finding.severity == "unsafe"] == []
    assert all(drawn.circuit.outcome == "sized" for drawn in plan.circuits)


def test_every_conductor_and_lead_ends_on_a_terminal(named):
    _, plan, _ = named
    known = {f"{item.id}.{terminal.id}" for item in plan.installation.equipment for terminal in item.terminals}
    for wire in (*plan.installation.conductors, *plan.installation.control_leads):
        assert {wire.start, wire.end} <= known


def test_every_load_is_served_by_a_circuit_of_its_own_network(named):
    """Each load ends on equipment that names it, on wires of one circuit, and every circuit leads to what it says."""
    brief, plan, _ = named
    installation = plan.installation
    equipment = {item.id: item for item in installation.equipment}
    served: dict[str, list[str]] = {}
    wires = {wire.id: wire for wire in installation.conductors}
    for circuit in installation.circuits:
        ends = {end.partition(".")[0] for id in circuit.conductors for end in (wires[id].start, wires[id].end)}
        for id in ends:
            if equipment[id].kind in ("dc-load", "ac-load", "always-live-load"):
                for name in equipment[id].title.split(", "):
                    served.setdefault(name, []).append(circuit.id)
    assert {name: len(circuits) for name, circuits in served.items()} == {load["id"]: 1 for load in brief["loads"]}
    critical = {load["id"] for load in brief["loads"] if load.get("critical")}
    assert set(installation.always_live) == {served[name][0] for name in critical}


def test_every_supply_has_its_inlet_and_its_mode(named):
    _, plan, _ = named
    installation = plan.installation
    equipment = {item.id: item for item in installation.equipment}
    assert {supply.id for supply in plan.supplies if supply.outcome == "sized"} == {supply["id"] for supply in SUPPLIES}
    assert (equipment["supply:inverter"].kind, equipment["supply:out"].kind, equipment["supply:shunt"].kind) == ("shore-inlet", "shore-inlet", "generator")
    assert equipment["dc-dc:chassis"].kind == "dc-dc-charger" and equipment["chassis"].kind == "chassis" and equipment["shunt"].kind == "shunt"
    assert equipment["inverter"].kind == "inverter-charger"
    # Ahead of the transfer switch each supply has wires of its own, and the switch joins each to the panel in one mode.
    switch = equipment["transfer-switch"]
    lines = [path for path in switch.paths if path.between[1] == "out-line-1"]
    assert len(lines) == 3 and len({path.closed_in for path in lines}) == 3


def test_every_mode_has_one_bond_at_its_source(named):
    """The supply called as our own mode is not taken for it."""
    _, plan, _ = named
    bonds = {bond.mode: (bond.at, bond.off_board) for bond in plan.installation.bonds}
    assert len(bonds) == len(plan.installation.bonds) == len(plan.installation.modes)
    assert bonds["inverter"] == ("inverter", False)
