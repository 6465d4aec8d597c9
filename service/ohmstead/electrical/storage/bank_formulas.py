"""Arithmetic of a bank: what its units make together, its currents, its voltages."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite


@formula("unit_energy_wh", cite=cite("design-arithmetic", "capacity times nominal voltage"))
def unit_energy(unit_capacity_ah: float, unit_voltage_v: float) -> float:
    """Rated energy of one unit.

    Valid: any. Neglects: voltage under load. Errs: either, a few percent.

    >>> unit_energy(305.0, 6.0)
    1830.0
    """
    return unit_capacity_ah * unit_voltage_v


@formula("bank_voltage_v", cite=cite("design-arithmetic", "units in series add their voltages"))
def bank_voltage(series: float, unit_voltage_v: float) -> float:
    """Nominal voltage of the bank.

    Valid: like units. Neglects: nothing. Errs: exact.

    >>> bank_voltage(4.0, 6.0)
    24.0
    """
    return series * unit_voltage_v


@formula("bank_capacity_ah", cite=cite("design-arithmetic", "strings in parallel add their capacities"))
def bank_capacity(parallel: float, unit_capacity_ah: float) -> float:
    """Rated capacity of the bank; units in series do not add.

    Valid: like units. Neglects: unequal sharing. Errs: high.

    >>> bank_capacity(3.0, 225.0)
    675.0
    """
    return parallel * unit_capacity_ah


@formula("bank_rated_energy_wh", cite=cite("design-arithmetic", "capacity times nominal voltage"))
def bank_energy(bank_capacity_ah: float, bank_voltage_v: float) -> float:
    """Rated energy of the bank.

    Valid: any. Neglects: voltage under load. Errs: either, a few percent.

    >>> bank_energy(450.0, 12.0)
    5400.0
    """
    return bank_capacity_ah * bank_voltage_v


@formula("bank_rated_energy_wh", cite=cite("design-arithmetic", "sum of the units"))
def energy_of_units(unit_energy_wh: float, series: float, parallel: float) -> float:
    """Rated energy of the bank from that of its units.

    Valid: like units. Neglects: unequal sharing. Errs: high.

    >>> energy_of_units(1200.0, 2.0, 3.0)
    7200.0
    """
    return unit_energy_wh * series * parallel


@formula("usable_energy_wh", cite=cite("design-arithmetic", "rated energy times depth, temperature and efficiency"))
def usable_energy(
    bank_rated_energy_wh: float, depth_of_discharge: float, temperature_factor: float, discharge_efficiency: float
) -> float:
    """Energy that the new bank delivers within its depth of discharge.

    Valid: any chemistry. Neglects: discharge rate. Errs: high at high rates.

    >>> usable_energy(1000.0, 0.5, 0.8, 1.0)
    400.0
    """
    return bank_rated_energy_wh * depth_of_discharge * temperature_factor * discharge_efficiency


@formula("usable_energy_aged_wh", cite=cite("design-arithmetic", "usable energy at the end of life"))
def usable_energy_aged(usable_energy_wh: float, ageing_factor: float) -> float:
    """Energy that the bank delivers at the end of its life within the same depth of discharge of what is left.

    Valid: any chemistry. Neglects: risen resistance. Errs: high.

    >>> usable_energy_aged(400.0, 0.75)
    300.0
    """
    return usable_energy_wh * ageing_factor


@formula("autonomy_days", cite=cite("design-arithmetic", "usable energy over the day's energy"))
def days_new(usable_energy_wh: float, day_energy_wh: float) -> float:
    """Days that the usable energy of the new bank lasts without charging.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> days_new(3000.0, 1500.0)
    2.0
    """
    return usable_energy_wh / day_energy_wh


@formula("autonomy_days", cite=cite("design-arithmetic", "usable energy over the day's energy"))
def days_aged(usable_energy_aged_wh: float, day_energy_wh: float) -> float:
    """Days that the usable energy lasts at the end of life.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> days_aged(2400.0, 1200.0)
    2.0
    """
    return usable_energy_aged_wh / day_energy_wh


@formula("unit_current_a", cite=cite("battery-trade-literature", "current as a share of the rated capacity"))
def current_at_rate(discharge_rate: float, unit_capacity_ah: float) -> float:
    """Discharge current of a unit whose maker states none, by the rate usual for its chemistry.

    Valid: typical units. Neglects: the management system of the unit that is bought. Errs: either.

    >>> current_at_rate(0.25, 200.0)
    50.0
    """
    return discharge_rate * unit_capacity_ah


@formula("unit_charge_limit_a", cite=cite("battery-trade-literature", "current as a share of the rated capacity"))
def charge_current_at_rate(charge_rate: float, unit_capacity_ah: float) -> float:
    """Charging current of a unit whose maker states none, by the rate usual for its chemistry.

    Valid: typical units. Neglects: the management system of the unit that is bought. Errs: either.

    >>> charge_current_at_rate(0.125, 400.0)
    50.0
    """
    return charge_rate * unit_capacity_ah


@formula("bank_current_a", cite=cite("common-practice", "sum of the strings times a share for unequal sharing"))
def bank_current(unit_current_a: float, parallel: float, sharing_factor: float) -> float:
    """Continuous discharge current of the bank.

    Valid: like strings with like leads. Neglects: the path of the leads beyond the factor. Errs: either.

    >>> bank_current(100.0, 2.0, 0.75)
    150.0
    """
    return unit_current_a * parallel * sharing_factor


@formula("bank_current_short_a", cite=cite("common-practice", "sum of the strings times a share for unequal sharing"))
def bank_current_short(unit_current_a: float, parallel: float, sharing_factor: float) -> float:
    """Continuous discharge current with one string gone.

    Valid: like strings with like leads. Neglects: the moment of the change. Errs: either.

    >>> bank_current_short(100.0, 3.0, 0.75)
    150.0
    """
    return unit_current_a * (parallel - 1) * sharing_factor


@formula("bank_peak_current_a", cite=cite("common-practice", "sum of the strings times a share for unequal sharing"))
def bank_peak(unit_peak_current_a: float, parallel: float, sharing_factor: float) -> float:
    """Current that the bank may give for the seconds of a start.

    Valid: like strings with like leads. Neglects: voltage sag. Errs: either.

    >>> bank_peak(200.0, 2.0, 0.75)
    300.0
    """
    return unit_peak_current_a * parallel * sharing_factor


@formula("bank_peak_short_a", cite=cite("common-practice", "sum of the strings times a share for unequal sharing"))
def bank_peak_short(unit_peak_current_a: float, parallel: float, sharing_factor: float) -> float:
    """Current that the bank may give for the seconds of a start with one string gone.

    Valid: like strings with like leads. Neglects: voltage sag. Errs: either.

    >>> bank_peak_short(200.0, 3.0, 0.75)
    300.0
    """
    return unit_peak_current_a * (parallel - 1) * sharing_factor


@formula("current_margin", cite=cite("design-arithmetic", "what is given over what is asked"))
def margin_of(bank_current_a: float, discharge_current_a: float) -> float:
    """Continuous current that the bank may give over the current asked.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> margin_of(150.0, 100.0)
    1.5
    """
    return bank_current_a / discharge_current_a


@formula("charge_limit_a", cite=cite("common-practice", "sum of the strings times a share for unequal sharing"))
def charge_limit(unit_charge_limit_a: float, parallel: float, sharing_factor: float) -> float:
    """Largest charging current of the bank, all chargers together.

    Valid: like strings with like leads, above the cold limit. Neglects: taper near full. Errs: either.

    >>> charge_limit(50.0, 2.0, 0.75)
    75.0
    """
    return unit_charge_limit_a * parallel * sharing_factor


@formula("charge_floor_a", cite=cite("battery-trade-literature", "least charging rate of lead-acid batteries"))
def charge_floor(charge_rate: float, bank_capacity_ah: float) -> float:
    """Charging current below which a lead-acid bank is never properly filled.

    Valid: lead-acid. Neglects: loads that take from the charger. Errs: either.

    >>> charge_floor(0.05, 400.0)
    20.0
    """
    return charge_rate * bank_capacity_ah


@formula("bank_mass_kg", cite=cite("design-arithmetic", "sum of the units"))
def bank_mass(unit_mass_kg: float, units: float) -> float:
    """Mass of the bank's units.

    Valid: any. Neglects: trays, cables, boxes. Errs: low.

    >>> bank_mass(30.0, 4.0)
    120.0
    """
    return unit_mass_kg * units


@formula("bank_voltage_v", cite=cite("battery-trade-literature", "voltage of a cell times cells in series"))
def cells_voltage(cells: float, cell_voltage_v: float) -> float:
    """Nominal voltage of the bank by its cells.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> cells_voltage(4.0, 3.2)
    12.8
    """
    return cells * cell_voltage_v


@formula("temperature_compensation_v_per_k", cite=cite("battery-trade-literature", "temperature compensation"))
def bank_compensation(cells: float, temperature_compensation_v_per_k: float) -> float:
    """Change of the bank's charging voltages per kelvin.

    Valid: lead-acid; nought for lithium. Neglects: nothing. Errs: exact.

    >>> bank_compensation(6.0, -0.005)
    -0.03
    """
    return cells * temperature_compensation_v_per_k


@formula("absorption_v", cite=cite("battery-trade-literature", "voltage of a cell times cells in series"))
def absorption_voltage(cells: float, absorption_cell_v: float) -> float:
    """Absorption voltage of the bank at 25 °C.

    Valid: any. Neglects: drop in the leads. Errs: exact.

    >>> absorption_voltage(12.0, 2.4)
    28.799999999999997
    """
    return cells * absorption_cell_v


@formula("float_v", cite=cite("battery-trade-literature", "voltage of a cell times cells in series"))
def float_voltage(cells: float, float_cell_v: float) -> float:
    """Float voltage of the bank at 25 °C.

    Valid: any. Neglects: drop in the leads. Errs: exact.

    >>> float_voltage(6.0, 2.25)
    13.5
    """
    return cells * float_cell_v


@formula("end_v", cite=cite("battery-trade-literature", "voltage of a cell times cells in series"))
def end_voltage(cells: float, end_cell_v: float) -> float:
    """Voltage at which the bank counts as empty.

    Valid: low rates. Neglects: drop in the leads and in the units. Errs: exact.

    >>> end_voltage(6.0, 1.75)
    10.5
    """
    return cells * end_cell_v


@formula("load_disconnect_v", cite=cite("battery-trade-literature", "voltage of a cell times cells in series"))
def load_disconnect_voltage(cells: float, load_disconnect_cell_v: float) -> float:
    """Voltage at which the loads are taken off.

    Valid: light loads. Neglects: drop in the leads and in the units. Errs: exact.

    >>> load_disconnect_voltage(4.0, 2.8)
    11.2
    """
    return cells * load_disconnect_cell_v


@formula("cold_absorption_v", cite=cite("battery-trade-literature", "temperature compensation"))
def compensated_voltage(
    cells: float, absorption_cell_v: float, temperature_compensation_v_per_k: float, bank_temperature_c: float,
    reference_temperature_c: float,
) -> float:
    """Charging voltage of the bank at a temperature.

    Valid: lead-acid, -20 to 50 °C. Neglects: the limits that a charger sets to it. Errs: high in great cold.

    >>> round(compensated_voltage(1.0, 2.3, -0.003, 35.0, 25.0), 9)
    2.27
    """
    return cells * (absorption_cell_v + temperature_compensation_v_per_k * (bank_temperature_c - reference_temperature_c))


@formula("highest_voltage_v", cite=cite("design-arithmetic", "larger of the charging voltages"))
def highest_voltage(cells: float, highest_cell_v: float, cold_absorption_v: float) -> float:
    """Highest voltage that equipment on the bank sees: the top of the charging range, or charging at the coldest.

    Valid: chargers set as the answer says. Neglects: faults of a charger. Errs: exact.

    >>> highest_voltage(6.0, 2.5, 14.75)
    15.0
    """
    return max(cells * highest_cell_v, cold_absorption_v)


@formula("health", cite=cite("ieee-1013", "capacity test"))
def tested_share(available_capacity_ah: float, capacity_ah: float) -> float:
    """Tested over rated capacity of an owned unit.

    Valid: a test at the rated hour rate, near 25 °C. Neglects: nothing. Errs: exact.

    >>> tested_share(80.0, 100.0)
    0.8
    """
    return available_capacity_ah / capacity_ah


@formula("fault_current_a", cite=cite("short-circuit-bounds", "strings add, units in series do not"))
def fault_of_strings(fault_current_a: float, parallel: float) -> float:
    """Short-circuit current of a bank from the figure of one unit.

    Valid: the maker's figure of a unit. Neglects: links and leads. Errs: high.

    >>> fault_of_strings(5000.0, 2.0)
    10000.0
    """
    return fault_current_a * parallel


@formula("discharge_current_a", cite=cite("design-arithmetic", "larger of the currents asked"))
def larger_current(*current_a: float) -> float:
    """Continuous current that the bank has to give.

    Valid: currents that do not add. Neglects: nothing. Errs: exact.

    >>> larger_current(80.0, 120.0)
    120.0
    """
    return max(current_a)
