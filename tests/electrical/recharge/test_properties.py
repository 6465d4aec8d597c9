"""What holds for every charge: searched with hypothesis; the course against a numerical solution of its equation."""

from __future__ import annotations

import pytest
from electrical.recharge.asking import charge, hours, requests, shore
from electrical.runtime.asking import bank, load, number, run
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy.integrate import solve_ivp

from ohmstead.electrical.recharge.model import Array, DcDc, MainsCharger, RechargeRequest, Steady
from ohmstead.electrical.runtime.model import RuntimeRequest

SLACK = 1 + 1e-7


def never_faster(slower: RechargeRequest, faster: RechargeRequest) -> None:
    for longer, shorter in zip(hours(charge(slower)[0]), hours(charge(faster)[0]), strict=True):
        assert longer * SLACK + 1e-7 >= shorter, (longer, shorter)


@given(requests())
def test_the_band_is_in_order_and_the_course_holds_together(request):
    found, _ = charge(request)
    low, expected, high = hours(found)
    assert low <= expected * SLACK + 1e-9 and expected <= high * SLACK + 1e-9
    for before, after in zip(found.legs, found.legs[1:]):
        assert before.to_h == pytest.approx(after.from_h) and before.from_h <= before.to_h
    assert all(-1e-9 <= leg.state_of_charge <= 1 + 1e-9 for leg in found.legs)
    if found.outcome == "reached":
        assert found.energy_lost_wh >= 0 and found.charge_ah > 0
        assert len(found.legs) == 48 or found.legs[-1].state_of_charge == pytest.approx(found.target_state)


@given(requests(), st.integers(0, 2), number(1, 3))
def test_a_stronger_charger_is_never_slower(request, which, factor):
    changed = list(request.supplies)
    place = which % len(changed)
    of_kind = {MainsCharger: "charger_current_a", DcDc: "dc_dc_output_a", Steady: "charging_power_w", Array: "array_nameplate_w"}
    field = of_kind[type(changed[place])]
    changed[place] = replace(changed[place], **{field: getattr(changed[place], field) * factor})
    never_faster(request, replace(request, supplies=tuple(changed)))


@given(requests(), number(1, 300))
def test_more_load_is_never_faster(request, power):
    never_faster(replace(request, dc_loads_w=(request.dc_loads_w or 0.0) + power), request)
    never_faster(replace(request, ac_loads_w=(request.ac_loads_w or 0.0) + power), request)


@given(requests(), number(0.5, 0.95), number(1, 2))
def test_a_better_charger_is_never_slower(request, efficiency, factor):
    def with_efficiency(of):
        return replace(request, supplies=tuple(
            replace(supply, charger_efficiency=of) if isinstance(supply, MainsCharger) else supply for supply in request.supplies))

    never_faster(with_efficiency(efficiency), with_efficiency(min(1.0, efficiency * factor)))


@given(requests(clock=False), number(0, 1))
def test_a_fuller_bank_and_a_nearer_target_are_never_slower(request, other):
    emptier, fuller = sorted((request.state_of_charge, other))
    never_faster(replace(request, state_of_charge=emptier), replace(request, state_of_charge=fuller))
    nearer = request.target_state or 1.0
    never_faster(request, replace(request, target_state=nearer * other))


@given(requests(), st.randoms())
def test_order_of_supplies_does_not_matter(request, chance):
    mixed = list(request.supplies)
    chance.shuffle(mixed)
    never_faster(request, replace(request, supplies=tuple(mixed)))
    never_faster(replace(request, supplies=tuple(mixed)), request)


@given(st.sampled_from(["flooded", "agm", "gel", "lfp", "nmc", "lto", "sodium-ion"]), number(50, 600), number(0.05, 0.95), number(0.02, 0.4), number(0.3, 1))
@settings(max_examples=60, deadline=None)
def test_the_course_solves_its_equation(chemistry, capacity, start, rate, target):
    """Missing charge falls by the efficiency times the lesser of what comes and what the bank accepts."""
    assume(target > start + 0.01)
    held = bank(chemistry, capacity, charge_current_a=5000.0)
    found, _ = charge(RechargeRequest(held, (shore(rate * capacity),), start, target_state=target))
    assume(found.outcome == "reached")
    efficiency, constant = found.band[0].expected, found.band[1].expected

    def falls(_, missing):
        return -efficiency * min(found.start_a, found.tail_a + max(missing[0], 0.0) / (efficiency * constant))

    def there(_, missing):
        return missing[0] - (1 - target) * capacity

    there.terminal, there.direction = True, -1
    expected = found.charge_hours.expected
    solved = solve_ivp(falls, (0, 3 * expected + 1), [(1 - start) * capacity], events=there, rtol=1e-9, atol=1e-9, max_step=expected / 200)
    assert solved.t_events[0][0] == pytest.approx(expected, rel=1e-5)


@given(st.sampled_from(["flooded", "agm", "lfp", "nmc", "lto", "sodium-ion"]), number(0.1, 0.8), number(0.05, 0.2), number(-10, 30))
def test_what_was_put_in_comes_out(chemistry, start, more, temperature):
    """The energy that a charge stores is, at 25 degC and without losses, the energy that a run back down gives."""
    held, target = bank(chemistry, 200.0), start + more
    stored, _ = charge(RechargeRequest(held, (shore(30.0),), start, target_state=target))
    assume(stored.outcome == "reached")
    request = RuntimeRequest(
        held, (load(20.0),), state_of_charge=target, depth_of_discharge=1 - start, discharge_efficiency=1.0, wiring_efficiency=1.0, cut_off_v=6.0)
    back, _ = run(request)
    assert 20.0 * back.new.run_hours.expected == pytest.approx(stored.energy_stored_wh)
    cold, _ = run(replace(request, bank=replace(held, bank_temperature_c=temperature)))
    assert cold.new.run_hours.expected <= back.new.run_hours.expected * SLACK
