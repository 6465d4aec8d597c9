"""The panel against every worked figure of the reference that meets one."""

from __future__ import annotations

import pytest
from examples_loader import examples
from examples_runner import check_example

from ohmstead.reference.case import Shelf

SHELF = Shelf()


@pytest.mark.parametrize("example", examples("panel"))
def test_example(example):
    check_example(example, SHELF)
