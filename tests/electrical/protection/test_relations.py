"""Devices, grounding conductors and fault currents against printed examples."""

from __future__ import annotations

import pytest

from examples_loader import close, examples
from ohmstead.electrical.conductors.formulas import continuous_current
from ohmstead.electrical.faults.sizing import bank_fault
from ohmstead.electrical.protection.formulas import enlarged_grounding_area
from ohmstead.electrical.protection.sizing import grounding_size, next_rating_up


def next_standard(given, case):
    standard = case.library.tables["nec_240_6"]
    return {"rating_a": standard.column("rating_a")[standard.first_at_least("rating_a", given["needed_a"])]}


def next_made(given, case):
    return {"rating_a": next_rating_up(given["family"], given["needed_a"], case)}


def next_made_continuous(given, case):
    needed = continuous_current(case.constant("continuous_factor"), given["current_a"])
    return {"rating_a": next_rating_up(given["family"], needed, case)}


def grounding(given, case):
    """The grounding conductor of a circuit in `size` that ampacity alone would have made `minimum`."""
    sizes = case.library.tables["awg_conductors"]
    source = case.library.practices["us-dwelling"].source("dc-feeder")
    table = source.grounding
    area = sizes.column("area_cmil")
    row, minimum = sizes.row(given["size"]), sizes.row(given["minimum"])
    base = table.column("area_cmil")[table.first_at_least("device_up_to_a", given["rating_a"])]
    return {
        "size": grounding_size(source, given["rating_a"], row, minimum, sizes, True),
        "area_cmil": enlarged_grounding_area(base, area[row], area[minimum]),
    }


def fault(given, case):
    return {"fault_a": bank_fault(given["chemistry"], given["capacity_ah"], given["strings"], case).current_a}


RELATIONS = {
    "next_standard": next_standard,
    "next_made": next_made,
    "next_made_continuous": next_made_continuous,
    "grounding": grounding,
    "bank_fault": fault,
}


@pytest.mark.parametrize("case", examples("protection"))
def test_printed_example(case, shelf):
    found = RELATIONS[case["given"]["relation"]](case["given"], shelf.case())
    for name, expected in case["expect"].items():
        if isinstance(expected, str):
            assert found[name] == expected, name
        else:
            assert close(found[name], expected, case["tolerance"]), f"{name}: {found[name]!r}, expected {expected!r}"
    for name, wrong in case.get("printed", {}).items():
        assert found[name] != wrong if isinstance(wrong, str) else not close(found[name], wrong, 2e-3), (
            f"the misprint {wrong!r} came out"
        )


def test_the_trap_is_among_them():
    assert {param.id for param in examples("protection") if "printed" in param.values[0]} == {"EG02"}
