"""Size every supply of a dwelling: what to program, which charger, what runs beside it, how long charging takes."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from ...nomenclature import TERMS
from ...reference.case import Case, no_less, no_more
from ...reference.citations import cite
from ...working import Check, Choice, Rule, at_least, at_most
from .alternator import size_alternator
from .charging import Surroundings, energy, fill, presence, remark, surroundings
from .charging_formulas import (
    balance_charging, balance_supplemented, carried_by_supply, charge_power, charger_carried, charger_input, charger_setting,
    charger_va, largest_charger, least_charger, left_over, throttled, total_charge,
)
from .formulas import (
    adapter_limit, altitude_left, derated_generator, generator_endless, generator_leg, generator_limit, generator_start, generator_watts,
    heat_left, heavier_leg, joined_legs, leg_current, leg_power, nameplate_current, neutral_in_phase, neutral_opposed, programmed_beside, programmed_limit, relay_limit,
    running_asked, start_asked, strictest_heat, supplement, supply_power,
)
from .model import (
    Alternator, AlternatingSide, BankFacts, ByApparentPower, Charger, ChargerFacts, ChargeTotal, Generator, LoadFacts, Request,
    Shore, Side, Supply,
)

CHARGER_BANK = Rule(
    "charge-within-bank-limit", TERMS["charger_current_a"], "at most", TERMS["charge_limit_a"], cite("battery-trade-literature"))
CHARGER_SUPPLY = Rule("charger-within-supply", TERMS["charger_input_a"], "at most", TERMS["supply_limit_a"], cite("nec-210-19"))
LOADS = Rule("loads-within-supply", TERMS["leg_asked_a"], "at most", TERMS["supply_limit_a"], cite("nec-210-19"))
NEUTRAL = Rule("neutral-within-breaker", TERMS["neutral_a"], "at most", TERMS["supply_breaker_a"], cite("nec-240-4"))
CONTACTS = Rule("breaker-protects-adapter", TERMS["supply_breaker_a"], "at most", TERMS["contact_limit_a"], cite("nec-240-4"))
NEUTRAL_CONTACT = Rule("neutral-within-adapter", TERMS["neutral_a"], "at most", TERMS["contact_limit_a"], cite("nec-240-4"))
RELAY = Rule("relay-carries-supply", TERMS["supply_breaker_a"], "at most", TERMS["transfer_rating_a"], cite("nec-551"))
START = Rule("start-within-generator", TERMS["start_asked_va"], "at most", TERMS["generator_start_va"], cite("generator-manuals"))
TOGETHER = Rule(
    "chargers-together-within-bank-limit", TERMS["charge_total_a"], "at most", TERMS["charge_limit_a"],
    cite("battery-trade-literature"))

_MARGIN = cite("common-practice", "a fifth of a breaker kept in hand")
_ELSEWHERE = {rule.name: replace(rule, clause=_MARGIN) for rule in (CHARGER_SUPPLY, LOADS)}
"""The same demands where no code prints them."""

_ONE_CHARGER = ChargerFacts()
_ANY_SIDE = Side()
_GENERATORS = {"120": (120.0, 1.0), "120-240": (120.0, 2.0), "230": (230.0, 1.0)}
"""Voltage from line to neutral and live legs of a generator, by its wiring."""


class _Inlet(Struct, frozen=True):
    """A supply before anything is plugged into it."""

    request: Shore | Generator
    pointer: str
    voltage_v: float
    legs: float
    breaker_a: float | None
    limit_a: float
    leg_power_w: float
    power_w: float
    generator_w: float | None
    nameplate_a: float | None
    allowed_a: float
    """Charger output that leg 1 carries with nothing else on it."""
    program_a: float
    share: str
    """Name of the documented default for the share of a breaker that counts."""
    inverter_w: float
    """Of leg 1 for the inverter-charger: at the programmed limit, which loads ahead of it lower."""


def size_supplies(
    requests: Sequence[Request], bank: BankFacts, loads: LoadFacts, case: Case, charger: ChargerFacts = _ONE_CHARGER,
    side: Side = _ANY_SIDE,
) -> tuple[Supply, ...]:
    """Size every supply, in the order in which they were asked for.

    The rule of choice: one charger serves all alternating-current supplies, the largest made that the bank accepts
    and that the strongest of them carries, and is turned down on the weaker ones; each alternator has a DC-DC
    charger of its own. Where no rating fits the supply still runs loads and its outcome is `nothing-fits`. A supply of
    another voltage than the dwelling's serves nothing.
    """
    s = surroundings(bank, loads, case)
    efficiency = power_factor = None
    if any(not isinstance(request, Alternator) for request in requests):
        efficiency, power_factor = case.assume("charger_efficiency"), case.assume("charger_power_factor")
    other = {position for position, request in enumerate(requests) if not isinstance(request, Alternator) and not fits(request, side, case)}
    inlets = [
        None if isinstance(request, Alternator) or position in other
        else _inlet(request, s, charger, side, efficiency, power_factor, f"/supplies/{position}")
        for position, request in enumerate(requests)
    ]
    present = [inlet for inlet in inlets if inlet is not None]
    found, failed = _charger(present, s, charger, efficiency, power_factor) if present else (None, None)
    if present and charger.kind == "stand-alone" and loads.running_va > 0:
        case.note("charger-ahead-of-inverter", "")
    two_legs = bool(loads.loads_240 or loads.legs or any(inlet.legs > 1 for inlet in present))
    return tuple(
        _other_voltage(request, side, s, f"/supplies/{position}") if position in other
        else size_alternator(request, s, f"/supplies/{position}") if inlet is None
        else _alternating(inlet, s, charger, found, failed, efficiency, power_factor, two_legs)
        for position, (request, inlet) in enumerate(zip(requests, inlets))
    )


def charging_together(supplies: Sequence[Supply]) -> list[float]:
    """Output currents, as programmed, of the chargers that can run at once: of alternating-current supplies one is connected, the strongest counts."""
    charging = [supply for supply in supplies if supply.charging is not None]
    alternating = [supply.charging.charger_setting_a for supply in charging if supply.alternating is not None]
    strongest = [max(alternating)] if alternating else []
    return strongest + [supply.charging.charger_setting_a for supply in charging if supply.alternating is None]


def check_total_charge(currents_a: Sequence[float], bank: BankFacts, case: Case) -> ChargeTotal:
    """All chargers that can run at once, the array's controllers among them, against what the bank accepts.

    `currents_a` are output currents as programmed; there must be at least one.
    """
    total = total_charge(*currents_a)
    check = TOGETHER.check(total, bank.charge_limit_a)
    if not check.passed:
        case.note("chargers-together", "", total=no_less(total), limit=no_more(bank.charge_limit_a))
    return ChargeTotal(total, check)


def _inlet(
    request: Shore | Generator, s: Surroundings, charger: ChargerFacts, of: Side, efficiency: float, power_factor: float, pointer: str
) -> _Inlet:
    case = s.case
    breaker = generator = nameplate = None
    if isinstance(request, Shore):
        services = case.library.tables["shore_services"]
        breaker, voltage = services.cell(request.service, "breaker_a"), services.cell(request.service, "voltage_v")
        legs = services.cell(request.service, "legs")
        limit = programmed_limit(breaker, case.assume(of.continuous_share))
        adapter = request.adapter
        if adapter is not None:
            if adapter.inlet_legs < legs:
                legs = case.chosen(1.0, "legs", "the adapter passes one leg", adapter.inlet_legs)
            if adapter.contact_limit_a is not None:
                limit = adapter_limit(limit, case.assume(of.continuous_share), adapter.contact_limit_a)
    else:
        volts, live = _GENERATORS[request.wiring]
        voltage = case.chosen(volts, "supply_voltage_v", f"line to neutral of a generator wired {request.wiring} V")
        legs = case.chosen(live, "legs", f"generator wired {request.wiring} V")
        generator = _generator_power(request, case)
        rating = request.rating
        rated = rating.apparent_power_va if isinstance(rating, ByApparentPower) else rating.generator_rating_w
        nameplate = nameplate_current(rated, legs, voltage)
        endless = generator_endless(generator, case.assume("generator_continuous_share"))
        limit = generator_limit(generator_leg(endless, legs), voltage)
    if charger.kind == "inverter-charger" and charger.transfer_rating_a is not None:
        limit = relay_limit(limit, case.assume(of.continuous_share), charger.transfer_rating_a)
    power = leg_power(limit, voltage)
    program, left = limit, power
    if charger.kind == "inverter-charger" and legs == 1 and s.loads.shore_va > 0:
        program = programmed_beside(limit, s.loads.shore_va, voltage)
        left = leg_power(program, voltage)
    return _Inlet(
        request, pointer, voltage, legs, breaker, limit, power, supply_power(power, legs), generator, nameplate,
        charger_carried(power, efficiency, power_factor, s.bank.absorption_v), program, of.continuous_share, left,
    )


def _by(rule: Rule, inlet: _Inlet) -> Rule:
    """The demand with its clause where the practice has one."""
    return rule if inlet.share == Side().continuous_share else _ELSEWHERE[rule.name]


def _volts(request: Shore | Generator, case: Case) -> float:
    """Line to neutral."""
    if isinstance(request, Generator):
        return _GENERATORS[request.wiring][0]
    return case.library.tables["shore_services"].cell(request.service, "voltage_v")


def fits(request: Shore | Generator, side: Side, case: Case) -> bool:
    """Whether a supply has the voltage of the dwelling's alternating-current side."""
    return side.line_voltage_v is None or float(_volts(request, case)) == float(side.line_voltage_v)


def _other_voltage(request: Shore | Generator, side: Side, s: Surroundings, pointer: str) -> Supply:
    """A supply that must not be connected: nothing is programmed for it and no balance counts on it."""
    case, volts, made = s.case, float(_volts(request, s.case)), float(side.line_voltage_v)
    case.note("supply-voltage-differs", pointer, id=request.id, volts=volts, made=made)
    hours, days = presence(request, case, pointer)
    nothing = case.chosen(0.0, "supply_energy_wh", "a supply of another voltage is never connected")
    return Supply(request.id, _kind(request), "nothing-fits", hours, days, nothing, None, None, None, None, (),
                  why=f"It gives {volts:g} V, and the practice is one of {made:g} V: it must not be connected.")


def _generator_power(request: Generator, case: Case) -> float:
    """Power at the altitude and temperature of the site by the strictest rules found."""
    rating = request.rating
    if isinstance(rating, ByApparentPower):
        rated = generator_watts(rating.apparent_power_va, case.assume("generator_power_factor", rating.rating_power_factor))
    else:
        rated = rating.generator_rating_w
    altitude = altitude_left(
        case.assume("altitude_m", request.altitude_m), case.assume("generator_derate_start_m"), case.assume("generator_derate_per_m"))
    ambient = case.assume("ambient_c", request.ambient_c)
    heat = strictest_heat(
        heat_left(ambient, case.assume("generator_derate_start_c"), case.assume("generator_derate_per_k")),
        heat_left(ambient, case.assume("generator_derate_mild_start_c"), case.assume("generator_derate_mild_per_k")),
    )
    return derated_generator(rated, altitude, heat)


def _charger(
    inlets: list[_Inlet], s: Surroundings, facts: ChargerFacts, efficiency: float, power_factor: float
) -> tuple[Charger | None, Check | None]:
    """The one charger of all alternating-current supplies, or the check that the smallest made fails."""
    case, bank = s.case, s.bank
    if facts.charger_current_a is not None:
        if not at_most(facts.charger_current_a, bank.charge_limit_a):
            case.note("charger-above-bank", "", rating=float(facts.charger_current_a), limit=float(bank.charge_limit_a))
        return Charger(facts.kind, facts.charger_current_a, given=True), None
    best = largest_charger(*[inlet.allowed_a for inlet in inlets])
    strongest = next(inlet for inlet in inlets if inlet.allowed_a == best)
    allowed = least_charger(best, bank.charge_limit_a)

    def checks(rating: float) -> tuple[Check, ...]:
        drawn = charger_input(charger_va(rating, bank.absorption_v, efficiency, power_factor), strongest.voltage_v)
        return CHARGER_BANK.check(rating, bank.charge_limit_a), _by(CHARGER_SUPPLY, strongest).check(drawn, strongest.limit_a)

    columns = case.library.tables["charger_ratings"].columns
    made = [rating for volts, rating in zip(columns["bank_voltage_v"], columns["current_a"]) if volts == bank.bank_voltage_v]
    fitting = [rating for rating in made if at_most(rating, allowed)]
    if not fitting:
        smallest = made[0]
        case.note("no-charger-fits", "", id="the charger", smallest=float(smallest), allowed=float(allowed))
        return None, next(check for check in checks(smallest) if not check.passed)
    rating = fitting[-1]
    governed = CHARGER_BANK.name if at_most(bank.charge_limit_a, best) else CHARGER_SUPPLY.name
    return Charger(facts.kind, rating, given=False, choice=Choice("charger", f"{rating:g} A", governed, checks(rating))), None


def _alternating(
    inlet: _Inlet, s: Surroundings, facts: ChargerFacts, charger: Charger | None, failed: Check | None, efficiency: float,
    power_factor: float, two_legs: bool,
) -> Supply:
    case, request = s.case, inlet.request
    hours, days = presence(request, case, inlet.pointer)
    side, checks = _side(inlet, s, facts, two_legs)
    if charger is None:
        nothing = case.chosen(0.0, "charge_power_w", "no charger fits")
        carried = carried_by_supply(hours, nothing, s.mean_dc_w, inlet.inverter_w, s.mean_ac_w)
        return Supply(
            request.id, _kind(request), "nothing-fits", hours, days, energy(s, None, carried, hours, days), AlternatingSide(**side),
            None, None, None, tuple(checks), failed, "No charger that is made is small enough for this bank and these supplies.",
        )
    allowed = charger_carried(inlet.inverter_w, efficiency, power_factor, s.bank.absorption_v)
    setting = charger_setting(charger.charger_current_a, least_charger(allowed, s.bank.charge_limit_a))
    if not at_least(setting, charger.charger_current_a):
        case.note("charger-turned-down", inlet.pointer, id=request.id, rating=float(charger.charger_current_a), setting=no_more(setting))
    taken = charger_va(setting, s.bank.absorption_v, efficiency, power_factor)
    drawn = charger_input(taken, inlet.voltage_v)
    left = left_over(inlet.inverter_w, taken)
    side.update(charger_input_a=drawn, charger_input_va=taken, left_va=left)
    checks += [CHARGER_BANK.check(setting, s.bank.charge_limit_a), _by(CHARGER_SUPPLY, inlet).check(drawn, inlet.program_a)]

    charging_a = throttled(setting, inlet.inverter_w, s.mean_ac_w, efficiency, power_factor, s.bank.absorption_v)
    holds = at_least(inlet.inverter_w, s.mean_ac_w)
    if holds:
        balance = balance_charging(charge_power(charging_a, s.bank.absorption_v), s.mean_dc_w)
    else:
        balance = balance_supplemented(inlet.inverter_w, s.mean_ac_w, case.assume("inverter_efficiency"), s.mean_dc_w)
    charging = fill(s, setting, charging_a, s.bank.absorption_v, s.mean_dc_w, balance, holds)
    remark(s, request, charging, inlet.pointer)
    carried = carried_by_supply(hours, charging.charge_power_w, s.mean_dc_w, inlet.inverter_w, s.mean_ac_w)
    return Supply(
        request.id, _kind(request), "sized", hours, days, energy(s, charging, carried, hours, days), AlternatingSide(**side), None,
        charger, charging, tuple(checks),
    )


def _side(inlet: _Inlet, s: Surroundings, facts: ChargerFacts, two_legs: bool) -> tuple[dict, list[Check]]:
    """What runs on the supply with the charger at rest, and the checks on it."""
    case, loads, request, pointer = s.case, s.loads, inlet.request, inlet.pointer
    asked_va = running_asked(loads.running_va, loads.shore_va)
    neutral, checks = None, []
    if loads.legs is None:
        asked_a = leg_current(asked_va, inlet.voltage_v)
    elif inlet.legs > 1:
        asked_a = heavier_leg(loads.legs.leg_1_a, loads.legs.leg_2_a)
        neutral = neutral_opposed(loads.legs.leg_1_a, loads.legs.leg_2_a)
    else:
        asked_a = joined_legs(loads.legs.leg_1_a, loads.legs.leg_2_a)
        neutral = neutral_in_phase(loads.legs.leg_1_a, loads.legs.leg_2_a)
    checks.append(_by(LOADS, inlet).check(asked_a, inlet.limit_a))
    added = supplement(leg_power(asked_a, inlet.voltage_v), inlet.leg_power_w)
    if not checks[0].passed:
        case.note("loads-exceed-supply", pointer, id=request.id, asked=no_less(asked_a), limit=no_more(inlet.limit_a), added=no_less(added, 0))
    if neutral is not None and inlet.breaker_a is not None:
        checks.append(NEUTRAL.check(neutral, inlet.breaker_a))
    adapter = request.adapter if isinstance(request, Shore) else None
    if adapter is not None and adapter.contact_limit_a is not None:
        checks += _contacts(inlet.breaker_a, neutral, adapter.contact_limit_a, pointer, case)
    if inlet.breaker_a is not None and facts.kind == "inverter-charger" and facts.transfer_rating_a is not None and not facts.relay_protected:
        relay = RELAY.check(inlet.breaker_a, facts.transfer_rating_a)
        checks.append(relay)
        if not relay.passed:
            case.note("relay-below-supply", pointer, id=request.id, breaker=float(inlet.breaker_a), relay=float(facts.transfer_rating_a))
    if inlet.generator_w is not None:
        share = case.assume("generator_share")
        start = START.check(start_asked(asked_va, loads.start_increment_va), generator_start(inlet.generator_w, share, inlet.legs))
        checks.append(start)
        if not start.passed:
            case.note("generator-start-too-small", pointer, id=request.id, asked=float(start.actual), given=float(start.limit))
    if inlet.legs == 1 and (two_legs if adapter is None else adapter.inlet_legs > 1):
        case.note("one-hot-on-both-legs", pointer, id=request.id, limit=no_more(inlet.limit_a))
    dead = loads.loads_240 if inlet.legs == 1 else ()
    if dead:
        case.note("supply-without-240", pointer, id=request.id, dead=", ".join(dead))
    if facts.kind == "inverter-charger" and not at_least(inlet.program_a, inlet.limit_a):
        case.note("loads-ahead-of-inverter", pointer, id=request.id, limit=no_more(inlet.limit_a), program=no_more(inlet.program_a))
    side = dict(
        supply_voltage_v=inlet.voltage_v, program_a=inlet.program_a, legs=inlet.legs, supply_breaker_a=inlet.breaker_a,
        generator_current_a=inlet.nameplate_a, supply_limit_a=inlet.limit_a,
        leg_power_w=inlet.leg_power_w, supply_power_w=inlet.power_w, charger_input_a=None, charger_input_va=None, left_va=None,
        supplement_w=added, neutral_a=neutral, has_240=inlet.legs > 1, dead_loads=dead,
    )
    return side, checks


def _contacts(breaker: float, neutral: float | None, rated: float, pointer: str, case: Case) -> list[Check]:
    """An adapter against the breaker that protects it, and its neutral contact, in which no breaker sits."""
    checks = [CONTACTS.check(breaker, rated)]
    if not checks[0].passed:
        case.note("contacts-behind-larger-breaker", pointer, contact=float(rated), breaker=float(breaker))
    if neutral is not None:
        checks.append(NEUTRAL_CONTACT.check(neutral, rated))
        # One breaker in the one hot holds the neutral too: only where it is larger than the contacts nothing opens.
        if not (checks[0].passed or checks[1].passed):
            case.note("neutral-overloaded", pointer, neutral=no_less(neutral), limit=float(rated))
    return checks


def _kind(request: Shore | Generator) -> str:
    return "shore" if isinstance(request, Shore) else "generator"
