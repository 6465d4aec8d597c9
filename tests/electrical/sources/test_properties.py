"""What holds for every supply, bank and load: searched with hypothesis."""

from __future__ import annotations

import math

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ohmstead.electrical.sources.model import (
    Alternator, BankFacts, ByApparentPower, ByPower, ChargerFacts, Generator, LegLoads, LoadFacts, Shore,
)
from ohmstead.electrical.sources.sizing import check_total_charge, size_supplies
from ohmstead.nomenclature import TERMS
from ohmstead.reference.case import Shelf
from ohmstead.working import Given, Traced
from ohmstead.working.trace import behind

SHELF = Shelf()
SERVICES = ("120V-15A", "120V-20A", "120V-30A", "120-240V-50A")

# Terms by field, where the field of a record is not itself the name of its term.
TERM_OF = {"hours_per_day": "supply_hours_per_day", "starter_voltage_v": "nominal_voltage_v", "transfer_rating_a": "transfer_rating_a"}
PLAIN = {"starter_voltage_v"}


def number(low: float, high: float):
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


@st.composite
def banks(draw) -> BankFacts:
    chemistry = draw(st.sampled_from(["flooded", "agm", "gel", "lfp", "nmc"]))
    volts = draw(st.sampled_from([12.0, 24.0, 48.0]))
    capacity = draw(number(20, 3000))
    limit = capacity * draw(number(0.05, 1))
    floor = draw(st.one_of(st.none(), st.just(limit / 4)))
    return BankFacts(chemistry, volts, capacity, draw(number(0.05, 1)), volts * draw(number(1.1, 1.25)), limit, floor)


@st.composite
def loads(draw) -> LoadFacts:
    day = draw(number(0, 50000))
    legs = draw(st.one_of(st.none(), st.builds(LegLoads, number(0, 100), number(0, 100))))
    return LoadFacts(day, day * draw(number(0, 1)), draw(number(0, 20000)), draw(number(0, 10000)), draw(number(0, 5000)),
                     draw(st.sampled_from([(), ("dryer",)])), legs)


HOURS, DAYS = st.one_of(st.none(), number(0, 24)), st.one_of(st.none(), number(0, 7))


@st.composite
def supplies(draw, most: int = 4) -> list:
    count = draw(st.integers(1, most))
    made = []
    for position in range(count):
        when = dict(hours_per_day=draw(HOURS), days_per_week=draw(DAYS))
        kind = draw(st.integers(0, 2))
        if kind == 0:
            made.append(Shore(f"s{position}", draw(st.sampled_from(SERVICES)), **when))
        elif kind == 1:
            rating = draw(st.one_of(st.builds(ByPower, number(100, 30000)), st.builds(ByApparentPower, number(100, 30000), st.one_of(st.none(), number(0.5, 1)))))
            made.append(Generator(f"s{position}", rating, draw(st.sampled_from(["120", "120-240"])), draw(st.one_of(st.none(), number(-500, 6500))),
                                  draw(st.one_of(st.none(), number(-60, 90))), **when))
        else:
            made.append(Alternator(f"s{position}", draw(number(10, 500)), draw(st.sampled_from([12.0, 24.0])), draw(st.sampled_from(["dc-dc", "direct"])),
                                   draw(st.one_of(st.none(), number(5, 100))), **when))
    return made


CHARGERS = st.builds(ChargerFacts, st.sampled_from(["inverter-charger", "stand-alone"]), st.one_of(st.none(), number(5, 200)), st.one_of(st.none(), number(15, 100)))


def traced(part, pointer=""):
    """The same records with every number traced to a place of its own, as a door would hand them out."""
    if isinstance(part, msgspec.Struct):
        values = {}
        for field in part.__struct_fields__:
            value = getattr(part, field)
            if isinstance(value, float) and field not in PLAIN:
                value = Traced(value, TERMS[TERM_OF.get(field, field)], Given(f"{pointer}/{field}"))
            elif isinstance(value, msgspec.Struct):
                value = traced(value, f"{pointer}/{field}")
            values[field] = value
        return type(part)(**values)
    return [traced(item, f"{pointer}/{position}") for position, item in enumerate(part)]


def numbers(part):
    """Every float of an answer."""
    if isinstance(part, float):
        yield part
    elif isinstance(part, msgspec.Struct) and type(part).__name__ not in ("Rule", "Citation"):
        for field in part.__struct_fields__:
            yield from numbers(getattr(part, field))
    elif isinstance(part, (list, tuple)):
        for item in part:
            yield from numbers(item)


@given(supplies(), banks(), loads(), CHARGERS)
def test_traced_equals_plain_and_every_number_has_an_origin(requests, bank, facts, charger):
    plain_case, traced_case = SHELF.case(), SHELF.case(traced=True)
    plain = size_supplies(requests, bank, facts, plain_case, charger)
    told = size_supplies(traced(requests, "/supplies"), traced(bank, "/bank"), traced(facts, "/loads"), traced_case, traced(charger, "/charger"))
    assert list(numbers(plain)) == [float(value) for value in numbers(told)]
    assert all(type(value) is Traced for value in numbers(told))
    assert all(value.origin is not None for value in behind(numbers(told)))
    assert plain_case.findings == traced_case.findings
    assert [said.name for said in plain_case.assumptions] == [said.name for said in traced_case.assumptions]


@given(supplies(), banks(), loads(), CHARGERS)
def test_numbers_are_finite_and_limits_hold(requests, bank, facts, charger):
    for supply in size_supplies(requests, bank, facts, SHELF.case(), charger):
        assert all(map(math.isfinite, numbers(supply)))
        assert supply.energy_wh >= 0
        if supply.outcome == "nothing-fits":
            assert supply.why and supply.charging is None
            continue
        direct = supply.dc_dc is not None and supply.dc_dc.coupling == "direct"
        for check in supply.checks:
            if check.rule.name in ("charger-within-supply", "dc-dc-within-alternator") or (check.rule.name == "charge-within-bank-limit" and not direct):
                assert check.passed, check
        assert supply.charging.charging_a <= supply.charging.charger_setting_a
        assert (supply.charging.charge_hours is None) or supply.charging.charge_hours > 0
        if supply.charging.walks_down:
            assert supply.charging.balance_w < 1e-6


@given(supplies(), banks(), loads(), CHARGERS, st.randoms(use_true_random=False))
def test_order_of_supplies_is_irrelevant(requests, bank, facts, charger, random):
    shuffled = list(requests)
    random.shuffle(shuffled)
    one, other = SHELF.case(), SHELF.case()
    found = {supply.id: supply for supply in size_supplies(requests, bank, facts, one, charger)}
    again = {supply.id: supply for supply in size_supplies(shuffled, bank, facts, other, charger)}
    assert found == again
    assert sorted(finding.code for finding in one.findings) == sorted(finding.code for finding in other.findings)


@given(banks(), loads(), number(1, 300), number(1, 3), st.sampled_from(SERVICES), st.booleans())
def test_more_charger_never_takes_longer(bank, facts, rating, more, service, by_alternator):
    def hours(output: float) -> float:
        if by_alternator:
            requests, charger = [Alternator("it", 200.0, dc_dc_output_a=output)], ChargerFacts()
        else:
            requests, charger = [Shore("it", service)], ChargerFacts(charger_current_a=output)
        (supply,) = size_supplies(requests, bank, facts, SHELF.case(), charger)
        return math.inf if supply.charging.charge_hours is None else supply.charging.charge_hours

    slow, fast = hours(rating), hours(rating * more)
    assert fast <= slow * (1 + 1e-9)


@given(banks(), loads(), number(0, 24), number(0, 24), st.sampled_from(SERVICES))
def test_more_hours_never_bring_less(bank, facts, hours, more, service):
    few, many = sorted((hours, more))
    (less,) = size_supplies([Shore("it", service, few)], bank, facts, SHELF.case())
    (rest,) = size_supplies([Shore("it", service, many)], bank, facts, SHELF.case())
    assert rest.energy_wh >= less.energy_wh * (1 - 1e-9)


@given(banks(), loads(), number(-500, 6500), number(0, 2000), number(-40, 90), number(0, 20))
def test_a_higher_or_hotter_generator_never_gives_more(bank, facts, altitude, higher, ambient, hotter):
    def power(z, t):
        (supply,) = size_supplies([Generator("it", ByPower(5000.0), "120", z, t)], bank, facts, SHELF.case())
        return supply.alternating.supply_power_w

    assert power(altitude + higher, ambient + hotter) <= power(altitude, ambient)


@given(st.lists(number(0.1, 200), min_size=1, max_size=6), banks())
def test_total_of_all_chargers_is_a_plain_sum(currents, bank):
    total = check_total_charge(currents, bank, SHELF.case())
    assert total.charge_current_a == pytest.approx(math.fsum(currents))
    assert total.check.passed == (total.charge_current_a <= bank.charge_limit_a * (1 + 1e-9))
