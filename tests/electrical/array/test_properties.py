"""What holds for every array: searched with hypothesis."""

from __future__ import annotations

import msgspec
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from ohmstead.electrical.array.model import (
    Array,
    ArrayRequest,
    FreeArea,
    GenericModule,
    Group,
    LargestCount,
    ModuleType,
    OwnedModules,
)
from ohmstead.electrical.array.sizing import size_array
from ohmstead.electrical.controller.model import ControllerType, GenericController
from ohmstead.electrical.solar.model import ClimateAtLatitude, MonthlyInsolation, PeakSunHours
from ohmstead.nomenclature import TERMS
from ohmstead.reference.case import Shelf
from ohmstead.working import Given, Traced, at_least, at_most
from ohmstead.working.trace import assumptions_behind

SHELF = Shelf()
CONSTANTS = SHELF.plain.tables["constants"]

# Terms by field, where the field of the request is not itself the name of its term.
TERM_OF = {
    "load_wh": "month_energy_wh", "other_supplies_wh": "month_other_wh", "air_months_c": "month_air_c", "air_coldest_c": "coldest_c",
    "air_hottest_c": "hottest_c", "system_voltage_v": "bank_voltage_v", "lowest_voltage_v": "bank_voltage_v", "hours": "peak_sun_hours",
    "power_w": "module_power_w", "fuse_limit_a": "module_fuse_limit_a", "length_m": "module_length_m", "width_m": "module_width_m",
    "mass_kg": "module_mass_kg", "input_limit_v": "controller_input_limit_v", "output_rating_a": "controller_rating_a",
    "input_short_circuit_a": "controller_input_limit_a", "area_m2": "roof_area_m2",
}  # fmt: skip


def number(low: float, high: float):
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def maybe(strategy):
    return st.one_of(st.none(), strategy)


def twelve(strategy):
    return st.one_of(strategy.map(lambda one: (one,) * 12), st.tuples(*[strategy] * 12))


@st.composite
def labels(draw) -> ModuleType:
    voc, isc = draw(number(15, 60)), draw(number(2, 18))
    vmp, imp = voc * draw(number(0.7, 0.9)), isc * draw(number(0.85, 0.98))
    return ModuleType(
        "label", vmp * imp, voc, vmp, isc, imp, voltage_coefficient_per_k=draw(maybe(number(-0.006, 0))),
        power_coefficient_per_k=draw(maybe(number(-0.006, 0))), max_power_voltage_coefficient_per_k=draw(maybe(number(-0.006, 0))),
        current_coefficient_per_k=draw(maybe(number(0, 0.001))), fuse_limit_a=draw(maybe(number(5, 40))),
        length_m=draw(maybe(number(0.5, 2.2))), width_m=draw(maybe(number(0.3, 1.2))),
    )  # fmt: skip


MODULES = st.one_of(st.sampled_from([GenericModule("100w"), GenericModule("200w"), GenericModule("400w")]), labels())


@st.composite
def controllers(draw) -> ControllerType:
    return ControllerType(
        "box", draw(number(30, 900)), draw(number(5, 150)), input_short_circuit_a=draw(maybe(number(5, 100))),
        start_headroom_v=draw(maybe(number(0, 10))), blocks_backfeed=draw(st.sampled_from([None, True, False])),
    )


SUNS = st.one_of(
    twelve(number(0, 9)).map(MonthlyInsolation), twelve(number(0.3, 7)).map(PeakSunHours),
    st.builds(ClimateAtLatitude, st.sampled_from(SHELF.plain.tables["clearness_by_class"].columns["climate"]), number(-90, 90)),
)


@st.composite
def requests(draw) -> ArrayRequest:
    nominal = draw(st.sampled_from([12.0, 24.0, 48.0]))
    coldest = draw(number(-60, 35))
    count = draw(maybe(st.integers(0, 30))) if draw(st.booleans()) else None
    return ArrayRequest(
        load_wh=draw(twelve(number(0, 8000))), sun=draw(SUNS), module=draw(MODULES),
        controller=draw(st.one_of(st.just(GenericController()), controllers())), system_voltage_v=nominal, air_coldest_c=coldest,
        air_hottest_c=draw(maybe(number(coldest, 60))), charging_voltage_v=draw(maybe(number(nominal, nominal * 1.3))),
        chemistry=draw(st.sampled_from([None, "flooded", "agm", "lfp", "sodium-ion"])), charge_efficiency=draw(maybe(number(0.5, 1))),
        other_supplies_wh=draw(maybe(twelve(number(0, 3000)))), air_months_c=draw(maybe(twelve(number(-40, 50)))),
        lowest_voltage_v=draw(maybe(number(nominal * 0.8, nominal))),
        mounting=draw(st.sampled_from([None, "open-rack", "close-mount", "bonded"])),
        owned=tuple(draw(st.lists(st.builds(
            OwnedModules, st.sampled_from(["0", "1", "2"]), st.integers(1, 12), st.sampled_from(["sound", "sound", "unknown"]), maybe(MODULES),
        ), max_size=3, unique_by=lambda owned: owned.id))),
        count_wanted=count, space=draw(maybe(st.one_of(number(0, 40).map(FreeArea), st.integers(0, 40).map(LargestCount)))),
        minimum_strings=draw(st.sampled_from([1, 1, 2, 4])), drop_limit=draw(maybe(number(0.002, 0.1))),
    )  # fmt: skip


def sized(request: ArrayRequest) -> Array:
    return size_array(request, SHELF.case())


def rank(array: Array) -> float:
    """Modules, for comparison; what cannot be had is more than anything."""
    return array.module_count if array.outcome == "sized" else float("inf")


FREE = requests().map(lambda request: replace(request, owned=(), count_wanted=None))
"""Owned modules and settled counts are put aside where sizes are compared: they would stand in the way of the smaller one."""


def inside_window(group: Group, request: ArrayRequest) -> None:
    strings, controller = group.strings, group.controller
    limit = CONSTANTS.cell("photovoltaic_voltage_limit_dwelling", "value")
    assert at_most(strings.cold_v, controller.input_limit_v) and at_most(strings.cold_v, limit)
    assert at_least(strings.cold_v, strings.series * group.module.open_circuit_v * 1.0) or request.air_coldest_c > 25
    for route in (strings.cold_coefficient_v, strings.cold_table_v):
        assert route is None or at_most(route, strings.cold_v)
    charging = request.charging_voltage_v or 0.0
    assert at_least(strings.hot_v, charging + (controller.start_headroom_v or 0.0))
    assert strings.hot_v <= strings.series * group.module.max_power_v * (1 + 1e-9) or strings.hot_cell_c < 25


@given(requests())
def test_no_string_leaves_the_window(request):
    array = sized(request)
    for group in array.groups:
        assert all(check.passed for check in group.checks)
        inside_window(group, request)
        assert group.shortest_series <= group.strings.series <= group.longest_series
        assert group.longer_failed is None or not group.longer_failed.passed
        assert group.module_count == group.strings.series * group.strings.parallel * group.controllers == group.owned + group.new
    assert array.module_count == sum(group.module_count for group in array.groups)


@given(requests())
def test_fuses_exactly_where_the_rule_asks_for_them(request):
    for group in sized(request).groups:
        fuse, module, controller = group.strings.fuse, group.module, group.controller
        back = 1.25 * controller.output_rating_a if controller.blocks_backfeed is False else 0.0
        driven = (group.strings.parallel - 1) * 1.25 * module.short_circuit_a + back
        if module.fuse_limit_a is None:
            assert fuse.required == (driven > 0)
        else:
            assert fuse.required == (driven > module.fuse_limit_a * (1 + 1e-9))
        if fuse.required:
            assert at_least(fuse.device.rating_a, 1.5625 * module.short_circuit_a) and fuse.device.voltage_v >= group.strings.cold_v
            assert module.fuse_limit_a is None or at_most(fuse.device.rating_a, module.fuse_limit_a)
            assert not fuse.device.polarised and fuse.count == group.strings.parallel
        else:
            assert fuse.device is None and fuse.count == 0


@given(requests())
def test_a_sized_array_brings_what_is_asked_or_says_what_it_lacks(request):
    case = SHELF.case()
    array = size_array(request, case)
    said = {finding.code for finding in case.findings}
    assert len(array.months) == 12
    for month in array.months:
        assert (month.month in array.short_months) == (not at_least(month.balance_wh + month.load_wh, month.load_wh))
    assert bool(array.short_months) == bool(said & {"array-short", "no-sun"})
    if array.outcome == "nothing-fits":
        assert array.why and "array" not in [group.id for group in array.groups]
    elif array.groups and request.count_wanted is None and "array-space-short" not in said and not array.short_months:
        assert array.covers == 1.0
    for group in array.groups:
        assert at_most(group.output_limited_a, group.controller.output_rating_a)
        clipped = max(0.0, 1 - group.controller.output_rating_a / group.output_a)
        assert abs(group.clipped_fraction - clipped) < 1e-12


@given(FREE, number(1, 4))
def test_more_sun_never_more_modules(request, times):
    sun = request.sun
    if isinstance(sun, ClimateAtLatitude):
        return
    if isinstance(sun, MonthlyInsolation):
        more = MonthlyInsolation(tuple(month * times for month in sun.insolation_kwh_m2))
        # A month that comes out of the dark begins to ask for modules.
        if any(month < 0.02 for month in sun.insolation_kwh_m2):
            return
    else:
        more = PeakSunHours(tuple(month * times for month in sun.hours))
    assert rank(sized(replace(request, sun=more))) <= rank(sized(request))


@given(FREE, number(1, 4))
def test_more_load_never_fewer_modules(request, times):
    more = tuple(load * times for load in request.load_wh)
    assert rank(sized(replace(request, load_wh=more))) >= rank(sized(request))


@given(FREE, controllers(), number(0, 40))
def test_colder_never_more_in_series(request, controller, colder):
    request = replace(request, controller=controller)
    warm, cold = sized(request), sized(replace(request, air_coldest_c=request.air_coldest_c - colder))
    if warm.groups and cold.groups:
        assert cold.groups[0].longest_series <= warm.groups[0].longest_series
        assert cold.groups[0].strings.series <= warm.groups[0].strings.series
    if cold.groups and cold.outcome == "sized":
        assert warm.outcome == "sized"


@given(FREE, number(0, 30))
def test_hotter_never_fewer_in_series(request, hotter):
    hottest = 30.0 if request.air_hottest_c is None else request.air_hottest_c
    mild, hot = (sized(replace(request, air_hottest_c=air)) for air in (hottest, hottest + hotter))
    if mild.groups and hot.groups and mild.groups[0].controller.name == hot.groups[0].controller.name:
        assert hot.groups[0].shortest_series >= mild.groups[0].shortest_series


@given(requests(), st.integers(1, 11))
def test_the_order_of_months_does_not_matter(request, turn):
    def turned(values):
        return None if values is None else values[turn:] + values[:turn]

    sun = request.sun
    if isinstance(sun, ClimateAtLatitude):
        return
    moved = MonthlyInsolation(turned(sun.insolation_kwh_m2)) if isinstance(sun, MonthlyInsolation) else PeakSunHours(turned(sun.hours))
    other = replace(
        request, sun=moved, load_wh=turned(request.load_wh), other_supplies_wh=turned(request.other_supplies_wh), air_months_c=turned(request.air_months_c),
    )  # fmt: skip
    one, two = sized(request), sized(other)
    assert (one.needed_w, one.groups, one.outcome, one.covers) == (two.needed_w, two.groups, two.outcome, two.covers)
    assert [month.balance_wh for month in two.months] == [month.balance_wh for month in one.months[turn:] + one.months[:turn]]


# Traced and plain


def traced(part, pointer: str = ""):
    """The same request with every number given, as the door hands it out."""
    if isinstance(part, msgspec.Struct):
        values = {}
        for name in part.__struct_fields__:
            value = getattr(part, name)
            term = TERMS.get(TERM_OF.get(name, name))
            values[name] = _given(value, term, f"{pointer}/{name}") if term is not None else traced(value, f"{pointer}/{name}")
        return type(part)(**values)
    if isinstance(part, tuple):
        return tuple(traced(item, f"{pointer}/{position}") for position, item in enumerate(part))
    return part


def _given(value, term, pointer: str):
    if isinstance(value, tuple):
        return tuple(_given(item, term, f"{pointer}/{position}") for position, item in enumerate(value))
    return Traced(value, term, Given(pointer)) if type(value) is float else value


def numbers(part):
    """Every float of an answer, in order."""
    if isinstance(part, float):
        yield part
    elif isinstance(part, msgspec.Struct):
        for name in part.__struct_fields__:
            yield from numbers(getattr(part, name))
    elif isinstance(part, (tuple, list)):
        for item in part:
            yield from numbers(item)


@given(requests())
def test_traced_equals_plain_and_nothing_is_without_origin(request):
    plain_case, traced_case = SHELF.case(), SHELF.case(traced=True)
    plain, told = size_array(request, plain_case), size_array(traced(request), traced_case)
    assert plain == told
    assert plain_case.findings == traced_case.findings and plain_case.assumptions == traced_case.assumptions
    found = list(numbers(told))
    assert found and all(type(value) is Traced for value in found)
    assert assumptions_behind(found) <= {said.name for said in traced_case.assumptions}


@given(requests())
def test_the_same_request_the_same_answer(request):
    assert msgspec.json.encode(sized(request)) == msgspec.json.encode(sized(request))
