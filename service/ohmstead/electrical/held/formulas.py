"""Arithmetic of a bank of which only the energy is known, and of its resistance and voltage under load."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")


@formula("unit_capacity_ah", cite=_OWN)
def capacity_of_string(bank_rated_energy_wh: float, bank_voltage_v: float, parallel: float) -> float:
    """Rated capacity of one string of a bank of which the energy is known.

    Valid: like strings. Neglects: voltage under load. Errs: either, a few percent.

    >>> capacity_of_string(2400.0, 12.0, 2.0)
    100.0
    """
    return bank_rated_energy_wh / (bank_voltage_v * parallel)


@formula("source_resistance_ohm", cite=cite("design-arithmetic", "equal resistances in parallel"))
def resistance_of_strings(string_resistance_ohm: float, parallel: float, path_resistance_ohm: float) -> float:
    """Resistance of the bank with the way to its loads.

    Valid: like strings that share evenly. Neglects: unequal sharing. Errs: low.

    >>> resistance_of_strings(0.004, 2.0, 0.001)
    0.003
    """
    return string_resistance_ohm / parallel + path_resistance_ohm


@formula("open_cell_v", cite=cite("design-arithmetic", "cut-off plus the drop at the current on the cut-off"))
def cell_at_cut_off(cut_off_v: float, net_most_w: float, source_resistance_ohm: float, cells: float) -> float:
    """Voltage of a rested cell at which a steady power pulls the bank down to its cut-off.

    Valid: a power that does not fall with the voltage. Neglects: polarisation beyond the resistance. Errs: low.

    >>> cell_at_cut_off(10.0, 1000.0, 0.02, 6.0)
    2.0
    """
    return (cut_off_v + net_most_w / cut_off_v * source_resistance_ohm) / cells


@formula("loaded_v", cite=cite("design-arithmetic", "rest voltage less the drop at the current on the cut-off"))
def voltage_under_load(
    open_cell_v: float, cells: float, net_most_w: float, cut_off_v: float, source_resistance_ohm: float
) -> float:
    """Voltage of the bank under its heaviest load.

    Valid: near the cut-off. Neglects: that the current is smaller on a higher voltage. Errs: low.

    >>> voltage_under_load(2.0, 6.0, 1000.0, 10.0, 0.02)
    10.0
    """
    return open_cell_v * cells - net_most_w / cut_off_v * source_resistance_ohm


@formula("reach_share", cite=_OWN)
def reach_down_to(state_of_charge: float) -> float:
    """Share of a full bank that comes out down to a state of charge.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> reach_down_to(0.25)
    0.75
    """
    return 1 - state_of_charge
