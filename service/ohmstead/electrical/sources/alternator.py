"""Choose the DC-DC charger of an alternator, or judge a direct connection."""

from __future__ import annotations

from ...nomenclature import TERMS
from ...reference.case import no_less, no_more
from ...reference.citations import cite
from ...working import Check, Choice, Rule, at_most
from .charging import Surroundings, energy, fill, of_chemistry, presence, remark
from .charging_formulas import balance_charging, carried_by_alternator, charge_power, charger_setting, least_charger
from .formulas import bulk_acceptance, dc_dc_carried, dc_dc_input, hot_output, idle_output, spare_output
from .model import Alternator, Charger, DcDcSide, Supply

BANK = Rule("charge-within-bank-limit", TERMS["charge_current_a"], "at most", TERMS["charge_limit_a"], cite("battery-trade-literature"))
SPARE = Rule("dc-dc-within-alternator", TERMS["dc_dc_input_a"], "at most", TERMS["alternator_current_a"], cite("common-practice"))
REACH = Rule(
    "alternator-reaches-absorption", TERMS["alternator_voltage_v"], "at least", TERMS["absorption_v"], cite("alternator-literature"))

LIMITS_ITSELF = frozenset({"flooded", "golf-cart", "agm", "gel"})
"""Chemistries whose own resistance limits the current from an alternator; lithium takes all that there is."""


def size_alternator(request: Alternator, s: Surroundings, pointer: str) -> Supply:
    """Size what the alternator feeds.

    The rule of choice: the largest DC-DC charger whose input stays within the spare output of the hot alternator
    and whose output stays within the bank's limit. A direct connection is kept for lead-acid of the alternator's
    own voltage and refused for lithium, which is sized as if a DC-DC charger stood there. When no charger of these
    voltages is small enough the outcome is `nothing-fits`.
    """
    case = s.case
    hours, days = presence(request, case, pointer)
    hot = hot_output(request.alternator_rating_a, case.assume("alternator_hot_share"))
    spare = spare_output(hot, case.assume("alternator_spare_share"))
    if request.coupling == "direct":
        if s.bank.chemistry in LIMITS_ITSELF:
            return _direct(request, s, pointer, hours, days, hot, spare)
        case.note("alternator-lithium-direct", pointer, id=request.id)
    return _through_dc_dc(request, s, pointer, hours, days, hot, spare)


def _supply(request: Alternator, s: Surroundings, hours: float, days: float, **found) -> Supply:
    base = dict(
        id=request.id, kind="alternator", outcome="nothing-fits", hours_per_day=hours, days_per_week=days, alternating=None,
        dc_dc=None, charger=None, charging=None, checks=(),
    )
    if "energy_wh" not in found:
        none = s.case.chosen(0.0, "carried_wh", "nothing joins alternator and bank")
        found["energy_wh"] = energy(s, None, none, hours, days)
    return Supply(**(base | found))


def _voltages(s: Surroundings, input_v: float) -> list[int]:
    """Rows of the DC-DC chargers between these nominal voltages, the smallest first."""
    columns = s.case.library.tables["dc_dc_ratings"].columns
    rows = [
        row for row, (given, made) in enumerate(zip(columns["input_v"], columns["output_v"]))
        if given == input_v and made == s.bank.bank_voltage_v
    ]
    return sorted(rows, key=columns["output_a"].__getitem__)


def _through_dc_dc(request: Alternator, s: Surroundings, pointer: str, hours: float, days: float, hot: float, spare: float) -> Supply:
    case, bank = s.case, s.bank
    efficiency = case.assume("dc_dc_efficiency")
    lowest = case.assume(f"alternator_voltage_{request.starter_voltage_v:g}")
    carried = dc_dc_carried(spare, lowest, efficiency, bank.absorption_v)
    allowed = least_charger(carried, bank.charge_limit_a)

    def checks(output: float) -> tuple[Check, ...]:
        return (SPARE.check(dc_dc_input(output, bank.absorption_v, lowest, efficiency), spare), BANK.check(output, bank.charge_limit_a))

    if request.dc_dc_output_a is not None:
        rating, choice = request.dc_dc_output_a, None
    else:
        outputs = case.library.tables["dc_dc_ratings"].columns["output_a"]
        rows = _voltages(s, request.starter_voltage_v)
        if not rows:
            return _supply(
                request, s, hours, days, why=f"No DC-DC charger is made from {request.starter_voltage_v:g} V to {bank.bank_voltage_v:g} V.")
        fitting = [row for row in rows if at_most(outputs[row], allowed)]
        if not fitting:
            smallest = outputs[rows[0]]
            failed = next(check for check in checks(smallest) if not check.passed)
            case.note("no-charger-fits", pointer, id=request.id, smallest=float(smallest), allowed=float(allowed))
            return _supply(
                request, s, hours, days, failed=failed, checks=checks(smallest),
                why=f"The smallest DC-DC charger of these voltages gives {smallest:g} A; {allowed:.4g} A are allowed.")
        rating = outputs[fitting[-1]]
        choice = Choice(
            "DC-DC charger", f"{rating:g} A", BANK.name if at_most(bank.charge_limit_a, carried) else SPARE.name, checks(rating))
    setting = charger_setting(rating, allowed)
    if request.dc_dc_output_a is not None and not at_most(rating, allowed):
        case.note("charger-turned-down", pointer, id=request.id, rating=float(rating), setting=no_more(setting))
    drawn = dc_dc_input(setting, bank.absorption_v, lowest, efficiency)
    idle = idle_output(request.alternator_rating_a, case.assume("alternator_idle_share"))
    if not at_most(drawn, idle):
        case.note("alternator-at-idle", pointer, id=request.id, drawn=no_less(drawn), idle=no_more(idle))
    charging = fill(
        s, setting, setting, bank.absorption_v, s.mean_load_w,
        balance_charging(charge_power(setting, bank.absorption_v), s.mean_load_w), holds=True)
    remark(s, request, charging, pointer)
    return _supply(
        request, s, hours, days, outcome="sized",
        energy_wh=energy(s, charging, carried_by_alternator(hours, charging.charge_power_w, s.mean_load_w), hours, days),
        dc_dc=DcDcSide("dc-dc", hot, spare, lowest, drawn),
        charger=Charger("dc-dc", rating, request.dc_dc_output_a is not None, choice), charging=charging, checks=checks(setting),
    )


def _direct(request: Alternator, s: Surroundings, pointer: str, hours: float, days: float, hot: float, spare: float) -> Supply:
    case, bank = s.case, s.bank
    if bank.bank_voltage_v != request.starter_voltage_v:
        return _supply(
            request, s, hours, days,
            why=f"A {request.starter_voltage_v:g} V alternator cannot charge a {bank.bank_voltage_v:g} V bank directly; a DC-DC charger can.")
    voltage = case.assume(f"alternator_regulator_{request.starter_voltage_v:g}")
    accepted = bulk_acceptance(of_chemistry(bank, "charge_rate_max", case), bank.bank_capacity_ah)
    current = least_charger(spare, accepted)
    reach, within = REACH.check(voltage, bank.absorption_v), BANK.check(current, bank.charge_limit_a)
    if not reach.passed:
        case.note("alternator-cannot-finish", pointer, id=request.id, voltage=float(voltage), absorption=float(bank.absorption_v))
    if not within.passed:
        case.note("alternator-above-bank", pointer, id=request.id, current=float(current), limit=float(bank.charge_limit_a))
    charging = fill(
        s, current, current, voltage, s.mean_load_w, balance_charging(charge_power(current, voltage), s.mean_load_w),
        holds=True, finishes=reach.passed)
    remark(s, request, charging, pointer)
    return _supply(
        request, s, hours, days, outcome="sized",
        energy_wh=energy(s, charging, carried_by_alternator(hours, charging.charge_power_w, s.mean_load_w), hours, days),
        dc_dc=DcDcSide("direct", hot, spare, voltage, current), charging=charging, checks=(reach, within),
    )
