"""One load by itself: what it draws, with what apparent power, what its start adds, its energy a day."""

from __future__ import annotations

from ...reference.case import Case
from ...working import at_least, at_most
from .day import Calendar, Losses, at_bank, at_load, at_standby
from .formulas import (
    alike_apparent, alike_power, alternating_power, apparent_of_direct, apparent_power, direct_power, oven_power,
    voltage_ratio,
)
from .model import ByCookingPower, ByCurrent, ByPower, Load, LoadLine, NoStart
from .power import bus_increment, bus_increment_converted, bus_power, bus_power_converted
from .starting import Starts, start_of
from .starts import increment, increments_alike, start_by_multiple

_POWER_FACTORS = {
    None: "power_factor", "resistive": "power_factor_resistive", "motor": "power_factor_motor", "electronic": "power_factor_electronic",
}
_STARTLESS = ("resistive", "electronic")


def appliance(load: Load, one: float, days: Calendar, losses: Losses, starts: Starts, case: Case) -> LoadLine:
    """Work out one load; `one` is the count of a load that is alone of its kind."""
    count = load.load_count
    converter, bus, bus_adds = False, None, None
    if load.current == "ac":
        power, apparent = _alternating(load, case)
        alike = power if count is None else alike_power(power, count)
    else:
        power = load.draw.load_power_w if type(load.draw) is ByPower else _direct(load, case)
        apparent = apparent_of_direct(power)
        alike = power if count is None else alike_power(power, count)
        if load.voltage_v is not None or type(load.draw) is ByCurrent:
            converter = _needs_converter(load, losses.request.nominal_voltage_v, case)
        bus = bus_power_converted(alike, losses.converter()) if converter else bus_power(alike)
    if type(load.start) is NoStart:
        start = adds = alike_adds = None
    else:
        start = _start(load, apparent, case, starts)
        adds = alike_adds = None if start is None else increment(start, apparent)
    if load.current == "dc" and adds is not None:
        bus_adds = bus_increment_converted(adds, losses.converter()) if converter else bus_increment(adds)
    at_loads = at_load(load, power, one if count is None else count, days, losses)
    on_standby = () if load.standby is None else at_standby(load, one if count is None else count, days)
    at_banks = () if load.shore_only else at_bank(load, converter, at_loads, losses)
    alike_va = apparent
    if count is not None:
        alike_va = alike_apparent(apparent, count)
        alike_adds = None if adds is None else increments_alike(adds, count)
    return LoadLine(
        load.id, load.current, power, one if count is None else count, alike, alike_va, apparent if start is None else start, adds, alike_adds,
        bus, bus_adds, not load.shore_only, load.group, load.critical, converter, _own_voltage(load) if converter else None, on_standby,
        at_loads, at_banks,
    )


def _alternating(load: Load, case: Case) -> tuple[float, float]:
    draw, factor = load.draw, load.power_factor
    if type(draw) is ByCurrent:
        if factor is None:
            factor = case.assume("power_factor_by_current")
        power = alternating_power(draw.voltage_v, draw.current_a, factor)
    else:
        if factor is None:
            factor = case.assume(_POWER_FACTORS[load.nature])
        power = draw.load_power_w if type(draw) is ByPower else _oven(draw, case)
    return power, apparent_power(power, factor)


def _direct(load: Load, case: Case) -> float:
    draw = load.draw
    if type(draw) is ByCurrent:
        return direct_power(draw.voltage_v, draw.current_a)
    return _oven(draw, case)


def _oven(draw: ByCookingPower, case: Case) -> float:
    return oven_power(draw.cooking_power_w, case.assume("cooking_efficiency", draw.cooking_efficiency))


def _needs_converter(load: Load, system_v: float, case: Case) -> bool:
    """Whether the appliance is made for another voltage; one measured while it runs is near its nominal one."""
    voltage = _own_voltage(load)
    ratio = voltage_ratio(voltage, system_v)
    if at_least(ratio, case.constant("same_voltage_low")) and at_most(ratio, case.constant("same_voltage_high")):
        return False
    case.note("converter-needed", load.pointer, load=load.id, voltage=voltage, system=system_v)
    return True


def _own_voltage(load: Load) -> float:
    return load.voltage_v if load.voltage_v is not None else load.draw.voltage_v


def _start(load: Load, apparent_va: float, case: Case, starts: Starts) -> float | None:
    """Apparent power at the start of one appliance, or None; what is not known counts at the upper end of its band."""
    start = load.start
    if start is None:
        if load.nature in _STARTLESS:
            return None
        if type(load.draw) is ByCookingPower:
            kind = "microwave-oven"
        else:
            kind = "brushed-direct-current" if load.current == "dc" else "induction"
        starts.unknown.setdefault(kind, []).append(load.id)
        return start_by_multiple(case.library.tables["start_multiples"].cell(kind, "high"), apparent_va)
    return start_of(start, apparent_va, starts, case)


def note_unknown_starts(starts: Starts, most_named: int, case: Case) -> None:
    """Say which loads count as what kind of motor because nothing is said of their start."""
    table = case.library.tables["start_multiples"]
    for kind, ids in starts.unknown.items():
        row = table.row(kind)
        title, multiple = table.columns["title"][row], table.columns["high"][row]
        why = f"No start is given, so the upper end of the band counts: {title}"
        case.assumed_value("start_multiple", multiple, why, table.citation_of_row[row])
        if kind == "induction":
            named = ", ".join(ids[:most_named]) + (f" and {len(ids) - most_named} more" if len(ids) > most_named else "")
            case.note("start-not-given", loads=named, multiple=multiple)
