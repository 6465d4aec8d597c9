"""What was chosen, on the edges: the last size that a terminal takes, the first that is permitted, labels that say half of it."""

from __future__ import annotations

import pytest

from electrical.conductors.asking import ask
from electrical.conductors.test_chosen import BERTH, INVERTER, failed, verdict

FUSE = {"family": "class-t", "rating": {"value": 150, "unit": "A"}}
FEEDER = {
    "practice": "us-vehicle", "system": {"by": "direct", "circuit_class": "dc-feeder", "nominal": {"value": 12, "unit": "V"}, "highest": {"value": 14.6, "unit": "V"}},
    "load": {"by": "current", "current": {"value": 30, "unit": "A"}}, "run": {"value": 1, "unit": "ft"}, "ambient": {"value": 30, "unit": "degC"},
    "terminals": "75C", "drop_limit": 0.1,
}


def judged_on(base: dict, chosen: dict, **changes):
    return ask(base | changes | {"chosen": chosen}).chosen


@pytest.mark.parametrize(
    ("chosen", "changes"),
    [
        ({"size": "2/0"}, {"largest_conductor": "2/0"}),
        ({"size": "1/0"}, {"to_end": {"by": "clamp", "largest": "4/0", "smallest": "1/0"}}),
        ({"size": "2/0", "sets": 2}, {}),
        ({"size": "1/0", "sets": 2}, {"to_end": {"by": "stud", "thread": "M8", "lugs_most": 2}}),
    ],
)
def test_what_stands_on_an_edge_of_the_terminals_passes(chosen, changes):
    judged = verdict(chosen | {"device": FUSE}, **changes)[0]
    assert (judged.verdict, judged.why) == ("passes", [])
    assert (judged.device.family, judged.device.rating.value) == ("class-t", 150)


@pytest.mark.parametrize(("size", "said"), [("18", True), ("16", False), ("14", False)])
def test_the_smallest_conductor_of_boats(size, said):
    """ABYC E-11: no conductor below 16 AWG on its own."""
    boat = {"practice": "us-craft", "system": FEEDER["system"] | {"circuit_class": "dc-branch"}, "load": {"by": "current", "current": {"value": 1, "unit": "A"}}}
    judged = judged_on(FEEDER | boat, {"size": size})
    assert any("permits 16 at least" in reason for reason in judged.why) == said
    assert (judged.verdict == "fails") == said and failed(judged) == []


def test_a_device_for_a_circuit_that_nothing_fits_is_told_why():
    """Nothing up to 10 AWG carries 132 A, so that no size is there to be judged with the device."""
    answer = ask(INVERTER | {"largest_conductor": "10", "parallel_sets": 1, "chosen": {"device": FUSE}})
    assert answer.circuit.outcome == "nothing-fits" and answer.circuit.why
    assert (answer.chosen.verdict, answer.chosen.why, answer.chosen.conductor) == ("fails", [answer.circuit.why], None)


def test_a_rating_that_is_made_is_not_remarked():
    assert "rating-not-made" not in verdict({"size": "1/0", "device": FUSE})[1]


def test_a_circuit_without_a_device_of_its_own_is_judged_by_its_conductor():
    """The device is not asked about, so that none is there, and none has to be proven."""
    judged, codes = verdict({"size": "1/0", "device": {"rating": {"value": 400, "unit": "A"}}}, device=False, fault=None)
    assert (judged.verdict, judged.device, judged.why) == ("passes", None, [])
    assert {"device-carries-load", "device-protects-conductor", "device-voltage"}.isdisjoint(check.name for check in judged.checks)
    assert "chosen-not-proven" not in codes


def test_a_fault_that_was_only_estimated_proves_nothing_either_way():
    """The estimate from the bank is an upper bound: a device above it is not proven, and one below it is not said to be short."""
    bank = {"by": "bank", "chemistry": "lfp", "unit_capacity": {"value": 300, "unit": "Ah"}}
    for interrupting, expected in ((100, "fails"), (200_000, "not-proven")):
        label = FUSE | {"interrupting": {"value": interrupting, "unit": "A"}}
        judged = verdict({"size": "1/0", "device": label}, fault=bank)[0]
        assert (judged.verdict, judged.device.interrupting_verdict) == (expected, "not-proven")


@pytest.mark.parametrize(("amperes", "expected"), [(4000, "sufficient"), (3999, "short")])
def test_an_interrupting_rating_on_the_label_is_held_against_the_fault(amperes, expected):
    label = FUSE | {"interrupting": {"value": amperes, "unit": "A"}}
    judged = verdict({"size": "1/0", "device": label})[0]
    assert judged.device.interrupting_verdict == expected
    assert judged.verdict == ("passes" if expected == "sufficient" else "fails")


def test_polarity_matters_only_where_current_flows_both_ways():
    """A label that is silent about it, and one that is marked, do where current flows one way."""
    full = {"rating": {"value": 150, "unit": "A"}, "voltage": {"value": 32, "unit": "V"}, "interrupting": {"value": 5, "unit": "kA"}}
    for marked in ({}, {"polarity_marked": True}, {"polarity_marked": False}):
        judged = verdict({"size": "1/0", "device": full | marked}, both_ways=False)[0]
        assert (judged.verdict, judged.why) == ("passes", [])
    silent = verdict({"size": "1/0", "device": full})[0]
    assert silent.verdict == "not-proven" and silent.why == ["Whether the device is marked for polarity is not known."]
    assert verdict({"size": "1/0", "device": full | {"polarity_marked": False}})[0].verdict == "passes"


def test_a_family_marked_for_polarity_is_so_without_a_word_on_the_label():
    """The rail breaker for direct current is made with polarity marks; a blade has none."""
    branch = FEEDER | {"system": FEEDER["system"] | {"circuit_class": "dc-branch"}, "load": {"by": "current", "current": {"value": 8, "unit": "A"}}, "both_ways": True}
    marked = judged_on(branch, {"size": "10", "device": {"family": "din-breaker-dc", "rating": {"value": 10, "unit": "A"}}})
    assert marked.verdict == "fails" and "The device is marked for polarity, and current flows both ways here." in marked.why
    blade = judged_on(branch, {"size": "10", "device": {"family": "blade", "rating": {"value": 10, "unit": "A"}}})
    assert "marked for polarity" not in " ".join(blade.why)


@pytest.mark.parametrize(
    ("highest", "voltage", "interrupting"),
    [(14.0, 14, 10_000), (14.6, 32, 5000), (32.0, 32, 5000), (32.1, 58, 2000), (58.0, 58, 2000), (60.0, 58, 2000)],
)
def test_the_figures_of_a_family_are_those_at_the_voltage_here(highest, voltage, interrupting):
    """A terminal fuse interrupts 10 kA at 14 V, 5 kA at 32 V, 2 kA at 58 V [recalled]: the lowest voltage that suffices, else the highest that is made."""
    system = FEEDER["system"] | {"nominal": {"value": 12 if highest < 20 else 48, "unit": "V"}, "highest": {"value": highest, "unit": "V"}}
    if highest in (32.0, 32.1):
        system |= {"nominal": {"value": 24, "unit": "V"}}
    device = judged_on(FEEDER, {"size": "6", "device": {"family": "terminal-fuse", "rating": {"value": 50, "unit": "A"}}}, system=system).device
    assert (device.voltage.value, device.interrupting.value) == (voltage, interrupting)


def test_the_row_of_a_family_is_the_one_made_for_the_use():
    """On a boat the two-pole breaker is meant, not the one-pole breaker of the same family and voltage."""
    label = {"family": "breaker-ac", "rating": {"value": 15, "unit": "A"}, "poles": 2}
    assert judged_on(BERTH, {"device": label}).device.title.startswith("Two-pole breaker for 120 V")
    assert judged_on(BERTH, {"device": label}, practice="us-vehicle").device.title.startswith("One-pole breaker")


def test_a_drop_that_is_too_much_is_said_in_percent():
    """The drop of the finding is that at the conductor's own temperature, as its check has it."""
    answer = ask(INVERTER | {"drop_limit": 0.002, "chosen": {"size": "1/0", "device": FUSE}})
    (finding,) = [finding for finding in answer.findings if finding.code == "chosen-drops"]
    (check,) = [check for check in answer.chosen.checks if check.name == "voltage-drop-at-temperature"]
    assert f"{check.actual.value * 100 if hasattr(check.actual, 'value') else check.actual * 100:.4g} %" in finding.message


def test_what_is_unsafe_is_named_and_what_merely_drops_is_not():
    """2 AWG carries 115 A: ampacity and protection are named; the drop has a finding of its own."""
    answer = ask(INVERTER | {"drop_limit": 0.002, "chosen": {"size": "2", "device": FUSE}})
    codes = {finding.code: finding.message for finding in answer.findings}
    assert codes["chosen-unsafe"].endswith("It fails: ampacity-at-terminals, device-protects-conductor.")
    assert "chosen-drops" in codes


def test_the_device_that_is_shown_beside_a_conductor_protects_it():
    """4 AWG carries 85 A at 75 °C: 37.5 A to 85 A may stand before it, and the smallest rating that carries the load is taken; 60 °C copper of 18 AWG has none."""
    judged = judged_on(FEEDER, {"size": "4"}, fault={"by": "maker", "current": {"value": 900, "unit": "A"}})
    assert judged.verdict == "passes" and 37.5 <= judged.device.rating.value <= 85
    small = judged_on(FEEDER, {"size": "18"}, fault={"by": "maker", "current": {"value": 900, "unit": "A"}})
    assert small.verdict == "fails" and small.device.rating.value == judged.device.rating.value and "device-protects-conductor" in failed(small)


def test_no_device_is_made_for_the_load():
    judged = judged_on(FEEDER, {"size": "4/0", "sets": 4}, load={"by": "current", "current": {"value": 3000, "unit": "A"}})
    assert judged.verdict == "fails" and judged.device is None
    assert any(reason.startswith("No overcurrent device is made for 3750 A at 14.6 V") for reason in judged.why)


def test_too_many_together_is_said_beside_what_else_stands_against_it():
    """The table of IEC 60364-5-52 prints no factor for so many; the size is too large for the terminals as well."""
    judged = judged_on(FEEDER | {"practice": "intl-vehicle", "largest_conductor": "50", "terminals": "70C"}, {"size": "95", "sets": 2}, loaded_conductors=30)
    assert judged.verdict == "fails"
    assert "95 is larger than the terminals take, 50 at most." in judged.why and "the table ends below so many conductors together" in judged.why[-1]


def test_the_allowance_for_boats_ends_at_half_as_much_again():
    """33 CFR 183.455(c). 8 AWG of 105 °C in a pair carries 56 A: 60 A needs the allowance, 50 A does not, and beyond 150 % nothing helps."""
    boat = {
        "practice": "us-craft", "system": FEEDER["system"], "load": {"by": "current", "current": {"value": 40, "unit": "A"}}, "run": {"value": 2, "unit": "ft"},
        "terminals": "90C", "ambient": {"value": 30, "unit": "degC"}, "fault": {"by": "maker", "current": {"value": 900, "unit": "A"}},
    }
    for rating, expected, said in ((50, "passes", False), (60, "passes", True), (100, "fails", False)):
        answer = ask(boat | {"chosen": {"size": "8", "device": {"family": "strip-30", "rating": {"value": rating, "unit": "A"}}}})
        (check,) = [check for check in answer.chosen.checks if check.name == "device-protects-conductor"]
        assert (answer.chosen.verdict, check.passed) == (expected, expected == "passes")
        above = [finding for finding in answer.findings if (finding.code, finding.pointer) == ("device-above-ampacity", "/chosen")]
        assert [("60 A" in finding.message, "56 A" in finding.message) for finding in above] == [(True, True)] * said
