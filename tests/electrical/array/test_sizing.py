"""What an array does when something is short, wrong, already there, or not known."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from ohmstead.electrical.array.model import (
    ArrayRequest,
    FreeArea,
    GenericModule,
    LargestCount,
    ModuleType,
    OwnedModules,
)
from ohmstead.electrical.array.sizing import size_array
from ohmstead.electrical.controller.model import ControllerType, GenericController
from ohmstead.electrical.solar.model import ClimateAtLatitude, PeakSunHours
from ohmstead.reference.case import Shelf

SHELF = Shelf()
LABEL = ModuleType("label", 100.0, 22.0, 18.0, 6.0, 5.56, fuse_limit_a=15.0)
BOX = ControllerType("box", 100.0, 30.0, input_short_circuit_a=40.0, blocks_backfeed=True)
BASE = ArrayRequest(
    load_wh=(1000.0,) * 12, sun=PeakSunHours((4.0,) * 12), module=GenericModule("100w"), controller=GenericController(),
    system_voltage_v=12.0, air_coldest_c=-10.0, air_hottest_c=40.0, charging_voltage_v=14.6, chemistry="lfp",
)  # fmt: skip


def size(**changes):
    """The array and the codes of what is said about it."""
    case = SHELF.case()
    array = size_array(replace(BASE, **changes), case)
    return array, [finding.code for finding in case.findings]


def test_the_base_is_quiet():
    array, said = size()
    assert array.outcome == "sized" and said == [] and array.short_months == () and array.covers == 1.0


def test_months_without_sun_are_named_and_the_others_are_sized_for():
    array, said = size(sun=PeakSunHours((0.0, 1.0, *(4.0,) * 8, 1.0, 0.005)))
    assert array.outcome == "sized" and array.design_month == "february"
    assert [month.month for month in array.months if month.needed_w is None] == ["january", "december"]
    assert array.short_months == ("january", "december") and array.covers == 0.0
    assert "no-sun" in said and "array-short" not in said
    assert array.months[0].balance_wh == -1000.0


def test_a_month_without_loads_asks_for_nothing():
    array, said = size(load_wh=(0.0, *(1000.0,) * 11), sun=PeakSunHours((0.0, *(4.0,) * 11)))
    assert array.months[0].needed_w == 0.0 and array.short_months == () and said == []


def test_supplies_that_cover_everything_leave_no_array():
    array, said = size(other_supplies_wh=(1000.0,) * 12)
    assert array.outcome == "sized" and array.groups == () and array.module_count == 0 and array.array_power_w == 0.0
    assert array.design_month is None and said == ["array-not-needed"]


def test_one_dark_month_is_remarked():
    _, said = size(sun=PeakSunHours((4.0,) * 11 + (1.0,)))
    assert said == ["array-lopsided"]
    _, said = size(sun=PeakSunHours((4.0,) * 11 + (1.5,)))
    assert said == []


def test_room_for_too_few_is_a_shortfall_and_not_an_error():
    free, _ = size()
    assert free.module_count == 5
    array, said = size(space=LargestCount(4))
    assert array.outcome == "sized" and array.module_count == 4 and array.largest_count == 4
    assert said == ["array-space-short", "array-short"] and 0 < array.covers < 1 and len(array.short_months) == 12
    assert array.groups[0].choice.governed_by == "room"


def test_an_area_takes_whole_modules():
    # 100w is 1.2 by 0.54 m; of 5 m2 six tenths are filled: 3 / 0.648 = 4.6
    array, _ = size(space=FreeArea(5.0))
    assert array.largest_count == 4 and array.module_count == 4


def test_a_module_without_sides_is_given_an_area_by_its_power():
    # 153 W/m2: 100 W take 0.654 m2; of 5 m2 six tenths are filled: 4.6
    array, _ = size(space=FreeArea(5.0), module=LABEL)
    assert array.largest_count == 4


@pytest.mark.parametrize("space", [FreeArea(1.0), LargestCount(0), FreeArea(0.0)])
def test_a_roof_smaller_than_a_module(space):
    array, said = size(space=space)
    assert array.outcome == "nothing-fits" and array.groups == () and array.why == "Not one module has room." and "array-short" in said


@pytest.mark.parametrize(("count", "outcome"), [(2, "sized"), (5, "sized"), (7, "nothing-fits")])
def test_a_settled_count_is_checked(count, outcome):
    # A string may have two or three at 100 V; seven is neither, nor two or more equal parts.
    array, said = size(count_wanted=count, controller=replace(BOX, output_rating_a=100.0, input_limit_v=140.0), module=LABEL)
    assert array.outcome == outcome
    if outcome == "sized":
        assert array.module_count == count and ("array-short" in said) == (count == 2)
    else:
        assert "7 modules" in array.why and array.nearest and array.groups == ()


def test_a_settled_count_needs_room_too():
    array, _ = size(count_wanted=6, space=LargestCount(4))
    assert array.outcome == "nothing-fits" and "6 modules" in array.why


def test_strings_of_shade():
    array, _ = size(minimum_strings=3)
    group = array.groups[0]
    assert group.strings.parallel * group.controllers >= 3 and array.module_count >= 5


# Nothing fits


@pytest.mark.parametrize(("module", "controller", "rule"), [
    (replace(LABEL, open_circuit_v=95.0, max_power_v=80.0), BOX, "string-voltage-cold"),
    (replace(LABEL, open_circuit_v=60.0, max_power_v=20.0), BOX, "string-voltage-hot"),
    (LABEL, replace(BOX, output_rating_a=10.0), "controller-output"),
    (LABEL, replace(BOX, input_short_circuit_a=5.0), "controller-input-current"),
    (replace(LABEL, fuse_limit_a=9.0), replace(BOX, blocks_backfeed=False), "string-fuse-within-module"),
])  # fmt: skip
def test_the_nearest_miss_names_its_check(module, controller, rule):
    array, said = size(module=module, controller=controller)
    assert array.outcome == "nothing-fits" and array.failed.rule.name == rule and not array.failed.passed
    assert array.why and array.nearest and array.groups == () and array.array_power_w == 0.0
    assert "array-short" in said


def test_a_need_beyond_eight_controllers():
    array, _ = size(load_wh=(50000.0,) * 12)
    assert array.outcome == "nothing-fits" and "8 controllers" in array.why and "100v" not in array.nearest and array.nearest


# Owned modules


def test_modules_that_cannot_be_trusted_are_refused():
    array, said = size(owned=(
        OwnedModules("0", 2, "damaged", LABEL), OwnedModules("1", 2, "unknown", LABEL), OwnedModules("2", 2, "sound", None),
    ))  # fmt: skip
    assert [verdict.verdict for verdict in array.owned] == ["refuse"] * 3
    assert said.count("modules-refused") == 3 and array.groups[0].owned == 0


def test_like_modules_share_strings():
    array, _ = size(owned=(OwnedModules("0", 2, "sound", GenericModule("100w")),))
    assert len(array.groups) == 1 and array.module_count == 5 and array.groups[0].owned == 2 and array.groups[0].new == 3
    assert array.owned[0].verdict == "keep" and array.owned[0].group == "array"


def test_another_type_stands_at_a_controller_of_its_own():
    alone, _ = size()
    array, _ = size(owned=(OwnedModules("0", 2, "sound", LABEL),))
    assert [group.id for group in array.groups] == ["array", "owned-0"]
    mine = array.groups[1]
    assert mine.owned == 2 and mine.new == 0 and mine.controllers == 1 and mine.module == LABEL
    assert array.groups[0].module_count < alone.groups[0].module_count and array.covers == 1.0
    assert array.needed_w < alone.needed_w


def test_entries_of_one_type_work_together():
    array, _ = size(owned=(OwnedModules("0", 1, "sound", LABEL), OwnedModules("1", 1, "sound", LABEL)))
    assert [verdict.group for verdict in array.owned] == ["owned-0", "owned-0"] and array.groups[1].owned == 2


def test_a_single_owned_module_that_is_too_low_alone_is_refused():
    array, said = size(owned=(OwnedModules("0", 1, "sound", LABEL),))
    assert array.owned[0].verdict == "refuse" and "modules-refused" in said and len(array.groups) == 1


def test_an_odd_owned_module_stays_out():
    # At 60 V two in series are the only string.
    low = replace(BOX, input_limit_v=60.0)
    array, _ = size(owned=(OwnedModules("0", 3, "sound", LABEL),), controller=low)
    assert array.owned[0].verdict == "keep" and array.owned[0].count == 2 and "2 of 3" in array.owned[0].why


def test_owned_modules_alone_can_do():
    array, _ = size(owned=(OwnedModules("0", 6, "sound", GenericModule("100w")),))
    assert array.module_count == 6 and array.groups[0].new == 0 and array.groups[0].choice.governed_by == "owned-modules"


def test_owned_modules_take_room():
    array, said = size(owned=(OwnedModules("0", 2, "sound", LABEL),), space=LargestCount(4))
    assert array.largest_count == 2 and array.groups[0].module_count == 2 and "array-space-short" in said


# Not known


def test_a_module_without_a_fuse_limit_gets_fuses_and_a_remark():
    array, said = size(module=replace(LABEL, fuse_limit_a=None), minimum_strings=2)
    fuse = array.groups[0].strings.fuse
    assert fuse.required and fuse.device.rating_a == 10.0 and "module-fuse-limit-missing" in said


def test_one_string_without_a_fuse_limit_is_quiet():
    array, said = size(module=replace(LABEL, fuse_limit_a=None), controller=replace(BOX, input_limit_v=200.0, output_rating_a=60.0))
    assert array.groups[0].strings.parallel == 1 and not array.groups[0].strings.fuse.required and said == []


def test_a_named_controller_that_may_feed_back_is_asked_about():
    _, said = size(controller=replace(BOX, output_rating_a=60.0, blocks_backfeed=None))
    assert "backfeed-not-known" in said
    _, said = size(controller=replace(BOX, output_rating_a=60.0, input_short_circuit_a=None))
    assert said == ["controller-input-current-missing"]


def test_a_recalled_factor_that_decides_is_said():
    # -15 °C is known from memory only; -10 °C is printed.
    _, said = size(air_coldest_c=-15.0)
    assert "recalled-value-decides" in said
    _, said = size(air_coldest_c=-10.0)
    assert "recalled-value-decides" not in said


def test_charging_losses_by_chemistry():
    needs = {chemistry: size(chemistry=chemistry)[0].needed_w for chemistry in (None, "flooded", "agm", "lfp", "nmc")}
    assert needs[None] == needs["flooded"] > needs["agm"] > needs["nmc"] > needs["lfp"]
    given, _ = size(charge_efficiency=0.75)
    assert given.needed_w == needs["flooded"]


def test_a_guess_is_sized_with_its_caution():
    array, said = size(sun=ClimateAtLatitude("Cf", 47.0))
    assert array.sun.guess and array.design_month in ("december", "january") and said[0] == "sun-guessed"


@pytest.mark.parametrize("mounting", ["open-rack", "close-mount", "bonded"])
def test_a_hotter_mounting_asks_for_more(mounting):
    order = ["open-rack", "close-mount", "bonded"]
    needs = [size(mounting=name)[0].needed_w for name in order]
    cells = [size(mounting=name)[0].groups[0].strings.hot_cell_c for name in order]
    assert needs == sorted(needs) and cells == sorted(cells) and len(set(needs)) == 3
    assert size()[0].needed_w == needs[1]


def test_months_of_air_change_the_yield():
    cold, _ = size(air_months_c=(-10.0,) * 12)
    warm, _ = size(air_months_c=(35.0,) * 12)
    assert cold.needed_w < size()[0].needed_w < warm.needed_w
