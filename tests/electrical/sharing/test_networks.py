"""The ladders of the service against the same networks solved by their nodes and by a circuit simulator."""

from __future__ import annotations

import pytest
from electrical.sharing.asking import ask, currents, request
from electrical.sharing.networks import SIMULATOR, bank, by_nodes, by_simulator, resistance
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


def test_the_oracle_itself_sees_a_wrong_layout():
    network = bank("diagonal", [0.002] * 4, 0.0015)
    with pytest.raises(AssertionError):
        agrees(ask(request("one-end", [2.0] * 4, 1.5)), by_nodes(network, 100.0), 1e-7)
