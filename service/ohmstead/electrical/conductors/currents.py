"""What a circuit carries, what its device has to carry, and by which way the current comes back."""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case
from ...working import Check, Rule
from ..legs.model import Poles
from ..legs.sizing import NEUTRAL, NEUTRAL_WORST, neutral_current, on_one_hot, worst_neutral
from ..protection.formulas import device_needed
from ..protection.model import Demand, Device
from .formulas import continuous_current, drop_current_on_one_hot, generator_conductor_current, ripple_current, ripple_factor, thermal_current
from .model import Run
from .rules import return_rule_of


class Currents(Struct, frozen=True):
    """The currents that one circuit is sized for."""

    average_a: float
    rms_a: float
    thermal_a: float
    drop_a: float
    """What drops voltage out and back: more than the line's current where the neutral carries that of two legs."""
    neutral_a: float | None
    """Of two legs; None on one."""


def currents_of(run: Run) -> Currents:
    """Average, RMS and thermal current of a run."""
    average = run.current_a
    rms = average if run.ripple_power_factor is None else ripple_current(average, ripple_factor(run.ripple_power_factor))
    source = run.source
    duty = continuous_current(source.continuous_factor, average) if run.continuous else average
    if source.least_factor is not None:
        duty = thermal_current(duty, generator_conductor_current(source.least_factor, average))
    legs, drop, neutral = run.legs, average, None
    if legs is not None:
        neutral = neutral_current(legs.arrangement, legs.own_leg_a, legs.other_leg_a)
        # On legs of their own the worst is that the other one is idle, and then the neutral carries the line's current.
        drop = drop_current_on_one_hot(legs.own_leg_a, legs.other_leg_a) if on_one_hot(legs.arrangement) else average
    return Currents(average, rms, thermal_current(duty, rms), drop, neutral)


def neutral_checks(run: Run, currents: Currents, device: Device | None) -> tuple[tuple[Rule, float], ...]:
    """What the neutral of two legs has to carry: its current, and what the devices would let through."""
    if run.legs is None:
        return ()
    rating = device.rating_a if device is not None else None
    worst = worst_neutral(run.legs.arrangement, Poles(run.legs.joint_breaker_a, rating, rating))
    found = ((NEUTRAL, currents.neutral_a),)
    return found if worst is None else (*found, (NEUTRAL_WORST, worst))


def demand_of(run: Run, currents: Currents) -> Demand:
    """What the circuit asks of its device; its factor on continuous loads may differ from the conductor's."""
    thermal, source = currents.thermal_a, run.source
    if source.device_factor != source.continuous_factor:
        duty = continuous_current(source.device_factor, currents.average_a) if run.continuous else currents.average_a
        thermal = thermal_current(duty, currents.rms_a)
    return Demand(source.device_use, device_needed(thermal), run.highest_voltage_v, run.fault_current_a, run.fault_proven, run.both_ways, run.device_limit_a,
                  run.device_least_a, run.device_family)


def return_check(run: Run, case: Case) -> Check | None:
    """Whether the rules let this current return as it is said to; None where a conductor carries it."""
    if run.return_path == "conductor":
        return None
    most = _by_chassis(run)
    if most is None:
        most = case.chosen(0.0, "return_limit_a", "the rules permit no return but by a conductor")
    return return_rule_of(run.source.return_rule).check(run.current_a, most)


def _by_chassis(run: Run) -> float | None:
    return run.source.chassis_return_a if run.return_path == "chassis" else None


def no_return(run: Run) -> str:
    """Why the current may not return as it is said to."""
    most = _by_chassis(run)
    if most is None:
        return f"{run.source.document}: the current of this circuit returns by a conductor, not by the {run.return_path}."
    return f"The chassis may carry small loads back, up to {most:g} A; {run.current_a:.4g} A needs a conductor."
