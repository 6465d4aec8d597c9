"""Inverter from the wire: the flat query is the same request, and other units give the same answer."""

import pytest
from examples_runner import calculate

from ohmstead.reference.case import Shelf
from ohmstead.wire import query
from ohmstead.wire.v1.inverter import InverterRequest, StatedInverter
from ohmstead.wire.quantities import AirTemperature, Altitude, ApparentPower, Current, DcVoltage, Power, StandbyPower


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def test_every_field_can_stand_in_a_query_string():
    given = {
        "system_voltage": "24", "running": "1.5 kW", "running_apparent": "1700 VA", "surge": "3 kVA", "power_factor": "0.9",
        "largest_load": "1200 W", "cut_off": "21.5 V", "efficiency": "0.88", "temperature": "104 degF", "altitude": "5000 ft", "margin": "1.3",
        "supply_breaker": "30 A", "inverter.power": "3000 W", "inverter.apparent_power": "3 kVA", "inverter.surge": "6000 VA",
        "inverter.idle": "20 W", "inverter.transfer": "50 A",
    }
    assert set(given) == set(query.parameters(InverterRequest))
    assert query.read(given, InverterRequest) == InverterRequest(
        24, Power(1.5, "kW"), ApparentPower(1700.0, "VA"), ApparentPower(3.0, "kVA"), 0.9, Power(1200.0, "W"), DcVoltage(21.5, "V"), 0.88,
        AirTemperature(104.0, "degF"), Altitude(5000.0, "ft"), 1.3,
        StatedInverter(Power(3000.0, "W"), ApparentPower(3.0, "kVA"), ApparentPower(6000.0, "VA"), StandbyPower(20.0, "W"), Current(50.0, "A")),
        Current(30.0, "A"),
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
