"""What holds for every list of loads: searched with hypothesis."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ohmstead.electrical.loads.model import (
    ByAppliance, ByCookingPower, ByCurrent, ByMonth, ByPower, BySeason, CodeLetter, Demand, EveryDay, Load, LockedRotor, MeasuredStart, NoStart,
    Request, SoftStart, Standby, StartKind, StartMultiple,
)
from ohmstead.electrical.loads.sizing import size_demand
from ohmstead.reference.case import Shelf
from ohmstead.working import at_least, at_most

SHELF = Shelf()
UNHURRIED = settings(deadline=None)  # the machine may be busy; speed is measured elsewhere
KINDS = SHELF.plain.tables["start_multiples"].column("kind")
TABLE = SHELF.plain.tables["appliances"]
LETTERS = SHELF.plain.tables["code_letters"].column("letter")[:-1]


LISTED = {
    current: [name for name, its in zip(TABLE.column("name"), TABLE.column("current"), strict=True) if its == current] for current in ("ac", "dc")
}


def number(low: float, high: float):
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def maybe(strategy):
    return st.one_of(st.none(), strategy)


HOURS = number(0, 24)
USES = st.one_of(
    st.builds(EveryDay, HOURS), st.builds(BySeason, HOURS, HOURS),
    # Two figures in turn: twelve free ones cost time and tell nothing more.
    st.builds(lambda one, other: ByMonth((one, other, other) * 4), HOURS, HOURS),
)
SOFT = maybe(st.builds(SoftStart, maybe(number(0.1, 1))))
STARTS = maybe(st.one_of(
    st.just(NoStart()), st.builds(StartMultiple, number(1, 20)), st.builds(StartKind, st.sampled_from(KINDS)),
    st.builds(LockedRotor, number(0.1, 300), number(50, 480), SOFT), st.builds(CodeLetter, st.sampled_from(LETTERS), number(0.01, 20), SOFT),
    st.builds(MeasuredStart, number(0.1, 50000)),
))
DRAWS = st.one_of(
    st.builds(ByPower, number(0.01, 50000)), st.builds(ByCurrent, number(0.001, 500), number(5, 480)),
    st.builds(ByCookingPower, number(100, 2000), maybe(number(0.3, 0.9))),
)


@st.composite
def loads(draw, name: str) -> Load:
    current = draw(st.sampled_from(["ac", "dc"]))
    listed = st.builds(ByAppliance, st.sampled_from(LISTED[current]), maybe(number(1, 5000)))
    return Load(
        name, current, draw(st.one_of(DRAWS, listed)), draw(maybe(USES)), draw(maybe(number(1, 50))), draw(maybe(number(0, 1))),
        draw(maybe(st.builds(Standby, number(0, 100), maybe(HOURS)))), draw(maybe(number(0.1, 1))) if current == "ac" else None,
        draw(STARTS), draw(st.sampled_from([None, "resistive", "motor", "electronic"])), draw(maybe(number(5, 480))),
        draw(st.sampled_from([None, None, "a", "b"])), draw(st.booleans()), draw(st.sampled_from([False, False, True])),
    )


@st.composite
def requests(draw, most: int = 5) -> Request:
    count = draw(st.integers(1, most))
    return Request(
        tuple(draw(loads(f"load-{at}")) for at in range(count)), draw(st.sampled_from([12.0, 24.0, 48.0])), draw(maybe(number(-90, 90))),
        draw(maybe(number(0, 200))), draw(maybe(HOURS)), draw(maybe(number(0.3, 1))), draw(maybe(number(0.8, 1))), draw(maybe(number(0.3, 1))),
        draw(maybe(number(0, 20))), draw(maybe(number(1, 2))),
    )


def demand(request: Request) -> Demand:
    return size_demand(request, SHELF.case())


def replaced(request: Request, **more) -> Request:
    return msgspec.structs.replace(request, **more)


def totals(found: Demand) -> tuple[float, ...]:
    """Everything that more load must not lower."""
    return (
        *found.month_energy_wh, found.day_energy_wh, found.running_w, found.running_va, found.surge_va, found.restart_va,
        found.dc_running_w, found.dc_surge_w, found.bank_running_w, found.shore_w, found.shore_va,
    )


@UNHURRIED
@given(requests(), st.randoms())
def test_the_order_of_the_loads_does_not_matter(request, random):
    shuffled = list(request.loads)
    random.shuffle(shuffled)
    first, second = demand(request), demand(replaced(request, loads=tuple(shuffled)))
    assert totals(second) == pytest.approx(totals(first), rel=1e-9)
    assert second.heaviest_month == first.heaviest_month
    assert {line.id: line.bank_energy_wh for line in second.loads} == {line.id: line.bank_energy_wh for line in first.loads}
    for one, other in ((first.start, second.start), (first.dc_start, second.dc_start)):
        assert (one is None) == (other is None)
        assert one is None or other.start_increment_va == one.start_increment_va


@UNHURRIED
@given(requests(most=4), loads("another"))
def test_another_load_never_lowers_anything(request, another):
    more = totals(demand(replaced(request, loads=(*request.loads, another))))
    assert all(at_least(after, before) for after, before in zip(more, totals(demand(request)), strict=True))


@UNHURRIED
@given(requests(most=4), number(1, 5), st.data())
def test_more_of_a_load_never_lowers_anything(request, factor, data):
    at = data.draw(st.integers(0, len(request.loads) - 1))
    load = request.loads[at]
    grown = msgspec.structs.replace(load, load_count=(load.load_count or 1.0) * factor)
    more = totals(demand(replaced(request, loads=(*request.loads[:at], grown, *request.loads[at + 1:]))))
    assert all(at_least(after, before) for after, before in zip(more, totals(demand(request)), strict=True))


@UNHURRIED
@given(requests(most=4), number(0.3, 1), number(0.3, 1), st.sampled_from(["inverter_efficiency", "converter_efficiency", "wiring_efficiency"]))
def test_better_efficiency_never_takes_more(request, one, other, which):
    worse, better = sorted((one, other))
    low, high = demand(replaced(request, **{which: better})), demand(replaced(request, **{which: worse}))
    assert all(at_most(after, before) for after, before in zip(totals(low), totals(high), strict=True))


@UNHURRIED
@given(requests())
def test_the_parts_make_the_whole(request):
    found = demand(request)
    of_loads = sum(line.bank_energy_wh for line in found.loads)
    assert found.ac_energy_wh + found.dc_energy_wh == pytest.approx(of_loads, rel=1e-9, abs=1e-12)
    idle = found.idle_energy_wh + found.converter_idle_wh
    assert (of_loads + idle) * found.growth_factor == pytest.approx(found.day_energy_wh, rel=1e-9, abs=1e-12)
    assert found.day_energy_wh == found.month_energy_wh[found.heaviest_month]
    assert all(at_most(month, found.day_energy_wh) for month in found.month_energy_wh)
    if found.day_energy_wh > 0:
        shares = sum(line.energy_share for line in found.loads)
        assert shares + idle * found.growth_factor / found.day_energy_wh == pytest.approx(1.0)


@UNHURRIED
@given(requests())
def test_a_surge_is_never_below_what_runs(request):
    found = demand(request)
    assert at_least(found.running_va, found.running_w)
    assert at_least(found.surge_va, found.running_va)
    assert at_least(found.restart_va, found.surge_va)
    assert at_least(found.dc_surge_w, found.dc_running_w)
    if found.start is None:
        assert found.surge_va == found.running_va
    else:
        assert found.start.start_increment_va > 0
        assert any(line.id == found.start.id and line.on_bank and line.current == "ac" for line in found.loads)


@UNHURRIED
@given(requests(most=4), st.sampled_from([0.0, 12.0, 24.0]))
def test_an_inverter_that_is_on_longer_never_takes_less(request, hours):
    more, less = demand(replaced(request, idle_hours=24.0)), demand(replaced(request, idle_hours=hours))
    assert at_least(more.day_energy_wh, less.day_energy_wh)


@UNHURRIED
@given(requests())
def test_the_halves_of_the_year_hold_the_heaviest_day(request):
    found = demand(request)
    warm, cold = found.seasons
    assert max(warm.day_energy_wh, cold.day_energy_wh) == pytest.approx(found.day_energy_wh, rel=1e-9)
    for season in found.seasons:
        parts = sum(season.line_energy_wh) + found.idle_energy_wh + found.converter_idle_wh
        assert parts * found.growth_factor == pytest.approx(season.day_energy_wh, rel=1e-9, abs=1e-12)
        if season.month is not None:
            assert season.day_energy_wh == found.month_energy_wh[season.month]


@UNHURRIED
@given(requests())
def test_a_change_saves_no_more_than_there_is(request):
    found = demand(request)
    saved = [change.saved_wh for change in found.changes]
    assert saved == sorted(saved, reverse=True)
    assert all(0 < one and at_most(one, found.day_energy_wh) for one in saved)
    off = next((change.saved_wh for change in found.changes if change.what == "inverter-off-between-uses"), 0.0)
    assert at_most(off, found.idle_energy_wh * found.growth_factor)


@UNHURRIED
@given(requests())
def test_every_load_of_another_voltage_has_its_converter_once(request):
    found = demand(request)
    behind = [name for converter in found.converters for name in converter.loads]
    assert sorted(behind) == sorted(line.id for line in found.loads if line.converter and line.on_bank)
    for converter in found.converters:
        fits = converter.outcome == "converter"
        assert fits == (bool(converter.checks) and all(check.passed for check in converter.checks))
        if fits:
            assert at_least(converter.output_a, converter.needed_a) and at_least(converter.peak_a, converter.start_a)
            assert at_least(converter.output_a * converter.voltage_v, converter.running_w)
        if converter.outcome == "buffer-battery":
            assert at_least(converter.buffer.feed_output_a, converter.buffer.feed_needed_a)
            assert converter.buffer.discharge_w == converter.surge_w
