"""Air that the hydrogen of lead-acid units needs, and the depth at which their electrolyte stays liquid in frost."""

from __future__ import annotations

from ...reference.case import Case
from ...working import at_most
from .chemistry import VENTED, Properties
from .gas_formulas import air_for_charge, airflow, free_volume, gas_current, hours_to_limit, hydrogen, opening, spark_distance
from .model import Air, BankRequest, Frost, Need, Ventilation
from .resting_formulas import charge_left
from .formulas import depth_left
from .window import coldest_of


def ventilation_of(capacity_ah: float, cells: float, compartment_m3: float | None, known: Properties, case: Case) -> Ventilation | None:
    """Ventilation while charging and on float; None for sealed cells that give no gas unless they fail.

    The figure of boost charging holds up to 2.40 V a cell; a chemistry that is charged above it counts as gassing more.
    """
    if known.lithium:
        return None
    kind = "vented" if known.chemistry in VENTED else "sealed"
    mode = "boost" if at_most(known.highest_cell_v, case.constant("gassing_begins_cell_v")) else "charging"
    charging = _air(f"{kind}/{mode}", capacity_ah, cells, compartment_m3, case)
    return Ventilation(
        charging=charging, on_float=_air(f"{kind}/float", capacity_ah, cells, compartment_m3, case),
        free_volume_m3=free_volume(case.constant("free_volume_h"), charging.airflow_m3_per_h),
        spark_distance_m=spark_distance(charging.gas_current_a),
    )


def _air(row: str, capacity_ah: float, cells: float, compartment_m3: float | None, case: Case) -> Air:
    per_ah, limit = case.constant("hydrogen_m3_per_ah"), case.constant("hydrogen_limit")
    gas = gas_current(case.library.tables["gassing"].cell(row, "gassing_a_per_ah"), capacity_ah)
    flow = airflow(air_for_charge(per_ah, limit, case.constant("air_safety")), cells, gas)
    made = hydrogen(cells, gas, per_ah)
    return Air(
        gas_current_a=gas, airflow_m3_per_h=flow, opening_cm2=opening(case.constant("opening_per_airflow"), flow), hydrogen_m3_per_h=made,
        hydrogen_hours=None if compartment_m3 is None else hours_to_limit(compartment_m3, limit, made),
    )


def frost_of(request: BankRequest, need: Need, known: Properties, case: Case) -> Frost | None:
    """When the electrolyte freezes at the depth in use, and how deep a discharge stays liquid at the coldest."""
    if known.lithium:
        return None
    table = case.library.tables["electrolyte_freezing"]
    charges, freezing = table.columns["state_of_charge"], table.columns["freezes_c"]
    # Between rows the next lower state of charge counts.
    row = max(0, table.last_at_most("state_of_charge", charge_left(need.depth_of_discharge)))
    coldest, safe = coldest_of(request), None
    if coldest is not None:
        liquid = [place for place in range(table.rows) if at_most(freezing[place], coldest)]
        safe = depth_left(charges[liquid[0]]) if liquid else None
    return Frost(freezing[row], safe)
