"""Decisions about a short-circuit current: what it rests on, families at the voltage, verdicts, findings."""

from __future__ import annotations

from typing import get_args

import msgspec
import pytest
from electrical.faults.asking import ask, at_point, cable, codes, cranking, maker, of_bank, request, resistance

from ohmstead.reference.case import Shelf
from ohmstead.wire import query
from ohmstead.wire.door import Door
from ohmstead.wire.problems import Problem
from ohmstead.wire.v1.bank import BankChemistry
from ohmstead.wire.v1.fault import DirectFamily, FaultRequest, read
from ohmstead.working import Traced, trace

TABLE_MM2 = Shelf().plain.tables["mm2_conductors"]
CONDUCTOR = {"size": "6", "clearing_time": {"value": 0.01, "unit": "s"}}
SOURCES = [
    (maker(3000.0), "makers-figure", None), (resistance(4.0), "estimate", "fault-from-resistance"),
    (resistance(4.0, figure="highest"), "estimate", "fault-from-resistance"), (resistance(4.0, figure="lowest"), "upper-bound", "fault-from-resistance"),
    (of_bank("agm", 60.0), "upper-bound", "no-short-circuit-figure"), (cranking(700.0), "upper-bound", "fault-from-cranking"),
]


@pytest.fixture(scope="module")
def tables():
    return Shelf().plain.tables


@pytest.mark.parametrize(("source", "rests_on", "code"), SOURCES)
def test_only_a_makers_figure_is_ever_sufficient(source, rests_on, code):
    answer = ask(request(source, device="class-t", conductor=CONDUCTOR | {"size": "4/0"}))
    fault = answer.fault
    assert fault.at_point.value < fault.strongest.interrupting.value
    assert fault.rests_on == rests_on and fault.proven is (rests_on == "makers-figure")
    wanted = "sufficient" if fault.proven else "not-proven"
    assert fault.device.verdict == fault.conductor.verdict == fault.strongest.verdict == wanted
    assert {family.verdict for family in fault.families} == {wanted}
    own = {"fault-from-resistance", "no-short-circuit-figure", "fault-from-cranking"} & set(codes(answer))
    assert own == ({code} if code else set())


@pytest.mark.parametrize(
    ("source", "verdict", "code"),
    [
        (maker(30000.0), "short", "interrupting-rating-short"), (resistance(0.4), "short", "interrupting-rating-short"),
        (resistance(0.4, figure="lowest"), "not-proven", "interrupting-not-proven"), (of_bank("lfp", 400.0, 2), "not-proven", "interrupting-not-proven"),
        (cranking(5000.0), "not-proven", "interrupting-not-proven"),
    ],
)
def test_beyond_the_highest_rating_made(source, verdict, code):
    answer = ask(request(source, device="class-t"))
    assert answer.fault.families == [] and answer.fault.device.verdict == answer.fault.strongest.verdict == verdict
    assert ({"interrupting-rating-short", "interrupting-not-proven"} & set(codes(answer))) == {code}
    (said,) = [found for found in answer.findings if found.code == code]
    assert all(part in said.message for part in ("14.6 V", "interrupts 20000 A")) and said.pointer == "/source"
    assert ("interrupting-short" in codes(answer)) is (verdict == "short")


def test_without_a_figure_a_current_limiting_family_comes_first():
    bound, proven = ask(request(of_bank("agm", 90.0))).fault, ask(request(maker(5400.0))).fault
    assert [family.family for family in bound.families[:2]] == ["class-t", "photovoltaic-fuse"]
    assert {family.family for family in bound.families} == {family.family for family in proven.families}
    # 900 A: many reach it. The strongest first among those that limit, and then among those that do not.
    order = [(not family.current_limiting, -family.interrupting.value) for family in ask(request(of_bank("agm", 15.0))).fault.families]
    assert order == sorted(order) and len(set(order)) > 5
    ratings = [family.interrupting.value for family in proven.families]
    assert ratings == sorted(ratings) and ratings[0] < ratings[-1]


@pytest.mark.parametrize("volt", [12.0, 14.0, 14.6, 29.2, 32.0, 33.0, 58.0, 58.4, 65.0, 66.0, 125.0, 126.0, 1000.0])
def test_families_by_plain_search_of_the_table(volt, tables):
    """The best rating of each family among the marks that are not below the voltage, alternating current left out."""
    table = tables["device_families"].columns
    best: dict[str, float] = {}
    for family, use, mark, rating in zip(table["family"], table["use"], table["device_voltage_v"], table["interrupting_a"], strict=True):
        if not use.startswith("alternating") and mark >= volt:
            best[family] = max(rating, best.get(family, 0.0))
    for current in (900.0, 4000.0, 9000.0):
        fault = ask(request(maker(current), volt)).fault
        able = {family: rating for family, rating in best.items() if rating >= current}
        assert {family.family: family.interrupting.value for family in fault.families} == able
        assert fault.strongest.interrupting.value == max(best.values())
        assert all(family.voltage.value >= volt for family in fault.families)
    uses = {family: set() for family in best}
    for family, use, mark in zip(table["family"], table["use"], table["device_voltage_v"], strict=True):
        if family in uses and mark >= volt:
            uses[family] |= set(use.split())
    assert {family.family: set(family.uses) for family in ask(request(maker(1.0), volt)).fault.families} == uses


def test_no_rating_at_the_voltage_is_an_answer():
    answer = ask(request(maker(500.0), 29.2, device="blade"))
    assert answer.fault.device.verdict == "sufficient"
    answer = ask(request(of_bank("agm", 10.0), 32.5, device="blade"))
    device = answer.fault.device
    assert (device.verdict, device.marked, device.least_length) == ("short", None, None)
    assert [(check.name, check.passed) for check in device.checks] == [("device-voltage", False)]
    assert "device-voltage-low" in codes(answer)


def test_the_highest_mark_is_what_falls_short():
    """Terminal fuses are marked for 14, 32 and 58 V; at 65 V it is 58 V that does not reach."""
    answer = ask(request(maker(500.0), 65.0, device="terminal-fuse"))
    (check,) = answer.fault.device.checks
    assert (check.actual.value, check.limit.value, check.passed) == (58.0, 65.0, False)
    assert "58 V" in next(found.message for found in answer.findings if found.code == "device-voltage-low")


def test_the_named_length_brings_the_current_to_the_rating():
    given = request(maker(9000.0), 29.2, cable=cable("2/0", 0.4), onward=[cable("4", 0.3)], joints=6, device="terminal-fuse")
    device = ask(given).fault.device
    assert device.verdict == "short" and device.least_length.value > 0.4
    longer = ask(given | {"cable": cable("2/0", device.least_length.value)})
    assert longer.fault.at_point.value == pytest.approx(device.marked.interrupting.value, rel=1e-9)
    assert longer.fault.device.verdict == "sufficient" and longer.fault.device.least_length is None
    assert ask(request(maker(9000.0), 29.2, device="terminal-fuse")).fault.device.least_length is None


@pytest.mark.parametrize("sets", [1, 2, 3])
def test_parallel_conductors_have_to_be_longer_to_bring_the_current_down(sets):
    """Twice the copper takes twice the length for the same resistance."""
    given = request(maker(9000.0), 29.2, cable=cable("2/0", 0.4, sets), device="terminal-fuse")
    device = ask(given).fault.device
    longer = ask(given | {"cable": cable("2/0", device.least_length.value, sets)}).fault
    assert longer.at_point.value == pytest.approx(device.marked.interrupting.value, rel=1e-9)
    alone = ask(given | {"cable": cable("2/0", 0.4)}).fault.device.least_length.value
    assert device.least_length.value == pytest.approx(sets * alone, rel=1e-9)


def test_a_recalled_rating_is_said_where_it_decides():
    said = [found.message for found in ask(request(maker(4000.0), device="terminal-fuse")).findings if found.code == "recalled-value-decides"]
    assert len(said) == 1 and "device-interrupts" in said[0] and "5000 A" in said[0]
    assert "recalled-value-decides" not in codes(ask(request(maker(4000.0), device="class-t")))
    assert "recalled-value-decides" not in codes(ask(request(of_bank("agm", 50.0), device="terminal-fuse")))


@pytest.mark.parametrize(("insulation", "constant"), [("70C", 115), ("90C", 143)])
def test_conductors_stand_what_their_insulation_does(insulation, constant, tables):
    found = ask(request(maker(8000.0), conductor=CONDUCTOR | {"insulation": insulation})).fault.conductor
    assert found.check.limit.value == pytest.approx(8000 * 0.1 / constant, rel=1e-12)
    area = tables["awg_conductors"].cell("6", "area_mm2")
    assert found.check.actual.value == area and found.check.passed
    assert found.withstands.value == pytest.approx((constant * area / 8000) ** 2, rel=1e-12)


@pytest.mark.parametrize("sets", [1, 2, 3])
def test_the_smallest_size_by_plain_search(sets, tables):
    sizes, areas = tables["awg_conductors"].column("size"), tables["awg_conductors"].column("area_mm2")
    for current in (300.0, 2500.0, 9000.0, 40000.0, 150000.0):
        found = ask(request(maker(current), conductor=CONDUCTOR | {"sets": sets, "clearing_time": {"value": 1, "unit": "s"}})).fault.conductor
        fitting = [size for size, area in zip(sizes, areas, strict=True) if area * sets >= current / 115]
        assert (found.smallest.name if found.smallest else None) == (fitting[0] if fitting else None)
        assert found.check.passed is ("6" in fitting) and found.verdict == ("sufficient" if "6" in fitting else "short")


def test_a_conductor_that_none_replaces_is_said():
    answer = ask(request(maker(150000.0), conductor=CONDUCTOR | {"clearing_time": {"value": 5, "unit": "s"}}))
    (said,) = [found for found in answer.findings if found.code == "conductor-withstand-short"]
    assert "more conductors in parallel" in said.cure and said.pointer == "/conductor"
    answer = ask(request(maker(3000.0), conductor=CONDUCTOR | {"clearing_time": {"value": 1, "unit": "s"}}))
    (said,) = [found for found in answer.findings if found.code == "conductor-withstand-short"]
    assert "Take 3 or larger" in said.cure


def test_a_warm_cable_is_said_and_a_cold_one_assumed():
    given = request(maker(9000.0), cable=cable("2/0", 1.0))
    cold, warm = ask(given), ask(given | {"cable_temperature": {"value": 60, "unit": "degC"}})
    assert [said.name for said in cold.assumptions] == ["fault_conductor_c"] and cold.assumptions[0].value.value == 20.0
    assert warm.assumptions == [] and "warm-cable-in-fault" in codes(warm) and "warm-cable-in-fault" not in codes(cold)
    assert warm.fault.at_point.value < cold.fault.at_point.value
    frost = ask(given | {"cable_temperature": {"value": -20, "unit": "degC"}})
    assert frost.fault.at_point.value > cold.fault.at_point.value and "warm-cable-in-fault" not in codes(frost)


def test_links_by_size_are_cold_and_have_the_least_joints(tables):
    link = {"by": "cable", "cable": cable("4/0", 0.3)}
    given = request(maker(10000.0, 2), 14.0, joined={"by": "bus-bars", "lead": link})
    copper = tables["awg_conductors"].cell("4/0", "resistance_75c") * (1 - 0.00323 * 55) * 0.3 / 1000
    string = 14.0 / 10000 + 2 * (copper + 2 * 2e-5)
    answer = ask(given)
    assert answer.fault.at_posts.value == answer.fault.at_point.value == pytest.approx(2 * 14.0 / string, rel=1e-9)
    assert [said.name for said in answer.assumptions] == ["fault_conductor_c"]
    hot = ask(given | {"joined": {"by": "bus-bars", "lead": link | {"temperature": {"value": 90, "unit": "degC"}}}})
    assert "warm-cable-in-fault" in codes(hot)


@pytest.mark.parametrize("layout", ["one-end", "diagonal"])
def test_a_single_string_has_no_links(layout):
    joined = {"by": layout, "link": {"by": "resistance", "resistance": {"value": 5, "unit": "mohm"}}}
    assert at_point(request(maker(4000.0), joined=joined)) == pytest.approx(4000.0, rel=1e-12)


def test_the_point_is_at_the_posts_without_a_cable():
    fault = ask(request(maker(4000.0))).fault
    assert fault.path_resistance is None and fault.at_point == fault.at_posts
    assert ask(request(maker(4000.0), joints=1)).fault.path_resistance.value == 2e-5


@pytest.mark.parametrize("chemistry", get_args(BankChemistry))
def test_every_chemistry_has_a_bound(chemistry):
    one, two = (at_point(request(of_bank(chemistry, 100.0, strings))) for strings in (1, 2))
    assert two == pytest.approx(2 * one, rel=1e-12)


def test_no_chemistry_passes_its_bound_with_its_lowest_resistance(tables):
    """The bound lies above what the lowest resistance found would give, joints and links left out."""
    low, bounds = tables["internal_resistances"], tables["short_circuit_bounds"]
    for chemistry in low.column("chemistry"):
        cells = low.cell(chemistry, "figure_cells")
        full_v = bounds.cell(chemistry, "full_cell_voltage_v") or 12.9 / 6
        ohm = low.cell(chemistry, "low") / 100 + cells * low.cell(chemistry, "joint")
        assert at_point(request(of_bank(chemistry, 100.0))) >= full_v * cells / ohm * (1 - 1e-9), chemistry


def test_the_families_of_the_shape_are_those_of_the_table(tables):
    """A family for direct current that the table gains has to be said in the shape too."""
    table = tables["device_families"].columns
    direct = {family for family, use in zip(table["family"], table["use"], strict=True) if not use.startswith("alternating")}
    assert set(get_args(DirectFamily)) == direct


def test_marks_of_a_family_rise_and_ratings_fall(tables):
    """So that the lowest mark that suffices is the one with the highest rating."""
    table = tables["device_families"].columns
    for family in set(table["family"]):
        marks = sorted({(mark, -rating) for name, mark, rating in zip(table["family"], table["device_voltage_v"], table["interrupting_a"], strict=True) if name == family})
        assert [rating for _, rating in marks] == sorted(rating for _, rating in marks), family


def test_a_query_says_the_same():
    given = {
        "source.by": "maker", "source.current": "2.8 kA", "source.strings": "2", "highest_voltage": "29.2 V", "cable.size": "2/0", "cable.length": "2 m",
        "joints": "4", "cable_temperature": "14 degF", "conductor.size": "6", "conductor.clearing_time": "0.02 s", "device": "terminal-fuse",
        "joined.by": "bus-bars", "joined.lead.by": "cable", "joined.lead.cable.size": "95 mm2", "joined.lead.cable.length": "1 ft",
    }
    body = request(
        {"by": "maker", "current": {"value": 2.8, "unit": "kA"}, "strings": 2}, 29.2, cable=cable("2/0", 2.0), joints=4,
        cable_temperature={"value": 14, "unit": "degF"}, conductor={"size": "6", "clearing_time": {"value": 0.02, "unit": "s"}}, device="terminal-fuse",
        joined={"by": "bus-bars", "lead": {"by": "cable", "cable": {"size": "95 mm2", "length": {"value": 1.0, "unit": "ft"}}}},
    )
    assert query.read(given, FaultRequest) == msgspec.convert(body, FaultRequest)


def test_other_units_give_the_same_answer():
    one = request({"by": "maker", "current": {"value": 2800, "unit": "A"}}, cable=cable("2/0", 3.6576), cable_temperature={"value": -10, "unit": "degC"})
    other = request(
        {"by": "maker", "current": {"value": 2.8, "unit": "kA"}}, cable={"size": "2/0", "length": {"value": 12, "unit": "ft"}},
        cable_temperature={"value": 14, "unit": "degF"},
    )
    assert at_point(other) == pytest.approx(at_point(one), rel=1e-12)
    # 5000 A come back as 5 kA and stay at the rating.
    assert ask(request({"by": "maker", "current": {"value": 5, "unit": "kA"}}, device="terminal-fuse")).fault.device.verdict == "sufficient"


def test_a_temperature_that_no_cable_has_is_refused():
    given = request(maker(4000.0), cable=cable("2/0", 1.0), cable_temperature={"value": 300, "unit": "degC"})
    with pytest.raises(Problem) as refused:
        read(msgspec.convert(given, FaultRequest), Door())
    assert [(fault.code, fault.pointer) for fault in refused.value.faults] == [("outside-physical-bounds", "/cable_temperature")]


@pytest.mark.parametrize("seconds", [0.0, 5.001])
def test_withstand_is_known_up_to_five_seconds(seconds):
    given = request(maker(4000.0), conductor=CONDUCTOR | {"clearing_time": {"value": seconds, "unit": "s"}})
    with pytest.raises(msgspec.ValidationError):
        msgspec.convert(given, FaultRequest)


LINK = {"by": "cable", "cable": cable("2/0", 0.3)}


@pytest.mark.parametrize("source", [source for source, _, _ in SOURCES] + [cranking(700.0, unit_capacity={"value": 90, "unit": "Ah"}, system="32")])
@pytest.mark.parametrize("joined", [None, {"by": "one-end", "link": LINK}, {"by": "diagonal", "link": LINK}, {"by": "bus-bars", "lead": LINK}])
def test_every_source_behind_a_number_is_listed_and_no_other_network(source, joined):
    given = request(source | {"strings": 3}, joined=joined, cable=cable("2/0", 1.0), joints=2, conductor=CONDUCTOR, device="terminal-fuse")
    answer = ask(given, traced=True)
    said = {(citation.id, citation.clause) for citation in answer.citations}
    behind = {(citation.id, citation.clause) for citation in trace.citations_behind(traced_in(answer))}
    assert behind <= said
    assert (("design-arithmetic", "ladder network") in said) is (joined is not None)
    plain = ask(given)
    assert plain.fault.at_point.value == answer.fault.at_point.value and plain.citations == answer.citations


def traced_in(part):
    """Every traced number of an answer."""
    if type(part) is Traced:
        yield part
    elif isinstance(part, msgspec.Struct):
        for name in part.__struct_fields__:
            yield from traced_in(getattr(part, name))
    elif isinstance(part, (list, tuple)):
        for value in part:
            yield from traced_in(value)


def test_a_cable_in_mm2_counts_with_the_least_resistance_that_its_area_can_have():
    """35 mm2 at 20 °C: 17.241 / 35 = 0.4926 ohm/km, where class 5 prints 0.554 as the most. Twice 2 m on 14.6 V and 5000 A."""
    given = request(maker(5000.0), 14.6, cable=cable("35 mm2", 2.0), cable_temperature={"value": 20, "unit": "degC"})
    inner, path = 14.6 / 5000, 2 * 2 * 17.241 / 35 / 1000
    answer = ask(given)
    assert answer.fault.path_resistance.value == pytest.approx(path, rel=1e-9)
    assert answer.fault.at_point.value == pytest.approx(14.6 / (inner + path), rel=1e-9)
    cited = {source.id for source in answer.citations}
    assert {"iec-60228", "iec-60028"} <= cited


@pytest.mark.parametrize("size", TABLE_MM2.column("size"))
def test_the_least_resistance_of_a_size_lies_below_the_printed_one(size):
    given = request(maker(5000.0), 14.6, cable=cable(f"{size} mm2", 1.0), cable_temperature={"value": 20, "unit": "degC"})
    least = ask(given).fault.path_resistance.value * 1000 / 2
    # Class 5 is printed with up to an eighth more than the nominal area would have.
    assert 0.86 < least / TABLE_MM2.cell(size, "resistance_20c") < 1


def test_a_link_in_mm2_counts_with_the_least_resistance_too():
    link = {"by": "cable", "cable": {"size": "50 mm2", "length": {"value": 1, "unit": "m"}}, "joints": 0, "temperature": {"value": 20, "unit": "degC"}}
    at = ask(request(resistance(2.0, strings=2), 14.6, joined={"by": "bus-bars", "lead": link})).fault.at_posts.value
    assert at == pytest.approx(14.6 / ((0.002 + 2 * 17.241 / 50 / 1000) / 2), rel=1e-9)


def test_a_conductor_in_mm2_is_checked_and_answered_in_mm2():
    """10 kA for 0.1 s on 70 °C thermoplastic: 10000 sqrt(0.1) / 115 = 27.5 mm2, so 35 and not 25."""
    conductor = {"size": "25 mm2", "clearing_time": {"value": 0.1, "unit": "s"}}
    answer = ask(request(maker(10000.0), 14.6, conductor=conductor))
    checked = answer.fault.conductor
    assert (checked.size.system, checked.size.name, checked.verdict) == ("mm2", "25", "short")
    assert (checked.smallest.system, checked.smallest.name) == ("mm2", "35")
    assert checked.check.limit.value == pytest.approx(10000 * 0.1**0.5 / 115)
    (said,) = [found for found in answer.findings if found.code == "conductor-withstand-short"]
    assert "A conductor of 25 mm2" in said.message and "35 mm2 or larger" in said.cure


def test_the_length_that_a_rating_needs_is_in_the_size_of_the_first_cable():
    """At that length the current at the point is the rating of the family."""
    given = request(maker(20000.0), 29.2, cable=cable("16 mm2", 0.3), device="blade")
    least = ask(given).fault.device.least_length.value
    assert at_point(request(maker(20000.0), 29.2, cable=cable("16 mm2", least))) == pytest.approx(1000.0, rel=1e-9)


def test_the_same_name_in_two_systems_is_two_sizes():
    awg, metric = (at_point(request(maker(5000.0), 14.6, cable=cable(size, 3.0))) for size in ("10", "10 mm2"))
    assert metric > awg
