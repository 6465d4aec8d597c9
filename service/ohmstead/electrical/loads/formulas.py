"""Arithmetic of loads: what an appliance draws, and energy a day at the appliance and at the bank."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_AUDIT = cite("as-4509", "3.1.4 to 3.1.6")
_ORDER = cite("inverter-literature", "order of losses: appliance, inverter, wiring")
_IDENTITY = cite("design-arithmetic", "identity")


@formula("load_power_w", cite=_IDENTITY)
def direct_power(voltage_v: float, current_a: float) -> float:
    """Power of a direct-current load, or of an alternating-current one whose power factor is not known.

    Valid: current measured at that voltage. Neglects: power factor. Errs: high.

    >>> direct_power(24.0, 0.4)
    9.600000000000001
    """
    return voltage_v * current_a


@formula("load_power_w", cite=_IDENTITY)
def alternating_power(voltage_v: float, current_a: float, power_factor: float) -> float:
    """Real power of a single-phase load.

    Valid: current measured at that voltage. Neglects: nothing. Errs: exact.

    >>> alternating_power(120.0, 5.0, 0.5)
    300.0
    """
    return voltage_v * current_a * power_factor


@formula("load_power_w", cite=cite("inverter-literature", "microwave ovens: power drawn and power into the food"))
def oven_power(cooking_power_w: float, cooking_efficiency: float) -> float:
    """Power that a microwave oven draws; its label names the power that reaches the food.

    Valid: full setting. Neglects: lamp and turntable. Errs: either.

    >>> oven_power(700.0, 0.5)
    1400.0
    """
    return cooking_power_w / cooking_efficiency


@formula("alike_power_w", cite=_IDENTITY)
def alike_power(load_power_w: float, load_count: float) -> float:
    """Running power of all like appliances.

    Valid: all run at once. Neglects: nothing. Errs: high.

    >>> alike_power(60.0, 2.0)
    120.0
    """
    return load_power_w * load_count


@formula("apparent_power_va", cite=_IDENTITY)
def apparent_power(load_power_w: float, power_factor: float) -> float:
    """Apparent power of one appliance.

    Valid: sine voltage. Neglects: nothing. Errs: exact.

    >>> apparent_power(2800.0, 0.8)
    3500.0
    """
    return load_power_w / power_factor


@formula("apparent_power_va", cite=_IDENTITY)
def apparent_of_direct(load_power_w: float) -> float:
    """Apparent power of a direct-current load: its power.

    Valid: direct current. Neglects: nothing. Errs: exact.

    >>> apparent_of_direct(45.0)
    45.0
    """
    return load_power_w


@formula("apparent_power_va", cite=_IDENTITY)
def alike_apparent(apparent_power_va: float, load_count: float) -> float:
    """Apparent power of all like appliances.

    Valid: all run at once. Neglects: nothing. Errs: high.

    >>> alike_apparent(100.0, 2.0)
    200.0
    """
    return apparent_power_va * load_count


@formula("standby_hours", cite=_IDENTITY)
def rest_of_day(hours_per_day: float) -> float:
    """Hours of the day in which an appliance is not in use.

    Valid: up to 24 h in use. Neglects: nothing. Errs: exact.

    >>> rest_of_day(4.0)
    20.0
    """
    return 24 - hours_per_day


@formula("standby_hours", cite=_IDENTITY)
def standby_within_day(standby_hours: float, hours_per_day: float) -> float:
    """Hours on standby, which end where the day does.

    Valid: up to 24 h in use. Neglects: nothing. Errs: exact.

    >>> standby_within_day(22.0, 4.0)
    20.0
    """
    return min(standby_hours, 24 - hours_per_day)


@formula("load_energy_wh", cite=_AUDIT)
def load_energy(load_power_w: float, load_count: float, hours_per_day: float, duty: float) -> float:
    """Energy a day that like appliances take.

    Valid: duty is the share of the hours during which power is drawn. Neglects: starts. Errs: either, with the hours.

    >>> load_energy(75.0, 1.0, 24.0, 0.5)
    900.0
    """
    return load_power_w * load_count * hours_per_day * duty


@formula("load_energy_wh", cite=_AUDIT)
def load_energy_standby(
    load_power_w: float, load_count: float, hours_per_day: float, duty: float, standby_w: float, standby_hours: float,
) -> float:
    """Energy a day that like appliances take, standby included.

    Valid: as without standby. Neglects: starts. Errs: either, with the hours.

    >>> load_energy_standby(100.0, 1.0, 4.0, 1.0, 5.0, 20.0)
    500.0
    """
    return load_count * (load_power_w * hours_per_day * duty + standby_w * standby_hours)


@formula("load_energy_wh", cite=_AUDIT)
def standby_energy(load_count: float, standby_w: float, standby_hours: float) -> float:
    """Energy a day that like appliances take on standby.

    Valid: standby power is constant. Neglects: nothing. Errs: either, with the hours.

    >>> standby_energy(2.0, 5.0, 20.0)
    200.0
    """
    return load_count * standby_w * standby_hours


@formula("bank_energy_wh", cite=_ORDER)
def bank_energy_direct(load_energy_wh: float, wiring_efficiency: float) -> float:
    """Energy a day that a direct-current load takes from the bank.

    Valid: load on the system's own voltage. Neglects: nothing. Errs: either.

    >>> bank_energy_direct(97.0, 0.97)
    100.0
    """
    return load_energy_wh / wiring_efficiency


@formula("bank_energy_wh", cite=_ORDER)
def bank_energy_converted(load_energy_wh: float, converter_efficiency: float, wiring_efficiency: float) -> float:
    """Energy a day that a direct-current load takes from the bank through a converter.

    Valid: load on another voltage. Neglects: the converter's idle draw. Errs: low at light load.

    >>> bank_energy_converted(90.0, 0.9, 1.0)
    100.0
    """
    return load_energy_wh / (converter_efficiency * wiring_efficiency)


@formula("bank_energy_wh", cite=_ORDER)
def bank_energy_alternating(load_energy_wh: float, inverter_efficiency: float, wiring_efficiency: float) -> float:
    """Energy a day that an alternating-current load takes from the bank through the inverter.

    Valid: average efficiency without the idle draw, which is counted apart. Neglects: nothing. Errs: either.

    >>> bank_energy_alternating(900.0, 0.9, 1.0)
    1000.0
    """
    return load_energy_wh / (inverter_efficiency * wiring_efficiency)


@formula("hours_per_day", cite=_IDENTITY)
def hours_fed(hours_per_day: float, standby_hours: float) -> float:
    """Hours a day in which an appliance needs its supply, standby included.

    Valid: standby follows use. Neglects: nothing. Errs: exact.

    >>> hours_fed(4.0, 20.0)
    24.0
    """
    return hours_per_day + standby_hours


@formula("idle_hours", cite=_IDENTITY)
def hours_on(idle_hours: float, hours_per_day: float) -> float:
    """Hours a day that the inverter is on: never fewer than its loads need it.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> hours_on(4.0, 24.0)
    24.0
    """
    return max(idle_hours, hours_per_day)


@formula("idle_energy_wh", cite=cite("inverter-literature", "standby consumption"))
def idle_energy(idle_w: float, idle_hours: float) -> float:
    """Energy a day that the inverter takes for being on.

    Valid: efficiency without the idle draw. Neglects: search mode. Errs: high.

    >>> idle_energy(40.0, 24.0)
    960.0
    """
    return idle_w * idle_hours


@formula("day_energy_wh", cite=_AUDIT)
def day_energy(*bank_energy_wh: float) -> float:
    """Energy a day at the bank, all loads.

    Valid: losses are in the parts. Neglects: nothing. Errs: either.

    >>> day_energy(72.0, 120.0, 900.0)
    1092.0
    """
    return sum(bank_energy_wh)


@formula("day_energy_wh", cite=_AUDIT)
def day_energy_idle(idle_energy_wh: float, *bank_energy_wh: float) -> float:
    """Energy a day at the bank, all loads and the idle inverter.

    Valid: losses are in the parts. Neglects: nothing. Errs: either.

    >>> day_energy_idle(600.0, 72.0, 120.0, 900.0)
    1692.0
    """
    return sum(bank_energy_wh) + idle_energy_wh


@formula("day_energy_wh", cite=_AUDIT)
def with_converters(day_energy_wh: float, converter_idle_energy_wh: float) -> float:
    """Energy a day at the bank, what idle converters take included.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> with_converters(1692.0, 48.0)
    1740.0
    """
    return day_energy_wh + converter_idle_energy_wh


@formula("bank_energy_wh", cite=_IDENTITY)
def part_of_day(*bank_energy_wh: float) -> float:
    """Energy a day of some of the loads.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> part_of_day(72.0, 120.0)
    192.0
    """
    return sum(bank_energy_wh)


@formula("load_energy_wh", cite=_IDENTITY)
def part_at_loads(*load_energy_wh: float) -> float:
    """Energy a day of some of the loads, at the appliances.

    Valid: any. Neglects: losses. Errs: exact.

    >>> part_at_loads(72.0, 120.0)
    192.0
    """
    return sum(load_energy_wh)


@formula("month_energy_wh", cite=_AUDIT)
def month_energy(day_energy_wh: float, growth_factor: float) -> float:
    """Energy a day with the allowance for growth.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> month_energy(1554.0, 1.5)
    2331.0
    """
    return day_energy_wh * growth_factor


@formula("day_charge_ah", cite=_IDENTITY)
def day_charge(month_energy_wh: float, nominal_voltage_v: float) -> float:
    """Charge a day at the bank's nominal voltage.

    Valid: for comparison with ampere-hour ratings. Neglects: the bank's real voltage. Errs: either, by a tenth.

    >>> day_charge(432.0, 12.0)
    36.0
    """
    return month_energy_wh / nominal_voltage_v


@formula("energy_share", cite=_IDENTITY)
def energy_share(bank_energy_wh: float, day_energy_wh: float) -> float:
    """Share of a load in the day's energy.

    Valid: a day above nought. Neglects: nothing. Errs: exact.

    >>> energy_share(250.0, 1000.0)
    0.25
    """
    return bank_energy_wh / day_energy_wh


@formula("saved_energy_wh", cite=_IDENTITY)
def saved(bank_energy_wh: float, growth_factor: float, saved_share: float) -> float:
    """Energy a day at the bank that doing with less of a load saves.

    Valid: idle draw unchanged. Neglects: that the inverter might then be off. Errs: low.

    >>> saved(400.0, 1.0, 0.5)
    200.0
    """
    return bank_energy_wh * growth_factor * saved_share


@formula("hours_needed", cite=_IDENTITY)
def hours_needed(*hours_per_day: float) -> float:
    """Hours a day in which the inverter is needed at most: as if no two of its loads ran at once.

    Valid: any. Neglects: that hours overlap. Errs: high.

    >>> hours_needed(2.0, 3.0), hours_needed(20.0, 8.0)
    (5.0, 24)
    """
    return min(24, sum(hours_per_day))


@formula("saved_energy_wh", cite=_IDENTITY)
def saved_idle(idle_w: float, idle_hours: float, hours_needed: float, growth_factor: float) -> float:
    """Energy a day at the bank that switching the inverter off between uses saves.

    Valid: hours of its loads do not overlap. Neglects: that they do. Errs: low.

    >>> saved_idle(25.0, 24.0, 4.0, 1.0)
    500.0
    """
    return idle_w * max(0, idle_hours - hours_needed) * growth_factor


@formula("always_live_a", cite=_IDENTITY)
def always_live_current(bank_energy_wh: float, nominal_voltage_v: float) -> float:
    """Average current of what is fed ahead of the load disconnect.

    Valid: energy of a whole day. Neglects: the bank's real voltage. Errs: either, by a tenth.

    >>> always_live_current(14.4, 12.0)
    0.05
    """
    return bank_energy_wh / (24 * nominal_voltage_v)


@formula("day_charge_ah", cite=_IDENTITY)
def always_live_charge(always_live_a: float) -> float:
    """Charge a day that it takes from the bank.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> round(always_live_charge(0.05), 12)
    1.2
    """
    return always_live_a * 24


@formula("voltage_ratio", cite=_IDENTITY)
def voltage_ratio(voltage_v: float, nominal_voltage_v: float) -> float:
    """Voltage of an appliance over that of the system.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> voltage_ratio(12.0, 24.0)
    0.5
    """
    return voltage_v / nominal_voltage_v
