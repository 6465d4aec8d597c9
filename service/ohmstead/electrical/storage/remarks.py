"""What has to be said about a bank beside its sizes."""

from __future__ import annotations

from ...reference.case import Case
from ...working import at_least, at_most
from .chemistry import VENTED, Properties
from .model import Bank, BankRequest


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
    if any(said.kept and request.owned[said.position].tested_capacity_ah is None for said in bank.owned):
        case.note("owned-units-untested", "/owned", limit=float(bank.need.ageing_factor))


def _cold(bank: Bank, request: BankRequest, known: Properties, case: Case) -> None:
    coldest = coldest_of(request)
    if bank.lock_out_below_c is not None:
        code = "charge-temperature-unknown" if coldest is None else "charge-lock-out-needed"
        case.note(code, "/coldest", limit=float(bank.lock_out_below_c))
    freezes = case.constant("partly_charged_freezes_c")
    if not known.lithium and coldest is not None and at_most(coldest, freezes):
        case.note("electrolyte-can-freeze", "/coldest", coldest=float(coldest), freezes=float(freezes))


def _strings(bank: Bank, request: BankRequest, known: Properties, documented: float, case: Case) -> None:
    if not at_most(bank.parallel, documented):
        case.note("many-strings", "/largest_parallel", parallel=bank.parallel, limit=float(documented))
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
    if cells_unclear:
        case.note("cell-count-assumed", "/unit", cells=float(bank.voltages.cells) / bank.series)
    if not bank.fault.proven:
        case.note("no-short-circuit-figure", "/unit", bound=float(bank.fault.current_a))


def coldest_of(request: BankRequest) -> float | None:
    """The coldest that the bank gets to, as far as the request says."""
    ever, in_use = request.coldest_c, request.bank_temperature_c
    if ever is None or in_use is None:
        return in_use if ever is None else ever
    return ever if ever <= in_use else in_use
