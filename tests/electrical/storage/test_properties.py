"""What holds for every bank: searched with hypothesis."""

from __future__ import annotations

import msgspec
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace

from ohmstead.electrical.storage.model import Bank, BankRequest, OwnedUnits, Prices, Unit
from ohmstead.electrical.storage.sizing import size_bank
from ohmstead.nomenclature import TERMS
from ohmstead.reference.case import Shelf
from ohmstead.working import Given, Traced, at_least, at_most
from ohmstead.working.trace import assumptions_behind

SHELF = Shelf()
CHEMISTRIES = ("flooded", "golf-cart", "agm", "gel", "lfp", "lfp", "nmc", "lto", "sodium-ion")
LITHIUM = ("lfp", "nmc", "lto", "sodium-ion")
CHARGED_ABOVE = {"lfp": 0, "nmc": 0, "lto": -30, "sodium-ion": -10}

# Terms by field, where the field of the request is not itself the name of its term.
TERM_OF = {
    "coldest_c": "bank_temperature_c", "voltage_v": "unit_voltage_v", "capacity_ah": "unit_capacity_ah", "mass_kg": "unit_mass_kg",
    "current_a": "unit_current_a", "charge_current_a": "charge_current_a", "largest_series": "series", "largest_parallel": "parallel_limit",
    "tested_capacity_ah": "available_capacity_ah", "charging_price_per_kwh": "price_per_kwh",
}  # fmt: skip


def number(low: float, high: float):
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


def maybe(strategy):
    return st.one_of(st.none(), strategy)


def seldom(strategy):
    return st.one_of(st.none(), st.none(), st.none(), strategy)


def prices():
    return st.builds(Prices, number(1, 5000), maybe(number(0, 2000)), maybe(number(0, 2)))


RIVALS = st.lists(st.sampled_from(sorted(set(CHEMISTRIES))), min_size=1, max_size=2, unique=True)
VOLTAGES = {12.0: [2.0, 6.0, 12.0, 12.8, 3.2], 24.0: [2.0, 6.0, 12.0, 12.8, 24.0, 25.6], 48.0: [6.0, 12.0, 12.8, 24.0, 25.6, 48.0, 51.2]}


@st.composite
def units(draw, chemistry: str, system: float) -> Unit:
    voltage = draw(st.one_of(st.sampled_from(VOLTAGES[system]), seldom(number(1, 60)).map(lambda drawn: drawn or 12.0)))
    return Unit(
        "unit", chemistry, voltage, draw(number(20, 1200)), rated_hours=draw(maybe(number(1, 100))), mass_kg=draw(maybe(number(1, 100))),
        current_a=draw(maybe(number(20, 500))), peak_current_a=draw(maybe(number(50, 1500))), charge_current_a=draw(maybe(number(20, 300))),
        fault_current_a=draw(maybe(number(100, 20000))), cells=draw(maybe(st.integers(1, 24).map(float))),
        largest_series=draw(seldom(st.integers(1, 30).map(float))), largest_parallel=draw(seldom(st.integers(1, 30).map(float))),
    )


@st.composite
def batches(draw) -> OwnedUnits:
    capacity = draw(st.sampled_from([100.0, 220.0]))
    return OwnedUnits(
        draw(st.sampled_from(CHEMISTRIES)), draw(st.sampled_from([6.0, 12.0, 12.8])), capacity, draw(st.integers(1, 30)), draw(number(0, 10)),
        draw(maybe(number(10, 300))), draw(st.sampled_from(["house", "house", "starter"])),
    )


@st.composite
def requests(draw, chemistries=CHEMISTRIES) -> BankRequest:
    chemistry = draw(st.sampled_from(chemistries))
    system = draw(st.sampled_from([12.0, 24.0, 48.0]))
    steady = draw(seldom(st.tuples(number(0.1, 200), number(0.01, 50)))) or (None, None)
    return BankRequest(
        chemistry, system, draw(st.one_of(number(1, 1500), number(1, 20000))), autonomy_days=draw(maybe(number(0.1, 4))),
        depth_of_discharge=draw(maybe(number(0.3, 1))), bank_temperature_c=draw(maybe(st.one_of(number(-19, 45), number(-30, 70)))),
        coldest_c=draw(maybe(number(-40, 40))), ageing_convention=draw(st.sampled_from([None, "larger-of", "product"])),
        ageing_factor=draw(maybe(number(0.5, 1))), discharge_efficiency=draw(maybe(number(0.5, 1))),
        discharge_current_a=draw(maybe(number(0.1, 300))), peak_current_a=draw(maybe(number(0.1, 500))),
        charge_current_a=draw(maybe(number(0.1, 120))), average_current_a=steady[0], discharge_hours=steady[1],
        unit=draw(maybe(units(chemistry, system))), owned=tuple(draw(st.lists(batches(), max_size=3))),
        payload_kg=draw(seldom(number(5, 3000))), largest_series=draw(seldom(st.integers(1, 30).map(float))),
        largest_parallel=draw(maybe(st.integers(2, 30).map(float))),
        cut_off_v=draw(seldom(number(0.7, 1.05).map(lambda share: share * system))),
        equipment_highest_v=draw(seldom(number(1.1, 1.6).map(lambda share: share * system))), path_resistance_ohm=draw(maybe(number(0.0001, 0.02))),
        calendar_years=draw(maybe(number(1, 25))), prices=draw(maybe(prices())), compartment_m3=draw(maybe(number(0.05, 50))),
        compare=tuple(draw(seldom(RIVALS)) or ()),
    )


def sized(request: BankRequest) -> Bank:
    return size_bank(request, SHELF.case())


def rank(bank: Bank) -> float:
    """Size of a bank for comparison; what cannot be had is larger than anything."""
    return bank.rated_energy_wh if bank.outcome == "sized" else 1e300


def never_smaller(request: BankRequest, harder: BankRequest) -> None:
    assert at_least(rank(sized(harder)), rank(sized(request)))


ASKS = requests().map(lambda request: replace(request, owned=(), compare=(), equipment_highest_v=None))
"""Owned units are put aside where sizes are compared: a greater need can rule them out in favour of larger new ones.
So is the highest voltage of the equipment, which can call for another number of cells."""


@given(ASKS, number(1, 5))
def test_more_energy_never_a_smaller_bank(request, times):
    never_smaller(request, replace(request, day_energy_wh=request.day_energy_wh * times))


@given(ASKS, number(0.1, 10), number(1, 5))
def test_more_autonomy_never_a_smaller_bank(request, days, times):
    never_smaller(replace(request, autonomy_days=days), replace(request, autonomy_days=days * times))


@given(ASKS, number(-20, 45), number(0, 30))
def test_colder_never_a_smaller_bank(request, warm, colder):
    assume(request.coldest_c is None)
    never_smaller(replace(request, bank_temperature_c=warm), replace(request, bank_temperature_c=warm - colder))


@given(ASKS, st.sampled_from(["discharge_current_a", "peak_current_a", "charge_current_a"]), number(0.1, 500), number(1, 5))
def test_more_current_never_a_smaller_bank(request, which, current, times):
    never_smaller(replace(request, **{which: current}), replace(request, **{which: current * times}))


@given(ASKS, number(0.1, 300), number(0.05, 50), number(1, 5), st.booleans())
def test_more_steady_load_never_a_smaller_bank(request, current, hours, times, longer):
    base = replace(request, average_current_a=current, discharge_hours=hours)
    harder = replace(base, discharge_hours=hours * times) if longer else replace(base, average_current_a=current * times)
    never_smaller(base, harder)


@given(ASKS, number(0.05, 1), number(0.2, 1), st.sampled_from(["depth_of_discharge", "discharge_efficiency", "ageing_factor"]))
def test_a_share_less_never_a_smaller_bank(request, share, less, which):
    request = replace(request, cut_off_v=None)  # a bank that is emptied less is held further above its cut-off
    never_smaller(replace(request, **{which: share}), replace(request, **{which: share * less}))


@given(ASKS)
def test_the_product_never_asks_less(request):
    never_smaller(replace(request, ageing_convention="larger-of"), replace(request, ageing_convention="product"))


@given(requests())
def test_a_sized_bank_does_what_is_asked(request):
    bank = sized(request)
    if bank.outcome != "sized":
        assert bank.why and (bank.failed is None or not bank.failed.passed)
        return
    need = bank.need
    assert all(check.passed for check in bank.checks) and bank.failed is None
    asked = request.day_energy_wh * need.autonomy_days
    assert at_least(bank.usable_energy_wh, asked) and at_least(bank.autonomy_days, need.autonomy_days)
    emptied_at_the_end = bank.rated_energy_wh * need.ageing_factor * need.temperature_factor * need.discharge_efficiency
    assert at_least(emptied_at_the_end, asked)
    if need.convention == "product":
        assert at_least(bank.autonomy_aged_days, need.autonomy_days)
    assert bank.units == bank.series * bank.parallel and 0 <= bank.new_units <= bank.units
    assert bank.new_units == bank.units - sum(said.kept for said in bank.owned)
    for asked_a, given_a in (
        (request.discharge_current_a, bank.currents.continuous_a), (request.peak_current_a, bank.currents.peak_a),
        (request.charge_current_a, bank.currents.charge_limit_a),
    ):
        assert asked_a is None or at_most(asked_a, given_a)
    assert bank.currents.one_string_gone_a <= bank.currents.continuous_a
    assert bank.voltages.absorption_v <= bank.voltages.highest_v * (1 + 1e-12)


@given(requests())
def test_one_string_less_fails_the_check_that_is_named(request):
    bank = sized(request)
    if bank.outcome != "sized" or not bank.choice.smaller:
        return
    failed = bank.choice.smaller_failed
    assert failed is not None and not failed.passed
    assert failed.rule.name in (
        "bank-energy", "steady-load-capacity", "discharge-current", "peak-current", "charging-current", "voltage-before-cut-off")


@given(requests(LITHIUM))
def test_a_lithium_bank_that_can_be_cold_is_locked_out(request):
    bank = sized(request)
    if bank.outcome != "sized":
        return
    known = [temperature for temperature in (request.coldest_c, request.bank_temperature_c) if temperature is not None]
    assert (bank.lock_out_below_c is None) == (bool(known) and min(known) >= CHARGED_ABOVE[request.chemistry])


@given(requests())
def test_every_batch_gets_one_verdict(request):
    bank = sized(request)
    if bank.need is None:
        return
    assert [said.position for said in bank.owned] == list(range(len(request.owned)))
    for said, batch in zip(bank.owned, request.owned, strict=True):
        assert 0 <= said.kept <= batch.count and said.why
        assert (said.verdict == "refuse") == (said.reason is not None)
        assert said.verdict == "keep" or said.kept == 0
        if batch.chemistry != request.chemistry or batch.duty == "starter":
            assert said.kept == 0
    kept = [request.owned[said.position] for said in bank.owned if said.kept]
    assert len({(batch.voltage_v, batch.capacity_ah) for batch in kept}) <= 1
    assert not kept or max(batch.age_years for batch in kept) - min(batch.age_years for batch in kept) <= 2 + 1e-6


@given(requests(), st.lists(batches(), min_size=3, max_size=3), st.permutations(range(3)))
def test_the_order_of_owned_units_does_not_matter(request, owned, order):
    assume(len({batch.count * batch.capacity_ah * batch.voltage_v for batch in owned}) == 3)  # of equals the first is taken
    request = replace(request, owned=tuple(owned))
    one, other = sized(request), sized(replace(request, owned=tuple(request.owned[place] for place in order)))
    assert (one.outcome, one.units, one.new_units, one.unit) == (other.outcome, other.units, other.new_units, other.unit)


@given(ASKS, number(0.0001, 0.01), number(1, 5))
def test_longer_leads_never_a_smaller_bank(request, ohm, times):
    never_smaller(replace(request, path_resistance_ohm=ohm), replace(request, path_resistance_ohm=ohm * times))


@given(ASKS, number(0.7, 1.0), number(0.7, 1.0))
def test_a_higher_cut_off_never_a_smaller_bank(request, one, other):
    low, high = (share * request.nominal_voltage_v for share in sorted((one, other)))
    never_smaller(replace(request, cut_off_v=low), replace(request, cut_off_v=high))


@given(requests(), number(0.7, 1.0), number(1.15, 1.6))
def test_a_sized_bank_stays_between_the_voltages_of_its_equipment(request, low, high):
    request = replace(request, cut_off_v=low * request.nominal_voltage_v, equipment_highest_v=high * request.nominal_voltage_v)
    bank = sized(request)
    if bank.outcome != "sized":
        return
    assert at_most(bank.voltages.highest_v, request.equipment_highest_v)
    assert bank.loaded_v is None or at_least(bank.loaded_v, request.cut_off_v)
    assert bank.series <= bank.window.most


@given(requests())
def test_life_cost_gas_and_frost_hold_together(request):
    bank = sized(request)
    if bank.outcome != "sized":
        return
    lead = request.chemistry not in LITHIUM
    assert (bank.ventilation is None) != lead and (bank.frost is None) != lead
    assert (bank.currents.charge_limit_cold_a is None) or at_most(bank.currents.charge_limit_cold_a, bank.currents.charge_limit_a)
    assert at_most(bank.currents.peak_one_string_gone_a, bank.currents.peak_a)
    assert 0 < bank.life.day_depth <= bank.need.depth_of_discharge / bank.need.autonomy_days * (1 + 1e-9)
    if bank.life.life_years is not None and request.calendar_years is not None:
        assert at_most(bank.life.life_years, request.calendar_years)
    assert (bank.cost is None) == (request.prices is None or bank.life.life_years is None)
    if bank.cost is not None:
        assert at_least(bank.cost.price_per_kwh, bank.cost.bank_price_per_kwh)
    if lead:
        assert at_least(bank.ventilation.charging.airflow_m3_per_h, bank.ventilation.on_float.airflow_m3_per_h)
        assert (bank.ventilation.charging.hydrogen_hours is None) == (request.compartment_m3 is None)


@given(requests(), RIVALS)
def test_rivals_do_the_same_job(request, rivals):
    request = replace(request, compare=tuple(rivals))
    bank = sized(request)
    if bank.need is None:
        assert bank.rivals == bank.same_label == ()
        return
    assert [rival.chemistry for rival in bank.rivals] == list(request.compare)
    for rival in bank.rivals:
        alone = sized(replace(
            request, chemistry=rival.chemistry, unit=None, owned=(), compare=(), depth_of_discharge=None, discharge_efficiency=None))
        assert (rival.outcome, rival.parallel, rival.rated_energy_wh) == (alone.outcome, alone.parallel, alone.rated_energy_wh)
    for label in bank.same_label:
        if label.usable_energy_wh is not None:
            assert at_most(label.usable_energy_aged_wh, label.usable_energy_wh) and at_most(label.usable_energy_wh, label.rated_energy_wh)
            assert label.at_current_wh is None or at_most(label.at_current_wh, label.usable_energy_wh)


def traced(record, base: str = ""):
    """The same request with every float knowing its place."""
    changed = {}
    for name in record.__struct_fields__:
        value = getattr(record, name)
        if type(value) is float:
            term = TERM_OF.get(name, name)
            if isinstance(record, Unit) and name == "charge_current_a":
                term = "unit_charge_limit_a"
            if isinstance(record, Unit) and name == "peak_current_a":
                term = "unit_peak_current_a"
            changed[name] = Traced(value, TERMS[term], Given(f"{base}/{name}"))
        elif isinstance(value, msgspec.Struct):
            changed[name] = traced(value, f"{base}/{name}")
        elif isinstance(value, tuple):
            changed[name] = tuple(
                traced(item, f"{base}/{name}/{place}") if isinstance(item, msgspec.Struct) else item for place, item in enumerate(value))
    return replace(record, **changed)


def numbers(part):
    """Every float of a result."""
    if isinstance(part, float):
        yield part
    elif isinstance(part, msgspec.Struct):
        for name in part.__struct_fields__:
            yield from numbers(getattr(part, name))
    elif isinstance(part, (list, tuple)):
        for item in part:
            yield from numbers(item)


@given(requests())
def test_traced_equals_plain_and_every_number_has_an_origin(request):
    plain_case, traced_case = SHELF.case(), SHELF.case(traced=True)
    plain, explained = size_bank(request, plain_case), size_bank(traced(request), traced_case)
    found = list(numbers(explained))
    assert [float(value) for value in found] == list(numbers(plain))
    assert all(type(value) is Traced for value in found)
    assert plain == explained
    said = [(finding.code, finding.message) for finding in plain_case.findings]
    assert said == [(finding.code, finding.message) for finding in traced_case.findings]
    listed = [(item.name, item.value, item.text) for item in plain_case.assumptions]
    assert listed == [(item.name, item.value, item.text) for item in traced_case.assumptions]
    assert assumptions_behind(found) <= {item.name for item in traced_case.assumptions}
