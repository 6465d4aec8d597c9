"""Arithmetic of bonds."""

from __future__ import annotations

from math import pi

from ...nomenclature import formula
from ...reference.citations import cite


@formula("earth_current_a", cite=cite("design-arithmetic", "current divider"))
def earth_share(current_a: float, neutral_path_ohm: float, earth_path_ohm: float) -> float:
    """Part of the neutral current that takes the earth path between two bonds.

    Valid: both paths joined at both ends. Neglects: reactance. Errs: either.

    >>> round(earth_share(24.0, 0.02, 0.04), 9)
    8.0
    """
    return current_a * neutral_path_ohm / (neutral_path_ohm + earth_path_ohm)


@formula("lead_area_mm2", cite=cite("design-arithmetic", "equal conductors in parallel"))
def lead_together(area_mm2: float, sets: float) -> float:
    """Area of a lead of several conductors.

    Valid: equal conductors. Neglects: nothing. Errs: exact.

    >>> lead_together(67.5, 2.0)
    135.0
    """
    return area_mm2 * sets


@formula("bond_needed_mm2", cite=cite("design-arithmetic", "the largest of"))
def largest_need(*bond_needed_mm2: float) -> float:
    """The largest of what rule, maker and short circuit ask of a bonding conductor.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> largest_need(8.37, 53.5)
    53.5
    """
    return max(bond_needed_mm2)


@formula("lead_area_mm2", cite=cite("design-arithmetic", "a circular mil is the area of a circle of 0.0254 mm"))
def area_from_cmil(line_area_cmil: float) -> float:
    """Area in square millimetres of one in circular mils.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> round(area_from_cmil(600000.0), 1)
    304.0
    """
    return line_area_cmil * pi / 4 * 0.0254**2
