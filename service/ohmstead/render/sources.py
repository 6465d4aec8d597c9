"""What brings energy: array, supplies, and the balance of the months."""

from __future__ import annotations

from ..electrical.array.model import Array, Group
from ..electrical.solar.model import MONTHS
from ..electrical.sources.model import AlternatingSide, Charging, ChargeTotal, Supply
from ..electrical.year.model import Year
from .layout import heading, item, listed, paragraph, table, word
from .number import counted, down, exact, mass, percent, percent_down, temperature, up
from .verdicts import said, stands_in_the_way

_LONGEST_HEAD = 12
_MOST_COLUMNS = 3
"""Supplies that get a column of their own in the balance; with more of them it would be wider than the page."""


def array_lines(array: Array | None, *, banked: bool) -> list[str]:
    """Modules, strings inside their controller's window, and the month that decided."""
    lines = heading("Array")
    if not banked:
        return lines + paragraph("Not sized: there is no bank to charge.")
    if array is None:
        return lines + paragraph("None is wanted.")
    sun = "a guess from latitude and climate class" if array.sun.guess else word(array.sun.route)
    lines += item("Sun", f"{sun}, planned on {percent(array.sun.planning_margin)} of it; mounting {word(array.mounting)}")
    month = f", for {array.design_month.capitalize()}" if array.design_month is not None else ""
    lines += item("Needed", f"{up(array.needed_w)} W of modules{month}")
    if array.outcome != "sized":
        lines += item("NOT SIZED", stands_in_the_way(array.failed, array.why))
        if array.nearest:
            lines += item("Nearest miss", array.nearest)
    else:
        lines += item("Modules", f"{exact(array.module_count)}, together {exact(array.array_power_w)} W")
    if array.largest_count is not None:
        lines += item("Room for", f"{exact(array.largest_count)} new modules")
    for verdict in array.owned:
        what = f"keep {verdict.count}" if verdict.verdict == "keep" else "refuse"
        lines += item(f"Owned {verdict.id}", f"{what}. {verdict.why}")
    for group in array.groups:
        lines += _group(group)
    if array.outcome == "sized":
        short = f"; short in {listed(name.capitalize() for name in array.short_months)}" if array.short_months else ""
        lines += item("Covers", f"{percent_down(array.covers)} of the loads in the worst month, supplies included{short}")
    return lines


def _group(group: Group) -> list[str]:
    module, strings, controller = group.module, group.strings, group.controller
    of = f"{exact(module.power_w)} W module, generic, confirm its data" if module.generic else module.name
    origin = f"{group.new} new, {group.owned} owned" if group.owned else f"{group.new} to buy"
    lines = ["", *paragraph(f"{exact(group.module_count)} x {of}: {origin}, {exact(group.power_w)} W", 2, 2)]
    lines += item("Module", f"{exact(module.open_circuit_v)} V open circuit, {exact(module.max_power_v)} V at maximum power, "
                            f"{exact(module.short_circuit_a)} A short circuit, {exact(module.max_power_a)} A at maximum power", 4)
    lines += item("Strings", f"{exact(strings.series)} in series, {exact(strings.parallel)} in parallel, {_at(group)}; "
                             f"{exact(group.shortest_series)} to {exact(group.longest_series)} in series stay inside the window", 4)
    name = "generic, confirm its data" if controller.generic else controller.name
    lines += item("Controller", f"{exact(group.controllers)} x {exact(controller.output_rating_a)} A out, {exact(controller.input_limit_v)} V in ({name})", 4)
    lines += item("Coldest", f"{up(strings.cold_v, 1)} V open circuit", 4)
    lines += item("Hottest", f"{down(strings.hot_v, 1)} V at maximum power with cells at {temperature(strings.hot_cell_c)}", 4)
    lines += item("Currents", f"{up(strings.short_circuit_a, 2)} A short circuit, {up(strings.conductor_current_a, 2)} A for conductors and devices; "
                              f"{up(group.output_limited_a, 1)} A to the bank", 4)
    if group.clipped_fraction:
        lines += item("Clipped", f"{percent(group.clipped_fraction, 1)} of the nameplate power", 4)
    fuse = strings.fuse
    if fuse.device is not None and fuse.required:
        lines += item("String fuses", f"{fuse.count} x {fuse.device.title}, {exact(fuse.device.rating_a)} A", 4)
    else:
        lines += item("String fuses", "REQUIRED, and none that is made fits" if fuse.required else "not required", 4)
    for check in group.checks:
        lines += item("Check", said(check), 4)
    lines += item("Governed by", word(group.choice.governed_by), 4)
    if module.mass_kg is not None:
        lines += item("Mass", f"{mass(module.mass_kg)} a module", 4)
    return lines


def _at(group: Group) -> str:
    return f"at each of {exact(group.controllers)} controllers" if group.controllers > 1 else "at one controller"


def supply_lines(supplies: tuple[Supply, ...], total: ChargeTotal | None, *, banked: bool) -> list[str]:
    """Every supply: the limit to program, what is left, how long charging takes, whether the bank walks down."""
    lines = heading("Supplies")
    if not banked:
        return lines + paragraph("Not sized: there is no bank to charge.")
    if not supplies:
        lines += paragraph("None.")
    for supply in supplies:
        lines += _supply(supply)
    if total is not None:
        lines += ["", *item("All charging", f"{up(total.charge_current_a, 1)} A at once; {said(total.check)}")]
    return lines


def _supply(supply: Supply) -> list[str]:
    lines = paragraph(f"{supply.id} ({supply.kind})" if supply.id != supply.kind else supply.id)
    if supply.outcome != "sized":
        lines += item("NOT SIZED", stands_in_the_way(supply.failed, supply.why), 4)
    there = f"{exact(supply.hours_per_day)} h a day on {counted(supply.days_per_week, 'day')} a week" if supply.hours_per_day else "no hours counted on"
    lines += item("There", f"{there}; brings {down(supply.energy_wh)} Wh on the average day", 4)
    if supply.alternating is not None:
        lines += _alternating(supply.alternating, programmed=supply.charger is not None and supply.charger.kind == "inverter-charger")
    if supply.dc_dc is not None:
        side = supply.dc_dc
        lines += item("Alternator", f"{down(side.alternator_hot_a, 1)} A hot, {down(side.alternator_current_a, 1)} A of it for the bank, "
                                    f"through {'a DC-DC charger' if side.coupling == 'dc-dc' else 'a direct connection'} that draws {up(side.dc_dc_input_a, 1)} A", 4)
    if supply.charger is not None:
        origin = "there already" if supply.charger.given else "generic, confirm its data"
        lines += item("Charger", f"{word(supply.charger.kind) if supply.charger.kind != 'dc-dc' else 'DC-DC'}, {exact(supply.charger.charger_current_a)} A ({origin})", 4)
    if supply.charging is not None:
        lines += _charging(supply.charging)
    for check in supply.checks:
        if not check.passed:
            lines += item("Mind", said(check), 4)
    return lines


def _alternating(side: AlternatingSide, *, programmed: bool) -> list[str]:
    """An inverter-charger has an input limit to program; a charger that stands alone, or none, leaves what the supply gives."""
    legs = int(side.legs)
    each = ", each of two legs" if legs == 2 else ""
    breaker = f"breaker {exact(side.supply_breaker_a)} A, " if side.supply_breaker_a is not None else ""
    label, limit = ("Program", f"input limit {down(side.program_a, 1)} A") if programmed else ("Gives", f"{down(side.supply_limit_a, 1)} A")
    lines = item(label, f"{limit}{each} ({breaker}{exact(side.supply_voltage_v)} V, {down(side.supply_power_w)} W without end)", 4)
    if side.left_va is not None and side.charger_input_a is not None and side.charger_input_va is not None:
        lines += item("Left for loads", f"{down(side.left_va)} VA{' on leg 1' if legs == 2 else ''} while the charger takes {up(side.charger_input_a, 1)} A "
                                        f"({up(side.charger_input_va)} VA)", 4)
    if side.supplement_w:
        lines += item("Inverter adds", f"{up(side.supplement_w)} W when everything runs together", 4)
    if side.neutral_a is not None:
        lines += item("Neutral", f"{up(side.neutral_a, 1)} A", 4)
    if side.dead_loads:
        lines += item("Dead on it", listed(side.dead_loads), 4)
    return lines


def _charging(charging: Charging) -> list[str]:
    lines = item("Charger set to", f"{down(charging.charger_setting_a, 1)} A", 4)
    if charging.charge_hours is not None and charging.bulk_hours is not None and charging.absorption_hours is not None:
        lines += item("Full again in", f"{up(charging.charge_hours, 1)} h from the depth of discharge, with mean loads on ({up(charging.bulk_hours, 1)} h bulk, "
                                       f"{up(charging.absorption_hours, 1)} h absorption)", 4)
    elif charging.bulk_hours is not None:
        lines += item("Full again in", f"never by this supply alone; {up(charging.bulk_hours, 1)} h of bulk", 4)
    else:
        lines += item("Full again in", "never: the charging current does not exceed the loads'", 4)
    walks = "YES, although the supply is on" if charging.walks_down else "no"
    lines += item("Bank walks down", f"{walks}; {down(charging.balance_w)} W are left for it with mean loads on", 4)
    return lines


def balance_lines(year: Year | None) -> list[str]:
    """Twelve months: taken, brought, left."""
    lines = heading("Month by month, Wh on the average day at the bank")
    if year is None:
        return lines + paragraph("Not drawn up: there is no bank.")
    own = year.supplies if len(year.supplies) <= _MOST_COLUMNS else ()
    names = [id if len(id) <= _LONGEST_HEAD else f"supply {number}" for number, id in enumerate(own, 1)]
    rows = []
    for month in year.months:
        brought = [down(energy) for energy in month.supply_energy_wh[: len(own)]]
        lasts = "" if month.days_to_empty is None else f"{down(month.days_to_empty, 1)} days"
        rows.append((
            MONTHS[month.month - 1][:3].capitalize(), up(month.month_energy_wh), down(month.array_energy_wh), *brought, down(month.income_wh),
            down(month.balance_wh), percent_down(month.covered_fraction), lasts,
        ))
    lines += table(("<month", "loads", "array", *names, "brought", "balance", "covered", "full bank lasts"), rows)
    worst = MONTHS[year.worst_month - 1].capitalize()
    short = listed(MONTHS[number - 1].capitalize() for number in year.deficit_months)
    lines.append("")
    for name, id in zip(names, own, strict=True):
        if name != id:
            lines += item(name.capitalize(), id)
    return [*lines, *item("Worst month", worst), *item("In deficit", short)]
