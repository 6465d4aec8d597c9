"""Fixtures: the tables as shipped, and copies of single tables that a test may damage."""

import shutil
from importlib.resources import files
from pathlib import Path

import pytest

from ohmstead.reference.case import Shelf
from ohmstead.reference.tables import load_tables

SHIPPED = Path(str(files("ohmstead.reference") / "tables"))


@pytest.fixture(scope="session")
def tables():
    return load_tables()


@pytest.fixture(scope="session")
def shelf():
    return Shelf()


@pytest.fixture
def copied(tmp_path):
    """Copy tables into a folder of their own: `copied("nec_310_16")` gives the folder."""

    def copy(*names):
        shutil.copy(SHIPPED / "citations.toml", tmp_path)
        for name in names:
            shutil.copy(SHIPPED / f"{name}.csv", tmp_path)
            shutil.copy(SHIPPED / f"{name}.toml", tmp_path)
        return tmp_path

    return copy
