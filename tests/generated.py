"""Put a property to generated examples: a few, the same ones each time, by default; many new ones in the long run."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings

LONG = 20_000
_QUIET = [HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large]


def some(short: int):
    """How many examples, as a parameter `many` of the test; the long run is asked for with `-m long`."""
    return pytest.mark.parametrize("many", [pytest.param(short, marks=pytest.mark.generated), pytest.param(LONG, marks=pytest.mark.long)])


def held(check, many: int, **strategies) -> None:
    """Put a check to that many examples."""
    settings(max_examples=many, deadline=None, derandomize=many < LONG, suppress_health_check=_QUIET)(given(**strategies)(check))()
