"""The puppet theatre's motor home, worked by hand.

IEC 60364-7-721 rules its 230 V; EN 1648 rules its 24 V and was not seen, so IEC 60364-5-52 stands in (method B, 70 °C terminals
[recalled], 90 °C insulation [published]); 0.91 at 90 °C in 40 °C [published].
"""

from __future__ import annotations

import pytest

from comparison import near

NAME, CUT_OFF, WIRING = "puppet-theatre", 21, 0.97
DIRECT_W = 60 + 100 + 30 + 3
INVERTER_A = 3000 / (0.85 * CUT_OFF)
MAIN_A = INVERTER_A + DIRECT_W / (WIRING * CUT_OFF)
REAL_W, APPARENT_VA = 400 + 250 + 1000, 400 / 0.9 + 250 / 0.8 + 1000
RIPPLE = (1 + 1 / (2 * (REAL_W / APPARENT_VA) ** 2)) ** 0.5
CLASS_T_IN_40_C = 0.97


@pytest.fixture(scope="module")
def planned_theatre(planned, demo):
    return planned(demo(NAME))


@pytest.fixture(scope="module")
def theatre(planned_theatre):
    return planned_theatre[0]


@pytest.fixture(scope="module")
def circuits(theatre):
    return {drawn.circuit.id: drawn.sized for drawn in theatre.circuits}


def test_main_circuit(circuits):
    main = circuits["bank-main"]
    assert (main.design_current_a, main.thermal_current_a) == near((MAIN_A, RIPPLE * MAIN_A))
    # 1.25 times the average at the device [habit], the ripple with 0.97 of its rating: 225 A are too few, 250 A do.
    assert 225 * CLASS_T_IN_40_C < RIPPLE * MAIN_A <= 250 * CLASS_T_IN_40_C and main.device.rating_a == 250
    # 95 mm2 232 A, 120 mm2 269 A at 70 °C; 120 mm2 354 A at 90 °C.
    assert 232 < 250 <= 269 <= 354 * 0.91 and (main.conductor.size, main.conductor.sets) == ("120", 1)
    assert main.conductor.drop_v == near(MAIN_A * 2 * 0.5 / 1000 * 0.161 * 1.22)


def test_three_strings_with_a_fuse_at_both_ends(theatre, circuits):
    share = MAIN_A / (3 * 0.8)
    string = circuits["string-2"]
    assert string.design_current_a == near(share)
    # 16 mm2 76 A, 25 mm2 101 A at 70 °C; the fuse: 1.25 x 74 = 92.5 A, and 0.97 of 100 A carries the ripple.
    assert 76 < RIPPLE * share <= 97 and 90 < 1.25 * share <= 100 == string.device.rating_a <= 101 and string.conductor.size == "25"
    guarded = {drawn.circuit.id: [item.guards for item in drawn.circuit.protected_by] for drawn in theatre.circuits}
    assert [guarded[f"string-{number}"] for number in (1, 2, 3)] == [["from", "to"]] * 3


def test_the_pitch_and_the_generator(theatre, circuits):
    pitch, generator = circuits["supply:pitch"], circuits["supply:market-set"]
    assert pitch.design_current_a == 16 == pitch.device.rating_a and generator.design_current_a == near(5000 / 230)
    # 2.5 mm2 24 A, 4 mm2 32 A at 70 °C.
    assert 24 < 25 == generator.device.rating_a <= 32 and generator.conductor.size == "4"
    # 1.5 mm2 carries 17.5 A and drops too much of what the feeders may take: three percent by length, 5 m of 5 + 3 + 3 + 3.
    limit = 0.03 * 5 / 14
    assert pitch.drop_limit == near(limit)
    assert 16 * 2 * 5 / 1000 * 7.98 * 1.22 <= limit * 230 < 16 * 2 * 5 / 1000 * 13.3 * 1.22 and pitch.conductor.size == "2.5"
    switch = next(item for item in theatre.installation.equipment if item.kind == "transfer-switch")
    assert switch.ratings.poles == 2 and switch.ratings.switches_neutral
    assert {bond.mode: bond.at for bond in theatre.installation.bonds} == {
        "shore": "site", "generator": "supply:market-set", "inverter": "inverter", "driving": "inverter"}


def test_branches_have_two_poles_and_one_and_a_half_square_millimetres(theatre, circuits):
    """IEC 60364-7-721: 1.5 mm2 at least [recalled], both poles opened together [once]."""
    branches = {id: sized for id, sized in circuits.items() if id.startswith("ac:")}
    assert branches and {sized.conductor.size for sized in branches.values()} == {"1.5"} == {sized.grounding_size for sized in branches.values()}
    assert circuits["ac:receptacles:1"].design_current_a == near((400 / 0.9 + 250 / 0.8) / 230)
    poles = {item.ratings.poles for item in theatre.installation.equipment if item.kind == "breaker" and item.id.startswith(("main", "breaker"))}
    assert poles == {2}


def test_bonds_for_which_no_figure_was_seen(planned_theatre):
    """Frames of panels 4 mm2 at least [recalled]; cases and the negative as large as the conductors whose device they open."""
    plan, case = planned_theatre
    bonds = {wire.start: (wire.size, wire.end) for wire in plan.installation.conductors if wire.function == "earth" and wire.end.startswith("chassis.")}
    assert bonds["ac-panel.frame"][0] == bonds["inverter-panel.frame"][0] == "4"
    circuits = {drawn.circuit.id: drawn.sized.conductor for drawn in plan.circuits}
    assert bonds["inverter.case"] == (circuits["inverter"].size, "chassis.inverter")
    assert bonds["bus-negative.earth"] == (circuits["bank-main"].size, "chassis.bank")
    (said,) = [finding for finding in case.findings if finding.code == "bond-by-own-choice"]
    assert "battery negative to chassis" in said.message


def test_what_the_practice_asks(planned_theatre):
    """24 V is beyond the edition of 2018; the lead, the gas locker, the link of the inverter; strings of 100 V."""
    plan, case = planned_theatre
    codes = {finding.code for finding in case.findings}
    assert {"beyond-en-1648", "connecting-lead", "gas-locker", "inverter-neutral-link", "circuits-apart", "string-above-60-v"} <= codes
    assert not [finding for finding in case.findings if "NEC" in finding.clause]
    assert [item.requirement.row for item in plan.installation.people] == ["caravan-whole", "caravan-main-switch", "caravan-branch"]
    # What no document says and this service chose comes back as an assumption.
    assumed = {said.name for said in case.assumptions}
    assert {"source-distance", "smallest-conductor", "device-family"} <= assumed


def test_on_12_v_it_is_inside_that_edition(planned, demo):
    _, case = planned(demo(NAME) | {"system_voltage": 12})
    assert "beyond-en-1648" not in {finding.code for finding in case.findings}
