"""Fixtures: both twins of the library."""

import pytest

from ohmstead.reference.case import Shelf


@pytest.fixture(scope="session")
def shelf():
    return Shelf()
