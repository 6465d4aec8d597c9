"""What the tables say of a bank at rest and of its resistance under load."""

from __future__ import annotations

from bisect import bisect_left
from functools import lru_cache

from ...reference.case import Case, Library
from ...working import at_least, at_most
from ..sharing.formulas import typical_resistance
from .chemistry import Properties
from .model import Chemistry
from .resting_formulas import charge_between, resistance_under_load, voltage_between


@lru_cache(maxsize=64)
def _at_rest(library: Library, chemistry: Chemistry) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Rest voltages of a cell, rising, and the states of charge that go with them; empty where none are known."""
    points = library.tables["rest_voltages"].columns
    rows = [row for row, name in enumerate(points["chemistry"]) if name == chemistry]
    return tuple(points["open_cell_v"][row] for row in rows), tuple(points["state_of_charge"][row] for row in rows)


def rests_known(chemistry: Chemistry, case: Case) -> bool:
    """Whether rest voltages of the chemistry are known."""
    return bool(_at_rest(case.library, chemistry)[0])


def charge_at_rest(chemistry: Chemistry, open_cell_v: float, case: Case) -> float | None:
    """State of charge of a rested cell by its voltage; nought below the table, None above it."""
    voltages, charges = _at_rest(case.library, chemistry)
    if not at_most(open_cell_v, voltages[-1]):
        return None
    if at_most(open_cell_v, voltages[0]):
        return case.chosen(0.0, "state_of_charge", "at or below the rest voltage of an empty cell", open_cell_v)
    if at_least(open_cell_v, voltages[-1]):
        open_cell_v = voltages[-1]
    above = bisect_left(voltages, open_cell_v)
    return charge_between(open_cell_v, voltages[above - 1], voltages[above], charges[above - 1], charges[above])


def cell_at_charge(chemistry: Chemistry, state_of_charge: float, case: Case) -> float:
    """Voltage of a rested cell by its state of charge. Raises IndexError where no rest voltages are known."""
    voltages, charges = _at_rest(case.library, chemistry)
    above = min(max(bisect_left(charges, state_of_charge), 1), len(charges) - 1)
    return voltage_between(state_of_charge, charges[above - 1], charges[above], voltages[above - 1], voltages[above])


def full_cell(chemistry: Chemistry, case: Case) -> float:
    """Voltage of a rested full cell. Raises IndexError where no rest voltages are known."""
    return _at_rest(case.library, chemistry)[0][-1]


def string_under_load(known: Properties, cells: float, capacity_ah: float, end: str, case: Case) -> float:
    """Resistance of one string for loads that last; `end` is low, typical or high."""
    figures, loaded = case.library.tables["internal_resistances"], case.library.tables["loaded_resistances"]
    chemistry, row = known.chemistry, f"{'lfp' if known.lithium else 'lead'}/{end}"
    of_string = typical_resistance(
        figures.cell(chemistry, end), cells, figures.cell(chemistry, "figure_cells"), capacity_ah, figures.cell(chemistry, "joint"))
    return resistance_under_load(of_string, loaded.cell(row, "ratio"), loaded.cell(row, "switch_ohm"))
