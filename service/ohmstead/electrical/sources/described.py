"""Supplies as a caller describes them: a bank that is there, the loads of a day, cords, adapters and the rules of a practice."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...reference.case import Case, no_less, no_more
from ...reference.practices import Practice
from ...working import Check, at_least, at_most
from ..conductors.formulas import load_voltage
from ..held.model import Held, HeldRequest, NotHeld
from ..held.sizing import hold, say_assumed
from ..legs.described import Cord, wires_of
from ..legs.formulas import cord_heat, leg_drop_alone, leg_drop_share
from ..legs.sizing import DROP
from ..recharge.sizing import charging_limit, charging_temperatures, charging_voltage, why_forbidden
from ..storage.bank_formulas import usable_energy
from ..storage.chemistry import capacity_factor
from .charging_formulas import mean_direct
from .day_formulas import day_balance, day_energy, hours_of_supplement, hours_to_empty, running_on_legs
from .model import AlternatingSide, BankFacts, ChargerFacts, ChargeTotal, LegLoads, LoadFacts, Request, Shore, Side, Supply
from .sizing import charging_together, check_total_charge, size_supplies

Arrangement = Literal["one-hot", "one-hot-on-both-legs", "one-leg-of-two", "split-phase"]
Carried = Literal["all", "with-the-bank", "too-much"]
Outcome = Literal["sized", "nothing-fits", "forbidden"]


class Together(Struct, frozen=True):
    """Loads that run together, by apparent power."""

    running_va: float | None = None
    shore_va: float | None = None
    """Of them, not counted in `running_va`: loads ahead of the inverter, that only shore or a generator serves."""


class Legs(Struct, frozen=True):
    """Loads that run together, by their currents on two legs."""

    leg_1_a: float
    leg_2_a: float | None = None


class Loads(Struct, frozen=True):
    """The loads of a day; None where nothing of the kind is there."""

    ac_energy_wh: float
    dc_energy_wh: float
    together: Together | Legs
    start_increment_va: float | None = None
    loads_240: tuple[str, ...] = ()


class Described(Struct, frozen=True):
    """The request with what has to be looked up."""

    practice: str
    supplies: tuple[Request, ...]
    cords: tuple[Cord | None, ...]
    """As many as supplies."""
    bank: HeldRequest
    depth_of_discharge: float | None
    loads: Loads
    charger: ChargerFacts
    controllers_a: tuple[float, ...] = ()
    """Output currents of charge controllers and other chargers that are there beside."""


class CordEnd(Struct, frozen=True):
    """A cord at the limit of its supply on one leg, the other one idle."""

    drop_v: float
    drop_fraction: float
    voltage_v: float | None
    """At the inlet; None where the cord cannot carry the limit at all."""
    heat_w: float
    """In all conductors with every leg at the limit."""


class Connected(Struct, frozen=True):
    """A supply and what follows from it for a day."""

    supply: Supply
    arrangement: Arrangement | None
    carried: Carried | None
    """Whether it carries the loads that run together; None for an alternator and for what must not be connected."""
    supplement_hours: float | None
    empty_hours: float | None
    """From a full bank, the supply on; None where the bank holds."""
    balance_wh: float | None
    """On the average day of a week; None where its hours are not given."""
    cord: CordEnd | None


class Bank(Struct, frozen=True):
    """The bank as the supplies meet it."""

    facts: BankFacts
    usable_energy_wh: float | None
    """New; None in such cold that no capacity of the chemistry is known."""


class Supplied(Struct, frozen=True):
    """All supplies, or why nothing is charged."""

    outcome: Outcome
    why: str
    failed: Check | None
    chemistry: str
    bank: Bank | None
    day_energy_wh: float
    supplies: tuple[Connected, ...]
    total: ChargeTotal | None


def size_described(described: Described, case: Case) -> Supplied:
    """Size the supplies and say what a day on each of them is like.

    A bank that no series count makes is `nothing-fits`; one out of the temperatures for charging is `forbidden`. Of
    several alternating-current supplies only one is connected at a time, so the strongest counts beside the others.
    """
    day = day_energy(described.loads.ac_energy_wh, described.loads.dc_energy_wh)
    chemistry = described.bank.chemistry
    held = hold(described.bank, case)
    if isinstance(held, NotHeld):
        return Supplied("nothing-fits", held.why, held.failed, chemistry, None, day, (), None)
    failed = next((check for check in charging_temperatures(held, case) if not check.passed), None)
    if failed is not None:
        return Supplied("forbidden", why_forbidden(held), failed, chemistry, None, day, (), None)
    practice = case.library.practices[described.practice]
    bank = _bank(described, held, case)
    loads = _loads(described.loads, day, practice, case)
    side = Side(practice.line_voltage_v, practice.continuous_share)
    found = size_supplies(described.supplies, bank.facts, loads, case, described.charger, side)
    connected = tuple(
        _connected(supply, request, cord, described, bank, loads, practice, f"/supplies/{position}", case)
        for position, (supply, request, cord) in enumerate(zip(found, described.supplies, described.cords))
    )
    outcome: Outcome = "sized" if all(supply.outcome == "sized" for supply in found) else "nothing-fits"
    why = "" if outcome == "sized" else "At least one supply has no charger that fits; it says why."
    return Supplied(outcome, why, None, chemistry, bank, day, connected, _total(found, described, bank, case))


def _bank(described: Described, held: Held, case: Case) -> Bank:
    known, temperature = held.known, held.bank_temperature_c
    say_assumed(held.charging_assumed, case)
    depth = case.assume(f"depth_of_discharge_{known.family}", described.depth_of_discharge)
    if not at_most(depth, known.largest_depth):
        case.note("depth-beyond-chemistry", "/depth_of_discharge", given=float(depth), limit=float(known.largest_depth))
    limit, _ = charging_limit(held, case)
    facts = BankFacts(
        chemistry=known.chemistry, bank_voltage_v=case.chosen(described.bank.nominal_voltage_v, "bank_voltage_v", "nominal voltage of the system"),
        bank_capacity_ah=held.capacity_ah, depth_of_discharge=depth, absorption_v=charging_voltage(held, case), charge_limit_a=limit,
        charge_floor_a=held.charge_floor_a,
    )
    factor = capacity_factor(known, temperature)
    if factor is None:
        return Bank(facts, None)
    return Bank(facts, usable_energy(held.rated_energy_wh, depth, factor, case.assume(f"discharge_efficiency_{known.family}")))


def _loads(loads: Loads, day_wh: float, practice: Practice, case: Case) -> LoadFacts:
    def known(given: float | None, term: str) -> float:
        return case.chosen(0.0, term, "nothing of the kind is named") if given is None else given

    together, legs = loads.together, None
    if isinstance(together, Legs):
        legs = LegLoads(together.leg_1_a, known(together.leg_2_a, "leg_2_a"))
        running, shore = running_on_legs(practice.line_voltage_v, legs.leg_1_a, legs.leg_2_a), known(None, "shore_va")
    else:
        running, shore = known(together.running_va, "running_va"), known(together.shore_va, "shore_va")
    return LoadFacts(
        day_energy_wh=day_wh, dc_energy_wh=loads.dc_energy_wh, running_va=running,
        start_increment_va=known(loads.start_increment_va, "start_increment_va"), shore_va=shore, loads_240=loads.loads_240, legs=legs,
    )


def _connected(
    supply: Supply, request: Request, cord: Cord | None, described: Described, bank: Bank, loads: LoadFacts, practice: Practice,
    pointer: str, case: Case,
) -> Connected:
    side, charging, usable = supply.alternating, supply.charging, bank.usable_energy_wh
    arrangement = carried = adding = empty = balance = end = None
    if side is not None:
        arrangement = _arrangement(request, side, case)
        if arrangement == "one-leg-of-two":
            case.note("one-leg-of-two", pointer, id=request.id, limit=no_more(side.supply_limit_a), volts=float(side.supply_voltage_v))
        carried = _carried(supply, side, described.charger)
        if carried == "with-the-bank" and usable is not None:
            adding = hours_of_supplement(
                usable, side.supplement_w, case.assume("inverter_efficiency"), mean_direct(loads.dc_energy_wh))
        if cord is not None:
            end = _cord_end(cord, request, side, practice, pointer, case)
    if usable is not None and charging is not None and charging.walks_down and not at_least(charging.balance_w, 0.0):
        empty = hours_to_empty(usable, charging.balance_w)
    if request.hours_per_day is not None:
        balance = day_balance(supply.energy_wh, loads.day_energy_wh)
    return Connected(supply, arrangement, carried, adding, empty, balance, end)


def _arrangement(request: Request, side: AlternatingSide, case: Case) -> Arrangement:
    if side.has_240:
        return "split-phase"
    adapter = request.adapter if isinstance(request, Shore) else None
    if adapter is None:
        return "one-hot"
    if adapter.inlet_legs > 1:
        return "one-hot-on-both-legs"
    return "one-leg-of-two" if case.library.tables["shore_services"].cell(request.service, "legs") > 1 else "one-hot"


def _carried(supply: Supply, side: AlternatingSide, charger: ChargerFacts) -> Carried:
    """An inverter-charger adds to its supply what loads behind it ask; loads ahead of it have the supply alone."""
    if next(check for check in supply.checks if check.rule.name == "loads-within-supply").passed:
        return "all"
    return "with-the-bank" if charger.kind == "inverter-charger" and not at_most(side.program_a, 0.0) else "too-much"


def _cord_end(cord: Cord, request: Request, side: AlternatingSide, practice: Practice, pointer: str, case: Case) -> CordEnd:
    """The drop at the limit on one leg, out by its conductor and back by the neutral: with both legs loaded it is no more."""
    wires, limit = wires_of(cord, case), side.supply_limit_a
    drop = leg_drop_alone(limit, wires.leg_resistance_ohm, wires.neutral_resistance_ohm)
    share = leg_drop_share(drop, side.supply_voltage_v)
    idle = case.chosen(0.0, "leg_2_a", "idle")
    if side.has_240:
        heat = cord_heat(limit, limit, idle, wires.leg_resistance_ohm, wires.neutral_resistance_ohm)
    else:
        heat = cord_heat(limit, idle, limit, wires.leg_resistance_ohm, wires.neutral_resistance_ohm)
    voltage = None if at_least(drop, side.supply_voltage_v) else load_voltage(side.supply_voltage_v, drop)
    allowed = case.assume(practice.source("shore-inlet").drop_limit_default, cord.drop_limit)
    check = DROP.check(share, allowed)
    if not check.passed:
        left = 0.0 if voltage is None else no_more(voltage, 1)
        case.note("cord-drop", f"{pointer}/cord", id=request.id, current=no_more(limit), drop=no_less(drop, 1), left=left)
    breaker = side.supply_breaker_a
    case.note("cord-ampacity-not-judged", f"{pointer}/cord", id=request.id, breaker=float(limit if breaker is None else breaker))
    return CordEnd(drop, share, voltage, heat)


def _total(found: tuple[Supply, ...], described: Described, bank: Bank, case: Case) -> ChargeTotal | None:
    together = [*charging_together(found), *described.controllers_a]
    return check_total_charge(together, bank.facts, case) if together else None
