"""The closed list of units, with exact factors built once from pint.

Text from a request never reaches pint: it would evaluate `9**9**9 ft` and read `1 000 ft` as nought.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from fractions import Fraction
from typing import Literal, NamedTuple

import pint

System = Literal["us", "metric"]

# One line a kind of quantity: our names, each with what pint calls it. Units of one line convert into each other.
_KINDS: tuple[dict[str, str], ...] = (
    {"m": "meter", "cm": "centimeter", "mm": "millimeter", "km": "kilometer", "ft": "foot", "in": "inch"},
    {"m2": "meter**2", "cm2": "centimeter**2", "mm2": "millimeter**2", "ft2": "foot**2", "kcmil": "kilocircular_mil"},
    {"A": "ampere", "mA": "milliampere", "kA": "kiloampere"},
    {"V": "volt", "mV": "millivolt", "kV": "kilovolt"},
    {"W": "watt", "kW": "kilowatt"},
    {"hp": "horsepower"},
    {"VA": "volt*ampere", "kVA": "kilovolt*ampere"},
    {"Wh": "watt*hour", "kWh": "kilowatt*hour"},
    {"Ah": "ampere*hour"},
    {"ohm": "ohm", "mohm": "milliohm"},
    {"ohm/km": "ohm/kilometer", "ohm/kft": "ohm/kilofoot", "ohm/m": "ohm/meter"},
    {"degC": "degree_Celsius", "degF": "degree_Fahrenheit"},
    {"K": "kelvin"},
    {"1/K": "1/kelvin", "%/K": "percent/kelvin"},
    {"V/K": "volt/kelvin", "mV/K": "millivolt/kelvin"},
    {"kg": "kilogram", "g": "gram", "lb": "pound"},
    {"h": "hour", "min": "minute", "s": "second", "days": "day"},
    {"L": "liter", "gal": "gallon"},
    {"L/h": "liter/hour", "gal/h": "gallon/hour"},
    {"m3": "meter**3", "ft3": "foot**3"},
    {"m3/h": "meter**3/hour", "L/s": "liter/second", "ft3/min": "foot**3/minute"},
    {"W/m2": "watt/meter**2"},
    {"kWh/m2": "kilowatt*hour/meter**2", "MJ/m2": "megajoule/meter**2"},
    {"deg": "degree"},
    {"Hz": "hertz"},
    {"A2s": "ampere**2*second", "kA2s": "kiloampere**2*second"},
    {"N.m": "newton*meter", "lbf.in": "force_pound*inch"},
)

_US = {
    "m": "ft",
    "mm": "in",
    "m2": "ft2",
    "m3": "ft3",
    "m3/h": "ft3/min",
    "mm2": "kcmil",
    "kg": "lb",
    "degC": "degF",
    "ohm/km": "ohm/kft",
    "L": "gal",
    "L/h": "gal/h",
    "N.m": "lbf.in",
}

LONGEST_TEXT = 48
NUMBER_PATTERN = r"-?[0-9]{1,15}(\.[0-9]{1,18})?([eE][-+]?[0-9]{1,2})?"
_TEXT = re.compile(rf"({NUMBER_PATTERN}) ?([A-Za-z%][A-Za-z0-9%/.]*)")


class Factor(NamedTuple):
    """A conversion in whole numbers where they exist: (value * num + add) / den."""

    num: float
    add: float
    den: float


class UnreadableQuantity(ValueError):
    """A text that is not a number with a unit of the list."""


def convert(value: float, unit: str, target: str) -> float:
    """The same quantity in another unit of its kind.

    >>> convert(12, "ft", "m")
    3.6576
    >>> convert(-40, "degF", "degC")
    -40.0
    """
    num, add, den = FACTORS[unit, target]
    return (value * num + add) / den


def to_service(value: float, unit: str) -> float:
    """The quantity in the unit that the service uses for its kind.

    >>> to_service(250, "mA")
    0.25
    """
    return convert(value, unit, SERVICE_UNIT[unit])


def from_service(value: float, unit: str, system: System) -> tuple[float, str]:
    """The quantity and its unit in a system of units; units without a counterpart stay.

    >>> from_service(3.6576, "m", "us")
    (12.0, 'ft')
    >>> from_service(100, "A", "us")
    (100, 'A')
    """
    target = _US.get(unit) if system == "us" else None
    return (convert(value, unit, target), target) if target else (value, unit)


def read_quantity(text: str, units: Iterable[str]) -> tuple[float, str]:
    """A number and a unit out of a text such as `12 ft`.

    Raises UnreadableQuantity, whose message names the units. Bounds are not looked at here.

    >>> read_quantity("12 ft", ("ft", "m"))
    (12.0, 'ft')
    """
    found = _TEXT.fullmatch(text) if len(text) <= LONGEST_TEXT else None
    if found is None or found[4] not in units:
        raise UnreadableQuantity(
            f'write one plain number and one unit, such as "12 {next(iter(units))}"; units: {", ".join(units)}'
        )
    return float(found[1]), found[4]


def text_pattern(units: Iterable[str]) -> str:
    """The pattern of such a text, for the published schema."""
    return rf"^{NUMBER_PATTERN} ?({'|'.join(re.escape(unit) for unit in units)})$"


def _build() -> dict[tuple[str, str], Factor]:
    registry = pint.UnitRegistry(non_int_type=Fraction)
    return {
        (unit, target): _factor(registry, kind[unit], kind[target])
        for kind in _KINDS
        for unit in kind
        for target in kind
    }


def _factor(registry: pint.UnitRegistry, source: str, target: str) -> Factor:
    if source == target:
        return Factor(1.0, 0.0, 1.0)
    offset, one = (Fraction(registry.Quantity(Fraction(amount), source).to(target).magnitude) for amount in (0, 1))
    slope = one - offset
    den = math.lcm(slope.denominator, offset.denominator)
    whole = (int(slope * den), int(offset * den), den)
    if max(map(abs, whole)) < 2**53:
        return Factor(*map(float, whole))
    return Factor(float(slope), float(offset), 1.0)  # pi in circular mils; too many digits in pound-force inches


UNITS: tuple[str, ...] = tuple(unit for kind in _KINDS for unit in kind)
SERVICE_UNIT: dict[str, str] = {unit: next(iter(kind)) for kind in _KINDS for unit in kind}
FACTORS: dict[tuple[str, str], Factor] = _build()
