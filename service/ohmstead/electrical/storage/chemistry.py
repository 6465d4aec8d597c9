"""What the tables say of a chemistry, gathered once per library."""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache
from typing import Literal

from msgspec import Struct

from ...reference.case import Library
from ...working import Citation, at_least, at_most
from .formulas import factor_between
from .model import Chemistry, Unit

Family = Literal["lead", "lfp", "nmc", "lto", "sodium-ion"]
"""Which documented defaults hold for a chemistry."""

FAMILIES: dict[str, Family] = {
    "flooded": "lead", "golf-cart": "lead", "agm": "lead", "gel": "lead", "lfp": "lfp", "nmc": "nmc", "lto": "lto", "sodium-ion": "sodium-ion",
}  # fmt: skip
VENTED = ("flooded", "golf-cart")
SYSTEM_VOLTAGES = (12, 24, 48)
_RATES = ("discharge_rate", "discharge_rate_max", "charge_rate")


class Properties(Struct, frozen=True):
    """Properties of one chemistry; numbers are traced in the traced library."""

    chemistry: Chemistry
    family: Family
    cell_voltage_v: float
    cells: dict[int, float]
    """Cells in series by system voltage."""
    rated_hours: float
    end_cell_v: float
    load_disconnect_cell_v: float
    absorption_cell_v: float
    float_cell_v: float | None
    highest_cell_v: float
    compensation_v_per_k: float
    largest_depth: float
    peukert_exponent: float
    charge_above_c: float
    charge_below_c: float
    discharge_above_c: float
    discharge_below_c: float
    discharge_rate: float
    peak_rate: float | None
    """None where the management system, not the cells, limits the peak."""
    charge_rate: float
    least_charge_rate: float | None
    temperatures_c: tuple[float, ...]
    factors: tuple[float, ...]
    cycle_lives: tuple[tuple[float, float], ...]
    """Depth of discharge and cycles to the end of life, from shallow to deep."""
    rate_sources: dict[str, Citation]
    """Where the rates are printed that stand in for a maker's figure."""
    citations: tuple[Citation, ...]
    """Every source of the values above, with how well it is known."""

    @property
    def lithium(self) -> bool:
        """Whether the units have low resistance and a management system that can open them."""
        return self.family != "lead"


@lru_cache(maxsize=64)
def properties(library: Library, chemistry: Chemistry) -> Properties:
    """The properties of a chemistry. Raises KeyError for one that nothing is known of."""
    table = library.tables["chemistry_values"]
    values = table.columns["value"]

    def known(parameter: str) -> float | None:
        row = table.index.get(f"{chemistry}/{parameter}")
        return None if row is None else values[row]

    def value(parameter: str) -> float:
        return values[table.index[f"{chemistry}/{parameter}"]]

    family = FAMILIES[chemistry]
    points = library.tables["capacity_by_temperature"]
    rows = [row for row, name in enumerate(points.columns["chemistry"]) if name == chemistry]
    end = known("end_cell")
    return Properties(
        chemistry=chemistry, family=family, cell_voltage_v=value("cell_voltage"),
        cells={voltage: value(f"cells_{voltage}") for voltage in SYSTEM_VOLTAGES}, rated_hours=value("rated_hours"),
        end_cell_v=value("load_disconnect_cell") if end is None else end, load_disconnect_cell_v=value("load_disconnect_cell"),
        absorption_cell_v=value("absorption_cell"), float_cell_v=known("float_cell"), highest_cell_v=value("highest_cell"),
        compensation_v_per_k=value("temperature_compensation"), largest_depth=value("depth_of_discharge_max"),
        peukert_exponent=value("peukert_exponent"), charge_above_c=value("charge_temperature_min"),
        charge_below_c=value("charge_temperature_max"),
        discharge_above_c=value("discharge_temperature_min"), discharge_below_c=value("discharge_temperature_max"),
        discharge_rate=value("discharge_rate"), peak_rate=value("discharge_rate_max") if family == "lead" else None,
        charge_rate=value("charge_rate"), least_charge_rate=known("charge_rate_min"),
        temperatures_c=tuple(points.columns["temperature_c"][row] for row in rows),
        factors=tuple(points.columns["factor"][row] for row in rows),
        cycle_lives=tuple(sorted(
            (int(name.rpartition("_")[2]) / 100, values[row])
            for row, name in enumerate(table.columns["parameter"])
            if table.columns["chemistry"][row] == chemistry and name.startswith("cycle_life_")
        )),
        rate_sources={rate: table.citation_of_row[table.index[f"{chemistry}/{rate}"]] for rate in _RATES},
        citations=tuple(dict.fromkeys([
            *(table.citation_of_row[row] for row, name in enumerate(table.columns["chemistry"]) if name == chemistry),
            *(points.citation_of_row[row] for row in rows),
        ])),
    )


def generic_units(library: Library, chemistry: Chemistry, nominal_v: int) -> tuple[Unit, ...]:
    """Generic units of a chemistry that make up a system voltage."""
    table = library.tables["battery_units"]
    column = table.columns
    return tuple(
        Unit(
            name=column["title"][row], chemistry=chemistry, voltage_v=column["unit_voltage_v"][row],
            capacity_ah=column["unit_capacity_ah"][row], mass_kg=column["unit_mass_kg"][row], current_a=column["unit_current_a"][row],
            peak_current_a=column["unit_peak_current_a"][row], charge_current_a=column["charge_limit_a"][row],
            largest_parallel=column["parallel_limit"][row], row=column["id"][row], generic=True,
        )
        for row in range(table.rows)
        if column["chemistry"][row] == chemistry and str(nominal_v) in column["system_voltages"][row].split()
    )


def cycles_at(known: Properties, depth_of_discharge: float) -> float | None:
    """Cycles at the next deeper depth that is documented; None beyond the deepest."""
    return next((cycles for depth, cycles in known.cycle_lives if at_most(depth_of_discharge, depth)), None)


def capacity_factor(known: Properties, bank_temperature_c: float) -> float | None:
    """Capacity at a temperature over rated capacity; None below the coldest row, where nothing is known."""
    temperatures, factors = known.temperatures_c, known.factors
    if not at_least(bank_temperature_c, temperatures[0]):
        return None
    above = min(max(bisect_right(temperatures, bank_temperature_c), 1), len(temperatures) - 1)
    # Beyond the warmest row its value holds: heat gives no credit.
    at = bank_temperature_c if bank_temperature_c < temperatures[-1] else temperatures[-1]
    return factor_between(at, temperatures[above - 1], temperatures[above], factors[above - 1], factors[above])
