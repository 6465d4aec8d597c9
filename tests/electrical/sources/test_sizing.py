"""Decisions on supplies: what is picked, what is refused, what is said."""

from __future__ import annotations

import pytest

from ohmstead.electrical.sources.model import Alternator, BankFacts, ByPower, ChargerFacts, Generator, LoadFacts, Shore
from ohmstead.electrical.sources.sizing import check_total_charge, size_supplies
from ohmstead.reference.case import Shelf

LFP = BankFacts("lfp", 12.0, 200.0, 0.8, 14.2, 100.0)
FLOODED = BankFacts("flooded", 12.0, 400.0, 0.5, 14.7, 50.0, 20.0)
QUIET = LoadFacts(1200.0, 600.0, 0.0, 0.0, 0.0)


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


def size(shelf, requests, bank=LFP, loads=QUIET, charger=None):
    """The supplies and the codes of what was said."""
    case = shelf.case()
    found = size_supplies(requests, bank, loads, case, *([charger] if charger else []))
    return found, [finding.code for finding in case.findings], case


def test_no_supplies_is_no_work(shelf):
    found, said, case = size(shelf, [])
    assert found == () and said == []


def test_one_charger_is_turned_down_on_the_weaker_supply(shelf):
    bank = BankFacts("lfp", 12.0, 400.0, 0.8, 14.2, 200.0)
    (weak, strong), said, _ = size(shelf, [Shore("weak", "120V-15A"), Shore("strong", "120V-30A")], bank)
    assert weak.charger == strong.charger and strong.charger.charger_current_a == 120.0
    assert strong.charging.charger_setting_a == 120.0
    assert weak.charging.charger_setting_a == pytest.approx(1440 * 0.88 * 0.95 / 14.2)
    assert weak.alternating.charger_input_a == pytest.approx(12.0)
    assert "charger-turned-down" in said


def test_hours_not_given_bring_nothing_and_that_is_said(shelf):
    (supply,), said, case = size(shelf, [Shore("it", "120V-30A")])
    assert supply.energy_wh == 0.0 and supply.charging.charge_hours > 0
    assert "supply-hours-missing" in said
    assert "supply_hours_per_day" in {assumed.name for assumed in case.assumptions}


def test_shore_all_day_carries_the_loads_and_fills_the_bank_once(shelf):
    (supply,), _, _ = size(shelf, [Shore("it", "120V-30A", 24.0)])
    assert supply.energy_wh == pytest.approx(1200.0 + 160.0 * 12.0)


def test_relay_below_the_breaker_is_said_and_limits_what_is_programmed(shelf):
    (supply,), said, _ = size(shelf, [Shore("it", "120-240V-50A", 8.0)], charger=ChargerFacts(transfer_rating_a=30.0))
    assert supply.alternating.supply_limit_a == 24.0  # NEC 210.19: 80 % of the relay for three hours or more
    assert "relay-below-supply" in said
    relay = next(check for check in supply.checks if check.rule.name == "relay-carries-supply")
    assert not relay.passed


def test_alternating_loads_above_the_supply_walk_the_bank_down(shelf):
    loads = LoadFacts(day_energy_wh=24 * 1700.0, dc_energy_wh=24 * 100.0, running_va=2000.0, start_increment_va=0.0, shore_va=0.0)
    (supply,), said, _ = size(shelf, [Shore("it", "120V-15A", 24.0)], loads=loads)
    assert supply.charging.walks_down and supply.charging.charge_hours is None
    assert supply.charging.balance_w == pytest.approx((1440 - 1600) / 0.9 - 100)
    assert "bank-walks-down" in said and "loads-exceed-supply" in said


def test_direct_loads_above_the_charger_walk_the_bank_down(shelf):
    loads = LoadFacts(day_energy_wh=24 * 2000.0, dc_energy_wh=24 * 2000.0, running_va=0.0, start_increment_va=0.0, shore_va=0.0)
    (supply,), said, _ = size(shelf, [Shore("it", "120V-30A", 10.0)], loads=loads)
    assert supply.charging.walks_down and supply.charging.bulk_hours is None
    assert supply.energy_wh == pytest.approx(10 * 100.0 * 14.2)
    assert "bank-walks-down" in said


def test_bank_too_small_for_any_charger_still_runs_loads(shelf):
    (supply,), said, _ = size(shelf, [Shore("it", "120V-30A", 12.0)], BankFacts("flooded", 12.0, 80.0, 0.5, 14.7, 10.0, 4.0))
    assert supply.outcome == "nothing-fits" and supply.failed.rule.name == "charge-within-bank-limit"
    assert (supply.failed.actual, supply.failed.limit) == (15.0, 10.0)
    assert supply.charger is None and supply.charging is None
    assert supply.energy_wh == pytest.approx(12 * (1200.0 - 600.0) / 24)
    assert "no-charger-fits" in said


def test_supply_too_weak_for_any_charger_names_the_input(shelf):
    (supply,), _, _ = size(shelf, [Generator("it", ByPower(200.0), hours_per_day=4.0)])
    assert supply.outcome == "nothing-fits" and supply.failed.rule.name == "charger-within-supply"


def test_a_given_charger_above_the_bank_is_turned_down(shelf):
    (supply,), said, _ = size(shelf, [Shore("it", "120V-30A", 8.0)], FLOODED, charger=ChargerFacts(charger_current_a=80.0))
    assert supply.charger.given and supply.charging.charger_setting_a == 50.0
    assert "charger-above-bank" in said and "charger-turned-down" in said


def test_a_stand_alone_charger_is_kept_off_the_inverter(shelf):
    loads = LoadFacts(1200.0, 600.0, 500.0, 0.0, 0.0)
    _, said, _ = size(shelf, [Shore("a", "120V-30A", 8.0), Shore("b", "120V-15A", 8.0)], loads=loads, charger=ChargerFacts("stand-alone"))
    assert said.count("charger-ahead-of-inverter") == 1
    _, said, _ = size(shelf, [Shore("a", "120V-30A", 8.0)], charger=ChargerFacts("stand-alone"))
    assert "charger-ahead-of-inverter" not in said


def test_generator_wired_for_240_halves_what_one_leg_starts(shelf):
    loads = LoadFacts(1200.0, 600.0, 1000.0, 1500.0, 0.0)
    one, said_one, _ = size(shelf, [Generator("it", ByPower(4000.0), "120", 0.0, 20.0, 2.0)], loads=loads)
    two, said_two, _ = size(shelf, [Generator("it", ByPower(4000.0), "120-240", 0.0, 20.0, 2.0)], loads=loads)
    assert "generator-start-too-small" not in said_one and "generator-start-too-small" in said_two
    assert two[0].alternating.has_240 and not one[0].alternating.has_240


def test_loads_that_only_shore_serves_count_on_it(shelf):
    loads = LoadFacts(1200.0, 600.0, 1500.0, 0.0, 1800.0)
    (supply,), said, _ = size(shelf, [Shore("it", "120V-30A", 8.0)], loads=loads)
    assert supply.alternating.supplement_w == pytest.approx(420.0)
    assert "loads-exceed-supply" in said


def test_lithium_directly_on_an_alternator_is_not_obeyed(shelf):
    (supply,), said, case = size(shelf, [Alternator("it", 150.0, coupling="direct", hours_per_day=1.0)])
    assert supply.dc_dc.coupling == "dc-dc" and supply.charger.kind == "dc-dc"
    finding = next(finding for finding in case.findings if finding.code == "alternator-lithium-direct")
    assert finding.severity == "unsafe" and finding.pointer == "/supplies/0"


def test_alternator_directly_on_a_bank_of_another_voltage_charges_nothing(shelf):
    bank = BankFacts("agm", 24.0, 200.0, 0.5, 29.0, 40.0, 10.0)
    (supply,), _, _ = size(shelf, [Alternator("it", 150.0, coupling="direct", hours_per_day=1.0)], bank)
    assert supply.outcome == "nothing-fits" and "24 V bank" in supply.why and supply.energy_wh == 0.0


def test_direct_current_above_the_limit_of_the_bank_is_said(shelf):
    (supply,), said, _ = size(shelf, [Alternator("it", 200.0, coupling="direct", hours_per_day=2.0)], FLOODED)
    assert supply.charging.charging_a == 75.0
    assert {"alternator-above-bank", "alternator-cannot-finish"} <= set(said)
    assert supply.charging.bulk_hours > 0 and supply.charging.charge_hours is None


def test_alternator_too_small_for_any_dc_dc_charger(shelf):
    (supply,), said, _ = size(shelf, [Alternator("it", 40.0, hours_per_day=2.0)])
    assert supply.outcome == "nothing-fits" and supply.failed.rule.name == "dc-dc-within-alternator"
    assert "no-charger-fits" in said


def test_no_dc_dc_charger_between_these_voltages(shelf):
    bank = BankFacts("lfp", 12.0, 200.0, 0.8, 14.2, 100.0)
    (supply,), _, _ = size(shelf, [Alternator("it", 100.0, starter_voltage_v=48.0, hours_per_day=2.0)], bank)
    assert supply.outcome == "nothing-fits" and "48 V" in supply.why


def test_a_given_dc_dc_charger_is_turned_down_to_the_alternator(shelf):
    (supply,), said, _ = size(shelf, [Alternator("it", 90.0, dc_dc_output_a=60.0, hours_per_day=2.0)])
    assert supply.charger.given and supply.charging.charger_setting_a < 60.0
    assert supply.dc_dc.dc_dc_input_a == pytest.approx(supply.dc_dc.alternator_current_a)
    assert all(check.passed for check in supply.checks) and "charger-turned-down" in said


def test_a_chemistry_without_charging_figures_takes_the_slowest_and_says_so(shelf):
    (supply,), _, case = size(shelf, [Shore("it", "120V-30A", 8.0)], BankFacts("nmc", 12.0, 200.0, 0.8, 12.3, 100.0))
    assert {"return_factor", "absorption_hours", "absorption_start"} <= {assumed.name for assumed in case.assumptions}
    assert supply.charging.absorption_hours >= 4.0


def test_house_rules_replace_the_defaults(shelf):
    case = shelf.case(house_rules={"charger_efficiency": 0.8, "charger_power_factor": 0.7})
    (supply,) = size_supplies([Shore("it", "120V-15A", 8.0)], LFP, QUIET, case, ChargerFacts(charger_current_a=20.0))
    assert supply.alternating.charger_input_va == pytest.approx(20 * 14.2 / (0.8 * 0.7))


def test_all_chargers_together(shelf):
    case = shelf.case()
    total = check_total_charge([50.0, 40.0], LFP, case)
    assert total.charge_current_a == 90.0 and total.check.passed and not case.findings
    total = check_total_charge([50.0, 40.0, 30.0], LFP, case)
    assert not total.check.passed and [finding.code for finding in case.findings] == ["chargers-together"]
