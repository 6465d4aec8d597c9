"""Decisions about a shared current: verdicts, findings, resistances that are not given, links by size."""

from __future__ import annotations

from typing import get_args

import msgspec
import pytest
from electrical.sharing.asking import ask, codes, currents, request, with_links

from ohmstead.reference.case import Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.problems import Problem
from ohmstead.wire.v1.bank import BankChemistry
from ohmstead.wire.v1.cable import CableSize
from ohmstead.wire.v1.sharing import SharingRequest, read


@pytest.fixture(scope="module")
def tables():
    return Shelf().plain.tables


def by_capacity(*capacities_ah: float, cells: int = 4) -> list[dict]:
    return [{"by": "capacity", "capacity": {"value": capacity, "unit": "Ah"}, "cells": cells} for capacity in capacities_ah]


def by_cable(layout: str, **more) -> dict:
    link = {"by": "cable", "cable": {"size": "2/0", "length": {"value": 0.5, "unit": "m"}}} | more
    return {"by": layout, "lead" if layout == "bus-bars" else "link": link}


@pytest.mark.parametrize(
    ("layout", "count", "chemistry", "said"),
    [
        ("one-end", 2, "lfp", True), ("one-end", 4, "nmc", True), ("diagonal", 3, "lto", True), ("diagonal", 4, "sodium-ion", True),
        ("diagonal", 2, "lfp", False), ("bus-bars", 6, "lfp", False), ("one-end", 4, "agm", False), ("diagonal", 4, "golf-cart", False),
    ],
)
def test_lithium_on_links_is_told_to_take_equal_leads(layout, count, chemistry, said):
    """Two like units with diagonal leads have equal ways already; lead-acid has resistance enough."""
    answer = ask(request(layout, [3.0] * count, 0.01, chemistry=chemistry))
    assert ("equal-leads" in codes(answer)) is said


def test_uneven_sharing_is_said_where_less_is_left_than_is_counted_on():
    """Two units at one end share by r + c and r: usable is 0.8 where the first carries 0.625, at c = 2 r / 3."""
    at, beyond = (ask(request("one-end", [3.0, 3.0], link, chemistry="agm")) for link in (1.0, 1.001))
    assert at.sharing.usable == pytest.approx(0.8, rel=1e-12)
    assert "sharing-uneven" not in codes(at) and "sharing-uneven" in codes(beyond)
    assert at.sharing.checks[0].name == "sharing-counted-on" and at.sharing.checks[0].passed
    assert not beyond.sharing.checks[0].passed


@pytest.mark.parametrize(("limit", "verdict"), [(None, "not-asked"), (20.0, "exceeded"), (60.0, "within")])
def test_the_limit_of_one_unit(limit, verdict):
    more = {} if limit is None else {"unit_limit": {"value": limit, "unit": "A"}}
    shared = ask(request("bus-bars", [2.0] * 4, 0.2, **more)).sharing
    assert shared.limit_verdict == verdict
    assert (shared.current_at_limit is None) is (shared.beside_bus_bars.current_at_limit is None) is (limit is None)
    assert [check.name for check in shared.checks] == ["sharing-counted-on"] + (["unit-limit"] if limit else [])


def test_findings_name_the_most_loaded_unit():
    """Two old units of 8 mohm and a new one of 2 mohm at the far end, links of next to nothing."""
    answer = ask(request("one-end", [8.0, 8.0, 2.0], 0.01, unit_limit={"value": 20.0, "unit": "A"}))
    said = {found.code: found for found in answer.findings}
    assert answer.sharing.most_loaded == 3
    assert said["unit-limit-exceeded"].message.startswith("Unit 3 carries 66.3") and "limit is 20 A" in said["unit-limit-exceeded"].message
    assert said["sharing-uneven"].message.startswith("Unit 3 carries 1.98")
    assert said["sharing-uneven"].pointer == "/layout" and said["unit-limit-exceeded"].pointer == "/unit_limit"


def test_one_resistance_that_is_not_given_keeps_the_limit_from_counting_as_kept():
    given = request("bus-bars", [2.0, 2.0], 0.2, unit_limit={"value": 90.0, "unit": "A"})
    assert ask(given).sharing.limit_verdict == "within"
    given["units"][1] = by_capacity(100.0)[0]
    assert ask(given).sharing.limit_verdict == "not-proven"
    assert ask(given | {"unit_limit": {"value": 40.0, "unit": "A"}}).sharing.limit_verdict == "exceeded"


def test_units_of_one_kind_are_said_once():
    given = request("bus-bars", [2.0] * 3, 0.2)
    given["units"] += by_capacity(100.0, 200.0, 100.0)
    said = [(found.pointer, found.message) for found in ask(given).findings if found.code == "typical-resistance"]
    assert [pointer for pointer, _ in said] == ["/units/3", "/units/4"]
    assert "unit 4, 6 " in said[0][1] and "unit 5 " in said[1][1]
    # 4 x (30, 45, 70) mohm.Ah over 100 Ah and four joints of 0.05 mohm
    assert "2 mohm is typical" in said[0][1] and "1.4 to 3 mohm occur" in said[0][1]


@pytest.mark.parametrize("chemistry", get_args(BankChemistry))
def test_a_usual_resistance_lies_between_its_ends(chemistry, tables):
    table = tables["internal_resistances"]
    assert table.cell(chemistry, "low") < table.cell(chemistry, "typical") < table.cell(chemistry, "high")
    given = request("bus-bars", [], 0.2, chemistry=chemistry) | {"units": by_capacity(100.0, 200.0, cells=6)}
    one, two = ask(given).sharing.units
    assert one.typical and one.resistance.value > two.resistance.value


@pytest.mark.parametrize(
    ("chemistry", "capacity", "cells", "low", "typical", "high"),
    [
        ("flooded", 100, 6, 3.5, 5, 8), ("golf-cart", 225, 6, 3, 4, 6), ("agm", 100, 6, 2.2, 4.9, 9), ("gel", 100, 6, 4.5, 5.5, 7),
        ("lfp", 60, 1, 0.5, 0.75, 1.1667), ("lto", 200, 1, 0.075, 0.2, 0.3),
    ],
)
def test_the_figures_of_the_sources_come_out(chemistry, capacity, cells, low, typical, high, tables):
    """In mohm, cells without joints: blocks of 100 Ah, a pair of 6 V blocks, single cells."""
    table = tables["internal_resistances"]
    for name, mohm in (("low", low), ("typical", typical), ("high", high)):
        assert 1000 * table.cell(chemistry, name) * cells / table.cell(chemistry, "figure_cells") / capacity == pytest.approx(mohm, rel=1e-4)


def test_lithium_is_what_needs_equal_leads(tables):
    table = tables["internal_resistances"]
    needs = {chemistry for chemistry, word in zip(table.column("chemistry"), table.column("equal_leads"), strict=True) if word == "yes"}
    assert needs == {"lfp", "nmc", "lto", "sodium-ion"}


def test_the_sizes_of_cables_are_those_of_the_tables(tables):
    """A size that a table gains has to be said in the shape too."""
    metric = tuple(f"{size} mm2" for size in tables["mm2_conductors"].column("size"))
    assert get_args(CableSize) == tables["awg_conductors"].column("size") + metric


def test_a_link_in_mm2_has_the_largest_resistance_of_its_class_and_says_which_standard(tables):
    """35 mm2 of class 5: 0.554 ohm/km at 20 °C; half a metre with three joints of 0.05 mohm."""
    cable = {"size": "35 mm2", "length": {"value": 0.5, "unit": "m"}}
    answer = ask(request("diagonal", [2.0] * 4, 1.0) | {
        "layout": by_cable("diagonal", cable=cable, joints=3, temperature={"value": 20, "unit": "degC"})})
    assert answer.sharing.link_resistance.value == pytest.approx(0.554 * 0.5 / 1000 + 3 * 5e-5, rel=1e-9)
    assert {"iec-60228"} <= {source.id for source in answer.citations}


def test_a_loose_link_in_a_chain_with_diagonal_leads_lets_one_unit_be_driven_backwards():
    """Bridge of three: with both cross links loose the middle unit of 1 mohm sees more than its own voltage and is charged."""
    loose = with_links(request("diagonal", [1.0, 1.0, 1.0], 0.1, unit_limit={"value": 40.0, "unit": "A"}), {"p1": 60.0, "n2": 60.0})
    answer = ask(loose)
    assert currents(answer)[1] < 0
    (said,) = [found for found in answer.findings if found.code == "unit-driven-backwards"]
    assert said.pointer == "/units/1" and said.message.startswith("Unit 2 carries ")
    assert f"{-currents(answer)[1]:.4g} A the wrong way" in said.message
    assert "unit-driven-backwards" not in codes(ask(request("diagonal", [1.0, 1.0, 1.0], 0.1)))


def test_a_unit_driven_backwards_beyond_its_limit_is_the_most_loaded():
    """A unit of a hundredth of the others' resistance between loose links takes more from them than any of them gives."""
    own = {"p1": 50.0, "p2": 50.0, "n3": 50.0, "n4": 50.0}
    answer = ask(with_links(request("diagonal", [5.0, 5.0, 0.05, 5.0, 5.0], 0.01, unit_limit={"value": 10.0, "unit": "A"}), own))
    found = currents(answer)
    worst = max(range(5), key=lambda place: abs(found[place]))
    assert answer.sharing.most_loaded == worst + 1 == 3 and found[worst] < 0
    said = {finding.code: finding.message for finding in answer.findings}
    assert f"carries {abs(found[worst]):.4g} A" in said["unit-limit-exceeded"]


@pytest.mark.parametrize("layout", ["one-end", "diagonal"])
def test_no_link_starts_at_the_last_unit_of_a_chain(layout):
    given = with_links(request(layout, [2.0, 2.0], 1.0), {"p2": 1.0, "n2": 1.0})
    with pytest.raises(Problem) as refused:
        read(msgspec.convert(given, SharingRequest), Door())
    assert [(fault.code, fault.pointer) for fault in refused.value.faults] == [
        ("contradiction", "/units/1/positive"), ("contradiction", "/units/1/negative"),
    ]
    assert len(currents(ask(with_links(request("bus-bars", [2.0, 2.0], 1.0), {"p2": 1.0})))) == 2


def test_leads_to_bus_bars_that_differ_are_no_equal_leads():
    assert "equal-leads" in codes(ask(with_links(request("bus-bars", [2.0] * 3, 0.2), {"p2": 1.0})))
    assert "equal-leads" not in codes(ask(request("bus-bars", [2.0] * 3, 0.2)))


def test_a_link_of_its_own_can_be_a_longer_cable(tables):
    given = request("one-end", [2.0] * 3, 0.1)
    given["units"][0] = given["units"][0] | {
        "negative": {"by": "cable", "cable": {"size": "25 mm2", "length": {"value": 2, "unit": "m"}}, "joints": 0, "temperature": {"value": 20, "unit": "degC"}}}
    first = next(link for link in ask(given).sharing.links if (link.pole, link.unit) == ("negative", 1))
    assert first.resistance.value == pytest.approx(0.78 * 2 / 1000, rel=1e-9)


def test_a_link_by_size_is_its_copper_and_its_joints(tables):
    given = request("diagonal", [2.0] * 4, 1.0) | {"layout": by_cable("diagonal", joints=3, temperature={"value": 20, "unit": "degC"})}
    copper = tables["awg_conductors"].cell("2/0", "resistance_75c") * (1 - 0.00323 * 55) * 0.5 / 1000
    assert ask(given).sharing.link_resistance.value == pytest.approx(copper + 3 * 5e-5, rel=1e-12)
    assert [said.name for said in ask(given).assumptions] == ["sharing_factor"]


def test_a_warm_link_shares_worse_and_is_what_is_assumed():
    warm, cold = (
        ask(request("one-end", [2.0] * 4, 1.0) | {"layout": by_cable("one-end", **more)})
        for more in ({}, {"temperature": {"value": 20, "unit": "degC"}})
    )
    assert warm.sharing.usable < cold.sharing.usable
    assert {said.name: said.value.value for said in warm.assumptions if said.name == "link_conductor_c"} == {"link_conductor_c": 75.0}


def test_sets_of_conductors_halve_the_copper_of_a_link():
    cable = {"size": "2/0", "length": {"value": 0.5, "unit": "m"}, "sets": 2}
    one = ask(request("one-end", [2.0] * 4, 1.0) | {"layout": by_cable("one-end", joints=0)}).sharing.link_resistance.value
    two = ask(request("one-end", [2.0] * 4, 1.0) | {"layout": by_cable("one-end", joints=0, cable=cable)}).sharing.link_resistance.value
    assert two == pytest.approx(one / 2, rel=1e-12)


def test_hottest_is_not_always_the_most_loaded():
    """A unit of twice the resistance behind the same leads gives less and is warmer: 1 and 2 mohm with leads of 10."""
    shared = ask(request("bus-bars", [1.0, 2.0], 10.0)).sharing
    assert (shared.most_loaded, shared.hottest) == (1, 2)


def test_links_are_named_by_pole_and_place():
    shared = ask(request("one-end", [2.0] * 3, 1.0)).sharing
    assert [(link.pole, link.unit) for link in shared.links] == [("positive", 1), ("positive", 2), ("negative", 1), ("negative", 2)]
    bars = ask(request("bus-bars", [2.0] * 2, 1.0)).sharing
    assert [(link.pole, link.unit) for link in bars.links] == [("positive", 1), ("positive", 2), ("negative", 1), ("negative", 2)]
    turned = ask(request("bus-bars", [4.0, 2.0], 1.0)).sharing
    assert turned.hottest_link == 1 and turned.links[1].unit == 2


def test_other_units_give_the_same_answer():
    one = request("diagonal", [2.0] * 4, 1.0) | {"layout": by_cable("diagonal", temperature={"value": 104, "unit": "degF"})}
    other = msgspec.json.decode(msgspec.json.encode(one))
    other["layout"]["link"]["temperature"] = {"value": 40, "unit": "degC"}
    other["units"] = [{"by": "resistance", "resistance": {"value": 0.002, "unit": "ohm"}}] * 4
    assert currents(ask(other)) == pytest.approx(currents(ask(one)), rel=1e-12)


def test_a_temperature_that_no_cable_has_is_refused():
    given = request("diagonal", [2.0] * 4, 1.0) | {"layout": by_cable("diagonal", temperature={"value": 300, "unit": "degC"})}
    with pytest.raises(Problem) as refused:
        read(msgspec.convert(given, SharingRequest), Door())
    assert [(fault.code, fault.pointer) for fault in refused.value.faults] == [("outside-physical-bounds", "/layout/link/temperature")]


@pytest.mark.parametrize("count", [1, 25])
def test_two_to_twenty_four_units(count):
    with pytest.raises(msgspec.ValidationError):
        msgspec.convert(request("one-end", [2.0] * count, 1.0), SharingRequest)
