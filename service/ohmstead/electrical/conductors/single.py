"""One circuit on its own: find its rules, current, voltages and fault, then size it."""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case
from ...reference.practices import RuleSource
from ...working import at_most
from ..faults.model import Fault
from ..faults.sizing import bank_fault
from ..protection.sizing import PROTECTS, SMALL_CONDUCTOR
from .formulas import charging_voltage_bound, current_from_power
from .model import Circuit, Place, Row, Run
from .rules import CONDITIONS, TERMINALS
from .sizing import size_circuit


class Single(Struct, frozen=True):
    """A circuit as a caller describes it. Either the current or power and efficiency; None means not given."""

    practice: str
    kind: str | None
    circuit_class: str
    direct: bool
    nominal_voltage_v: float
    lowest_voltage_v: float
    highest_voltage_v: float | None
    current_a: float | None
    power_w: float | None
    efficiency: float | None
    run_m: float
    continuous: bool
    critical: bool
    place: Place
    engine_space: bool
    sheathed: bool
    ambient_c: float | None
    loaded_conductors: float | None
    insulation_temperature_c: float | None
    terminal_temperature_c: float | None
    largest_conductor: str | None
    max_sets: int
    device: bool
    drop_limit: float | None
    ripple_power_factor: float | None
    device_limit_a: float | None
    both_ways: bool
    makers_fault_a: float | None
    chemistry: str | None
    unit_capacity_ah: float | None
    strings: float | None


class SizedSingle(Struct, frozen=True):
    """A sized circuit with the rules it was sized under."""

    circuit: Circuit
    source: RuleSource
    both_ways: bool
    sheathed: bool = False


def size_single(request: Single, case: Case) -> SizedSingle:
    """Size one circuit; the outcome is `nothing-fits` when no conductor or no device does."""
    source = case.library.practices[request.practice].source(request.circuit_class)
    fault = _fault(request, case)
    current = request.current_a
    if current is None:
        current = current_from_power(request.power_w, request.efficiency, request.lowest_voltage_v)
    run = Run(
        source=source, current_a=current, nominal_voltage_v=request.nominal_voltage_v, lowest_voltage_v=request.lowest_voltage_v,
        highest_voltage_v=_highest(request, case), run_m=request.run_m, continuous=request.continuous,
        critical=request.critical, engine_space=request.engine_space,
        ripple_power_factor=request.ripple_power_factor, place=request.place, ambient_c=request.ambient_c,
        loaded_conductors=request.loaded_conductors, insulation_temperature_c=request.insulation_temperature_c,
        terminal_temperature_c=request.terminal_temperature_c, largest_conductor=request.largest_conductor,
        drop_limit=request.drop_limit, max_sets=request.max_sets, device=request.device,
        fault_current_a=fault.current_a if fault else None, fault_proven=fault.proven if fault else False,
        both_ways=request.both_ways, device_limit_a=request.device_limit_a,
        grounding=source.grounding_conductor, enlarge_grounding=source.grounding_enlarged,
    )
    circuit = size_circuit(run, case)
    _remark(circuit, run, case)
    return SizedSingle(circuit, source, request.both_ways, request.sheathed)


def _highest(request: Single, case: Case) -> float:
    if request.highest_voltage_v is not None:
        return request.highest_voltage_v
    if not request.direct:
        return request.nominal_voltage_v
    return charging_voltage_bound(request.nominal_voltage_v, case.assume("highest_voltage_ratio"))


def _fault(request: Single, case: Case) -> Fault | None:
    if request.makers_fault_a is not None:
        return Fault(request.makers_fault_a, proven=True)
    if request.unit_capacity_ah is None:
        return None
    fault = bank_fault(request.chemistry, request.unit_capacity_ah, request.strings, case)
    case.note("no-short-circuit-figure", "/fault", bound=float(fault.current_a))
    return fault


def _remark(circuit: Circuit, run: Run, case: Case) -> None:
    """Findings that belong to the circuit itself, whoever asked for it."""
    device, row = circuit.device, circuit.conductor
    if device is not None and run.fault_current_a is not None and device.interrupting == "short":
        case.note("interrupting-rating-short", "/fault", voltage=float(run.highest_voltage_v), fault=float(run.fault_current_a), best=float(device.interrupting_a))
    if device is not None and run.fault_current_a is None:
        case.note("short-circuit-not-known", "/fault", best=float(device.interrupting_a))
    source = run.source
    if run.place == "free-air" and source.free_air is not None:
        case.note("free-air-basis", "/place", basis=str(source.free_air.columns[0].table.citation))
    if source.voltage_split_v is not None and not at_most(run.nominal_voltage_v, source.voltage_split_v):
        case.note("rules-change-at-voltage", "/system/nominal", nominal=float(run.nominal_voltage_v), split=float(source.voltage_split_v))
    if row is not None and row.sets > 1:
        case.note("parallel-sets", sets=row.sets)
    if row is not None and source.current == "direct" and source.sizes.row(row.size) > source.sizes.row(source.largest):
        case.note("beyond-listed-lugs", "/largest_conductor", size=row.size, largest=source.largest)
    if circuit.above_ampacity:
        case.note("device-above-ampacity", rating=float(device.rating_a), ampacity=float(row.ampacity_a))
    if circuit.choice is not None and circuit.choice.governed_by.startswith("voltage-drop"):
        case.note("drop-governs")
    if row is not None:
        _recalled(circuit, row, run, case)


def _recalled(circuit: Circuit, row: Row, run: Run, case: Case) -> None:
    """Say so where a value that is known from memory alone decided the size."""
    source, governed = run.source, circuit.choice.governed_by
    air = source.free_air if run.place == "free-air" and source.free_air is not None else source.ampacity
    terminals = source.ampacity.at(circuit.terminal_temperature_c).table
    conditions = air.at(circuit.insulation_temperature_c).table
    deciding = {SMALL_CONDUCTOR.name: source.caps, TERMINALS.name: terminals, CONDITIONS.name: conditions}.get(governed)
    by_conditions = governed == CONDITIONS.name
    if governed == PROTECTS.name:
        by_conditions = row.ampacity_conditions_a < row.ampacity_terminals_a
        deciding = conditions if by_conditions else terminals
    if deciding is not None and row.size in deciding.index and deciding.basis_of_row[deciding.row(row.size)] == "recalled":
        case.note("recalled-value-decides", check=governed, value=f"{row.size} in {deciding.citation}")
    if by_conditions:
        bands = source.ambient, source.ambient.first_at_least("upper_c", circuit.ambient_c), circuit.ambient_factor
        together = source.bundling, source.bundling.columns["factor"].index(circuit.bundling_factor), circuit.bundling_factor
        for table, place, factor in (bands, together):
            if factor != 1 and table.basis_of_row[place] == "recalled":
                case.note("recalled-value-decides", check=governed, value=f"{factor:g} in {table.citation_of_row[place]}")
