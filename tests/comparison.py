"""How near the same arithmetic, worked by hand in double precision, must come."""

from __future__ import annotations

import pytest


def near(value):
    """A number or several, to the one tolerance of the service."""
    return pytest.approx(value, rel=1e-9)
