"""Formulas: what may be declared, and what a call returns."""

from __future__ import annotations

import pytest

from ohmstead.electrical.conductors import formulas as conductors
from ohmstead.electrical.faults import formulas as faults
from ohmstead.working import Citation, Derived, Given, Term, Traced, Unexplained, cited, declare

TERMS = {
    "power_w": Term("power_w", "P", "W", "power"),
    "voltage_v": Term("voltage_v", "V", "V", "voltage"),
    "current_a": Term("current_a", "I", "A", "current"),
}
ONE, OTHER = Citation("one", "One source", "1.2", "2023"), Citation("other", "Other source")
formula = declare(TERMS)


@formula("current_a", cite=ONE)
def current(power_w, voltage_v):
    """Current of a load.

    Valid: always. Neglects: nothing. Errs: exact.
    """
    return power_w / voltage_v


@formula("current_a", cite=OTHER)
def together(*current_a):
    return sum(current_a)


@formula("current_a", cite=OTHER)
def with_others(voltage_v, *current_a):
    return max(current_a) / voltage_v


def given(value, term):
    return Traced(value, TERMS[term], Given(f"/{term}"))


def test_floats_in_a_float_out():
    result = current(24.0, 12.0)
    assert type(result) is float
    assert result == 2.0
    assert type(together(1.0, 2.0)) is float
    assert type(with_others(2.0, 3.0, 5.0)) is float


def test_traced_in_traced_out():
    power, voltage = given(24.0, "power_w"), given(12.0, "voltage_v")
    result = current(power, voltage)
    assert type(result) is Traced
    assert result == 2.0
    assert result.term is TERMS["current_a"]
    assert isinstance(result.origin, Derived)
    assert result.origin.formula is current.formula
    assert result.origin.operands[0] is power and result.origin.operands[1] is voltage


def test_traced_operands_of_a_list():
    currents = [given(value, "current_a") for value in (1.0, 2.0, 4.0)]
    result = together(*currents)
    assert result == 7.0 and result.origin.operands == tuple(currents)
    result = with_others(given(2.0, "voltage_v"), *currents)
    assert result == 2.0 and len(result.origin.operands) == 4


@pytest.mark.parametrize(
    "call",
    [
        lambda: current(given(24.0, "power_w"), 12.0),
        lambda: together(given(1.0, "current_a"), 2.0),
        lambda: with_others(given(1.0, "voltage_v"), given(1.0, "current_a"), 3.0),
        lambda: current(given(24.0, "power_w"), 12),
    ],
    ids=["second", "list", "end of list", "whole number"],
)
def test_a_number_without_origin_among_traced_ones_is_refused(call):
    with pytest.raises(Unexplained, match="has no origin"):
        call()


def test_the_message_names_the_operand():
    with pytest.raises(Unexplained, match=r"current: operand 2 \(12\.0\) has no origin"):
        current(given(24.0, "power_w"), 12.0)


def test_a_plain_call_makes_no_traced_number(monkeypatch):
    """Not a matter of speed but of structure: on the plain way nothing that records is ever made or called."""

    def refuse(*_):
        raise AssertionError("a traced number in a plain calculation")

    monkeypatch.setattr(Traced, "__new__", refuse)
    monkeypatch.setattr("ohmstead.working.formula.Derived", refuse)
    assert current(24.0, 12.0) == 2.0
    assert together(1.0, 2.0) == 3.0
    with pytest.raises(AssertionError, match="a traced number"):
        Traced(1.0, TERMS["power_w"], Given("/x"))


def test_what_a_declared_formula_knows():
    record = current.formula
    assert record.name == "current"
    assert record.expression == "I = P / V"
    assert record.citation is ONE
    assert [term.name for term in record.parameters] == ["power_w", "voltage_v"]
    assert record.variadic == ""
    assert record.doc.startswith("Current of a load.")
    assert together.formula.variadic == "current_a"
    assert "I = P / V" in repr(record)
    assert current.__name__ == "current" and current.__doc__.startswith("Current of a load.")


def two_statements(power_w, voltage_v):
    current_a = power_w / voltage_v
    return current_a  # noqa: RET504


def no_statement(power_w):
    """Nothing but words."""


def no_value(power_w):
    return


def unknown_name(power_w, amperage):
    return power_w / amperage


def no_operand():
    return 1.0


def unknown_call(power_w):
    return round(power_w)


def condition(power_w, voltage_v):
    return power_w if voltage_v else voltage_v


def comparison(power_w, voltage_v):
    return power_w > voltage_v


def constant_from_outside(power_w):
    return power_w * WATT  # noqa: F821


def hidden_condition(*current_a):
    return sum(one for one in current_a if one > 0)


def hidden_keyword(*current_a):
    return sum(current_a, start=5.0)


def hidden_default(power_w, voltage_v=12.0):
    return power_w / voltage_v


def keyword_only(power_w, *, voltage_v):
    return power_w / voltage_v


@pytest.mark.parametrize(
    "function",
    [
        two_statements,
        no_statement,
        no_value,
        unknown_name,
        no_operand,
        unknown_call,
        condition,
        comparison,
        constant_from_outside,
        hidden_condition,
        hidden_keyword,
        hidden_default,
        keyword_only,
    ],
    ids=lambda function: function.__name__,
)
def test_what_is_no_formula_is_refused(function):
    """Whatever would make the printed line differ from what runs does not get past the declaration."""
    with pytest.raises(TypeError):
        formula("current_a", cite=ONE)(function)


def test_an_unknown_result_is_refused():
    with pytest.raises(TypeError, match="not in the nomenclature"):
        formula("amperage", cite=ONE)


def test_sources_of_modules():
    """Each source once, in the order of declaration."""
    found = list(cited(conductors, faults))
    assert len(found) == len(set(found))
    assert conductors.current_from_power.formula.citation == found[0]
    assert faults.lead_bound.formula.citation in found
    assert list(cited()) == []
