"""One circuit on its own: find its rules, current, voltages and fault, then size it."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from ...reference.case import Case
from ...reference.practices import RuleSource
from ...working import at_least
from ..faults.model import Fault
from ..faults.sizing import bank_fault
from ..legs.formulas import between_opposed
from ..legs.model import Arrangement
from ..legs.sizing import NEUTRAL_WORST, between_legs, loaded_conductors
from ..people.model import PeoplePlace, Requirement, Serves
from ..people.sizing import people_requirements, remark_people
from ..protection.opening import Passing, Transient, let_pass
from .chosen import Chosen, Judged, judge
from .currents import currents_of, neutral_checks
from .device_heat import at_device, carried
from .formulas import charging_voltage_bound, current_from_power
from .model import Circuit, End, Place, ReturnPath, Run, Stretch, TwoLegs
from .own_choices import own_choices_used
from .remarks import remark
from .sizing import size_circuit


class SecondLeg(Struct, frozen=True):
    """What hangs on the other leg, and how the legs are supplied."""

    arrangement: Arrangement
    current_a: float
    joint_breaker_a: float | None = None


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
    second_leg: SecondLeg | None = None
    start: Transient | None = None
    """A start or an inrush that the device has to let pass."""
    serves: Serves | None = None
    where: PeoplePlace | None = None
    only_circuit: bool = False
    """Whether the vehicle has no other circuit of alternating current."""
    source_at_load: bool | None = None
    """Whether the far end is a source that can overload the conductors; None: as its class has it."""


class Neutral(Struct, frozen=True):
    """The neutral of two legs."""

    arrangement: Arrangement
    neutral_a: float
    worst_a: float | None
    """What the devices would let through; None where nothing that is known limits it."""
    between_legs_v: float


class SizedSingle(Struct, frozen=True):
    """A sized circuit with the rules it was sized under."""

    circuit: Circuit
    source: RuleSource
    both_ends: bool
    """Whether a device belongs to the far end too."""
    sheathed: bool = False
    judged: Judged | None = None
    ends: tuple[End, ...] = ()
    legs: Neutral | None = None
    passing: Passing | None = None
    people: tuple[Requirement, ...] = ()
    fault_reckoned: bool = False
    """Whether the short-circuit current was worked out and not given."""
    in_heat: bool = False
    """Whether the device was held against the heat of its place."""


def size_single(request: Single, case: Case) -> SizedSingle:
    """Size one circuit; the outcome is `nothing-fits` when no conductor or no device does."""
    source = case.library.practices[request.practice].source(request.circuit_class)
    fault = _fault(request, case)
    current = request.current_a
    if current is None:
        current = current_from_power(request.power_w, request.efficiency, request.lowest_voltage_v)
    legs = None
    if request.second_leg is not None:
        other = request.second_leg.current_a
        own, other = (current, other) if at_least(current, other) else (other, current)
        legs, current = TwoLegs(request.second_leg.arrangement, own, other, request.second_leg.joint_breaker_a), own
    loaded, further = request.loaded_conductors, request.further
    if legs is not None:
        usual = case.chosen(loaded_conductors(legs.arrangement), "loaded_conductors", "two lines, and the neutral where it carries more than their difference")
        loaded = usual if loaded is None else loaded
        further = tuple(replace(part, loaded_conductors=usual) if part.loaded_conductors is None else part for part in further)
    run = Run(
        source=source, current_a=current, nominal_voltage_v=request.nominal_voltage_v, lowest_voltage_v=request.lowest_voltage_v,
        highest_voltage_v=_highest(request, case), run_m=request.run_m, continuous=request.continuous,
        critical=request.critical, engine_space=request.engine_space,
        ripple_power_factor=request.ripple_power_factor, place=request.place, ambient_c=request.ambient_c,
        loaded_conductors=loaded, insulation_temperature_c=request.insulation_temperature_c,
        terminal_temperature_c=request.terminal_temperature_c, largest_conductor=request.largest_conductor,
        further=further, ends=request.ends, return_path=request.return_path, return_resistance_ohm=request.return_resistance_ohm,
        drop_limit=request.drop_limit, max_sets=request.max_sets, device=request.device, device_family=request.device_family,
        fault_current_a=fault.current_a if fault else None, fault_proven=fault.proven if fault else False,
        both_ways=request.both_ways, device_limit_a=request.device_limit_a,
        grounding=source.grounding_conductor, enlarge_grounding=source.grounding_enlarged, legs=legs,
    )
    circuit = size_circuit(run, case)
    remark(circuit, run, case)
    if source.own_choices:
        case.assume_own(source, own_choices_used(circuit, run))
    judged = judge(request.chosen, run, circuit, case) if request.chosen is not None else None
    passing = heat = None
    if circuit.device is not None:
        hottest = at_device(circuit)
        heat = carried(circuit, run, hottest, case)
        if heat is not None:
            circuit = replace(circuit, checks=(*circuit.checks, heat))
        if request.start is not None:
            passing = let_pass(request.start, circuit.device, source, case, hottest, "/start")
    people = people_requirements(source, request.circuit_class, request.serves, request.where, case, single_circuit=request.only_circuit)
    remark_people(people, case)
    return SizedSingle(
        circuit, source, _both_ends(request), request.sheathed, judged, request.ends, _neutral(run, circuit) if legs is not None else None, passing, people,
        fault is not None and request.makers_fault_a is None, heat is not None,
    )


def _neutral(run: Run, circuit: Circuit) -> Neutral:
    currents = currents_of(run)
    rules = dict(neutral_checks(run, currents, circuit.device))
    return Neutral(run.legs.arrangement, currents.neutral_a, rules.get(NEUTRAL_WORST), between_legs(run.legs.arrangement, run.nominal_voltage_v))


def _both_ends(request: Single) -> bool:
    """Whether both ends are sources that can overload the conductors.

    The strings of a bank are; a charger or an inverter-charger limits its own current, and the one at the bank guards against the bank.
    """
    return request.source_at_load if request.source_at_load is not None else request.circuit_class == "bank-unit"


def _highest(request: Single, case: Case) -> float:
    if request.highest_voltage_v is not None:
        return request.highest_voltage_v
    if request.second_leg is not None:
        # A panel of two legs is made for the voltage of legs in opposition, whatever feeds it.
        return between_opposed(request.nominal_voltage_v)
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
