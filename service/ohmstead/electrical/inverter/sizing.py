"""Choose the smallest generic inverter that passes every check, or check the one that the request names."""

from __future__ import annotations

from collections.abc import Iterator

from ...nomenclature import TERMS
from ...reference.case import Case, no_less
from ...reference.citations import cite
from ...reference.tables import Table
from ...working import Check, Choice, Rule, at_least, at_most
from ..conductors.formulas import current_from_power, ripple_current, ripple_factor
from .formulas import (
    apparent_at_least, apparent_from_factor, apparent_needed, apparent_rating, apparent_to_look_for, continuous_needed,
    derated_apparent, derated_power, derated_surge, power_factor_of, rating_factor, rating_to_look_for, running_at_least,
    stack_for, surge_current, surge_needed, surge_rating, surge_to_look_for,
)
from .model import Inverter, Neighbour, Rating, Request, Unit

CONTINUOUS = Rule(
    "continuous-power", TERMS["continuous_needed_w"], "at most", TERMS["derated_w"],
    cite("inverter-literature", "margin on the loads that run together"),
)
APPARENT = Rule(
    "apparent-power", TERMS["apparent_needed_va"], "at most", TERMS["derated_va"],
    cite("inverter-literature", "watts and volt-amperes both bind"),
)
SURGE = Rule(
    "surge", TERMS["surge_needed_va"], "at most", TERMS["derated_surge_va"], cite("motor-manuals", "running load and the largest start"),
)
TRANSFER = Rule(
    "transfer-relay", TERMS["transfer_rating_a"], "at least", TERMS["supply_breaker_a"],
    cite("supply-tutorials", "transfer relay and the breaker upstream"),
)


class _Need:
    """What the loads ask for, the same for every rating that is tried."""

    __slots__ = ("continuous_w", "apparent_va", "surge_va", "factor", "efficiency", "cut_off_v", "ripple")

    def __init__(self, continuous_w, apparent_va, surge_va, factor, efficiency, cut_off_v, ripple):
        self.continuous_w = continuous_w
        self.apparent_va = apparent_va
        self.surge_va = surge_va
        self.factor = factor
        self.efficiency = efficiency
        self.cut_off_v = cut_off_v
        self.ripple = ripple

    def rating(
        self, name: str, given: bool, rating_w: float, rating_va: float, surge_va: float, idle_w: float, transfer_a: float | None,
    ) -> Rating:
        """One inverter, with what heat and altitude leave of it and what it draws."""
        current = current_from_power(rating_w, self.efficiency, self.cut_off_v)
        return Rating(
            name, given, rating_w, rating_va, surge_va, derated_power(rating_w, self.factor), derated_apparent(rating_va, self.factor),
            derated_surge(surge_va, self.factor), idle_w, transfer_a, current,
            surge_current(self.surge_va, self.efficiency, self.cut_off_v), ripple_current(current, self.ripple),
        )

    def checks(self, rating: Rating) -> Iterator[Check]:
        """Every check of one inverter."""
        yield CONTINUOUS.check(self.continuous_w, rating.derated_w)
        yield APPARENT.check(self.apparent_va, rating.derated_va)
        yield SURGE.check(self.surge_va, rating.derated_surge_va)

    def failing(self, rating: Rating) -> Check | None:
        """The first check that an inverter fails."""
        return next((check for check in self.checks(rating) if not check.passed), None)


def size_inverter(request: Request, case: Case) -> Inverter:
    """Size an inverter, or check the one that the request names.

    The rule of choice: the smallest generic rating made for the system voltage whose continuous power, apparent
    power and surge, less what heat and altitude take, reach what the loads ask for. When none does, or the named
    one does not, the outcome is `nothing-fits` with the nearest miss and the check that it fails.
    """
    need = _need(request, case)
    inverter = _check_given(request.unit, need, request, case) if request.unit is not None else _choose(need, request, case)
    settled = inverter.rating or inverter.nearest
    if settled is not None:
        _remarks(settled, request, case)
    return inverter


def _need(request: Request, case: Case) -> _Need:
    running, apparent = request.running_w, request.running_va
    if request.largest_load_w is not None:
        running = running_at_least(running, request.largest_load_w)
    if apparent is None:
        factor_of_loads = case.assume("power_factor", request.power_factor)
        apparent = apparent_from_factor(running, factor_of_loads)
    else:
        if not at_least(apparent, running):
            case.note("apparent-below-real", "/running_apparent", given=apparent, real=running)
        apparent = apparent_at_least(apparent, running)
        factor_of_loads = request.power_factor if request.power_factor is not None else power_factor_of(running, apparent)
    if request.surge_va is None:
        case.note("surge-not-given", "/surge")
    margin = case.assume("sizing_margin", request.sizing_margin)
    return _Need(
        continuous_needed(margin, running), apparent_needed(margin, apparent),
        surge_needed(request.surge_va if request.surge_va is not None else apparent, apparent),
        rating_factor(
            case.assume("inverter_temperature_c", request.inverter_temperature_c), case.assume("derate_start_c"), case.assume("derate_per_k"),
            case.assume("altitude_m", request.altitude_m), case.assume("derate_start_m"), case.assume("derate_per_m"),
        ),
        case.assume("inverter_efficiency_full", request.inverter_efficiency),
        case.assume(f"cut_off_{request.nominal_voltage_v:.0f}", request.cut_off_v), ripple_factor(factor_of_loads),
    )


def _row(table: Table, row: int, need: _Need) -> Rating:
    column = table.columns
    return need.rating(
        column["id"][row], False, column["rating_w"][row], column["rating_va"][row], column["surge_va"][row],
        column["idle_w"][row], column["transfer_a"][row],
    )


def _ask(need: _Need, table: Table) -> tuple[int, str]:
    """First row that every check can accept, and the check that asked for it."""
    asked = {
        CONTINUOUS.name: table.first_at_least("rating_w", rating_to_look_for(need.continuous_w, need.factor)),
        APPARENT.name: table.first_at_least("rating_va", apparent_to_look_for(need.apparent_va, need.factor)),
        SURGE.name: table.first_at_least("surge_va", surge_to_look_for(need.surge_va, need.factor)),
    }
    governed = max(asked, key=asked.__getitem__)
    return asked[governed], governed


def _choose(need: _Need, request: Request, case: Case) -> Inverter:
    table = case.library.tables["inverter_ratings"]
    voltage = f"{request.nominal_voltage_v:.0f}"
    if need.factor <= 0:
        return _result(need, "nothing-fits", CONTINUOUS.name, why="At this temperature and altitude an inverter gives no power at all.")
    found, governed = _ask(need, table)
    # Apparent power and surge need not rise with the power from row to row, so the row is verified and not only found.
    for row in _made_for(voltage, range(found, table.rows), table):
        rating = _row(table, row, need)
        checks = tuple(need.checks(rating))
        if all(check.passed for check in checks):
            break
    else:
        return _miss(need, _row(table, next(_made_for(voltage, range(table.rows - 1, -1, -1), table)), need), voltage, case)
    smaller = None
    for below in _made_for(voltage, range(row - 1, -1, -1), table):
        neighbour = _row(table, below, need)
        smaller = Neighbour(neighbour.name, neighbour.inverter_rating_w, need.failing(neighbour))
        break
    case.note("generic-inverter")
    return _result(
        need, "sized", governed, rating=rating, checks=checks, smaller=smaller, transfer=_transfer(rating, request),
        choice=Choice("inverter", rating.name, governed, checks, smaller.name if smaller else "", smaller.failed if smaller else None),
    )


def _made_for(voltage: str, rows: range, table: Table) -> Iterator[int]:
    """Of these rows, those that are made for the system voltage."""
    voltages = table.columns["system_voltages"]
    return (row for row in rows if voltage in voltages[row].split())


def _miss(need: _Need, largest: Rating, voltage: str, case: Case) -> Inverter:
    checks = tuple(need.checks(largest))
    failed = next(check for check in checks if not check.passed)
    stacked = stack_for(
        need.continuous_w, largest.derated_w, need.apparent_va, largest.derated_va, need.surge_va, largest.derated_surge_va,
    )
    stacked = case.chosen(stacked, "stacked_units", "whole units", stacked)
    higher = "" if voltage == "48" else " A higher system voltage takes larger ones."
    return _result(
        need, "nothing-fits", failed.rule.name, nearest=largest, checks=checks, failed=failed, stacked=stacked,
        why=f"No generic inverter for {voltage} V is larger than {largest.inverter_rating_w:g} W, and that one fails "
            f"{failed.rule.name}. {stacked:g} of them made to work together would carry it.{higher}",
    )


def _check_given(unit: Unit, need: _Need, request: Request, case: Case) -> Inverter:
    rating_va = unit.inverter_rating_va
    if rating_va is None:
        rating_va = apparent_rating(unit.inverter_rating_w, case.assume("rating_power_factor"))
    surge = unit.inverter_surge_va
    if surge is None:
        surge = surge_rating(rating_va, case.assume("surge_ratio"))
    rating = need.rating(
        "given", True, unit.inverter_rating_w, rating_va, surge, case.assume("idle_w", unit.idle_w), unit.transfer_rating_a,
    )
    checks = tuple(need.checks(rating))
    failed = next((check for check in checks if not check.passed), None)
    transfer = _transfer(rating, request)
    if failed is None:
        _, governed = _ask(need, case.library.tables["inverter_ratings"])
        return _result(need, "sized", governed, rating=rating, checks=checks, transfer=transfer)
    return _result(
        need, "nothing-fits", failed.rule.name, nearest=rating, checks=checks, failed=failed, transfer=transfer,
        why=f"The inverter named fails {failed.rule.name}: {float(failed.actual):.4g} {failed.rule.actual.unit} are needed, "
            f"{float(failed.limit):.4g} {failed.rule.limit.unit} are left of its rating.",
    )


def _transfer(rating: Rating, request: Request) -> Check | None:
    if request.supply_breaker_a is None or rating.transfer_rating_a is None:
        return None
    return TRANSFER.check(rating.transfer_rating_a, request.supply_breaker_a)


def _result(need: _Need, outcome, governed: str, *, rating=None, nearest=None, checks=(), **more) -> Inverter:
    return Inverter(
        outcome=outcome, continuous_needed_w=need.continuous_w, apparent_needed_va=need.apparent_va, surge_needed_va=need.surge_va,
        rating_factor=need.factor, cut_off_v=need.cut_off_v, inverter_efficiency=need.efficiency, ripple_factor=need.ripple,
        governed_by=governed, rating=rating, nearest=nearest, checks=checks, **more,
    )


def _remarks(rating: Rating, request: Request, case: Case) -> None:
    """What a reader should know of the inverter that was found or checked."""
    voltages = case.library.tables["system_voltages"]
    row = voltages.index.get(f"{request.nominal_voltage_v:.0f}")
    usual = voltages.columns["usual_w"][row] if row is not None else None
    if usual is not None and not at_most(rating.inverter_rating_w, usual):
        case.note(
            "system-voltage-low", "/system_voltage", rating=rating.inverter_rating_w, usual=usual, voltage=request.nominal_voltage_v,
            current=no_less(rating.inverter_current_a),
        )
    breaker = request.supply_breaker_a
    if breaker is not None:
        if rating.transfer_rating_a is None:
            case.note("transfer-rating-not-given", breaker=breaker)
        elif not at_least(rating.transfer_rating_a, breaker):
            case.note("transfer-relay-below-breaker", rating=rating.transfer_rating_a, breaker=breaker)
    case.note("ripple-current", average=no_less(rating.inverter_current_a), rms=no_less(rating.ripple_current_a))
    case.note("bank-gives-surge", current=no_less(rating.surge_current_a))
