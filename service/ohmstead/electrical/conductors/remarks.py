"""What there is to say about a sized circuit, whoever asked for it."""

from __future__ import annotations

from ...reference.case import Case
from ...working import at_most
from ..protection.sizing import PROTECTS, SMALL_CONDUCTOR
from .model import Circuit, Run
from .rules import CONDITIONS, TERMINALS


def remark(circuit: Circuit, run: Run, case: Case) -> None:
    """Findings that belong to the circuit itself, whoever asked for it."""
    device, row = circuit.device, circuit.conductor
    if device is not None and run.fault_current_a is not None and device.interrupting == "short":
        case.note("interrupting-rating-short", "/fault", voltage=float(run.highest_voltage_v), fault=float(run.fault_current_a), best=float(device.interrupting_a))
    if device is not None and run.fault_current_a is None:
        case.note("short-circuit-not-known", "/fault", best=float(device.interrupting_a))
    source = run.source
    if source.free_air is not None and (run.place == "free-air" or any(stretch.place == "free-air" for stretch in run.further)):
        case.note("free-air-basis", "/place" if run.place == "free-air" else "/further", basis=str((source.free_air.at(circuit.insulation_temperature_c) or source.free_air.columns[0]).table.citation))
    if source.voltage_split_v is not None and not at_most(run.nominal_voltage_v, source.voltage_split_v):
        case.note("rules-change-at-voltage", "/system/nominal", nominal=float(run.nominal_voltage_v), split=float(source.voltage_split_v))
    if row is not None and row.sets > 1:
        case.note("parallel-sets", sets=row.sets)
    if row is not None and source.current == "direct" and source.lugs is not None and row.size not in source.lugs.index:
        case.note("beyond-listed-lugs", "/largest_conductor", size=row.size, largest=source.largest_with_lug)
    if circuit.above_ampacity:
        case.note("device-above-ampacity", rating=float(device.rating_a), ampacity=float(row.ampacity_a))
    if circuit.choice is not None and circuit.choice.governed_by.startswith("voltage-drop"):
        case.note("drop-governs")
    if row is not None:
        for check, value in recalled_values(circuit, run):
            case.note("recalled-value-decides", check=check, value=value)


def recalled_values(circuit: Circuit, run: Run) -> list[tuple[str, str]]:
    """Values that are known from memory alone and decided the size: the check, and the value with where it is said to stand."""
    row, source, found = circuit.conductor, run.source, []
    if row is None or circuit.choice is None or circuit.choice.governed_by not in _BY_AMPACITY:
        return found
    governed = circuit.choice.governed_by
    place = row.stretches[row.governing].place if row.stretches else run.place
    air = source.free_air if place == "free-air" and source.free_air is not None else source.ampacity
    column = air.at(circuit.insulation_temperature_c)
    # The device protects the conductor by the smaller of the two ampacities.
    by_conditions = governed == CONDITIONS.name or (governed == PROTECTS.name and row.ampacity_conditions_a < row.ampacity_terminals_a)
    if governed == SMALL_CONDUCTOR.name:
        deciding = source.caps
    else:
        deciding = column.table if by_conditions else source.ampacity.at(circuit.terminal_temperature_c).table
    if row.size in deciding.index and deciding.basis_of_row[deciding.row(row.size)] == "recalled":
        found.append((governed, f"{row.size} in {deciding.citation}"))
    if by_conditions:
        bands = column.ambient, column.ambient.first_at_least("upper_c", circuit.ambient_c), circuit.ambient_factor
        together = source.bundling, source.bundling.columns["factor"].index(circuit.bundling_factor), circuit.bundling_factor
        for table, place, factor in (bands, together):
            if factor != 1 and table.basis_of_row[place] == "recalled":
                found.append((governed, f"{factor:g} in {table.citation_of_row[place]}"))
    return found


_BY_AMPACITY = frozenset({TERMINALS.name, CONDITIONS.name, PROTECTS.name, SMALL_CONDUCTOR.name})
"""Checks that a value of a table of ampacities, factors or caps can decide."""
