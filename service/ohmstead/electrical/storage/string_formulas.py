"""Arithmetic of how many strings each demand asks for, not yet rounded up."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite


@formula("strings", cite=cite("design-arithmetic", "need over what one string gives"))
def strings_for_energy(energy_needed_wh: float, unit_energy_wh: float, series: float) -> float:
    """Strings, not yet rounded, that hold an energy.

    Valid: like units. Neglects: nothing. Errs: exact.

    >>> strings_for_energy(5000.0, 1000.0, 2.0)
    2.5
    """
    return energy_needed_wh / (unit_energy_wh * series)


@formula("strings", cite=cite("design-arithmetic", "need over what one string gives"))
def strings_for_capacity(capacity_needed_ah: float, unit_capacity_ah: float) -> float:
    """Strings, not yet rounded, that have a capacity.

    Valid: like units. Neglects: nothing. Errs: exact.

    >>> strings_for_capacity(500.0, 200.0)
    2.5
    """
    return capacity_needed_ah / unit_capacity_ah


@formula("strings", cite=cite("design-arithmetic", "need over what one string gives"))
def strings_for_current(current_a: float, unit_current_a: float, sharing_factor: float) -> float:
    """Strings, not yet rounded, that carry a current with unequal sharing allowed for.

    Valid: two strings and more. Neglects: nothing. Errs: exact.

    >>> strings_for_current(300.0, 100.0, 0.75)
    4.0
    """
    return current_a / (unit_current_a * sharing_factor)


@formula("strings", cite=cite("design-arithmetic", "drop in one string over the drop that is left"))
def strings_for_voltage(string_resistance_ohm: float, discharge_current_a: float, drop_v: float) -> float:
    """Strings, not yet rounded, with which the voltage stays above a cut-off.

    Valid: a drop above nought. Neglects: unequal sharing. Errs: low where strings share badly.

    >>> strings_for_voltage(0.01, 250.0, 1.25)
    2.0
    """
    return string_resistance_ohm * discharge_current_a / drop_v
