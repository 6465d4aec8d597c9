"""Arithmetic of the need: temperature, rated energy and capacity, and what a discharge rate costs."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite


@formula("temperature_factor", cite=cite("design-arithmetic", "straight line between table rows, no credit above 1"))
def factor_between(
    bank_temperature_c: float, colder_c: float, warmer_c: float, colder_factor: float, warmer_factor: float
) -> float:
    """Capacity at a temperature over rated capacity, between two rows of a table.

    Valid: between the rows. Neglects: discharge rate. Errs: either, under 0.03.

    >>> factor_between(5.0, 0.0, 10.0, 0.5, 0.75)
    0.625
    """
    return min(1.0, colder_factor + (warmer_factor - colder_factor) * (bank_temperature_c - colder_c) / (warmer_c - colder_c))


@formula("energy_for_depth_wh", cite=cite("ieee-1013", "capacity for the maximum depth of discharge"))
def energy_for_depth(
    day_energy_wh: float, autonomy_days: float, depth_of_discharge: float, temperature_factor: float, discharge_efficiency: float
) -> float:
    """Rated energy that leaves the depth of discharge unbroken at the end of the autonomy.

    Valid: any chemistry. Neglects: discharge rate, ageing. Errs: low.

    >>> energy_for_depth(300.0, 2.0, 0.8, 1.0, 1.0)
    750.0
    """
    return day_energy_wh * autonomy_days / (depth_of_discharge * temperature_factor * discharge_efficiency)


@formula("energy_for_ageing_wh", cite=cite("ieee-1013", "capacity at the end of life"))
def energy_for_ageing(
    day_energy_wh: float, autonomy_days: float, ageing_factor: float, temperature_factor: float, discharge_efficiency: float
) -> float:
    """Rated energy of which enough is left at the end of life to serve the autonomy, emptied.

    Valid: any chemistry. Neglects: discharge rate, the depth of discharge. Errs: low.

    >>> energy_for_ageing(400.0, 2.0, 0.8, 1.0, 1.0)
    1000.0
    """
    return day_energy_wh * autonomy_days / (ageing_factor * temperature_factor * discharge_efficiency)


@formula("energy_needed_wh", cite=cite("ieee-1013", "largest of the capacities, as recalled"))
def larger_energy(energy_for_depth_wh: float, energy_for_ageing_wh: float) -> float:
    """Rated energy by the larger-of convention: depth of discharge and ageing are not multiplied.

    Valid: where the whole of the aged capacity may be used. Neglects: depth of discharge at the end of life. Errs: low.

    >>> larger_energy(1000.0, 625.0)
    1000.0
    """
    return max(energy_for_depth_wh, energy_for_ageing_wh)


@formula("energy_product_wh", cite=cite("common-practice", "depth of discharge times end of life"))
def product_energy(energy_for_depth_wh: float, ageing_factor: float) -> float:
    """Rated energy by the product convention: the depth of discharge is kept to at the end of life too.

    Valid: any chemistry. Neglects: discharge rate. Errs: high.

    >>> product_energy(800.0, 0.8)
    1000.0
    """
    return energy_for_depth_wh / ageing_factor


@formula("capacity_needed_ah", cite=cite("design-arithmetic", "energy over nominal voltage"))
def capacity_needed(energy_needed_wh: float, bank_voltage_v: float) -> float:
    """Rated capacity that holds an energy at the bank's nominal voltage.

    Valid: any. Neglects: voltage under load. Errs: either, a few percent.

    >>> capacity_needed(750.0, 12.0)
    62.5
    """
    return energy_needed_wh / bank_voltage_v


@formula("usable_share", cite=cite("ieee-1013", "largest of the capacities, as recalled"))
def share_larger_of(depth_of_discharge: float, ageing_factor: float, temperature_factor: float) -> float:
    """Share of the rated capacity that the larger-of convention counts on.

    Valid: as `larger_energy`. Neglects: discharge rate. Errs: high.

    >>> share_larger_of(0.5, 0.8, 0.75)
    0.375
    """
    return min(depth_of_discharge, ageing_factor) * temperature_factor


@formula("usable_share", cite=cite("common-practice", "depth of discharge times end of life"))
def share_product(depth_of_discharge: float, ageing_factor: float, temperature_factor: float) -> float:
    """Share of the rated capacity that the product convention counts on.

    Valid: any chemistry. Neglects: discharge rate. Errs: low.

    >>> share_product(0.5, 0.8, 0.75)
    0.30000000000000004
    """
    return depth_of_discharge * ageing_factor * temperature_factor


@formula("peukert_capacity_ah", cite=cite("battery-trade-literature", "Peukert's relation with the hour rate of the rated capacity"))
def peukert_capacity(
    average_current_a: float, discharge_hours: float, usable_share: float, rated_hours: float, peukert_exponent: float
) -> float:
    """Rated capacity that carries a steady current for some hours within its usable share.

    Valid: lead-acid. At or below the rated current nothing is gained or lost. Neglects: recovery at rest. Errs: high.

    >>> peukert_capacity(5.0, 20.0, 1.0, 20.0, 1.25)
    100.0
    """
    return (
        average_current_a * discharge_hours / usable_share
        * max(1.0, (rated_hours * usable_share / discharge_hours) ** (1.0 - 1.0 / peukert_exponent))
    )


@formula("available_capacity_ah", cite=cite("battery-trade-literature", "Peukert's relation with the hour rate of the rated capacity"))
def available_capacity(capacity_ah: float, rated_hours: float, average_current_a: float, peukert_exponent: float) -> float:
    """Capacity that comes out at a steady current; never more than the rated one.

    Valid: lead-acid, emptied, near 25 °C. Neglects: recovery at rest. Errs: low for a current with rests.

    >>> available_capacity(100.0, 20.0, 5.0, 1.2)
    100.0
    """
    return capacity_ah * min(1.0, (capacity_ah / (rated_hours * average_current_a)) ** (peukert_exponent - 1.0))


@formula("life_years", cite=cite("battery-trade-literature", "cycle life at a depth of discharge"))
def years_at_daily_cycle(cycle_life: float) -> float:
    """Years that a number of cycles lasts at one cycle a day.

    Valid: cycling at 25 °C. Neglects: calendar ageing, heat, shallower days. Errs: either.

    >>> years_at_daily_cycle(730.0)
    2.0
    """
    return cycle_life / 365


@formula("run_hours", cite=cite("design-arithmetic", "capacity over current"))
def hours_at_current(available_capacity_ah: float, average_current_a: float) -> float:
    """Hours that a capacity lasts at a steady current.

    Valid: any. Neglects: ageing, temperature, unless they are in the capacity. Errs: exact.

    >>> hours_at_current(100.0, 5.0)
    20.0
    """
    return available_capacity_ah / average_current_a


@formula("safe_depth", cite=cite("design-arithmetic", "what may be taken from a full bank"))
def depth_left(state_of_charge: float) -> float:
    """Depth of discharge down to a state of charge.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> depth_left(0.25)
    0.75
    """
    return 1 - state_of_charge
