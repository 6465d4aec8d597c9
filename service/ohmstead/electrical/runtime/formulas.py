"""Arithmetic of a run: power at the bank, its rate, and the charge that may be used up."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")
_ORDER = cite("inverter-literature", "order of losses: appliance, inverter, wiring")
_CURVE = cite("inverter-literature", "losses: idle, in proportion, by the square")
_PEUKERT = cite("battery-trade-literature", "Peukert's relation with the hour rate of the rated capacity")


@formula("mean_draw_w", cite=_OWN)
def draw_by_duty(alike_power_w: float, duty: float) -> float:
    """Power of like appliances averaged over their duty.

    Valid: cycles short against the run. Neglects: where in the cycle the run begins. Errs: either.

    >>> draw_by_duty(60.0, 0.5)
    30.0
    """
    return alike_power_w * duty


@formula("mean_draw_w", cite=_OWN)
def draw_by_hours(alike_power_w: float, duty: float, hours_per_day: float) -> float:
    """Power of like appliances averaged over the day.

    Valid: runs of several days. Neglects: which hours they are. Errs: either, by less than a day's use.

    >>> draw_by_hours(60.0, 0.5, 8.0)
    10.0
    """
    return alike_power_w * duty * hours_per_day / 24


@formula("section_ac_w", cite=_OWN)
def alternating_mean(*mean_draw_w: float) -> float:
    """Alternating-current power of a section, averaged over duties.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> alternating_mean(0.0, 30.0, 45.0)
    75.0
    """
    return sum(mean_draw_w)


@formula("section_ac_most_w", cite=_OWN)
def alternating_most(*alike_power_w: float) -> float:
    """Alternating-current power of a section with everything on.

    Valid: any. Neglects: starts, and that thermostats rarely coincide. Errs: high.

    >>> alternating_most(0.0, 60.0, 45.0)
    105.0
    """
    return sum(alike_power_w)


@formula("section_dc_w", cite=_OWN)
def direct_mean(*mean_draw_w: float) -> float:
    """Direct-current power of a section, averaged over duties.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> direct_mean(0.0, 30.0, 45.0)
    75.0
    """
    return sum(mean_draw_w)


@formula("section_dc_most_w", cite=_OWN)
def direct_most(*alike_power_w: float) -> float:
    """Direct-current power of a section with everything on.

    Valid: any. Neglects: starts, and that thermostats rarely coincide. Errs: high.

    >>> direct_most(0.0, 60.0, 45.0)
    105.0
    """
    return sum(alike_power_w)


@formula("inverter_input_w", cite=_ORDER)
def input_by_efficiency(section_ac_w: float, inverter_efficiency: float, idle_w: float) -> float:
    """Power that an inverter of one efficiency takes.

    Valid: loads of a tenth of the rating and more. Neglects: the fall of efficiency at light load beyond the idle draw. Errs: low at light and at full load.

    >>> input_by_efficiency(900.0, 0.9, 25.0)
    1025.0
    """
    return section_ac_w / inverter_efficiency + idle_w


@formula("inverter_square_per_w", cite=_CURVE)
def square_of_load(inverter_slope: float, inverter_efficiency: float, inverter_rating_w: float, idle_w: float) -> float:
    """What an inverter takes more by the square of its load, from its efficiency at full power.

    Valid: efficiencies at full power below that at half of it. Neglects: heat. Errs: low in efficiency where it is better at full power.

    >>> round(square_of_load(1.0, 0.8, 1000.0, 50.0), 9)
    0.0002
    """
    return max(0.0, (1 / inverter_efficiency - inverter_slope) / inverter_rating_w - idle_w / inverter_rating_w ** 2)


@formula("inverter_input_w", cite=_CURVE)
def input_by_load(
    section_ac_w: float, inverter_slope: float, inverter_square_per_w: float, section_ac_most_w: float, idle_w: float
) -> float:
    """Power that an inverter takes, its losses by its load; the square counts at the load with everything on.

    Valid: up to the rating. Neglects: battery voltage, heat. Errs: high for loads that cycle.

    >>> round(input_by_load(500.0, 1.0, 0.0002, 1000.0, 50.0), 9)
    650.0
    """
    return idle_w + section_ac_w * (inverter_slope + inverter_square_per_w * section_ac_most_w)


@formula("section_w", cite=_ORDER)
def at_bank(inverter_input_w: float, section_dc_w: float, wiring_efficiency: float) -> float:
    """Power at the bank.

    Valid: any. Neglects: nothing. Errs: either.

    >>> at_bank(100.0, 90.0, 0.95)
    200.0
    """
    return (inverter_input_w + section_dc_w) / wiring_efficiency


@formula("net_current_a", cite=_OWN)
def net_current(section_w: float, charging_power_w: float, bank_voltage_v: float) -> float:
    """Current out of the bank less what charging brings, on nominal voltage.

    Valid: any. Neglects: the voltage's course over the discharge. Errs: either, a few percent.

    >>> net_current(300.0, 60.0, 12.0)
    20.0
    """
    return (section_w - charging_power_w) / bank_voltage_v


@formula("net_most_w", cite=_OWN)
def net_most(section_most_w: float, charging_power_w: float) -> float:
    """Power out of the bank with everything on, less what charging brings.

    Valid: charging that does not fail. Neglects: nothing. Errs: exact.

    >>> net_most(300.0, 60.0)
    240.0
    """
    return max(0.0, section_most_w - charging_power_w)


@formula("rate_current_a", cite=_OWN)
def current_with_all_on(net_most_w: float, bank_voltage_v: float) -> float:
    """Current of the bank with everything on, on nominal voltage.

    Valid: any. Neglects: sag. Errs: low.

    >>> current_with_all_on(240.0, 12.0)
    20.0
    """
    return net_most_w / bank_voltage_v


@formula("discharge_current_a", cite=_OWN)
def current_on_cut_off(net_most_w: float, cut_off_v: float) -> float:
    """Current of the bank with everything on, on the voltage at which it is cut off.

    Valid: powers that do not fall with the voltage. Neglects: starts. Errs: high.

    >>> current_on_cut_off(210.0, 10.5)
    20.0
    """
    return net_most_w / cut_off_v


@formula("rate_factor", cite=_PEUKERT)
def cost_of_rate(rate_current_a: float, rated_hours: float, bank_capacity_ah: float, peukert_exponent: float) -> float:
    """Charge used up over charge given, by the rate; never less than one.

    Valid: lead-acid; an exponent of one leaves other cells alone. Neglects: recovery at rest. Errs: high for a current with rests.

    >>> round(cost_of_rate(20.0, 20.0, 100.0, 1.25), 6)
    1.414214
    """
    return max(1.0, (max(rate_current_a, 0.0) * rated_hours / bank_capacity_ah) ** (peukert_exponent - 1))


@formula("rate_factor", cite=_OWN)
def smaller_cost(*rate_factor: float) -> float:
    """The smaller cost of several rates.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> smaller_cost(1.2, 1.1)
    1.1
    """
    return min(rate_factor)


@formula("section_wh", cite=_OWN)
def energy_given(section_w: float, section_hours: float) -> float:
    """Energy that a section of the day takes, at the bank.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> energy_given(20.0, 3.0)
    60.0
    """
    return section_w * section_hours


@formula("day_w", cite=_OWN)
def power_of_day(*section_wh: float) -> float:
    """Power averaged over a day.

    Valid: sections that make up a day. Neglects: nothing. Errs: exact.

    >>> power_of_day(240.0, 240.0)
    20.0
    """
    return sum(section_wh) / 24


@formula("discharge_efficiency", cite=cite("design-arithmetic", "half of the round-trip loss on either way"))
def half_of_loss(round_trip_efficiency: float) -> float:
    """Energy delivered over energy taken out of the cells, when half of the round-trip loss falls to the discharge.

    Valid: lithium and sodium cells. Neglects: the rate. Errs: either, under 0.02.

    >>> half_of_loss(0.96)
    0.98
    """
    return (1 + round_trip_efficiency) / 2


@formula("usable_ah", cite=cite("ieee-1013", "capacity at temperature, within depth and age, as recalled"))
def usable_charge(
    bank_capacity_ah: float, temperature_factor: float, discharge_efficiency: float, usable_share: float, held_share: float,
    reach_share: float, state_of_charge: float,
) -> float:
    """Charge that a bank may give: down to its depth of discharge or to the cut-off under load, from where it stands.

    Valid: any chemistry; what is missing at the start counts in rated capacity. Neglects: the rate, which is counted in what is used up. Errs: low for a bank that is old and not full.

    >>> usable_charge(100.0, 0.5, 1.0, 0.75, 1.0, 1.0, 1.0)
    37.5
    >>> usable_charge(100.0, 1.0, 1.0, 0.75, 1.0, 0.5, 0.75)
    25.0
    """
    return (
        bank_capacity_ah * temperature_factor * discharge_efficiency
        * max(0.0, min(usable_share, held_share * reach_share) - (1 - state_of_charge))
    )


@formula("usable_share", cite=cite("ieee-1013", "largest of the capacities, as recalled"))
def share_of_larger(depth_of_discharge: float, ageing_factor: float) -> float:
    """Share of the rated capacity that the larger-of convention counts on at the end of life.

    Valid: where all that is left may be used. Neglects: temperature, which is counted apart. Errs: high.

    >>> share_of_larger(0.5, 0.8)
    0.5
    """
    return min(depth_of_discharge, ageing_factor)


@formula("usable_share", cite=cite("common-practice", "depth of discharge times end of life"))
def share_of_product(depth_of_discharge: float, ageing_factor: float) -> float:
    """Share of the rated capacity that the product convention counts on at the end of life.

    Valid: any chemistry. Neglects: temperature, which is counted apart. Errs: low.

    >>> share_of_product(0.5, 0.8)
    0.4
    """
    return depth_of_discharge * ageing_factor


@formula("usable_energy_wh", cite=_OWN)
def energy_of_charge(usable_ah: float, bank_voltage_v: float) -> float:
    """Energy of a charge on nominal voltage.

    Valid: any. Neglects: the voltage's course. Errs: either, a few percent.

    >>> energy_of_charge(50.0, 12.0)
    600.0
    """
    return usable_ah * bank_voltage_v


@formula("cut_off_v", cite=_OWN)
def higher_cut_off(cut_off_v: float, end_v: float) -> float:
    """Voltage at which the run ends: an inverter's cut-off, or the voltage at which the bank counts as empty.

    Valid: any. Neglects: delays of the cut-off. Errs: high.

    >>> higher_cut_off(10.5, 11.2)
    11.2
    """
    return max(cut_off_v, end_v)
