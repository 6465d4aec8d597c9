"""What has to be said about a bank beside its sizes."""

from __future__ import annotations

from ...reference.case import Case, no_more
from ...working import at_least, at_most
from .chemistry import VENTED, Properties
from .fitting import series_of
from .model import Bank, BankRequest
from .resting import rests_known
from .window import coldest_of


def remark_faults(request: BankRequest, known: Properties, temperature_c: float, case: Case) -> None:
    """What cannot be had whatever the sizes are: all of it at once, for the calculation stops at the first."""
    if not (at_least(temperature_c, known.discharge_above_c) and at_most(temperature_c, known.discharge_below_c)):
        case.note(
            "discharge-forbidden", "/temperature", temperature=float(temperature_c), low=float(known.discharge_above_c),
            high=float(known.discharge_below_c))
    unit = request.unit
    if unit is not None and not request.windowed and series_of(unit.voltage_v, request.nominal_voltage_v, known) is None:
        case.note("unit-makes-no-bank", "/unit/voltage", voltage=float(unit.voltage_v), system=f"{request.nominal_voltage_v:g}")
    for batch in request.owned:
        if batch.chemistry != request.chemistry:
            case.note("chemistries-mixed", f"{batch.pointer}/chemistry", owned=batch.chemistry, bank=request.chemistry)


def remark_charging(request: BankRequest, known: Properties, in_use_c: float, case: Case) -> None:
    """Temperatures at which the bank may not be charged, whether or not a bank fits."""
    lock_out = lock_out_below(request, known)
    if lock_out is not None:
        code = "charge-temperature-unknown" if coldest_of(request) is None else "charge-lock-out-needed"
        case.note(code, "/coldest", limit=float(lock_out))
    if not at_most(in_use_c, known.charge_below_c):
        case.note("charging-forbidden", "/temperature", temperature=float(in_use_c), low=float(known.charge_above_c), high=float(known.charge_below_c))


def lock_out_below(request: BankRequest, known: Properties) -> float | None:
    """The temperature below which chargers are stopped; where the coldest is not known it counts as cold."""
    coldest = coldest_of(request)
    if not known.lithium or (coldest is not None and at_least(coldest, known.charge_above_c)):
        return None
    return known.charge_above_c


def remark(
    bank: Bank, request: BankRequest, known: Properties, documented: float, assumed: tuple[tuple[str, float], ...], cells_unclear: bool, case: Case
) -> None:
    """Findings of a bank that was sized."""
    _cold(bank, request, known, case)
    if request.chemistry in VENTED:
        case.note("bank-gives-gas")
    elif not known.lithium:
        case.note("bank-can-give-gas")
    _strings(bank, request, known, documented, case)
    _unit(bank, request, known, assumed, cells_unclear, case)
    floor = bank.currents.charge_floor_a
    if request.charge_current_a is not None and floor is not None and not at_least(request.charge_current_a, floor):
        case.note("charging-below-floor", "/charging_current", given=float(request.charge_current_a), floor=float(floor))
    if not at_most(bank.need.depth_of_discharge, known.largest_depth):
        case.note("depth-beyond-chemistry", "/depth_of_discharge", given=float(bank.need.depth_of_discharge), limit=float(known.largest_depth))
    _wear(bank, request, case)
    if any(said.kept and request.owned[said.position].tested_capacity_ah is None for said in bank.owned):
        case.note("owned-units-untested", "/owned", limit=float(bank.need.ageing_factor))


def _cold(bank: Bank, request: BankRequest, known: Properties, case: Case) -> None:
    coldest = coldest_of(request)
    if bank.currents.charge_limit_cold_a is not None and request.charge_current_a is not None and coldest is not None:
        below, limit = case.constant("cold_charge_below_c"), bank.currents.charge_limit_cold_a
        if not at_least(coldest, below) and not at_most(request.charge_current_a, limit):
            case.note("cold-charging-limited", "/coldest", below=float(below), limit=no_more(limit))
    frost = bank.frost
    if frost is not None and coldest is not None and not at_most(frost.freezes_c, coldest):
        cure = "Keep the bank warm."
        if frost.safe_depth:
            cure = f"Keep the bank warm, or discharge it to a depth of {no_more(frost.safe_depth, 2)} at the most."
        case.note("depth-freezes", "/depth_of_discharge", freezes=float(frost.freezes_c), coldest=float(coldest), cure=cure)
    freezes = case.constant("partly_charged_freezes_c")
    if not known.lithium and coldest is not None and at_most(coldest, freezes):
        case.note("electrolyte-can-freeze", "/coldest", coldest=float(coldest), freezes=float(freezes))


def _strings(bank: Bank, request: BankRequest, known: Properties, documented: float, case: Case) -> None:
    if not at_most(bank.parallel, documented):
        case.note("many-strings", "/largest_parallel", parallel=bank.parallel, limit=float(documented))
    if known.lithium and bank.current_margin is not None and not at_least(bank.current_margin, case.constant("management_margin")):
        case.note("management-near-limit", "/discharge_current", share=f"{1 / float(bank.current_margin):.0%}")
    if bank.parallel == 1:
        if known.lithium:
            case.note("single-string")
        return
    if known.lithium:
        case.note("equal-leads", parallel=bank.parallel)
    left = bank.currents.one_string_gone_a
    if request.discharge_current_a is not None and not at_most(request.discharge_current_a, left):
        case.note("one-string-gone-overload", "/discharge_current", left=float(left), asked=float(request.discharge_current_a))


def _unit(
    bank: Bank, request: BankRequest, known: Properties, assumed: tuple[tuple[str, float], ...], cells_unclear: bool, case: Case
) -> None:
    if bank.unit.generic:
        case.note("generic-unit", "/unit", unit=bank.unit.name)
    for what, value in assumed:
        case.note("unit-rating-assumed", "/unit", what=what, value=float(value))
    if bank.unit.mass_kg is None and request.payload_kg is not None:
        case.note("unit-mass-missing", "/unit")
    if known.lithium and bank.series > 1:
        case.note("managed-units-in-series", "/unit", series=bank.series)
    if request.cut_off_v is not None and not rests_known(request.chemistry, case):
        case.note("cut-off-not-judged", "/equipment/cut_off")
    if bank.window is not None:
        usual = series_of(bank.unit.voltage_v, request.nominal_voltage_v, known)
        if bank.series != usual:
            case.note("series-by-equipment", "/equipment", series=bank.series, usual=usual or "none", cells=f"{float(bank.voltages.cells):g}")
    if cells_unclear:
        case.note("cell-count-assumed", "/unit", cells=float(bank.voltages.cells) / bank.series)
    if not bank.fault.proven:
        case.note("no-short-circuit-figure", "/unit", bound=float(bank.fault.current_a))


def _wear(bank: Bank, request: BankRequest, case: Case) -> None:
    """Where the life is not known, or only half of what ends it."""
    life = bank.life
    if life is None:
        return
    if life.life_years is None:
        case.note("cycle-life-not-documented", "/day_energy", depth=f"{float(life.day_depth):.0%}")
    elif request.calendar_years is None and request.prices is not None:
        case.note("calendar-life-not-given", "/calendar_life", years=f"{float(life.life_years):.1f}")
