"""What protects people on a circuit, under every practice, against the printed clauses."""

from __future__ import annotations

from itertools import product
from typing import get_args

import pytest

from ohmstead.electrical.people.model import PeoplePlace, ProtectionDevice, Serves, Side
from ohmstead.electrical.people.sizing import people_requirements, remark_people
from ohmstead.reference.case import Shelf
from ohmstead.reference.practices import load_practices
from ohmstead.reference.tables import Damaged

SHELF = Shelf()
LIBRARY = SHELF.plain
TABLE = LIBRARY.tables["people_protection"]
ROWS = [{name: column[row] for name, column in TABLE.columns.items()} for row in range(TABLE.rows)]
PRACTICES = LIBRARY.practices
ALTERNATING = ("shore-inlet", "generator-feeder", "inverter-ac", "ac-feeder", "ac-branch")
SIDES = get_args(Side)
GROUND_FAULT, RESIDUAL, ALL_POLES = "ground-fault-interrupter", "residual-current-device", "all-pole-breaker"


def needed(practice: str, circuit_class: str, serves=None, place=None, **more):
    return people_requirements(PRACTICES[practice].source(circuit_class), circuit_class, serves, place, SHELF.case(), **more)


def rows(*asked, **more) -> list[str]:
    return [requirement.row for requirement in needed(*asked, **more)]


# Practice, class, what it serves, where, more; then the devices, the clause of the first, and whether all is certain.
CLAUSES = [
    # 551.41(C)(1) to (4): lavatory, countertop within 1.8 m of a sink, toilet and shower, outside; NEC text of 2017, one source.
    (("us-vehicle", "ac-branch", "receptacles", "bath"), {}, [GROUND_FAULT], "551.41(C)(1), (3)"),
    (("us-vehicle", "ac-branch", "receptacles", "sink"), {}, [GROUND_FAULT], "551.41(C)(2)"),
    (("us-vehicle", "ac-branch", "receptacles", "outside"), {}, [GROUND_FAULT], "551.41(C)(4), 551.47(P)(1)(b)"),
    (("us-vehicle", "ac-branch", "receptacles", "elsewhere"), {}, [], None),
    (("us-vehicle", "ac-branch", "fixed", "outside"), {}, [], None),
    (("us-vehicle", "ac-branch", "lighting", "bath"), {}, [GROUND_FAULT], "551.53(B)"),
    # 551.40(C): only where one 15 or 20 A circuit is all there is (corrections.md, 22).
    (("us-vehicle", "shore-inlet"), {"single_circuit": True}, [GROUND_FAULT], "551.40(C)"),
    (("us-vehicle", "shore-inlet"), {}, [], None),
    (("us-vehicle", "ac-branch", "receptacles", "bath"), {"single_circuit": True}, [], None),
    # 210.8(A), recalled; 210.12, recalled.
    (("us-dwelling", "ac-branch", "receptacles", "galley"), {}, [GROUND_FAULT, "arc-fault-interrupter"], "210.8(A)"),
    (("us-dwelling", "ac-branch", "receptacles", "basement"), {}, [GROUND_FAULT], "210.8(A)"),
    (("us-dwelling", "ac-branch", "lighting", "elsewhere"), {}, ["arc-fault-interrupter"], "210.12"),
    (("us-dwelling", "generator-feeder"), {}, [], None),
    (("us-dwelling", "generator-feeder", "receptacles"), {"sides": ("source",)}, [GROUND_FAULT], "445.20"),
    # E-11.11.1 (two pages quote it), E-11.13.3.5 (one), two poles recalled.
    (("us-craft", "shore-inlet"), {}, ["equipment-leakage-interrupter", ALL_POLES, ALL_POLES, "polarity-indicator", "galvanic-isolator"],
     "E-11.11.1, 11.11.1.1"),
    (("us-craft", "ac-branch", "receptacles", "galley"), {}, [GROUND_FAULT, ALL_POLES], "E-11.13.3.5"),
    (("us-craft", "ac-branch", "receptacles", "elsewhere"), {}, [ALL_POLES], "E-11.10.2.8"),
    # ISO 13297, preview pages; the clause of the residual-current device was not seen.
    (("intl-craft", "shore-inlet"), {}, [RESIDUAL, ALL_POLES, "polarity-indicator", "galvanic-isolator"], "Residual-current devices"),
    (("intl-craft", "ac-branch", "receptacles", "machinery-space"), {}, [RESIDUAL, ALL_POLES], "Residual-current devices"),
    (("intl-craft", "ac-branch", "fixed", "machinery-space"), {}, [ALL_POLES], "13.2"),
    (("intl-craft", "inverter-ac"), {}, [ALL_POLES], "13.1.1, 13.1.2"),
    # 721.415.1, 721.537: two sources; 721.43.1: one.
    (("intl-vehicle", "shore-inlet"), {}, [RESIDUAL, "main-switch"], "721.415.1"),
    (("intl-vehicle", "ac-branch", "receptacles", "elsewhere"), {}, [ALL_POLES], "721.43.1"),
    (("intl-vehicle", "inverter-ac"), {}, [RESIDUAL], "721.415.1"),
    # 411.3.3: one source; bathrooms and luminaires recalled.
    (("intl-dwelling", "ac-branch", "receptacles", "elsewhere"), {}, [RESIDUAL], "411.3.3"),
    (("intl-dwelling", "ac-branch", "fixed", "elsewhere"), {}, [], None),
    (("intl-dwelling", "ac-branch", "fixed", "bath"), {}, [RESIDUAL], "701.415.1"),
    (("intl-dwelling", "ac-branch", "lighting", "elsewhere"), {}, [RESIDUAL], "411.3.4"),
]


@pytest.mark.parametrize(("asked", "more", "devices", "clause"), CLAUSES)
def test_what_the_clauses_ask(asked, more, devices, clause):
    found = needed(*asked, **more)
    assert [requirement.device for requirement in found] == devices
    if found:
        assert found[0].citation.clause == clause
        assert found[0].citation.basis in ("published", "published-once", "recalled")


@pytest.mark.parametrize(("practice", "circuit_class", "residual", "seconds", "poles"), [
    ("us-craft", "shore-inlet", 0.03, 0.1, 2.0), ("intl-craft", "shore-inlet", 0.03, None, 2.0), ("intl-vehicle", "shore-inlet", 0.03, None, 2.0),
])
def test_the_first_device_of_an_inlet(practice, circuit_class, residual, seconds, poles):
    first = needed(practice, circuit_class)[0]
    assert (first.residual_current_a, first.longest_s, first.poles) == (residual, seconds, poles)


def test_class_a_devices_open_at_five_milliamperes():
    for row in ROWS:
        if row["device"] == GROUND_FAULT:
            assert row["residual_a"] == 0.005, row


@pytest.mark.parametrize("practice", sorted(PRACTICES))
def test_every_practice_protects_people_on_alternating_current_and_on_no_other(practice):
    everything = {row for circuit in ALTERNATING for row in rows(practice, circuit, single_circuit=False)}
    assert everything
    for circuit, source in PRACTICES[practice].sources.items():
        assert (source.people is None) is (circuit not in ALTERNATING)
        if source.people is None:
            assert people_requirements(source, circuit, None, None, SHELF.case(), sides=SIDES) == ()


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["row"])
def test_every_row_is_reached_and_speaks_the_words_of_the_model(row):
    assert row["device"] in get_args(ProtectionDevice) and row["side"] in SIDES and row["when"] in ("always", "single-circuit", "several-circuits")
    assert set(row["serves"].split()) <= {*get_args(Serves), "any"} and set(row["places"].split()) <= {*get_args(PeoplePlace), "any"}
    assert set(row["classes"].split()) <= set(ALTERNATING) and row["text"] and row["clause"] and row["title"]
    practice = next(
        name for name, practice in PRACTICES.items() if any(source.people == row["rules"] for source in practice.sources.values())
    )
    for circuit in row["classes"].split():
        serves, place = (None if "any" in row[name].split() else row[name].split()[0] for name in ("serves", "places"))
        found = needed(practice, circuit, serves, place, single_circuit=row["when"] == "single-circuit", sides=SIDES)
        assert row["row"] in [requirement.row for requirement in found if requirement.certain]


@pytest.mark.parametrize("practice", sorted(PRACTICES))
def test_what_is_not_said_asks_for_all_that_could_be_meant(practice):
    for circuit in ALTERNATING:
        silent = needed(practice, circuit)
        meant = set()
        for serves, place in product(get_args(Serves), get_args(PeoplePlace)):
            said = needed(practice, circuit, serves, place)
            assert all(requirement.certain for requirement in said)
            meant |= {requirement.row for requirement in said}
        assert {requirement.row for requirement in silent} == meant
        for requirement in silent:
            always = all(requirement.row in rows(practice, circuit, serves, place) for serves, place in product(get_args(Serves), get_args(PeoplePlace)))
            assert requirement.certain is always


def test_who_is_silent_about_the_place_alone_is_told_of_every_place():
    found = needed("us-vehicle", "ac-branch", "receptacles")
    assert {requirement.row for requirement in found} == {"vehicle-bath", "vehicle-sink", "vehicle-outside"}
    assert not any(requirement.certain for requirement in found)


def test_what_the_site_brings_is_told_apart():
    assert rows("intl-vehicle", "shore-inlet", sides=("site",)) == ["caravan-pitch"]
    assert "caravan-pitch" not in rows("intl-vehicle", "shore-inlet")


def test_findings_say_the_figures_and_the_exception():
    case = SHELF.case()
    remark_people(needed("us-craft", "shore-inlet")[:1], case, "/system")
    remark_people(needed("us-vehicle", "ac-branch", "receptacles")[:1], case)
    certain, possible = case.findings
    assert (certain.code, certain.severity, certain.pointer) == ("people-protection", "note", "/system")
    assert "(30 mA, 100 ms, 2 poles)" in certain.message and "unless an isolation transformer" in certain.message and "E-11.11.1" in certain.message
    assert possible.code == "people-protection-possible" and "(5 mA)" in possible.message and "unless" not in possible.message


def test_traced_and_plain_agree():
    traced = SHELF.case(traced=True)
    for practice, circuit in product(PRACTICES, ALTERNATING):
        plain = needed(practice, circuit, sides=SIDES)
        source = traced.library.practices[practice].source(circuit)
        assert people_requirements(source, circuit, None, None, traced, sides=SIDES) == plain
        remark_people(plain, traced)


def test_a_group_without_rows_is_refused():
    emptied = dict(LIBRARY.tables)
    kept = tuple(row["row"] for row in ROWS if row["rules"] != "caravan")
    emptied["people_protection"] = TABLE.only(kept)
    with pytest.raises(Damaged, match="nothing protects people by the name caravan"):
        load_practices(emptied)
