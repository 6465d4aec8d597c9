"""What is known of a short-circuit current, and what is left of it behind a cable."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ohmstead.electrical.faults.model import Fault
from ohmstead.electrical.faults.sizing import bank_fault, behind_cable
from ohmstead.nomenclature import TERMS
from ohmstead.reference.case import Shelf
from ohmstead.working import Given, Traced, trace

SHELF = Shelf()
CHEMISTRIES = SHELF.plain.tables["short_circuit_bounds"].column("chemistry")
capacities, strings = st.floats(1, 5000), st.integers(1, 60).map(float)


def test_the_makers_figure_goes_before_the_bound_and_is_proven():
    assert bank_fault("lfp", 100.0, 4.0, SHELF.case(), 2500.0) == Fault(2500.0, True)
    assert not bank_fault("lfp", 100.0, 4.0, SHELF.case()).proven


@pytest.mark.parametrize(
    ("chemistry", "per_ah"),
    [("flooded", 45.0), ("golf-cart", 25.0), ("agm", 60.0), ("gel", 50.0)],
)
def test_lead_by_its_capacity(chemistry, per_ah):
    """Common-practice bounds: amperes an ampere-hour of a 12 V block; 200 Ah in two strings."""
    assert bank_fault(chemistry, 100.0, 2.0, SHELF.case()) == Fault(per_ah * 200, proven=False)


@pytest.mark.parametrize(
    ("chemistry", "volt", "ohm_ah"),
    [("lfp", 3.4, 0.03), ("nmc", 4.15, 0.02), ("lto", 2.7, 0.015), ("sodium-ion", 3.95, 0.04)],
)
def test_lithium_by_its_cells(chemistry, volt, ohm_ah):
    """A full cell over its own and one joint's resistance; the count in series cancels."""
    assert bank_fault(chemistry, 100.0, 3.0, SHELF.case()).current_a == pytest.approx(
        3 * volt / (ohm_ah / 100 + 0.05e-3)
    )


def test_a_chemistry_without_a_bound_is_refused():
    with pytest.raises(KeyError):
        bank_fault("lead-carbon", 100.0, 1.0, SHELF.case())


@given(chemistry=st.sampled_from(CHEMISTRIES), capacity=capacities, count=strings, more=st.floats(1, 10))
def test_more_bank_never_means_less_fault(chemistry, capacity, count, more):
    case = SHELF.case()
    base = bank_fault(chemistry, capacity, count, case).current_a
    assert bank_fault(chemistry, capacity * more, count, case).current_a >= base * (1 - 1e-12)
    assert bank_fault(chemistry, capacity, count + 1, case).current_a == pytest.approx(base * (count + 1) / count)


@given(current=st.floats(10, 100_000), volt=st.floats(10, 100), ohm=st.floats(0, 1), proven=st.booleans())
def test_a_cable_only_takes_away(current, volt, ohm, proven):
    """Ohm's law; what is proven at the posts is proven behind the cable, and what is not is not."""
    left = behind_cable(Fault(current, proven), volt, ohm)
    assert left.current_a == pytest.approx(volt / (volt / current + ohm))
    assert left.current_a <= current * (1 + 1e-12)
    assert left.proven is proven


@pytest.mark.parametrize("chemistry", CHEMISTRIES)
def test_every_bound_can_show_how_it_was_reached(chemistry):
    case = SHELF.case(traced=True)
    capacity = Traced(100.0, TERMS["unit_capacity_ah"], Given("/fault/unit_capacity"))
    count = Traced(2.0, TERMS["strings"], Given("/fault/strings"))
    found = bank_fault(chemistry, capacity, count, case).current_a
    assert found == bank_fault(chemistry, 100.0, 2.0, SHELF.case()).current_a
    order = trace.behind([found])
    assert capacity in order and count in order
    assert {source.id for source in trace.citations_behind([found])} == {"short-circuit-bounds"}
