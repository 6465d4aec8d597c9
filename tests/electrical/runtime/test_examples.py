"""Run times and charges against worked examples: whole requests and single relations."""

import pytest
from examples_loader import examples
from examples_runner import check_example

from ohmstead.reference.case import Shelf


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


@pytest.mark.parametrize("example", examples("endurance"))
def test_example(example, shelf):
    check_example(example, shelf)
