"""Numbers that know what made them."""

from __future__ import annotations

import copy
import pickle

import pytest

from ohmstead.nomenclature import TERMS
from ohmstead.reference.case import Shelf
from ohmstead.working import Assumed, Chosen, Citation, Given, Read, Traced

SOURCE = Citation("one", "One source", "1.2", "2023", "published-once")
ORIGINS = [
    Given("/load/current"),
    Assumed("ambient_c", "recalled", SOURCE, "why"),
    Read("t", "14", "a_75", "published", SOURCE),
    Chosen("two sets", (2.0,)),
]


@pytest.mark.parametrize("origin", ORIGINS, ids=lambda origin: type(origin).__name__)
def test_a_traced_number_is_a_float_with_an_origin(origin):
    number = Traced(12.5, TERMS["current_a"], origin)
    assert number == 12.5 and hash(number) == hash(12.5) and isinstance(number, float)
    assert number.term is TERMS["current_a"]
    assert number.origin is origin
    assert f"{number:.1f}" == "12.5"


@pytest.mark.parametrize("origin", ORIGINS, ids=lambda origin: type(origin).__name__)
def test_a_copy_keeps_its_origin(origin):
    number = Traced(12.5, TERMS["current_a"], origin)
    for again in (pickle.loads(pickle.dumps(number)), copy.copy(number)):
        assert type(again) is Traced
        assert (again, again.term, again.origin) == (number, number.term, number.origin)


def test_no_room_for_anything_else():
    with pytest.raises(AttributeError):
        Traced(1.0, TERMS["current_a"], ORIGINS[0]).note = "x"


def test_plain_arithmetic_loses_the_origin():
    """So that whoever computes outside a formula is found out by the next formula."""
    number = Traced(12.5, TERMS["current_a"], ORIGINS[0])
    for result in (number + 1, 2 * number, -number, number / number, abs(number), round(number, 1)):
        assert type(result) is float


def test_the_nearest_formula_finds_out():
    """The same, end to end: a number multiplied by hand is refused by the next formula."""
    from ohmstead.electrical.conductors.formulas import continuous_current
    from ohmstead.working import Unexplained

    case = Shelf().case(traced=True)
    factor = case.constant("continuous_factor")
    current = Traced(20.0, TERMS["current_a"], Given("/load/current"))
    assert continuous_current(factor, current) == 25.0
    with pytest.raises(Unexplained):
        continuous_current(factor, current * 2)


def test_citation_reads_as_a_line():
    assert str(SOURCE) == "One source (2023) 1.2"
    assert str(Citation("x", "Title")) == "Title"
    assert str(Citation("x", "Title", clause="4")) == "Title 4"
