"""Where the bond belongs: each row of the reference's table of modes, the conditions of the practices, stacked inverters."""

from __future__ import annotations

import pytest
from electrical.bonding.asking import PRACTICES, actions, codes, described, judge
from msgspec.structs import replace

from ohmstead.electrical.bonding.model import Divided, Source

SHORE = Source("shore")
TRANSFORMER = Source("shore", transformer="isolation", neutral="bonded")
GENERATOR = Source("generator", neutral="bonded")
FLOATING = Source("generator", neutral="floating")
INVERTER = Source("inverter", bonding="relay", closed_in="one")
MUST_SWITCH = [practice for practice in PRACTICES if practice != "us-dwelling"]
MOBILE = ["us-vehicle", "us-craft", "intl-craft", "intl-vehicle"]


def opened(mode) -> dict:
    return {(point.place, point.source): point.how for point in mode.must_open}


# -- reference/rules/neutral_and_adapters.md 8, row by row -----------------------------------------------------------------


@pytest.mark.parametrize("practice", MOBILE)
def test_shore_without_a_transformer(practice):
    bonding, findings = judge(described(practice, SHORE, GENERATOR, INVERTER))
    mode = bonding.modes[0]
    assert (mode.name, mode.verdict, mode.permitted) == ("shore", "one", "yes")
    assert (mode.must_close.place, mode.must_close.source) == ("supply", 0)
    assert opened(mode) == {("panel", None): "removed", ("generator", 1): "cut-off", ("inverter", 2): "relay-open"}
    assert bonding.verdict == "sound" and not bonding.changes and not codes(findings) & {"bonds-several", "bond-missing", "bond-elsewhere"}


@pytest.mark.parametrize("practice", ["us-craft", "intl-craft"])
def test_shore_through_a_transformer(practice):
    bonding, _ = judge(described(practice, TRANSFORMER, INVERTER))
    mode = bonding.modes[0]
    assert (mode.verdict, mode.permitted, mode.must_close.place, mode.separately_derived) == ("one", "yes", "transformer-secondary", "yes")
    floating, _ = judge(described(practice, replace(TRANSFORMER, neutral="floating"), INVERTER, double="no"))
    assert floating.modes[0].verdict == "none" and floating.modes[0].permitted == "no"
    assert actions(floating) == [("bond-secondary", 0)]


def test_behind_transformers_the_common_earth_bus_will_do():
    """ISO 13297 6.8 a); not where a shore supply comes straight aboard, and under no other practice for boats."""
    loose = (replace(TRANSFORMER, neutral="floating"), Source("inverter", bonding="none"), FLOATING)
    bonding, _ = judge(described("intl-craft", *loose, screw="fitted", double="no"))
    assert bonding.verdict == "sound" and {mode.must_close.place for mode in bonding.modes} == {"panel"}
    assert {mode.must_close.rule.citation.clause for mode in bonding.modes} == {"6.8 a)"}
    twice, _ = judge(described("intl-craft", TRANSFORMER, INVERTER, screw="fitted"))
    assert actions(twice) == [("open-secondary-bond", 0), ("open-inverter-bond", 1)]
    for other in (described("us-craft", *loose, screw="fitted"), described("intl-craft", SHORE, *loose[1:], screw="fitted"),
                  described("intl-craft", *loose[1:], screw="fitted", double="no")):
        assert ("remove-panel-bond", None) in actions(judge(other)[0])


@pytest.mark.parametrize("practice", PRACTICES)
def test_a_generator_whose_neutral_is_switched(practice):
    bonding, _ = judge(described(practice, SHORE, GENERATOR, INVERTER))
    mode = bonding.modes[1]
    assert (mode.verdict, mode.must_close.place, mode.must_close.source, mode.separately_derived) == ("one", "generator", 1, "yes")
    assert opened(mode) == {("panel", None): "removed", ("supply", 0): "cut-off", ("inverter", 2): "relay-open"}


def test_a_generator_of_a_cabin_whose_neutral_is_not_switched():
    bonding, findings = judge(described("us-dwelling", SHORE, GENERATOR, INVERTER, switched="no"))
    for mode in bonding.modes:
        assert (mode.must_close.place, mode.must_close.source) == ("supply", 0)
        assert mode.must_close.rule.citation.clause == "250.30 informational note 1"
    assert opened(bonding.modes[1]) == {("panel", None): "removed", ("generator", 1): "not-made", ("inverter", 2): "not-made"}
    assert [mode.separately_derived for mode in bonding.modes] == ["no", "no", "no"]
    assert actions(bonding) == [("open-generator-bond", 1), ("open-inverter-bond", 2)]
    assert "bonds-several" in codes(findings)
    sound, _ = judge(described("us-dwelling", SHORE, FLOATING, replace(INVERTER, closed_in="none"), switched="no"))
    assert sound.verdict == "sound" and [mode.verdict for mode in sound.modes] == ["one", "one", "one"]


@pytest.mark.parametrize("practice", PRACTICES)
def test_an_inverter(practice):
    bonding, _ = judge(described(practice, SHORE, INVERTER))
    mode = bonding.modes[1]
    assert (mode.verdict, mode.permitted, mode.must_close.place, mode.must_close.source) == ("one", "yes", "inverter", 1)
    assert opened(mode) == {("panel", None): "removed", ("supply", 0): "cut-off"}


@pytest.mark.parametrize(
    ("sources", "double", "permitted"),
    [
        ((replace(TRANSFORMER, neutral="floating"), Source("inverter", bonding="none")), "yes", "yes"),
        ((FLOATING, Source("inverter", bonding="none")), "yes", "yes"),
        ((replace(TRANSFORMER, neutral="floating"), Source("inverter", bonding="none")), "no", "no"),
        ((replace(TRANSFORMER, neutral="floating"), Source("inverter", bonding="none")), "not-known", "not-known"),
        ((SHORE, Source("inverter", bonding="none")), "yes", "no"),
        ((Source("shore", transformer="not-known"), Source("inverter", bonding="none")), "yes", "not-known"),
    ],
)
def test_a_floating_neutral_only_under_its_conditions(sources, double, permitted):
    bonding, findings = judge(described("intl-craft", *sources, double=double))
    assert bonding.floating.permitted == permitted
    mode = bonding.modes[-1]
    assert (mode.verdict, mode.permitted) == ("none", permitted)
    said = codes(findings) & {"neutral-floats", "bond-missing"}
    assert said == {"yes": {"neutral-floats"}, "no": {"bond-missing"}, "not-known": set()}[permitted]
    assert (bonding.verdict == "sound") == (permitted == "yes")
    assert (("bond-inverter", len(sources) - 1) in actions(bonding)) == (permitted == "no")


@pytest.mark.parametrize("practice", [practice for practice in PRACTICES if practice != "intl-craft"])
def test_no_other_practice_lets_a_neutral_float(practice):
    bonding, findings = judge(described(practice, Source("inverter", bonding="none")))
    assert bonding.floating is None and bonding.modes[0].permitted == "no"
    assert actions(bonding) == [("bond-inverter", 0)] and "bond-missing" in codes(findings)


# -- what is not known -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("practice", PRACTICES)
def test_without_word_on_the_neutral_of_the_transfer_nothing_is_judged(practice):
    bonding, findings = judge(described(practice, SHORE, GENERATOR, INVERTER, switched="not-known"))
    assert {mode.verdict for mode in bonding.modes} == {"cannot-be-judged"} and bonding.verdict == "cannot-be-judged"
    assert ("ask-transfer", None) in actions(bonding) and "bonds-not-judged" in codes(findings)
    # Even where the number is the same both ways.
    certain, _ = judge(described(practice, SHORE, FLOATING, switched="not-known"))
    assert (certain.modes[0].fewest, certain.modes[0].most, certain.modes[0].verdict) == (1, 1, "cannot-be-judged")


def test_two_bonds_that_no_transfer_parts_are_said_all_the_same():
    bonding, findings = judge(described("us-vehicle", SHORE, GENERATOR, switched="not-known", screw="fitted"))
    assert [mode.verdict for mode in bonding.modes] == ["several", "several"] and bonding.verdict == "to-be-changed"
    assert "bonds-several" in codes(findings)


def test_in_a_cabin_the_place_hangs_on_the_transfer():
    bonding, _ = judge(described("us-dwelling", SHORE, GENERATOR, switched="not-known"))
    assert bonding.modes[0].must_close.place == "supply" and bonding.modes[1].must_close is None
    assert bonding.modes[1].separately_derived == "not-known" and bonding.modes[1].must_open == ()


def test_one_source_needs_no_transfer():
    bonding, _ = judge(described("us-vehicle", GENERATOR, switched="not-known"))
    assert bonding.switches_neutral == "not-asked" and bonding.poles_needed is None and bonding.verdict == "sound"


@pytest.mark.parametrize(
    ("source", "asked"),
    [
        (Source("generator"), "ask-generator"), (Source("inverter"), "ask-inverter"), (Source("inverter", units=2, bonding="relay"), "ask-inverter"),
        (Source("shore", transformer="isolation"), "ask-secondary"), (Source("shore", transformer="not-known"), "ask-transformer"),
        (Source("inverter", bonding="fixed", closed_in="one"), "ask-pass-through"),
    ],
)
def test_what_is_not_known_is_asked(source, asked):
    bonding, findings = judge(described("us-craft", SHORE, source))
    assert actions(bonding) == [(asked, 1)] and bonding.verdict == "cannot-be-judged"
    assert "bonds-not-judged" in codes(findings)


def test_an_unknown_screw_is_asked_first():
    bonding, _ = judge(described("us-vehicle", SHORE, INVERTER, screw="not-known"))
    assert actions(bonding) == [("ask-panel", None)]
    assert {mode.verdict for mode in bonding.modes} == {"cannot-be-judged"} and bonding.modes[0].most == 2


# -- transfer equipment ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("practice", MUST_SWITCH)
def test_tied_neutrals_are_not_had_where_the_practice_parts_them(practice):
    bonding, findings = judge(described(practice, SHORE, GENERATOR, switched="no"))
    assert ("switch-neutral", None) in actions(bonding) and "neutral-not-switched" in codes(findings)
    assert bonding.modes[0].must_close.place == "supply" and bonding.modes[1].must_close.place == "generator"
    assert bonding.modes[0].verdict == bonding.modes[1].verdict == "several"


def test_a_cord_that_is_out_takes_its_bond_along():
    """A floating inverter that lives on the site's bond has none on the road; a cabin's service stays."""
    sources = (SHORE, Source("inverter", bonding="none"))
    road, _ = judge(described("us-vehicle", *sources, switched="no"))
    assert (road.modes[1].fewest, road.modes[1].most, road.modes[1].verdict) == (0, 1, "none")
    cabin, _ = judge(described("us-dwelling", *sources, switched="no"))
    assert (cabin.modes[1].fewest, cabin.modes[1].most, cabin.modes[1].verdict) == (1, 1, "one")


@pytest.mark.parametrize(
    ("arrangement", "poles", "switched", "seen", "action"),
    [
        ("one-leg", 2.0, "yes", "yes", None), ("one-leg", 1.0, "yes", "yes", "take-more-poles"), ("split-phase", 2.0, "yes", "yes", "take-more-poles"),
        ("split-phase", 3.0, "yes", "yes", None), ("wye", 3.0, "yes", "yes", None), ("one-hot", 2.0, "yes", "yes", "take-more-poles"),
        # Too few poles prove that the neutral is not switched; enough of them prove nothing.
        ("split-phase", 2.0, "not-known", "no", "switch-neutral"), ("split-phase", 3.0, "not-known", "not-known", "ask-transfer"),
        ("one-leg", 1.0, "not-known", "no", "switch-neutral"),
    ],
)
def test_poles_of_the_transfer(arrangement, poles, switched, seen, action):
    sources = (Source("shore", arrangement), INVERTER)
    bonding, findings = judge(described("us-vehicle", *sources, switched=switched, poles=poles))
    assert bonding.switches_neutral == seen
    assert bonding.poles_needed == (2.0 if arrangement == "one-leg" else 3.0)
    assert [name for name, _ in actions(bonding)] == ([action] if action else [])
    assert ("transfer-poles-short" in codes(findings)) == (action == "take-more-poles")


# -- stacked inverters, screws and fixed bonds -----------------------------------------------------------------------------


@pytest.mark.parametrize("practice", PRACTICES)
@pytest.mark.parametrize("units", [2, 4])
def test_of_stacked_inverters_one_closes_the_bond(practice, units):
    stacked = Source("inverter", "split-phase", units=units, bonding="relay", closed_in="all")
    bonding, _ = judge(described(practice, SHORE, stacked))
    assert (bonding.modes[1].verdict, bonding.modes[1].most) == ("several", units)
    assert actions(bonding) == [("bond-one-unit-only", 1)]
    sound, _ = judge(described(practice, SHORE, replace(stacked, closed_in="one")))
    assert sound.verdict == "sound" and ("inverter", 1) in opened(sound.modes[1])
    assert opened(sound.modes[1])["inverter", 1] == "disabled-in-other-units"
    nobody, _ = judge(described(practice, SHORE, replace(stacked, closed_in="none"), double="no"))
    assert actions(nobody) == [("bond-inverter", 1)] and nobody.modes[1].verdict == "none"


def test_a_screw_in_a_vehicle_is_one_too_many():
    bonding, findings = judge(described("us-vehicle", SHORE, FLOATING, INVERTER, screw="fitted"))
    assert [mode.verdict for mode in bonding.modes] == ["several", "one", "several"]
    # One bond, and still not where it belongs: on shore it makes two.
    assert bonding.modes[1].permitted == "no" and "bond-elsewhere" in codes(findings)
    assert actions(bonding) == [("remove-panel-bond", None), ("bond-generator", 1)]


def test_a_screw_in_a_cabin_without_a_service_is_the_one_bond():
    sources = (FLOATING, Source("inverter", bonding="none"))
    for switched in ("yes", "no"):
        bonding, _ = judge(described("us-dwelling", *sources, switched=switched, screw="fitted"))
        assert bonding.verdict == "sound" and {mode.must_close.place for mode in bonding.modes} == {"panel"}
    bare, _ = judge(described("us-dwelling", *sources, switched="no"))
    assert actions(bare) == [("fit-panel-bond", None)]
    parted, _ = judge(described("us-dwelling", *sources, switched="yes"))
    assert actions(parted) == [("bond-generator", 0), ("bond-inverter", 1)]


@pytest.mark.parametrize(
    ("passes", "verdict", "action"),
    [("yes", "several", "fit-bonding-relay"), ("no", "one", None), ("not-known", "cannot-be-judged", "ask-pass-through")],
)
def test_a_fixed_bond_behind_which_shore_passes_through(passes, verdict, action):
    fixed = Source("inverter", bonding="fixed", closed_in="one", passes_supply=passes)
    bonding, _ = judge(described("us-vehicle", SHORE, fixed))
    assert bonding.modes[0].verdict == verdict
    assert [name for name, _ in actions(bonding)] == ([action] if action else [])


def test_modes_are_named_after_their_sources():
    bonding, _ = judge(described("us-vehicle", SHORE, GENERATOR, SHORE))
    assert [(mode.name, mode.source) for mode in bonding.modes] == [("shore-1", 0), ("generator", 1), ("shore-2", 2)]


def test_a_cord_beside_a_cord():
    """Two inlets with tied neutrals: the second cord may be plugged in too."""
    bonding, _ = judge(described("us-vehicle", SHORE, SHORE, switched="no"))
    assert (bonding.modes[0].fewest, bonding.modes[0].most, bonding.modes[0].verdict) == (1, 2, "several")


def test_a_cabin_with_two_services_parts_their_neutrals():
    bonding, _ = judge(described("us-dwelling", SHORE, SHORE, switched="no"))
    assert actions(bonding) == [("switch-neutral", None)] and [mode.most for mode in bonding.modes] == [2, 2]
    assert judge(described("us-dwelling", SHORE, SHORE))[0].verdict == "sound"


@pytest.mark.parametrize(("current", "said"), [(24.0, True), (0.09, True), (0.0899, False)])
def test_what_a_second_bond_does_is_said_from_30_milliamperes_on(current, said):
    asked = replace(described("us-craft", INVERTER), divided=Divided(current, 0.02, 0.04))
    bonding, findings = judge(asked)
    assert bonding.earth_current_a == pytest.approx(current / 3) and ("earth-current" in codes(findings)) == said
    assert judge(described("us-craft", INVERTER))[0].earth_current_a is None


@pytest.mark.parametrize("bond", [{"bonding": "relay"}, {"bonding": "fixed", "passes_supply": "yes"}])
def test_all_of_one_unit_is_one(bond):
    bonding, _ = judge(described("us-craft", Source("inverter", closed_in="all", **bond)))
    assert bonding.verdict == "sound" and not bonding.changes
