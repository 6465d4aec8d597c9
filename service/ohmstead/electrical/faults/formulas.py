"""Arithmetic of short-circuit currents."""

from __future__ import annotations

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
