"""Arithmetic of what supplies bring to the bank while loads are on."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")


@formula("input_power_w", cite=_OWN)
def taken_by_charger(charger_current_a: float, charging_voltage_v: float, charger_efficiency: float) -> float:
    """Power that a charger takes at its current.

    Valid: just below absorption voltage. Neglects: inrush. Errs: high early in the charge.

    >>> round(taken_by_charger(50.0, 14.4, 0.8), 9)
    900.0
    """
    return charger_current_a * charging_voltage_v / charger_efficiency


@formula("input_limit_w", cite=_OWN)
def power_of_limit(supply_limit_a: float, supply_voltage_v: float) -> float:
    """Power of a supply at its programmed current limit.

    Valid: nominal voltage, power factor one. Neglects: sag in cord and site wiring. Errs: high on a weak site.

    >>> power_of_limit(12.0, 120.0)
    1440.0
    """
    return supply_limit_a * supply_voltage_v


@formula("supplied_a", cite=_OWN)
def behind_limit(
    charger_current_a: float, input_limit_w: float, ac_loads_w: float, charger_efficiency: float, charger_power_factor: float,
    charging_voltage_v: float,
) -> float:
    """Charging current that is left where a supply has only so much for charger and loads.

    Valid: chargers that give way to loads; a limit in watts counts as volt-amperes. Neglects: peaks of the loads. Errs: low early in the charge.

    >>> round(behind_limit(100.0, 1440.0, 540.0, 0.8, 1.0, 14.4), 9)
    50.0
    """
    return min(charger_current_a, max(0.0, input_limit_w - ac_loads_w) * charger_efficiency * charger_power_factor / charging_voltage_v)


@formula("supplied_a", cite=_OWN)
def as_rated(charger_current_a: float) -> float:
    """Charging current of a charger whose supply carries it.

    Valid: adjustable or fixed chargers in bulk. Neglects: the loads, which are counted apart. Errs: exact.

    >>> as_rated(50.0)
    50.0
    """
    return charger_current_a


@formula("ac_loads_w", cite=_OWN)
def beyond_limit(ac_loads_w: float, input_limit_w: float) -> float:
    """Alternating-current power that the supply does not carry.

    Valid: inverters that add to a supply. Neglects: the least current of the unit. Errs: low.

    >>> beyond_limit(1800.0, 1440.0)
    360.0
    """
    return max(0.0, ac_loads_w - input_limit_w)


@formula("supplied_a", cite=_OWN)
def smaller_output(dc_dc_output_a: float, charger_allowed_a: float) -> float:
    """Output of a DC-DC charger, or what the alternator carries of it.

    Valid: any. Neglects: idle of the engine. Errs: exact.

    >>> smaller_output(40.0, 30.0)
    30.0
    """
    return min(dc_dc_output_a, charger_allowed_a)


@formula("array_share", cite=cite("design-arithmetic", "losses on the way from the modules to the bank"))
def share_of_array(
    derate_soiling: float, derate_wiring: float, derate_mismatch: float, derate_shading: float, derate_ageing: float,
    controller_efficiency: float,
) -> float:
    """Power at the bank in full sun over nameplate power.

    Valid: controllers that track the maximum-power point. Neglects: heat, a tenth in summer. Errs: high in heat.

    >>> share_of_array(1.0, 1.0, 0.5, 1.0, 1.0, 0.5)
    0.25
    """
    return derate_soiling * derate_wiring * derate_mismatch * derate_shading * derate_ageing * controller_efficiency


@formula("array_output_w", cite=_OWN)
def array_output(array_nameplate_w: float, array_share: float) -> float:
    """Power that an array gives to the bank in full sun.

    Valid: the peak sun hours of a day. Neglects: the weak hours, in which the same energy is spread. Errs: high at noon.

    >>> array_output(400.0, 0.75)
    300.0
    """
    return array_nameplate_w * array_share


@formula("clock_from_h", cite=cite("design-arithmetic", "peak sun hours around noon"))
def sun_from(peak_sun_hours: float) -> float:
    """Hour of the day at which the sun's hours begin when all of them lie around noon.

    Valid: apparent solar time. Neglects: clock time. Errs: either, by an hour or two.

    >>> sun_from(4.0)
    10.0
    """
    return 12 - peak_sun_hours / 2


@formula("section_hours", cite=cite("design-arithmetic", "peak sun hours around noon"))
def sun_hours(peak_sun_hours: float) -> float:
    """Hours of full sun that bring a day's radiation.

    Valid: the plane of the modules. Neglects: weak light. Errs: exact in energy.

    >>> sun_hours(4.5)
    4.5
    """
    return peak_sun_hours


@formula("supplied_a", cite=_OWN)
def current_of_power(charging_power_w: float, charging_voltage_v: float) -> float:
    """Charging current of a power at the bank.

    Valid: just below absorption voltage. Neglects: the lower voltage of bulk. Errs: low.

    >>> current_of_power(288.0, 14.4)
    20.0
    """
    return charging_power_w / charging_voltage_v


@formula("loads_a", cite=_OWN)
def current_of_loads(loads_w: float, charging_voltage_v: float) -> float:
    """Current of the loads on charging voltage.

    Valid: powers that do not rise with the voltage. Neglects: loads of fixed resistance. Errs: low for those.

    >>> current_of_loads(144.0, 14.4)
    10.0
    """
    return loads_w / charging_voltage_v


@formula("loads_w", cite=_OWN)
def loads_on_bank(section_dc_w: float, inverter_input_w: float) -> float:
    """Power of the loads at the bank.

    Valid: any. Neglects: wiring. Errs: low by two percent.

    >>> loads_on_bank(50.0, 100.0)
    150.0
    """
    return section_dc_w + inverter_input_w


@formula("supplies_a", cite=_OWN)
def given_together(*supplied_a: float) -> float:
    """Current of everything that charges at the same time.

    Valid: all at their settings. Neglects: the loads. Errs: exact.

    >>> given_together(0.0, 50.0, 20.0)
    70.0
    """
    return sum(supplied_a)


@formula("filling_a", cite=_OWN)
def reaching_bank(supplies_a: float, loads_a: float, charge_limit_a: float) -> float:
    """Charging current that reaches the bank; below nought while the loads take more.

    Valid: chargers held back to the bank's limit. Neglects: peaks of the loads. Errs: high where they are not held back.

    >>> reaching_bank(70.0, 10.0, 50.0)
    50.0
    """
    return min(charge_limit_a, supplies_a - loads_a)


@formula("charge_limit_a", cite=_OWN)
def least_limit(*charge_limit_a: float) -> float:
    """The smallest of several limits on the charging current.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> least_limit(50.0, 20.0)
    20.0
    """
    return min(charge_limit_a)


@formula("charge_limit_a", cite=cite("battery-trade-literature", "charging near the temperature limit"))
def limit_in_cold(charge_rate: float, bank_capacity_ah: float) -> float:
    """Charging current that a lithium bank takes just above the temperature below which it may not be charged.

    Valid: 0 to 5 °C for lithium iron phosphate. Neglects: the maker's own figure. Errs: low as a rule.

    >>> limit_in_cold(0.1, 200.0)
    20.0
    """
    return charge_rate * bank_capacity_ah


@formula("open_cell_v", cite=_OWN)
def cell_at_charger(charger_v: float, cells: float) -> float:
    """Voltage of a cell at which a charger gives no more.

    Valid: rested cells. Neglects: polarisation, which stops it earlier. Errs: high.

    >>> cell_at_charger(13.5, 6.0)
    2.25
    """
    return charger_v / cells


@formula("full_cell_share", cite=_OWN)
def lower_share(absorption_start: float, state_of_charge: float) -> float:
    """State of charge at which a charger of too low a voltage stops: where absorption begins, or where its voltage is met at rest.

    Valid: voltages below absorption. Neglects: days of trickling. Errs: low over days.

    >>> lower_share(0.8, 0.75)
    0.75
    """
    return min(absorption_start, state_of_charge)


@formula("fuel_l", cite=_OWN)
def fuel_burnt(fuel_l_per_h: float, present_hours: float) -> float:
    """Fuel that a generator burns.

    Valid: the rate at this load. Neglects: that it burns less as the current falls. Errs: high.

    >>> fuel_burnt(0.5, 3.0)
    1.5
    """
    return fuel_l_per_h * present_hours


@formula("present_hours", cite=_OWN)
def hours_present(*section_hours: float) -> float:
    """Hours in which a supply was present.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> hours_present(2.0, 1.5)
    3.5
    """
    return sum(section_hours)
