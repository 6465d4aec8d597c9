"""One calculation's surroundings: what is assumed, read and remarked."""

import pytest

from ohmstead.reference.practices import CircuitClass, chosen_by_us
from ohmstead.working import Assumed, Chosen, Traced


def test_a_given_number_goes_before_the_house_rule_and_that_before_the_default(shelf):
    assert shelf.case(house_rules={"ambient_c": 50.0}).assume("ambient_c", 25.0) == 25.0
    assert shelf.case(house_rules={"ambient_c": 50.0}).assume("ambient_c") == 50.0
    assert shelf.case().assume("ambient_c") == 40.0


def test_an_assumption_is_listed_once_and_only_when_it_was_used(shelf):
    case = shelf.case()
    case.assume("ambient_c", 25.0)
    assert case.assumptions == []
    case.assume("ambient_c")
    case.assume("ambient_c")
    (said,) = case.assumptions
    assert (said.name, said.value, said.unit, said.basis) == ("ambient_c", 40.0, "degC", "common-practice")
    assert said.why
    assert said.citation.title


def test_every_default_can_be_assumed_plain_and_traced(shelf):
    plain, traced = shelf.case(), shelf.case(traced=True)
    for name in shelf.plain.tables["defaults"].index:
        told = traced.assume(name)
        assert plain.assume(name) == told
        assert type(plain.assume(name)) is float
        assert type(told) is Traced
        assert type(told.origin) is Assumed
    assert plain.assumptions == traced.assumptions


def test_every_constant_can_be_read_plain_and_traced(shelf):
    plain, traced = shelf.case(), shelf.case(traced=True)
    for name in shelf.plain.tables["constants"].index:
        assert plain.constant(name) == traced.constant(name)
        assert traced.constant(name).origin.row == name


def test_what_is_not_documented_is_not_assumed(shelf):
    with pytest.raises(KeyError):
        shelf.case().assume("lucky_number")
    with pytest.raises(KeyError):
        shelf.case().constant("lucky_number")


def test_a_chosen_count_carries_its_reason(shelf):
    assert type(shelf.case().chosen(2, "sets", "in parallel")) is float
    chosen = shelf.case(traced=True).chosen(2, "sets", "in parallel")
    assert chosen == 2.0
    assert type(chosen.origin) is Chosen


def test_practices_name_a_source_for_every_class_and_a_documented_default_for_every_drop(shelf):
    classes = set(CircuitClass.__args__)
    for library in (shelf.plain, shelf.traced):
        assert library.practices
        for practice in library.practices.values():
            assert set(practice.sources) == classes
            for source in practice.sources.values():
                assert source.drop_limit_default in library.tables["defaults"].index
                assert source.sizes.traced is library.traced
                assert {source.parallel_from, source.largest, source.smallest or source.largest} <= set(source.sizes.index)
                assert source.caps is None or set(source.caps.columns["size"]) <= set(source.sizes.index)
                for default in (source.drop_limit_other, source.ambient_default, source.insulation_default, *source.terminal_defaults):
                    assert default in library.tables["defaults"].index
                for ampacities in filter(None, (source.ampacity, source.free_air)):
                    ratings = [column.rating_c for column in ampacities.columns]
                    assert ratings == sorted(ratings, reverse=True)
                    for column in ampacities.columns:
                        assert column.factor in column.ambient.columns
                        assert list(column.values) == sorted(set(column.values))
                        # The table for boats ends at 4/0; vehicles may go by it in free air.
                        ends_early = column.table.name == "craft_ampacity" and source.sizes.columns["size"][len(column.values) - 1] == "4/0"
                        assert len(column.values) == source.sizes.rows or ends_early
                assert type(source.continuous_factor) is (Traced if library.traced else float)


def test_what_no_document_says_is_ours_under_the_metric_practices_only(shelf):
    for practice in shelf.plain.practices.values():
        for circuit, source in practice.sources.items():
            names = {choice.name for choice in source.own_choices}
            if source.size_system == "awg":
                assert names == set()
                continue
            assert {"largest-conductor", "parallel-from"} <= names, circuit
            # Families for alternating current and for photovoltaic circuits have an IEC document of their own.
            assert ("device-family" in names) is (source.current == "direct" and source.device_use != "photovoltaic")
            said = {choice.name: choice.text for choice in source.own_choices}
            assert said["largest-conductor"] == f"{source.largest} mm2" and said["parallel-from"] == f"{source.parallel_from} mm2"
            assert said.get("smallest-conductor", f"{source.smallest} mm2") == f"{source.smallest} mm2"
            if "source-distance" in said:
                assert said["source-distance"] == f"{1000 * source.source_distance_m:g} mm"
            for choice in source.own_choices:
                assert choice.why and choice.citation.basis == "common-practice"


def test_only_what_was_used_is_told(shelf):
    metric, us = shelf.plain.practices["intl-dwelling"].source("dc-feeder"), shelf.plain.practices["us-dwelling"].source("dc-feeder")
    assert [choice.name for choice in chosen_by_us(metric, {"parallel-from", "source-distance"})] == ["parallel-from"]
    assert chosen_by_us(metric, ()) == chosen_by_us(us, {"largest-conductor", "parallel-from", "device-family"}) == ()


def test_our_own_choices_are_assumptions_listed_once(shelf):
    for traced in (False, True):
        case = shelf.case(traced=traced)
        source = case.library.practices["intl-vehicle"].source("dc-branch")
        for _ in range(2):
            case.assume_own(source, {"device-family", "source-distance", "smallest-conductor"})
        assert [(said.name, said.value, said.text) for said in case.assumptions] == [
            ("device-family", None, "families of devices by their rating for direct current"), ("source-distance", None, "200 mm"),
            ("smallest-conductor", None, "1.5 mm2"),
        ]
