"""Arithmetic of conductors: design current, ampacity, voltage drop."""

from __future__ import annotations

from math import sqrt

from ...nomenclature import formula
from ...reference.citations import cite


@formula("current_a", cite=cite("design-arithmetic", "power over efficiency and voltage"))
def current_from_power(power_w: float, efficiency: float, lowest_voltage_v: float) -> float:
    """Current that a constant-power load draws at the lowest voltage at which it runs.

    Valid: direct current, or alternating current with the power factor inside `efficiency`.
    Neglects: drop in the conductors themselves. Errs: high.

    >>> round(current_from_power(2000.0, 0.9, 10.5), 1)
    211.6
    """
    return power_w / (efficiency * lowest_voltage_v)


@formula("highest_voltage_v", cite=cite("common-practice", "charging voltages of 12, 24 and 48 V banks"))
def charging_voltage_bound(nominal_voltage_v: float, highest_voltage_ratio: float) -> float:
    """Highest voltage that charging brings to a direct-current circuit, when nothing better is known.

    Valid: storage circuits. Neglects: equalisation of flooded cells beyond the ratio. Errs: high for lithium.

    >>> charging_voltage_bound(12.0, 1.25)
    15.0
    """
    return nominal_voltage_v * highest_voltage_ratio


@formula("ripple_factor", cite=cite("design-arithmetic", "single-phase inverter input"))
def ripple_factor(power_factor: float) -> float:
    """RMS over average current on the battery side of a single-phase inverter.

    Valid: sine output, no energy store between. Neglects: input capacitors. Errs: high.

    >>> round(ripple_factor(1.0), 2)
    1.22
    """
    return sqrt(1 + 1 / (2 * power_factor**2))


@formula("ripple_current_a", cite=cite("design-arithmetic", "single-phase inverter input"))
def ripple_current(current_a: float, ripple_factor: float) -> float:
    """RMS current that heats conductor and fuse.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> ripple_current(100.0, 1.25)
    125.0
    """
    return current_a * ripple_factor


@formula("continuous_current_a", cite=cite("design-arithmetic", "factor on continuous duty"))
def continuous_current(continuous_factor: float, current_a: float) -> float:
    """Current multiplied for duty of three hours or more.

    Valid: loads, chargers, inverters; photovoltaic currents that already hold the factor for bright sun.
    Neglects: nothing. Errs: exact.

    >>> continuous_current(1.25, 95.0)
    118.75
    """
    return continuous_factor * current_a


@formula("continuous_current_a", cite=cite("nec-445-13"))
def generator_conductor_current(generator_conductor_factor: float, current_a: float) -> float:
    """Current for the conductors from a generator to its first overcurrent device.

    Valid: generators without a device of their own. Neglects: nothing. Errs: high where the design prevents overload.

    >>> round(generator_conductor_current(1.15, 20.0), 9)
    23.0
    """
    return generator_conductor_factor * current_a


@formula("thermal_current_a", cite=cite("design-arithmetic", "larger of, never the product"))
def thermal_current(continuous_current_a: float, ripple_current_a: float) -> float:
    """The larger of the continuous-duty and the RMS current.

    Valid: both are allowances for heating, so one covers the other. Neglects: nothing. Errs: exact.

    >>> thermal_current(264.6, 258.2)
    264.6
    """
    return max(continuous_current_a, ripple_current_a)


@formula("column_needed_a", cite=cite("design-arithmetic", "equal conductors in parallel"))
def column_needed(thermal_current_a: float, sets: float) -> float:
    """Table value that one conductor needs in the column of the terminals' temperature.

    Valid: equal sets. Neglects: unequal sharing. Errs: low if the sets differ in length.

    >>> column_needed(264.0, 2.0)
    132.0
    """
    return thermal_current_a / sets


@formula("derated_needed_a", cite=cite("design-arithmetic", "corrections of a table value"))
def derated_needed(ripple_current_a: float, ambient_factor: float, bundling_factor: float, sets: float) -> float:
    """Table value that one conductor needs in the column of its insulation, before the corrections.

    Valid: equal sets. Neglects: unequal sharing. Errs: low if the sets differ in length.

    >>> round(derated_needed(91.0, 0.91, 1.0, 1.0), 9)
    100.0
    """
    return ripple_current_a / (ambient_factor * bundling_factor * sets)


@formula("ampacity_conditions_a", cite=cite("design-arithmetic", "corrections of a table value"))
def ampacity_conditions(ampacity_insulation_a: float, ambient_factor: float, bundling_factor: float, sets: float) -> float:
    """Ampacity under the conditions of use.

    Valid: the insulation's own column. Neglects: altitude, sun. Errs: either.

    >>> ampacity_conditions(30.0, 1.0, 0.5, 1.0)
    15.0
    """
    return ampacity_insulation_a * ambient_factor * bundling_factor * sets


@formula("ampacity_terminals_a", cite=cite("design-arithmetic", "equal conductors in parallel"))
def ampacity_terminals(ampacity_terminal_a: float, sets: float) -> float:
    """Ampacity that the terminals allow; no ambient or bundling factor belongs here.

    Valid: equal sets. Neglects: nothing. Errs: exact.

    >>> ampacity_terminals(175.0, 2.0)
    350.0
    """
    return ampacity_terminal_a * sets


@formula("ampacity_a", cite=cite("design-arithmetic", "smaller of the terminals and the conditions of use"))
def ampacity(ampacity_terminals_a: float, ampacity_conditions_a: float) -> float:
    """Ampacity of the circuit: the smaller of what terminals and conditions of use allow.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> ampacity(230.0, 236.6)
    230.0
    """
    return min(ampacity_terminals_a, ampacity_conditions_a)


@formula("drop_current_a", cite=cite("design-arithmetic", "phasor sum of two leg currents at like power factor"))
def drop_current_on_one_hot(own_leg_a: float, other_leg_a: float) -> float:
    """Current to reckon the drop of the worse leg with, where the neutral carries the current of both.

    Valid: a neutral like the lines, like power factors. Neglects: reactance. Errs: high.

    >>> drop_current_on_one_hot(16.0, 8.0)
    20.0
    """
    return own_leg_a + other_leg_a / 2


@formula("drop_limit_v", cite=cite("design-arithmetic", "share of the nominal voltage"))
def drop_limit_volts(drop_limit: float, nominal_voltage_v: float) -> float:
    """Allowed drop in volts.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> round(drop_limit_volts(0.03, 12.0), 9)
    0.36
    """
    return drop_limit * nominal_voltage_v


@formula("resistance_needed_ohm_per_km", cite=cite("design-arithmetic", "Ohm's law"))
def resistance_needed(drop_limit_v: float, current_a: float, run_m: float, sets: float) -> float:
    """Largest resistance per length of one conductor that keeps the drop out and back allowed.

    Valid: direct current, or small conductors on alternating current. Neglects: joints, fuses, reactance. Errs: low.

    >>> resistance_needed(0.36, 20.0, 3.0, 1.0)
    3.0
    """
    return 1000 * sets * drop_limit_v / (2 * run_m * current_a)


@formula("loop_resistance_ohm", cite=cite("design-arithmetic", "length out and back"))
def loop_resistance(resistance_ohm_per_km: float, run_m: float, sets: float) -> float:
    """Resistance out and back.

    Valid: equal sets. Neglects: joints, fuses, switches. Errs: low.

    >>> loop_resistance(2.0, 5.0, 1.0)
    0.02
    """
    return 2 * run_m * resistance_ohm_per_km / (1000 * sets)


@formula("run_m", cite=cite("design-arithmetic", "stretches of one run"))
def run_together(*run_m: float) -> float:
    """Length of a run of several stretches.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> run_together(2.5, 1.5)
    4.0
    """
    return sum(run_m)


@formula("ampacity_conditions_a", cite=cite("nec-310-14"))
def least_ampacity(*ampacity_conditions_a: float) -> float:
    """Ampacity of a run through several surroundings: that of the stretch that allows least.

    Valid: any. Neglects: heat that short hot stretches pass on to cool ones. Errs: low.

    >>> least_ampacity(150.0, 118.5)
    118.5
    """
    return min(ampacity_conditions_a)


@formula("drop_v", cite=cite("design-arithmetic", "stretches of one run"))
def drops_together(*drop_v: float) -> float:
    """Voltage drop over several stretches.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> drops_together(0.25, 0.5)
    0.75
    """
    return sum(drop_v)


@formula("loop_resistance_ohm", cite=cite("design-arithmetic", "length out, and the metal back"))
def loop_by_chassis(resistance_ohm_per_km: float, run_m: float, sets: float, return_resistance_ohm: float) -> float:
    """Resistance out by conductors and back by a chassis.

    Valid: equal sets. Neglects: joints, fuses, switches. Errs: low.

    >>> loop_by_chassis(2.0, 5.0, 1.0, 0.005)
    0.015
    """
    return run_m * resistance_ohm_per_km / (1000 * sets) + return_resistance_ohm


@formula("resistance_needed_ohm_per_km", cite=cite("design-arithmetic", "Ohm's law"))
def resistance_needed_by_chassis(drop_limit_v: float, current_a: float, run_m: float, sets: float, return_resistance_ohm: float) -> float:
    """Largest resistance per length of the conductor out that keeps the drop allowed when a chassis carries the current back.

    Valid: direct current. Neglects: joints, fuses. Errs: low. Nought or less: the chassis alone drops too much.

    >>> resistance_needed_by_chassis(0.25, 10.0, 5.0, 1.0, 0.015)
    2.0
    """
    return 1000 * sets * (drop_limit_v / current_a - return_resistance_ohm) / run_m


@formula("drop_v", cite=cite("design-arithmetic", "Ohm's law"))
def voltage_drop(current_a: float, loop_resistance_ohm: float) -> float:
    """Voltage drop at the design current.

    Valid: direct current. Neglects: joints, fuses, switches. Errs: low.

    >>> voltage_drop(20.0, 0.03)
    0.6
    """
    return current_a * loop_resistance_ohm


@formula("drop_fraction", cite=cite("design-arithmetic", "share of the nominal voltage"))
def drop_share(drop_v: float, nominal_voltage_v: float) -> float:
    """Voltage drop over nominal voltage.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> drop_share(0.36, 12.0)
    0.03
    """
    return drop_v / nominal_voltage_v


@formula("load_voltage_v", cite=cite("design-arithmetic", "Ohm's law"))
def load_voltage(lowest_voltage_v: float, drop_v: float) -> float:
    """Voltage left at the load when the source is at its lowest.

    Valid: any. Neglects: joints, fuses, switches. Errs: high.

    >>> load_voltage(10.5, 0.25)
    10.25
    """
    return lowest_voltage_v - drop_v


@formula("conductor_temperature_c", cite=cite("design-arithmetic", "heat goes with the square of the current"))
def conductor_temperature(
    ambient_c: float, insulation_temperature_c: float, current_a: float, ampacity_conditions_a: float
) -> float:
    """Conductor temperature at a current, from the current that would bring it to the insulation's rating.

    Valid: steady state. Neglects: solar heating. Errs: high.

    >>> conductor_temperature(40.0, 90.0, 50.0, 100.0)
    52.5
    """
    return ambient_c + (insulation_temperature_c - ambient_c) * (current_a / ampacity_conditions_a) ** 2


@formula("resistance_ohm_per_km", cite=cite("design-arithmetic", "linear rise of copper's resistance"))
def resistance_at(
    resistance_75c_ohm_per_km: float, copper_temperature_coefficient: float, conductor_temperature_c: float
) -> float:
    """Conductor resistance at a temperature.

    Valid: copper, -40 to 150 °C. Neglects: curvature of the relation. Errs: either, under 1 %.

    >>> round(resistance_at(1.0, 0.00323, 105.0), 4)
    1.0969
    """
    return resistance_75c_ohm_per_km * (1 + copper_temperature_coefficient * (conductor_temperature_c - 75))


@formula("drop_v", cite=cite("nec-chapter-9", "K = 12.9 from Table 8 at 75 °C", "computed"))
def conventional_drop(drop_constant_ohm_cmil_per_ft: float, current_a: float, run_ft: float, area_cmil: float) -> float:
    """Voltage drop by the trade's constant and circular mils; `run_ft` is the length out and back.

    Valid: copper near 75 °C with K = 12.9. Neglects: joints. Errs: either, under 2 %.

    >>> round(conventional_drop(12.9, 20.0, 100.0, 6530.0), 2)
    3.95
    """
    return drop_constant_ohm_cmil_per_ft * current_a * run_ft / area_cmil


@formula("drop_v", cite=cite("design-arithmetic", "trade relation by circular mils"))
def drop_by_circular_mils(drop_constant_ohm_cmil_per_ft: float, current_a: float, run_m: float, area_cmil: float, sets: float) -> float:
    """Voltage drop out and back by a trade's constant and circular mils, the run one way in metres.

    Valid: the temperature that the constant stands for. Neglects: the conductor's own heat, joints. Errs: low for a warm cable.

    >>> round(drop_by_circular_mils(10.75, 10.0, 15 * 0.3048, 8958.333, 1.0), 3)
    0.36
    """
    return drop_constant_ohm_cmil_per_ft * current_a * (2 * run_m / 0.3048) / (area_cmil * sets)


@formula("drop_v", cite=cite("design-arithmetic", "trade relation by square millimetres"))
def drop_by_square_millimetres(drop_constant_ohm_mm2_per_m: float, current_a: float, run_m: float, area_mm2: float, sets: float) -> float:
    """Voltage drop out and back by a trade's constant and square millimetres, the run one way.

    Valid: the temperature that the constant stands for. Neglects: the conductor's own heat, joints. Errs: low for a warm cable.

    >>> round(drop_by_square_millimetres(0.0164, 182.927, 3.0, 50.0, 1.0), 3)
    0.36
    """
    return drop_constant_ohm_mm2_per_m * current_a * 2 * run_m / (area_mm2 * sets)


@formula("area_cmil", cite=cite("nec-chapter-9", "K = 12.9 from Table 8 at 75 °C", "computed"))
def area_for_drop(drop_constant_ohm_cmil_per_ft: float, current_a: float, run_ft: float, drop_limit_v: float) -> float:
    """Circular mils that keep the drop allowed; `run_ft` is the length out and back.

    Valid: as `conventional_drop`. Neglects: joints. Errs: either.

    >>> round(area_for_drop(10.75, 10.0, 30.0, 0.36))
    8958
    """
    return drop_constant_ohm_cmil_per_ft * current_a * run_ft / drop_limit_v


@formula("diameter_mm", cite=cite("astm-b258"))
def awg_diameter(gauge_number: float) -> float:
    """Diameter of the solid conductor of an AWG number (1/0 is 0, 2/0 is -1).

    Valid: 4/0 to 40. Neglects: stranding. Errs: exact.

    >>> round(awg_diameter(10.0), 4)
    2.5882
    """
    return 0.127 * 92 ** ((36 - gauge_number) / 39)


@formula("area_cmil", cite=cite("astm-b258"))
def circular_mils(diameter_mm: float) -> float:
    """Area in circular mils of a round conductor.

    Valid: any. Neglects: stranding. Errs: exact.

    >>> circular_mils(25.4)
    1000000.0
    """
    return (diameter_mm / 0.0254) ** 2
