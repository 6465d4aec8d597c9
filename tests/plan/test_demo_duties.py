"""What each practice asks beyond sizes: said where its condition holds, and nowhere else."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from ohmstead.installation.needs import Needs, RunLengths
from ohmstead.plan.duties import remark_duties

VAN, CABIN = "climbers-van", "beekeepers-cabin"
DWELLING = {"rapid-shutdown", "photovoltaic-arc-fault", "photovoltaic-ground-fault", "storage-shutdown"}
GROUNDED, BY_CHOICE = "direct-current-grounded", "direct-current-grounded-by-choice"
EITHER = {"critical-on-managed-bank", "string-above-60-v", "pre-charge"}


def duties(case) -> set[str]:
    return {finding.code for finding in case.findings} & (DWELLING | EITHER | {GROUNDED, BY_CHOICE})


def modules(count: int, size: str) -> dict:
    """So many modules at a controller that starts one volt above the bank and keeps the bank's current from them."""
    controller = {"by": "stated", "input_limit": {"value": 150, "unit": "V"}, "output": {"value": 100, "unit": "A"},
                  "start_headroom": {"value": 1, "unit": "V"}, "blocks_backfeed": True}
    return {"by": "planned", "module": {"by": "generic", "size": size}, "mounting": "open-rack",
            "space": {"by": "count", "count": count}, "controller": controller}


def test_a_vehicle_and_a_cabin_have_their_own(planned, demo):
    _, van = planned(demo(VAN))
    _, cabin = planned(demo(CABIN))
    assert duties(van) == EITHER
    assert duties(cabin) == DWELLING | {"string-above-60-v", "pre-charge", GROUNDED}  # no load there must never be cut


def test_a_vehicle_is_not_asked_for_what_buildings_need(planned, demo):
    """Strings of 76 V and 3.8 kWh in a van: articles 690 and 706 do not reach it."""
    plan, van = planned(demo(VAN))
    assert plan.array.groups[0].strings.cold_v > 60 and plan.bank.rated_energy_wh > 1000
    assert not duties(van) & DWELLING


def test_the_same_brief_under_the_other_practice(planned, demo):
    brief = demo(VAN) | {"dwelling": {"practice": "us-dwelling", "kind": "cabin"}}
    _, case = planned(brief)
    # 76.4 V are below the 80 V from which arc-fault protection is asked for.
    assert duties(case) == DWELLING - {"photovoltaic-arc-fault"} | EITHER | {BY_CHOICE}


def lamp(watts: float, **more) -> dict:
    return {"current": "dc", "id": "lamp", "draw": {"by": "power", "power": {"value": watts, "unit": "W"}},
            "use": {"by": "every-day", "hours_per_day": 12}, "start": {"by": "none"}} | more


def small_cabin(demo, count: int = 1, size: str = "100w", watts: float = 20, chemistry: str = "lfp", **load) -> dict:
    """A cabin on 12 V with one lamp and a small array, in -25 to 20 °C."""
    brief = demo(CABIN) | {
        "system_voltage": 12, "array": modules(count, size), "inverter": {"by": "none"}, "supplies": [],
        "loads": [lamp(watts, **load)], "bank": {"chemistry": chemistry, "autonomy_days": 1},
    }
    return brief | {"site": brief["site"] | {"air_hottest": {"value": 20, "unit": "degC"}}}


OF_ARRAYS = {"rapid-shutdown", "photovoltaic-ground-fault", "string-above-60-v", "photovoltaic-arc-fault"}


@pytest.mark.parametrize(("count", "size", "volts", "bright_a", "expected"), [
    # Open circuit times 1.20 at -25 °C (Table 690.7(A) [recalled]), short circuit times 1.25 (690.8(A)(1)).
    (1, "100w", 21.96 * 1.2, 5.78 * 1.25, {"rapid-shutdown"}),
    (1, "200w", 21.96 * 1.2, 11.54 * 1.25, {"rapid-shutdown", "photovoltaic-ground-fault"}),
    (1, "400w", 36.99 * 1.2, 13.65 * 1.25, {"rapid-shutdown", "photovoltaic-ground-fault"}),
    (3, "100w", 3 * 21.96 * 1.2, 5.78 * 1.25, {"rapid-shutdown", "photovoltaic-ground-fault", "string-above-60-v"}),
    (2, "400w", 2 * 36.99 * 1.2, 13.65 * 1.25, OF_ARRAYS),
], ids=["26 V and 7 A", "14 A", "44 V", "79 V", "89 V"])
def test_an_array_is_asked_for_more_as_its_voltage_rises(planned, demo, count, size, volts, bright_a, expected):
    """Ground-fault protection above 30 V or 8 A (690.41(B)), a shock above 60 V, arc-fault protection from 80 V on (690.11)."""
    plan, case = planned(small_cabin(demo, count, size, watts=25 * count))
    (group,) = plan.array.groups
    assert group.strings.series == count and group.strings.parallel == 1
    assert (group.strings.cold_v, group.strings.photovoltaic_current_a) == pytest.approx((volts, bright_a), rel=1e-9)
    assert duties(case) & OF_ARRAYS == expected


def test_without_an_array_a_bank_and_an_inverter_nothing_of_theirs_is_asked(planned, demo):
    plan, case = planned(small_cabin(demo, chemistry="agm") | {"array": {"by": "none"}})
    assert plan.array is None and duties(case) & (OF_ARRAYS | {"pre-charge", "critical-on-managed-bank"}) == set()


@pytest.mark.parametrize(("capacity_ah", "asked"), [(80, False), (90, True)])
def test_storage_above_one_kilowatt_hour(planned, demo, capacity_ah, asked):
    """NEC 706.1: 1 kWh; one unit of 80 Ah at 12 V is 960 Wh, one of 90 Ah 1,080."""
    brief = small_cabin(demo, watts=5)
    brief["bank"] = {"chemistry": "agm", "autonomy_days": 1, "unit": {
        "by": "stated", "voltage": {"value": 12, "unit": "V"}, "capacity": {"value": capacity_ah, "unit": "Ah"}}}
    plan, case = planned(brief)
    assert plan.bank.units == 1 and plan.bank.rated_energy_wh == pytest.approx(12 * capacity_ah)
    assert ("storage-shutdown" in duties(case)) == asked


@pytest.mark.parametrize(("chemistry", "critical", "asked"), [("lfp", True, True), ("lfp", False, False), ("agm", True, False)])
def test_what_must_never_be_cut_on_a_bank_that_can_open(planned, demo, chemistry, critical, asked):
    _, case = planned(small_cabin(demo, chemistry=chemistry, critical=critical))
    assert ("critical-on-managed-bank" in duties(case)) == asked
    said = [finding.message for finding in case.findings if finding.code == "critical-on-managed-bank"]
    assert all("lamp" in message for message in said)


@pytest.mark.parametrize(("volts", "code"), [(60, BY_CHOICE), (60.01, GROUNDED)])
def test_a_direct_current_system_above_60_v_has_to_be_grounded(planned, demo, shelf, volts, code):
    """NEC 250.162(A): above 60 V; at 60 V the plan does it by its own choice. The joint is drawn in either case."""
    plan, _ = planned(demo(CABIN))
    bank = replace(plan.bank, voltages=replace(plan.bank.voltages, highest_v=float(volts)))
    needs = Needs(
        practice=plan.practice, kind="cabin", nominal_v=48.0, bank=bank, inverter=None, groups=(), supplies=(), direct_loads=(), alternating_loads=(),
        lengths=RunLengths({}, {}), direct_running_w=0.0, ripple_power_factor=1.0, inverter_current_a=None, cut_off_v=42.0, lock_out=False)
    case = shelf.case()
    remark_duties(plan.practice, needs, None, case)
    assert {finding.code for finding in case.findings} & {GROUNDED, BY_CHOICE} == {code}
    (said,) = [finding for finding in case.findings if finding.code == code]
    assert f"{volts:g} V" in said.message and "250.162(A)" in said.clause


def test_the_negative_of_a_cabin_is_joined_to_earth_at_any_voltage(planned, demo):
    for brief, highest in ((demo(CABIN), 64.08), (small_cabin(demo), 14.6)):
        plan, case = planned(brief)
        assert plan.bank.voltages.highest_v == pytest.approx(highest)
        (joint,) = [wire for wire in plan.installation.conductors if wire.start == "bus-negative.earth"]
        main = next(drawn.sized.conductor for drawn in plan.circuits if drawn.circuit.id == "bank-main")
        assert joint.end.startswith("earth-bus.") and (joint.size, joint.sets) == (main.size, main.sets)
        assert "recalled-value-decides" in {finding.code for finding in case.findings}  # 6 AWG to the rod is known from memory


def test_a_vehicle_is_not_told_of_grounding_above_60_v(planned, demo):
    _, case = planned(demo(VAN))
    assert not duties(case) & {GROUNDED, BY_CHOICE}


def test_a_duty_says_where_it_stands(planned, demo):
    _, case = planned(demo(CABIN))
    pointers = {finding.code: finding.pointer for finding in case.findings}
    assert {code: pointers[code] for code in DWELLING | {"pre-charge"}} == {
        "rapid-shutdown": "/array", "photovoltaic-arc-fault": "/array", "photovoltaic-ground-fault": "/array",
        "storage-shutdown": "/bank", "pre-charge": "/inverter",
    }
