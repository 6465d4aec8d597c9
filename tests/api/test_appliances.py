"""The list of appliances as a client sees it."""

from __future__ import annotations

import csv
from importlib.resources import files
from typing import get_args

import pytest
from api.conftest import Client

from ohmstead.api.calculations import CALCULATIONS
from ohmstead.app import build
from ohmstead.configuration import Configuration
from ohmstead.wire.v1.appliance_names import AcAppliance, DcAppliance


@pytest.fixture(scope="module")
def service(shelf):
    return Client(build(Configuration(log="off"), CALCULATIONS, shelf))


def rows(name):
    with (files("ohmstead.reference") / "tables" / f"{name}.csv").open(newline="") as stream:
        return list(csv.DictReader(stream))


def pages(service, query=""):
    """Every appliance, page by page, and how many pages that took."""
    found, skip, turns = [], 0, 0
    while skip is not None:
        answer = service.get(f"/v1/appliances?skip={skip}{query}").json()
        found += answer["appliances"]
        skip, turns = answer["next"], turns + 1
    assert len(found) == answer["total"]
    return found, turns


def test_the_pages_give_the_whole_list_once_and_in_order(service):
    found, turns = pages(service)
    assert [one["name"] for one in found] == [row["name"] for row in rows("appliances")]
    assert turns == -(-len(found) // 20)


def test_both_tables_have_the_same_appliances():
    assert [row["name"] for row in rows("appliances")] == [row["name"] for row in rows("appliance_use")]


def test_a_load_can_name_every_appliance_of_its_current_and_no_other():
    for current, names in (("ac", get_args(AcAppliance)), ("dc", get_args(DcAppliance))):
        assert list(names) == [row["name"] for row in rows("appliances") if row["current"] == current]


def test_ranges_are_ordered_and_shares_are_shares(service):
    for one in pages(service)[0]:
        assert 0 < one["power_low"]["value"] <= one["power"]["value"] <= one["power_high"]["value"], one["name"]
        assert 0 < one["duty"] <= 1 and 0 < one["power_factor"] <= 1 and 0 <= one["hours_per_day"] <= 24, one["name"]
        assert one["start_multiple"] >= 1 and one["citation"]["basis"] == one["basis"], one["name"]
        assert (one["current"] == "dc") == bool(one["voltages"]), one["name"]


@pytest.mark.parametrize(("query", "names"), [
    ("search=roof 15", ["roof-air-conditioner-15000"]),
    ("search=ROOF%20Air&current=dc", ["roof-air-conditioner-dc"]),
    ("category=medical", ["cpap-12v", "cpap-humidifier", "oxygen-concentrator"]),
    ("search=kettle&nature=resistive&limit=2", ["kettle-120v", "kettle-low-power-230v"]),
    ("search=no such thing", []),
])
def test_what_is_asked_for_is_found(service, query, names):
    answer = service.get(f"/v1/appliances?{query}").json()
    assert [one["name"] for one in answer["appliances"]] == names


def test_a_roof_air_conditioner_as_its_sources_have_it(service):
    """storage/appliances.csv A035: 1250 to 1850 W, 1450 typical, two sources; the start is 5.3 times."""
    (one,) = service.get("/v1/appliances?search=roof+13,500").json()["appliances"]
    assert [one[name]["value"] for name in ("power_low", "power", "power_high")] == [1250, 1450, 1850]
    assert (one["start_multiple"], one["duty"], one["power_factor"]) == (5.3, 0.6, 0.92)
    assert (one["basis"], one["use_basis"]) == ("published", "recalled")


def test_past_the_end_there_is_nothing_and_no_next_page(service):
    answer = service.get("/v1/appliances?skip=1000").json()
    assert (answer["appliances"], answer["total"], answer["next"]) == ([], 119, None)


def test_every_wrong_parameter_is_named(service):
    reply = service.get("/v1/appliances?limit=51&current=both&category=toys&colour=red")
    assert reply.status_code == 400
    assert {error["parameter"] for error in reply.json()["errors"]} == {"limit", "current", "category", "colour"}
    assert service.post({}, "/v1/appliances").status_code == 405
