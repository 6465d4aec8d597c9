"""Bonding conductors over the whole input space, told a second time from the tables; and requests that are refused."""

from __future__ import annotations

import math

import msgspec
import pytest
from electrical.bonding.asking import PRACTICES, SHELF, ask, codes
from electrical.bonding.test_properties import held, some
from hypothesis import strategies as st

from ohmstead.reference.bonding import STRATEGIES
from ohmstead.wire.door import Door
from ohmstead.wire.explain import explain
from ohmstead.wire.v1.bonding import BondingRequest, read

TABLES = SHELF.plain.tables
AWG_SIZES = ["16", "10", "8", "6", "2", "1", "1/0", "3/0", "4/0"]
leads = st.one_of(
    st.builds(lambda name, sets: {"system": "awg", "name": name, "sets": sets}, st.sampled_from(AWG_SIZES), st.integers(1, 4)),
    st.builds(lambda name, sets: {"system": "kcmil", "name": name, "sets": sets}, st.sampled_from(["250", "500"]), st.integers(1, 2)),
    st.builds(
        lambda name, sets: {"system": "mm2", "name": name, "sets": sets},
        st.sampled_from(["1.5", "10", "16", "25", "35", "50", "95", "240"]), st.integers(1, 2),
    ),
)
faults = st.builds(
    lambda current, time, insulation: {
        "current": {"value": current, "unit": "A"}, "clearing_time": {"value": time, "unit": "s"}, "insulation": insulation, "proven": True,
    },
    st.floats(10, 20_000), st.floats(0.001, 2), st.sampled_from(["70C", "90C"]),
)


def request(practice: str, **more) -> dict:
    return {"dwelling": {"practice": practice}, "sources": [{"kind": "inverter", "bond": {"by": "relay"}}], "panel_screw": "removed"} | more


def area(size, practice: str) -> float:
    """Area of a size in an answer, from the tables alone."""
    if size.system == "mm2":
        return TABLES["mm2_conductors"].cell(size.name, "area_mm2")
    table = TABLES["awg_sae_conductors" if practice == "us-craft" else "awg_conductors"]
    return table.cell(size.name, "area_mm2")


def sized(given: dict) -> dict:
    """Conductors with a size by name and circuit."""
    answer = ask(given)
    return {(one.name, one.circuit): one for one in answer.bonding.conductors if one.outcome == "sized"}


@some(150)
@pytest.mark.parametrize("practice", PRACTICES)
def test_a_bond_stands_its_fault_and_is_the_smallest_that_does(practice, many):
    def check(lead, fault):
        without, stood = sized(request(practice, battery_lead=lead)), sized(request(practice, battery_lead=lead, fault=fault))
        needed = fault["current"]["value"] * math.sqrt(fault["clearing_time"]["value"]) / (115 if fault["insulation"] == "70C" else 143)
        for name, one in stood.items():
            assert all(check.passed for check in one.checks) and one.area.value == pytest.approx(area(one.size, practice))
            if one.withstand == "not-asked":
                assert one.size == without[name].size
                continue
            assert one.withstand == "sufficient" and one.area.value >= needed * (1 - 1e-9)
            ruled = without[name].area.value
            assert one.area.value >= ruled and (one.governed_by == "withstand") == (one.area.value > ruled)
            if one.governed_by == "withstand":
                # The next smaller size of the practice does not stand it.
                smaller = [found for found in _areas(practice) if found < one.area.value - 1e-9]
                assert not smaller or max(smaller) < needed

    held(check, many, lead=leads, fault=faults)


def _areas(practice: str) -> list[float]:
    return list(SHELF.plain.practices[practice].source("bank-main").sizes.columns["area_mm2"])


@some(150)
@pytest.mark.parametrize("practice", PRACTICES)
def test_a_larger_lead_device_or_makers_size_never_gives_a_smaller_bond(practice, many):
    order = ["16", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "2/0", "3/0", "4/0"]

    def check(small, large, rating, more, maker):
        small, large = sorted((small, large), key=order.index)
        first = sized(request(practice, battery_lead={"system": "awg", "name": small}, battery_device={"value": rating, "unit": "A"}))
        second = sized(request(
            practice, battery_lead={"system": "awg", "name": large}, battery_device={"value": rating + more, "unit": "A"},
            makers_case_bond={"system": "awg", "name": maker},
        ))
        for name, one in first.items():
            assert name not in second or second[name].area.value >= one.area.value
        case = second.get(("case-bond", None))
        if case is not None:
            assert case.area.value >= min(area(type(case.size)("awg", maker), practice), max(_areas(practice))) * 0.94

    sizes = st.sampled_from(order)
    held(check, many, small=sizes, large=sizes, rating=st.floats(1, 400), more=st.floats(0, 400), maker=st.sampled_from(["8", "2", "2/0"]))


@some(100)
@pytest.mark.parametrize("practice", ["us-vehicle", "us-dwelling"])
def test_grounding_conductors_by_plain_search_of_the_table(practice, many):
    """Table 250.122 walked row by row, and never larger than the line."""
    table, sizes = TABLES["nec_250_122"], TABLES["awg_conductors"]

    def check(breaker, line):
        given = request(practice, circuits=[{"id": "feed", "breaker": {"value": breaker, "unit": "A"}, "line": {"system": "awg", "name": line}}])
        one = sized(given)["protective-conductor", "feed"]
        row = next(row for row, most in enumerate(table.columns["device_up_to_a"]) if breaker <= most * (1 + 1e-9))
        printed = sizes.cell(table.columns["size"][row], "area_cmil")
        assert sizes.cell(one.size.name, "area_cmil") == min(printed, sizes.cell(line, "area_cmil"))

    held(check, many, breaker=st.floats(1, 400), line=st.sampled_from(["14", "12", "10", "6", "4", "1/0"]))


@pytest.mark.parametrize("practice", PRACTICES)
def test_every_conductor_says_what_it_rests_on_and_no_figure_is_made_up(practice):
    answer = ask(request(practice))
    assert answer.bonding.conductors
    for one in answer.bonding.conductors:
        assert one.rule.says and one.rule.citation.id and one.rule.citation.basis
        assert (one.outcome == "sized") == (one.size is not None) == (one.area is not None) == (not one.why) == bool(one.checks)
    unseen = {one.name for one in answer.bonding.conductors if one.outcome == "no-figure-seen"}
    assert ("bond-no-figure" in codes(answer.findings)) == bool(unseen)
    # Whatever a fault can pass is not proven without one.
    assert all(one.withstand in ("not-asked", "not-proven") for one in answer.bonding.conductors)


@pytest.mark.parametrize("practice", PRACTICES)
def test_every_number_has_an_origin(practice):
    given = request(
        practice, battery_lead={"system": "awg", "name": "4/0", "sets": 2}, battery_device={"value": 300, "unit": "A"},
        makers_case_bond={"system": "mm2", "name": "50"},
        circuits=[{"id": "feed", "breaker": {"value": 50, "unit": "A"}, "line": {"system": "awg", "name": "6"}}],
        fault={"current": {"value": 3, "unit": "kA"}, "clearing_time": {"value": 0.1, "unit": "s"}},
        two_bonds={"current": {"value": 24, "unit": "A"}, "neutral_path": {"value": 20, "unit": "mohm"}, "earth_path": {"value": 40, "unit": "mohm"}},
        sources=[{"kind": "shore"}, {"kind": "inverter", "bond": {"by": "relay"}}], transfer={"switches_neutral": "yes", "poles": 2},
    )
    plain, traced = ask(given), ask(given, traced=True)
    assert msgspec.to_builtins(plain.bonding) == msgspec.to_builtins(traced.bonding, enc_hook=float)
    assert len(explain(traced).places) > 5
    assert plain.bonding.earth_current.value == pytest.approx(8.0) and not plain.bonding.residual.passed


@pytest.mark.parametrize("practice", PRACTICES)
def test_the_maker_is_asked_for_the_case_alone(practice):
    plain = request(practice, battery_lead={"system": "awg", "name": "10"}, battery_device={"value": 30, "unit": "A"})
    without, with_it = sized(plain), sized(plain | {"makers_case_bond": {"system": "awg", "name": "2/0"}})
    assert {name for name in without if with_it[name].size != without[name].size} <= {("case-bond", None)}
    if ("case-bond", None) in without:
        assert with_it["case-bond", None].governed_by == "maker"


def test_other_units_give_the_same_answer():
    fault = {"current": {"value": 5, "unit": "kA"}, "clearing_time": {"value": 0.05, "unit": "s"}}
    one = request("us-vehicle", fault=fault, battery_lead={"system": "awg", "name": "4/0"})
    other = one | {"fault": {"current": {"value": 5000, "unit": "A"}, "clearing_time": {"value": 0.05, "unit": "s"}}}
    assert ask(one).bonding == ask(other).bonding


def test_the_strategies_named_in_the_rules_are_the_ones_that_are_there():
    from ohmstead.electrical.bonding.conductors import _STRATEGIES

    used = {rule.strategy for practice in SHELF.plain.bonding.values() for rule in practice.conductors}
    assert used <= STRATEGIES and used - {"by-circuit"} <= set(_STRATEGIES)
    assert set(SHELF.plain.bonding) == set(SHELF.plain.practices)


def test_the_tables_have_the_areas_of_the_conductor_table():
    sizes = TABLES["awg_conductors"]
    for name in ("nec_250_102", "nec_250_66"):
        columns = TABLES[name].columns
        for line, most, size, least in zip(columns["line_up_to"], columns["line_area_cmil"], columns["size"], columns["bond_area_cmil"], strict=True):
            assert sizes.cell(size, "area_cmil") == least
            assert most == (sizes.cell(line, "area_cmil") if line in sizes.index else 1000 * float(line))


# -- requests that cannot be written, and one that cannot be calculated ---------------------------------------------------


@pytest.mark.parametrize(
    "wrong",
    [
        {"sources": []}, {"sources": [{"kind": "shore"}] * 9}, {"sources": [{"kind": "windmill"}]}, {"dwelling": {"practice": "us-vehicle", "kind": "boat"}},
        {"dwelling": {"practice": "us-aircraft"}}, {"sources": [{"kind": "inverter", "units": 0}]}, {"transfer": {"poles": 5}}, {"panel_screw": "loose"},
        {"battery_lead": {"system": "mm2", "name": "4/0"}}, {"battery_lead": {"system": "awg", "name": "70"}},
        {"fault": {"current": {"value": 1, "unit": "kA"}}},
        {"sources": [{"kind": "generator", "bond": {"by": "relay"}}]}, {"neutral": "floating"},
    ],
)
def test_what_the_schema_refuses(wrong):
    with pytest.raises(msgspec.ValidationError):
        msgspec.convert(request("us-vehicle") | wrong, BondingRequest)


def test_all_that_fits_the_schema_is_read():
    everything = request(
        "intl-craft", double_pole="yes", electrode="rod", device_lead={"system": "kcmil", "name": "500", "sets": 12},
        sources=[
            {"kind": "shore", "transformer": {"by": "not-known"}}, {"kind": "shore", "transformer": {"by": "transformer"}}, {"kind": "generator"},
            {"kind": "inverter", "units": 12, "bond": {"by": "fixed"}}, {"kind": "inverter", "bond": {"by": "not-known"}},
            {"kind": "inverter", "units": 3, "bond": {"by": "relay"}},
        ],
    )
    asked = read(msgspec.convert(everything, BondingRequest), Door())
    assert [source.closed_in for source in asked.sources[3:]] == ["all", "not-known", "not-known"]
    assert ask(everything).bonding.verdict in ("to-be-changed", "cannot-be-judged")
    one = read(msgspec.convert(request("us-vehicle"), BondingRequest), Door())
    assert one.sources[0].closed_in == "one"
