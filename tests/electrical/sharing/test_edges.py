"""Edges of current sharing: a single unit, leads that differ beside equal ones, what is counted on beside a limit."""

from __future__ import annotations

import pytest
from electrical.sharing.asking import ask, codes, request, with_links

from ohmstead.electrical.sharing.model import Flow, Layout, Link, SharingRequest, Unit
from ohmstead.electrical.sharing.network import solve, solve_unlike
from ohmstead.electrical.sharing.sizing import share_current
from ohmstead.reference.case import Shelf


@pytest.mark.parametrize("layout", ["one-end", "diagonal"])
def test_a_single_unit_gives_everything_and_has_no_link(layout):
    alone = Flow((100.0,), (), (), 0.002)
    assert solve(layout, (0.002,), 0.0005, 100.0) == alone
    assert solve_unlike(layout, (0.002,), (0.0005,), (0.0007,), 100.0) == alone


def test_a_single_unit_behind_bus_bars_has_its_leads():
    """2 mohm and a pair of leads of 0.5 mohm, or of 0.5 and 0.75 mohm."""
    assert solve("bus-bars", (0.002,), 0.0005, 100.0).bank_resistance_ohm == pytest.approx(0.0025, rel=1e-12)
    assert solve_unlike("bus-bars", (0.002,), (0.0005,), (0.00075,), 100.0).bank_resistance_ohm == pytest.approx(0.00325, rel=1e-12)


def test_what_leads_that_differ_are_compared_with_are_equal_leads():
    """Beside stands the bank with every lead like the others, and not the one with the loose lead itself."""
    like = request("bus-bars", [2.0, 2.0, 2.0], 0.2, unit_limit={"value": 60.0, "unit": "A"})
    even, loose = ask(like).sharing, ask(with_links(like, {"p1": 5.0})).sharing
    assert loose.beside_bus_bars.resistance == even.beside_bus_bars.resistance == even.resistance
    assert loose.beside_bus_bars.largest_current.value == pytest.approx(100 / 3, rel=1e-12)
    assert loose.beside_bus_bars.current_at_limit.value == pytest.approx(180.0, rel=1e-12)
    assert loose.resistance.value > even.resistance.value and loose.beside_bus_bars.ratio < 0.8


@pytest.mark.parametrize("limit", [0.5, 60.0])
def test_what_is_counted_on_is_no_matter_of_the_units_limit(limit):
    """Even sharing is even whatever one unit may carry; uneven sharing names the share that is counted on, not the limit."""
    more = {"unit_limit": {"value": limit, "unit": "A"}}
    assert "sharing-uneven" not in codes(ask(request("bus-bars", [2.0] * 4, 0.2, **more)))
    uneven = ask(request("one-end", [2.0] * 4, 2.0, **more))
    (said,) = [found for found in uneven.findings if found.code == "sharing-uneven"]
    assert "; 0.8 is counted on" in said.message


@pytest.mark.parametrize("total", [0.1, 1.0, 100.0])
def test_which_unit_is_driven_backwards_most_does_not_depend_on_the_current(total):
    """The third unit, between loose links, takes more than any other gives: at a tenth of an ampere as at a hundred."""
    own = {"p1": 50.0, "p2": 50.0, "n3": 50.0, "n4": 50.0}
    more = {"current": {"value": total, "unit": "A"}, "unit_limit": {"value": 10.0, "unit": "A"}}
    answer = ask(with_links(request("diagonal", [5.0, 5.0, 0.05, 5.0, 5.0], 0.01, **more), own))
    shared = answer.sharing
    found = [unit.current.value for unit in shared.units]
    said = {finding.pointer for finding in answer.findings if finding.code == "unit-driven-backwards"}
    assert said == {f"/units/{place}" for place, current in enumerate(found) if current < 0} != set()
    assert shared.most_loaded == 3 and found[2] < 0
    assert shared.usable == pytest.approx(total / 5 / -found[2], rel=1e-9)
    assert shared.current_at_limit.value == pytest.approx(10.0 * total / -found[2], rel=1e-9)


def test_a_unit_that_rests_is_not_driven_backwards():
    """Diagonal leads, units of 1 ohm, outer links of 1 ohm and cross links of 1 + 1 ohm: the middle one is in balance and carries nothing."""
    ohm = Link(resistance_ohm=1.0), Link(resistance_ohm=2.0)
    units = (Unit(resistance_ohm=1.0, positive=ohm[1], negative=ohm[0]), Unit(resistance_ohm=1.0, positive=ohm[0], negative=ohm[1]), Unit(resistance_ohm=1.0))
    case = Shelf().case()
    shared = share_current(SharingRequest("agm", Layout("diagonal", ohm[0]), units, 8.0, None), case)
    assert [unit.current_a for unit in shared.units] == [4.0, 0.0, 4.0]
    assert "unit-driven-backwards" not in {finding.code for finding in case.findings}
