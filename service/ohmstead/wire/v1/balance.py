"""The balance of twelve months as it stands in an answer."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from ...electrical.year.model import Month, Year
from ..base import Amount
from .checked import CheckAnswer, write_check


class SupplyMonth(Struct, frozen=True):
    """What one supply brings."""

    id: Annotated[str, Meta(description="Name of the supply")]
    energy: Annotated[Amount, Meta(description="Energy a day at the bank")]


class MonthAnswer(Struct, frozen=True):
    """The average day of one month, at the bank."""

    month: Annotated[int, Meta(description="1 is January")]
    loads: Annotated[Amount, Meta(description="Taken by the loads")]
    sun: Annotated[Amount, Meta(description="Brought by the array")]
    supplies: Annotated[list[SupplyMonth], Meta(description="Brought by each supply")]
    income: Annotated[Amount, Meta(description="Brought by all together")]
    balance: Annotated[Amount, Meta(description="Over, or lacking where negative")]
    covered: Annotated[float, Meta(description="Share of the loads' energy that is brought, at most 1")]
    days_to_empty: Annotated[float | None, Meta(description="Days on which a full bank makes up for a deficit; null without one")]


class BalanceAnswer(Struct, frozen=True):
    """Twelve months and what stands out in them."""

    months: Annotated[list[MonthAnswer], Meta(description="January first")]
    worst_month: Annotated[int, Meta(description="Month with the smallest covered share; 1 is January")]
    deficit_months: Annotated[list[int], Meta(description="Months in which loads take more than is brought")]
    checks: Annotated[list[CheckAnswer], Meta(description="Checks of the worst month")]


def write_balance(year: Year) -> BalanceAnswer:
    """A balance as it stands in an answer."""
    return BalanceAnswer(
        [_month(month, year.supplies) for month in year.months], year.worst_month, list(year.deficit_months),
        [write_check(check) for check in year.checks],
    )


def _month(month: Month, supplies: tuple[str, ...]) -> MonthAnswer:
    return MonthAnswer(
        month.month, Amount(month.month_energy_wh, "Wh"), Amount(month.array_energy_wh, "Wh"),
        [SupplyMonth(name, Amount(energy, "Wh")) for name, energy in zip(supplies, month.supply_energy_wh)],
        Amount(month.income_wh, "Wh"), Amount(month.balance_wh, "Wh"), month.covered_fraction, month.days_to_empty,
    )
