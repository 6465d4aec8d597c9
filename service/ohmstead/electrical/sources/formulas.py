"""Arithmetic of supplies: limits, generators, alternators, loads on a supply, neutrals."""

from __future__ import annotations

from math import sqrt

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")
_NEUTRAL = cite("design-arithmetic", "phasor sum of two leg currents at like power factor")


@formula("supply_limit_a", cite=cite("nec-210-19"))
def programmed_limit(supply_breaker_a: float, continuous_share: float) -> float:
    """Current that a supply's breaker carries without end, which is the limit to program.

    Valid: breakers not rated for full continuous duty. Neglects: heat at the post. Errs: low.

    >>> programmed_limit(30.0, 0.8)
    24.0
    """
    return supply_breaker_a * continuous_share


@formula("program_a", cite=_OWN)
def programmed_beside(supply_limit_a: float, apparent_power_va: float, supply_voltage_v: float) -> float:
    """Input limit to program where other loads hang on the supply ahead of the inverter, on the same leg.

    Valid: those loads on all the time. Neglects: an external current sensor, which would allow more. Errs: low.

    >>> programmed_beside(24.0, 1200.0, 120.0)
    14.0
    """
    return max(0.0, supply_limit_a - apparent_power_va / supply_voltage_v)


@formula("supply_limit_a", cite=_OWN)
def relay_limit(supply_limit_a: float, continuous_share: float, transfer_rating_a: float) -> float:
    """The limit to program where the transfer relay may be weaker than the supply.

    Valid: each leg. Neglects: that a setting protects nothing. Errs: exact.

    >>> relay_limit(40.0, 0.8, 30.0)
    24.0
    """
    return min(supply_limit_a, continuous_share * transfer_rating_a)


@formula("supply_limit_a", cite=_OWN)
def adapter_limit(supply_limit_a: float, continuous_share: float, contact_limit_a: float) -> float:
    """The limit to program where an adapter may be weaker than the supply; its contacts are loaded no higher than a breaker.

    Valid: each leg. Neglects: heat of worn contacts. Errs: low, for the inlet's own breaker is of the adapter's rating as a rule.

    >>> adapter_limit(40.0, 0.8, 30.0)
    24.0
    """
    return min(supply_limit_a, continuous_share * contact_limit_a)


@formula("leg_power_w", cite=_OWN)
def leg_power(supply_limit_a: float, supply_voltage_v: float) -> float:
    """Power of one leg at its programmed limit.

    Valid: nominal voltage. Neglects: sag in cord and site wiring. Errs: high on a weak site.

    >>> leg_power(24.0, 120.0)
    2880.0
    """
    return supply_limit_a * supply_voltage_v


@formula("supply_power_w", cite=_OWN)
def supply_power(leg_power_w: float, legs: float) -> float:
    """Power of all legs, which only loads divided evenly over the legs can use.

    Valid: equal legs. Neglects: unequal load. Errs: high.

    >>> supply_power(4800.0, 2.0)
    9600.0
    """
    return leg_power_w * legs


@formula("altitude_factor", cite=cite("generator-manuals"))
def altitude_left(altitude_m: float, derate_start_m: float, derate_per_m: float) -> float:
    """Share of a generator's rating left at an altitude.

    Valid: up to 6500 m, engines without charging. Neglects: carburettor jets. Errs: low, the strictest rule found.

    >>> round(altitude_left(1524.0, 0.0, 0.03 / 304.8), 4)
    0.85
    """
    return 1 - derate_per_m * max(0.0, altitude_m - derate_start_m)


@formula("heat_factor", cite=cite("generator-manuals"))
def heat_left(ambient_c: float, derate_start_c: float, derate_per_k: float) -> float:
    """Share of a generator's rating left at an air temperature, by one maker's rule.

    Valid: up to 60 °C. Neglects: recirculated air in a compartment. Errs: either.

    >>> heat_left(50.0, 40.0, 0.006)
    0.94
    """
    return 1 - derate_per_k * max(0.0, ambient_c - derate_start_c)


@formula("heat_factor", cite=_OWN)
def strictest_heat(*heat_factor: float) -> float:
    """The smallest of the shares that several makers' rules leave.

    Valid: any. Neglects: which maker it is. Errs: low.

    >>> strictest_heat(0.97, 0.955)
    0.955
    """
    return min(heat_factor)


@formula("generator_power_w", cite=cite("generator-manuals"))
def derated_generator(generator_rating_w: float, altitude_factor: float, heat_factor: float) -> float:
    """Power of a generator at its altitude and temperature; both losses multiply.

    Valid: petrol. Neglects: propane, about one tenth less. Errs: low.

    >>> derated_generator(4000.0, 0.9, 0.97)
    3492.0
    """
    return generator_rating_w * altitude_factor * heat_factor


@formula("generator_power_w", cite=cite("generator-manuals"))
def generator_watts(apparent_power_va: float, rating_power_factor: float) -> float:
    """Real power of a generator that is rated in volt-amperes.

    Valid: rating at the stated power factor, 0.8 where none is. Neglects: small sets rated at one. Errs: low.

    >>> round(generator_watts(3500.0, 0.8), 6)
    2800.0
    """
    return apparent_power_va * rating_power_factor


@formula("supply_power_w", cite=cite("generator-manuals"))
def generator_endless(generator_power_w: float, generator_share: float) -> float:
    """Power to take from a generator without end.

    Valid: hours on end. Neglects: the maker's own continuous rating. Errs: low.

    >>> generator_endless(3500.0, 0.8)
    2800.0
    """
    return generator_power_w * generator_share


@formula("leg_power_w", cite=_OWN)
def generator_leg(supply_power_w: float, legs: float) -> float:
    """Power of one leg of a generator.

    Valid: equal windings. Neglects: sets that switch both windings to one outlet. Errs: low for those.

    >>> generator_leg(2800.0, 2.0)
    1400.0
    """
    return supply_power_w / legs


@formula("supply_limit_a", cite=_OWN)
def generator_limit(leg_power_w: float, supply_voltage_v: float) -> float:
    """Current limit to program on a generator, each leg.

    Valid: power factor near one. Neglects: the set's own breaker. Errs: low.

    >>> generator_limit(2400.0, 120.0)
    20.0
    """
    return leg_power_w / supply_voltage_v


@formula("generator_current_a", cite=_OWN)
def nameplate_current(apparent_power_va: float, legs: float, supply_voltage_v: float) -> float:
    """Rated current of a generator, each leg, before height and heat take anything: a cold day at sea level gives it back.

    Valid: equal windings; a rating in watts counts as volt-amperes. Neglects: the set's own breaker. Errs: low for a power factor below one.

    >>> nameplate_current(7200.0, 2.0, 120.0)
    30.0
    """
    return apparent_power_va / (legs * supply_voltage_v)


@formula("generator_start_va", cite=cite("generator-manuals"))
def generator_start(generator_power_w: float, generator_share: float, legs: float) -> float:
    """Apparent power that one leg of a generator is trusted with while the largest motor starts.

    Valid: seconds. Neglects: surge ratings of makers, which rest on sagging voltage. Errs: low.

    >>> generator_start(3500.0, 0.9, 1.0)
    3150.0
    """
    return generator_power_w * generator_share / legs


@formula("running_asked_va", cite=_OWN)
def running_asked(running_va: float, shore_va: float) -> float:
    """Loads that run together on a supply, those included that only it serves.

    Valid: plain sum of volt-amperes. Neglects: unlike power factors. Errs: high.

    >>> running_asked(1800.0, 500.0)
    2300.0
    """
    return running_va + shore_va


@formula("start_asked_va", cite=cite("generator-manuals", "running loads with the largest starting increment"))
def start_asked(running_asked_va: float, start_increment_va: float) -> float:
    """The running loads with the largest start among them.

    Valid: one start at a time. Neglects: a common restart after a transfer. Errs: high, plain sum.

    >>> start_asked(3600.0, 1700.0)
    5300.0
    """
    return running_asked_va + start_increment_va


@formula("supplement_w", cite=_OWN)
def supplement(running_asked_va: float, leg_power_w: float) -> float:
    """Power that the inverter adds when loads exceed the supply; the charger rests meanwhile.

    Valid: inverters that add to a supply. Neglects: the least current of the unit. Errs: high, volt-amperes as watts.

    >>> supplement(3200.0, 2880.0)
    320.0
    """
    return max(0.0, running_asked_va - leg_power_w)


@formula("leg_asked_a", cite=_OWN)
def leg_current(running_asked_va: float, supply_voltage_v: float) -> float:
    """Current of the loads that run together on one leg.

    Valid: nominal voltage. Neglects: sag. Errs: low on a weak site.

    >>> leg_current(2400.0, 120.0)
    20.0
    """
    return running_asked_va / supply_voltage_v


@formula("leg_asked_a", cite=_OWN)
def heavier_leg(*leg_asked_a: float) -> float:
    """The heavier of two leg currents on two hots.

    Valid: each leg has its own breaker. Neglects: nothing. Errs: exact.

    >>> heavier_leg(13.0, 12.5)
    13.0
    """
    return max(leg_asked_a)


@formula("leg_asked_a", cite=_OWN)
def joined_legs(*leg_asked_a: float) -> float:
    """The current of two legs that hang on one hot.

    Valid: like power factors. Neglects: phase between currents. Errs: high.

    >>> joined_legs(13.0, 12.5)
    25.5
    """
    return sum(leg_asked_a)


@formula("neutral_a", cite=_NEUTRAL)
def neutral_opposed(leg_1_a: float, leg_2_a: float) -> float:
    """Neutral current of a true split phase of 120/240 V.

    Valid: like power factors. Neglects: harmonics. Errs: low with electronic loads.

    >>> neutral_opposed(28.0, 18.0)
    10.0
    """
    return abs(leg_1_a - leg_2_a)


@formula("neutral_a", cite=_NEUTRAL)
def neutral_in_phase(leg_1_a: float, leg_2_a: float) -> float:
    """Neutral current where one hot, or two in phase, feed both legs.

    Valid: like power factors. Neglects: nothing. Errs: high.

    >>> neutral_in_phase(28.0, 27.0)
    55.0
    """
    return leg_1_a + leg_2_a


@formula("neutral_a", cite=_NEUTRAL)
def neutral_two_of_three(leg_1_a: float, leg_2_a: float) -> float:
    """Neutral current on two legs of a 208Y/120 V site.

    Valid: like power factors. Neglects: harmonics. Errs: low with electronic loads.

    >>> round(neutral_two_of_three(40.0, 30.0), 1)
    36.1
    """
    return sqrt(leg_1_a * leg_1_a + leg_2_a * leg_2_a - leg_1_a * leg_2_a)


@formula("alternator_hot_a", cite=cite("alternator-literature"))
def hot_output(alternator_rating_a: float, alternator_hot_share: float) -> float:
    """Output of an alternator once it is hot.

    Valid: driving speed. Neglects: idle. Errs: low.

    >>> hot_output(120.0, 0.75)
    90.0
    """
    return alternator_rating_a * alternator_hot_share


@formula("alternator_current_a", cite=cite("common-practice"))
def spare_output(alternator_hot_a: float, alternator_spare_share: float) -> float:
    """Alternator current that may go to the bank.

    Valid: stock alternators. Neglects: the vehicle's real loads. Errs: low as a rule.

    >>> spare_output(90.0, 0.5)
    45.0
    """
    return alternator_hot_a * alternator_spare_share


@formula("alternator_idle_a", cite=cite("alternator-literature"))
def idle_output(alternator_rating_a: float, alternator_idle_share: float) -> float:
    """Output of an alternator while the engine idles.

    Valid: stock pulleys. Neglects: heat. Errs: either.

    >>> round(idle_output(35.0, 0.34), 1)
    11.9
    """
    return alternator_rating_a * alternator_idle_share


@formula("charger_allowed_a", cite=_OWN)
def dc_dc_carried(alternator_current_a: float, alternator_voltage_v: float, dc_dc_efficiency: float, charging_voltage_v: float) -> float:
    """Largest output of a DC-DC charger that a share of the alternator carries.

    Valid: bulk. Neglects: drop in the cable from the engine. Errs: low.

    >>> round(dc_dc_carried(45.0, 13.0, 0.92, 14.4), 2)
    37.38
    """
    return alternator_current_a * alternator_voltage_v * dc_dc_efficiency / charging_voltage_v


@formula("dc_dc_input_a", cite=_OWN)
def dc_dc_input(dc_dc_output_a: float, charging_voltage_v: float, alternator_voltage_v: float, dc_dc_efficiency: float) -> float:
    """Input current of a DC-DC charger.

    Valid: bulk, at the stated input voltage. Neglects: drop in the cable from the engine. Errs: low by that drop.

    >>> round(dc_dc_input(40.0, 14.4, 13.0, 0.92), 2)
    48.16
    """
    return dc_dc_output_a * charging_voltage_v / (alternator_voltage_v * dc_dc_efficiency)


@formula("acceptance_a", cite=cite("alternator-literature", "bulk acceptance by type"))
def bulk_acceptance(charge_rate: float, bank_capacity_ah: float) -> float:
    """Charging current that a discharged lead-acid bank accepts from a source that does not limit it.

    Valid: about half discharged, 20 to 25 °C. Neglects: decline towards absorption. Errs: either.

    >>> bulk_acceptance(0.25, 400.0)
    100.0
    """
    return charge_rate * bank_capacity_ah
