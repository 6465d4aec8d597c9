"""Arithmetic of inverters on two legs: what the heavier leg carries, and what both take from the bank."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_IDENTITY = cite("design-arithmetic", "identity")
_LEGS = cite("design-arithmetic", "two legs in opposition")


@formula("running_power_w", cite=_LEGS)
def heavier_running(*running_power_w: float) -> float:
    """Power of the heavier leg.

    Valid: inverters alike on both legs. Neglects: nothing. Errs: exact.

    >>> heavier_running(900.0, 1500.0)
    1500.0
    """
    return max(running_power_w)


@formula("running_va", cite=_LEGS)
def heavier_apparent(*running_va: float) -> float:
    """Apparent power of the heavier leg.

    Valid: inverters alike on both legs. Neglects: nothing. Errs: exact.

    >>> heavier_apparent(900.0, 1500.0)
    1500.0
    """
    return max(running_va)


@formula("running_power_w", cite=_LEGS)
def power_with_between(running_power_w: float, between_power_w: float) -> float:
    """Power that the inverter of one leg carries: its leg, and half of what hangs between the legs.

    Valid: legs in opposition. Neglects: nothing. Errs: exact.

    >>> power_with_between(1500.0, 1000.0)
    2000.0
    """
    return running_power_w + between_power_w / 2


@formula("running_va", cite=_LEGS)
def apparent_with_between(running_va: float, between_va: float) -> float:
    """Apparent power that the inverter of one leg carries.

    Valid: legs in opposition. Neglects: phase between the loads. Errs: high.

    >>> apparent_with_between(1500.0, 1000.0)
    2000.0
    """
    return running_va + between_va / 2


@formula("surge_va", cite=_LEGS)
def surge_with_between(surge_va: float, between_va: float) -> float:
    """Surge of one leg while what hangs between the legs runs.

    Valid: legs in opposition. Neglects: phase. Errs: high.

    >>> surge_with_between(4000.0, 1000.0)
    4500.0
    """
    return surge_va + between_va / 2


@formula("surge_va", cite=_LEGS)
def surge_between(running_va: float, surge_va: float) -> float:
    """Surge of one leg when a load between the legs starts.

    Valid: legs in opposition. Neglects: phase. Errs: high.

    >>> surge_between(1500.0, 4000.0)
    3500.0
    """
    return running_va + surge_va / 2


@formula("running_power_w", cite=_LEGS)
def both_legs(between_power_w: float, *running_power_w: float) -> float:
    """Power of both legs and of what hangs between them.

    Valid: everything runs together. Neglects: nothing. Errs: high.

    >>> both_legs(1000.0, 1500.0, 900.0)
    3400.0
    """
    return sum(running_power_w) + between_power_w


@formula("running_va", cite=_LEGS)
def both_legs_apparent(*running_va: float) -> float:
    """Apparent power of both legs and of what hangs between them.

    Valid: everything runs together. Neglects: phase. Errs: high.

    >>> both_legs_apparent(1500.0, 900.0, 1000.0)
    3400.0
    """
    return sum(running_va)


@formula("leg_units", cite=_IDENTITY)
def units_on_legs(stacked_units: float) -> float:
    """Inverters on two legs, the same number on each.

    Valid: units alike. Neglects: nothing. Errs: exact.

    >>> units_on_legs(1.0)
    2.0
    """
    return stacked_units * 2
