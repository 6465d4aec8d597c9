"""Printed examples of loads, starts and inverters: none gets lost, and misprints stay negative tests.

Left out: W02's sums of a table of which only the totals were printed and its peak by half of the total, a habit of that book; the last
line of W06, which its author calls rough; the prices of W04 and W05; M11 and M12, feeders of a site with many vehicles.
"""

from __future__ import annotations

import re

import pytest
from examples_loader import cases

CHECKS = ["W02", "W03", "W04", "W05", "W06", "B06", "B10", "I02", "I03", "I04", "I07", "M01", "M06", "M07", "M10"]
TRAPS = ["I05-trap", "M01-trap", "S04-trap", "W07-trap"]
CASES = {case["id"]: case for name in ("demand_relations", "demand_requests", "inverter") for case in cases(name)}


def of(row: str) -> list[dict]:
    """The cases of a printed example."""
    return [case for name, case in CASES.items() if re.fullmatch(rf"{row}(-.*)?", name)]


@pytest.mark.parametrize("row", CHECKS)
def test_a_printed_example_is_a_case(row):
    right = [case for case in of(row) if "-trap" not in case["id"]]
    assert right and all(case["tolerance"] <= 5e-3 and case["source"] and case["why"] for case in right)


@pytest.mark.parametrize("row", TRAPS)
def test_a_misprint_is_a_negative_case(row):
    assert of(row) and all(case["never"] and case["why"] for case in of(row))
