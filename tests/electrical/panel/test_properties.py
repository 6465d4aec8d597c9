"""What holds for any panel: the rule of choice told a second time, phasors for the neutrals, and both ways of reckoning."""

from __future__ import annotations

import cmath
import copy
import math

import pytest
from electrical.panel.asking import SHELF, ask, panels, places
from generated import held, some
from hypothesis import strategies as st

ANGLES = {"one-leg": 0.0, "one-hot": 0.0, "split-phase": 180.0, "wye": -120.0}
FAMILY = {"us-vehicle": "breaker-ac", "us-dwelling": "breaker-ac", "us-craft": "breaker-ac", "intl-vehicle": "breaker-ac-metric", "intl-craft": "breaker-ac-metric"}


def partners(request: dict) -> dict[str, str]:
    told = {one["id"]: one["shares_neutral_with"] for one in request["circuits"] if one.get("shares_neutral_with")}
    return told | {other: name for name, other in told.items()}


def device_factor(request: dict) -> float:
    """Of the feed; read from the practice, whose figures have tests of their own."""
    return float(SHELF.plain.practices[request["practice"]].source("ac-feeder").device_factor)


def on_sub(request: dict, names: set[str]) -> list[float]:
    """Currents of the legs of the sub-panel with these circuits."""
    one = request["legs"] == 1 or request["inverter"]["output"] == "one-leg"
    legs = [0.0, 0.0]
    for circuit in request["circuits"]:
        if circuit["id"] in names:
            for leg in ({"1": (0,), "2": (1,), "both": (0, 1)}[circuit["line"]] if not one else (0,)):
                legs[leg] += circuit["current"]["value"]
    return legs


def holds(request: dict, names: set[str]) -> bool:
    """Whether output, relay and a feed breaker carry these circuits, by arithmetic of its own."""
    volts, rating = request["voltage"]["value"], request["inverter"]["apparent_power"]["value"]
    transfer, output = request["inverter"]["transfer"]["value"], request["inverter"]["output"]
    legs = on_sub(request, names)
    outputs = legs if output == "split-phase" else [sum(legs)]
    most = rating / 2 if output == "split-phase" else rating
    slack = 1 + 1e-9
    if any(current * volts > most * slack or current > transfer * slack for current in outputs):
        return False
    made = [float(one) for one in SHELF.plain.series[FAMILY[request["practice"]]]]
    needed = max(legs) * device_factor(request)
    rating = next((one for one in made if one * slack >= needed), math.inf)
    two = request["legs"] == 2 and output != "one-leg"
    return rating <= transfer * slack and not (two and volts == 230)  # no family is listed for two poles of 230 V


@some(60)
def test_the_order_of_the_list_does_not_matter(many):
    def check(request, shuffled):
        other = copy.deepcopy(request)
        shuffled.shuffle(other["circuits"])
        assert ask(other)["panel"] == ask(request)["panel"]

    held(check, many, request=panels(), shuffled=st.randoms(use_true_random=False))


@some(150)
def test_what_may_never_go_stays_and_pairs_stay_together(many):
    def check(request):
        put, pairs = places(ask(request)), partners(request)
        for circuit in request["circuits"]:
            place = put[circuit["id"]][0]
            if circuit["purpose"] == "bank-charger" or circuit["on_inverter"] == "no" or (circuit["line"] == "both" and request["inverter"]["output"] != "split-phase"):
                assert place == "old-panel"
            if circuit["id"] in pairs:
                assert place == put[pairs[circuit["id"]]][0]

    held(check, many, request=panels())


@some(150)
def test_only_wishes_pass_the_inverter_and_then_a_check_fails(many):
    def check(request):
        answer = ask(request)
        sub = {name for name, (place, _) in places(answer).items() if place == "sub-panel"}
        fits = not sub or holds(request, sub)
        assert (answer["panel"]["outcome"] == "sized") == fits
        assert (answer["panel"]["failed"] is None) == fits
        if not fits:
            assert all(reason in ("wished", "partner-goes") for place, reason in places(answer).values() if place == "sub-panel")
            assert answer["panel"]["sub_panel"]["feed"] is None
        elif sub:
            feed = answer["panel"]["sub_panel"]["feed"]["rating"]["value"]
            assert max(on_sub(request, sub)) * device_factor(request) <= feed * (1 + 1e-9) <= request["inverter"]["transfer"]["value"] * (1 + 2e-9)

    held(check, many, request=panels())


@some(150)
def test_nothing_that_would_fit_is_left_behind(many):
    """Smallest first means: with what was taken before it, each one that was left did not hold."""
    def check(request):
        put, pairs = places(ask(request)), partners(request)
        by_name = {one["id"]: one for one in request["circuits"]}

        def unit(name):
            return {name, pairs.get(name, name)}

        def rank(name):
            return sum(by_name[one]["current"]["value"] for one in sorted(unit(name))), min(unit(name))

        wished = {name for name, (_, reason) in put.items() if reason in ("wished", "partner-goes")}
        for name, (_, reason) in put.items():
            before = wished | {other for other, (_, why) in put.items() if why == "fits" and rank(other) < rank(name)}
            if reason == "does-not-fit":
                assert not holds(request, before | unit(name))
            elif reason == "fits":
                assert holds(request, before | unit(name))

    held(check, many, request=panels())


def carried(request: dict, answer: dict, mode: dict) -> tuple[list[float], list[float], set[str]]:
    """Currents of both panels and what is dead, told from the places alone."""
    put = places(answer)
    two = request["legs"] == 2
    way = mode["arrangement"] if two else "one-leg"
    volts = request["voltage"]["value"]
    between = abs(volts - volts * cmath.rect(1.0, math.radians(ANGLES[way])))
    narrow = not two or request["inverter"]["output"] == "one-leg"
    fed_from = (answer["panel"]["sub_panel"] or {"fed_from": ["1"]})["fed_from"][0]
    main, sub, dead = [0.0, 0.0], [0.0, 0.0], set()
    for circuit in request["circuits"]:
        moved = put[circuit["id"]][0] == "sub-panel"
        line = fed_from if moved and narrow else circuit["line"]
        if (line == "2" and way == "one-leg") or (line == "both" and (way == "one-leg" or between < 207.5)):
            dead.add(circuit["id"])
            continue
        for leg in {"1": (0,), "2": (1,), "both": (0, 1)}[line]:
            main[leg] += circuit["current"]["value"]
            if moved:
                sub[0 if narrow else leg] += circuit["current"]["value"]
    return main, sub, dead


@some(150)
def test_currents_neutrals_and_dead_circuits_by_phasors(many):
    def check(request):
        answer = ask(request)
        for mode, judged in zip(request["modes"], answer["panel"]["modes"]):
            main, sub, dead = carried(request, answer, mode)
            way = mode["arrangement"] if request["legs"] == 2 else "one-leg"
            second = cmath.rect(1.0, math.radians(ANGLES[way]))
            assert set(judged["dead"]) == dead
            assert [leg["value"] for leg in judged["old_panel_legs"]] == pytest.approx(main[: 1 if way == "one-leg" else 2], abs=1e-9)
            assert judged["old_panel"]["neutral"]["value"] == pytest.approx(abs(main[0] + main[1] * second), abs=1e-6)
            if judged["sub_panel"] is not None:
                assert judged["sub_panel"]["neutral"]["value"] == pytest.approx(abs(sub[0] + sub[1] * second), abs=1e-6)

    held(check, many, request=panels())


@some(100)
def test_the_inverter_alone(many):
    def check(request):
        answer = ask(request)
        alone = answer["panel"]["modes"][-1]
        sub = {name for name, (place, _) in places(answer).items() if place == "sub-panel"}
        legs = on_sub(request, sub)
        assert alone["id"] == "inverter-alone" and alone["old_panel"] is None
        output = request["inverter"]["output"]
        volts = request["voltage"]["value"]
        dead = {one["id"] for one in request["circuits"] if one["id"] not in sub or (one["line"] == "both" and 2 * volts < 207.5)}
        assert set(alone["dead"]) == dead
        if sub:
            opposed = output == "split-phase" and request["legs"] == 2
            assert alone["sub_panel"]["neutral"]["value"] == pytest.approx(abs(legs[0] - legs[1]) if opposed else sum(legs), abs=1e-9)
            assert alone["sub_panel"]["between_legs"] is None or alone["sub_panel"]["between_legs"]["value"] == pytest.approx(2 * volts if opposed else 0.0)

    held(check, many, request=panels())


@some(100)
def test_shared_neutrals_by_phasors(many):
    def check(request):
        answer = ask(request)
        by_name, put = {one["id"]: one for one in request["circuits"]}, places(answer)
        assert len(answer["panel"]["shared"]) == len(partners(request)) // 2
        for pair in answer["panel"]["shared"]:
            first, second = (by_name[name] for name in pair["id"].split(" and "))
            moved = put[first["id"]][0] == "sub-panel"
            one = first["line"] == second["line"] or request["legs"] == 1 or (moved and request["inverter"]["output"] == "one-leg")
            ways = {mode["id"]: mode["arrangement"] for mode in request["modes"]}
            if moved:
                ways["inverter-alone"] = request["inverter"]["output"]
            assert [mode["mode"] for mode in pair["modes"]] == list(ways)
            for mode in pair["modes"]:
                second_leg = 1.0 if one else cmath.rect(1.0, math.radians(ANGLES[ways[mode["mode"]]]))
                assert mode["neutral"]["value"] == pytest.approx(abs(first["current"]["value"] + second["current"]["value"] * second_leg), abs=1e-6)
            split = any(change["action"] == "split-neutral" and set(change["circuits"]) == {first["id"], second["id"]} for change in answer["panel"]["changes"])
            assert split == (pair["verdict"] == "split")

    held(check, many, request=panels())


@some(60)
def test_traced_and_in_other_units_it_is_the_same(many):
    def check(request):
        plain, traced = ask(request), ask(request, working=True)
        traced["working"] = plain["working"] = None
        assert traced == plain
        other = copy.deepcopy(request)
        other["inverter"]["apparent_power"] = {"value": request["inverter"]["apparent_power"]["value"] / 1000, "unit": "kVA"}
        assert ask(other)["panel"] == plain["panel"]

    held(check, many, request=panels())
