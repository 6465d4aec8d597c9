"""Arithmetic of what a device carries for a time, in heat and in cold."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite


@formula("rating_multiple", cite=cite("design-arithmetic", "a current over a rating"))
def multiple_of_rating(transient_current_a: float, device_rating_a: float) -> float:
    """How many times its rating a device carries.

    Valid: any. Neglects: the temperature of the place. Errs: exact.

    >>> multiple_of_rating(132.0, 60.0)
    2.2
    """
    return transient_current_a / device_rating_a


@formula("derated_rating_a", cite=cite("design-arithmetic", "a rating times what the heat leaves of it; cold is never counted in its favour"))
def rating_in_heat(device_rating_a: float, device_ambient_factor: float) -> float:
    """Current that a device carries in the hottest place.

    Valid: the factor belongs to the family. Neglects: devices side by side in one block. Errs: low in the cold.

    >>> rating_in_heat(60.0, 0.93), rating_in_heat(60.0, 1.08)
    (55.800000000000004, 60.0)
    """
    return device_rating_a * min(1, device_ambient_factor)


@formula("raised_rating_a", cite=cite("design-arithmetic", "a rating times what the cold adds to it; heat is never counted in its favour"))
def rating_in_cold(device_rating_a: float, device_ambient_factor: float) -> float:
    """Rating by which a device opens in the coldest place.

    Valid: the factor belongs to the family. Neglects: nothing. Errs: high in heat.

    >>> rating_in_cold(100.0, 1.08), rating_in_cold(100.0, 0.9)
    (108.0, 100.0)
    """
    return device_rating_a * max(1, device_ambient_factor)
