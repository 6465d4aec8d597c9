"""Circuits in series share the drop from the source to the load: five percent of all together, three of one (informational notes of NEC 210.19, 215.2)."""

from __future__ import annotations

import pytest

VAN, TRAILER, LIBRARY, CABIN = "climbers-van", "horse-trailer", "travelling-library", "beekeepers-cabin"
GENERATOR = {"kind": "generator", "id": "set", "rated": {"by": "power", "power": {"value": 3500, "unit": "W"}}, "neutral": "bonded", "hours_per_day": 1}
TOTAL, ONE = 0.05 * (1 + 1e-9), 0.03 * (1 + 1e-9)


def long(brief: dict, **runs: float) -> dict:
    """The brief with runs of some metres in these classes."""
    said = [{"circuit_class": name.replace("_", "-"), "one_way": {"value": metres, "unit": "m"}} for name, metres in runs.items()]
    named = {run["circuit_class"] for run in said}
    return brief | {"runs": [*(run for run in brief.get("runs", []) if run["circuit_class"] not in named), *said]}


def drops(plan) -> dict[str, float]:
    return {drawn.circuit.id: drawn.sized.conductor.drop_fraction for drawn in plan.circuits if drawn.sized.outcome == "sized"}


def feeders(plan, panel: str) -> float:
    """What all feeders ahead of a panel take when the supply that loses most is on."""
    took = drops(plan)
    ahead = max((drop for id, drop in took.items() if id.startswith("supply:")), default=0.0) + took.get("panel-feed", 0.0)
    return ahead if panel == "ac panel" else ahead + took.get("inverter-feed", 0.0) + took["inverter-output"]


BRIEFS = [
    (name, runs)
    for name in (VAN, TRAILER, LIBRARY, CABIN)
    for runs in ({}, {"shore_inlet": 25, "generator_feeder": 40}, {"ac_feeder": 15, "inverter_ac": 15}, {"ac_branch": 30, "shore_inlet": 12},
                 {"dc_feeder": 9, "dc_branch": 12})
]


@pytest.mark.parametrize(("name", "runs"), BRIEFS)
@pytest.mark.parametrize("several", [False, True])
def test_from_the_source_to_the_load_no_more_than_five_percent(planned, demo, name, runs, several):
    brief = demo(name)
    brief = brief | {"supplies": [*brief["supplies"], GENERATOR]} if several else brief
    plan, _ = planned(long(brief, **runs))
    took, branches = drops(plan), 0
    for drawn in plan.circuits:
        if drawn.circuit.circuit_class != "ac-branch" or drawn.sized.outcome != "sized":
            continue
        ahead = feeders(plan, drawn.from_title)
        assert ahead <= ONE and took[drawn.circuit.id] <= ONE and ahead + took[drawn.circuit.id] <= TOTAL
        branches += 1
    for drawn in plan.circuits:
        if drawn.circuit.circuit_class == "dc-branch" and drawn.from_title == "direct-current panel":
            assert took["dc-panel"] + took[drawn.circuit.id] <= TOTAL
    assert branches and all(drawn.sized.outcome == "sized" for drawn in plan.circuits if drawn.circuit.circuit_class != "inverter-dc")


def test_a_long_inlet_leaves_less_for_what_lies_behind(planned, demo):
    """24 A over 25 m on 10 AWG would be 4.1 %; 25 of 31 m of feeders may have 2.4 % of the three, and the branch two of the five."""
    short, _ = planned(long(demo(TRAILER), ac_branch=14))
    far, _ = planned(long(demo(TRAILER), ac_branch=14, shore_inlet=25))
    assert drops(short)["supply:showground"] < 0.01 and drops(far)["supply:showground"] <= 0.03 * 25 / 31
    sized = {drawn.circuit.id: drawn.sized for drawn in far.circuits}
    assert sized["supply:showground"].drop_limit == pytest.approx(0.03 * 25 / 31, rel=1e-9)
    # What the inlet leaves is shared by the feed and the inverter's output, of equal length.
    left = 0.03 - drops(far)["supply:showground"]
    assert sized["inverter-feed"].drop_limit == pytest.approx(left / 2, rel=1e-9)
    assert sized["inverter-output"].drop_limit == pytest.approx(left - drops(far)["inverter-feed"], rel=1e-9)
    assert sized["ac:microwave"].drop_limit == pytest.approx(min(0.03, 0.05 - feeders(far, "inverter panel")), rel=1e-9)
    assert sized["ac:roof-air-conditioner"].drop_limit == pytest.approx(min(0.03, 0.05 - feeders(far, "ac panel")), rel=1e-9)
    area = {plan: {drawn.circuit.id: drawn.sized.conductor.area_mm2 for drawn in found.circuits} for plan, found in (("short", short), ("far", far))}
    assert area["far"]["ac:microwave"] > area["short"]["ac:microwave"]


def test_the_voltage_at_a_load_is_what_the_whole_path_leaves(planned, demo):
    plan, _ = planned(demo(TRAILER))
    sized = {drawn.circuit.id: drawn.sized for drawn in plan.circuits}
    path = ("supply:showground", "inverter-feed", "inverter-output", "ac:microwave")
    assert sized["ac:microwave"].load_voltage_v == pytest.approx(120 - sum(sized[id].conductor.drop_at_temperature_v for id in path), rel=1e-9)


@pytest.mark.parametrize("circuit_class", ["shore_inlet", "ac_feeder", "inverter_ac"])
def test_a_longer_feeder_is_never_thinner(planned, demo, circuit_class):
    ids = {"shore_inlet": "supply:showground", "ac_feeder": "inverter-feed", "inverter_ac": "inverter-output"}
    areas = []
    for metres in (1, 3, 6, 12, 20, 30):
        plan, _ = planned(long(demo(TRAILER), **{circuit_class: metres}))
        (sized,) = [drawn.sized for drawn in plan.circuits if drawn.circuit.id == ids[circuit_class]]
        areas.append(sized.conductor.area_mm2)
    assert areas == sorted(areas) and areas[0] < areas[-1]


@pytest.mark.parametrize("limit", [0.01, 0.03, 0.1])
def test_a_house_rule_moves_the_whole(planned, demo, limit):
    """Ten percent of one circuit are ten of all together, and a branch still keeps four of them; one percent holds for each."""
    brief = demo(TRAILER) | {"house_rules": {"drop_limit_alternating": limit, "drop_limit_direct": limit}}
    plan, _ = planned(long(brief, ac_branch=20, shore_inlet=30, dc_feeder=6))
    took, total = drops(plan), max(limit, 0.05)
    for drawn in plan.circuits:
        if drawn.circuit.circuit_class == "ac-branch":
            assert feeders(plan, drawn.from_title) <= 0.6 * total * (1 + 1e-9)
            assert feeders(plan, drawn.from_title) + took[drawn.circuit.id] <= total * (1 + 1e-9)
            assert took[drawn.circuit.id] <= limit * (1 + 1e-9)
        if drawn.circuit.circuit_class == "dc-branch":
            assert took["dc-panel"] + took[drawn.circuit.id] <= total * (1 + 1e-9)
