"""One circuit on its own: find its rules, current, voltages and fault, then size it."""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case
from ...reference.practices import RuleSource
from ..faults.model import Fault
from ..faults.sizing import bank_fault
from .chosen import Chosen, Judged, judge
from .formulas import charging_voltage_bound, current_from_power
from .model import Circuit, End, Place, ReturnPath, Run, Stretch
from .remarks import remark
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
    further: tuple[Stretch, ...]
    insulation_temperature_c: float | None
    terminal_temperature_c: float | None
    largest_conductor: str | None
    ends: tuple[End, ...]
    return_path: ReturnPath
    return_resistance_ohm: float | None
    max_sets: int
    device: bool
    device_family: str | None
    drop_limit: float | None
    ripple_power_factor: float | None
    device_limit_a: float | None
    both_ways: bool
    makers_fault_a: float | None
    chemistry: str | None
    unit_capacity_ah: float | None
    strings: float | None
    chosen: Chosen | None = None
    """What was chosen beforehand, to be judged."""


class SizedSingle(Struct, frozen=True):
    """A sized circuit with the rules it was sized under."""

    circuit: Circuit
    source: RuleSource
    both_ways: bool
    sheathed: bool = False
    judged: Judged | None = None
    ends: tuple[End, ...] = ()


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
        further=request.further, ends=request.ends, return_path=request.return_path, return_resistance_ohm=request.return_resistance_ohm,
        drop_limit=request.drop_limit, max_sets=request.max_sets, device=request.device, device_family=request.device_family,
        fault_current_a=fault.current_a if fault else None, fault_proven=fault.proven if fault else False,
        both_ways=request.both_ways, device_limit_a=request.device_limit_a,
        grounding=source.grounding_conductor, enlarge_grounding=source.grounding_enlarged,
    )
    circuit = size_circuit(run, case)
    remark(circuit, run, case)
    judged = judge(request.chosen, run, circuit, case) if request.chosen is not None else None
    return SizedSingle(circuit, source, request.both_ways, request.sheathed, judged, request.ends)


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
