"""Inverter from the wire: the flat query is the same request, and other units give the same answer."""

import msgspec
import pytest
from examples_runner import calculate

from ohmstead.api.body import Reader
from ohmstead.reference.case import Shelf
from ohmstead.wire import query
from ohmstead.wire.problems import Problem
from ohmstead.wire.quantities import (
    AcVoltage, AirTemperature, Altitude, ApparentPower, Current, DcVoltage, Energy, Power, ShortDuration, StandbyPower,
)
from ohmstead.wire.v1.inverter import BankBehind, InverterRequest, MotorRequest, SecondLegRequest, StatedInverter
from ohmstead.wire.v1.loads import LockedRotorStart, SoftStarter


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def test_every_field_can_stand_in_a_query_string():
    given = {
        "system_voltage": "24", "running": "1.5 kW", "running_apparent": "1700 VA", "surge": "3 kVA", "power_factor": "0.9",
        "largest_load": "1200 W", "cut_off": "21.5 V", "efficiency": "0.88", "temperature": "104 degF", "altitude": "5000 ft", "margin": "1.3",
        "supply_breaker": "30 A", "inverter.power": "3000 W", "inverter.apparent_power": "3 kVA", "inverter.surge": "6000 VA",
        "inverter.idle": "20 W", "inverter.transfer": "50 A", "inverter.surge_duration": "5 s", "inverter.wave": "sine",
        "motor.power": "1200 W", "motor.power_factor": "0.8", "motor.start.by": "locked-rotor", "motor.start.current": "60 A",
        "motor.start.voltage": "120 V", "motor.start.soft_starter.left": "0.4", "start_duration": "0.5 s", "feeds": "motor,electronic",
        "hours_per_day": "20", "bank.current": "200 A", "bank.peak": "300 A", "bank.peak_duration": "3 s", "bank.usable_energy": "4 kWh",
        "second_leg.running": "1 kW", "second_leg.running_apparent": "1.1 kVA", "second_leg.surge": "2 kVA", "second_leg.between": "800 W",
        "second_leg.between_apparent": "900 VA", "second_leg.between_surge": "2500 VA",
    }
    of_other_starts = {f"motor.start.{name}" for name in ("multiple", "kind", "letter", "rated", "apparent_power")}
    assert set(given) == set(query.parameters(InverterRequest)) - of_other_starts
    assert query.read(given, InverterRequest) == InverterRequest(
        24, Power(1.5, "kW"), ApparentPower(1700.0, "VA"), ApparentPower(3.0, "kVA"), 0.9, Power(1200.0, "W"), DcVoltage(21.5, "V"), 0.88,
        AirTemperature(104.0, "degF"), Altitude(5000.0, "ft"), 1.3,
        StatedInverter(Power(3000.0, "W"), ApparentPower(3.0, "kVA"), ApparentPower(6000.0, "VA"), StandbyPower(20.0, "W"), Current(50.0, "A"),
                       ShortDuration(5.0, "s"), "sine"),
        Current(30.0, "A"), MotorRequest(Power(1200.0, "W"), LockedRotorStart(Current(60.0, "A"), AcVoltage(120.0, "V"), SoftStarter(0.4)), 0.8),
        ShortDuration(0.5, "s"), ["motor", "electronic"], 20.0, BankBehind(Current(200.0, "A"), Current(300.0, "A"), ShortDuration(3.0, "s"), Energy(4.0, "kWh")),
        SecondLegRequest(
            Power(1.0, "kW"), ApparentPower(1.1, "kVA"), ApparentPower(2.0, "kVA"), Power(800.0, "W"), ApparentPower(900.0, "VA"),
            ApparentPower(2500.0, "VA"),
        ),
    )


def test_other_units_give_the_same_answer(shelf):
    metric = {"system_voltage": 24, "running": {"value": 1360.0, "unit": "W"}, "temperature": {"value": 40.0, "unit": "degC"}, "power_factor": 1.0}
    other = {**metric, "running": {"value": 1.36, "unit": "kW"}, "temperature": {"value": 104.0, "unit": "degF"}}
    one, two = calculate("inverter", metric, shelf), calculate("inverter", other, shelf)
    # 1360 x 1.25 / 0.85 is the rating of 2000 W to the last digit: a band edge.
    assert one["inverter"]["rating"]["row"] == two["inverter"]["rating"]["row"] == "2000w"


def test_a_check_that_fails_is_an_answer(shelf):
    answer = calculate(
        "inverter", {"system_voltage": 12, "running": {"value": 5.0, "unit": "kW"}, "inverter": {"power": {"value": 1.0, "unit": "kW"}}}, shelf)
    found = answer["inverter"]
    assert (found["outcome"], found["rating"], found["nearest"]["row"]) == ("nothing-fits", None, None)
    assert found["failed"]["passed"] is False and found["failed"]["clause"]


def test_every_fault_is_named_in_one_reply():
    """A power of nought, a letter that does not exist, a start of two hours, a wave of a third kind, a second leg without a load."""
    body = {
        "system_voltage": 24, "running": {"value": 0, "unit": "W"}, "feeds": ["motor", "gas"], "start_duration": {"value": 7200, "unit": "s"},
        "motor": {"power": {"value": 1, "unit": "kW"}, "start": {"by": "code-letter", "letter": "I", "rated": {"value": 1, "unit": "hp"}}},
        "inverter": {"power": {"value": 2, "unit": "kW"}, "wave": "square"}, "second_leg": {}, "bank": {"current": {"value": 100, "unit": "V"}},
    }
    with pytest.raises(Problem) as refused:
        Reader(InverterRequest).read(msgspec.json.encode(body))
    assert {fault.pointer for fault in refused.value.faults} == {
        "/running/value", "/feeds/1", "/start_duration/value", "/motor/start/letter", "/inverter/wave", "/second_leg/running", "/bank/current/unit",
    }
