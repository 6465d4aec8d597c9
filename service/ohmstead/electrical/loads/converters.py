"""Loads of another voltage: the converter between, or a buffer battery where no converter starts or carries them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case, no_less, no_more
from ...reference.citations import cite
from ...reference.tables import Table
from ...working import Check, Rule, at_least, at_most
from .converter_formulas import (
    converter_idle_energy, converter_needed, converter_output, converter_peak, converter_start, feed_needed, largest_output_energy, output_energy,
)
from .formulas import voltage_ratio
from .model import Buffer, Converter, LargestStart, LoadLine, Request
from .together import at_one_output

CONTINUOUS = Rule(
    "converter-continuous", TERMS["converter_needed_a"], "at most", TERMS["converter_output_a"],
    cite("common-practice", "converters for loads of another voltage"),
)
START = Rule(
    "converter-start", TERMS["converter_start_a"], "at most", TERMS["converter_peak_a"],
    cite("common-practice", "converters for loads of another voltage"),
)
_NAMED = 10
"""Ids spelled out in one finding."""


def choose_converters(lines: Sequence[LoadLine], request: Request, case: Case) -> tuple[Converter, ...]:
    """What serves the loads of each voltage that is not the system's, the lowest voltage first."""
    behind = [line for line in lines if line.converter and line.on_bank]
    if not behind:
        return ()
    table = case.library.tables["dc_converters"]
    made: dict[float, float] = {}
    for voltage in table.columns["output_v"]:
        made.setdefault(float(voltage), voltage)
    groups: dict[float, tuple[float, list[LoadLine]]] = {}
    for line in behind:
        voltage = next((voltage for voltage in made.values() if _same(line.voltage_v, voltage, case)), line.voltage_v)
        groups.setdefault(float(voltage), (voltage, []))[1].append(line)
    return tuple([converter for _, (voltage, group) in sorted(groups.items()) for converter in _serve(voltage, group, request, case)])


def _same(voltage_v: float, nominal_v: float, case: Case) -> bool:
    ratio = voltage_ratio(voltage_v, nominal_v)
    return at_least(ratio, case.constant("same_voltage_low")) and at_most(ratio, case.constant("same_voltage_high"))


def _serve(voltage_v: float, lines: list[LoadLine], request: Request, case: Case) -> list[Converter]:
    """One converter for as many loads as it carries and starts; the hardest ones give way and get a second one or a buffer battery.

    The rule of choice: the smallest converter made whose rated output reaches what runs with its margin and whose peak
    reaches the largest start. Where no charger brings back a day's energy, or none is made, the outcome is `nothing-fits`.
    """
    table = case.library.tables["dc_converters"]
    rows = _made(table, request.nominal_voltage_v, voltage_v)
    together = _asked(voltage_v, lines, case)
    row = _row(table, rows, together)
    if row is not None:
        return [_carried(voltage_v, lines, together, row, request, case)]
    asked = [(_asked(voltage_v, [line], case).output_a, line) for line in lines]
    hardest = [line for _, line in sorted(asked, key=lambda one: (-one[0], one[1].id))]
    left = bisect_left(
        range(len(lines)), True, lo=1, key=lambda gone: _row(table, rows, _asked(voltage_v, hardest[gone:], case)) is not None)
    beyond = {line.id for line in hardest[:left]}
    made = []
    if left < len(lines):
        kept = [line for line in lines if line.id not in beyond]
        need = _asked(voltage_v, kept, case)
        made.append(_carried(voltage_v, kept, need, _row(table, rows, need), request, case))
    apart = [line for line in lines if line.id in beyond]
    need = _asked(voltage_v, apart, case)
    row = _row(table, rows, need)
    if row is not None:
        made.append(_carried(voltage_v, apart, need, row, request, case))
    else:
        # Where no load keeps a converter the idle draw of one counts all the same: more load shall never ask for less energy.
        devices = case.chosen(2 if len(apart) == len(lines) > 1 else 1, "load_count", "devices that idle")
        made.append(_buffered(voltage_v, apart, need, devices, rows[-1] if rows else None, request, case))
    return made


def _row(table: Table, rows: list[int], need: _Asked) -> int | None:
    """The smallest of these rows that gives what is asked."""
    return next((row for row in rows if at_most(need.output_a, table.columns["output_a"][row])), None)


class _Asked(Struct, frozen=True):
    """What loads ask of one converter."""

    running_w: float
    surge_w: float
    starter: LoadLine | None
    needed_a: float
    start_a: float
    output_a: float


def _asked(voltage_v: float, lines: list[LoadLine], case: Case) -> _Asked:
    running, surge, starter = at_one_output(lines)
    needed, start = converter_needed(case.assume("converter_margin"), running, voltage_v), converter_start(surge, voltage_v)
    return _Asked(running, surge, starter, needed, start, converter_output(needed, start, case.assume("converter_peak_ratio")))


def _carried(voltage_v: float, lines: list[LoadLine], need: _Asked, row: int, request: Request, case: Case) -> Converter:
    column = case.library.tables["dc_converters"].columns
    peak = converter_peak(column["output_a"][row], case.assume("converter_peak_ratio"))
    return _converter(
        voltage_v, lines, need, "converter", case.chosen(1, "load_count", "one converter"), _checks(need, column["output_a"][row], peak), request, case,
        row=column["id"][row], output_a=column["output_a"][row], peak_a=peak,
    )


def _buffered(
    voltage_v: float, lines: list[LoadLine], need: _Asked, devices: float, largest: int | None, request: Request, case: Case,
) -> Converter:
    buffer, why = _buffer(voltage_v, lines, need.surge_w, request, case)
    checks, most = (), "none"
    if largest is not None:
        output = case.library.tables["dc_converters"].columns["output_a"][largest]
        checks, most = _checks(need, output, converter_peak(output, case.assume("converter_peak_ratio"))), no_more(output)
    found = _converter(
        voltage_v, lines, need, "nothing-fits" if buffer is None else "buffer-battery", devices, checks, request, case, buffer=buffer, why=why)
    loads = ", ".join(found.loads[:_NAMED])
    if buffer is None:
        case.note("converter-none", "/loads", system=request.nominal_voltage_v, voltage=voltage_v, loads=loads, why=why)
    else:
        feed = f"{'a DC-DC charger' if buffer.feed_is_charger else 'a converter set to its charging voltage'} of {no_more(buffer.feed_output_a)} A"
        case.note(
            "converter-buffer", "/loads", system=request.nominal_voltage_v, voltage=voltage_v, needed=no_less(need.needed_a),
            start=no_less(need.start_a), loads=loads, largest=most, feed=feed,
        )
    return found


def _converter(
    voltage_v: float, lines: list[LoadLine], need: _Asked, outcome, devices: float, checks: tuple[Check, ...], request: Request, case: Case, **more,
) -> Converter:
    starter, idle = need.starter, case.assume("converter_idle_w", request.converter_idle_w)
    return Converter(
        voltage_v=voltage_v, loads=tuple([line.id for line in lines]), outcome=outcome, running_w=need.running_w, surge_w=need.surge_w,
        start=None if starter is None else LargestStart(starter.id, starter.start_va, starter.start_increment_va), needed_a=need.needed_a,
        start_a=need.start_a, idle_w=idle, idle_energy_wh=converter_idle_energy(idle, devices), checks=checks,
        **{"row": None, "output_a": None, "peak_a": None, "buffer": None, "why": "", **more},
    )


def _checks(need: _Asked, output_a: float, peak_a: float) -> tuple[Check, ...]:
    return CONTINUOUS.check(need.needed_a, output_a), START.check(need.start_a, peak_a)


def _made(table: Table, input_v: float, output_v: float) -> list[int]:
    """Rows for these voltages, the smallest output first."""
    column = table.columns
    return [row for row in range(table.rows) if column["input_v"][row] == input_v and column["output_v"][row] == output_v]


def _buffer(voltage_v: float, lines: list[LoadLine], surge_w: float, request: Request, case: Case) -> tuple[Buffer | None, str]:
    """A battery that starts and carries the loads while a charger brings the day's energy back; or why not."""
    days = [output_energy(*[line.day_load_energy_wh[day] for line in lines]) for day in range(len(lines[0].day_load_energy_wh))]
    energy = days[0] if len(days) == 1 else largest_output_energy(*days)
    needed = feed_needed(case.assume("converter_margin"), energy, voltage_v)
    largest = None
    for name in ("dc_dc_ratings", "dc_converters"):
        table = case.library.tables[name]
        rows = _made(table, request.nominal_voltage_v, voltage_v)
        for row in rows:
            largest = table.columns["output_a"][row]
            if at_most(needed, largest):
                return Buffer(table.columns["id"][row], name == "dc_dc_ratings", largest, needed, surge_w, energy), ""
        if rows:
            break
    if largest is None:
        return None, "neither a converter nor a charger is listed between these voltages."
    return None, f"a buffer battery would need {no_less(needed)} A all day, and the largest charger gives {no_more(largest)} A."
