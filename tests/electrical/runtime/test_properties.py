"""What holds for every run: searched with hypothesis."""

from __future__ import annotations

from electrical.runtime.asking import SHELF, USES, bank, hours, load, maybe, number, requests, run
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy.integrate import quad

from ohmstead.electrical.held.model import ByUnits, HeldRequest
from ohmstead.electrical.runtime.model import ByEfficiency, ByRating, HoursADay, Inverter, RuntimeRequest
from ohmstead.electrical.storage.model import BankRequest
from ohmstead.electrical.storage.sizing import size_bank

SLACK = 1 + 1e-9


def runs(request: RuntimeRequest):
    """The bands of the new and of the aged bank; a load that does not run at all runs for no time."""
    found, _ = run(request)
    if found.outcome == "cannot-run":
        return [(0.0, 0.0, 0.0)] * 2
    return [hours(found.new.run_hours), hours(found.aged.run_hours)]


def never_longer(worse: RuntimeRequest, better: RuntimeRequest) -> None:
    for harder, easier in zip(runs(worse), runs(better), strict=True):
        assert all(short <= long * SLACK + 1e-9 for short, long in zip(harder, easier, strict=True)), (harder, easier)


@given(requests())
def test_the_band_and_the_ages_are_in_order(request):
    found, _ = run(request)
    assume(found.outcome != "cannot-run")
    for life in (found.new, found.aged, found.aged_other):
        low, expected, high = hours(life.run_hours)
        assert low <= expected * SLACK <= high * SLACK * SLACK
    product, larger = (life for life in sorted((found.aged, found.aged_other), key=lambda life: life.convention != "product"))
    for less, more in ((product, larger), (larger, found.new)):
        assert all(a <= b * SLACK for a, b in zip(hours(less.run_hours), hours(more.run_hours), strict=True))


@given(requests(), st.integers(0, 3), number(1, 3))
def test_more_load_never_runs_longer(request, which, factor):
    changed = list(request.loads)
    place = which % len(changed)
    changed[place] = replace(changed[place], power_w=changed[place].power_w * factor)
    never_longer(replace(request, loads=tuple(changed)), request)


@given(requests(), st.sampled_from(["dc", "ac"]), number(1, 500), USES)
def test_another_load_never_runs_longer(request, kind, power, use):
    # Loads by the clock ask for an hour of beginning; without one it would be assumed in one request and not in the other.
    request = replace(request, start_hour_h=request.start_hour_h or 6.0)
    never_longer(replace(request, loads=(*request.loads, load(power, kind, use))), request)


@given(requests(), number(0, 40))
def test_colder_never_runs_longer(request, colder):
    cold = replace(request.bank, bank_temperature_c=request.bank.bank_temperature_c - colder)
    never_longer(replace(request, bank=cold), request)


@given(requests(), number(0.5, 1), number(0.5, 1), st.booleans(), number(2000, 20000))
def test_better_efficiency_never_runs_shorter(request, one, other, by_rating, rating):
    worse, better = sorted((one, other))

    def with_inverter(efficiency):
        losses = ByRating(rating, efficiency) if by_rating else ByEfficiency(efficiency)
        return replace(request, inverter=Inverter(losses, 20.0), wiring_efficiency=efficiency)

    never_longer(with_inverter(worse), with_inverter(better))


@given(requests(), number(0, 0.02), number(0, 200))
def test_thinner_cables_and_less_charging_never_run_longer(request, more_ohm, less_w):
    charging = request.charging_power_w or 0.0
    better = replace(request, path_resistance_ohm=request.path_resistance_ohm or 0.0, charging_power_w=charging + less_w)
    never_longer(replace(better, path_resistance_ohm=better.path_resistance_ohm + more_ohm, charging_power_w=charging), better)


@given(requests(), st.randoms())
def test_order_of_loads_does_not_matter(request, chance):
    mixed = list(request.loads)
    chance.shuffle(mixed)
    never_longer(replace(request, loads=tuple(mixed)), request)
    never_longer(request, replace(request, loads=tuple(mixed)))


@given(requests())
def test_charge_up_to_the_end_is_the_usable_charge(request):
    """The second way: the current as a function of the clock, integrated."""
    request = replace(request, charging_power_w=None)
    found, _ = run(request)
    assume(found.outcome == "runs-out" and found.new.run_hours.expected < 2000)
    day = [(section.from_h, section.to_h, section.net_current_a * section.rate_factor) for section in found.sections]

    def of_day(end: float) -> float:
        return sum(
            quad(lambda _, used=used: used, start, min(stop, end))[0] for start, stop, used in day if start < end)

    end = found.new.run_hours.expected
    taken = int(end // 24) * of_day(24.0) + of_day(end % 24)
    if found.new.ended_by == "depth-of-discharge":
        assert abs(taken - found.new.usable_ah) <= 1e-6 * found.new.usable_ah + 1e-9
    else:
        # A run also ends where a heavy load would begin, whose own floor lies above what is used up by then.
        assert taken >= found.new.usable_ah / SLACK - 1e-9


@given(
    st.sampled_from(["flooded", "golf-cart", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion"]), number(200, 20000), number(1, 4), number(-10, 30), maybe(number(0.3, 0.8)),
    maybe(number(0.6, 1)), st.sampled_from(["larger-of", "product"]))
@settings(max_examples=150)
def test_what_a_bank_was_sized_for_runs_for_the_autonomy(chemistry, day_wh, days, temperature, depth, ageing, convention):
    """New, and at the end of its life by the convention that it was sized with."""
    request = BankRequest(
        chemistry, 48.0 if day_wh > 5000 else 12.0, day_wh, autonomy_days=days, bank_temperature_c=temperature, depth_of_discharge=depth,
        ageing_factor=ageing, ageing_convention=convention, largest_parallel=60.0)
    sized = size_bank(request, SHELF.case())
    assume(sized.outcome == "sized")
    held = HeldRequest(
        chemistry, request.nominal_voltage_v, ByUnits(sized.unit.voltage_v, sized.unit.capacity_ah, float(sized.parallel), current_a=2000.0),
        temperature)
    found, _ = run(RuntimeRequest(
        held, (load(day_wh / 24),), depth_of_discharge=depth, ageing_factor=ageing, ageing_convention=convention, wiring_efficiency=1.0,
        # An inverter that lets the bank run empty: what a higher cut-off strands is not in the bank's own sizing.
        cut_off_v=0.7 * request.nominal_voltage_v))
    assert found.new.run_hours.expected >= 24 * days / SLACK
    assert found.aged.run_hours.expected >= 24 * days / SLACK


@given(number(0.1, 24), number(1, 300))
def test_hours_without_a_clock_spread_over_the_day(hours_a_day, power):
    spread, _ = run(RuntimeRequest(bank(), (load(power, use=HoursADay(hours_a_day)),)))
    steady, _ = run(RuntimeRequest(bank(), (load(power * hours_a_day / 24),)))
    assert abs(spread.new.run_hours.expected - steady.new.run_hours.expected) <= 1e-9 * steady.new.run_hours.expected
