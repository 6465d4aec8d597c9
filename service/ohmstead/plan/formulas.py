"""Arithmetic that joins one subject to the next."""

from __future__ import annotations

from ..nomenclature import formula
from ..reference.citations import cite


@formula("discharge_current_a", cite=cite("design-arithmetic", "power over voltage"))
def bank_current(power_w: float, lowest_voltage_v: float) -> float:
    """Current that the bank gives when everything that runs together does, on the lowest voltage.

    Valid: power counted at the bank. Neglects: drop in the cables. Errs: high while the bank is above its cut-off.

    >>> bank_current(1050.0, 10.5)
    100.0
    """
    return power_w / lowest_voltage_v


@formula("peak_current_a", cite=cite("design-arithmetic", "node sum"))
def peak_sum(discharge_current_a: float, current_a: float) -> float:
    """Current of the surge with the direct-current loads on.

    Valid: any. Neglects: nothing. Errs: high.

    >>> peak_sum(300.0, 20.0)
    320.0
    """
    return discharge_current_a + current_a


@formula("supply_energy_wh", cite=cite("design-arithmetic", "sum"))
def stored_by_supplies(*supply_energy_wh: float) -> float:
    """What all supplies bring on the average day.

    Valid: supplies that do not stand in each other's way. Neglects: a bank that is already full. Errs: high.

    >>> stored_by_supplies(500.0, 250.0)
    750.0
    """
    return sum(supply_energy_wh)


@formula("controller_limit_a", cite=cite("design-arithmetic", "equal parts"))
def controller_limit(charge_limit_a: float, controllers: float) -> float:
    """Output to program on each charge controller, so that together they stay within the bank's limit.

    Valid: controllers alike. Neglects: modules that give less. Errs: low.

    >>> controller_limit(70.0, 2.0)
    35.0
    """
    return charge_limit_a / controllers


@formula("charge_current_a", cite=cite("design-arithmetic", "what the sun leaves"))
def left_beside_sun(charge_limit_a: float, current_a: float) -> float:
    """Charging current that the other chargers may give while the array gives all it can.

    Valid: any. Neglects: clouds. Errs: low.

    >>> left_beside_sun(70.0, 50.0)
    20.0
    """
    return max(0.0, charge_limit_a - current_a)
