"""Arithmetic of modules and strings: voltages hot and cold, currents, fuses, power, room."""

from __future__ import annotations

from math import ceil, floor

from ...nomenclature import formula
from ...reference.citations import cite

# Modules


@formula("module_power_w", cite=cite("duffie-beckman", "maximum power is voltage times current there"))
def nameplate_power(max_power_v: float, max_power_a: float) -> float:
    """Nameplate power of a module.

    Valid: both at the module's rating conditions. Neglects: rounding of the label. Errs: either, under 1 %.

    >>> nameplate_power(18.0, 5.5)
    99.0
    """
    return max_power_v * max_power_a


@formula("voltage_coefficient_per_k", cite=cite("design-arithmetic", "ratio"))
def relative_coefficient(voltage_coefficient_v_per_k: float, open_circuit_v: float) -> float:
    """Relative coefficient from one in volts per kelvin.

    Valid: the coefficient of the open-circuit voltage. Neglects: nothing. Errs: exact.

    >>> relative_coefficient(-0.06, 20.0)
    -0.003
    """
    return voltage_coefficient_v_per_k / open_circuit_v


@formula("max_power_voltage_coefficient_per_k", cite=cite("design-arithmetic", "power is voltage times current"))
def voltage_share_of_power(power_coefficient_per_k: float, current_coefficient_per_k: float) -> float:
    """Coefficient of the maximum-power voltage, from those of power and current.

    Valid: small changes. Neglects: that the current at maximum power rises less than at short circuit. Errs: low, the safe side.

    >>> round(voltage_share_of_power(-0.0037, 0.0005), 6)
    -0.0042
    """
    return power_coefficient_per_k - current_coefficient_per_k


@formula("cold_coefficient_open_circuit_v", cite=cite("nec-690-7", "690.7(A)(1)"))
def cold_by_coefficient(open_circuit_v: float, voltage_coefficient_per_k: float, coldest_c: float) -> float:
    """Open-circuit voltage at the coldest air by the module's coefficient; at dawn the cell is as cold as the air.

    Valid: crystalline silicon. Neglects: curvature. Errs: either, under 1 %.

    >>> round(cold_by_coefficient(49.5, -0.0027, -10.0), 2)
    54.18
    """
    return open_circuit_v * (1 + voltage_coefficient_per_k * (coldest_c - 25))


@formula("cold_table_open_circuit_v", cite=cite("nec-690-7", "690.7(A)(2)"))
def cold_by_table(open_circuit_v: float, cold_factor: float) -> float:
    """Open-circuit voltage at the coldest air by the table's factor.

    Valid: crystalline silicon, down to -40 °C. Neglects: the module's own coefficient. Errs: high.

    >>> round(cold_by_table(35.0, 1.18), 9)
    41.3
    """
    return open_circuit_v * cold_factor


@formula("cold_open_circuit_v", cite=cite("nec-690-7", "690.7(A)"))
def cold_voltage(*cold_coefficient_open_circuit_v: float) -> float:
    """The larger of the two routes' voltages, or the one there is.

    Valid: any. Neglects: nothing. Errs: high.

    >>> cold_voltage(54.18, 56.43)
    56.43
    """
    return max(cold_coefficient_open_circuit_v)


@formula("hot_cell_c", cite=cite("king-2004"))
def hot_cell(hottest_c: float, mounting_rise_k: float) -> float:
    """Cell temperature at full sun in the hottest air without wind.

    Valid: 1000 W/m2. Neglects: wind, which cools. Errs: high.

    >>> hot_cell(40.0, 52.0)
    92.0
    """
    return hottest_c + mounting_rise_k


@formula("hot_max_power_v", cite=cite("king-2004", "voltage and temperature"))
def hot_voltage(max_power_v: float, max_power_voltage_coefficient_per_k: float, hot_cell_c: float) -> float:
    """Maximum-power voltage of a hot module.

    Valid: crystalline silicon with the coefficient of the maximum-power voltage. Neglects: low light. Errs: low.

    >>> round(hot_voltage(18.0, -0.004, 75.0), 9)
    14.4
    """
    return max_power_v * (1 + max_power_voltage_coefficient_per_k * (hot_cell_c - 25))


# Strings


@formula("string_cold_v", cite=cite("nec-690-7", "690.7"))
def string_cold(modules_in_series: float, cold_open_circuit_v: float) -> float:
    """Open-circuit voltage of a string at the coldest.

    Valid: like modules. Neglects: nothing. Errs: high.

    >>> string_cold(3.0, 25.0)
    75.0
    """
    return modules_in_series * cold_open_circuit_v


@formula("string_hot_v", cite=cite("design-arithmetic", "sum of like voltages less the drop of the cable"))
def string_hot(modules_in_series: float, hot_max_power_v: float, drop_limit: float) -> float:
    """Maximum-power voltage of a hot string at the controller.

    Valid: like modules. Neglects: shade. Errs: low.

    >>> round(string_hot(2.0, 15.0, 0.02), 9)
    29.4
    """
    return modules_in_series * hot_max_power_v * (1 - drop_limit)


@formula("series_bound", cite=cite("nec-690-7", "690.7"))
def longest_series(string_voltage_limit_v: float, cold_open_circuit_v: float) -> float:
    """Most modules in series; the factor is the one tolerance of comparisons.

    Valid: like modules. Neglects: nothing. Errs: low.

    >>> longest_series(600.0, 54.1775)
    11
    """
    return floor(1.000000001 * string_voltage_limit_v / cold_open_circuit_v)


@formula("series_bound", cite=cite("design-arithmetic", "whole modules"))
def shortest_series(controller_lowest_v: float, hot_max_power_v: float, drop_limit: float) -> float:
    """Fewest modules in series that charge when hot; the factor is the one tolerance of comparisons.

    Valid: like modules. Neglects: shade. Errs: high.

    >>> shortest_series(19.5, 14.0, 0.0)
    2
    """
    return ceil(0.999999999 * controller_lowest_v / (hot_max_power_v * (1 - drop_limit)))


@formula("string_current_a", cite=cite("nec-690-8", "690.8(A)(1)"))
def parallel_current(strings_in_parallel: float, short_circuit_a: float) -> float:
    """Short-circuit current of strings in parallel.

    Valid: like strings. Neglects: sun above 1000 W/m2. Errs: low, mended by `photovoltaic_current`.

    >>> parallel_current(2.0, 6.0)
    12.0
    """
    return strings_in_parallel * short_circuit_a


@formula("photovoltaic_current_a", cite=cite("nec-690-8", "690.8(A)(1)"))
def photovoltaic_current(irradiance_factor: float, string_current_a: float) -> float:
    """Largest current of a photovoltaic circuit.

    Valid: any. Neglects: nothing. Errs: high.

    >>> photovoltaic_current(1.25, 11.2)
    14.0
    """
    return irradiance_factor * string_current_a


@formula("continuous_current_a", cite=cite("nec-690-8", "690.8(B)(1), 690.9(B)"))
def conductor_current(continuous_factor: float, photovoltaic_current_a: float) -> float:
    """Current that conductors and devices of a photovoltaic circuit are sized for.

    Valid: before corrections for heat and bundling. Neglects: nothing. Errs: high.

    >>> conductor_current(1.25, 14.0)
    17.5
    """
    return continuous_factor * photovoltaic_current_a


@formula("string_fuse_needed_a", cite=cite("nec-690-9", "690.9(B)"))
def string_fuse_needed(continuous_factor: float, irradiance_factor: float, short_circuit_a: float) -> float:
    """Smallest rating of a string's fuse.

    Valid: one string. Neglects: heat of the fuse's place. Errs: exact.

    >>> string_fuse_needed(1.25, 1.25, 11.2)
    17.5
    """
    return continuous_factor * irradiance_factor * short_circuit_a


@formula("other_strings_current_a", cite=cite("nec-690-9", "690.9(A)"))
def other_strings(strings_in_parallel: float, irradiance_factor: float, short_circuit_a: float, backfeed_a: float) -> float:
    """Current that the other strings and every other source can drive into one string.

    Valid: like strings. Neglects: nothing. Errs: high.

    >>> other_strings(3.0, 1.25, 10.0, 0.0)
    25.0
    """
    return (strings_in_parallel - 1) * irradiance_factor * short_circuit_a + backfeed_a


@formula("parallel_bound", cite=cite("nec-690-9", "690.9(A)"))
def strings_without_fuses(module_fuse_limit_a: float, backfeed_a: float, irradiance_factor: float, short_circuit_a: float) -> float:
    """Most strings in parallel of which the others cannot overload one; the factor is the one tolerance of comparisons.

    Valid: like strings; nought or less where another source alone overloads a string. Neglects: nothing. Errs: low.

    >>> strings_without_fuses(15.0, 0.0, 1.25, 6.0)
    3
    """
    return floor(1 + (1.000000001 * module_fuse_limit_a - backfeed_a) / (irradiance_factor * short_circuit_a))


# Counts, power, room


@formula("unit_array_power_w", cite=cite("design-arithmetic", "product"))
def power_each(modules_in_series: float, strings_in_parallel: float, module_power_w: float) -> float:
    """Nameplate power at one controller.

    Valid: like modules. Neglects: nothing. Errs: exact.

    >>> power_each(2.0, 3.0, 100.0)
    600.0
    """
    return modules_in_series * strings_in_parallel * module_power_w


@formula("group_power_w", cite=cite("design-arithmetic", "product"))
def group_power(module_count: float, module_power_w: float) -> float:
    """Nameplate power of like modules.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> group_power(6.0, 100.0)
    600.0
    """
    return module_count * module_power_w


@formula("array_power_w", cite=cite("design-arithmetic", "sum"))
def array_power(*group_power_w: float) -> float:
    """Nameplate power of all modules.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> array_power(600.0, 200.0)
    800.0
    """
    return sum(group_power_w)


@formula("module_area_m2", cite=cite("design-arithmetic", "product"))
def module_area(module_length_m: float, module_width_m: float) -> float:
    """Area of one module.

    Valid: any. Neglects: gaps. Errs: low, mended by the share that whole modules fill.

    >>> module_area(2.0, 0.5)
    1.0
    """
    return module_length_m * module_width_m


@formula("module_area_m2", cite=cite("common-practice", "power over power per area"))
def module_area_by_power(module_power_w: float, module_density_w_per_m2: float) -> float:
    """Area of a module whose sides are not known.

    Valid: rigid crystalline modules. Neglects: the format. Errs: either.

    >>> module_area_by_power(300.0, 150.0)
    2.0
    """
    return module_power_w / module_density_w_per_m2


@formula("owned_area_m2", cite=cite("design-arithmetic", "product"))
def area_taken(module_count: float, module_area_m2: float) -> float:
    """Area of like modules.

    Valid: any. Neglects: gaps. Errs: low.

    >>> area_taken(4.0, 0.5)
    2.0
    """
    return module_count * module_area_m2


@formula("module_bound", cite=cite("common-practice", "share of a roof that whole modules fill"))
def modules_in_area(roof_area_m2: float, roof_fill: float, module_area_m2: float, *owned_area_m2: float) -> float:
    """Modules that a free area takes beside owned ones, before any layout.

    Valid: roofs of several modules; the factor is the one tolerance. Neglects: the outline. Errs: either.

    >>> modules_in_area(10.0, 0.6, 2.0, 1.0)
    2
    """
    return floor(1.000000001 * max(0.0, roof_area_m2 * roof_fill - sum(owned_area_m2)) / module_area_m2)
