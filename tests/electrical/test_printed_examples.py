"""Printed examples of conductors, devices, grounding and faults: none gets lost, and the misprints stay negative tests."""

from __future__ import annotations

import re

import pytest
from examples_loader import FOLDER, cases

CHECKS = """
VD01 VD02 VD04 VD08 VD09 VD12 VD13 VD14 VD15 VD16 CM02 CM03 CM05 CM06 CM07 CM09 CM10 IS01 IS02 IS04 IS05 DR01 DR02 DR06 DR07
DR08 DR09 DR10 DR11 DR12 OC01 OC02 PV01 PV02 PV05 PV06 PV08 PV09 PV10 IN01 EG03 EG04 EG05 EG07 EG08 SC02 RT04 RT06 GE02 GE03
GE04 GE05
"""
TRAPS = ["VD03", "VD06", "CM11", "EG02"]
CASES = {case["id"]: case for path in FOLDER.glob("*.toml") for case in cases(path.stem)}


def of(row: str) -> list[dict]:
    """The cases of a printed example: its own, and those that carry it further under a longer id."""
    return [case for name, case in CASES.items() if re.fullmatch(rf"{row}(-.*)?", name)]


@pytest.mark.parametrize("row", re.findall(r"\w+", CHECKS))
def test_a_printed_example_is_a_case(row):
    assert of(row)
    assert all(case["tolerance"] <= 5e-3 and not case.get("printed") for case in of(row))


@pytest.mark.parametrize("row", TRAPS)
def test_a_misprint_is_a_negative_case(row):
    """What was printed must not come out, what should have been printed must, and the case says why."""
    assert of(row)
    for case in of(row):
        assert case["printed"] and set(case["printed"]) <= set(case["expect"]) and len(case["why"]) > 20
        assert all(case["expect"][name] != wrong for name, wrong in case["printed"].items())
