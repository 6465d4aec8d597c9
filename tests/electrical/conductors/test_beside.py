"""What an answer says beside the circuit: the neutral, a start, and what protects people."""

from __future__ import annotations

import msgspec
import pytest

from electrical.conductors.asking import ask
from ohmstead.api.calculation import Options, carry_out
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.reference.case import Shelf
from ohmstead.wire.problems import Problem

BRANCH = {
    "practice": "us-vehicle", "system": {"by": "direct", "circuit_class": "dc-branch", "nominal": {"value": 12, "unit": "V"}},
    "load": {"by": "current", "current": {"value": 5.5, "unit": "A"}}, "run": {"value": 1, "unit": "m"}, "continuous": False,
    "fault": {"by": "maker", "current": {"value": 900, "unit": "A"}},
}
INLET = {
    "system": {"by": "alternating", "circuit_class": "shore-inlet", "nominal": {"value": 120, "unit": "V"}},
    "load": {"by": "current", "current": {"value": 24, "unit": "A"}}, "run": {"value": 2, "unit": "m"},
}
MANY = next(item for item in CALCULATIONS if item.name == "circuits")


def test_a_start_that_opens_the_blade_fuse_is_found_with_the_rating_that_holds():
    """ISO 8820-3: a blade carries 1.1 times its rating for 100 h; between that and 1.35 it may open after 0.75 s.

    11.8 A for 1 s is 1.57 × 7.5 A (at 1.6 times it may open after 0.25 s) and 1.18 × 10 A; it is 0.79 × 15 A. The times hold at 23 °C.
    """
    answer = ask(BRANCH | {"ambient": {"value": 23, "unit": "degC"}, "start": {"by": "motor-start", "current": {"value": 11.8, "unit": "A"}, "duration": {"value": 1, "unit": "s"}}})
    assert answer.circuit.device.rating.value == 7.5
    assert (answer.start.verdict, answer.start.holding_rating.value) == ("may-open", 15.0)
    assert answer.start.multiple == pytest.approx(11.8 / 7.5)
    assert answer.start.ampacity_needed.value == 15.0
    (finding,) = [finding for finding in answer.findings if finding.code == "transient-opens-device"]
    assert "15 A" in finding.cure and finding.pointer == "/start"


def test_in_the_heat_the_same_start_is_a_larger_multiple():
    """ISO 8820 at 60 °C: 0.93 of the rating."""
    start = {"by": "motor-start", "current": {"value": 11.8, "unit": "A"}, "duration": {"value": 1, "unit": "s"}}
    answer = ask(BRANCH | {"ambient": {"value": 60, "unit": "degC"}, "start": start})
    assert answer.start.multiple == pytest.approx(11.8 / (7.5 * 0.93))
    (check,) = [check for check in answer.circuit.checks if check.name == "device-carries-load-in-heat"]
    assert check.actual.value == pytest.approx(7.5 * 0.93) and check.passed


def test_a_device_that_heat_leaves_too_little_is_found():
    """7.2 A for less than three hours on a 7.5 A blade at 60 °C, which carries 6.975 A there: 10 A it should be."""
    answer = ask(BRANCH | {"load": {"by": "current", "current": {"value": 7.2, "unit": "A"}}, "practice": "us-craft", "ambient": {"value": 60, "unit": "degC"}})
    (check,) = [check for check in answer.circuit.checks if check.name == "device-carries-load-in-heat"]
    assert not check.passed
    (finding,) = [finding for finding in answer.findings if finding.code == "device-short-in-heat"]
    assert "10 A" in finding.cure


def test_a_short_start_passes():
    answer = ask(BRANCH | {"start": {"by": "motor-start", "current": {"value": 11.8, "unit": "A"}, "duration": {"value": 0.1, "unit": "s"}}})
    assert answer.start.verdict == "holds" and answer.start.holding_rating is None


def test_the_neutral_of_an_adapter():
    """13 A and 12.5 A on one hot: 25.5 A in the neutral, nothing between the legs."""
    leg = {"arrangement": "one-hot", "current": {"value": 12.5, "unit": "A"}, "joint_breaker": {"value": 30, "unit": "A"}}
    answer = ask({"practice": "us-vehicle"} | INLET | {
        "load": {"by": "current", "current": {"value": 13, "unit": "A"}}, "system": INLET["system"] | {"second_leg": leg},
    })
    assert (answer.neutral.current.value, answer.neutral.behind_devices.value, answer.neutral.between_legs.value) == (25.5, 30.0, 0.0)
    assert ask({"practice": "us-vehicle"} | INLET).neutral is None


@pytest.mark.parametrize(
    ("practice", "device", "residual_a"),
    [
        ("us-craft", "equipment-leakage-interrupter", 0.03),  # ABYC E-11.11.1: 30 mA, 100 ms
        ("intl-craft", "residual-current-device", 0.03),  # ISO 13297: 30 mA, both poles
        ("intl-vehicle", "residual-current-device", 0.03),  # IEC 60364-7-721.415.1
    ],
)
def test_what_protects_people_at_the_inlet(practice, device, residual_a):
    found = {need.device: need for need in ask({"practice": practice} | INLET).people_protection}
    assert found[device].residual_current.value == residual_a and found[device].certain


def test_receptacles_of_a_vehicle_are_asked_about_when_nothing_is_said():
    """NEC 551.41(C): by the place of the receptacle."""
    branch = {"practice": "us-vehicle"} | INLET
    system = INLET["system"] | {"circuit_class": "ac-branch"}
    silent = ask(branch | {"system": system, "load": {"by": "current", "current": {"value": 12, "unit": "A"}}})
    assert silent.people_protection and not any(need.certain for need in silent.people_protection)
    told = ask(branch | {"system": system | {"serves": "receptacles", "where": "bath"}, "load": {"by": "current", "current": {"value": 12, "unit": "A"}}})
    assert [(need.residual_current.value, need.certain) for need in told.people_protection] == [(0.005, True)]
    fixed = ask(branch | {"system": system | {"serves": "fixed", "where": "elsewhere"}, "load": {"by": "current", "current": {"value": 12, "unit": "A"}}})
    assert fixed.people_protection == []


# -- a list of circuits ------------------------------------------------------------------------------------------------


def many(*circuits, **options):
    request = msgspec.convert({"circuits": list(circuits)}, MANY.request)
    return carry_out(MANY, Shelf(), request, Options(**options))[1]


def test_each_circuit_of_a_list_is_what_it_is_alone():
    requests = {
        "start": BRANCH | {"start": {"by": "motor-start", "current": {"value": 11.8, "unit": "A"}, "duration": {"value": 1, "unit": "s"}}},
        "inlet": {"practice": "us-craft"} | INLET,
        "chosen": BRANCH | {"chosen": {"size": "18"}},
        "hot": BRANCH | {"ambient": {"value": 60, "unit": "degC"}, "insulation": "75C"},
        "cool": BRANCH | {"ambient": {"value": 20, "unit": "degC"}},
    }
    answer = many(*({"id": id, "circuit": request} for id, request in requests.items()))
    assert [part.id for part in answer.circuits] == list(requests)
    for position, part in enumerate(answer.circuits):
        alone = ask(requests[part.id])
        for field in ("circuit", "chosen", "neutral", "start", "people_protection"):
            assert getattr(part, field) == getattr(alone, field), (part.id, field)
        here = [finding for finding in answer.findings if finding.pointer.startswith(f"/circuits/{position}/circuit")]
        assert [(finding.code, finding.pointer) for finding in here] == [
            (finding.code, f"/circuits/{position}/circuit{finding.pointer}") for finding in alone.findings
        ]
    assert len({assumption.name for assumption in answer.assumptions}) == len(answer.assumptions)


def test_the_order_of_a_list_changes_nothing():
    circuits = [{"id": f"c-{amps}", "circuit": BRANCH | {"load": {"by": "current", "current": {"value": amps, "unit": "A"}}}} for amps in (3, 8, 21)]
    forth, back = many(*circuits), many(*reversed(circuits))
    assert forth.circuits == list(reversed(back.circuits))


def test_everything_wrong_in_a_list_is_told_in_one_go():
    high = BRANCH["system"] | {"lowest": {"value": 13, "unit": "V"}}
    with pytest.raises(Problem) as raised:
        many({"id": "a", "circuit": BRANCH | {"system": high}}, {"id": "a", "circuit": BRANCH}, {"id": "b", "circuit": BRANCH | {"system": high}})
    assert [fault.pointer for fault in raised.value.faults] == ["/circuits/0/circuit/system/lowest", "/circuits/1/id", "/circuits/2/circuit/system/lowest"]
    with pytest.raises(Problem) as raised:
        many({"id": "a", "circuit": BRANCH | {"largest_conductor": "120"}}, {"id": "b", "circuit": BRANCH | {"kind": "boat"}})
    assert [fault.pointer for fault in raised.value.faults] == ["/circuits/0/circuit/largest_conductor", "/circuits/1/circuit/kind"]


@pytest.mark.parametrize(
    ("circuit_class", "told", "places"),
    [
        ("inverter-dc", {}, ["from"]),  # an inverter-charger limits itself
        ("bank-unit", {}, ["from", "to"]),  # the other strings feed the far end
        ("inverter-dc", {"source_at_load": True}, ["from", "to"]),
        ("bank-unit", {"source_at_load": False}, ["from"]),
    ],
)
def test_a_device_at_each_end_that_can_overload_the_conductors(circuit_class, told, places):
    """33 CFR 183.455, ISO 13297 12.3: self-limiting charging sources need none of their own."""
    system = BRANCH["system"] | {"circuit_class": circuit_class}
    assert ask(BRANCH | {"system": system, "both_ways": True} | told).circuit.device.places == places
