"""Arithmetic of energy: losses, power that a month needs, what an array stores, what is short."""

from __future__ import annotations

from math import ceil

from ...nomenclature import formula
from ...reference.citations import cite


@formula("cell_temperature_c", cite=cite("king-2004"))
def month_cell(month_air_c: float, mounting_rise_k: float, irradiance_ratio: float) -> float:
    """Cell temperature of a month, weighted with the energy.

    Valid: flat crystalline modules. Neglects: wind. Errs: high.

    >>> month_cell(20.0, 50.0, 0.5)
    45.0
    """
    return month_air_c + mounting_rise_k * irradiance_ratio


@formula("derate_temperature", cite=cite("king-2004", "power and temperature"))
def heat_share(power_coefficient_per_k: float, cell_temperature_c: float) -> float:
    """Share of the nameplate power left at a cell temperature.

    Valid: crystalline silicon, -40 to 100 °C. Neglects: low light. Errs: either.

    >>> round(heat_share(-0.004, 50.0), 9)
    0.9
    """
    return 1 + power_coefficient_per_k * (cell_temperature_c - 25)


@formula("array_efficiency", cite=cite("nrel-62641"))
def stored_share(
    derate_soiling: float, derate_wiring: float, derate_mismatch: float, derate_shading: float, derate_ageing: float,
    derate_temperature: float, controller_efficiency: float, charge_efficiency: float,
) -> float:
    """Energy stored in the bank over nameplate power times peak sun hours.

    Valid: maximum-power controllers. Neglects: a full bank that takes no more. Errs: high on days of plenty.

    >>> stored_share(1.0, 1.0, 1.0, 1.0, 1.0, 0.8, 1.0, 0.5)
    0.4
    """
    return (
        derate_soiling * derate_wiring * derate_mismatch * derate_shading * derate_ageing
        * derate_temperature * controller_efficiency * charge_efficiency
    )  # fmt: skip


@formula("charge_efficiency", cite=cite("design-arithmetic", "half of the round-trip loss on either way"))
def charging_half(round_trip_efficiency: float) -> float:
    """Energy stored over energy offered, when half of the round-trip loss falls to charging.

    Valid: lithium and sodium cells. Neglects: the rate. Errs: either, under 0.02.

    >>> charging_half(0.96)
    0.98
    """
    return (1 + round_trip_efficiency) / 2


@formula("month_net_wh", cite=cite("design-arithmetic", "energy balance of a day"))
def month_net(month_energy_wh: float, month_other_wh: float) -> float:
    """Energy a day that other supplies leave to the array.

    Valid: mean days. Neglects: days without the other supply. Errs: low.

    >>> month_net(2000.0, 500.0)
    1500.0
    """
    return max(0.0, month_energy_wh - month_other_wh)


@formula("month_left_wh", cite=cite("design-arithmetic", "energy balance of a day"))
def month_left(month_net_wh: float, *owned_energy_wh: float) -> float:
    """Energy a day that owned modules of another type leave to the array.

    Valid: mean days. Neglects: nothing. Errs: exact.

    >>> month_left(1500.0, 300.0, 200.0)
    1000.0
    """
    return max(0.0, month_net_wh - sum(owned_energy_wh))


@formula("array_needed_w", cite=cite("design-arithmetic", "energy over peak sun hours"))
def power_needed(month_left_wh: float, planned_insolation_kwh_m2: float, array_efficiency: float) -> float:
    """Nameplate power that stores a month's energy a day.

    Valid: monthly means. Neglects: runs of dark days, which the bank bridges. Errs: low without a bank for them.

    >>> round(power_needed(1200.0, 4.0, 0.6), 9)
    500.0
    """
    return month_left_wh / (planned_insolation_kwh_m2 * array_efficiency)


@formula("module_bound", cite=cite("design-arithmetic", "whole modules"))
def modules_needed(array_needed_w: float, module_power_w: float) -> float:
    """Whole modules that reach a power; the factor is the one tolerance of comparisons.

    Valid: any. Neglects: nothing. Errs: high.

    >>> modules_needed(450.0, 100.0)
    5
    """
    return ceil(0.999999999 * array_needed_w / module_power_w)


@formula("power_ratio", cite=cite("design-arithmetic", "ratio"))
def needed_ratio(array_needed_w: float, middle_needed_w: float) -> float:
    """Power of the design month over that of the middle month.

    Valid: a middle month that needs anything. Neglects: nothing. Errs: exact.

    >>> needed_ratio(900.0, 300.0)
    3.0
    """
    return array_needed_w / middle_needed_w


@formula("array_energy_wh", cite=cite("design-arithmetic", "energy over peak sun hours"))
def stored_energy(group_power_w: float, planned_insolation_kwh_m2: float, array_efficiency: float, clipped_fraction: float) -> float:
    """Energy a day that the modules behind like controllers store.

    Valid: monthly means. Neglects: a full bank; counts clipping as if it were always on. Errs: low with clipping.

    >>> stored_energy(500.0, 4.0, 0.5, 0.0)
    1000.0
    """
    return group_power_w * planned_insolation_kwh_m2 * array_efficiency * (1 - clipped_fraction)


@formula("array_energy_wh", cite=cite("design-arithmetic", "sum"))
def energy_of_groups(*array_energy_wh: float) -> float:
    """Energy a day that all groups store.

    Valid: any. Neglects: the bank's charging limit. Errs: high where it binds.

    >>> energy_of_groups(300.0, 200.0)
    500.0
    """
    return sum(array_energy_wh)


@formula("income_wh", cite=cite("design-arithmetic", "energy balance of a day"))
def income(array_energy_wh: float, month_other_wh: float) -> float:
    """Energy a day from sun and other supplies.

    Valid: mean days. Neglects: the bank's charging limit. Errs: high where it binds.

    >>> income(900.0, 300.0)
    1200.0
    """
    return array_energy_wh + month_other_wh


@formula("balance_wh", cite=cite("design-arithmetic", "energy balance of a day"))
def balance(income_wh: float, month_energy_wh: float) -> float:
    """Energy a day that the bank gains, or loses when below nought.

    Valid: mean days. Neglects: a full bank. Errs: high in months of plenty.

    >>> balance(1200.0, 1500.0)
    -300.0
    """
    return income_wh - month_energy_wh


@formula("covered_fraction", cite=cite("design-arithmetic", "ratio"))
def covered(income_wh: float, month_energy_wh: float) -> float:
    """Share of the loads' energy that sun and other supplies bring; never above one.

    Valid: mean days. Neglects: nothing. Errs: exact.

    >>> covered(900.0, 1200.0)
    0.75
    """
    return min(1.0, income_wh / month_energy_wh)


@formula("covered_fraction", cite=cite("design-arithmetic", "smallest"))
def least_covered(*covered_fraction: float) -> float:
    """Share of the worst month.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> least_covered(1.0, 0.4, 0.9)
    0.4
    """
    return min(covered_fraction)
