"""The closed list of units against pint, and what a text quantity may not be."""

from fractions import Fraction

import pint
import pytest

from ohmstead import units
from ohmstead.nomenclature import TERMS

REGISTRY = pint.UnitRegistry()


@pytest.mark.parametrize(("unit", "target"), sorted(units.FACTORS))
def test_conversion_agrees_with_pint(unit, target):
    names = {name: theirs for kind in units._KINDS for name, theirs in kind.items()}
    for value in (-40.0, 1.0, 12.0, 123.456):
        theirs = REGISTRY.Quantity(value, names[unit]).to(names[target]).magnitude
        assert units.convert(value, unit, target) == pytest.approx(theirs, rel=1e-12, abs=1e-12)


def test_conversion_is_rounded_once_where_the_factor_is_a_ratio():
    for value in (12.0, 13.0, 7.5, 100.0, 0.1):
        assert units.convert(value, "ft", "m") == float(Fraction(value) * Fraction(381, 1250))
    assert units.convert(12, "ft", "m") == 3.6576


def test_kcmil_is_the_area_of_a_circle():
    # 250 000 circles of 0.0254 mm, pi/4 each
    assert units.convert(250, "kcmil", "mm2") == pytest.approx(126.6769, rel=1e-6)


@pytest.mark.parametrize(
    "text",
    [
        "12'",
        "1 000 ft",
        "1e999 ft",
        "12 ft; 3",
        "nan ft",
        "inf ft",
        "9**9**9 ft",
        "12",
        "ft",
        "",
        " 12 ft",
        "12 ft ",
        "12  ft",
        "12 ft\n",
        "12 FT",
        "12 yd",
        "0x12 ft",
        "1_2 ft",
        "１２ ft",
        "12 ft + 3 in",
        "+12 ft",
        "1.5.2 ft",
        "1" * 50 + " ft",
        "12 ft" + " " * 100,
        "((12)) ft",
    ],
)
def test_refused_texts_name_the_units(text):
    with pytest.raises(units.UnreadableQuantity, match=r"units: ft, m"):
        units.read_quantity(text, ("ft", "m"))


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("12 ft", 12.0, "ft"),
        ("12ft", 12.0, "ft"),
        ("-12.5 m", -12.5, "m"),
        ("1.2e2 m", 120.0, "m"),
        ("5e-3 m", 0.005, "m"),
    ],
)
def test_read_texts(text, value, unit):
    assert units.read_quantity(text, ("ft", "m")) == (value, unit)


def test_us_units_and_back():
    for unit in units.SERVICE_UNIT.values():
        value, there = units.from_service(1.25, unit, "us")
        assert units.convert(value, there, unit) == pytest.approx(1.25, rel=1e-14)
    assert units.from_service(1.25, "m", "metric") == (1.25, "m")


def test_every_unit_of_a_request_reaches_the_unit_of_its_terms():
    # A term may be in a unit that no client sends (ohm.cmil/ft); those that clients send must convert.
    from ohmstead.wire.quantities import Quantity

    served = {kind.service for kind in Quantity.__subclasses__()}
    assert served <= set(units.UNITS)
    assert {"m", "A", "V", "W", "Wh", "Ah", "degC", "kg"} <= served & {term.unit for term in TERMS.values()}
