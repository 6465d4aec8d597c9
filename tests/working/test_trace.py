"""Walking back from an answer to everything that made it."""

from __future__ import annotations

import sys

from ohmstead.working import Assumed, Chosen, Citation, Given, Read, Term, Traced, declare, trace

TERM = Term("load_w", "P", "W", "load")
FORMULA, TABLE, DEFAULT = Citation("formula", "Formula"), Citation("table", "Table"), Citation("default", "Default")
formula = declare({"load_w": TERM})


@formula("load_w", cite=FORMULA)
def total(*load_w):
    return sum(load_w)


def given(value, name="x"):
    return Traced(value, TERM, Given(f"/{name}"))


def read(value):
    return Traced(value, TERM, Read("loads", "1", "power", "published", TABLE))


def assumed(value, name):
    return Traced(value, TERM, Assumed(name, "recalled", DEFAULT, "why"))


def test_operands_come_before_results():
    a, b, c = given(1.0), read(2.0), assumed(3.0, "c")
    first = total(a, b)
    second = total(first, c)
    order = trace.behind([second])
    assert [id(number) for number in order] == [id(number) for number in (a, b, first, c, second)]


def test_each_number_once():
    """Two ways to the same number are one number; two equal numbers of their own are two."""
    a, twin = given(1.0), given(1.0)
    left, right = total(a, a), total(a, twin)
    order = trace.behind([total(left, right), left, a])
    assert len(order) == len({id(number) for number in order}) == 5


def test_a_choice_leads_on_to_what_it_was_made_from():
    limit = read(4.0)
    picked = Traced(2.0, TERM, Chosen("the smaller of", (limit, 17.0)))
    assert [id(number) for number in trace.behind([picked])] == [id(limit), id(picked)]
    assert trace.operands_of(picked) == (limit,)
    assert trace.operands_of(limit) == ()


def test_a_long_chain_does_not_exhaust_the_stack():
    number = given(0.0)
    step = read(1.0)
    length = 20 * sys.getrecursionlimit()
    for _ in range(length):
        number = total(number, step)
    order = trace.behind([number])
    assert number == length
    assert len(order) == length + 2
    assert order[-1] is number


def test_a_wide_sum():
    order = trace.behind([total(*(given(1.0) for _ in range(5000)))])
    assert len(order) == 5001


def test_a_lattice_is_not_walked_twice():
    """Thirty storeys of two operands each have 2^30 ways down and 31 numbers."""
    number = given(1.0)
    for _ in range(30):
        number = total(number, number)
    assert len(trace.behind([number])) == 31


def test_assumptions_and_sources():
    number = total(
        total(given(1.0), assumed(1.0, "ambient_c")), read(2.0), assumed(2.0, "margin"), assumed(2.0, "margin")
    )
    assert trace.assumptions_behind([number]) == {"ambient_c", "margin"}
    assert trace.citations_behind([number]) == {FORMULA, TABLE, DEFAULT}
    assert trace.citations_behind([given(1.0)]) == set()
    assert trace.assumptions_behind([]) == set()
