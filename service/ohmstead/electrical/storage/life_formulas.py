"""Arithmetic of a bank's life: what a day takes of it, how long it lasts, and what its energy costs."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_OWN = cite("design-arithmetic")
_COST = cite("storage-cost", "price over the energy of a life")


@formula("day_depth", cite=_OWN)
def depth_of_day(day_energy_wh: float, bank_rated_energy_wh: float, temperature_factor: float, discharge_efficiency: float) -> float:
    """Share of the rated energy that a day takes from the new bank.

    Valid: a full bank each morning. Neglects: ageing, which deepens it. Errs: low towards the end of life.

    >>> depth_of_day(300.0, 1500.0, 0.8, 1.0)
    0.25
    """
    return day_energy_wh / (bank_rated_energy_wh * temperature_factor * discharge_efficiency)


@formula("life_years", cite=cite("battery-trade-literature", "the earlier of cycle life and calendar life"))
def shorter_life(life_years: float, calendar_years: float) -> float:
    """Years to the end of life, whichever comes first.

    Valid: any. Neglects: that both wear together. Errs: high.

    >>> shorter_life(10.9, 10.0)
    10.0
    """
    return min(life_years, calendar_years)


@formula("delivered_kwh", cite=_COST)
def delivered_in_life(day_energy_wh: float, life_years: float) -> float:
    """Energy that the bank delivers in its life when every day takes the same.

    Valid: daily use all year. Neglects: days without use, which make each kilowatt-hour dearer. Errs: high.

    >>> delivered_in_life(1000.0, 2.0)
    730.0
    """
    return day_energy_wh * 365 * life_years / 1000


@formula("purchase_price", cite=_OWN)
def price_of_bank(unit_price: float, units: float, fitting_price: float) -> float:
    """What the units to buy and their fitting cost.

    Valid: any currency. Neglects: cables, devices, interest. Errs: low.

    >>> price_of_bank(500.0, 4.0, 200.0)
    2200.0
    """
    return unit_price * units + fitting_price


@formula("price_per_kwh", cite=_COST)
def price_delivered(purchase_price: float, delivered_kwh: float) -> float:
    """What the bank adds to each kilowatt-hour that it delivers.

    Valid: any currency. Neglects: interest, disposal. Errs: low.

    >>> price_delivered(1000.0, 2500.0)
    0.4
    """
    return purchase_price / delivered_kwh


@formula("price_per_kwh", cite=_COST)
def price_charged(price_per_kwh: float, round_trip_efficiency: float) -> float:
    """What the charging behind each delivered kilowatt-hour costs: the losses are bought too.

    Valid: one price of energy. Neglects: the loss of the charger. Errs: low.

    >>> price_charged(0.36, 0.75)
    0.48
    """
    return price_per_kwh / round_trip_efficiency


@formula("price_per_kwh", cite=_COST)
def price_in_all(*price_per_kwh: float) -> float:
    """Everything behind a delivered kilowatt-hour.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> price_in_all(0.5, 0.25)
    0.75
    """
    return sum(price_per_kwh)


@formula("year_energy_kwh", cite=_OWN)
def energy_of_year(day_energy_wh: float) -> float:
    """Energy of a year in which every day takes the same.

    Valid: daily use. Neglects: seasons. Errs: high where not every day is used.

    >>> energy_of_year(1000.0)
    365.0
    """
    return day_energy_wh * 365 / 1000


@formula("year_price", cite=_OWN)
def price_of_year(year_energy_kwh: float, price_per_kwh: float) -> float:
    """What a year's energy costs.

    Valid: one price all year. Neglects: standing charges. Errs: low by those.

    >>> price_of_year(394.0, 0.5)
    197.0
    """
    return year_energy_kwh * price_per_kwh
