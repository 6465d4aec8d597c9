"""How a source fills the bank: from the current that it can give to hours, balance and energy a day."""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case, no_less, no_more
from ...working import at_least, at_most
from .charging_formulas import (
    bulk_charge, charge_power, energy_a_day, hours_of_bulk, hours_of_taper, hours_to_full, load_current, mean_alternating,
    mean_direct, mean_load, rest_charge, stored_in_bulk, stored_while_there,
)
from .model import BankFacts, Charging, LoadFacts, Request


class Surroundings(Struct, frozen=True):
    """Bank and loads as every supply of one request meets them."""

    bank: BankFacts
    loads: LoadFacts
    case: Case
    return_factor: float
    absorption_hours: float
    mean_load_w: float
    mean_dc_w: float
    mean_ac_w: float
    bulk_ah: float
    rest_ah: float


def surroundings(bank: BankFacts, loads: LoadFacts, case: Case) -> Surroundings:
    """What is the same for every supply.

    Where the chemistry has no figure of its own the slowest of lead-acid stands in and is listed as an assumption.
    """
    start = f"absorption_start_{bank.chemistry}"
    begins = case.assume(start if start in case.library.tables["defaults"].index else "absorption_start")
    return Surroundings(
        bank=bank, loads=loads, case=case,
        return_factor=case.assume("return_factor", of_chemistry(bank, "return_factor", case)),
        absorption_hours=case.assume("absorption_hours", of_chemistry(bank, "absorption_hours", case)),
        mean_load_w=mean_load(loads.day_energy_wh), mean_dc_w=mean_direct(loads.dc_energy_wh),
        mean_ac_w=mean_alternating(loads.day_energy_wh, loads.dc_energy_wh),
        bulk_ah=bulk_charge(bank.bank_capacity_ah, begins, bank.depth_of_discharge),
        rest_ah=rest_charge(bank.bank_capacity_ah, bank.depth_of_discharge, begins),
    )


def of_chemistry(bank: BankFacts, parameter: str, case: Case) -> float | None:
    """A property of the bank's chemistry; None where none was found."""
    table = case.library.tables["chemistry_values"]
    row = table.index.get(f"{bank.chemistry}/{parameter}")
    return None if row is None else table.columns["value"][row]


def presence(request: Request, case: Case, pointer: str) -> tuple[float, float]:
    """Hours on a day on which the supply is there, and days a week on which it is."""
    if request.hours_per_day is None and case.house_rules.get("supply_hours_per_day") is None:
        case.note("supply-hours-missing", pointer, id=request.id)
    return case.assume("supply_hours_per_day", request.hours_per_day), case.assume("days_per_week", request.days_per_week)


def fill(
    s: Surroundings, setting_a: float, charging_a: float, voltage_v: float, load_w: float, balance_w: float, holds: bool,
    finishes: bool = True,
) -> Charging:
    """Hours from the depth of discharge to full while `load_w` takes its share of the charging current.

    `holds` tells whether the supply carries the mean load at all; a source that does not `finish` reaches
    absorption and no further. When the loads take all of the current there are no hours.
    """
    power = charge_power(charging_a, voltage_v)
    taken = load_current(load_w, voltage_v)
    bulk = taper = hours = None
    if not at_most(charging_a, taken):
        bulk = hours_of_bulk(s.bulk_ah, s.return_factor, charging_a, taken)
        if finishes:
            taper = hours_of_taper(s.absorption_hours, s.rest_ah, s.return_factor, charging_a, taken)
            hours = hours_to_full(bulk, taper)
    return Charging(
        charger_setting_a=setting_a, charging_a=charging_a, charging_voltage_v=voltage_v, charge_power_w=power,
        load_current_a=taken, bulk_hours=bulk, absorption_hours=taper, charge_hours=hours,
        walks_down=not (holds and at_least(power, load_w)), balance_w=balance_w,
    )


def energy(s: Surroundings, charging: Charging | None, carried_wh: float, hours: float, days: float) -> float:
    """What the supply stores and spares on the average day of a week, at the bank."""
    c = charging
    if c is None or c.bulk_hours is None:
        stored = s.case.chosen(0.0, "stored_ah", "no current is left for the bank")
    elif c.absorption_hours is None:
        stored = stored_in_bulk(hours, c.charging_a, c.load_current_a, s.return_factor, s.bulk_ah)
    else:
        stored = stored_while_there(
            hours, c.charging_a, c.load_current_a, s.return_factor, s.bulk_ah, s.rest_ah, c.bulk_hours, c.absorption_hours)
    return energy_a_day(stored, s.bank.bank_voltage_v, carried_wh, days)


def remark(s: Surroundings, request: Request, charging: Charging, pointer: str) -> None:
    """Findings on a charge that is too weak, does not end in its hours, or does not hold the bank."""
    note = s.case.note
    if charging.walks_down:
        note("bank-walks-down", pointer, id=request.id, balance=no_more(charging.balance_w, 0))
    floor = s.bank.charge_floor_a
    if floor is not None and not at_least(charging.charging_a, floor):
        note("charge-below-floor", pointer, id=request.id, current=no_more(charging.charging_a), floor=no_less(floor))
    given, needed = request.hours_per_day, charging.charge_hours
    if given is not None and needed is not None and not at_most(needed, given):
        note("charge-not-finished", pointer, id=request.id, needed=no_less(needed), given=float(given))
