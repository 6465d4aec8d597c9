"""The same job done by other chemistries, and what each gives under the same label."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace

from ...reference.case import Case
from .bank_formulas import bank_energy, cells_voltage, usable_energy, usable_energy_aged
from .chemistry import capacity_factor, properties
from .formulas import available_capacity
from .model import Bank, BankRequest, Chemistry, Rival, SameLabel


def rivals_of(request: BankRequest, size: Callable[[BankRequest, Case], Bank], case: Case) -> tuple[Rival, ...]:
    """A bank of generic units of each chemistry for the same energy, days, temperature and currents.

    Depth of discharge and discharge efficiency are those of each chemistry: what suits one harms another.
    """
    return tuple(_rival(chemistry, request, size, case) for chemistry in request.compare)


def _rival(chemistry: Chemistry, request: BankRequest, size: Callable[[BankRequest, Case], Bank], case: Case) -> Rival:
    asked = replace(
        request, chemistry=chemistry, unit=None, owned=(), compare=(), prices=None, depth_of_discharge=None, discharge_efficiency=None,
        calendar_years=None,
    )
    beside = case.beside()
    bank = size(asked, beside)
    case.take_assumptions(beside)
    return Rival(
        chemistry, bank.outcome, bank.why, bank.unit, bank.series, bank.parallel, bank.governed_by, bank.rated_energy_wh, bank.usable_energy_wh,
        bank.usable_energy_aged_wh, bank.mass_kg, None if bank.life is None else bank.life.life_years,
    )


def same_label(bank: Bank, request: BankRequest, case: Case) -> tuple[SameLabel, ...]:
    """What the ampere-hours of the sized bank would hold and give in each chemistry, its own among them."""
    kinds = dict.fromkeys((request.chemistry, *request.compare))
    return tuple(_labelled(chemistry, bank, request, case) for chemistry in kinds)


def _labelled(chemistry: Chemistry, bank: Bank, request: BankRequest, case: Case) -> SameLabel:
    known, need = properties(case.library, chemistry), bank.need
    voltage = cells_voltage(known.cells[int(request.nominal_voltage_v)], known.cell_voltage_v)
    rated = bank_energy(bank.capacity_ah, voltage)
    factor = capacity_factor(known, need.bank_temperature_c)
    if factor is None:
        return SameLabel(chemistry, rated, None, None, None, None)
    if chemistry == request.chemistry:
        depth, efficiency = need.depth_of_discharge, need.discharge_efficiency
    else:
        depth, efficiency = case.assume(f"depth_of_discharge_{known.family}"), case.assume(f"discharge_efficiency_{known.family}")
    new = usable_energy(rated, depth, factor, efficiency)
    aged = usable_energy_aged(new, need.ageing_factor)
    if request.discharge_current_a is None:
        return SameLabel(chemistry, rated, new, aged, None, None)
    exponent = known.peukert_exponent
    if known.lithium:
        exponent = case.chosen(1, "peukert_exponent", "lithium cells give their rated capacity at every permitted rate")
    left = available_capacity(bank.capacity_ah, known.rated_hours, request.discharge_current_a, exponent)
    fast = usable_energy(bank_energy(left, voltage), depth, factor, efficiency)
    return SameLabel(chemistry, rated, new, aged, fast, usable_energy_aged(fast, need.ageing_factor))
