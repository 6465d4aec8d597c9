"""What is judged beside the rating: transfer relay, bank, wave form, system voltage, two legs, idle draw."""

from __future__ import annotations

from msgspec.structs import replace

from ...nomenclature import TERMS
from ...reference.case import Case, no_less, no_more
from ...reference.citations import cite
from ...working import Check, Rule, at_least, at_most
from .formulas import advised_current, idle_share
from .leg_formulas import units_on_legs
from .model import Inverter, Rating, Request, VoltageAdvice
from .needs import Need

TRANSFER = Rule(
    "transfer-relay", TERMS["transfer_rating_a"], "at least", TERMS["supply_breaker_a"],
    cite("supply-tutorials", "transfer relay and the breaker upstream"),
)
BANK_RUNNING = Rule(
    "bank-continuous", TERMS["bank_running_a"], "at most", TERMS["bank_continuous_a"],
    cite("inverter-literature", "the bank has to give what the inverter draws"),
)
BANK_SURGE = Rule(
    "bank-surge", TERMS["surge_current_a"], "at most", TERMS["bank_surge_a"],
    cite("inverter-literature", "the bank has to give what the inverter draws"),
)
_WORTH_SAYING = 0.1
"""Share of the bank above which a day of idling is remarked."""


def judge_beside(inverter: Inverter, need: Need, request: Request, case: Case) -> Inverter:
    """The inverter with everything that does not decide its rating. Nothing of it is judged where no inverter is near."""
    rating = inverter.rating or inverter.nearest
    if rating is None:
        return inverter
    _wave(request, case)
    advice = _advice(rating, need, request, case)
    legs = need.load.legs
    if legs is not None:
        on_one = inverter.stacked if inverter.stacked is not None else case.chosen(1, "stacked_units", "one inverter a leg")
        legs = replace(legs, units=units_on_legs(on_one) if inverter.rating is not None or inverter.stacked is not None else None)
        if inverter.rating is not None:
            case.note("inverters-on-two-legs", "/second_leg", units=f"{float(legs.units):g}")
    judged = replace(
        inverter, transfer=_transfer(rating, request, case), bank=_bank(rating, inverter.bank_running_a, need, request, case),
        idle_share=_idle(rating, request, case), advice=advice, legs=legs, start_duration_s=_duration(need, request, case),
    )
    case.note("ripple-current", average=no_less(rating.inverter_current_a), rms=no_less(rating.ripple_current_a))
    case.note("bank-gives-surge", current=no_less(rating.surge_current_a))
    return judged


def _duration(need: Need, request: Request, case: Case) -> float | None:
    """How long the start lasts, where something asks for it."""
    asked = request.unit is not None and request.unit.surge_duration_s is not None
    asked = asked or (request.bank is not None and request.bank.peak_duration_s is not None)
    return case.assume("start_s", request.start_duration_s) if asked and need.load.starts else None


def _transfer(rating: Rating, request: Request, case: Case) -> Check | None:
    breaker = request.supply_breaker_a
    if breaker is None:
        return None
    if rating.transfer_rating_a is None:
        case.note("transfer-rating-not-given", breaker=breaker)
        return None
    check = TRANSFER.check(rating.transfer_rating_a, breaker)
    if not check.passed:
        case.note("transfer-relay-below-breaker", rating=rating.transfer_rating_a, breaker=breaker)
    return check


def _bank(rating: Rating, running_a: float, need: Need, request: Request, case: Case) -> tuple[Check, ...]:
    """What runs against the continuous current, the start against the peak, which counts only where it is known to last."""
    bank = request.bank
    if bank is None:
        return ()
    running = BANK_RUNNING.check(running_a, bank.continuous_a)
    if not running.passed:
        case.note("bank-running-short", "/bank", needed=no_less(running_a), given=no_more(bank.continuous_a))
    most = bank.continuous_a
    start = case.assume("start_s", request.start_duration_s) if need.load.starts and bank.peak_duration_s is not None else None
    if bank.peak_a is not None and not at_most(bank.peak_a, most) and start is not None and at_least(bank.peak_duration_s, start):
        most = bank.peak_a
    surge = BANK_SURGE.check(rating.surge_current_a, most)
    if not surge.passed and need.load.starts:
        case.note("bank-surge-short", "/bank", needed=no_less(rating.surge_current_a), given=no_more(most))
    return running, surge


def _idle(rating: Rating, request: Request, case: Case) -> float | None:
    if request.bank is None or request.bank.usable_wh is None:
        return None
    share = idle_share(rating.idle_energy_wh, request.bank.usable_wh)
    if not at_most(share, _WORTH_SAYING):
        case.note("idle-takes-bank", "/bank/usable_energy", share=f"{float(share):.0%}")
    return share


def _wave(request: Request, case: Case) -> None:
    """A modified sine against what it feeds."""
    feeds = set(request.feeds) | ({"motor"} if request.motor is not None else set())
    minding = [what for what in ("motor", "electronic", "medical") if what in feeds]
    if request.unit is None:
        case.assume_choice("wave_form", None, "sine", "A generic inverter counts as one with a sine", cite("common-practice"))
    elif request.unit.wave is None:
        if minding:
            case.note("wave-form-not-given", "/inverter/wave", feeds=", ".join(minding))
    elif request.unit.wave == "modified-sine":
        if "motor" in minding:
            case.note("modified-sine-motor", "/inverter/wave", factor=case.assume("modified_sine_factor"))
        if "electronic" in minding:
            case.note("modified-sine-electronics", "/inverter/wave")
        if "medical" in minding:
            case.note("modified-sine-medical", "/inverter/wave")


def _advice(rating: Rating, need: Need, request: Request, case: Case) -> VoltageAdvice | None:
    """The lowest voltage at which such a power is usual and its current is too; the highest one where none is."""
    voltages = case.library.tables["system_voltages"]
    usual_a = case.constant("usual_direct_current")
    advice = None
    for row in range(voltages.rows):
        voltage, usual_w = voltages.columns["nominal_v"][row], voltages.columns["usual_w"][row]
        current = advised_current(rating.inverter_rating_w, need.efficiency, need.cut_off_v, request.nominal_voltage_v, voltage)
        advice = VoltageAdvice(voltage, current, usual_a)
        if (usual_w is None or at_most(rating.inverter_rating_w, usual_w)) and at_most(current, usual_a):
            break
    row = voltages.index.get(f"{request.nominal_voltage_v:.0f}")
    usual = voltages.columns["usual_w"][row] if row is not None else None
    if usual is not None and not at_most(rating.inverter_rating_w, usual):
        case.note(
            "system-voltage-low", "/system_voltage", rating=rating.inverter_rating_w, usual=usual, voltage=request.nominal_voltage_v,
            current=no_less(rating.inverter_current_a),
        )
    return advice
