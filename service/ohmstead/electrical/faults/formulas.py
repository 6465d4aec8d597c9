"""Arithmetic of short-circuit currents."""

from __future__ import annotations

from math import sqrt

from ...nomenclature import formula
from ...reference.citations import cite


@formula("fault_current_a", cite=cite("short-circuit-bounds"))
def lead_bound(short_circuit_per_ah: float, unit_capacity_ah: float, strings: float) -> float:
    """Upper bound of a lead-acid bank's short-circuit current; units in series do not add.

    Valid: 12 V blocks and strings of cells, no maker's figure. Neglects: links, cables. Errs: high.

    >>> lead_bound(50.0, 100.0, 2.0)
    10000.0
    """
    return short_circuit_per_ah * unit_capacity_ah * strings


@formula("fault_current_a", cite=cite("short-circuit-bounds"))
def lithium_bound(
    full_cell_voltage_v: float, cell_resistance_capacity_ohm_ah: float, joint_resistance_ohm: float, unit_capacity_ah: float, strings: float
) -> float:
    """Upper bound of a lithium bank's short-circuit current; it does not depend on the series count.

    Valid: any series count, no maker's figure, no credit for the management system. Neglects: links, cables. Errs: high.

    >>> round(lithium_bound(3.4, 0.03, 0.00005, 100.0, 1.0))
    9714
    """
    return strings * full_cell_voltage_v / (cell_resistance_capacity_ohm_ah / unit_capacity_ah + joint_resistance_ohm)


@formula("source_resistance_ohm", cite=cite("design-arithmetic", "Ohm's law"))
def source_resistance(highest_voltage_v: float, fault_current_a: float) -> float:
    """Internal resistance that goes with a short-circuit current.

    Valid: linear source. Neglects: inductance. Errs: low with the charging voltage, so the fault current errs high.

    >>> source_resistance(14.6, 14600.0)
    0.001
    """
    return highest_voltage_v / fault_current_a


@formula("fault_current_a", cite=cite("design-arithmetic", "Ohm's law"))
def fault_behind(highest_voltage_v: float, source_resistance_ohm: float, loop_resistance_ohm: float) -> float:
    """Short-circuit current at the far end of a cable.

    Valid: bolted fault. Neglects: joints, devices, inductance. Errs: high.

    >>> fault_behind(14.0, 0.001, 0.006)
    2000.0
    """
    return highest_voltage_v / (source_resistance_ohm + loop_resistance_ohm)


@formula("fault_current_a", cite=cite("design-arithmetic", "currents of parallel strings add"))
def strings_together(string_fault_a: float, strings: float) -> float:
    """Short-circuit current of like strings side by side, each with the maker's figure.

    Valid: any. Neglects: links, cables. Errs: high.

    >>> strings_together(3000.0, 2.0)
    6000.0
    """
    return string_fault_a * strings


@formula("fault_current_a", cite=cite("design-arithmetic", "Ohm's law"))
def fault_of_resistance(highest_voltage_v: float, strings: float, unit_resistance_ohm: float, series: float) -> float:
    """Short-circuit current of units of a known internal resistance.

    Valid: linear source. Neglects: links, cables. Errs: high with the charging voltage; low if a unit can have less resistance.

    >>> fault_of_resistance(14.0, 2.0, 0.007, 1.0)
    4000.0
    """
    return highest_voltage_v * strings / (unit_resistance_ohm * series)


@formula("fault_current_a", cite=cite("short-circuit-bounds"))
def cranking_bound(short_circuit_per_cranking: float, cranking_current_a: float) -> float:
    """Upper bound of a lead-acid bank's short-circuit current by its cold-cranking current.

    Valid: starter and dual-purpose blocks. Neglects: links, cables. Errs: high.

    >>> cranking_bound(5.0, 800.0)
    4000.0
    """
    return short_circuit_per_cranking * cranking_current_a


@formula("fault_current_a", cite=cite("short-circuit-bounds"))
def larger_bound(*fault_current_a: float) -> float:
    """The larger of several upper bounds.

    Valid: any. Neglects: nothing. Errs: high.

    >>> larger_bound(4000.0, 4500.0)
    4500.0
    """
    return max(fault_current_a)


@formula("string_resistance_ohm", cite=cite("design-arithmetic", "Ohm's law"))
def resistance_of_string(highest_voltage_v: float, strings: float, fault_current_a: float) -> float:
    """Internal resistance of one of several like strings that goes with their short-circuit current.

    Valid: linear source. Neglects: links. Errs: low with the charging voltage, so the fault current errs high.

    >>> resistance_of_string(14.0, 2.0, 4000.0)
    0.007
    """
    return highest_voltage_v * strings / fault_current_a


@formula("fault_current_a", cite=cite("design-arithmetic", "Ohm's law"))
def fault_of_bank(highest_voltage_v: float, bank_resistance_ohm: float) -> float:
    """Short-circuit current at the take-off of a bank with its links or leads.

    Valid: linear source. Neglects: inductance. Errs: high.

    >>> fault_of_bank(14.0, 0.0035)
    4000.0
    """
    return highest_voltage_v / bank_resistance_ohm


@formula("path_resistance_ohm", cite=cite("design-arithmetic", "resistances in series"))
def path_resistance(joints: float, joint_resistance_ohm: float, *loop_resistance_ohm: float) -> float:
    """Resistance from the source's posts to a point: cables out and back, and joints.

    Valid: cold copper, the least that a joint has. Neglects: devices, switches, shunts. Errs: low, so the fault current errs high.

    >>> round(path_resistance(4.0, 0.00002, 0.001, 0.002), 9)
    0.00308
    """
    return sum(loop_resistance_ohm) + joints * joint_resistance_ohm


@formula("fault_current_a", cite=cite("design-arithmetic", "Ohm's law"))
def fault_at_end(highest_voltage_v: float, source_resistance_ohm: float, path_resistance_ohm: float) -> float:
    """Short-circuit current at the end of a path.

    Valid: bolted fault. Neglects: devices, inductance. Errs: high.

    >>> fault_at_end(14.0, 0.001, 0.006)
    2000.0
    """
    return highest_voltage_v / (source_resistance_ohm + path_resistance_ohm)


@formula("least_run_m", cite=cite("design-arithmetic", "Ohm's law"))
def run_for_rating(
    run_m: float, sets: float, highest_voltage_v: float, interrupting_rating_a: float, source_resistance_ohm: float,
    path_resistance_ohm: float, resistance_ohm_per_km: float
) -> float:
    """One-way length of the first cable from which on the short-circuit current is within a rating.

    Valid: where the rating is below the current at the present length. Neglects: devices, switches. Errs: high.

    >>> round(run_for_rating(1.0, 1.0, 14.0, 2000.0, 0.001, 0.004, 0.5), 9)
    3.0
    """
    return run_m + 1000 * sets * (highest_voltage_v / interrupting_rating_a - source_resistance_ohm - path_resistance_ohm) / (2 * resistance_ohm_per_km)


@formula("area_mm2", cite=cite("design-arithmetic", "conductors in parallel"))
def area_of_sets(area_mm2: float, sets: float) -> float:
    """Area of all conductors of a pole.

    Valid: equal conductors. Neglects: a fault within the run, which one conductor feeds from both ends. Errs: high.

    >>> area_of_sets(53.5, 2.0)
    107.0
    """
    return area_mm2 * sets


@formula("withstand_area_mm2", cite=cite("iec-60364-4-43"))
def withstand_area(fault_current_a: float, clearing_time_s: float, short_circuit_constant: float) -> float:
    """Smallest area of copper that a short circuit heats no further than its insulation stands.

    Valid: from 0.1 to 5 s; shorter with a steady current. Neglects: heat that leaves the conductor. Errs: high.

    >>> withstand_area(14300.0, 0.01, 143.0)
    10.0
    """
    return fault_current_a * sqrt(clearing_time_s) / short_circuit_constant


@formula("withstand_time_s", cite=cite("iec-60364-4-43"))
def withstand_time(short_circuit_constant: float, area_mm2: float, fault_current_a: float) -> float:
    """Longest time that copper stands a short circuit.

    Valid: to 5 s. Neglects: heat that leaves the conductor. Errs: low.

    >>> round(withstand_time(143.0, 10.0, 14300.0), 9)
    0.01
    """
    return (short_circuit_constant * area_mm2 / fault_current_a) ** 2


@formula("withstand_area_mm2", cite=cite("design-arithmetic", "conductors in parallel"))
def area_each(withstand_area_mm2: float, sets: float) -> float:
    """Area of each of several conductors that together stand a short circuit.

    Valid: equal conductors. Neglects: unequal sharing. Errs: low if they differ.

    >>> area_each(20.0, 2.0)
    10.0
    """
    return withstand_area_mm2 / sets


@formula("bank_capacity_ah", cite=cite("design-arithmetic", "capacities of parallel strings add"))
def capacity_together(unit_capacity_ah: float, strings: float) -> float:
    """Capacity of like strings side by side.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> capacity_together(110.0, 2.0)
    220.0
    """
    return unit_capacity_ah * strings


@formula("resistance_75c_ohm_per_km", cite=cite("iec-60028", "resistance of annealed copper by its area"))
def least_of_class(
    resistance_75c_ohm_per_km: float, resistance_20c_ohm_per_km: float, copper_resistivity_ohm_mm2_per_m: float, area_mm2: float
) -> float:
    """Least resistance of a conductor of a nominal area, moved to 75 °C like the largest one of its class.

    Valid: copper; nobody makes more than the nominal area. Neglects: lay of the strands. Errs: low.

    >>> round(least_of_class(1.22, 1.0, 0.017241, 17.241), 6)
    1.22
    """
    return resistance_75c_ohm_per_km / resistance_20c_ohm_per_km * 1000 * copper_resistivity_ohm_mm2_per_m / area_mm2
