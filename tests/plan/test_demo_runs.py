"""Runs as the brief describes them: another voltage behind a converter, another air around a class of circuits."""

from __future__ import annotations

import pytest

from comparison import near

VAN = "climbers-van"
WIRING = 0.97  # [recalled]


def direct(name: str, watts: float, **more) -> dict:
    return {"current": "dc", "id": name, "draw": {"by": "power", "power": {"value": watts, "unit": "W"}},
            "use": {"by": "every-day", "hours_per_day": 4}, "start": {"by": "none"}} | more


@pytest.fixture(scope="module")
def converted(planned, demo):
    """A fridge and a radio of 12 V on a bank of 24 V, beside lights that are made for it."""
    twelve = {"voltage": {"value": 12, "unit": "V"}}
    brief = demo(VAN) | {"system_voltage": 24, "runs": []}
    brief["loads"] = [direct("fridge", 45, **twelve), direct("radio", 15, **twelve), direct("lights", 24, voltage={"value": 24, "unit": "V"})]
    return planned(brief | {"inverter": {"by": "none"}, "supplies": [], "array": {"by": "none"}})


def test_what_is_made_for_another_voltage_hangs_behind_a_converter(converted):
    plan, case = converted
    equipment = {item.id: item for item in plan.installation.equipment}
    assert equipment["converter-12"].ratings.voltage_v == 12
    panels = {item.id: {terminal.id for terminal in item.terminals} for item in plan.installation.equipment if item.kind == "dc-panel"}
    assert {"c:fridge", "c:radio"} <= panels["converter-12-panel"] and "c:lights" not in panels["converter-12-panel"]
    assert "c:lights" in panels["dc-panel"] and not {"c:fridge", "c:radio"} & panels["dc-panel"]
    assert {finding.message.partition(" ")[0] for finding in case.findings if finding.code == "converter-needed"} == {"fridge", "radio"}
    # One handle cuts both panels.
    (switch,) = [item for item in plan.installation.equipment if item.kind == "load-disconnect"]
    assert {path.between for path in switch.paths} == {("a-panel", "b-panel"), ("a-converter-12", "b-converter-12")}


def test_circuits_on_both_sides_of_the_converter(converted):
    plan, _ = converted
    drawn = {item.circuit.id: item for item in plan.circuits}
    networks = {network.id: network for network in plan.installation.networks}
    out, fridge, lights = (drawn[name] for name in ("converter-12-out", "branch:fridge", "branch:lights"))
    assert (out.circuit.network, fridge.circuit.network, lights.circuit.network) == ("dc-12", "dc-12", "dc")
    # Behind it 12 V are held; a bank of 24 V is counted at the cut-off of 21 V [recalled].
    assert out.sized.design_current_a == near((45 + 15) / WIRING / 12) and fridge.sized.design_current_a == near(45 / WIRING / 12)
    # What the wires behind it lose goes through it too; it passes on 0.92 [recalled].
    feed = drawn["converter-12"].sized
    assert feed.design_current_a == near((45 + 15) / WIRING / 0.92 / 21)
    assert lights.sized.design_current_a == near(24 / WIRING / 21)
    assert networks["dc-12"].lowest_v == 12 and networks["dc"].lowest_v == 21
    # Nothing of 24 V reaches a load of 12 V: the converter joins the negatives and not the positives.
    (converter,) = [item for item in plan.installation.equipment if item.id == "converter-12"]
    assert [path.between for path in converter.paths] == [("in-negative", "out-negative")]


def test_a_load_of_the_systems_own_voltage_needs_none(planned, demo):
    brief = demo(VAN)
    brief["loads"] = [load | ({"voltage": {"value": 12, "unit": "V"}} if load["id"] == "fridge" else {}) for load in brief["loads"]]
    plan, case = planned(brief)
    assert not [item for item in plan.installation.equipment if item.kind == "dc-converter"]
    assert "converter-needed" not in {finding.code for finding in case.findings}


def test_the_air_around_a_class_reaches_its_segments_and_no_other(planned, demo):
    brief = demo(VAN)
    hot = {"circuit_class": "dc-dc-input", "one_way": {"value": 16, "unit": "ft"}, "ambient": {"value": 70, "unit": "degC"}}
    brief["runs"] = [run for run in brief["runs"] if run["circuit_class"] != "dc-dc-input"] + [hot]
    plan, _ = planned(brief)
    wires = {wire.id: wire for wire in plan.installation.conductors}
    found: dict[str, set[float]] = {}
    for drawn in plan.circuits:
        air = {segment.ambient_c for id in drawn.circuit.conductors for segment in wires[id].segments}
        assert air == {drawn.sized.ambient_c}
        found.setdefault(drawn.circuit.circuit_class, set()).update(air)
    assert found.pop("dc-dc-input") == {70} and set().union(*found.values()) == {40}
    # NEC Table 310.15(B)(1), 90 °C insulation: 0.58 at 66 to 70 °C. 4 AWG: 95 x 0.58 = 55.1 A, less than 62.7 A; 2 AWG: 75.4 A.
    (feed,) = [drawn.sized for drawn in plan.circuits if drawn.circuit.id == "dc-dc-in:engine"]
    assert feed.ambient_factor == 0.58 and 95 * 0.58 < feed.thermal_current_a <= 130 * 0.58
    assert feed.device.rating_a == 70 <= 130 * 0.58 and feed.conductor.size == "2"


def test_of_two_entries_of_a_class_the_longest_and_the_hottest_count(planned, demo):
    runs = [{"circuit_class": "dc-branch", "one_way": {"value": metres, "unit": "m"}} | more
            for metres, more in ((2, {"ambient": {"value": 50, "unit": "degC"}}), (5, {}), (3, {"ambient": {"value": 45, "unit": "degC"}}))]
    plan, _ = planned(demo(VAN) | {"runs": runs})
    branches = [drawn for drawn in plan.circuits if drawn.circuit.circuit_class == "dc-branch"]
    assert branches and all((drawn.run_m, drawn.sized.ambient_c) == (5, 50) for drawn in branches)
