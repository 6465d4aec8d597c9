"""What loads take and what sun and supplies bring, month by month. Energy in Wh a day at the bank."""

from __future__ import annotations

from msgspec import Struct

from ...working import Check


class SupplyEnergy(Struct, frozen=True):
    """What one supply brings on the average day of each month."""

    id: str
    energy_wh: tuple[float, ...]
    """Twelve numbers, January first."""


class Month(Struct, frozen=True):
    """The average day of one month."""

    month: int
    """1 is January."""
    month_energy_wh: float
    """Taken by the loads."""
    array_energy_wh: float
    supply_energy_wh: tuple[float, ...]
    """In the order of `Year.supplies`."""
    income_wh: float
    balance_wh: float
    covered_fraction: float
    days_to_empty: float | None
    """Days on which a full bank lasts at this deficit; None without a deficit, with one too small to count, or without the bank's energy."""


class Year(Struct, frozen=True):
    """Twelve months and what stands out in them."""

    supplies: tuple[str, ...]
    months: tuple[Month, ...]
    worst_month: int
    """The month with the smallest covered share; the earliest of equals."""
    deficit_months: tuple[int, ...]
    """In calendar order; empty when every month is covered."""
    checks: tuple[Check, ...]
    """Of the worst month."""
