"""How long the bank lasts when every day takes the same, and what a kilowatt-hour of it costs."""

from __future__ import annotations

from ...reference.case import Case
from ...working import at_most
from .chemistry import Properties, cycles_at
from .formulas import years_at_daily_cycle
from .life_formulas import (
    delivered_in_life, depth_of_day, energy_of_year, price_charged, price_delivered, price_in_all, price_of_bank, price_of_year, shorter_life,
)
from .model import BankRequest, Cost, Life, Need, Prices


def life_of(rated_energy_wh: float, request: BankRequest, need: Need, known: Properties) -> Life | None:
    """The earlier of cycle life at the day's depth and calendar life; None for a bank that nothing draws on."""
    if not request.day_energy_wh > 0:
        return None
    depth = depth_of_day(request.day_energy_wh, rated_energy_wh, need.temperature_factor, need.discharge_efficiency)
    cycles = cycles_at(known, depth)
    if cycles is None:
        return Life(depth, None, None, None)
    years = years_at_daily_cycle(cycles)
    if request.calendar_years is None:
        return Life(depth, cycles, years, "cycling")
    return Life(depth, cycles, shorter_life(years, request.calendar_years), "cycling" if at_most(years, request.calendar_years) else "calendar")


def cost_of(life: Life, new_units: int, prices: Prices, request: BankRequest, known: Properties, case: Case) -> Cost | None:
    """What the bank and its charging add to a kilowatt-hour; None where the life is not known."""
    if life.life_years is None:
        return None
    fitting = prices.fitting_price
    if fitting is None:
        fitting = case.chosen(0.0, "fitting_price", "no price of fitting is given")
    purchase = price_of_bank(prices.unit_price, case.chosen(new_units, "units", "units to buy"), fitting)
    delivered = delivered_in_life(request.day_energy_wh, life.life_years)
    of_bank = price_delivered(purchase, delivered)
    charging = None
    if prices.charging_price_per_kwh is not None:
        round_trip = case.library.tables["chemistry_values"].cell(f"{known.chemistry}/round_trip_efficiency", "value")
        charging = price_charged(prices.charging_price_per_kwh, round_trip)
    in_all = price_in_all(of_bank) if charging is None else price_in_all(of_bank, charging)
    return Cost(purchase, delivered, of_bank, charging, in_all, price_of_year(energy_of_year(request.day_energy_wh), in_all))
