"""Devices and grounding conductors by plain search over everything that the tables hold."""

from __future__ import annotations

import msgspec
import pytest

from ohmstead.electrical.protection.model import Demand
from ohmstead.electrical.protection.sizing import ampacity_for, candidates, device_limit, grounding_size
from ohmstead.reference.case import Shelf

SHELF = Shelf()
PRACTICES = SHELF.plain.practices
FEEDER, BOAT = PRACTICES["us-dwelling"].source("dc-feeder"), PRACTICES["us-craft"].source("dc-feeder")
STANDARD = FEEDER.standard_ratings.column("rating_a")
RATINGS = sorted({rating for series in SHELF.plain.series.values() for rating in series} | set(STANDARD))
FAMILIES = SHELF.plain.tables["device_families"].columns
USES = sorted({use for uses in FAMILIES["use"] for use in uses.split()})


@pytest.mark.parametrize("use", USES)
@pytest.mark.parametrize("limit", [None, 60.0])
def test_every_family_that_is_made_for_it_is_offered_and_no_other(use, limit):
    """A family without a rating in reach is passed over, and those behind it are not."""
    for needed in (0.4, 2.0, 12.0, 26.0, 31.0, 61.0, 126.0, 260.0, 401.0, 460.0, 550.0, 790.0, 900.0):
        demand = Demand(use, needed, 14.6, None, False, False, limit)
        expected = {}
        for row, family, uses, mark in zip(FAMILIES["row"], FAMILIES["family"], FAMILIES["use"], FAMILIES["device_voltage_v"], strict=True):
            rating = min((made for made in SHELF.plain.series[family] if made >= needed), default=None)
            if use in uses.split() and mark >= 14.6 and rating is not None and (limit is None or rating <= limit):
                expected[row] = rating
        assert {device.row: device.rating_a for device in candidates(demand, SHELF.case())} == expected


@pytest.mark.parametrize(
    ("relation", "source"),
    [("next-size-up", FEEDER), ("next-size-up-to-excess", BOAT), ("not-above-ampacity", FEEDER), ("conductor-not-below-device", FEEDER)],
)
def test_what_is_asked_for_is_the_least_that_protects(relation, source):
    """At every rating and at every ampacity where a limit steps, on the step and a hair to both sides of it."""
    steps = {*RATINGS, *(rating / 1.5 for rating in RATINGS)}
    for rating in RATINGS:
        needed, itself = ampacity_for(relation, rating, source)
        for step in steps:
            # Below the first standard rating nothing is made, and the question asks for more than the answer needs.
            for ampacity in filter(STANDARD[0].__le__, (step * (1 - 1e-6), step, step * (1 + 1e-6))):
                asked = ampacity >= needed * (1 - 1e-9) if itself else ampacity > needed * (1 + 1e-9)
                assert asked == (rating <= device_limit(relation, ampacity, source) * (1 + 1e-9)), (rating, ampacity)


@pytest.mark.parametrize(
    ("rating", "least", "itself"),
    [(3.0, 2.0, True), (6.0, 4.0, True), (10.0, 10.0 / 1.5, True), (15.0, 10.0, False), (30.0, 25.0, False), (110.0, 100.0, False), (601.0, 600.0, False)],
)
def test_boats_exceed_the_ampacity_by_half_at_most(rating, least, itself):
    """Half more than 2 A are 3 A; between 10 and 15 A the standard rating below is the nearer bound."""
    needed, suffices = ampacity_for("next-size-up-to-excess", rating, BOAT)
    assert (needed, suffices) == (pytest.approx(least, rel=1e-12), itself)


def test_a_circuit_below_what_its_ampacity_asks_gets_no_smaller_grounding_conductor():
    """Enlarging goes one way: 10 AWG behind 30 A keeps the 10 AWG of the table, though 6 AWG was asked for."""
    sizes = FEEDER.sizes
    assert grounding_size(FEEDER, 30.0, sizes.row("10"), sizes.row("6"), sizes, True) == "10"


def test_one_size_below_where_no_smallest_is_named():
    """Without a smallest size the end is the table's first one, and not its last."""
    bare = msgspec.structs.replace(BOAT, smallest=None)
    sizes = bare.sizes.column("size")
    found = [grounding_size(bare, 30.0, row, row, bare.sizes, True) for row in range(len(sizes))]
    assert found == [sizes[0], *sizes[:-1]]
