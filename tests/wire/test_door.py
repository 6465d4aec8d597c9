"""Numbers on their way in."""

import pytest

from ohmstead.wire.door import Door
from ohmstead.wire.problems import Problem
from ohmstead.wire.quantities import AirTemperature, DcVoltage, Quantity, RunLength
from ohmstead.working import Given, Traced


def test_a_plain_door_hands_out_floats():
    value = Door().quantity(RunLength(12, "ft"), "run_m", "", "run")
    assert type(value) is float and value == 3.6576
    assert type(Door().number(3, "sets", "", "sets")) is float


def test_a_traced_door_hands_out_numbers_that_know_their_place():
    value = Door(True).quantity(RunLength(12, "ft"), "run_m", "/circuits/0", "run")
    assert type(value) is Traced and value == 3.6576
    assert value.term.name == "run_m" and value.origin == Given("/circuits/0/run")
    assert Door(True).number(3, "sets", "", "sets").origin == Given("/sets")


def test_none_stays_none():
    assert Door().quantity(None, "run_m", "", "run") is None
    assert Door(True).number(None, "sets", "", "sets") is None


def test_a_term_in_another_unit_is_our_mistake():
    with pytest.raises(TypeError, match="current_a is in A"):
        Door(True).quantity(DcVoltage(12, "V"), "current_a", "", "voltage")


@pytest.mark.parametrize("traced", [False, True])
def test_physical_bounds_hold_after_conversion(traced):
    assert Door(traced).quantity(AirTemperature(140, "degF"), "ambient_c", "", "air") == 60.0
    with pytest.raises(Problem) as caught:
        Door(traced).quantity(AirTemperature(140, "degC"), "ambient_c", "", "air")
    (fault,) = caught.value.faults
    assert (fault.code, fault.pointer) == ("outside-physical-bounds", "/air")
    assert caught.value.status == 422


@pytest.mark.parametrize("kind", Quantity.__subclasses__())
def test_every_quantity_has_a_bounded_number_and_a_few_units(kind):
    import msgspec

    (_, parts) = msgspec.json.schema_components([kind])
    fields = parts[kind.__name__]["properties"]
    assert fields["value"]["minimum"] < fields["value"]["maximum"]
    assert fields["value"]["description"] and fields["unit"]["description"] and kind.__doc__
    assert 1 <= len(kind.units) <= 4
    low = min((fields["value"]["minimum"] * num + add) / den for num, add, den in kind.factors.values())
    # A denormal would send a quotient to infinity.
    assert low <= 0 or low >= 1e-6
