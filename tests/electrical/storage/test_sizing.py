"""What is kept, refused, or cannot be had; and what is said about it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from ohmstead.electrical.storage.model import BankRequest, OwnedUnits, Prices, Unit
from ohmstead.electrical.storage.sizing import size_bank
from ohmstead.reference.case import Shelf

SHELF = Shelf()
LFP = Unit("unit", "lfp", 12.8, 200.0, mass_kg=25.0, current_a=200.0, peak_current_a=300.0, charge_current_a=100.0)
ASKED = BankRequest("lfp", 12.0, 1500.0, autonomy_days=2.0, bank_temperature_c=25.0, unit=LFP)  # 3846 Wh: two units of 2560
LEAD = BankRequest("golf-cart", 24.0, 2000.0, autonomy_days=1.0, bank_temperature_c=25.0)  # 4000 Wh: one string of 4 x 6 V 220 Ah


def sized(request, **house_rules):
    case = SHELF.case(house_rules=house_rules)
    bank = size_bank(request, case)
    return bank, {finding.code for finding in case.findings}, {said.name: said for said in case.assumptions}


# Owned units


@pytest.mark.parametrize(("batch", "reason"), [
    (OwnedUnits("golf-cart", 6.0, 220.0, 4, 0.5, duty="starter"), "starter-battery"),
    (OwnedUnits("agm", 6.0, 220.0, 4, 0.5), "other-chemistry"),
    (OwnedUnits("golf-cart", 6.0, 220.0, 4, 0.5, tested_capacity_ah=175.0), "worn-out"),
    (OwnedUnits("golf-cart", 8.5, 220.0, 4, 0.5), "voltage-does-not-divide"),
    (OwnedUnits("golf-cart", 6.0, 100.0, 4, 3.0), "age-gap"),
    (OwnedUnits("golf-cart", 6.0, 220.0, 3, 3.0), "incomplete-string"),
    (OwnedUnits("golf-cart", 6.0, 20.0, 4, 0.5), "does-not-carry-the-job"),
])  # fmt: skip
def test_refused(batch, reason):
    bank, _, _ = sized(replace(LEAD, owned=(batch,)))
    (said,) = bank.owned
    assert (said.verdict, said.kept, said.reason) == ("refuse", 0, reason) and said.why
    assert bank.outcome == "sized" and bank.unit.generic and bank.new_units == bank.units


def test_kept_units_carry_the_job_at_any_age():
    bank, said, _ = sized(replace(LEAD, owned=(OwnedUnits("golf-cart", 6.0, 220.0, 4, 3.0, tested_capacity_ah=180.0),)))
    assert (bank.owned[0].verdict, bank.owned[0].kept, bank.new_units, bank.units) == ("keep", 4, 0, 4)
    assert "owned-units-untested" not in said


def test_kept_units_beyond_the_need_are_used():
    bank, said, _ = sized(replace(LEAD, owned=(OwnedUnits("golf-cart", 6.0, 220.0, 8, 3.0),)))
    assert (bank.parallel, bank.new_units, bank.governed_by) == (2, 0, "owned-units")
    assert "owned-units-untested" in said


def test_no_more_strings_of_them_than_are_documented():
    bank, _, _ = sized(replace(LEAD, owned=(OwnedUnits("golf-cart", 6.0, 220.0, 22, 3.0),)))
    assert bank.parallel == 3 and bank.owned[0].kept == 12
    assert "10 of them are spare" in bank.owned[0].why


def test_young_units_are_extended_with_like_new_ones():
    bank, _, _ = sized(replace(LEAD, day_energy_wh=4000.0, owned=(OwnedUnits("golf-cart", 6.0, 220.0, 5, 1.0),)))
    assert (bank.parallel, bank.units, bank.owned[0].kept, bank.new_units) == (2, 8, 5, 3)
    assert bank.unit.voltage_v == 6.0 and bank.unit.capacity_ah == 220.0 and not bank.unit.generic


def test_a_unit_that_is_given_must_be_matched():
    other = OwnedUnits("lfp", 12.8, 100.0, 4, 0.2)
    like = OwnedUnits("lfp", 12.8, 200.0, 1, 0.2)
    bank, _, _ = sized(replace(ASKED, owned=(other, like)))
    assert [said.reason for said in bank.owned] == ["other-unit-asked", None]
    assert (bank.units, bank.new_units) == (2, 1) and bank.mass_kg == 50.0


def test_batches_are_not_mixed():
    larger = OwnedUnits("golf-cart", 6.0, 220.0, 4, 3.0)
    smaller = OwnedUnits("golf-cart", 6.0, 180.0, 4, 3.0)
    older = OwnedUnits("golf-cart", 6.0, 220.0, 1, 5.0)
    bank, _, _ = sized(replace(LEAD, owned=(smaller, larger, older)))
    assert [said.reason for said in bank.owned] == ["unlike-the-larger-batch", None, "age-gap"]


def test_like_batches_are_joined():
    two = OwnedUnits("golf-cart", 6.0, 220.0, 2, 3.0)
    bank, _, _ = sized(replace(LEAD, owned=(two, replace(two, age_years=3.5))))
    assert [said.kept for said in bank.owned] == [2, 2] and bank.new_units == 0


def test_a_tested_capacity_at_the_worn_share_is_kept():
    batch = OwnedUnits("golf-cart", 6.0, 220.0, 4, 3.0, tested_capacity_ah=0.8 * 220.0)
    assert sized(replace(LEAD, owned=(batch,)))[0].owned[0].verdict == "keep"


# What cannot be had


def test_too_many_strings():
    bank, said, _ = sized(replace(ASKED, day_energy_wh=6000.0))
    assert bank.outcome == "nothing-fits" and bank.parallel == 4
    assert bank.failed.rule.name == "bank-energy" and not bank.failed.passed
    assert "7 strings" in bank.why
    assert said == set(), "nothing is remarked about a bank that is not built"


def test_a_caller_may_go_beyond_the_habit_and_is_told():
    bank, said, assumed = sized(replace(ASKED, day_energy_wh=6000.0, largest_parallel=8.0))
    assert (bank.outcome, bank.parallel) == ("sized", 7) and "many-strings" in said
    assert "parallel_limit_lfp" not in assumed


def test_a_caller_may_not_go_beyond_the_maker():
    unit = replace(LFP, largest_parallel=5.0)
    bank, _, _ = sized(replace(ASKED, unit=unit, day_energy_wh=6000.0, largest_parallel=8.0))
    assert (bank.outcome, bank.parallel) == ("nothing-fits", 5)
    bank, said, _ = sized(replace(ASKED, unit=replace(LFP, largest_parallel=8.0), day_energy_wh=6000.0))
    assert bank.outcome == "sized" and "many-strings" not in said


def test_series_limits():
    bank, _, _ = sized(replace(ASKED, nominal_voltage_v=48.0, unit=replace(LFP, largest_series=2.0)))
    assert bank.outcome == "nothing-fits" and bank.failed.rule.name == "units-in-series" and (bank.failed.actual, bank.failed.limit) == (4, 2)
    bank, said, _ = sized(replace(ASKED, nominal_voltage_v=48.0, unit=replace(LFP, largest_series=4.0)))
    assert (bank.outcome, bank.series) == ("sized", 4) and "managed-units-in-series" in said
    bank, _, _ = sized(replace(LEAD, largest_series=3.0))
    assert bank.outcome == "nothing-fits" and bank.failed.limit == 3


def test_a_voltage_that_does_not_divide():
    bank, _, _ = sized(replace(ASKED, unit=replace(LFP, voltage_v=9.6)))
    assert (bank.outcome, bank.unit, bank.units) == ("nothing-fits", None, 0) and "9.6 V" in bank.why


@pytest.mark.parametrize(("label", "system", "series"), [
    (12.0, 12, 1), (12.8, 12, 1), (13.2, 12, 1), (12.0, 48, 4), (25.6, 48, 2), (24.0, 24, 1), (3.2, 48, 16), (51.2, 48, 1), (6.4, 12, 2),
    (12.8, 24, 2), (36.0, 48, None), (9.6, 12, None), (14.8, 12, None), (48.0, 24, None), (1000.0, 12, None),
])  # fmt: skip
def test_series_count(label, system, series):
    bank, _, _ = sized(replace(ASKED, nominal_voltage_v=float(system), unit=replace(LFP, voltage_v=label)))
    assert (bank.series or None) == series


@pytest.mark.parametrize(("chemistry", "temperature", "why"), [
    ("lfp", -20.5, "may not be discharged"), ("flooded", -21.0, "may not be discharged"), ("agm", 51.0, "may not be discharged"), ("lfp", 61.0, "may not"),
])  # fmt: skip
def test_outside_the_temperatures_of_the_chemistry(chemistry, temperature, why):
    bank, _, _ = sized(BankRequest(chemistry, 12.0, 500.0, bank_temperature_c=temperature))
    assert bank.outcome == "nothing-fits" and why in bank.why and bank.failed.rule.name == "discharge-temperature" and bank.need is None


def test_at_the_edge_of_the_temperatures():
    assert sized(BankRequest("lfp", 12.0, 500.0, bank_temperature_c=-20.0))[0].need.temperature_factor == 0.7
    assert sized(BankRequest("lfp", 12.0, 500.0, bank_temperature_c=60.0))[0].need.temperature_factor == 1.0
    assert sized(BankRequest("agm", 12.0, 500.0, bank_temperature_c=40.0))[0].need.temperature_factor == 1.0


# What is said


@pytest.mark.parametrize(("in_use", "ever", "limit", "code"), [
    (25.0, None, None, None), (25.0, -1.0, 0.0, "charge-lock-out-needed"), (0.0, 0.0, None, None), (-0.1, 5.0, 0.0, "charge-lock-out-needed"),
    (None, None, 0.0, "charge-temperature-unknown"), (None, 3.0, None, None), (None, -3.0, 0.0, "charge-lock-out-needed"),
])  # fmt: skip
def test_lock_out(in_use, ever, limit, code):
    bank, said, _ = sized(replace(ASKED, bank_temperature_c=in_use, coldest_c=ever))
    assert bank.lock_out_below_c == limit
    assert said & {"charge-lock-out-needed", "charge-temperature-unknown"} == ({code} if code else set())


def test_lead_acid_needs_no_lock_out():
    for chemistry in ("flooded", "golf-cart", "agm", "gel"):
        assert sized(BankRequest(chemistry, 12.0, 200.0, coldest_c=-15.0, autonomy_days=1.0))[0].lock_out_below_c is None


def test_one_string_gone():
    bank, said, _ = sized(replace(ASKED, discharge_current_a=200.0))
    assert bank.currents.one_string_gone_a == 200.0 and "one-string-gone-overload" not in said
    bank, said, _ = sized(replace(ASKED, discharge_current_a=201.0))
    assert bank.parallel == 2 and "one-string-gone-overload" in said
    bank, said, _ = sized(replace(ASKED, day_energy_wh=500.0, discharge_current_a=150.0))
    assert bank.currents.one_string_gone_a == 0.0 and "single-string" in said and "one-string-gone-overload" not in said


def test_ratings_that_the_maker_does_not_give():
    bank, said, assumed = sized(replace(ASKED, unit=Unit("unit", "lfp", 12.8, 200.0), payload_kg=60.0))
    assert {"unit-rating-assumed", "unit-mass-missing"} <= said and bank.mass_kg is None
    assert assumed["unit_current_a"].value == 200.0 and assumed["unit_current_a"].basis == "recalled"
    assert assumed["unit_peak_current_a"].value == 200.0, "no peak is made up for a management system"
    assert assumed["unit_charge_limit_a"].value == 100.0
    lead, _, assumed = sized(replace(LEAD, unit=Unit("unit", "golf-cart", 6.0, 220.0, current_a=30.0)))
    assert assumed["unit_peak_current_a"].value == 30.0 and "unit_current_a" not in assumed


def test_beyond_the_depth_that_lead_stands():
    assert "depth-beyond-chemistry" in sized(replace(LEAD, depth_of_discharge=0.85))[1]
    assert "depth-beyond-chemistry" not in sized(replace(LEAD, depth_of_discharge=0.8))[1]
    bank, _, _ = sized(replace(LEAD, depth_of_discharge=0.85))
    assert bank.life_years is None, "no cycle life is documented so deep"


def test_house_rules_replace_defaults_and_are_not_listed_as_assumed():
    bank, _, assumed = sized(replace(LEAD, depth_of_discharge=None), depth_of_discharge=0.4, autonomy_days=3.0, ageing_factor=0.7)
    assert (bank.need.depth_of_discharge, bank.need.ageing_factor) == (0.4, 0.7)
    assert not {"depth_of_discharge_lead", "ageing_factor"} & set(assumed)


def test_both_conventions_are_shown():
    larger, _, assumed = sized(ASKED)
    product, _, _ = sized(replace(ASKED, ageing_convention="product"))
    assert assumed["ageing_convention"].text == "larger-of"
    assert larger.need.energy_needed_wh == larger.need.energy_larger_of_wh == product.need.energy_larger_of_wh
    assert product.need.energy_needed_wh == product.need.energy_product_wh == pytest.approx(larger.need.energy_larger_of_wh / 0.8)


def test_ageing_governs_where_the_depth_is_great():
    bank, _, _ = sized(replace(ASKED, depth_of_discharge=0.95))
    assert bank.need.energy_needed_wh == bank.need.energy_for_ageing_wh > bank.need.energy_for_depth_wh


def test_the_least_generic_bank_is_taken():
    # 3760 Wh: one of 3840, and not two of 2560 or three of 1280, which hold more or as much in more strings
    bank, _, _ = sized(replace(ASKED, unit=None, day_energy_wh=1466.0))
    assert (bank.unit.row, bank.parallel) == ("lfp-12-300", 1)
    bank, _, _ = sized(replace(ASKED, unit=None, day_energy_wh=800.0))  # 2051 Wh: one of 2560, not two of 1280
    assert (bank.unit.row, bank.parallel) == ("lfp-12-200", 1)


def test_every_offered_chemistry_on_every_system_voltage():
    for chemistry in ("flooded", "golf-cart", "agm", "gel", "lfp"):
        for voltage in (12.0, 24.0, 48.0):
            bank, _, _ = sized(BankRequest(chemistry, voltage, 300.0, autonomy_days=1.0, bank_temperature_c=25.0))
            assert bank.outcome == "sized", (chemistry, voltage)
            assert abs(bank.voltages.nominal_v - voltage) < 0.07 * voltage
            assert bank.voltages.end_v <= bank.voltages.load_disconnect_v < bank.voltages.nominal_v
            assert bank.voltages.nominal_v < bank.voltages.float_v < bank.voltages.absorption_v <= bank.voltages.highest_v


# Several faults at once


def test_every_fault_is_said_in_one_answer():
    """Too cold to discharge and to charge, a unit that does not divide the voltage, and a batch of another chemistry."""
    bank, said, _ = sized(replace(
        ASKED, bank_temperature_c=-25.0, unit=replace(LFP, voltage_v=9.6), owned=(OwnedUnits("agm", 12.0, 100.0, 2, 1.0, pointer="/owned/0"),)))
    assert bank.outcome == "nothing-fits"
    assert {"discharge-forbidden", "unit-makes-no-bank", "chemistries-mixed", "charge-lock-out-needed"} <= said
    _, said, _ = sized(replace(ASKED, owned=(OwnedUnits("lfp", 12.8, 200.0, 1, 0.5),)))
    assert not {"discharge-forbidden", "unit-makes-no-bank", "chemistries-mixed", "charge-lock-out-needed"} & said


def test_too_hot_to_be_charged():
    assert "charging-forbidden" in sized(replace(ASKED, bank_temperature_c=46.0))[1]
    assert "charging-forbidden" not in sized(replace(ASKED, bank_temperature_c=45.0))[1]


# Chemistries, life and the equipment


@pytest.mark.parametrize(("chemistry", "coldest", "locked"), [
    ("lto", -25.0, None), ("lto", -31.0, -30.0), ("sodium-ion", -5.0, None), ("sodium-ion", -12.0, -10.0), ("nmc", -1.0, 0.0), ("nmc", 0.0, None),
])  # fmt: skip
def test_each_chemistry_has_its_own_lock_out(chemistry, coldest, locked):
    bank, said, _ = sized(BankRequest(chemistry, 12.0, 300.0, autonomy_days=1.0, bank_temperature_c=20.0, coldest_c=coldest))
    assert bank.lock_out_below_c == locked and ("charge-lock-out-needed" in said) == (locked is not None)
    assert (bank.currents.charge_limit_cold_a is not None) == (chemistry == "nmc")


def test_a_day_beyond_the_documented_depths_has_no_life_and_no_price():
    request = replace(LEAD, autonomy_days=0.5, depth_of_discharge=0.45, day_energy_wh=4700.0)
    bank, said, _ = sized(replace(request, prices=Prices(200.0), unit=Unit("unit", "golf-cart", 6.0, 225.0)))
    assert bank.life.day_depth > 0.8 and (bank.life.cycle_life, bank.life.life_years, bank.life.ends_by, bank.cost) == (None,) * 4
    assert "cycle-life-not-documented" in said


def test_owned_units_are_not_bought_again():
    bank, _, _ = sized(replace(ASKED, unit=None, owned=(OwnedUnits("lfp", 12.8, 200.0, 1, 0.5),), prices=Prices(500.0)))
    assert (bank.units, bank.new_units, bank.cost.purchase_price) == (2, 1, 500.0)


def test_owned_units_beyond_the_equipment_are_refused():
    owned = (OwnedUnits("flooded", 12.0, 200.0, 2, 3.0),)
    bank, _, _ = sized(BankRequest("flooded", 12.0, 500.0, autonomy_days=1.0, bank_temperature_c=20.0, owned=owned, equipment_highest_v=15.5))
    assert bank.owned[0].reason == "does-not-carry-the-job" and "15.5 V" in bank.owned[0].why and "16.02 V" in bank.owned[0].why


@pytest.mark.parametrize(("cut_off", "highest", "series"), [
    (42.0, 60.0, 16), (42.0, 58.4, 16), (42.0, 58.3, 15), (42.0, None, 16), (None, 58.3, None), (50.0, 54.0, None), (48.5, 58.3, None), (48.0, 58.3, 15),
])  # fmt: skip
def test_cells_follow_the_equipment_where_both_ends_are_known(cut_off, highest, series):
    """A cell of 3.2 V reaches 3.65 V while charging, and rests at 3.225 V at a depth of 0.8; under nothing 15 of them stand 48.375 V."""
    unit = Unit("cell", "lfp", 3.2, 280.0, cells=1.0)
    bank, said, _ = sized(replace(ASKED, nominal_voltage_v=48.0, unit=unit, cut_off_v=cut_off, equipment_highest_v=highest))
    assert (bank.series or None) == series
    assert ("series-by-equipment" in said) == (series == 15)


def test_a_cut_off_that_cannot_be_judged_is_said():
    assert "cut-off-not-judged" in sized(BankRequest("nmc", 48.0, 500.0, autonomy_days=1.0, bank_temperature_c=20.0, cut_off_v=42.0))[1]
    assert "cut-off-not-judged" not in sized(replace(ASKED, cut_off_v=10.5))[1]


def test_the_margin_of_a_management_system():
    for current, near in ((160.0, False), (161.0, True)):
        bank, said, _ = sized(replace(ASKED, day_energy_wh=500.0, discharge_current_a=current))
        assert bank.parallel == 1 and bank.current_margin == 200.0 / current and ("management-near-limit" in said) == near
    assert "management-near-limit" not in sized(replace(LEAD, discharge_current_a=44.0))[1], "lead-acid has none"
