"""What holds for any sources: the changes cure, the order does not matter, more knowledge never contradicts less."""

from __future__ import annotations

import pytest
from electrical.bonding.asking import PRACTICES, described, judge
from electrical.bonding.test_counting import KNOWN, several
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

SCREWS = ("fitted", "removed", "not-known")


def some(short: int):
    return pytest.mark.parametrize("many", [short, pytest.param(20_000, marks=pytest.mark.long)])


def held(check, many: int, **strategies) -> None:
    settings(max_examples=many, deadline=None, derandomize=many < 1000)(given(**strategies)(check))()


requests = st.builds(
    lambda practice, sources, switched, screw, double, poles: described(practice, *sources, switched=switched, screw=screw, double=double, poles=poles),
    st.sampled_from(PRACTICES), several, st.sampled_from(KNOWN), st.sampled_from(SCREWS), st.sampled_from(KNOWN), st.sampled_from([None, 1.0, 2.0, 3.0, 4.0]),
)


def carried_out(request, change, answer: bool):
    """The request once a change is made; what is asked turns out as `answer` says."""
    neutral = "bonded" if answer else "floating"
    whole = {
        "switch-neutral": {"switches_neutral": "yes", "poles": 4.0}, "take-more-poles": {"poles": 4.0}, "remove-panel-bond": {"panel_screw": "removed"},
        "fit-panel-bond": {"panel_screw": "fitted"}, "ask-transfer": {"switches_neutral": "yes" if answer else "no", "poles": None},
        "ask-panel": {"panel_screw": "fitted" if answer else "removed"}, "ask-double-pole": {"double_pole": "yes" if answer else "no"},
    }
    if change.action in whole:
        return replace(request, **whole[change.action])
    one = {
        "bond-generator": {"neutral": "bonded"}, "open-generator-bond": {"neutral": "floating"}, "bond-secondary": {"neutral": "bonded"},
        "open-secondary-bond": {"neutral": "floating"}, "bond-inverter": {"bonding": "relay", "closed_in": "one"}, "open-inverter-bond": {"bonding": "none"},
        "bond-one-unit-only": {"closed_in": "one"}, "fit-bonding-relay": {"bonding": "relay", "closed_in": "one"},
        "ask-generator": {"neutral": neutral}, "ask-secondary": {"neutral": neutral}, "ask-transformer": {"transformer": "isolation" if answer else "none"},
        "ask-inverter": {"bonding": "relay" if answer else "none", "closed_in": "all"}, "ask-pass-through": {"passes_supply": "yes" if answer else "no"},
    }[change.action]
    position, sources = change.source, list(request.sources)
    assert change.action != "ask-transformer" or sources[position].kind == "shore"
    sources[position] = replace(sources[position], **one)
    return replace(request, sources=tuple(sources))


@some(400)
def test_whoever_carries_out_the_changes_has_a_sound_dwelling(many):
    def check(request, answers):
        rounds = 0
        while (bonding := judge(request)[0]).changes:
            rounds += 1
            assert rounds < 8, bonding.changes
            for number, change in enumerate(bonding.changes):
                request = carried_out(request, change, answers[(rounds + number) % len(answers)])
        assert bonding.verdict == "sound"
        for mode in bonding.modes:
            assert mode.permitted == "yes" and mode.verdict in ("one", "none")
            assert mode.verdict == "one" or bonding.floating.permitted == "yes"

    held(check, many, request=requests, answers=st.lists(st.booleans(), min_size=1, max_size=8))


@some(300)
def test_a_dwelling_is_sound_only_if_nothing_has_to_be_done(many):
    def check(request):
        bonding, findings = judge(request)
        unsafe = {finding.code for finding in findings if finding.severity == "unsafe"}
        assert (bonding.verdict == "sound") == (not bonding.changes)
        if bonding.verdict == "sound":
            assert not unsafe and all(mode.permitted == "yes" for mode in bonding.modes)
        if any(mode.permitted == "no" for mode in bonding.modes):
            assert unsafe & {"bonds-several", "bond-missing", "bond-elsewhere"} and bonding.verdict == "to-be-changed"
        for mode in bonding.modes:
            assert mode.fewest <= mode.most
            if mode.must_close is not None and mode.must_close.place != "inverter":
                # What has to be closed has not to be open.
                assert (mode.must_close.place, mode.must_close.source) not in {(point.place, point.source) for point in mode.must_open}

    held(check, many, request=requests)


@some(200)
def test_the_order_of_the_sources_does_not_matter(many):
    def check(request):
        turned = replace(request, sources=request.sources[::-1])
        one, two = judge(request)[0], judge(turned)[0]
        last = len(request.sources) - 1
        assert [(mode.verdict, mode.fewest, mode.most, mode.permitted, mode.separately_derived) for mode in one.modes] == [
            (mode.verdict, mode.fewest, mode.most, mode.permitted, mode.separately_derived) for mode in reversed(two.modes)
        ]
        back = {(change.action, None if change.source is None else last - change.source) for change in two.changes}
        assert {(change.action, change.source) for change in one.changes} == back and one.verdict == two.verdict

    held(check, many, request=requests)


@some(300)
def test_more_knowledge_never_contradicts_less(many):
    """Once the transfer is known, the count lies in the range that was said before, and a firm verdict stays."""
    def check(request, answer):
        request = replace(request, switches_neutral="not-known", poles=None)
        before, after = judge(request)[0], judge(replace(request, switches_neutral=answer))[0]
        for blind, seen in zip(before.modes, after.modes, strict=True):
            assert blind.fewest <= seen.fewest and seen.most <= blind.most
            if blind.verdict in ("several", "none"):
                assert seen.verdict == blind.verdict

    held(check, many, request=requests, answer=st.sampled_from(["yes", "no"]))


@some(200)
def test_an_added_screw_never_leaves_fewer_bonds(many):
    def check(request):
        bare, fitted = (judge(replace(request, panel_screw=screw))[0] for screw in ("removed", "fitted"))
        for before, after in zip(bare.modes, fitted.modes, strict=True):
            assert (after.fewest, after.most) == (before.fewest + 1, before.most + 1)

    held(check, many, request=requests)
