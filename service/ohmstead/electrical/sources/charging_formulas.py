"""Arithmetic of charging: chargers, alternators, hours to full, energy a day."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")


@formula("charger_input_va", cite=_OWN)
def charger_va(charger_current_a: float, charging_voltage_v: float, charger_efficiency: float, charger_power_factor: float) -> float:
    """Apparent power that a charger takes.

    Valid: bulk, just below absorption voltage. Neglects: inrush. Errs: high early in the charge.

    >>> round(charger_va(80.0, 14.4, 0.85, 0.7))
    1936
    """
    return charger_current_a * charging_voltage_v / (charger_efficiency * charger_power_factor)


@formula("charger_input_a", cite=_OWN)
def charger_input(charger_input_va: float, supply_voltage_v: float) -> float:
    """Input current of a charger.

    Valid: nominal supply voltage. Neglects: that a sagging supply draws more. Errs: low on a weak site.

    >>> charger_input(1936.2, 120.0)
    16.135
    """
    return charger_input_va / supply_voltage_v


@formula("charger_allowed_a", cite=_OWN)
def charger_carried(leg_power_w: float, charger_efficiency: float, charger_power_factor: float, charging_voltage_v: float) -> float:
    """Largest charger output that one leg of a supply carries with no load on it.

    Valid: bulk. Neglects: loads. Errs: low early in the charge.

    >>> round(charger_carried(1440.0, 0.88, 0.95, 14.4), 1)
    83.6
    """
    return leg_power_w * charger_efficiency * charger_power_factor / charging_voltage_v


@formula("charger_allowed_a", cite=_OWN)
def least_charger(*charger_allowed_a: float) -> float:
    """The smallest of several limits on a charger's output.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> least_charger(50.0, 83.6)
    50.0
    """
    return min(charger_allowed_a)


@formula("charger_allowed_a", cite=_OWN)
def largest_charger(*charger_allowed_a: float) -> float:
    """The largest output that any of several supplies carries.

    Valid: one charger for all of them, turned down on the weaker ones. Neglects: nothing. Errs: exact.

    >>> largest_charger(80.0, 167.0)
    167.0
    """
    return max(charger_allowed_a)


@formula("charger_setting_a", cite=_OWN)
def charger_setting(charger_current_a: float, charger_allowed_a: float) -> float:
    """Output to program: the charger's rating, turned down to what supply and bank allow.

    Valid: adjustable chargers. Neglects: steps of the setting. Errs: exact.

    >>> charger_setting(100.0, 83.6)
    83.6
    """
    return min(charger_current_a, charger_allowed_a)


@formula("left_va", cite=_OWN)
def left_over(leg_power_w: float, charger_input_va: float) -> float:
    """Apparent power left for loads on the charger's leg while it runs at its setting.

    Valid: the same leg. Neglects: that chargers give way. Errs: low.

    >>> left_over(2880.0, 1700.0)
    1180.0
    """
    return max(0.0, leg_power_w - charger_input_va)


@formula("mean_load_w", cite=_OWN)
def mean_load(day_energy_wh: float) -> float:
    """Power of the loads in an average hour.

    Valid: a whole day. Neglects: when in the day they run. Errs: either.

    >>> mean_load(2400.0)
    100.0
    """
    return day_energy_wh / 24


@formula("mean_dc_w", cite=_OWN)
def mean_direct(dc_energy_wh: float) -> float:
    """Power of the direct-current loads in an average hour.

    Valid: a whole day. Neglects: when in the day they run. Errs: either.

    >>> mean_direct(1200.0)
    50.0
    """
    return dc_energy_wh / 24


@formula("mean_ac_w", cite=_OWN)
def mean_alternating(day_energy_wh: float, dc_energy_wh: float) -> float:
    """Power of the alternating-current loads in an average hour, losses of the inverter left in.

    Valid: a whole day. Neglects: that a supply serves them without the inverter. Errs: high.

    >>> mean_alternating(3600.0, 1200.0)
    100.0
    """
    return max(0.0, day_energy_wh - dc_energy_wh) / 24


@formula("load_current_a", cite=_OWN)
def load_current(mean_load_w: float, charging_voltage_v: float) -> float:
    """Share of the charging current that loads take before the bank sees it.

    Valid: loads spread evenly. Neglects: peaks. Errs: either.

    >>> load_current(144.0, 14.4)
    10.0
    """
    return mean_load_w / charging_voltage_v


@formula("charge_current_a", cite=_OWN)
def throttled(
    charger_setting_a: float, leg_power_w: float, mean_ac_w: float, charger_efficiency: float, charger_power_factor: float,
    charging_voltage_v: float,
) -> float:
    """Charger output that is left when the alternating-current loads of an average hour share the leg.

    Valid: chargers that give way to loads. Neglects: peaks. Errs: low, the losses of the inverter count as load.

    >>> round(throttled(100.0, 1440.0, 440.0, 0.88, 0.95, 14.4), 2)
    58.06
    """
    return min(charger_setting_a, max(0.0, leg_power_w - mean_ac_w) * charger_efficiency * charger_power_factor / charging_voltage_v)


@formula("charge_power_w", cite=_OWN)
def charge_power(charge_current_a: float, charging_voltage_v: float) -> float:
    """Power at the charger's output.

    Valid: bulk. Neglects: the taper. Errs: high during absorption.

    >>> charge_power(50.0, 14.4)
    720.0
    """
    return charge_current_a * charging_voltage_v


@formula("bank_balance_w", cite=_OWN)
def balance_charging(charge_power_w: float, mean_dc_w: float) -> float:
    """Power over for the bank while a supply carries the alternating-current loads and a charger the others.

    Valid: averages. Neglects: charging losses. Errs: high by those.

    >>> balance_charging(720.0, 120.0)
    600.0
    """
    return charge_power_w - mean_dc_w


@formula("bank_balance_w", cite=_OWN)
def balance_supplemented(leg_power_w: float, mean_ac_w: float, inverter_efficiency: float, mean_dc_w: float) -> float:
    """Power that the bank loses when the alternating-current loads alone exceed the supply.

    Valid: averages, inverters that add to a supply. Neglects: idle draw. Errs: low.

    >>> round(balance_supplemented(1440.0, 1800.0, 0.9, 100.0), 6)
    -500.0
    """
    return (leg_power_w - mean_ac_w) / inverter_efficiency - mean_dc_w


@formula("bulk_ah", cite=cite("battery-trade-literature", "bulk and absorption"))
def bulk_charge(bank_capacity_ah: float, absorption_start: float, depth_of_discharge: float) -> float:
    """Charge missing up to the beginning of absorption.

    Valid: from the depth of discharge. Neglects: that a high rate brings absorption earlier. Errs: high.

    >>> round(bulk_charge(200.0, 0.8, 0.5), 6)
    60.0
    """
    return bank_capacity_ah * max(0.0, absorption_start - (1 - depth_of_discharge))


@formula("rest_ah", cite=cite("battery-trade-literature", "bulk and absorption"))
def rest_charge(bank_capacity_ah: float, depth_of_discharge: float, absorption_start: float) -> float:
    """Charge put back during absorption.

    Valid: from the depth of discharge. Neglects: that a high rate brings absorption earlier. Errs: low by that.

    >>> round(rest_charge(200.0, 0.5, 0.8), 6)
    40.0
    """
    return bank_capacity_ah * min(depth_of_discharge, 1 - absorption_start)


@formula("bulk_hours", cite=cite("battery-trade-literature", "charging time"))
def hours_of_bulk(bulk_ah: float, return_factor: float, charge_current_a: float, load_current_a: float) -> float:
    """Hours of charging before absorption.

    Valid: charging current above the loads'. Neglects: taper before absorption. Errs: low by that.

    >>> hours_of_bulk(200.0, 1.2, 34.0, 10.0)
    10.0
    """
    return bulk_ah * return_factor / (charge_current_a - load_current_a)


@formula("taper_hours", cite=cite("battery-trade-literature", "charging time"))
def hours_of_taper(
    absorption_hours: float, rest_ah: float, return_factor: float, charge_current_a: float, load_current_a: float
) -> float:
    """Hours from the beginning of absorption to full: by chemistry, and never faster than the charger can.

    Valid: charging current above the loads'. Neglects: cold and age. Errs: either.

    >>> hours_of_taper(4.0, 40.0, 1.2, 34.0, 10.0)
    4.0
    >>> hours_of_taper(4.0, 40.0, 1.2, 18.0, 10.0)
    6.0
    """
    return max(absorption_hours, rest_ah * return_factor / (charge_current_a - load_current_a))


@formula("charge_hours", cite=_OWN)
def hours_to_full(bulk_hours: float, taper_hours: float) -> float:
    """Hours from the depth of discharge to full.

    Valid: one uninterrupted charge. Neglects: the last percent of lead-acid. Errs: low for worn lead-acid.

    >>> hours_to_full(3.0, 4.0)
    7.0
    """
    return bulk_hours + taper_hours


@formula("stored_ah", cite=_OWN)
def stored_while_there(
    supply_hours_per_day: float, charge_current_a: float, load_current_a: float, return_factor: float, bulk_ah: float,
    rest_ah: float, bulk_hours: float, taper_hours: float,
) -> float:
    """Charge that one day's presence puts into a bank found at its depth of discharge.

    Valid: charging current above the loads'. Neglects: that absorption is fast at first. Errs: low.

    >>> stored_while_there(5.0, 34.0, 10.0, 1.2, 60.0, 40.0, 3.0, 4.0)
    80.0
    """
    return (
        min(supply_hours_per_day * (charge_current_a - load_current_a) / return_factor, bulk_ah)
        + rest_ah * min(1.0, max(0.0, supply_hours_per_day - bulk_hours) / taper_hours)
    )


@formula("stored_ah", cite=_OWN)
def stored_in_bulk(
    supply_hours_per_day: float, charge_current_a: float, load_current_a: float, return_factor: float, bulk_ah: float
) -> float:
    """Charge that one day's presence puts into a bank that this source brings to absorption and no further.

    Valid: charging current above the loads'. Neglects: what trickles in afterwards. Errs: low.

    >>> stored_in_bulk(5.0, 34.0, 10.0, 1.2, 60.0)
    60.0
    """
    return min(supply_hours_per_day * (charge_current_a - load_current_a) / return_factor, bulk_ah)


@formula("carried_wh", cite=_OWN)
def carried_by_supply(
    supply_hours_per_day: float, charge_power_w: float, mean_dc_w: float, leg_power_w: float, mean_ac_w: float
) -> float:
    """Energy of the loads that an alternating-current supply carries while it is there, at the bank.

    Valid: averages. Neglects: when in the day the loads run. Errs: either.

    >>> carried_by_supply(5.0, 700.0, 60.0, 2880.0, 40.0)
    500.0
    """
    return supply_hours_per_day * (min(charge_power_w, mean_dc_w) + min(leg_power_w, mean_ac_w))


@formula("carried_wh", cite=_OWN)
def carried_by_alternator(supply_hours_per_day: float, charge_power_w: float, mean_load_w: float) -> float:
    """Energy of the loads that an alternator carries while driving, at the bank.

    Valid: averages. Neglects: when in the day the loads run. Errs: either.

    >>> carried_by_alternator(2.0, 400.0, 100.0)
    200.0
    """
    return supply_hours_per_day * min(charge_power_w, mean_load_w)


@formula("supply_energy_wh", cite=_OWN)
def energy_a_day(stored_ah: float, bank_voltage_v: float, carried_wh: float, days_per_week: float) -> float:
    """Energy that a supply stores or spares on the average day of a week, at the bank.

    Valid: a bank that is found at its depth of discharge. Neglects: days in a row, on which less is missing.
    Errs: high on such days; the balance of the month shows it as surplus.

    >>> energy_a_day(80.0, 12.0, 740.0, 3.5)
    850.0
    """
    return (stored_ah * bank_voltage_v + carried_wh) * days_per_week / 7


@formula("charge_total_a", cite=_OWN)
def total_charge(*charge_current_a: float) -> float:
    """Charging current of everything that can charge at the same time.

    Valid: all at their settings. Neglects: the loads. Errs: high.

    >>> total_charge(50.0, 30.0, 40.0)
    120.0
    """
    return sum(charge_current_a)
