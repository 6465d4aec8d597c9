"""Arithmetic of two legs and their neutral. The neutral currents themselves stand with the supplies."""

from __future__ import annotations

from math import sqrt

from ...nomenclature import formula
from ...reference.citations import cite

_PHASORS = cite("design-arithmetic", "phasor sum of two leg currents at like power factor")
_SERIES = cite("design-arithmetic", "two loads in series")
_LET_THROUGH = cite("design-arithmetic", "no breaker sits in the neutral")


@formula("between_legs_v", cite=_PHASORS)
def between_opposed(supply_voltage_v: float) -> float:
    """Voltage between two legs in opposition.

    Valid: 120/240 V. Neglects: drop. Errs: exact.

    >>> between_opposed(120.0)
    240.0
    """
    return 2 * supply_voltage_v


@formula("between_legs_v", cite=_PHASORS)
def between_in_phase(supply_voltage_v: float) -> float:
    """Voltage between two legs on one hot, or on two hots in phase.

    Valid: any. Neglects: drop. Errs: exact.

    >>> between_in_phase(120.0)
    0.0
    """
    return supply_voltage_v - supply_voltage_v


@formula("between_legs_v", cite=_PHASORS)
def between_two_of_three(supply_voltage_v: float) -> float:
    """Voltage between two legs of a three-phase site.

    Valid: 208Y/120 V. Neglects: drop. Errs: exact.

    >>> round(between_two_of_three(120.0), 1)
    207.8
    """
    return sqrt(3.0) * supply_voltage_v


@formula("line_to_line_power", cite=cite("design-arithmetic", "power goes with the square of the voltage"))
def line_to_line_share(between_legs_v: float, supply_voltage_v: float) -> float:
    """Power of a resistive load between the legs over its power on legs in opposition.

    Valid: heaters; a motor draws more current instead. Neglects: change of resistance with heat. Errs: low.

    >>> round(line_to_line_share(207.846, 120.0), 3)
    0.75
    """
    return (between_legs_v / (2 * supply_voltage_v)) ** 2


@formula("neutral_worst_a", cite=_LET_THROUGH)
def let_through_one(joint_breaker_a: float) -> float:
    """Largest neutral current behind one breaker in the one hot.

    Valid: all loads behind that breaker. Neglects: what a breaker bears for minutes above its rating. Errs: low for minutes.

    >>> let_through_one(30.0)
    30.0
    """
    return joint_breaker_a


@formula("neutral_worst_a", cite=_LET_THROUGH)
def let_through_both(leg_1_breaker_a: float, leg_2_breaker_a: float) -> float:
    """Largest neutral current behind two breakers, or two poles, on hots in phase.

    Valid: any. Neglects: what a breaker bears for minutes above its rating. Errs: low for minutes.

    >>> let_through_both(30.0, 30.0)
    60.0
    """
    return leg_1_breaker_a + leg_2_breaker_a


@formula("neutral_worst_a", cite=_LET_THROUGH)
def let_through_larger(leg_1_breaker_a: float, leg_2_breaker_a: float) -> float:
    """Largest neutral current behind a pole in each of two legs that are 180 or 120 degrees apart.

    One leg alone loads the neutral most. Valid: like power factors; legs in opposition to 60 degrees between the currents.
    Neglects: harmonics. Errs: low on two legs of three, 1.6 times at power factors of 1 and 0.7.

    >>> let_through_larger(50.0, 30.0)
    50.0
    """
    return max(leg_1_breaker_a, leg_2_breaker_a)


@formula("neutral_worst_a", cite=_LET_THROUGH)
def let_through_smaller(*neutral_worst_a: float) -> float:
    """What is left where a breaker in the hot and breakers in the legs stand in series.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> let_through_smaller(30.0, 60.0)
    30.0
    """
    return min(neutral_worst_a)


@formula("hot_a", cite=_PHASORS)
def on_one_hot(leg_1_a: float, leg_2_a: float) -> float:
    """Current of the hot on which both legs hang.

    Valid: like power factors. Neglects: nothing. Errs: high.

    >>> on_one_hot(13.0, 12.5)
    25.5
    """
    return leg_1_a + leg_2_a


@formula("leg_limit_a", cite=cite("design-arithmetic", "the weakest part in series"))
def weakest(*contact_limit_a: float) -> float:
    """Current that breaker, adapter and cord in series carry without end.

    Valid: the breaker's share for lasting loads already taken. Neglects: heat at the post. Errs: high.

    >>> weakest(24.0, 30.0)
    24.0
    """
    return min(contact_limit_a)


@formula("neutral_ratio", cite=cite("design-arithmetic", "a current over its limit"))
def over_limit(neutral_a: float, neutral_limit_a: float) -> float:
    """Neutral current over its limit.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> over_limit(55.0, 50.0)
    1.1
    """
    return neutral_a / neutral_limit_a


@formula("heat_ratio", cite=cite("design-arithmetic", "Joule's law"))
def heat_over_limit(neutral_ratio: float) -> float:
    """Heat of a conductor over that at its limit.

    Valid: any. Neglects: resistance that rises with heat. Errs: low.

    >>> round(heat_over_limit(1.5), 9)
    2.25
    """
    return neutral_ratio**2


@formula("leg_drop_v", cite=_PHASORS)
def leg_drop(own_leg_a: float, other_leg_a: float, phase_cosine: float, leg_resistance_ohm: float, neutral_resistance_ohm: float) -> float:
    """Voltage drop of a leg: its own conductor, and the neutral with the part of its current that is in phase with the leg.

    Below nought where the other leg lifts the neutral. Valid: like power factors near one. Neglects: reactance, the part
    across. Errs: high.

    >>> round(leg_drop(20.0, 10.0, -1.0, 0.05, 0.05), 9)
    1.5
    """
    return own_leg_a * leg_resistance_ohm + (own_leg_a + other_leg_a * phase_cosine) * neutral_resistance_ohm


@formula("leg_drop_v", cite=cite("design-arithmetic", "Ohm's law"))
def leg_drop_alone(own_leg_a: float, leg_resistance_ohm: float, neutral_resistance_ohm: float) -> float:
    """Voltage drop of a leg and its neutral while the other leg is idle.

    Valid: power factors near one. Neglects: reactance. Errs: high.

    >>> round(leg_drop_alone(24.0, 0.031, 0.031), 3)
    1.488
    """
    return own_leg_a * (leg_resistance_ohm + neutral_resistance_ohm)


@formula("leg_drop_v", cite=cite("design-arithmetic", "the larger of"))
def largest_drop(*leg_drop_v: float) -> float:
    """The drop of the worse leg, the other one loaded or idle.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> largest_drop(1.5, 2.0)
    2.0
    """
    return max(leg_drop_v)


@formula("drop_fraction", cite=cite("design-arithmetic", "a part over the whole"))
def leg_drop_share(leg_drop_v: float, supply_voltage_v: float) -> float:
    """Voltage drop of a leg over its voltage.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> leg_drop_share(3.0, 120.0)
    0.025
    """
    return leg_drop_v / supply_voltage_v


@formula("heat_w", cite=cite("design-arithmetic", "Joule's law"))
def cord_heat(leg_1_a: float, leg_2_a: float, neutral_a: float, leg_resistance_ohm: float, neutral_resistance_ohm: float) -> float:
    """Heat in the two legs and the neutral.

    Valid: any. Neglects: contacts. Errs: low.

    >>> round(cord_heat(24.0, 0.0, 24.0, 0.031, 0.031), 1)
    35.7
    """
    return (leg_1_a**2 + leg_2_a**2) * leg_resistance_ohm + neutral_a**2 * neutral_resistance_ohm


@formula("open_neutral_a", cite=_SERIES)
def in_series_across(between_legs_v: float, supply_voltage_v: float, leg_1_a: float, leg_2_a: float) -> float:
    """Current of the loads of both legs once the neutral is open and they lie in series.

    Valid: resistive loads. Neglects: electronics, which hold their power. Errs: either.

    >>> in_series_across(240.0, 120.0, 10.0, 2.5)
    4.0
    """
    return between_legs_v / (supply_voltage_v / leg_1_a + supply_voltage_v / leg_2_a)


@formula("open_leg_v", cite=_SERIES)
def voltage_of_open_leg(between_legs_v: float, own_leg_a: float, other_leg_a: float) -> float:
    """Voltage that a leg sees once the neutral is open: the lighter leg gets the larger part.

    Valid: resistive loads. Neglects: electronics, which hold their power. Errs: either.

    >>> voltage_of_open_leg(240.0, 10.0, 2.5), voltage_of_open_leg(240.0, 2.5, 10.0)
    (48.0, 192.0)
    """
    return between_legs_v * other_leg_a / (own_leg_a + other_leg_a)


@formula("leg_resistance_ohm", cite=cite("design-arithmetic", "length times resistance per length"))
def leg_wire(resistance_ohm_per_km: float, run_m: float) -> float:
    """Resistance of the conductor of a leg, one way.

    Valid: the temperature of the resistance. Neglects: contacts, reactance. Errs: low.

    >>> leg_wire(4.0, 10.0)
    0.04
    """
    return resistance_ohm_per_km * run_m / 1000


@formula("neutral_resistance_ohm", cite=cite("design-arithmetic", "length times resistance per length"))
def neutral_wire(resistance_ohm_per_km: float, run_m: float) -> float:
    """Resistance of the neutral conductor, one way.

    Valid: the temperature of the resistance. Neglects: contacts, reactance. Errs: low.

    >>> neutral_wire(4.0, 10.0)
    0.04
    """
    return resistance_ohm_per_km * run_m / 1000
