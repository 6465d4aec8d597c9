"""Upper bounds where no short-circuit figure is given, and what is left of a fault behind a cable."""

from __future__ import annotations

from ...reference.case import Case
from .formulas import fault_behind, lead_bound, lithium_bound, source_resistance
from .model import Fault


def bank_fault(chemistry: str, unit_capacity_ah: float, strings: float, case: Case, given_a: float | None = None) -> Fault:
    """The maker's figure for the whole bank when there is one, else the documented upper bound.

    Raises KeyError for a chemistry without a bound.
    """
    if given_a is not None:
        return Fault(given_a, proven=True)
    bounds = case.library.tables["short_circuit_bounds"]
    per_ah = bounds.cell(chemistry, "short_circuit_per_ah")
    if per_ah is not None:
        return Fault(lead_bound(per_ah, unit_capacity_ah, strings), proven=False)
    current_a = lithium_bound(
        bounds.cell(chemistry, "full_cell_voltage_v"), bounds.cell(chemistry, "cell_resistance_capacity_ohm_ah"),
        bounds.cell(chemistry, "joint_resistance_ohm"), unit_capacity_ah, strings,
    )
    return Fault(current_a, proven=False)


def behind_cable(fault: Fault, highest_voltage_v: float, loop_resistance_ohm: float) -> Fault:
    """The fault at the far end of a cable; cold resistance belongs here, a hot one would flatter the device."""
    inner = source_resistance(highest_voltage_v, fault.current_a)
    return Fault(fault_behind(highest_voltage_v, inner, loop_resistance_ohm), fault.proven)
