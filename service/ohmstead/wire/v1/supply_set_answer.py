"""Supplies on their own: what is answered."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from ...electrical.conductors.formulas import load_voltage
from ...electrical.held import formulas as held_formulas
from ...electrical.legs import formulas as leg_formulas
from ...electrical.recharge.supply_formulas import limit_in_cold
from ...electrical.sharing.formulas import typical_resistance
from ...electrical.sources import charging_formulas, day_formulas, formulas
from ...electrical.sources import described as model
from ...electrical.storage import bank_formulas
from ...electrical.storage.chemistry import properties
from ...electrical.storage.formulas import factor_between
from ...reference.case import Case
from ...reference.practices import SIZES
from ...working import cited
from ..base import Amount, Answer, envelope, known_amount
from .checked import CheckAnswer, write_check
from .supplies import SupplyAnswer, fields_of


class CordAnswer(Struct, frozen=True):
    """The cord with one leg at the programmed limit and the other one idle; its conductors count as 75 degC warm."""

    drop: Annotated[Amount, Meta(description="Voltage drop of the leg with its neutral")]
    drop_fraction: Annotated[float, Meta(description="The same over the voltage of the leg")]
    voltage: Annotated[Amount | None, Meta(description="At the inlet, on a site that holds its nominal voltage; null where the cord cannot carry the limit at all")]
    heat: Annotated[Amount, Meta(description="Heat in the cord with every leg at the limit")]


class ConnectedSupplyAnswer(SupplyAnswer, frozen=True):
    """One supply, sized, and what a day on it is like."""

    arrangement: Annotated[model.Arrangement | None, Meta(description="How the legs of the inlet are fed: one hot; one hot on both legs, so that their currents add up in the neutral and there is no 240 V; one leg of two; two legs in opposition. Null without alternating-current side")]
    carried: Annotated[model.Carried | None, Meta(description="Whether it carries the loads that run together: all; with-the-bank: the inverter adds, see `supplement`; too-much: nothing adds. Null without alternating-current side")]
    supplement_time: Annotated[Amount | None, Meta(description="For how long a full bank adds what is missing while all of them run; null where nothing is added")]
    empty_in: Annotated[Amount | None, Meta(description="From a full bank to its depth of discharge with the supply on and the loads of an average hour; null where the bank holds")]
    day_balance: Annotated[Amount | None, Meta(description="Energy that it stores or spares on the average day of a week, less what the loads take; null where its hours are not given")]
    cord: Annotated[CordAnswer | None, Meta(description="The cord; null where none is given")]


class BankOnSupplies(Struct, frozen=True):
    """The bank as the chargers meet it."""

    capacity: Annotated[Amount, Meta(description="Rated capacity")]
    usable: Annotated[Amount | None, Meta(description="Usable energy of the new bank; null in such cold that no capacity of the chemistry is known")]
    charging_voltage: Annotated[Amount, Meta(description="Absorption voltage at its temperature")]
    limit: Annotated[Amount, Meta(description="Largest charging current, all chargers together")]
    floor: Annotated[Amount | None, Meta(description="Charging current below which it is never properly filled; null where the chemistry does not care")]


class TogetherAnswer(Struct, frozen=True):
    """Everything that can charge at once: the strongest alternating-current supply, alternators, controllers."""

    current: Annotated[Amount, Meta(description="Sum of the charging currents")]
    check: Annotated[CheckAnswer, Meta(description="Against the bank's limit")]


class SizedSupplies(Struct, frozen=True):
    """All supplies, or what stands in the way."""

    outcome: Annotated[model.Outcome, Meta(description="sized: every supply has a charger. nothing-fits: at least one has none, or there is no such bank. forbidden: out of the temperatures for charging")]
    why: Annotated[str, Meta(description="Why not; empty when sized")]
    failed: Annotated[CheckAnswer | None, Meta(description="The check of the bank that stands in the way")]
    bank: Annotated[BankOnSupplies | None, Meta(description="The bank; null when there is no such bank or it may not be charged")]
    day_energy: Annotated[Amount, Meta(description="Energy of a day at the bank, all loads")]
    supplies: Annotated[list[ConnectedSupplyAnswer], Meta(description="Each supply in its order: what to program, what runs, how long charging takes")]
    charge_total: Annotated[TogetherAnswer | None, Meta(description="All chargers together; null when there is none")]


class SuppliesAnswer(Answer):
    """Supplies sized."""

    supplies: Annotated[SizedSupplies, Meta(description="The supplies")]


CAUTIONS = (
    "This is a calculation aid, not an inspection; the local code and the authority decide, and licensed practice applies.",
    "A programmed limit protects no conductor and no contact; breakers do. Two adapters are never joined to gain a second leg.",
    "Sites sag: measure the voltage at the inlet under load before long use, and ask the maker of a generator for its own derating.",
    "Hours to full are an estimate; lead-acid is full when its current has fallen and stays, not when a time is over.",
)

_SOURCES = (
    *cited(formulas, charging_formulas, day_formulas, leg_formulas, held_formulas, bank_formulas),
    *[used.formula.citation for used in (load_voltage, limit_in_cold, typical_resistance, factor_between)],
)


def write(supplied: model.Supplied, case: Case) -> SuppliesAnswer:
    """The answer."""
    s, tables = supplied, case.library.tables
    bank, total = s.bank, s.total
    checks = [check for connected in s.supplies for check in connected.supply.checks]
    constants = tables["constants"]
    sources = [
        *properties(case.library, s.chemistry).citations,
        *[citation for name in ("shore_services", "charger_ratings", "dc_dc_ratings", "chemistry_values") for citation in tables[name].citations],
        *[citation for size in SIZES.values() for citation in tables[size.table].citations if any(connected.cord for connected in s.supplies)],
        *[constants.citation_of_row[constants.row(name)] for name in ("reference_temperature_c", "cold_charge_below_c", "cold_charge_rate")],
        *[check.rule.clause for check in checks], *_SOURCES,
    ]
    sources += [check.rule.clause for check in (s.failed, total and total.check) if check is not None]
    answer = SizedSupplies(
        outcome=s.outcome, why=s.why, failed=s.failed and write_check(s.failed),
        bank=None if bank is None else BankOnSupplies(
            Amount(bank.facts.bank_capacity_ah, "Ah"), known_amount(bank.usable_energy_wh, "Wh"), Amount(bank.facts.absorption_v, "V"),
            Amount(bank.facts.charge_limit_a, "A"), known_amount(bank.facts.charge_floor_a, "A")),
        day_energy=Amount(s.day_energy_wh, "Wh"), supplies=[_connected(connected) for connected in s.supplies],
        charge_total=None if total is None else TogetherAnswer(Amount(total.charge_current_a, "A"), write_check(total.check)),
    )
    return SuppliesAnswer(supplies=answer, **envelope(case, sources, CAUTIONS))


def _connected(connected: model.Connected) -> ConnectedSupplyAnswer:
    cord = connected.cord
    return ConnectedSupplyAnswer(
        **fields_of(connected.supply), arrangement=connected.arrangement, carried=connected.carried,
        supplement_time=known_amount(connected.supplement_hours, "h"), empty_in=known_amount(connected.empty_hours, "h"),
        day_balance=known_amount(connected.balance_wh, "Wh"),
        cord=None if cord is None else CordAnswer(
            Amount(cord.drop_v, "V"), cord.drop_fraction, known_amount(cord.voltage_v, "V"), Amount(cord.heat_w, "W")),
    )
