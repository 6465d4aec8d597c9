"""Arithmetic of a charge: what supplies bring, and how the current of a bank falls near full."""

from __future__ import annotations

from math import exp, log

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")
_TAPER = cite("battery-trade-literature", "measured charge of a lead-acid bank: the current falls exponentially")


@formula("tail_current_a", cite=cite("battery-trade-literature", "charging current at which charging ends"))
def tail_current(tail_rate: float, bank_capacity_ah: float) -> float:
    """Charging current at which the bank counts as full.

    Valid: absorption voltage. Neglects: age, which raises it for lead-acid. Errs: either.

    >>> tail_current(0.02, 200.0)
    4.0
    """
    return tail_rate * bank_capacity_ah


@formula("missing_ah", cite=_OWN)
def missing_from(bank_capacity_ah: float, state_of_charge: float) -> float:
    """Charge that the bank lacks.

    Valid: a new bank. Neglects: age, which leaves less to fill. Errs: high for an old bank.

    >>> missing_from(200.0, 0.75)
    50.0
    """
    return bank_capacity_ah * (1 - state_of_charge)


@formula("state_of_charge", cite=_OWN)
def state_from(bank_capacity_ah: float, missing_ah: float) -> float:
    """State of charge of a bank that lacks a charge.

    Valid: a new bank. Neglects: age. Errs: low for an old bank.

    >>> state_from(200.0, 50.0)
    0.75
    """
    return 1 - missing_ah / bank_capacity_ah


@formula("knee_ah", cite=_TAPER)
def missing_at_knee(filling_a: float, tail_current_a: float, coulombic_efficiency: float, taper_constant_h: float) -> float:
    """Charge that the bank lacks when it begins to accept less than a current.

    Valid: absorption voltage, 15 to 30 °C. Neglects: cold, sulphate. Errs: either, a tenth on a sound bank.

    >>> round(missing_at_knee(22.0, 2.0, 0.85, 1.0), 9)
    17.0
    """
    return max(0.0, coulombic_efficiency * taper_constant_h * (filling_a - tail_current_a))


@formula("acceptance_a", cite=_TAPER)
def accepted(missing_ah: float, tail_current_a: float, coulombic_efficiency: float, taper_constant_h: float) -> float:
    """Charging current that the bank accepts on absorption voltage.

    Valid: absorption voltage, 15 to 30 °C. Neglects: cold, sulphate. Errs: either, a tenth on a sound bank.

    >>> accepted(17.0, 2.0, 0.85, 1.0)
    22.0
    """
    return tail_current_a + missing_ah / (coulombic_efficiency * taper_constant_h)


@formula("bulk_hours", cite=_OWN)
def hours_at_steady(missing_ah: float, target_missing_ah: float, filling_a: float, coulombic_efficiency: float) -> float:
    """Hours at a steady current from one missing charge to a smaller one.

    Valid: currents that the bank accepts. Neglects: nothing. Errs: either with the efficiency.

    >>> hours_at_steady(51.0, 17.0, 20.0, 0.85)
    2.0
    """
    return (missing_ah - target_missing_ah) / (filling_a * coulombic_efficiency)


@formula("missing_ah", cite=_OWN)
def left_at_steady(missing_ah: float, filling_a: float, coulombic_efficiency: float, section_hours: float) -> float:
    """Charge still missing after some hours at a steady current.

    Valid: currents that the bank accepts. Neglects: nothing. Errs: either with the efficiency.

    >>> left_at_steady(51.0, 20.0, 0.85, 1.0)
    34.0
    """
    return missing_ah - filling_a * coulombic_efficiency * section_hours


@formula("missing_ah", cite=_OWN)
def left_while_emptied(missing_ah: float, filling_a: float, section_hours: float, bank_capacity_ah: float) -> float:
    """Charge missing after some hours in which loads take more than supplies bring; an empty bank gives no more.

    Valid: slow discharges. Neglects: Peukert's relation. Errs: low at high rates.

    >>> left_while_emptied(50.0, -5.0, 2.0, 100.0)
    60.0
    """
    return min(bank_capacity_ah, missing_ah - filling_a * section_hours)


@formula("taper_hours", cite=_TAPER)
def hours_of_fall(
    missing_ah: float, target_missing_ah: float, tail_current_a: float, coulombic_efficiency: float, taper_constant_h: float
) -> float:
    """Hours while the current falls, from one missing charge to a smaller one.

    Valid: absorption voltage held. Neglects: cold, sulphate. Errs: either, a tenth on a sound bank.

    >>> round(hours_of_fall(17.182818284590452, 0.0, 10.0, 1.0, 1.0), 9)
    1.0
    """
    return taper_constant_h * log(
        (missing_ah + coulombic_efficiency * taper_constant_h * tail_current_a)
        / (target_missing_ah + coulombic_efficiency * taper_constant_h * tail_current_a)
    )


@formula("missing_ah", cite=_TAPER)
def left_of_fall(
    missing_ah: float, section_hours: float, tail_current_a: float, coulombic_efficiency: float, taper_constant_h: float
) -> float:
    """Charge still missing after some hours in which the current falls.

    Valid: absorption voltage held. Neglects: cold, sulphate. Errs: either, a tenth on a sound bank.

    >>> round(left_of_fall(17.182818284590452, 1.0, 10.0, 1.0, 1.0), 9)
    0.0
    """
    return (
        (missing_ah + coulombic_efficiency * taper_constant_h * tail_current_a) * exp(-section_hours / taper_constant_h)
        - coulombic_efficiency * taper_constant_h * tail_current_a
    )


@formula("charge_in_ah", cite=_TAPER)
def charge_of_fall(missing_ah: float, target_missing_ah: float, coulombic_efficiency: float) -> float:
    """Charge that flows into the bank while it goes from one missing charge to a smaller one.

    Valid: any course of the current. Neglects: nothing. Errs: either with the efficiency.

    >>> charge_of_fall(51.0, 34.0, 0.85)
    20.0
    """
    return (missing_ah - target_missing_ah) / coulombic_efficiency


@formula("charge_in_ah", cite=_OWN)
def all_charge(*charge_in_ah: float) -> float:
    """Charge that flowed in, all stretches together.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> all_charge(20.0, 5.0)
    25.0
    """
    return sum(charge_in_ah)


@formula("energy_in_wh", cite=_OWN)
def energy_of_charging(charge_in_ah: float, charging_voltage_v: float) -> float:
    """Energy that went into the bank, as if all of it came on absorption voltage.

    Valid: any. Neglects: the lower voltage of bulk. Errs: high, up to a tenth.

    >>> energy_of_charging(20.0, 14.5)
    290.0
    """
    return charge_in_ah * charging_voltage_v


@formula("energy_stored_wh", cite=_OWN)
def energy_gained(missing_ah: float, target_missing_ah: float, bank_voltage_v: float) -> float:
    """Energy that the bank holds more, on nominal voltage.

    Valid: any. Neglects: the voltage's course. Errs: either, a few percent.

    >>> energy_gained(51.0, 34.0, 12.0)
    204.0
    """
    return (missing_ah - target_missing_ah) * bank_voltage_v


@formula("energy_lost_wh", cite=_OWN)
def energy_lost(charge_in_ah: float, charging_voltage_v: float, coulombic_efficiency: float, bank_voltage_v: float) -> float:
    """Energy that turned to heat in the bank: what went in on charging voltage less what came to stay on nominal voltage.

    Valid: any. Neglects: the loss of the chargers, the lower voltage of bulk. Errs: high, up to a tenth of what went in.

    >>> energy_lost(20.0, 15.0, 0.75, 12.0)
    120.0
    """
    return charge_in_ah * (charging_voltage_v - coulombic_efficiency * bank_voltage_v)


@formula("elapsed_hours", cite=_OWN)
def until(elapsed_hours: float, bulk_hours: float) -> float:
    """Hours since the start at the end of a stretch of the charge.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> until(3.0, 1.5)
    4.5
    """
    return elapsed_hours + bulk_hours


@formula("section_hours", cite=_OWN)
def rest_of_section(section_hours: float, bulk_hours: float) -> float:
    """Hours that are left of a section of the day.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> rest_of_section(3.0, 1.0)
    2.0
    """
    return section_hours - bulk_hours
