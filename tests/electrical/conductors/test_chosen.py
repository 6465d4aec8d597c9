"""A conductor and a device that were chosen beforehand: the verdict, and that it agrees with the sizing and with a plain search."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import assume
from hypothesis import strategies as st

from electrical.conductors.asking import ask, size
from electrical.conductors.circuit_requests import accepted, requests
from electrical.conductors.test_circuit_properties import SLACK, Circumstances
from generated import held, some
from ohmstead.wire.quantities import Current, DcVoltage, FaultCurrent
from ohmstead.wire.v1.circuit import ChosenConductor, CircuitRequest, DeviceLabel

INVERTER = {
    "practice": "us-vehicle",
    "system": {
        "by": "direct", "circuit_class": "inverter-dc", "nominal": {"value": 12, "unit": "V"}, "lowest": {"value": 10.5, "unit": "V"},
        "highest": {"value": 14.6, "unit": "V"},
    },
    "load": {"by": "power", "power": {"value": 1000, "unit": "W"}, "efficiency": 0.9},
    "run": {"value": 3, "unit": "ft"}, "terminals": "75C", "ambient": {"value": 30, "unit": "degC"}, "both_ways": True,
    "fault": {"by": "maker", "current": {"value": 4, "unit": "kA"}},
}


def verdict(chosen: dict, **changes):
    answer = ask(INVERTER | changes | {"chosen": chosen})
    return answer.chosen, [finding.code for finding in answer.findings]


def failed(judged) -> list[str]:
    return [check.name for check in judged.checks if not check.passed]


def test_a_sound_choice_passes():
    """1000 W / (0.9 × 10.5 V) = 105.8 A, × 1.25 = 132.3 A: 1/0 carries 150 A at 75 °C (NEC Table 310.16), Class T is made with 150 A."""
    judged, codes = verdict({"size": "1/0", "device": {"family": "class-t", "rating": {"value": 150, "unit": "A"}}})
    assert judged.verdict == "passes" and judged.why == [] and failed(judged) == []
    assert not {"chosen-unsafe", "chosen-drops", "chosen-not-proven"} & set(codes)


@pytest.mark.parametrize(
    ("chosen", "fails"),
    [
        # 2 AWG carries 115 A at 75 °C.
        ({"size": "2", "device": {"family": "class-t", "rating": {"value": 150, "unit": "A"}}}, ["ampacity-at-terminals", "device-protects-conductor"]),
        # 200 A on 150 A: the low-voltage document of vehicles permits no more than the ampacity.
        ({"size": "1/0", "device": {"family": "class-t", "rating": {"value": 200, "unit": "A"}}}, ["device-protects-conductor"]),
        ({"size": "1/0", "device": {"family": "class-t", "rating": {"value": 110, "unit": "A"}}}, ["device-carries-load"]),
        # A bolt-down limiter of the trade interrupts 2.7 kA at 32 V; 4 kA are there.
        ({"size": "1/0", "device": {"family": "bolt-down-limiter", "rating": {"value": 150, "unit": "A"}}}, ["device-interrupts"]),
        # A label wins over the family: 10 V on the label is below the 14.6 V of charging.
        ({"size": "1/0", "device": {"family": "class-t", "rating": {"value": 150, "unit": "A"}, "voltage": {"value": 10, "unit": "V"}}}, ["device-voltage"]),
    ],
)
def test_each_check_fails_on_its_own(chosen, fails):
    judged, codes = verdict(chosen)
    assert judged.verdict == "fails" and failed(judged) == fails and "chosen-unsafe" in codes


def test_what_only_drops_too_much_is_short_and_not_unsafe():
    judged, codes = verdict({"size": "1/0", "device": {"family": "class-t", "rating": {"value": 150, "unit": "A"}}}, drop_limit=0.002)
    assert judged.verdict == "fails" and set(failed(judged)) == {"voltage-drop", "voltage-drop-at-temperature"}
    assert "chosen-drops" in codes and "chosen-unsafe" not in codes


@pytest.mark.parametrize(
    ("chosen", "changes", "says"),
    [
        ({"size": "1/0", "device": {"family": "breaker-ac", "rating": {"value": 150, "unit": "A"}}}, {}, "not made for direct current"),
        ({"size": "1/0", "device": {"rating": {"value": 150, "unit": "A"}, "polarity_marked": True}}, {}, "marked for polarity"),
        ({"size": "2", "sets": 2}, {}, "in parallel are permitted from 1/0"),
        ({"size": "1/0", "sets": 3}, {"to_end": {"by": "stud", "thread": "M8", "lugs_most": 2}}, "take 2 conductors together, not 3"),
        ({"size": "4/0"}, {"largest_conductor": "2/0"}, "larger than the terminals take, 2/0 at most"),
        ({"size": "3/0"}, {"to_end": {"by": "stud", "thread": "1/4"}}, "No lug of 3/0 is made for the studs"),
        ({"size": "1"}, {"to_end": {"by": "clamp", "largest": "4/0", "smallest": "1/0"}}, "smaller than the terminals take, 1/0 at least"),
        ({"size": "1/0"}, {"return_path": {"by": "chassis"}}, "returns by a conductor, not by the chassis"),
        ({"size": "18"}, {"from_end": {"by": "stud", "thread": "#10"}, "to_end": {"by": "clamp", "largest": "3", "smallest": "3"}},
         "18 is smaller than the terminals take, and no larger one is made for both ends"),
        ({"size": "300"}, {"place": "free-air", "insulation": "105C"}, "no ampacity is printed for 300"),
        ({"size": "1/0"}, {"insulation": "60C", "ambient": {"value": 75, "unit": "degC"}}, "no permitted ampacity"),
    ],
)
def test_what_no_number_says_stands_against_it_in_words(chosen, changes, says):
    judged, codes = verdict(chosen, **changes)
    assert judged.verdict == "fails" and says in " ".join(judged.why) and "chosen-unsafe" in codes


def test_a_label_that_nobody_read_is_not_proven():
    judged, codes = verdict({"size": "1/0", "device": {"rating": {"value": 150, "unit": "A"}}})
    assert judged.verdict == "not-proven" and failed(judged) == []
    assert all(word in " ".join(judged.why) for word in ("voltage of the device", "interrupting rating", "marked for polarity"))
    assert "chosen-not-proven" in codes
    assert judged.device.voltage is None and judged.device.interrupting is None
    assert not {"device-voltage", "device-interrupts"} & {check.name for check in judged.checks}


BERTH = {"practice": "us-craft", "system": {"by": "alternating", "circuit_class": "shore-inlet", "nominal": {"value": 120, "unit": "V"}},
         "load": {"by": "current", "current": {"value": 0.5, "unit": "A"}}, "run": {"value": 2, "unit": "ft"},
         "fault": {"by": "maker", "current": {"value": 900, "unit": "A"}}}


@pytest.mark.parametrize(("poles", "expected", "says"), [
    (2, "passes", ""), (3, "passes", ""), (1, "fails", "opens 1 of 2 poles"), (None, "not-proven", "How many poles the device opens together"),
])
def test_a_breaker_of_a_boat_opens_the_neutral_too(poles, expected, says):
    """ABYC E-11, breakers of shore power open all current-carrying conductors together [published-once]."""
    label = {"family": "breaker-ac", "rating": {"value": 15, "unit": "A"}} | ({} if poles is None else {"poles": poles})
    judged = ask(BERTH | {"chosen": {"size": "14", "device": label}}).chosen
    assert judged.verdict == expected and says in " ".join(judged.why)


def test_a_breaker_of_a_vehicle_need_not_open_the_neutral():
    judged = ask(BERTH | {"practice": "us-vehicle", "chosen": {"device": {"family": "breaker-ac", "rating": {"value": 15, "unit": "A"}}}}).chosen
    assert judged.verdict == "passes"


@pytest.mark.parametrize(("practice", "family", "says"), [
    ("us-craft", "blade", "Blade fuse: not made for alternating current."), ("us-vehicle", "class-t", "not made for alternating current."),
])
def test_a_fuse_for_direct_current_on_alternating_current(practice, family, says):
    label = {"family": family, "rating": {"value": 15, "unit": "A"}, "poles": 2}
    judged = ask(BERTH | {"practice": practice, "chosen": {"device": label}}).chosen
    assert judged.verdict == "fails" and says in " ".join(judged.why)


def test_without_a_makers_short_circuit_figure_nothing_passes():
    chosen = {"size": "1/0", "device": {"family": "class-t", "rating": {"value": 150, "unit": "A"}}}
    for fault in (None, {"by": "bank", "chemistry": "lfp", "unit_capacity": {"value": 100, "unit": "Ah"}}):
        assert verdict(chosen, fault=fault)[0].verdict == "not-proven"


def test_a_rating_that_is_not_made_is_said():
    assert "rating-not-made" in verdict({"size": "1/0", "device": {"family": "class-t", "rating": {"value": 140, "unit": "A"}}})[1]


def test_the_allowance_for_boats_counts_where_nothing_else_passes():
    """33 CFR 183.455(c): up to 150 % of the ampacity. 8 AWG of 105 °C in a pair carries 80 × 0.7 = 56 A; 60 A on it is the next rating."""
    boat = {
        "practice": "us-craft", "system": {"by": "direct", "circuit_class": "dc-feeder", "nominal": {"value": 12, "unit": "V"}},
        "load": {"by": "current", "current": {"value": 40, "unit": "A"}}, "run": {"value": 2, "unit": "ft"}, "terminals": "90C",
        "fault": {"by": "maker", "current": {"value": 900, "unit": "A"}},
    }
    label = {"family": "strip-30", "rating": {"value": 60, "unit": "A"}}
    assert ask(boat | {"chosen": {"size": "8", "device": label}}).chosen.verdict == "passes"
    over = ask(boat | {"chosen": {"size": "8", "device": label | {"rating": {"value": 100, "unit": "A"}}}}).chosen
    assert over.verdict == "fails" and failed(over) == ["device-protects-conductor"]


# -- for every request -----------------------------------------------------------------------------------------------


POLES = {"breaker-ac-240": 2, "breaker-ac-metric-230": 2, "breaker-ac-120-two-pole": 2, "breaker-ac-240-three-pole": 3}
"""As the titles of the rows say; all other devices have one."""


def own_choice(request: CircuitRequest) -> None:
    """What we size ourselves never fails when it is put back as a choice."""
    sized, _ = size(request)
    circuit = sized.circuit
    assume(circuit.outcome == "sized")
    row, device = circuit.conductor, circuit.device
    label = None if device is None else DeviceLabel(
        Current(device.rating_a, "A"), device.family, DcVoltage(device.voltage_v, "V"), FaultCurrent(device.interrupting_a, "A"), device.polarised,
        POLES.get(device.row, 1),
    )
    again = accepted(msgspec.structs.replace(request, chosen=ChosenConductor(row.size, row.sets, label)))
    judged = size(again)[0].judged
    short = device is not None and device.interrupting == "short"
    assert [check.rule.name for check in judged.checks if not check.passed] in ([], ["device-interrupts"])
    proven = device is None or device.interrupting == "sufficient"
    assert judged.verdict == ("passes" if proven else "fails" if short or not all(check.passed for check in judged.checks) else "not-proven")
    assert judged.conductor == row


@some(60)
def test_what_we_size_stands_up_to_its_own_verdict(many):
    held(own_choice, many, request=requests(chosen=st.none()))


def by_plain_search(request: CircuitRequest) -> None:
    """A choice of a conductor passes or fails as the plain search over the printed tables says."""
    c = Circumstances(request)
    sized, _ = size(request)
    judged, chosen = sized.judged, request.chosen
    name, sets = chosen.size, chosen.sets
    if judged.conductor is None:
        assert judged.verdict == "fails"
        return
    rating = judged.device.rating_a if judged.device is not None else None
    faults = c.faults(name, sets, rating)
    if faults and c.source.device_allowance and rating is not None:
        faults = c.faults(name, sets, rating, c.source.device_allowance) and faults
    told = [check.rule.name for check in judged.checks if not check.passed]
    assert [fault for fault in told if fault not in ("device-carries-load", "device-voltage", "device-interrupts", "device-within-equipment-limit")] == faults
    if name not in c.permitted(sets) or (rating is not None and rating * SLACK < c.needed):
        assert judged.verdict == "fails"
    if faults:
        assert judged.verdict == "fails"


@some(120)
def test_verdicts_agree_with_a_plain_search(many):
    sizes = st.sampled_from(("18", "14", "10", "6", "4", "2", "1/0", "2/0", "4/0", "0.75", "2.5", "25", "50", "95"))
    chosen = st.builds(ChosenConductor, size=sizes, sets=st.integers(1, 3), device=st.one_of(st.none(), st.builds(
        DeviceLabel, rating=st.builds(Current, value=st.sampled_from((5.0, 15.0, 30.0, 60.0, 100.0, 150.0, 200.0, 300.0)), unit=st.just("A")),
        family=st.sampled_from(("class-t", "strip-51", "blade", "terminal-fuse")),
    )))
    held(by_plain_search, many, request=requests(chosen=chosen))
