"""Arithmetic of a day on a supply: energy of the loads, what the supply leaves to the bank, and how long the bank bears it."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")


@formula("day_energy_wh", cite=_OWN)
def day_energy(ac_energy_wh: float, dc_energy_wh: float) -> float:
    """Energy of a day, alternating- and direct-current loads together.

    Valid: both at the bank. Neglects: nothing. Errs: exact.

    >>> day_energy(1500.0, 500.0)
    2000.0
    """
    return ac_energy_wh + dc_energy_wh


@formula("running_va", cite=_OWN)
def running_on_legs(supply_voltage_v: float, leg_1_a: float, leg_2_a: float) -> float:
    """Apparent power of loads of which the currents on two legs are known.

    Valid: nominal voltage. Neglects: unlike power factors. Errs: high.

    >>> running_on_legs(120.0, 13.0, 12.0)
    3000.0
    """
    return supply_voltage_v * (leg_1_a + leg_2_a)


@formula("run_hours", cite=cite("design-arithmetic", "energy over power"))
def hours_to_empty(usable_energy_wh: float, bank_balance_w: float) -> float:
    """Hours from a full bank to its depth of discharge on a supply that does not hold it.

    Valid: a balance below nought. Neglects: that the loads of an hour differ from the mean. Errs: either.

    >>> hours_to_empty(1000.0, -50.0)
    20.0
    """
    return usable_energy_wh / -bank_balance_w


@formula("run_hours", cite=cite("design-arithmetic", "energy over power"))
def hours_of_supplement(usable_energy_wh: float, supplement_w: float, inverter_efficiency: float, mean_dc_w: float) -> float:
    """Hours for which a full bank adds to a supply while all loads that run together do.

    Valid: a supplement above nought. Neglects: the discharge rate of lead-acid. Errs: high for lead-acid.

    >>> hours_of_supplement(1000.0, 180.0, 0.9, 50.0)
    4.0
    """
    return usable_energy_wh / (supplement_w / inverter_efficiency + mean_dc_w)


@formula("balance_wh", cite=_OWN)
def day_balance(supply_energy_wh: float, day_energy_wh: float) -> float:
    """What a supply brings on the average day of a week, less what the loads take.

    Valid: a bank at its depth of discharge when the supply comes. Neglects: other supplies. Errs: high where the bank is fuller.

    >>> day_balance(1800.0, 2000.0)
    -200.0
    """
    return supply_energy_wh - day_energy_wh
