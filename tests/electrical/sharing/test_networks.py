"""The ladders of the service against the same networks solved by their nodes and by a circuit simulator."""

from __future__ import annotations

import pytest
from electrical.sharing.asking import ask, currents, request, with_links
from electrical.sharing.networks import SIMULATOR, bank, by_nodes, by_simulator, resistance, unlike
from hypothesis import given, settings
from hypothesis import strategies as st

LAYOUTS = ("one-end", "diagonal", "bus-bars")
needs_simulator = pytest.mark.skipif(SIMULATOR is None, reason="ngspice is not installed (Debian: apt-get install ngspice)")

# Four like units of the worked example; a bank with one tired unit; many units on thin links; loose links; bus bars.
NETWORKS = [
    ("one-end", [20.0] * 4, 1.5), ("diagonal", [20.0] * 4, 1.5), ("one-end", [2.0] * 4, 1.5), ("diagonal", [2.0] * 4, 1.5),
    ("diagonal", [2.1, 1.9, 6.5, 2.0, 2.2], 0.35), ("one-end", [1.2] * 12, 0.8), ("diagonal", [3.0] * 24, 0.05),
    ("bus-bars", [2.0, 4.0, 3.3], 0.5), ("bus-bars", [5.5] * 6, 0.2), ("diagonal", [0.5, 0.6, 0.7], 25.0),
]


# Layout, units, like links, links that differ: a loose joint, a longer lead, one pole only, poles crossed, many at once.
UNLIKE = [
    ("one-end", [2.0] * 4, 0.3, {"p2": 5.0}), ("diagonal", [2.0] * 4, 0.3, {"p2": 5.0}), ("diagonal", [2.0] * 4, 0.3, {"n1": 12.0}),
    ("bus-bars", [2.0] * 4, 0.3, {"n3": 2.0}), ("bus-bars", [2.0, 1.0], 0.2, {"p1": 0.4, "n2": 0.8}), ("diagonal", [2.0, 3.0], 0.5, {"p1": 4.0}),
    ("diagonal", [1.0, 30.0, 1.0], 0.1, {"p1": 60.0, "n2": 60.0}), ("diagonal", [1.2] * 12, 0.2, {"p1": 3.0, "n6": 0.02, "p11": 9.0, "n11": 1.0}),
]


def links(answer, pole: str) -> list[float]:
    return [link.current.value for link in answer.sharing.links if link.pole == pole]


def agrees(answer, found: dict[str, float], tolerance_a: float) -> None:
    count = len(answer.sharing.units)
    assert currents(answer) == pytest.approx([found[f"u{k}"] for k in range(1, count + 1)], abs=tolerance_a, rel=0)
    for pole, letter in (("positive", "p"), ("negative", "n")):
        theirs = [abs(found[f"{letter}{k}"]) for k in range(1, count + 1) if f"{letter}{k}" in found]
        assert links(answer, pole) == pytest.approx(theirs, abs=tolerance_a, rel=0)


@needs_simulator
@pytest.mark.parametrize(("layout", "mohm", "link"), NETWORKS)
def test_a_circuit_simulator_agrees(layout, mohm, link):
    network = bank(layout, [ohm / 1000 for ohm in mohm], link / 1000)
    found = by_simulator(network, "iload top 0 100")
    assert found["load"] == pytest.approx(100.0)
    agrees(ask(request(layout, mohm, link)), found, 1e-6)


@pytest.mark.parametrize(("layout", "mohm", "link"), NETWORKS)
def test_the_nodes_agree(layout, mohm, link):
    network = bank(layout, [ohm / 1000 for ohm in mohm], link / 1000)
    answer = ask(request(layout, mohm, link))
    agrees(answer, by_nodes(network, 100.0), 1e-7)
    assert answer.sharing.resistance.value == pytest.approx(resistance(network), rel=1e-9)


@needs_simulator
@pytest.mark.parametrize(("layout", "mohm", "link", "own"), UNLIKE)
def test_a_circuit_simulator_agrees_on_links_that_differ(layout, mohm, link, own):
    network = unlike(bank(layout, [ohm / 1000 for ohm in mohm], link / 1000), {name: ohm / 1000 for name, ohm in own.items()})
    signed(ask(with_links(request(layout, mohm, link), own)), by_simulator(network, "iload top 0 100"), 1e-6)


@pytest.mark.parametrize(("layout", "mohm", "link", "own"), UNLIKE)
def test_the_nodes_agree_on_links_that_differ(layout, mohm, link, own):
    network = unlike(bank(layout, [ohm / 1000 for ohm in mohm], link / 1000), {name: ohm / 1000 for name, ohm in own.items()})
    answer = ask(with_links(request(layout, mohm, link), own))
    signed(answer, by_nodes(network, 100.0), 1e-7)
    assert answer.sharing.resistance.value == pytest.approx(resistance(network), rel=1e-9)
    for told in answer.sharing.links:
        assert told.resistance.value == pytest.approx(own.get(f"{told.pole[0]}{told.unit}", link) / 1000, rel=1e-12)


def signed(answer, found: dict[str, float], tolerance_a: float) -> None:
    """As `agrees`; links always carry towards the take-off of their pole, units may be driven backwards."""
    agrees(answer, found, tolerance_a)
    assert all(link.current.value > 0 for link in answer.sharing.links)
    assert answer.sharing.hottest_link == max(range(len(answer.sharing.links)), key=lambda place: answer.sharing.links[place].heat.value)


def spread(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers of every order of magnitude between the bounds."""
    return st.floats(0, 1).map(lambda share: low * (high / low) ** share)


@pytest.mark.parametrize("many", [150, pytest.param(20_000, marks=pytest.mark.long)])
@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_nodes_agree_on_any_bank(layout, many):
    @settings(max_examples=many, deadline=None, derandomize=many < 1000)
    @given(mohm=st.lists(spread(0.2, 80), min_size=2, max_size=24), link=spread(0.01, 20))
    def run(mohm, link):
        network = bank(layout, [ohm / 1000 for ohm in mohm], link / 1000)
        answer = ask(request(layout, mohm, link))
        agrees(answer, by_nodes(network, 100.0), 1e-6)
        assert answer.sharing.resistance.value == pytest.approx(resistance(network), rel=1e-7)

    run()


@pytest.mark.parametrize("many", [150, pytest.param(20_000, marks=pytest.mark.long)])
@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_nodes_agree_on_any_bank_with_links_that_differ(layout, many):
    @settings(max_examples=many, deadline=None, derandomize=many < 1000)
    @given(mohm=st.lists(spread(0.2, 80), min_size=2, max_size=12), link=spread(0.01, 20), draw=st.data())
    def run(mohm, link, draw):
        names = [f"{pole}{unit}" for pole in "pn" for unit in range(1, len(mohm) + (layout == "bus-bars"))]
        own = draw.draw(st.dictionaries(st.sampled_from(names), spread(0.01, 200), min_size=1, max_size=6))
        network = unlike(bank(layout, [ohm / 1000 for ohm in mohm], link / 1000), {name: ohm / 1000 for name, ohm in own.items()})
        answer = ask(with_links(request(layout, mohm, link), own))
        agrees(answer, by_nodes(network, 100.0), 1e-6)
        assert answer.sharing.resistance.value == pytest.approx(resistance(network), rel=1e-7)
        assert sum(currents(answer)) == pytest.approx(100.0, rel=1e-9)

    run()


def test_the_oracle_itself_sees_a_wrong_layout():
    network = bank("diagonal", [0.002] * 4, 0.0015)
    with pytest.raises(AssertionError):
        agrees(ask(request("one-end", [2.0] * 4, 1.5)), by_nodes(network, 100.0), 1e-7)
