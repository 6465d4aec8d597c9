"""What is printed is what is executed: every formula of the service, and shapes that printing gets wrong easily."""

from __future__ import annotations

import ast
import doctest
import importlib
import math
from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from architecture.source_tree import modules
from ohmstead.working import Citation, Term, declare
from ohmstead.working.formula import Formula
from working.reading import work_out

SOURCE = Citation("arithmetic", "Arithmetic")
formula = declare({name: Term(name, name[0], "1", name) for name in ("a_x", "b_x", "c_x", "d_x", "y_x")})


def declared() -> list:
    found = {}
    for module in modules():
        if module.top in ("electrical", "installation", "plan"):
            for item in vars(importlib.import_module(f"ohmstead.{module.name}")).values():
                if isinstance(getattr(item, "formula", None), Formula):
                    found[item.__module__, item.__qualname__] = item
    return [item for _, item in sorted(found.items())]


def worked_arguments(made) -> list[tuple[float, ...]]:
    """Arguments of the calls in the docstring."""
    calls = [
        node
        for example in doctest.DocTestParser().get_examples(made.__doc__)
        for node in ast.walk(ast.parse(example.source))
        if isinstance(node, ast.Call) and ast.unparse(node.func) == made.__name__
    ]
    scope = vars(importlib.import_module(made.__module__))
    return [
        tuple(float(eval(ast.unparse(argument), scope)) for argument in call.args) for call in calls
    ]  # our own docstring


def by_symbol(record: Formula, arguments: tuple[float, ...]) -> dict:
    values: dict = {term.symbol: value for term, value in zip(record.parameters, arguments, strict=False)}
    if record.variadic:
        from ohmstead.nomenclature import TERMS

        values[TERMS[record.variadic].symbol] = arguments[len(record.parameters) :]
    return values


def test_every_formula_is_printed_as_it_runs():
    """The line on paper, worked out by school rules, gives what the call gives: on the worked example and near it."""
    wrong = []
    count = 0
    for made in declared():
        record = made.formula
        for arguments in worked_arguments(made):
            for factor in (1.0, 1.01, 0.97):
                near = tuple(value * factor ** (1 + place % 3) for place, value in enumerate(arguments))
                try:
                    ran = made(*near)
                except (ValueError, ZeroDivisionError):
                    continue  # a fraction above one, an arc cosine beyond its range
                read = work_out(record.expression, by_symbol(record, near))
                count += 1
                if not math.isclose(read, ran, rel_tol=1e-12, abs_tol=1e-12):
                    wrong.append(f"{record.expression} at {near}: printed {read!r}, ran {ran!r}")
    assert wrong == []
    assert count > 100


def test_symbols_of_one_formula_differ():
    """A reader could not tell two operands apart that share a symbol."""
    twice = []
    for made in declared():
        symbols = [term.symbol for term in made.formula.parameters]
        if len(set(symbols)) != len(symbols):
            twice.append(f"{made.__qualname__}: {made.formula.expression}")
    assert twice == []


# The shapes below are what a printer gets wrong: ranks, sides, signs.


@formula("y_x", cite=SOURCE)
def difference_of_difference(a_x, b_x, c_x):
    return a_x - (b_x - c_x)


@formula("y_x", cite=SOURCE)
def difference_in_row(a_x, b_x, c_x):
    return a_x - b_x - c_x


@formula("y_x", cite=SOURCE)
def difference_of_sum(a_x, b_x, c_x):
    return a_x - (b_x + c_x)


@formula("y_x", cite=SOURCE)
def quotient_of_product(a_x, b_x, c_x):
    return a_x / (b_x * c_x)


@formula("y_x", cite=SOURCE)
def quotient_of_quotient(a_x, b_x, c_x):
    return a_x / (b_x / c_x)


@formula("y_x", cite=SOURCE)
def product_of_quotient(a_x, b_x, c_x):
    return a_x * (b_x / c_x)


@formula("y_x", cite=SOURCE)
def sum_in_product(a_x, b_x, c_x, d_x):
    return (a_x + b_x) * (c_x - d_x)


@formula("y_x", cite=SOURCE)
def power_of_power(a_x, b_x, c_x):
    return (a_x**b_x) ** c_x


@formula("y_x", cite=SOURCE)
def power_to_power(a_x, b_x, c_x):
    return a_x ** (b_x**c_x)


@formula("y_x", cite=SOURCE)
def power_of_sum(a_x, b_x):
    return (a_x + b_x) ** 2


@formula("y_x", cite=SOURCE)
def sum_as_power(a_x, b_x, c_x):
    return a_x ** (b_x - c_x)


@formula("y_x", cite=SOURCE)
def minus_of_power(a_x, b_x):
    return -(a_x**2) + b_x


@formula("y_x", cite=SOURCE)
def power_of_minus(a_x, b_x):
    return (-a_x) ** 2 + b_x


@formula("y_x", cite=SOURCE)
def power_to_minus(a_x, b_x):
    return a_x**-b_x


@formula("y_x", cite=SOURCE)
def minus_of_sum(a_x, b_x, c_x):
    return -(a_x + b_x) * c_x


@formula("y_x", cite=SOURCE)
def product_with_minus(a_x, b_x, c_x):
    return a_x * -b_x - -c_x


@formula("y_x", cite=SOURCE)
def root_and_pi(a_x, b_x):
    return sqrt(a_x**2 + b_x**2) / (2 * pi)


@formula("y_x", cite=SOURCE)
def larger_and_smaller(a_x, b_x, c_x, d_x):
    return max(a_x, min(b_x, c_x + d_x)) * 1.5


@formula("y_x", cite=SOURCE)
def many_digits(a_x):
    return a_x * 0.123456789 + 299792458.0


@formula("y_x", cite=SOURCE)
def all_together(*a_x):
    return sum(a_x)


@formula("y_x", cite=SOURCE)
def squares_together(b_x, *a_x):
    return sqrt(sum(x * x for x in a_x)) - b_x


@formula("y_x", cite=SOURCE)
def largest_of_all(b_x, *a_x):
    return max(b_x, *a_x) - min(a_x)


SHAPES = [made for made in list(globals().values()) if isinstance(getattr(made, "formula", None), Formula)]
numbers = st.floats(0.1, 3.0)


@pytest.mark.parametrize("made", SHAPES, ids=lambda made: made.__name__)
@settings(max_examples=20)
@given(values=st.lists(numbers, min_size=4, max_size=6))
def test_shapes_are_printed_as_they_run(made, values):
    record = made.formula
    if record.variadic:
        fixed, rest = values[: len(record.parameters)], tuple(values[len(record.parameters) :])
        symbols = {**dict(zip((term.symbol for term in record.parameters), fixed, strict=True)), "a": rest}
        ran = made(*fixed, *rest)
    else:
        values = values[: len(record.parameters)]
        symbols = dict(zip((term.symbol for term in record.parameters), values, strict=True))
        ran = made(*values)
    assert math.isclose(work_out(record.expression, symbols), ran, rel_tol=1e-12, abs_tol=1e-12)


@pytest.mark.parametrize(
    ("made", "line"),
    [
        (difference_of_difference, "y = a − (b − c)"),
        (difference_in_row, "y = a − b − c"),
        (quotient_of_product, "y = a / (b × c)"),
        (sum_in_product, "y = (a + b) × (c − d)"),
        (power_of_power, "y = (a^b)^c"),
        (power_of_minus, "y = (−a)^2 + b"),
        (minus_of_power, "y = −a^2 + b"),
        (root_and_pi, "y = √(a^2 + b^2) / (2 × π)"),
        (all_together, "y = Σ(a)"),
        (squares_together, "y = √(Σ(aᵢ × aᵢ)) − b"),
        (larger_and_smaller, "y = max(a, min(b, c + d)) × 1.5"),
    ],
    ids=lambda item: getattr(item, "__name__", ""),
)
def test_lines_as_a_reader_sees_them(made, line):
    assert made.formula.expression == line


def test_the_reader_notices_a_lost_parenthesis():
    """The test tests: without its parentheses the line gives another number."""
    values = {"a": 7.0, "b": 3.0, "c": 2.0}
    assert work_out("y = a − (b − c)", values) == 6.0
    assert work_out("y = a − b − c", values) == 2.0
    assert work_out("y = a / (b × c)", values) != work_out("y = a / b × c", values)
