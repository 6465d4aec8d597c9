"""Arithmetic that arises only when circuits meet."""

from __future__ import annotations

from ..nomenclature import formula
from ..reference.citations import cite


@formula("current_a", cite=cite("design-arithmetic", "node sum"))
def node_sum(*current_a: float) -> float:
    """Sum of the currents that can flow out of a node at the same time.

    Valid: any. Neglects: diversity. Errs: high.

    >>> node_sum(150.0, 20.0)
    170.0
    """
    return sum(current_a)


@formula("current_a", cite=cite("design-arithmetic", "larger of discharge and charge"))
def larger_current(discharge_current_a: float, charge_current_a: float) -> float:
    """Current of a conductor that carries the discharge one way and the charge the other.

    Valid: never both at once. Neglects: nothing. Errs: exact.

    >>> larger_current(180.0, 60.0)
    180.0
    """
    return max(discharge_current_a, charge_current_a)


@formula("current_a", cite=cite("design-arithmetic", "unequal sharing"))
def string_share(current_a: float, strings: float, sharing_factor: float) -> float:
    """Current of the hardest-worked string of a bank.

    Valid: equal leads to bus bars. Neglects: a string that has opened. Errs: high.

    >>> string_share(160.0, 2.0, 0.8)
    100.0
    """
    return current_a / (strings * sharing_factor)


@formula("current_a", cite=cite("design-arithmetic", "apparent power over voltage"))
def alternating_current(apparent_power_va: float, supply_voltage_v: float) -> float:
    """Current of an alternating-current circuit, line to neutral.

    Valid: one leg. Neglects: harmonics. Errs: exact.

    >>> alternating_current(1800.0, 120.0)
    15.0
    """
    return apparent_power_va / supply_voltage_v


@formula("apparent_power_va", cite=cite("design-arithmetic", "sum"))
def summed_va(*apparent_power_va: float) -> float:
    """Apparent powers on one circuit, added as plain numbers.

    Valid: any power factors. Neglects: phase. Errs: high.

    >>> summed_va(100.0, 50.0)
    150.0
    """
    return sum(apparent_power_va)


@formula("current_a", cite=cite("design-arithmetic", "transfer relay"))
def pass_through_current(supply_limit_a: float, continuous_share: float, transfer_rating_a: float) -> float:
    """Continuous current from a supply through a transfer relay: neither may be loaded beyond its share.

    Valid: one leg. Neglects: nothing. Errs: exact.

    >>> pass_through_current(40.0, 0.8, 30.0)
    24.0
    """
    return min(supply_limit_a, continuous_share * transfer_rating_a)


@formula("current_a", cite=cite("design-arithmetic", "larger of inverted and passed through"))
def output_current(inverter_current_a: float, current_a: float) -> float:
    """Current of an inverter's output circuit: what it makes itself or what it passes through, whichever is larger.

    Valid: one leg; `inverter_current_a` on the alternating side. Neglects: both together. Errs: low while it supplements a supply.

    >>> output_current(25.0, 24.0)
    25.0
    """
    return max(inverter_current_a, current_a)


@formula("current_a", cite=cite("design-arithmetic", "proportion"))
def at_rating(current_a: float, charger_current_a: float, charger_setting_a: float) -> float:
    """Input current of a charger at its rated output, from the one at its setting: a setting protects no cable.

    Valid: the same voltages. Neglects: the change of efficiency. Errs: either.

    >>> at_rating(5.0, 40.0, 20.0)
    10.0
    """
    return current_a * charger_current_a / charger_setting_a


@formula("shunt_rating_a", cite=cite("common-practice", "shunts loaded to two thirds without end"))
def shunt_needed(current_a: float, shunt_share: float) -> float:
    """Rating of a shunt that carries a current without end.

    Valid: free air. Neglects: surges of seconds. Errs: high.

    >>> shunt_needed(200.0, 0.5)
    400.0
    """
    return current_a / shunt_share


@formula("current_a", cite=cite("design-arithmetic", "smaller of two upper bounds"))
def panel_current(current_a: float, discharge_current_a: float) -> float:
    """Current of a panel's feeder: all its loads at once, or all direct-current loads that run together, whichever is smaller.

    Valid: both are upper bounds. Neglects: diversity within them. Errs: high.

    >>> panel_current(40.0, 25.0)
    25.0
    """
    return min(current_a, discharge_current_a)


@formula("transient_current_a", cite=cite("design-arithmetic", "a start in place of a running current"))
def with_start(current_a: float, transient_current_a: float, load_current_a: float) -> float:
    """Current of a feeder while one of the loads behind it starts and the others run.

    Valid: one starts. Neglects: how the voltage sags, which lowers it. Errs: high.

    >>> with_start(20.0, 15.0, 5.0)
    30.0
    """
    return current_a + transient_current_a - load_current_a


@formula("power_w", cite=cite("design-arithmetic", "sum"))
def summed_w(*power_w: float) -> float:
    """Powers that can be drawn at the same time.

    Valid: any. Neglects: diversity. Errs: high.

    >>> summed_w(60.0, 40.0)
    100.0
    """
    return sum(power_w)


@formula("current_a", cite=cite("design-arithmetic", "power out over efficiency"))
def converter_input(current_a: float, nominal_voltage_v: float, efficiency: float, lowest_voltage_v: float) -> float:
    """Input current of a converter that gives a current at its output voltage, on the lowest voltage of the bank.

    Valid: converters that hold their output. Neglects: drop ahead of it. Errs: low by that.

    >>> converter_input(7.0, 12.0, 0.8, 21.0)
    5.0
    """
    return current_a * nominal_voltage_v / (efficiency * lowest_voltage_v)


@formula("run_m", cite=cite("design-arithmetic", "equal pieces"))
def piece_length(run_m: float, pieces: float) -> float:
    """Length of each piece of a run that devices and switches cut into equal pieces.

    Valid: a first list of cable; measure each piece before cutting. Neglects: where the devices really sit. Errs: either.

    >>> piece_length(3.0, 3.0)
    1.0
    """
    return run_m / pieces


@formula("highest_voltage_v", cite=cite("nec-551", "551.40(A), 120/240 V"))
def between_legs(supply_voltage_v: float) -> float:
    """Voltage between two legs in opposition.

    Valid: true split phase. Neglects: nothing. Errs: exact.

    >>> between_legs(120.0)
    240.0
    """
    return 2 * supply_voltage_v


@formula("current_a", cite=cite("design-arithmetic", "a breaker over the factor on continuous loads"))
def inlet_current(supply_breaker_a: float, continuous_factor: float) -> float:
    """Design current of inlet and cord, so that what they are sized for is the site's breaker, whatever is programmed.

    Valid: any load behind it. Neglects: overloads that the breaker bears for minutes. Errs: exact.

    >>> inlet_current(50.0, 1.25), inlet_current(16.0, 1.0)
    (40.0, 16.0)
    """
    return supply_breaker_a / continuous_factor


_NOTES = cite("nec-chapters-1-4", "210.19(A) and 215.2(A) informational notes")


@formula("drop_limit", cite=_NOTES)
def left_of_drop(drop_limit: float, drop_limit_total: float, drop_fraction: float) -> float:
    """Drop that a branch may have behind its feeders: its own limit, or what they leave of the drop of all together.

    The total is not less than the limit of one circuit, where somebody allows that more.

    Valid: drops on one nominal voltage. Neglects: loads that do not run together. Errs: low.

    >>> round(left_of_drop(0.03, 0.05, 0.025), 9), round(left_of_drop(0.1, 0.05, 0.04), 9)
    (0.025, 0.06)
    """
    return min(drop_limit, max(drop_limit, drop_limit_total) - drop_fraction)


@formula("drop_limit", cite=_NOTES)
def feeders_drop(drop_limit: float, drop_limit_total: float, feeder_drop_share: float) -> float:
    """Drop that all feeders ahead of a branch may have together: the limit of one circuit, or their share of the total.

    Valid: feeders in series. Neglects: nothing. Errs: low.

    >>> feeders_drop(0.03, 0.05, 0.4), feeders_drop(0.01, 0.05, 0.6)
    (0.02, 0.01)
    """
    return min(drop_limit, feeder_drop_share * max(drop_limit, drop_limit_total))


@formula("drop_limit", cite=cite("design-arithmetic", "by length"))
def share_by_length(drop_limit: float, drop_fraction: float, run_m: float, feeder_run_m: float) -> float:
    """Drop that one of several feeders in series may have: its part by length of what those ahead of it leave.

    Valid: `feeder_run_m` is the length of this one and of those behind it. Neglects: that currents differ. Errs: either.

    >>> share_by_length(0.03, 0.01, 3.0, 6.0)
    0.01
    """
    return (drop_limit - drop_fraction) * run_m / feeder_run_m


@formula("drop_fraction", cite=cite("design-arithmetic", "sum"))
def summed_drop(*drop_fraction: float) -> float:
    """Drop of circuits in series.

    Valid: drops on one nominal voltage. Neglects: loads that do not run together. Errs: high.

    >>> summed_drop(0.25, 0.5)
    0.75
    """
    return sum(drop_fraction)


@formula("feeder_run_m", cite=cite("design-arithmetic", "sum"))
def summed_run(*run_m: float) -> float:
    """Length of runs in series.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> summed_run(5.0, 3.0)
    8.0
    """
    return sum(run_m)
