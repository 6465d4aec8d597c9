"""Choose the smallest generic inverter that passes every check, or check the one that the request names."""

from __future__ import annotations

from collections.abc import Iterator

from ...reference.case import Case
from ...reference.tables import Table
from ...working import Choice, at_least
from .beside import judge_beside
from .formulas import apparent_rating, apparent_to_look_for, rating_to_look_for, running_current, stack_for, surge_rating, surge_to_look_for
from .model import Inverter, Neighbour, Rating, Request, Unit
from .needs import APPARENT, CONTINUOUS, SURGE, Need, need_of


def size_inverter(request: Request, case: Case) -> Inverter:
    """Size an inverter, or check the one that the request names.

    The rule of choice: the smallest generic rating made for the system voltage whose continuous power, apparent
    power and surge, less what heat and altitude take, reach what the loads ask for. When none does, or the named
    one does not, the outcome is `nothing-fits` with the nearest miss and the check that it fails.
    """
    need = need_of(request, case)
    inverter = _check_given(request.unit, need, request, case) if request.unit is not None else _choose(need, request, case)
    return judge_beside(inverter, need, request, case)


def _row(table: Table, row: int, need: Need) -> Rating:
    column = table.columns
    return need.rating(
        column["id"][row], False, column["rating_w"][row], column["rating_va"][row], column["surge_va"][row],
        column["idle_w"][row], column["transfer_a"][row],
    )


def _ask(need: Need, table: Table) -> tuple[int, str]:
    """First row that every check can accept, and the check that asked for it."""
    asked = {
        CONTINUOUS.name: table.first_at_least("rating_w", rating_to_look_for(need.continuous_w, need.factor)),
        APPARENT.name: table.first_at_least("rating_va", apparent_to_look_for(need.apparent_va, need.factor)),
        SURGE.name: table.first_at_least("surge_va", surge_to_look_for(need.surge_va, need.factor)),
    }
    governed = max(asked, key=asked.__getitem__)
    return asked[governed], governed


def _choose(need: Need, request: Request, case: Case) -> Inverter:
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
        need, "sized", governed, rating=rating, checks=checks, smaller=smaller,
        choice=Choice("inverter", rating.name, governed, checks, smaller.name if smaller else "", smaller.failed if smaller else None),
    )


def _made_for(voltage: str, rows: range, table: Table) -> Iterator[int]:
    """Of these rows, those that are made for the system voltage."""
    voltages = table.columns["system_voltages"]
    return (row for row in rows if voltage in voltages[row].split())


def _miss(need: Need, largest: Rating, voltage: str, case: Case) -> Inverter:
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


def _check_given(unit: Unit, need: Need, request: Request, case: Case) -> Inverter:
    rating_va = unit.inverter_rating_va
    if rating_va is None:
        rating_va = apparent_rating(unit.inverter_rating_w, case.assume("rating_power_factor"))
    surge = unit.inverter_surge_va
    if surge is None:
        surge = surge_rating(rating_va, case.assume("surge_ratio"))
    rating = need.rating(
        "given", True, unit.inverter_rating_w, rating_va, surge, case.assume("idle_w", unit.idle_w), unit.transfer_rating_a,
        _lasts(unit, need, request, surge, case),
    )
    checks = tuple(need.checks(rating))
    failed = next((check for check in checks if not check.passed), None)
    if failed is None:
        _, governed = _ask(need, case.library.tables["inverter_ratings"])
        return _result(need, "sized", governed, rating=rating, checks=checks)
    return _result(
        need, "nothing-fits", failed.rule.name, nearest=rating, checks=checks, failed=failed,
        why=f"The inverter named fails {failed.rule.name}: {float(failed.actual):.4g} {failed.rule.actual.unit} are needed, "
            f"{float(failed.limit):.4g} {failed.rule.limit.unit} are left of its rating.",
    )


def _lasts(unit: Unit, need: Need, request: Request, surge_va: float, case: Case) -> bool:
    """Whether the surge lasts as long as the start; where nobody says how long it lasts it counts, and that is said."""
    if not need.load.starts:
        return True
    if unit.surge_duration_s is None:
        case.note("surge-duration-not-given", surge=surge_va)
        return True
    start = case.assume("start_s", request.start_duration_s)
    if at_least(unit.surge_duration_s, start):
        return True
    case.note("surge-too-short", surge=unit.surge_duration_s, start=start)
    return False


def _result(need: Need, outcome, governed: str, *, rating=None, nearest=None, checks=(), **more) -> Inverter:
    return Inverter(
        outcome=outcome, continuous_needed_w=need.continuous_w, apparent_needed_va=need.apparent_va, surge_needed_va=need.surge_va,
        rating_factor=need.factor, cut_off_v=need.cut_off_v, inverter_efficiency=need.efficiency, ripple_factor=need.ripple,
        governed_by=governed, rating=rating, nearest=nearest, checks=checks, start_va=need.load.start_va,
        bank_running_a=running_current(need.load.total_w, need.efficiency, need.cut_off_v), sources=need.load.sources, **more,
    )
