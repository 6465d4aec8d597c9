"""Whether devices let starts and inrushes pass, against rows read by hand and against what must hold for all."""

from __future__ import annotations

import pytest
from examples_loader import close, examples
from hypothesis import given, settings
from hypothesis import strategies as st

from ohmstead.electrical.protection.model import Device
from ohmstead.electrical.protection.opening import (
    Transient,
    ambient_factor,
    carried_in_heat,
    derated_rating,
    let_pass,
    longest_opening,
    opening,
    smallest_that_holds,
)
from ohmstead.nomenclature import TERMS
from ohmstead.reference.case import Shelf
from ohmstead.working import Given, Traced

SHELF = Shelf()
LIBRARY = SHELF.plain
CURVES, AMBIENT = LIBRARY.tables["time_current"], LIBRARY.tables["device_ambient"]
SERIES = LIBRARY.series
FAMILIES = sorted(SERIES)
KNOWN = sorted(set(CURVES.column("family")))
WORSE = {"holds": 0, "may-open": 1, "opens": 2}


def rows_of(family: str) -> list[dict]:
    return [
        {name: column[row] for name, column in CURVES.columns.items()} for row in range(CURVES.rows) if CURVES.column("family")[row] == family
    ]


def covered(family: str, rating: float) -> bool:
    return any(row["from_rating_a"] <= rating <= row["up_to_rating_a"] for row in rows_of(family))


def case():
    return SHELF.case()


def device(family: str, rating_a: float) -> Device:
    return Device(family, "Some device", "fuse", rating_a, 32.0, 1000.0, "not-asked", False, False, "", "")


def source():
    return LIBRARY.practices["us-vehicle"].source("dc-branch")


@pytest.mark.parametrize("example", examples("opening"))
def test_rows_read_by_hand(example):
    found = opening(**example["given"], case=case())
    for name, expected in example["expect"].items():
        actual = getattr(found, name)
        assert close(actual, expected, example["tolerance"]) if isinstance(expected, float) else actual == expected, (name, actual)


@pytest.mark.parametrize("row", range(CURVES.rows))
def test_every_row_is_reached(row):
    """At its own multiple a row decides: before its least time, after its longest, or for as long as one likes."""
    table = {name: column[row] for name, column in CURVES.columns.items()}
    rating = table["from_rating_a"]
    current = rating * table["multiple"]
    tried = 0
    if table["carries"] == "yes":
        tried += 1
        found = opening(table["family"], rating, current, 1e9, case())
        assert (found.verdict, found.row) == ("holds", table["row"])
    if table["least_s"] is not None:
        tried += 1
        found = opening(table["family"], rating, current, table["least_s"] * 0.999, case())
        assert (found.verdict, found.row) == ("holds", table["row"])
        assert opening(table["family"], rating, current, table["least_s"], case()).verdict != "holds"
    if table["most_s"] is not None:
        tried += 1
        found = opening(table["family"], rating, current, table["most_s"] * 1.001, case())
        assert (found.verdict, found.row) == ("opens", table["row"])
        assert opening(table["family"], rating, current, table["most_s"], case()).verdict != "opens"
    assert tried


@pytest.mark.parametrize("family", FAMILIES)
def test_a_rating_has_one_band_and_a_family_without_a_curve_is_not_known(family):
    bands = {(row["from_rating_a"], row["up_to_rating_a"]) for row in rows_of(family)}
    for rating in SERIES[family]:
        assert sum(first <= rating <= last for first, last in bands) <= 1
        found = opening(family, rating, rating * 1.2, 1.0, case())
        if not covered(family, rating):
            assert found.verdict == "not-known" and found.row == ""
            assert longest_opening(family, rating, rating * 20, case()) is None
    if not bands:
        assert family in ("din-breaker-dc", "strip-51-70v")
        assert smallest_that_holds(family, 1.0, 1.0, case()) is None


@pytest.mark.parametrize("family", KNOWN)
def test_times_fall_as_the_multiple_rises(family):
    for band in {row["from_rating_a"] for row in rows_of(family)}:
        rows = sorted((row for row in rows_of(family) if row["from_rating_a"] == band), key=lambda row: row["multiple"])
        for name in ("least_s", "most_s"):
            times = [row[name] for row in rows if row[name] is not None]
            assert times == sorted(times, reverse=True), (family, band, name)
        assert all(row["least_s"] < row["most_s"] for row in rows if row["least_s"] is not None and row["most_s"] is not None)


@pytest.mark.parametrize("family", KNOWN)
def test_no_least_time_of_a_larger_multiple_or_longest_of_a_smaller_one_contradicts(family):
    """What surely holds never surely opens: the least time at a multiple lies below the longest at it and below it."""
    for row in rows_of(family):
        if row["least_s"] is None:
            continue
        beside = [
            other["most_s"] for other in rows_of(family)
            if other["from_rating_a"] == row["from_rating_a"] and other["multiple"] <= row["multiple"] and other["most_s"] is not None
        ]
        assert all(row["least_s"] <= most for most in beside)


def held(check, **strategies):
    settings(max_examples=400, deadline=None, derandomize=True)(given(**strategies)(check))()


RATED = st.sampled_from([(family, rating) for family in KNOWN for rating in SERIES[family] if covered(family, rating)])
MULTIPLE = st.floats(0.2, 40)
SECONDS = st.floats(-4, 6).map(lambda power: 10.0**power)


def test_longer_is_never_safer():
    def check(rated, multiple, seconds, longer):
        family, rating = rated
        one, other = (opening(family, rating, rating * multiple, time, case()).verdict for time in (seconds, seconds * longer))
        assert one == other == "not-known" or WORSE[one] <= WORSE[other]

    held(check, rated=RATED, multiple=MULTIPLE, seconds=SECONDS, longer=st.floats(1, 1000))


def test_more_current_is_never_safer():
    """What is not known lies between what is carried and where a longest time begins."""
    order = {"holds": 0, "not-known": 1, "may-open": 1, "opens": 2}

    def check(rated, multiple, seconds, more):
        family, rating = rated
        one, other = (opening(family, rating, rating * times, seconds, case()).verdict for times in (multiple, multiple * more))
        assert order[one] <= order[other]

    held(check, rated=RATED, multiple=MULTIPLE, seconds=SECONDS, more=st.floats(1, 20))


@pytest.mark.parametrize("family", KNOWN)
def test_a_higher_rating_never_opens_earlier(family):
    ratings = [rating for rating in SERIES[family] if covered(family, rating)]

    def check(pair, current, seconds):
        order = {"holds": 0, "not-known": 1, "may-open": 1, "opens": 2}
        low, high = sorted(pair)
        one, other = (opening(family, rating, current, seconds, case()) for rating in (low, high))
        assert order[other.verdict] <= order[one.verdict]
        for earlier, later in ((one.least_s, other.least_s), (one.most_s, other.most_s)):
            assert earlier is None or later is None or earlier <= later

    held(check, pair=st.tuples(st.sampled_from(ratings), st.sampled_from(ratings)), current=st.floats(0.5, 4000), seconds=SECONDS)


def test_heat_is_never_safer():
    order = {"holds": 0, "not-known": 1, "may-open": 1, "opens": 2}

    def check(rated, multiple, seconds, hottest):
        family, rating = rated
        cool = opening(family, rating, rating * multiple, seconds, case())
        warm = opening(family, rating, rating * multiple, seconds, case(), hottest_c=hottest)
        assert order[cool.verdict] <= order[warm.verdict]

    held(check, rated=RATED, multiple=MULTIPLE, seconds=SECONDS, hottest=st.floats(-40, 110))


def test_the_smallest_that_holds_holds_and_none_below_it_does():
    def check(rated, multiple, seconds):
        family, rating = rated
        current = rating * multiple
        found = smallest_that_holds(family, current, seconds, case(), above_a=rating)
        holding = [made for made in SERIES[family] if made > rating and opening(family, made, current, seconds, case()).verdict == "holds"]
        assert found == (holding[0] if holding else None)

    held(check, rated=RATED, multiple=MULTIPLE, seconds=SECONDS)


def test_traced_and_plain_agree():
    def check(rated, multiple, seconds):
        family, rating = rated
        place = SERIES[family].index(rating)
        traced = SHELF.case(traced=True)
        current = Traced(rating * multiple, TERMS["transient_current_a"], Given("/start/current"))
        one = opening(family, rating, rating * multiple, seconds, case(), hottest_c=50.0)
        other = opening(family, traced.library.series[family][place], current, seconds, traced, hottest_c=50.0)
        assert one == other
        assert type(other.multiple) is Traced and other.multiple.term is TERMS["rating_multiple"]

    held(check, rated=RATED, multiple=MULTIPLE, seconds=SECONDS)


@pytest.mark.parametrize(("family", "rating", "fault", "longest"), [
    ("blade", 30.0, 1000.0, 0.1), ("blade", 30.0, 105.0, 0.5), ("large-blade", 60.0, 120.0, 60.0), ("class-t", 300.0, 20000.0, 600.0),
    ("breaker-ac-metric", 16.0, 320.0, 0.1), ("breaker-ac-metric", 16.0, 300.0, 60.0),
    ("strip-30", 60.0, 1000.0, None), ("bolt-down-limiter", 300.0, 6000.0, None), ("panel-breaker-dc", 20.0, 400.0, None),
])
def test_how_long_a_fault_lasts(family, rating, fault, longest):
    """Limits of standards only: an envelope of makers' curves proves nothing."""
    assert longest_opening(family, rating, fault, case()) == longest


def test_cold_lets_a_fault_last_longer():
    """Blade fuses at -20 °C open like 1.08 times their rating: 108 A is then 3.33 times 30 A, not 3.6."""
    assert longest_opening("blade", 30.0, 108.0, case()) == 0.5
    assert longest_opening("blade", 30.0, 108.0, case(), coldest_c=-20.0) == 5.0
    assert longest_opening("blade", 30.0, 108.0, case(), coldest_c=60.0) == 0.5


@pytest.mark.parametrize(("family", "ambient", "factor"), [
    ("blade", 23.0, 1.0), ("blade", 23.1, 0.97), ("blade", 40.0, 0.97), ("blade", -30.0, 1.08), ("blade", 100.0, 0.83), ("blade", 100.1, None),
    ("class-t", 50.0, 0.92), ("photovoltaic-fuse", 65.0, 0.82), ("moulded-case-dc", 30.0, 1.0), ("breaker-ac", 50.0, 0.93),
    ("panel-breaker-dc", 85.0, 1.0), ("terminal-fuse", 30.0, None), ("breaker-ac-metric", 30.0, None),
])
def test_the_factor_of_the_next_hotter_row(family, ambient, factor):
    assert ambient_factor(family, ambient, case()) == factor


@pytest.mark.parametrize(("family", "ambient", "factor"), [
    ("blade", -20.0, 1.08), ("blade", -10.0, 1.08), ("blade", 0.0, 1.05), ("blade", -30.0, None), ("class-t", 200.0, 0.86),
])
def test_the_factor_of_the_next_colder_row(family, ambient, factor):
    assert ambient_factor(family, ambient, case(), colder=True) == factor


@pytest.mark.parametrize("row", range(AMBIENT.rows))
def test_every_ambient_row_is_reached_and_belongs_to_families_that_are_made(row):
    families, at, factor = (AMBIENT.column(name)[row] for name in ("families", "temperature_c", "factor"))
    assert set(families.split()) <= set(SERIES)
    for family in families.split():
        assert ambient_factor(family, at, case()) == ambient_factor(family, at, case(), colder=True) == factor


def test_cold_is_never_counted_in_a_devices_favour():
    def check(rated, ambient, hotter):
        family, rating = rated
        cool, warm = (derated_rating(family, rating, at, case()) for at in (ambient, ambient + hotter))
        assert cool is None or cool <= rating
        assert cool is None or warm is None or warm <= cool

    held(check, rated=RATED, ambient=st.floats(-50, 120), hotter=st.floats(0, 60))


def test_a_device_that_no_longer_carries_its_circuit_in_heat():
    """A 20 A breaker at 60 °C carries 17.2 A (0.86); 18 A ask for 25 A, which carries 21.5."""
    asked = case()
    check = carried_in_heat(device("breaker-ac", 20.0), 18.0, 60.0, asked, "/device")
    assert not check.passed and check.actual == pytest.approx(17.2)
    (finding,) = asked.findings
    assert (finding.code, finding.pointer) == ("device-short-in-heat", "/device")
    assert "17.2 A" in finding.message and "Take 25 A" in finding.cure
    assert carried_in_heat(device("breaker-ac", 20.0), 17.2, 60.0, asked).passed
    assert len(asked.findings) == 1


def test_heat_beyond_the_largest_rating_asks_for_another_family():
    asked = case()
    assert not carried_in_heat(device("blade", 30.0), 29.0, 85.0, asked).passed
    assert "a family that heat does not touch" in asked.findings[0].cure


def test_heat_that_is_not_known_is_said():
    asked = case()
    assert carried_in_heat(device("terminal-fuse", 100.0), 10.0, 40.0, asked) is None
    assert [finding.code for finding in asked.findings] == ["device-heat-not-known"]


def test_a_start_that_opens_its_fuse_names_the_rating_that_holds_and_what_it_needs():
    """132 A on a large blade of 60 A is 2.2 times: it may open after 0.2 s. On 70 A it is 1.89 times: not before 2 s."""
    asked = case()
    found = let_pass(Transient("motor-start", 132.0, 1.9), device("large-blade", 60.0), source(), asked, pointer="/load")
    assert (found.opening.verdict, found.holds_a, found.ampacity_a, found.ampacity_suffices) == ("may-open", 70.0, 70.0, True)
    (finding,) = asked.findings
    assert (finding.code, finding.kind, finding.pointer) == ("transient-opens-device", "shortfall", "/load")
    assert "can open at a motor start of 132 A for 1.9 s" in finding.message
    assert finding.cure == "Take 70 A, for which the conductors need an ampacity of 70 A, or fit a soft starter."


def test_where_the_next_size_up_is_allowed_the_ampacity_has_to_be_passed():
    dwelling = LIBRARY.practices["us-dwelling"].source("ac-branch")
    found = let_pass(Transient("motor-start", 19.0, 5000.0), device("breaker-ac", 15.0), dwelling, case())
    assert (found.holds_a, found.ampacity_a, found.ampacity_suffices) == (None, None, True)
    sure = let_pass(Transient("motor-start", 30.0, 5000.0), device("breaker-ac", 15.0), dwelling, case())
    assert (sure.opening.verdict, sure.holds_a, sure.ampacity_a, sure.ampacity_suffices) == ("opens", 30.0, 25.0, False)


def test_an_inrush_is_told_to_fill_its_capacitors_first():
    asked = case()
    let_pass(Transient("inrush", 3000.0, 0.01), device("class-t", 300.0), source(), asked)
    assert "fill the capacitors through a resistor first" in asked.findings[0].cure
    assert "slower family" in asked.findings[0].cure


@pytest.mark.parametrize(("family", "rating", "current", "codes"), [
    ("din-breaker-dc", 20.0, 30.0, ["transient-not-known"]), ("din-breaker-dc", 20.0, 20.0, []),
    ("bolt-down-limiter", 300.0, 900.0, ["transient-by-typical-curve"]),
    ("large-blade", 40.0, 60.0, []),
])
def test_what_is_said_of_a_transient_that_holds_or_is_not_known(family, rating, current, codes):
    asked = case()
    let_pass(Transient("motor-start", current, 0.2), device(family, rating), source(), asked)
    assert [finding.code for finding in asked.findings] == codes
