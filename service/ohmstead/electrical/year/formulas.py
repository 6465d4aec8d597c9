"""Arithmetic of the monthly balance. All energies are of the average day of a month, at the bank."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")


@formula("income_wh", cite=_OWN)
def income(*supply_energy_wh: float) -> float:
    """Energy from sun and supplies together.

    Valid: averages. Neglects: that a full bank turns energy away. Errs: high in months of surplus.

    >>> income(1500.0, 400.0, 100.0)
    2000.0
    """
    return sum(supply_energy_wh)


@formula("balance_wh", cite=_OWN)
def balance(income_wh: float, month_energy_wh: float) -> float:
    """Energy over, or lacking where negative.

    Valid: averages. Neglects: runs of poor days, which the chance of running out is for. Errs: exact.

    >>> balance(2000.0, 2300.0)
    -300.0
    """
    return income_wh - month_energy_wh


@formula("covered_fraction", cite=_OWN)
def covered(income_wh: float, month_energy_wh: float) -> float:
    """Share of the loads' energy that is brought, at most all of it.

    Valid: loads above nought. Neglects: runs of poor days. Errs: high.

    >>> covered(1500.0, 2000.0)
    0.75
    """
    return min(1.0, income_wh / month_energy_wh)


@formula("days_to_empty", cite=_OWN)
def days_on_bank(usable_energy_wh: float, month_energy_wh: float, income_wh: float) -> float:
    """Days on which a full bank makes up for what is lacking.

    Valid: months with a deficit. Neglects: ageing, unless the aged energy is given. Errs: high for an old bank.

    >>> days_on_bank(1800.0, 2300.0, 2000.0)
    6.0
    """
    return usable_energy_wh / (month_energy_wh - income_wh)
