"""Arithmetic of overcurrent devices and grounding conductors."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite


@formula("device_needed_a", cite=cite("design-arithmetic", "a device carries the design current"))
def device_needed(thermal_current_a: float) -> float:
    """Smallest rating that the design current permits.

    Valid: devices that are not rated for 100 % continuous duty. Neglects: heat of the place. Errs: exact.

    >>> device_needed(264.6)
    264.6
    """
    return thermal_current_a


@formula("device_limit_a", cite=cite("design-arithmetic", "smaller of the next standard rating and a multiple of the ampacity"))
def excess_limit(standard_rating_a: float, device_excess: float, ampacity_a: float) -> float:
    """Largest device where the next standard rating is permitted up to a multiple of the ampacity.

    Valid: boats, as the outside where a smaller device would open for no fault. Neglects: overload below it. Errs: high.

    >>> excess_limit(300.0, 1.5, 269.5)
    300.0
    """
    return min(standard_rating_a, device_excess * ampacity_a)


@formula("ampacity_a", cite=cite("design-arithmetic", "smaller of the next standard rating and a multiple of the ampacity"))
def ampacity_below_excess(device_rating_a: float, device_excess: float) -> float:
    """Least ampacity that a device may exceed by the multiple.

    Valid: as `excess_limit`. Neglects: overload below it. Errs: low.

    >>> ampacity_below_excess(300.0, 1.5)
    200.0
    """
    return device_rating_a / device_excess


@formula("area_mm2", cite=cite("design-arithmetic", "equal conductors in parallel"))
def area_together(area_mm2: float, sets: float) -> float:
    """Area of conductors in parallel.

    Valid: equal conductors. Neglects: nothing. Errs: exact.

    >>> area_together(50.0, 2.0)
    100.0
    """
    return area_mm2 * sets


@formula("area_mm2", cite=cite("design-arithmetic", "half of an area"))
def half_area(area_mm2: float) -> float:
    """Area of the protective conductor of a large line conductor.

    Valid: copper like the line conductor. Neglects: fault current and time. Errs: high.

    >>> half_area(95.0)
    47.5
    """
    return area_mm2 / 2


@formula("earth_area_cmil", cite=cite("nec-250-122", "250.122(B)"))
def enlarged_grounding_area(earth_area_cmil: float, circuit_area_cmil: float, minimum_area_cmil: float) -> float:
    """Area of the grounding conductor when the circuit conductors are larger than ampacity needs.

    Valid: enlargement for voltage drop; not for photovoltaic circuits. Neglects: nothing. Errs: exact.

    >>> round(enlarged_grounding_area(10380.0, 26240.0, 16510.0), 1)
    16497.3
    """
    return earth_area_cmil * circuit_area_cmil / minimum_area_cmil
