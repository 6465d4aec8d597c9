"""Units in series inside the voltages that the equipment on the bank works with."""

from __future__ import annotations

from math import ceil, floor

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...working import TOLERANCE, Check, Rule
from .bank_formulas import compensated_voltage, end_voltage, highest_voltage
from .chemistry import Properties
from .model import BankRequest, Need, Unit, Window
from .resting import cell_at_charge, rests_known
from .resting_formulas import charge_left, end_of_unit, least_in_series, lowest_of_unit, most_in_series

_CELLS = cite("ieee-1013", "number of cells by the voltage window, as recalled")
HIGHEST = Rule("highest-voltage", TERMS["highest_voltage_v"], "at most", TERMS["equipment_highest_v"], _CELLS)
EMPTY = Rule("empty-voltage", TERMS["end_v"], "at least", TERMS["cut_off_v"], _CELLS)


def coldest_of(request: BankRequest) -> float | None:
    """The coldest that the bank gets to, as far as the request says."""
    ever, in_use = request.coldest_c, request.bank_temperature_c
    if ever is None or in_use is None:
        return in_use if ever is None else ever
    return ever if ever <= in_use else in_use


def charging_highest(cells: float, request: BankRequest, need: Need, known: Properties, case: Case) -> float:
    """Highest voltage of so many cells: the top of the charging range, or charging at the coldest."""
    coldest = coldest_of(request)
    if coldest is None:
        coldest = need.bank_temperature_c
    # Colder than this it may not be charged, so its charging voltage is not raised further.
    coldest = coldest if coldest > known.charge_above_c else known.charge_above_c
    cold = compensated_voltage(cells, known.absorption_cell_v, known.compensation_v_per_k, coldest, case.constant("reference_temperature_c"))
    return highest_voltage(cells, known.highest_cell_v, cold)


def cells_in_unit(unit: Unit, known: Properties, case: Case) -> float:
    """Cells in series inside one unit: as stated, else by its voltage."""
    if unit.cells is not None:
        return unit.cells
    count = max(1, round(float(unit.voltage_v) / float(known.cell_voltage_v)))
    return case.chosen(count, "cells", "stated voltage over that of a cell", unit.voltage_v, known.cell_voltage_v)


def window_of(unit: Unit, request: BankRequest, need: Need, known: Properties, case: Case) -> Window | None:
    """How many units the equipment permits; None where the request says nothing of it."""
    if not request.windowed:
        return None
    cells = cells_in_unit(unit, known, case)
    highest = charging_highest(cells, request, need, known, case)
    if rests_known(known.chemistry, case):
        lowest = lowest_of_unit(cells, cell_at_charge(known.chemistry, charge_left(need.depth_of_discharge), case))
    else:
        lowest = end_of_unit(cells, known.end_cell_v)
    least = most = None
    if request.cut_off_v is not None:
        least = ceil(float(least_in_series(request.cut_off_v, lowest)) * (1 - TOLERANCE))
    if request.equipment_highest_v is not None:
        most = floor(float(most_in_series(request.equipment_highest_v, highest)) * (1 + TOLERANCE))
    return Window(least, most, lowest, highest)


def series_inside(window: Window | None, usual: int | None) -> int | None:
    """The count that makes the system's nominal voltage where the equipment permits it, else the largest that it permits.

    Another count is taken only where both ends are known. Where none is permitted the usual one stays, to be refused by
    the check that it fails.
    """
    if window is None or window.least is None or window.most is None or not 1 <= window.least <= window.most:
        return usual
    return usual if usual is not None and window.least <= usual <= window.most else window.most


def window_checks(cells: float, request: BankRequest, need: Need, known: Properties, case: Case) -> list[Check]:
    """The highest voltage of the bank, and the voltage at which it is empty where nothing is known of what lies above it."""
    checks = []
    if request.equipment_highest_v is not None:
        checks.append(HIGHEST.check(charging_highest(cells, request, need, known, case), request.equipment_highest_v))
    if request.cut_off_v is not None and not rests_known(known.chemistry, case):
        checks.append(EMPTY.check(end_voltage(cells, known.end_cell_v), request.cut_off_v))
    return checks
