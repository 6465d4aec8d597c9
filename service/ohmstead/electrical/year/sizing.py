"""Put loads, sun and supplies of twelve months against each other."""

from __future__ import annotations

from collections.abc import Sequence

from ...nomenclature import TERMS
from ...reference.case import Case, no_less, no_more
from ...reference.citations import cite
from ...working import Rule, at_least
from ...working.formula import finite
from .formulas import balance, covered, days_on_bank, income
from .model import Month, SupplyEnergy, Year

COVERED = Rule("loads-covered", TERMS["income_wh"], "at least", TERMS["month_energy_wh"], cite("design-arithmetic"))

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December",
)


def monthly_balance(
    loads: Sequence[float], array: Sequence[float], supplies: Sequence[SupplyEnergy], case: Case,
    usable_energy_wh: float | None = None,
) -> Year:
    """Balance twelve months: `loads` and `array` are energies of the average day of each month, January first.

    The worst month is the one with the smallest covered share, of equals the one with the smallest balance, then
    the earliest. A month without loads is covered. Nothing is sized here: a deficit is said, not mended.
    """
    months = tuple(
        _month(position, loads[position], array[position], tuple(supply.energy_wh[position] for supply in supplies), case, usable_energy_wh)
        for position in range(12)
    )
    worst = min(months, key=lambda month: (month.covered_fraction, month.balance_wh, month.month))
    deficit = tuple(month.month for month in months if not at_least(month.income_wh, month.month_energy_wh))
    if deficit:
        case.note(
            "months-in-deficit", "", months=", ".join(MONTHS[month - 1] for month in deficit), worst=MONTHS[worst.month - 1],
            covered=f"{100 * float(worst.covered_fraction):.0f}", taken=no_less(worst.month_energy_wh, 0), brought=no_more(worst.income_wh, 0))
    return Year(
        supplies=tuple(supply.id for supply in supplies), months=months, worst_month=worst.month, deficit_months=deficit,
        checks=(COVERED.check(worst.income_wh, worst.month_energy_wh),),
    )


def _month(
    position: int, load: float, sun: float, supplies: tuple[float, ...], case: Case, usable_energy_wh: float | None
) -> Month:
    brought = income(sun, *supplies)
    share = covered(brought, load) if load > 0 else case.chosen(1.0, "covered_fraction", "nothing is asked for in this month")
    lasts = None
    if usable_energy_wh is not None and not at_least(brought, load):
        lasts = days_on_bank(usable_energy_wh, load, brought)
        if not finite(lasts):  # a deficit too small to count in days
            lasts = None
    return Month(
        month=position + 1, month_energy_wh=load, array_energy_wh=sun, supply_energy_wh=supplies, income_wh=brought,
        balance_wh=balance(brought, load), covered_fraction=share, days_to_empty=lasts,
    )
