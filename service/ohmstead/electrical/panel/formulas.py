"""Arithmetic of a panel that is divided. What two legs make of their neutral stands with the legs."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_SUM = cite("design-arithmetic", "sum of currents at like power factor")
_INVERTER = cite("design-arithmetic", "apparent power is voltage times current")


@formula("leg_1_a", cite=_SUM)
def on_leg_1(*own_leg_a: float) -> float:
    """Current of everything that hangs on leg 1.

    Valid: all run together. Neglects: unlike power factors and the angle of what hangs between the legs. Errs: high.

    >>> on_leg_1(13.0, 5.0)
    18.0
    """
    return sum(own_leg_a)


@formula("leg_2_a", cite=_SUM)
def on_leg_2(*own_leg_a: float) -> float:
    """Current of everything that hangs on leg 2.

    Valid: all run together. Neglects: unlike power factors and the angle of what hangs between the legs. Errs: high.

    >>> on_leg_2(12.5)
    12.5
    """
    return sum(own_leg_a)


@formula("hot_a", cite=_SUM)
def together(*own_leg_a: float) -> float:
    """Current of circuits that move together.

    Valid: all run together. Neglects: unlike power factors. Errs: high.

    >>> together(8.0, 6.0)
    14.0
    """
    return sum(own_leg_a)


@formula("hot_a", cite=_SUM)
def one_output(own_leg_a: float) -> float:
    """Current of an output that feeds one leg.

    Valid: legs with outputs of their own. Neglects: nothing. Errs: exact.

    >>> one_output(8.0)
    8.0
    """
    return own_leg_a


@formula("hot_a", cite=cite("design-arithmetic", "the larger of"))
def heavier(leg_1_a: float, leg_2_a: float) -> float:
    """Current of the leg that carries more.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> heavier(13.0, 12.5)
    13.0
    """
    return max(leg_1_a, leg_2_a)


@formula("output_va", cite=cite("design-arithmetic", "identity"))
def whole_output(inverter_rating_va: float) -> float:
    """Apparent power of an inverter with one output.

    Valid: any. Neglects: heat and altitude. Errs: high.

    >>> whole_output(3000.0)
    3000.0
    """
    return inverter_rating_va


@formula("output_va", cite=cite("design-arithmetic", "two outputs alike"))
def half_output(inverter_rating_va: float) -> float:
    """Apparent power of each of two outputs.

    Valid: outputs in opposition, alike. Neglects: heat and altitude. Errs: high.

    >>> half_output(4000.0)
    2000.0
    """
    return inverter_rating_va / 2


@formula("output_asked_va", cite=_INVERTER)
def asked_of_output(hot_a: float, supply_voltage_v: float) -> float:
    """Apparent power that circuits ask of an output.

    Valid: any. Neglects: unlike power factors. Errs: high.

    >>> asked_of_output(25.0, 120.0)
    3000.0
    """
    return hot_a * supply_voltage_v


@formula("joint_breaker_a", cite=_INVERTER)
def output_limit(output_va: float, supply_voltage_v: float) -> float:
    """Current that an output gives without end; above it the inverter stops.

    Valid: for longer than a surge. Neglects: the seconds of a surge. Errs: low.

    >>> output_limit(3000.0, 120.0)
    25.0
    """
    return output_va / supply_voltage_v


@formula("device_needed_a", cite=cite("nec-chapters-1-4", "215.3"))
def feed_needed(hot_a: float, continuous_factor: float) -> float:
    """Smallest rating of the breaker that feeds a panel.

    Valid: devices not rated for their whole current without end; a factor of one where they are. Neglects: heat of the place. Errs: exact.

    >>> feed_needed(24.0, 1.25)
    30.0
    """
    return hot_a * continuous_factor
