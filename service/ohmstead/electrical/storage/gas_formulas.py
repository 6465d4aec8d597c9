"""Arithmetic of the hydrogen that lead-acid units give, and of the air that carries it away."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_VENTILATION = cite("iec-62485", "ventilation")


@formula("air_m3_per_ah", cite=_VENTILATION)
def air_for_charge(hydrogen_m3_per_ah: float, hydrogen_limit: float, air_safety: float) -> float:
    """Air that dilutes the hydrogen of one cell for each ampere-hour of overcharge.

    Valid: hydrogen that mixes with the air. Neglects: pockets under a lid. Errs: high, by the safety factor.

    >>> round(air_for_charge(0.0004, 0.04, 5.0), 9)
    0.048
    """
    return hydrogen_m3_per_ah * (1 - hydrogen_limit) / hydrogen_limit * air_safety


@formula("gas_current_a", cite=_VENTILATION)
def gas_current(gassing_a_per_ah: float, bank_capacity_ah: float) -> float:
    """Part of the charging current that makes gas.

    Valid: sound cells, the capacity at any rate from five to twenty hours. Neglects: heat, which raises it. Errs: high for a small charger.

    >>> gas_current(0.02, 400.0)
    8.0
    """
    return gassing_a_per_ah * bank_capacity_ah


@formula("airflow_m3_per_h", cite=_VENTILATION)
def airflow(air_m3_per_ah: float, cells: float, gas_current_a: float) -> float:
    """Air that the space of the bank needs.

    Valid: lead-acid. Neglects: a cell that fails. Errs: high, by the safety factor.

    >>> airflow(0.05, 24.0, 8.0)
    9.600000000000001
    """
    return air_m3_per_ah * cells * gas_current_a


@formula("opening_cm2", cite=cite("iec-62485", "natural ventilation"))
def opening(opening_per_airflow: float, airflow_m3_per_h: float) -> float:
    """Free area of the inlet, and the same of the outlet.

    Valid: inlet low, outlet high, on opposite walls or two metres apart. Neglects: grilles, which take a part of it. Errs: either with the wind.

    >>> opening(28.0, 10.0)
    280.0
    """
    return opening_per_airflow * airflow_m3_per_h


@formula("free_volume_m3", cite=cite("iec-62485", "well ventilated spaces"))
def free_volume(free_volume_h: float, airflow_m3_per_h: float) -> float:
    """Volume around the bank in which the air has room to mix.

    Valid: traction batteries. Neglects: shelves, lids. Errs: high.

    >>> free_volume(2.5, 4.0)
    10.0
    """
    return free_volume_h * airflow_m3_per_h


@formula("spark_distance_m", cite=cite("iec-62485", "safety distance, as recalled"))
def spark_distance(gas_current_a: float) -> float:
    """Distance from the openings of the cells within which nothing may spark or glow.

    Valid: cells in the open. Neglects: draught. Errs: either; recalled.

    >>> spark_distance(8.0)
    0.576
    """
    return 0.0288 * (1000 * gas_current_a) ** (1 / 3)


@formula("hydrogen_m3_per_h", cite=_VENTILATION)
def hydrogen(cells: float, gas_current_a: float, hydrogen_m3_per_ah: float) -> float:
    """Hydrogen that the bank gives in an hour.

    Valid: 25 °C. Neglects: recombination. Errs: high.

    >>> hydrogen(10.0, 2.0, 0.0005)
    0.01
    """
    return cells * gas_current_a * hydrogen_m3_per_ah


@formula("hydrogen_hours", cite=_VENTILATION)
def hours_to_limit(compartment_m3: float, hydrogen_limit: float, hydrogen_m3_per_h: float) -> float:
    """Hours in which a space without any opening holds a share of hydrogen that can explode.

    Valid: even mixing. Neglects: pockets under a lid, where it takes a fraction of that. Errs: high for those.

    >>> hours_to_limit(1.0, 0.04, 0.02)
    2.0
    """
    return compartment_m3 * hydrogen_limit / hydrogen_m3_per_h
