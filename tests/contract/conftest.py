"""Tables are loaded once for all tests of the contract."""

import pytest

from ohmstead.reference.case import Shelf


@pytest.fixture(scope="session")
def shelf() -> Shelf:
    return Shelf()
