"""What is answered beside a bank's sizes, against worked examples."""

import pytest
from examples_loader import examples
from examples_runner import check_example

from ohmstead.reference.case import Shelf


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


@pytest.mark.parametrize("example", examples("bank_beside"))
def test_example(example, shelf):
    check_example(example, shelf)
