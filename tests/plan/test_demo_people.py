"""What protects people stands in a plan once for each requirement, with the circuits that it is for."""

from __future__ import annotations

import pytest

SMALL = {"by": "none"}


def required(plan) -> dict[str, tuple]:
    """Circuits of each requirement, by its row, and whether it is certain."""
    return {item.requirement.row: (item.circuits, item.requirement.certain) for item in plan.installation.people}


def test_a_vehicle_of_several_circuits(planned, demo):
    """NEC 551.41(C): receptacles by place; what serves where is not known, so that nothing is certain."""
    plan, case = planned(demo("climbers-van"))
    found = required(plan)
    assert list(found) == ["vehicle-bath", "vehicle-sink", "vehicle-outside", "vehicle-shower-light"]
    assert found["vehicle-bath"] == (("ac:induction-ring", "ac:receptacles:1"), False)
    # Receptacles are no luminaires.
    assert found["vehicle-shower-light"] == (("ac:induction-ring",), False)
    said = [finding for finding in case.findings if finding.code.startswith(("people", "ground-fault-"))]
    assert [(finding.code, finding.pointer) for finding in said] == [("people-protection-listed", "/installation/people_protection")]
    assert said[0].message.count("ground-fault circuit interrupter of class A") == 1


def test_a_vehicle_of_one_small_circuit_is_protected_as_a_whole(planned, demo):
    """NEC 551.40(C): one circuit of 15 or 20 A, protected where the supply ends in the vehicle."""
    brief = demo("climbers-van")
    brief["loads"] = [load | {"shore_only": True} for load in brief["loads"] if load["id"] == "laptops"] + brief["loads"][:2]
    brief["inverter"] = SMALL
    brief["charger"] = {"kind": "stand-alone"}
    plan, _ = planned(brief)
    assert [drawn.circuit.id for drawn in plan.circuits if drawn.circuit.circuit_class == "ac-branch"] == ["ac:shore-receptacles:1", "ac-charger"]
    assert "vehicle-whole" not in required(plan)
    brief["supplies"] = [supply for supply in brief["supplies"] if supply["kind"] == "shore"]
    brief["charger"] = {}
    brief["inverter"] = {"by": "chosen"}
    brief["loads"] = [load | {"shore_only": False} for load in brief["loads"]]
    plan, _ = planned(brief)
    found = required(plan)
    assert found["vehicle-whole"] == (("supply:house-socket",), True) and "vehicle-bath" not in found


@pytest.mark.parametrize("practice", ["us-vehicle", "us-dwelling"])
def test_a_plan_without_alternating_current_asks_for_nothing(planned, demo, practice):
    brief = demo("climbers-van") | {"supplies": [], "inverter": {"by": "none"}}
    brief["dwelling"] = {"practice": practice, "kind": "van" if practice == "us-vehicle" else "cabin"}
    brief["loads"] = [load for load in brief["loads"] if load["current"] == "dc"]
    plan, case = planned(brief)
    assert plan.installation.people == () and not [finding for finding in case.findings if finding.code.startswith("people")]


def test_a_cabin(planned, demo):
    """NEC 210.8(A) and 210.12 from memory: the breakers of the branches; outlets of the generator are the set's own affair."""
    plan, _ = planned(demo("beekeepers-cabin"))
    found = required(plan)
    assert list(found) == ["premises-wet", "premises-arc"]
    branches = tuple(drawn.circuit.id for drawn in plan.circuits if drawn.circuit.circuit_class == "ac-branch")
    assert found["premises-arc"] == (branches, False)
