"""Each verdict on a panel with the case in which it comes and the one in which it does not, and the published examples."""

from __future__ import annotations

import pytest
from electrical.panel.asking import amps, ask, circuit, codes, example, panel, places

from ohmstead.wire.problems import Problem


def actions(answer: dict) -> set[tuple[str, tuple[str, ...]]]:
    return {(change["action"], tuple(change["circuits"])) for change in answer["panel"]["changes"]}


def test_the_smallest_go_first_and_names_decide_between_equals():
    """3000 VA at 120 V are 25 A, and 24 A the most behind a feed of 30 A: 2 + 5 + 5 + 12 = 24 fill it."""
    request = panel(*(circuit(name, 20, current) for name, current in (("d", 12), ("c", 5), ("b", 5), ("e", 12.5), ("a", 2))))
    answer = ask(request)
    assert {name for name, (place, _) in places(answer).items() if place == "sub-panel"} == {"a", "b", "c", "d"}
    assert places(answer)["e"] == ("old-panel", "does-not-fit")
    assert answer["panel"]["sub_panel"]["feed"] == {"family": "breaker-ac", "rating": amps(30.0), "poles": 1}
    equal = ask(panel(circuit("z", 20, 10), circuit("y", 20, 10), circuit("x", 20, 10)))
    assert {name: place for name, (place, _) in places(equal).items()} == {"x": "sub-panel", "y": "sub-panel", "z": "old-panel"}


def test_a_wish_goes_before_what_is_smaller():
    request = panel(circuit("lamp", 15, 6), circuit("oven", 20, 20, on_inverter="yes"))
    assert places(ask(request)) == {"lamp": ("old-panel", "does-not-fit"), "oven": ("sub-panel", "wished")}


@pytest.mark.parametrize(
    ("rating", "transfer", "current", "failed"),
    [(1200, 30, 10.0, None), (1200, 30, 10.1, "inverter-output"), (6000, 10, 10.1, "relay-current"), (6000, 15, 12.0, None), (6000, 15, 12.1, "feed-within-relay")],
)
def test_what_was_wished_is_held_to_output_relay_and_feed(rating, transfer, current, failed):
    answer = ask(panel(circuit("oven", 20, current, on_inverter="yes"), rating=rating, transfer=transfer))
    assert answer["panel"]["outcome"] == ("sized" if failed is None else "nothing-fits")
    assert (answer["panel"]["failed"] or {"name": None})["name"] == failed
    assert ("inverter-wishes-too-much" in codes(answer)) == (failed is not None)


def test_two_outputs_give_half_each():
    both = [circuit("front", 20, 12, "1", on_inverter="yes"), circuit("rear", 20, 12, "2", on_inverter="yes")]
    assert ask(panel(*both, rating=2880, output="split-phase"))["panel"]["outcome"] == "sized"
    failed = ask(panel(*both, rating=2870, output="split-phase"))["panel"]["failed"]
    assert (failed["name"], failed["limit"]["value"]) == ("inverter-output", 1435.0)


def test_beyond_the_series_of_breakers():
    answer = ask(panel(circuit("works", 400, 300, on_inverter="yes"), rating=90000, transfer=600))
    assert answer["panel"]["failed"]["name"] == "device-carries-load" and answer["panel"]["failed"]["actual"]["value"] == 200.0


def test_no_family_is_made_for_the_voltage():
    answer = ask(panel(circuit("works", 20, 5, on_inverter="yes"), voltage={"value": 400, "unit": "V"}))
    assert (answer["panel"]["failed"]["name"], answer["panel"]["failed"]["actual"]["value"]) == ("device-voltage", 240.0)


def test_a_charger_of_the_bank_never_goes():
    for wish, code in (("yes", "bank-charger-wished"), ("as-fits", "bank-charger-kept-off"), ("no", "bank-charger-kept-off")):
        answer = ask(panel(circuit("converter", 15, 8, purpose="bank-charger", on_inverter=wish)))
        assert places(answer) == {"converter": ("old-panel", "charger-of-this-bank")}
        assert {"bank-charger-wished", "bank-charger-kept-off"} & codes(answer) == {code}
        assert ("keep-ahead-of-inverter", ("converter",)) in actions(answer)
    assert "bank-charger-kept-off" not in codes(ask(panel(circuit("converter", 15, 8))))


def test_between_the_legs_goes_on_two_outputs_in_opposition_alone():
    dryer = circuit("dryer", 30, 10, "both", on_inverter="yes", poles=2)
    for output, place in (("split-phase", "sub-panel"), ("one-hot", "old-panel"), ("one-leg", "old-panel")):
        answer = ask(panel(dryer, output=output))
        assert places(answer)["dryer"][0] == place
        assert ("inverter-wish-not-met" in codes(answer)) == (place == "old-panel")


def pair(first: dict, second: dict, **more) -> dict:
    return panel(
        circuit("left", 15, 4, "1", shares_neutral_with="right", opens_together=True, **first), circuit("right", 15, 3, "2", **second), **more,
    )


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ({"on_inverter": "yes"}, {}, ("wished", "partner-goes")), ({"on_inverter": "yes"}, {"on_inverter": "no"}, ("partner-stays", "wished-off")),
        ({}, {"purpose": "bank-charger"}, ("partner-stays", "charger-of-this-bank")),
        # Behind one output the neutral carries both, and 30 A of breakers let 30 A through.
        ({}, {}, ("neutral-not-borne", "neutral-not-borne")), ({"neutral_ampacity": amps(30)}, {}, ("fits", "fits")),
    ],
)
def test_two_circuits_of_one_neutral_are_one_piece(first, second, expected):
    answer = ask(pair(first, second))
    assert tuple(places(answer)[name][1] for name in ("left", "right")) == expected
    moved = ("move-to-sub-panel", ("left", "right")) in actions(answer)
    assert moved == (expected[0] in ("wished", "fits"))


def test_on_outputs_in_opposition_a_pair_may_go():
    assert places(ask(pair({}, {}, output="split-phase"))) == {"left": ("sub-panel", "fits"), "right": ("sub-panel", "fits")}


def test_of_two_neutral_ampacities_the_smaller_counts_and_silence_is_assumed():
    answer = ask(pair({"neutral_ampacity": amps(30)}, {"neutral_ampacity": amps(29)}))
    assert places(answer)["left"][1] == "neutral-not-borne"
    assert not any(said["pointer"] == "/circuits/0/neutral_ampacity" for said in answer["assumptions"])
    (said,) = [said for said in ask(pair({}, {}))["assumptions"] if said["pointer"] == "/circuits/0/neutral_ampacity"]
    assert said["value"] == amps(15.0)


def test_partners_on_one_leg_add_up_on_any_supply():
    request = pair({"on_inverter": "no"}, {})
    assert "shared-neutral-same-leg" not in codes(ask(request)) and ask(request)["panel"]["shared"][0]["verdict"] == "may-stay"
    request["circuits"][1]["line"] = "1"
    answer = ask(request)
    assert "shared-neutral-same-leg" in codes(answer) and answer["panel"]["shared"][0]["modes"][0]["neutral"]["value"] == 7.0
    assert answer["panel"]["shared"][0]["verdict"] == "split" and ("split-neutral", ("left", "right")) in actions(answer)


def test_poles_of_a_shared_neutral():
    for tied, code in ((True, None), (False, "shared-neutral-not-tied"), (None, "shared-neutral-tie-unknown")):
        request = pair({"on_inverter": "no"}, {})
        request["circuits"][0]["opens_together"] = tied
        answer = ask(request)
        assert {"shared-neutral-not-tied", "shared-neutral-tie-unknown"} & codes(answer) == ({code} if code else set())
        assert (("fit-breaker", ("left", "right")) in actions(answer)) == (code is not None)


def test_a_panel_of_one_leg_hangs_on_the_lighter_line():
    request = panel(circuit("heavy", 20, 15, "1", on_inverter="no"), circuit("light", 20, 5, "2", on_inverter="no"), circuit("lamp", 15, 2, "1"))
    assert ask(request)["panel"]["sub_panel"]["fed_from"] == ["2"]
    request["circuits"][1]["current"] = amps(15)
    assert ask(request)["panel"]["sub_panel"]["fed_from"] == ["1"]
    request["circuits"][1]["current"] = amps(5)
    # A supply of one leg feeds leg 1 alone: the new panel is dead then, and so is all of leg 2.
    request["modes"] = [{"id": "post", "arrangement": "one-leg"}]
    mode = ask(request)["panel"]["modes"][0]
    assert mode["sub_panel"] is None and mode["dead"] == ["lamp", "light"]


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"serves": "receptacles", "where": "bath", "protected": "no"}, "people-protection-missing"),
        ({"serves": "receptacles", "where": "bath", "protected": "not-known"}, "people-protection-not-proven"),
        ({"protected": "no"}, "people-protection-not-proven"),
        ({"serves": "receptacles", "where": "bath", "protected": "yes"}, None), ({"serves": "fixed", "where": "elsewhere", "protected": "no"}, None),
    ],
)
def test_protection_of_people(more, code):
    answer = ask(panel(circuit("basin", 15, 1, **more), circuit("other", 15, 1, serves="fixed", where="elsewhere")))
    assert {found for found in codes(answer) if found in ("people-protection-missing", "people-protection-not-proven")} == ({code} if code else set())
    severity = {"people-protection-missing": "unsafe", "people-protection-not-proven": "caution"}
    assert all(finding["severity"] == severity[code] and finding["pointer"] == "/circuits/0" for finding in answer["findings"] if finding["code"] == code)
    assert (("fit-protection", ("basin",)) in actions(answer)) == (code == "people-protection-missing")


@pytest.mark.parametrize(
    ("practice", "line", "poles", "needed", "code"),
    [
        ("us-vehicle", "1", 1, 1, None), ("us-vehicle", "both", 1, 2, "hots-not-opened-together"), ("us-vehicle", "both", None, 2, "breaker-poles-not-known"),
        ("us-vehicle", "1", None, 1, None), ("us-craft", "1", 1, 2, "neutral-not-opened"), ("us-craft", "1", 2, 2, None), ("us-craft", "both", 2, 3, "neutral-not-opened"),
        ("us-craft", "1", None, 2, "breaker-poles-not-known"),
    ],
)
def test_poles_that_open_together(practice, line, poles, needed, code):
    answer = ask(panel(circuit("one", 15, 1, line, poles=poles), practice=practice))
    assert answer["panel"]["circuits"][0]["poles"] == needed
    assert {"hots-not-opened-together", "breaker-poles-not-known", "neutral-not-opened"} & codes(answer) == ({code} if code else set())
    assert (("fit-breaker", ("one",)) in actions(answer)) == (code in ("hots-not-opened-together", "neutral-not-opened"))


def test_a_circuit_that_its_breaker_does_not_carry():
    assert "circuit-above-breaker" in codes(ask(panel(circuit("one", 15, 15.1))))
    assert "circuit-above-breaker" not in codes(ask(panel(circuit("one", 15, 15))))


def test_nothing_on_the_inverter_is_said():
    answer = ask(panel(circuit("one", 15, 5, on_inverter="no")))
    assert answer["panel"]["sub_panel"] is None and answer["panel"]["outcome"] == "sized" and "inverter-feeds-nothing" in codes(answer)
    assert answer["panel"]["modes"][-1]["dead"] == ["one"] and answer["panel"]["modes"][-1]["sub_panel"] is None
    assert "inverter-feeds-nothing" not in codes(ask(panel(circuit("one", 15, 5))))


def test_findings_are_said_once():
    said = ask(panel(circuit("a", 15, 5, "1"), circuit("b", 15, 5, "2"), output="one-hot", modes=[{"id": f"m{n}", "arrangement": "wye"} for n in range(3)]))["findings"]
    assert len({(finding["code"], finding["message"], finding["pointer"]) for finding in said}) == len(said)


def test_every_fault_of_a_request_comes_back():
    request = panel(
        circuit("a", 15, 1, shares_neutral_with="ghost"), circuit("b", 15, 1, "2", shares_neutral_with="b"), circuit("b", 15, 1, "both"),
        circuit("c", 15, 1, shares_neutral_with="d"), circuit("d", 15, 1, shares_neutral_with="e"), circuit("e", 15, 1), legs=1,
        modes=[{"id": "post", "arrangement": "one-leg"}, {"id": "post", "arrangement": "one-leg"}, {"id": "inverter-alone", "arrangement": "one-leg"}],
    )
    with pytest.raises(Problem) as raised:
        ask(request)
    assert raised.value.status == 422
    assert [fault.pointer for fault in raised.value.faults] == [
        "/circuits/2/id", "/modes/1/id", "/modes/2/id", "/circuits/0/shares_neutral_with", "/circuits/1/shares_neutral_with",
        "/circuits/3/shares_neutral_with", "/circuits/4/shares_neutral_with", "/circuits/1/line", "/circuits/2/line",
    ]


def test_a_partner_between_the_legs_is_refused_and_a_mutual_one_is_not():
    with pytest.raises(Problem):
        ask(panel(circuit("a", 15, 1, shares_neutral_with="b"), circuit("b", 15, 1, "both")))
    one = ask(panel(circuit("a", 15, 1, shares_neutral_with="b"), circuit("b", 15, 1, "2")))
    mutual = ask(panel(circuit("a", 15, 1, shares_neutral_with="b"), circuit("b", 15, 1, "2", shares_neutral_with="a")))
    assert one["panel"] == mutual["panel"]


def test_the_travelling_library():
    """A coach of 50 A: on the adapter's one hot 30 A are overloaded by the sum of both legs and the water heater is dead."""
    answer = ask(example("panel-travelling-library"))
    assert places(answer)["old-converter"] == ("old-panel", "charger-of-this-bank") and "bank-charger-wished" in codes(answer)
    site, adapter, wye, alone = answer["panel"]["modes"]
    assert [leg["value"] for leg in site["old_panel_legs"]] == [13 + 6 + 8 + 6 + 1.5 + 1, 13 + 6 + 4 + 10]
    assert adapter["dead"] == ["water-heater"] and adapter["old_panel"]["hot"]["value"] == 29.5 + 27
    assert wye["old_panel"]["line_to_line"] == "reduced" and wye["dead"] == []
    assert [leg["value"] for leg in alone["sub_panel_legs"]] == [2.5, 10.0] and alone["sub_panel"]["neutral"]["value"] == 12.5
    assert answer["panel"]["sub_panel"]["feed"] == {"family": "breaker-ac", "rating": amps(15.0), "poles": 2}  # 1.25 times 10 A
    assert {("split-neutral", ("lending-desk", "reading-room")), ("fit-protection", ("galley-counter",)), ("fit-breaker", ("water-heater",))} <= actions(answer)


def test_the_puppet_theatre():
    """A pitch of 16 A: lights and sound leave no room for the kettle, and every breaker opens the neutral too."""
    answer = ask(example("panel-puppet-theatre"))
    assert places(answer)["kettle"] == ("old-panel", "does-not-fit")  # 230 V times 7.7 A are 1771 VA of 1600
    assert answer["panel"]["sub_panel"]["feed"] == {"family": "breaker-ac-metric", "rating": amps(6.0), "poles": 2}
    assert {placed["poles"] for placed in answer["panel"]["circuits"]} == {2} and ("fit-breaker", ("sound-desk",)) in actions(answer)
    assert {asked["device"] for asked in answer["panel"]["people_protection"]} == {"residual-current-device", "main-switch"}
    assert "breaker-poles-not-known" in codes(answer)
