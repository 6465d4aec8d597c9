"""Arithmetic of a bank at rest and under load: voltage by state of charge, resistance, units in series inside a window."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_ROWS = cite("design-arithmetic", "straight line between table rows")


@formula("state_of_charge", cite=_ROWS)
def charge_between(
    open_cell_v: float, below_cell_v: float, above_cell_v: float, below_soc: float, above_soc: float
) -> float:
    """State of charge of a rested cell, between two rows of a table.

    Valid: rested, 25 °C. Neglects: hours of rest that lead-acid needs. Errs: either, a tenth on the plateau of lithium iron phosphate.

    >>> charge_between(2.25, 2.0, 2.5, 0.5, 1.0)
    0.75
    """
    return below_soc + (above_soc - below_soc) * (open_cell_v - below_cell_v) / (above_cell_v - below_cell_v)


@formula("open_cell_v", cite=_ROWS)
def voltage_between(
    state_of_charge: float, below_soc: float, above_soc: float, below_cell_v: float, above_cell_v: float
) -> float:
    """Voltage of a rested cell by its state of charge, between two rows of a table.

    Valid: rested, 25 °C. Neglects: hours of rest that lead-acid needs. Errs: either, some hundredths of a volt.

    >>> voltage_between(0.75, 0.5, 1.0, 2.0, 2.5)
    2.25
    """
    return below_cell_v + (above_cell_v - below_cell_v) * (state_of_charge - below_soc) / (above_soc - below_soc)


@formula("state_of_charge", cite=cite("design-arithmetic", "what is left of a full bank"))
def charge_left(depth_of_discharge: float) -> float:
    """State of charge after a discharge from full.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> charge_left(0.75)
    0.25
    """
    return 1 - depth_of_discharge


@formula("string_resistance_ohm", cite=cite("battery-trade-literature"))
def resistance_under_load(unit_resistance_ohm: float, resistance_ratio: float, switch_resistance_ohm: float) -> float:
    """Resistance of a string for loads that last: the figure of the data sheet, raised, with the switch of a management system.

    Valid: near full, 25 °C. Neglects: cold, age, a low state of charge, which all raise it. Errs: low.

    >>> resistance_under_load(0.002, 2.0, 0.001)
    0.005
    """
    return unit_resistance_ohm * resistance_ratio + switch_resistance_ohm


@formula("loaded_v", cite=cite("design-arithmetic", "rest voltage less the drop in the bank and on the way"))
def voltage_at_current(
    open_cell_v: float, cells: float, discharge_current_a: float, string_resistance_ohm: float, parallel: float, path_resistance_ohm: float
) -> float:
    """Voltage at the equipment while a current flows.

    Valid: strings that share evenly. Neglects: polarisation beyond the resistance, cold, age. Errs: high for an old or cold bank.

    >>> voltage_at_current(2.0, 6.0, 100.0, 0.01, 2.0, 0.005)
    11.0
    """
    return open_cell_v * cells - discharge_current_a * (string_resistance_ohm / parallel + path_resistance_ohm)


@formula("drop_v", cite=cite("design-arithmetic", "rest voltage less the cut-off and the drop on the way"))
def drop_left_to_bank(
    open_cell_v: float, cells: float, cut_off_v: float, discharge_current_a: float, path_resistance_ohm: float
) -> float:
    """Voltage that the bank itself may lose before the equipment cuts off.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> drop_left_to_bank(2.0, 6.0, 10.5, 100.0, 0.005)
    1.0
    """
    return open_cell_v * cells - cut_off_v - discharge_current_a * path_resistance_ohm


@formula("unit_lowest_v", cite=cite("ieee-1013", "number of cells by the voltage window, as recalled"))
def lowest_of_unit(cells: float, open_cell_v: float) -> float:
    """Voltage of one unit down to which its charge is counted on.

    Valid: at rest. Neglects: the drop under load. Errs: high under load.

    >>> lowest_of_unit(6.0, 2.0)
    12.0
    """
    return cells * open_cell_v


@formula("unit_lowest_v", cite=cite("ieee-1013", "number of cells by the voltage window, as recalled"))
def end_of_unit(cells: float, end_cell_v: float) -> float:
    """Voltage of one unit that is empty, where no rest voltages are known.

    Valid: low rates. Neglects: the drop under load. Errs: high under load.

    >>> end_of_unit(4.0, 2.5)
    10.0
    """
    return cells * end_cell_v


@formula("units_within", cite=cite("ieee-1013", "number of cells by the voltage window, as recalled"))
def most_in_series(equipment_highest_v: float, unit_highest_v: float) -> float:
    """Units in series, not yet rounded down, that stay below the highest voltage of the equipment.

    Valid: like units. Neglects: nothing. Errs: exact.

    >>> most_in_series(60.0, 15.0)
    4.0
    """
    return equipment_highest_v / unit_highest_v


@formula("units_within", cite=cite("ieee-1013", "number of cells by the voltage window, as recalled"))
def least_in_series(cut_off_v: float, unit_lowest_v: float) -> float:
    """Units in series, not yet rounded up, that stay above the cut-off of the equipment until they count as empty.

    Valid: like units. Neglects: the drop under load. Errs: low under load.

    >>> least_in_series(42.0, 10.5)
    4.0
    """
    return cut_off_v / unit_lowest_v
