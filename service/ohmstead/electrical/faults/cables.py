"""Cables on the way of a short circuit: with no more resistance than they surely have, so that no current is underestimated."""

from __future__ import annotations

from ...reference.case import Case
from ...reference.practices import SIZES, SizeSystem
from ..conductors.formulas import loop_resistance, resistance_at
from ..sharing.model import Cable
from .formulas import least_of_class


def least_per_km(size: str, system: SizeSystem, conductor_temperature_c: float, case: Case) -> float:
    """Least resistance per length of a size at a temperature.

    For AWG the printed one, for mm2 that of the nominal area: what is printed there is the most that the class may have.
    """
    name, coefficient = SIZES[system]
    table = case.library.tables[name]
    at_75c = table.cell(size, "resistance_75c")
    if system == "mm2":
        at_75c = least_of_class(at_75c, table.cell(size, "resistance_20c"), case.constant("copper_resistivity"), table.cell(size, "area_mm2"))
    return resistance_at(at_75c, case.constant(coefficient), conductor_temperature_c)


def least_loop(cable: Cable, conductor_temperature_c: float, case: Case) -> float:
    """Least resistance of a cable out and back at a temperature."""
    return loop_resistance(least_per_km(cable.size, cable.system, conductor_temperature_c, case), cable.run_m, cable.sets)
