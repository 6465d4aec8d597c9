"""Worked examples as data: every case names its source, what is given, what is expected, and why that tolerance."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent / "examples"
NEEDED = ("id", "source", "confidence", "given", "expect", "tolerance", "why")


def cases(name: str) -> list[dict]:
    """The cases of `examples/NAME.toml`. Raises ValueError for a case that hides where it comes from, or has a twin."""
    listed = tomllib.loads((FOLDER / f"{name}.toml").read_text("utf-8"))["case"]
    for case in listed:
        missing = [field for field in NEEDED if field not in case]
        if missing:
            raise ValueError(f"{name}.toml, case {case.get('id', '?')}: no {', '.join(missing)}")
    ids = [case["id"] for case in listed]
    if len(set(ids)) != len(ids):
        raise ValueError(f"{name}.toml: two cases have the same id")
    return listed


def examples(*names: str) -> list:
    """The cases of some files as parameters for pytest, each under its own id."""
    return [pytest.param(case, id=case["id"]) for name in names for case in cases(name)]


def close(actual: float, expected: float, tolerance: float) -> bool:
    """Whether a number meets its example: `tolerance` is relative, and absolute where nought is expected."""
    return abs(actual - expected) <= tolerance * (abs(expected) or 1.0)
