"""Numbers for people: few digits, rounded to the side on which nobody gets hurt; ratings are never rounded.

Inside the service and in its answers numbers keep all their digits. This is the only place that drops some.
"""

from __future__ import annotations

import math

from ..units import SERVICE_UNIT, convert, to_service

_NOISE = 1e-9
"""What binary arithmetic leaves behind: 14.200000000000001 is 14.2 and not a little more."""

_SIGNS = {"degC": "°C", "degF": "°F", "K": "K", "ohm": "Ω", "1/K": "per K", "1/m": "per m", "%/K": "% per K", "d": "days"}
_BOTH = {"m": ("ft", 2, 1), "kg": ("lb", 1, 0), "degC": ("degF", 1, 0)}
"""Service units that are printed in both systems: the other unit, and the digits of each."""


def near(value: float, digits: int = 0) -> str:
    """Rounded to the nearest, for numbers whose error has no dangerous side.

    >>> near(12.3456, 1), near(12840.2)
    ('12.3', '12,840')
    """
    return f"{_without_sign_of_nought(round(float(value), digits)):,.{digits}f}"


def up(value: float, digits: int = 0) -> str:
    """Rounded up: what is asked for, drawn, dropped or waited for.

    >>> up(160.01), up(14.200000000000001, 2)
    ('161', '14.20')
    """
    return _directed(value, digits, math.ceil)


def down(value: float, digits: int = 0) -> str:
    """Rounded down: what is given, left or allowed.

    >>> down(24.99), down(-3.01, 1)
    ('24', '-3.1')
    """
    return _directed(value, digits, math.floor)


def exact(value: float) -> str:
    """Every digit that says something, for ratings and settings.

    >>> exact(7.5), exact(125.0), exact(20000.0)
    ('7.5', '125', '20,000')
    """
    return f"{_without_sign_of_nought(float(f'{value:.12g}')):,.10f}".rstrip("0").rstrip(".")


def least(value: float, digits: int = 1) -> str:
    """A smallest rating: as it is where it is a round number, else rounded up.

    >>> least(300.0), least(42.65625)
    ('300', '42.7')
    """
    return exact(_rounded(value, digits, math.ceil))


def counted(value: float, one: str) -> str:
    """A number with the word for what it counts.

    >>> counted(1.0, "day"), counted(2.5, "day")
    ('1 day', '2.5 days')
    """
    return f"{exact(value)} {one}" if value == 1 else f"{exact(value)} {one}s"


def percent(fraction: float, digits: int = 0) -> str:
    """A fraction as per cent, to the nearest.

    >>> percent(0.955, 1)
    '95.5 %'
    """
    return f"{near(100 * float(fraction), digits)} %"


def percent_up(fraction: float, digits: int = 1) -> str:
    """A fraction as per cent, rounded up.

    >>> percent_up(0.02911)
    '3.0 %'
    """
    return f"{up(100 * float(fraction), digits)} %"


def percent_down(fraction: float, digits: int = 0) -> str:
    """A fraction as per cent, rounded down.

    >>> percent_down(0.9999)
    '99 %'
    """
    return f"{down(100 * float(fraction), digits)} %"


def length(value_m: float) -> str:
    """A length in both systems.

    >>> length(3.6576)
    '3.66 m (12 ft)'
    """
    return _in_both(float(value_m), "m")


def within(value_m: float) -> str:
    """A largest distance in both systems, rounded down.

    >>> within(0.4572)
    '0.45 m (18 in)'
    """
    return f"{down(value_m, 2)} m ({down(convert(float(value_m), 'm', 'in'))} in)"


def temperature(value_c: float) -> str:
    """A temperature in both systems.

    >>> temperature(-12.0)
    '-12 °C (10 °F)'
    """
    return _in_both(float(value_c), "degC")


def mass(value_kg: float) -> str:
    """A mass in both systems.

    >>> mass(25.6)
    '25.6 kg (56 lb)'
    """
    return _in_both(float(value_kg), "kg")


def quantity(value: float, unit: str) -> str:
    """A value of any unit with five digits; lengths, masses and temperatures in both systems.

    >>> quantity(0.97, "1"), quantity(12, "ft"), quantity(18, "A")
    ('0.97', '3.66 m (12 ft)', '18 A')
    """
    value, unit = _in_service_unit(float(value), unit)
    if unit in _BOTH:
        return _in_both(value, unit)
    number = exact(float(f"{value:.5g}"))
    return number if unit == "1" else f"{number} {_SIGNS.get(unit, unit)}"


def pair(actual: float, limit: float, unit: str) -> tuple[str, str]:
    """Two numbers of a check with six digits, or as many more as it takes to tell them apart, at most twelve.

    >>> pair(100.0004, 100.0, "A"), pair(9.99996, 10.0, "V")
    (('100.0004 A', '100 A'), ('9.99996 V', '10 V'))
    """
    for digits in range(6, 13):
        first, second = (exact(float(f"{value:.{digits}g}")) for value in (actual, limit))
        if first != second:
            break
    sign = "" if unit == "1" else f" {_SIGNS.get(unit, unit)}"
    return first + sign, second + sign


def _directed(value: float, digits: int, towards) -> str:
    return f"{_rounded(value, digits, towards):,.{digits}f}"


def _rounded(value: float, digits: int, towards) -> float:
    scaled = float(value) * 10**digits
    whole = round(scaled)
    if abs(scaled - whole) > _NOISE * max(1.0, abs(scaled)):
        whole = towards(scaled)
    return whole / 10**digits


def _without_sign_of_nought(value: float) -> float:
    return value if value else 0.0


def _in_service_unit(value: float, unit: str) -> tuple[float, str]:
    service = SERVICE_UNIT.get(unit)
    return (to_service(value, unit), service) if service in _BOTH else (value, unit)


def _in_both(value: float, unit: str) -> str:
    other, digits, other_digits = _BOTH[unit]
    first = exact(round(value, digits))
    second = exact(round(convert(value, unit, other), other_digits))
    return f"{first} {_SIGNS.get(unit, unit)} ({second} {_SIGNS.get(other, other)})"
