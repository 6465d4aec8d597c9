"""Months: what the loads leave to the array, what an array stores, what is short."""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case
from ...working import at_least
from ..solar.model import MONTHS, Resource
from .energy_formulas import (
    balance,
    charging_half,
    covered,
    energy_of_groups,
    heat_share,
    income,
    least_covered,
    month_cell,
    month_left,
    month_net,
    needed_ratio,
    power_needed,
    stored_energy,
    stored_share,
)
from .model import ArrayRequest, Group, ModuleType, MonthBalance, Mounting

_RISES = {"open-rack": "mounting_rise_open_rack", "close-mount": "mounting_rise_close", "bonded": "mounting_rise_bonded"}

# Lead-acid loses its round trip in charging; of other chemistries half of it counts there.
_CHARGING = {
    None: "charge_efficiency_lead", "flooded": "charge_efficiency_lead", "golf-cart": "charge_efficiency_lead",
    "gel": "charge_efficiency_lead", "agm": "charge_efficiency_agm", "lfp": "charge_efficiency_lfp",
}  # fmt: skip


class Losses(Struct):
    """Everything between the label of the modules and the bank, before heat."""

    shares: tuple[float, float, float, float, float]
    controller: float
    charging: float
    rise_k: float
    cells_c: tuple[float, ...]
    """Cell temperature by month."""


def losses_of(request: ArrayRequest, mounting: Mounting, case: Case) -> Losses:
    """The losses of a request; what it does not say is assumed and listed."""
    rise, ratio = case.assume(_RISES[mounting]), case.assume("irradiance_ratio")
    if request.air_months_c is None:
        cells = (month_cell(case.assume("month_air_c"), rise, ratio),) * 12
    else:
        cells = tuple([month_cell(air, rise, ratio) for air in request.air_months_c])
    return Losses(
        shares=(case.assume("derate_soiling"), case.assume("derate_wiring"), case.assume("derate_mismatch"),
                case.assume("derate_shading"), case.assume("derate_ageing")),
        controller=case.assume("controller_efficiency"), charging=_charging(request, case), rise_k=rise, cells_c=cells,
    )  # fmt: skip


def _charging(request: ArrayRequest, case: Case) -> float:
    if request.charge_efficiency is not None or request.chemistry in _CHARGING:
        return case.assume(_CHARGING.get(request.chemistry, "charge_efficiency_lead"), request.charge_efficiency)
    return charging_half(case.library.tables["chemistry_values"].cell(f"{request.chemistry}/round_trip_efficiency", "value"))


def efficiencies(module: ModuleType, losses: Losses, case: Case) -> tuple[float, ...]:
    """Energy stored over nameplate power times peak sun hours, by month."""
    gamma = case.assume("power_coefficient_per_k", module.power_coefficient_per_k)
    known: dict[int, float] = {}
    for cell in losses.cells_c:
        # Without temperatures by month all twelve are the same number.
        if id(cell) not in known:
            known[id(cell)] = stored_share(*losses.shares, heat_share(gamma, cell), losses.controller, losses.charging)
    return tuple([known[id(cell)] for cell in losses.cells_c])


class Needs(Struct):
    """What each month leaves to new modules and asks of them."""

    net_wh: tuple[float, ...]
    other_wh: tuple[float, ...]
    needed_w: tuple[float | None, ...]
    design: int | None
    """The month with the largest need; None when nothing is needed that sun could bring."""


def needs_of(request: ArrayRequest, sun: Resource, efficiency: tuple[float, ...], owned: list[tuple[Group, tuple[float, ...]]], case: Case) -> Needs:
    """The need of every month beside what owned modules of other types store there."""
    other = request.other_supplies_wh
    if other is None:
        other = (case.chosen(0.0, "month_other_wh", "no other supply is given"),) * 12
    nothing = case.chosen(0.0, "array_needed_w", "nothing is left to the array")
    floor = case.constant("insolation_floor")
    nets, needed = [], []
    net = before = None
    for month, load in enumerate(request.load_wh):
        if net is None or load is not before or other[month] is not other[month - 1]:
            net = month_net(load, other[month])
        before = load
        left = net if not owned else month_left(net, *[_stored(group, sun, etas, month) for group, etas in owned])
        planned = sun.planned_kwh_m2[month]
        nets.append(net)
        if not left > 0.0:
            needed.append(nothing)
        elif planned < floor:
            needed.append(None)
        else:
            needed.append(power_needed(left, planned, efficiency[month]))
    design = max((month for month in range(12) if needed[month]), key=needed.__getitem__, default=None)
    return Needs(tuple(nets), other, tuple(needed), design)


def _stored(group: Group, sun: Resource, efficiency: tuple[float, ...], month: int) -> float:
    return stored_energy(group.power_w, sun.planned_kwh_m2[month], efficiency[month], group.clipped_fraction)


class Balance(Struct):
    """Twelve months of a finished array."""

    months: tuple[MonthBalance, ...]
    short: tuple[int, ...]
    shares: dict[int, float]
    """Share of the loads that is covered in each month that stays short."""
    covers: float


def balance_of(
    request: ArrayRequest, sun: Resource, losses: Losses, efficiency: tuple[float, ...], needs: Needs,
    groups: list[tuple[Group, tuple[float, ...]]], case: Case,
) -> Balance:
    """Yield, income and balance of every month, and the months that stay short."""
    months, short, shares = [], [], {}
    nothing = case.chosen(0.0, "array_energy_wh", "there is no module")
    for month, name in enumerate(MONTHS):
        load, other = request.load_wh[month], needs.other_wh[month]
        parts = [_stored(group, sun, etas, month) for group, etas in groups]
        stored = energy_of_groups(*parts) if len(parts) > 1 else parts[0] if parts else nothing
        came = income(stored, other)
        if came < load and not at_least(came, load):
            short.append(month)
            shares[month] = covered(came, load)
        months.append(MonthBalance(
            name, load, other, needs.net_wh[month], sun.planned_kwh_m2[month], losses.cells_c[month], efficiency[month],
            needs.needed_w[month], stored, balance(came, load),
        ))  # fmt: skip
    worst = least_covered(*shares.values()) if shares else case.chosen(1.0, "covered_fraction", "every month is covered")
    return Balance(tuple(months), tuple(short), shares, worst)


def remark(needs: Needs, found: Balance, case: Case) -> None:
    """Findings about months: no sun, not covered, or one month that alone makes the array large."""
    dark = [month for month in found.short if needs.needed_w[month] is None]
    if dark:
        case.note("no-sun", "/sun", months=_said(dark))
    rest = [month for month in found.short if month not in dark]
    if rest:
        worst = min(rest, key=found.shares.__getitem__)
        case.note("array-short", "/loads", months=_said(rest), worst=MONTHS[worst].capitalize(), percent=f"{100 * found.shares[worst]:.0f}")
    if needs.design is None:
        return
    asking = sorted(needed for needed in needs.needed_w if needed is not None)
    middle = asking[len(asking) // 2]
    if middle > 0.0:
        times = needed_ratio(needs.needed_w[needs.design], middle)
        if at_least(times, case.constant("lopsided_ratio")):
            case.note("array-lopsided", "/sun", month=MONTHS[needs.design].capitalize(), times=f"{times:.3g}")


def _said(months: list[int]) -> str:
    return ", ".join(MONTHS[month].capitalize() for month in months)
