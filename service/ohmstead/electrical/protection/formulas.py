"""Arithmetic of overcurrent devices and grounding conductors."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite


@formula("device_needed_a", cite=cite("nec-chapters-1-4", "210.20(A), 215.3; 706.31(B)"))
def device_needed(thermal_current_a: float) -> float:
    """Smallest rating that the design current permits.

    Valid: devices that are not rated for 100 % continuous duty. Neglects: heat of the place. Errs: exact.

    >>> device_needed(264.6)
    264.6
    """
    return thermal_current_a


@formula("earth_area_cmil", cite=cite("nec-250-122", "250.122(B)"))
def enlarged_grounding_area(earth_area_cmil: float, circuit_area_cmil: float, minimum_area_cmil: float) -> float:
    """Area of the grounding conductor when the circuit conductors are larger than ampacity needs.

    Valid: enlargement for voltage drop; not for photovoltaic circuits. Neglects: nothing. Errs: exact.

    >>> round(enlarged_grounding_area(10380.0, 26240.0, 16510.0), 1)
    16497.3
    """
    return earth_area_cmil * circuit_area_cmil / minimum_area_cmil
