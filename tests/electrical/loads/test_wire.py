"""Loads from the wire: every draw, use and start arrives, and what contradicts itself is refused with its place."""

import msgspec
import pytest
from examples_runner import calculate

from ohmstead.api.body import Reader
from ohmstead.electrical.loads import model
from ohmstead.reference.case import Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.problems import Contradiction, Problem
from ohmstead.wire.v1.demand import DemandRequest, read


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def asked(*loads, **more):
    return msgspec.convert({"system_voltage": 12, "loads": list(loads), **more}, DemandRequest)


def load(name="it", current="ac", **more):
    return {
        "id": name, "current": current, "draw": {"by": "power", "power": {"value": 1.0, "unit": "kW"}},
        "use": {"by": "every-day", "hours_per_day": 2}, **more,
    }


def one(**more) -> model.Load:
    return read(asked(load(**more)), Door()).loads[0]


def test_two_loads_of_one_id_are_refused_at_the_second():
    with pytest.raises(Contradiction) as refused:
        read(asked(load("a"), load("b"), load("a"), load("b")), Door())
    assert [fault.pointer for fault in refused.value.faults] == ["/loads/2/id", "/loads/3/id"]


@pytest.mark.parametrize(
    ("current", "draw", "expected"),
    [
        ("ac", {"by": "power", "power": {"value": 1.2, "unit": "kW"}}, model.ByPower(1200.0)),
        ("dc", {"by": "current", "current": {"value": 2.0, "unit": "A"}, "voltage": {"value": 12.0, "unit": "V"}}, model.ByCurrent(2.0, 12.0)),
        ("ac", {"by": "appliance", "appliance": "toaster"}, model.ByAppliance("toaster")),
        ("dc", {"by": "appliance", "appliance": "bilge-pump-12v", "power": {"value": 0.09, "unit": "kW"}}, model.ByAppliance("bilge-pump-12v", 90.0)),
        ("ac", {"by": "cooking-power", "cooking_power": {"value": 800.0, "unit": "W"}}, model.ByCookingPower(800.0)),
    ],
)
def test_draws(current, draw, expected):
    assert one(current=current, draw=draw).draw == expected


@pytest.mark.parametrize(
    ("use", "expected"),
    [
        ({"by": "every-day", "hours_per_day": 5}, model.EveryDay(5.0)),
        ({"by": "by-season", "summer_hours": 1, "winter_hours": 7}, model.BySeason(1.0, 7.0)),
        ({"by": "by-month", "february": 3, "december": 4}, model.ByMonth((0.0, 3.0, *[0.0] * 9, 4.0))),
    ],
)
def test_uses(use, expected):
    assert one(use=use).use == expected


PLATE = {"current": {"value": 60.0, "unit": "A"}, "voltage": {"value": 120.0, "unit": "V"}}


@pytest.mark.parametrize(
    ("start", "expected"),
    [
        ({"by": "none"}, model.NoStart()),
        ({"by": "multiple", "multiple": 3}, model.StartMultiple(3.0)),
        ({"by": "kind", "kind": "compressor"}, model.StartKind("compressor")),
        ({"by": "locked-rotor", **PLATE}, model.LockedRotor(60.0, 120.0)),
        ({"by": "locked-rotor", **PLATE, "soft_starter": {}}, model.LockedRotor(60.0, 120.0, model.SoftStart())),
        ({"by": "locked-rotor", **PLATE, "soft_starter": {"left": 0.4}}, model.LockedRotor(60.0, 120.0, model.SoftStart(0.4))),
        ({"by": "code-letter", "letter": "H", "rated": {"value": 0.75, "unit": "hp"}}, model.CodeLetter("H", 0.75)),
        ({"by": "measured", "apparent_power": {"value": 2.1, "unit": "kVA"}}, model.MeasuredStart(2100.0)),
    ],
)
def test_starts(start, expected):
    assert one(start=start).start == expected


def test_the_letter_without_an_upper_end_is_not_taken():
    with pytest.raises(msgspec.ValidationError, match="letter"):
        one(start={"by": "code-letter", "letter": "V", "rated": {"value": 1.0, "unit": "hp"}})


def test_direct_current_has_no_power_factor():
    with pytest.raises(msgspec.ValidationError, match="power_factor"):
        one(current="dc", power_factor=0.9)


def test_a_traced_number_knows_its_place():
    request = asked(load(start={"by": "locked-rotor", **PLATE, "soft_starter": {"left": 0.4}}, standby={"power": {"value": 2.0, "unit": "W"}, "hours_per_day": 3}))
    found = read(request, Door(traced=True)).loads[0]
    places = [
        (found.draw.load_power_w, "draw/power"), (found.use.hours_per_day, "use/hours_per_day"), (found.start.locked_rotor_a, "start/current"),
        (found.start.soft_start.soft_start_factor, "start/soft_starter/left"), (found.standby.standby_w, "standby/power"),
        (found.standby.standby_hours, "standby/hours_per_day"),
    ]
    assert [number.origin.pointer for number, _ in places] == [f"/loads/0/{place}" for _, place in places]


def test_other_units_give_the_same_answer(shelf):
    in_watts = {**load(), "draw": {"by": "power", "power": {"value": 1000.0, "unit": "W"}}}
    answers = [calculate("demand", {"system_voltage": 12, "loads": [one]}, shelf) for one in (load(), in_watts)]
    assert answers[0] == answers[1]


def test_loads_are_answered_in_the_order_of_the_request(shelf):
    answer = calculate("demand", {"system_voltage": 12, "loads": [load("b"), load("a", "dc", shore_only=True)]}, shelf)
    assert [(said["id"], said["served_by"]) for said in answer["demand"]["loads"]] == [("b", "bank"), ("a", "shore")]


def test_an_appliance_of_the_other_current_is_not_taken():
    with pytest.raises(msgspec.ValidationError, match="appliance"):
        one(current="dc", draw={"by": "appliance", "appliance": "toaster"})


def test_every_fault_is_named_in_one_reply():
    """Duty above one, a load with no power, one with a power of nought, a day of thirty hours, no such appliance, no such voltage."""
    watts = {"by": "power", "power": {"value": 0, "unit": "W"}}
    body = {
        "system_voltage": 36, "loads": [
            load("a", duty=1.5), {"id": "b", "current": "dc", "use": {"by": "every-day", "hours_per_day": 30}}, load("c", draw=watts),
            load("d", draw={"by": "appliance", "appliance": "time-machine"}), load("e", "dc", voltage={"value": 0, "unit": "V"}),
        ],
    }
    with pytest.raises(Problem) as refused:
        Reader(DemandRequest).read(msgspec.json.encode(body))
    assert {fault.pointer for fault in refused.value.faults} == {
        "/system_voltage", "/loads/0/duty", "/loads/1/draw", "/loads/1/use/hours_per_day", "/loads/2/draw/power/value",
        "/loads/3/draw/appliance", "/loads/4/voltage/value",
    }


def test_what_no_converter_reaches_is_answered_beside_everything_else(shelf):
    far = load("far", "dc", voltage={"value": 400, "unit": "V"})
    answer = calculate("demand", {"system_voltage": 12, "loads": [far, load("near", "dc")]}, shelf)
    assert [(converter["outcome"], converter["loads"]) for converter in answer["demand"]["converters"]] == [("nothing-fits", ["far"])]
    assert answer["demand"]["energy"]["day"]["value"] > 0
    assert "converter-none" in {finding["code"] for finding in answer["findings"]}


def test_a_caller_may_leave_everything_to_the_list(shelf):
    kettle = {"id": "kettle", "current": "ac", "draw": {"by": "appliance", "appliance": "kettle-120v"}}
    answer = calculate("demand", {"system_voltage": 12, "loads": [kettle]}, shelf)
    said = {one["name"]: one for one in answer["assumptions"] if one["pointer"]}
    assert set(said) == {"load_power_w", "hours_per_day", "duty", "power_factor", "start_multiple"}
    assert all(one["pointer"].startswith("/loads/0/") and one["basis"] == "recalled" for one in said.values())
