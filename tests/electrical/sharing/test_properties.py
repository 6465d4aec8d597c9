"""What holds for every bank, whatever its units, links and current."""

from __future__ import annotations

import pytest
from electrical.sharing.asking import ask, codes, currents, request, with_links
from electrical.sharing.test_networks import LAYOUTS, spread
from generated import held, some
from hypothesis import strategies as st

from ohmstead.wire.explain import explain

LIKE = st.integers(2, 24)
EVERY = st.sampled_from(LAYOUTS)
UNITS = st.lists(spread(0.05, 500), min_size=2, max_size=24)


@some(200)
def test_currents_sum_to_the_current_of_the_bank(many):
    def check(layout, mohm, link, total):
        answer = ask(request(layout, mohm, link, current={"value": total, "unit": "A"}))
        assert sum(currents(answer)) == pytest.approx(total, rel=1e-12)
        assert sum(unit.share for unit in answer.sharing.units) == pytest.approx(1.0, rel=1e-12)
        assert all(current >= 0 for current in currents(answer))

    held(check, many, layout=EVERY, mohm=UNITS, link=spread(0.001, 1000), total=spread(0.01, 3000))


@some(150)
def test_heat_of_units_and_links_is_that_of_the_bank(many):
    """Nothing is lost: all heat is the square of the current times the resistance at the take-off."""
    def check(layout, mohm, link):
        shared = ask(request(layout, mohm, link)).sharing
        heat = sum(part.heat.value for part in (*shared.units, *shared.links))
        assert heat == pytest.approx(100.0**2 * shared.resistance.value, rel=1e-9)

    held(check, many, layout=EVERY, mohm=UNITS, link=spread(0.01, 100))


@some(150)
def test_like_units_with_diagonal_leads_are_a_mirror(many):
    def check(count, ohm, link):
        found = currents(ask(request("diagonal", [ohm] * count, link)))
        assert found == pytest.approx(found[::-1], rel=1e-12)
        # From the ends to the middle each carries less, so the middle is never the most loaded.
        assert all(one >= other * (1 - 1e-9) for one, other in zip(found[: count // 2], found[1 : count // 2 + 1], strict=False))

    held(check, many, count=LIKE, ohm=spread(0.1, 100), link=spread(0.001, 100))


@some(150)
def test_like_units_behind_bus_bars_share_alike(many):
    def check(count, ohm, link):
        shared = ask(request("bus-bars", [ohm] * count, link)).sharing
        assert currents_of(shared) == pytest.approx([100.0 / count] * count, rel=1e-12)
        assert shared.usable == pytest.approx(1.0, rel=1e-12)
        assert shared.most_loaded == shared.hottest == 1

    held(check, many, count=LIKE, ohm=spread(0.1, 100), link=spread(0.001, 100))


@some(150)
def test_like_units_share_worst_at_one_end_and_best_behind_bus_bars(many):
    def check(count, ohm, link):
        end, diagonal, bars = (ask(request(layout, [ohm] * count, link)).sharing for layout in LAYOUTS)
        assert end.usable <= diagonal.usable * (1 + 1e-9) <= bars.usable * (1 + 2e-9)
        assert end.beside_bus_bars.ratio == pytest.approx(end.usable, rel=1e-9)
        assert end.most_loaded == 1
        assert currents_of(end) == sorted(currents_of(end), reverse=True)

    held(check, many, count=LIKE, ohm=spread(0.1, 100), link=spread(0.001, 100))


@some(100)
def test_more_resistance_in_the_links_never_shares_better(many):
    def check(layout, count, ohm, link, more):
        one, other = (ask(request(layout, [ohm] * count, mohm)).sharing for mohm in (link, link * more))
        assert other.usable <= one.usable * (1 + 1e-9)

    held(check, many, layout=EVERY, count=LIKE, ohm=spread(0.1, 100), link=spread(0.001, 10), more=st.floats(1, 10))


@some(150)
def test_the_order_of_units_behind_bus_bars_does_not_matter(many):
    def check(mohm, link, draw):
        turned = draw.draw(st.permutations(range(len(mohm))))
        one = currents(ask(request("bus-bars", mohm, link)))
        other = currents(ask(request("bus-bars", [mohm[position] for position in turned], link)))
        assert other == pytest.approx([one[position] for position in turned], rel=1e-12)

    held(check, many, mohm=UNITS, link=spread(0.001, 100), draw=st.data())


@some(150)
def test_a_bank_seen_from_its_other_side_is_the_same_bank(many):
    """Diagonal leads: unit n with the positive lead is unit 1 with the negative one."""
    def check(mohm, link):
        one, other = ask(request("diagonal", mohm, link)).sharing, ask(request("diagonal", mohm[::-1], link)).sharing
        assert currents_of(other) == pytest.approx(currents_of(one)[::-1], rel=1e-9)
        assert other.resistance.value == pytest.approx(one.resistance.value, rel=1e-9)

    held(check, many, mohm=UNITS, link=spread(0.001, 100))


@some(150)
def test_scale_does_not_matter(many):
    """All resistances times a factor leave the currents, all currents times a factor leave the shares."""
    def check(layout, mohm, link, factor, total):
        one = ask(request(layout, mohm, link)).sharing
        scaled = ask(request(layout, [ohm * factor for ohm in mohm], link * factor, current={"value": total, "unit": "A"})).sharing
        assert [unit.share for unit in scaled.units] == pytest.approx([unit.share for unit in one.units], rel=1e-9)
        assert scaled.resistance.value == pytest.approx(one.resistance.value * factor, rel=1e-9)
        assert scaled.usable == pytest.approx(one.usable, rel=1e-9)

    held(check, many, layout=EVERY, mohm=UNITS, link=spread(0.01, 100), factor=spread(0.5, 20), total=spread(0.01, 3000))


@some(100)
def test_at_the_current_said_the_first_unit_is_at_its_limit(many):
    def check(layout, mohm, link, limit):
        said = ask(request(layout, mohm, link, unit_limit={"value": limit, "unit": "A"})).sharing.current_at_limit.value
        if not 0.001 <= said <= 3000:
            return
        at = ask(request(layout, mohm, link, current={"value": said, "unit": "A"}, unit_limit={"value": limit, "unit": "A"}))
        assert max(currents(at)) == pytest.approx(limit, rel=1e-9)
        assert at.sharing.limit_verdict == "within"
        over = ask(request(layout, mohm, link, current={"value": said * 1.001, "unit": "A"}, unit_limit={"value": limit, "unit": "A"}))
        assert over.sharing.limit_verdict == "exceeded" and "unit-limit-exceeded" in codes(over)

    held(check, many, layout=EVERY, mohm=UNITS, link=spread(0.01, 100), limit=spread(1, 500))


@some(60)
def test_the_working_explains_every_number(many):
    def check(layout, mohm, link):
        given = request(layout, mohm, link, unit_limit={"value": 40.0, "unit": "A"})
        plain, traced = ask(given), ask(given, traced=True)
        assert currents(plain) == currents(traced)
        working = explain(traced)
        for position in range(len(mohm)):
            number = working.numbers[working.places[f"/sharing/units/{position}/current/value"]]
            assert number.how == "formula" and number.formula

    held(check, many, layout=EVERY, mohm=UNITS, link=spread(0.01, 100))


@some(100)
def test_links_that_differ_in_name_only_change_nothing(many):
    """Every link given on its own with the resistance of the others is the bank with like links, to the tolerance of the arithmetic."""
    def check(layout, mohm, link):
        last = len(mohm) + (layout == "bus-bars")
        own = {f"{pole}{unit}": link for pole in "pn" for unit in range(1, last)}
        one, other = ask(request(layout, mohm, link)).sharing, ask(with_links(request(layout, mohm, link), own)).sharing
        assert currents_of(other) == pytest.approx(currents_of(one), rel=1e-6, abs=1e-9)
        assert other.resistance.value == pytest.approx(one.resistance.value, rel=1e-9)
        assert other.beside_bus_bars.resistance.value == pytest.approx(one.beside_bus_bars.resistance.value, rel=1e-12)

    held(check, many, layout=EVERY, mohm=UNITS.map(lambda mohm: mohm[:12]), link=spread(0.01, 100))


@some(100)
def test_a_looser_lead_to_a_bus_bar_takes_current_from_its_own_unit(many):
    def check(mohm, link, more, draw):
        unit = draw.draw(st.integers(1, len(mohm)))
        one = currents(ask(request("bus-bars", mohm, link)))
        other = currents(ask(with_links(request("bus-bars", mohm, link), {f"p{unit}": link * more})))
        assert other[unit - 1] <= one[unit - 1] * (1 + 1e-9)
        assert all(theirs >= ours * (1 - 1e-9) for place, (ours, theirs) in enumerate(zip(one, other, strict=True)) if place != unit - 1)

    held(check, many, mohm=UNITS, link=spread(0.01, 100), more=st.floats(1, 100), draw=st.data())


@some(100)
def test_heat_of_links_that_differ_is_that_of_the_bank_too(many):
    def check(layout, mohm, link, loose):
        shared = ask(with_links(request(layout, mohm, link), {"p1": loose})).sharing
        heat = sum(part.heat.value for part in (*shared.units, *shared.links))
        assert heat == pytest.approx(100.0**2 * shared.resistance.value, rel=1e-7)

    held(check, many, layout=EVERY, mohm=UNITS, link=spread(0.01, 100), loose=spread(0.01, 1000))


def currents_of(shared) -> list[float]:
    return [unit.current.value for unit in shared.units]
