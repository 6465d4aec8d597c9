"""Devices one by one: which family comes first, how far a rating may go, what the grounding conductor is."""

from __future__ import annotations

from itertools import pairwise

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ohmstead.electrical.protection.model import Demand
from ohmstead.electrical.protection.sizing import (
    NEXT_SIZE_UP_ENDS_A,
    ampacity_for,
    assumed_rating,
    candidates,
    device_checks,
    device_limit,
    grounding_size,
    next_rating_up,
    protection_checks,
)
from ohmstead.reference.case import Shelf

SHELF = Shelf()
FEEDER = SHELF.plain.practices["us-dwelling"].source("dc-feeder")
STORAGE = SHELF.plain.practices["us-dwelling"].source("bank-main")
VEHICLE = SHELF.plain.practices["us-vehicle"].source("dc-feeder")
BOAT = SHELF.plain.practices["us-craft"].source("dc-feeder")
STANDARD = FEEDER.standard_ratings.column("rating_a")
SIZES = SHELF.plain.tables["awg_conductors"]


def offered(**asked):
    demand = Demand(
        **(
            {
                "use": "main",
                "needed_a": 90.0,
                "highest_voltage_v": 14.6,
                "fault_current_a": None,
                "fault_proven": False,
                "both_ways": False,
            }
            | asked
        )
    )
    return list(candidates(demand, SHELF.case()))


def test_preferred_first_among_those_that_interrupt():
    families = SHELF.plain.tables["device_families"]
    offers = offered(fault_current_a=900.0, fault_proven=True)
    ranks = [families.cell(device.row, "preference_rank") for device in offers]
    assert offers[0].family == "class-t"
    assert len(ranks) > 3 and ranks == sorted(ranks)


def test_only_those_that_interrupt_where_one_does():
    devices = offered(use="feeder", fault_current_a=9714.0)
    assert {device.family for device in devices} == {"class-t", "moulded-case-dc"}
    assert all(device.interrupting_a >= 9714.0 for device in devices)


@pytest.mark.parametrize("fault", [None, 68_000.0])
def test_the_strongest_first_where_the_fault_is_not_known_or_beyond_all(fault):
    devices = offered(use="feeder", fault_current_a=fault)
    interrupting = [device.interrupting_a for device in devices]
    assert interrupting == sorted(interrupting, reverse=True) and interrupting[0] == 20000.0


@pytest.mark.parametrize(
    ("fault", "proven", "verdict"),
    [
        (None, False, "not-proven"),
        (19_999.0, True, "sufficient"),
        (20_000.0, True, "sufficient"),
        (20_001.0, True, "short"),
        (900.0, False, "not-proven"),
        (68_000.0, False, "not-proven"),
    ],
)
def test_verdict_on_interrupting(fault, proven, verdict):
    """Sufficient only where a maker's figure says so; without one never more than not proven."""
    first = offered(fault_current_a=fault, fault_proven=proven)[0]
    assert (first.family, first.interrupting) == ("class-t", verdict)


def test_a_branch_of_unknown_fault_keeps_the_order_of_preference_and_proves_nothing():
    """It sits behind the main device; a main or a feeder of unknown fault takes the strongest."""
    devices = offered(use="branch", needed_a=7.5)
    assert devices[0].family == "blade" and {device.interrupting for device in devices} == {"not-proven"}
    assert devices[0].interrupting_a < max(device.interrupting_a for device in devices)


def test_a_voltage_that_is_reached_will_do_and_one_that_is_not_will_not():
    assert "terminal-fuse-58" in [device.row for device in offered(use="feeder", highest_voltage_v=58.0)]
    assert "terminal-fuse-58" not in [device.row for device in offered(use="feeder", highest_voltage_v=58.4)]
    assert offered(use="feeder", highest_voltage_v=125.0) and not offered(use="feeder", highest_voltage_v=125.1)


def test_polarity_marks_and_current_both_ways():
    one_way = offered(use="branch", needed_a=15.0, highest_voltage_v=58.4)
    assert [device.family for device in one_way if device.polarised] == ["din-breaker-dc"]
    both = offered(use="branch", needed_a=15.0, highest_voltage_v=58.4, both_ways=True)
    assert both and not any(device.polarised for device in both)


def test_an_equipment_limit_rules_out():
    assert [
        device.rating_a for device in offered(use="photovoltaic", needed_a=17.5, highest_voltage_v=100.0, limit_a=20.0)
    ] == [20.0]
    assert offered(use="photovoltaic", needed_a=17.5, highest_voltage_v=100.0, limit_a=19.9) == []


def test_nothing_for_a_use_that_has_no_family_or_a_load_beyond_every_series():
    assert offered(use="parachute") == []
    assert offered(needed_a=801.0) == []
    assert [device.rating_a for device in offered(needed_a=800.0)] == [800.0]


def test_next_rating_up():
    case = SHELF.case()
    assert next_rating_up("class-t", 100.0, case) == 100.0
    assert next_rating_up("class-t", 100.0 * (1 + 1e-10), case) == 100.0
    assert next_rating_up("class-t", 100.001, case) == 110.0
    assert next_rating_up("class-t", 0.2, case) == 1.0
    assert next_rating_up("class-t", 801.0, case) is None
    assert next_rating_up("no-such-family", 1.0, case) is None


@pytest.mark.parametrize(
    ("ampacity", "limit"),
    [
        (115.0, 125.0),
        (125.0, 125.0),
        (125.0001, 150.0),
        (0.5, 1.0),
        (9.9, 10.0),
        (601.0, 601.0),
        (750.0, 800.0),
        (800.0, 800.0),
        (800.5, 800.5),
        (950.0, 950.0),
        (1000.0, 1000.0),
        (6500.0, 6500.0),
    ],
)
def test_next_size_up_ends_at_800(ampacity, limit):
    """NEC 240.4(B): the next standard rating, not above 800 A; above that not beyond the ampacity."""
    assert device_limit("next-size-up", ampacity, FEEDER) == limit


@pytest.mark.parametrize("relation", ["not-above-ampacity", "conductor-not-below-device"])
@pytest.mark.parametrize("ampacity", [7.0, 115.0, 285.0, 800.5])
def test_no_next_size_up_elsewhere(relation, ampacity):
    assert device_limit(relation, ampacity, STORAGE) == ampacity


def test_where_the_next_size_up_is_allowed():
    assert FEEDER.device_relation == "next-size-up"
    assert STORAGE.device_relation == "conductor-not-below-device"
    assert VEHICLE.device_relation == "not-above-ampacity"


RATINGS = sorted({rating for series in SHELF.plain.series.values() for rating in series})


@settings(max_examples=300, deadline=None)
@given(
    relation=st.sampled_from(
        ("next-size-up", "next-size-up-to-excess", "not-above-ampacity", "conductor-not-below-device")
    ),
    rating=st.one_of(st.sampled_from(RATINGS), st.sampled_from(STANDARD), st.floats(1.5, 2000)),
    ampacity=st.one_of(
        st.floats(1.5, 2000),
        st.sampled_from(STANDARD),
        st.sampled_from(SHELF.plain.tables["nec_310_16"].column("a_75")),
    ),
)
def test_asking_agrees_with_verifying(relation, rating, ampacity):
    """The ampacity that is asked for is the least that the verdict accepts, for every rating and every relation."""
    source = BOAT if relation == "next-size-up-to-excess" else FEEDER
    needed, itself = ampacity_for(relation, rating, source)
    asked = ampacity >= needed * (1 - 1e-9) if itself else ampacity > needed * (1 + 1e-9)
    accepted = rating <= device_limit(relation, ampacity, source) * (1 + 1e-9)
    assert asked == accepted


@pytest.mark.parametrize(
    ("rating", "needed"),
    [
        (125.0, (110.0, False)),
        (120.0, (110.0, False)),
        (800.0, (700.0, False)),
        (3.0, (1.0, False)),
        (1.0, (1.0, True)),
        (0.5, (0.5, True)),
        (801.0, (801.0, True)),
        (1000.0, (1000.0, True)),
    ],
)
def test_ampacity_to_look_for(rating, needed):
    """Above the standard rating before the device's own; above 800 A, and below the first rating, the rating itself."""
    assert ampacity_for("next-size-up", rating, FEEDER) == needed
    assert ampacity_for("not-above-ampacity", rating, FEEDER) == (rating, True)


def test_where_the_next_size_up_ends_is_the_code_s_own_figure():
    assert SHELF.plain.tables["constants"].cell("next_size_up_limit_a", "value") == NEXT_SIZE_UP_ENDS_A


def test_a_device_is_described_as_its_family_is():
    devices = {device.family: device for device in offered(use="feeder", needed_a=60.0)}
    fuse, breaker = devices["class-t"], devices["moulded-case-dc"]
    assert (fuse.kind, fuse.current_limiting, fuse.polarised, fuse.row) == ("fuse", True, False, "class-t-125-feeder")
    assert (breaker.kind, breaker.current_limiting, breaker.polarised) == ("breaker", False, False)
    assert (
        fuse.title and fuse.mounting and (fuse.voltage_v, fuse.interrupting_a, fuse.rating_a) == (125.0, 20000.0, 60.0)
    )


def test_standard_ratings_rise():
    assert all(low < high for low, high in pairwise(STANDARD))


def test_checks_of_a_device():
    device = offered(fault_current_a=25_000.0, fault_proven=True, needed_a=118.75)[0]
    demand = Demand("main", 118.75, 14.6, 25_000.0, True, False, 200.0)
    verdicts = {check.rule.name: check.passed for check in device_checks(device, demand)}
    assert verdicts == {
        "device-carries-load": True,
        "device-voltage": True,
        "device-interrupts": False,
        "device-within-equipment-limit": True,
    }
    bare = msgspec.structs.replace(demand, fault_current_a=None, limit_a=None)
    assert [check.rule.name for check in device_checks(device, bare)] == ["device-carries-load", "device-voltage"]
    short = msgspec.structs.replace(demand, needed_a=126.0, highest_voltage_v=126.0, limit_a=124.0)
    assert not any(check.passed for check in device_checks(device, short))


def test_checks_of_protection():
    device = offered(fault_current_a=900.0, fault_proven=True, needed_a=20.0)[0]
    assert [check.passed for check in protection_checks(device, 20.0, 20.0, VEHICLE)] == [True, True]
    assert [check.passed for check in protection_checks(device, 19.0, 15.0, VEHICLE)] == [False, False]
    assert [check.passed for check in protection_checks(device, 19.0, None, FEEDER)] == [True]


def grounding(rating, size, minimum, enlarge=True):
    return grounding_size(FEEDER, rating, SIZES.row(size), SIZES.row(minimum), SIZES, enlarge)


def test_grounding_conductor():
    assert grounding(60.0, "4", "4") == "10"
    assert grounding(60.1, "4", "4") == "8"
    assert grounding(30.0, "6", "10") == "6"
    assert grounding(30.0, "6", "10", enlarge=False) == "10"
    assert grounding(4000.0, "500", "500") == "500"
    assert grounding(4000.1, "500", "500") is None


def test_the_grounding_conductor_is_not_larger_than_the_circuit():
    """NEC 250.122(A), last sentence."""
    assert grounding(100.0, "10", "10") == "10"
    assert grounding(200.0, "500", "1/0") == "2/0"  # 26240 × 500000 / 105600 = 124242
    assert grounding(15.0, "500", "14") == "500"


@given(rating=st.sampled_from(RATINGS), rows=st.tuples(st.integers(0, 19), st.integers(0, 19)), enlarge=st.booleans())
def test_grounding_by_plain_search(rating, rows, enlarge):
    minimum, size = sorted(rows)
    table = FEEDER.grounding
    needed = next(
        area
        for upto, area in zip(table.column("device_up_to_a"), table.column("area_cmil"), strict=True)
        if rating <= upto
    )
    area = SIZES.column("area_cmil")
    if enlarge:
        needed *= area[size] / area[minimum]
    fits = [row for row in range(size) if area[row] >= needed * (1 - 1e-9)]
    expected = SIZES.column("size")[fits[0] if fits else size]
    assert grounding_size(FEEDER, rating, size, minimum, SIZES, enlarge) == expected


def test_a_rating_that_stands_in_for_a_device():
    assert assumed_rating(FEEDER, 17.5) == 20.0
    assert assumed_rating(FEEDER, 20.0) == 20.0
    assert assumed_rating(FEEDER, 6001.0) is None


# -- grounding conductors of boats and of the metric practices, by plain search ---------------------------------------


def smallest_of_area(sizes, area):
    """First size with so much copper; None where the table ends below it."""
    return next((name for name, mm2 in zip(sizes.column("size"), sizes.column("area_mm2"), strict=True) if mm2 >= area * (1 - 1e-9)), None)


def one_below(sizes, row, sets, least):
    return smallest_of_area(sizes, sizes.column("area_mm2")[max(row - 1, sizes.row(least))] * sets)


counts = st.integers(1, 4).map(float)


@given(row=st.integers(0, BOAT.sizes.rows - 1), sets=counts)
def test_one_size_below_the_circuit(row, sets):
    """Boats: one size below the circuit conductors, all sets together, and not below 16 AWG."""
    sizes = BOAT.sizes
    expected = one_below(sizes, row, sets, "16")
    assert grounding_size(BOAT, 30.0, row, row, sizes, True, sets) == expected


@given(row=st.integers(0, BOAT.sizes.rows - 1), sets=counts, rating=st.sampled_from((None, 15.0, 30.0, 30.1, 50.0)))
def test_one_size_below_beyond_a_step(row, sets, rating):
    """Boats on alternating current: as large as the circuit up to 30 A, one size below it above."""
    source = SHELF.plain.practices["us-craft"].source("ac-branch")
    sizes = source.sizes
    whole = smallest_of_area(sizes, sizes.column("area_mm2")[row] * sets)
    expected = whole if rating is None or rating <= 30.0 else one_below(sizes, row, sets, "16")
    assert grounding_size(source, rating, row, row, sizes, True, sets) == expected


@given(row=st.integers(0, 20), sets=counts)
def test_protective_conductor_by_the_line_conductor(row, sets):
    """IEC 60364-5-54: as large up to 16 mm2, 16 mm2 up to 35, half above."""
    source = SHELF.plain.practices["intl-dwelling"].source("ac-branch")
    sizes = source.sizes
    row = min(row, sizes.rows - 1)
    line = sizes.column("area_mm2")[row] * sets
    needed = line if line <= 16 else 16 if line <= 35 else line / 2
    assert grounding_size(source, None, row, row, sizes, True, sets) == smallest_of_area(sizes, needed)


@pytest.mark.parametrize(
    ("size", "expected"),
    [("10", "10"), ("16", "16"), ("25", "16"), ("35", "16"), ("50", "25"), ("70", "35"), ("95", "50"), ("240", "120")],
)
def test_protective_conductor_as_it_is_printed(size, expected):
    source = SHELF.plain.practices["intl-dwelling"].source("ac-branch")
    row = source.sizes.row(size)
    assert grounding_size(source, None, row, row, source.sizes, True) == expected
