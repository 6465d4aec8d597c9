"""The count of bonds against graphs of every world that fits a description."""

from __future__ import annotations

import pytest
from electrical.bonding.asking import described
from electrical.bonding.networks import World, bonds, expected
from hypothesis import given, settings
from hypothesis import strategies as st

from ohmstead.electrical.bonding.counting import count
from ohmstead.electrical.bonding.model import Source

KNOWN = ("yes", "no", "not-known")
NEUTRALS = st.sampled_from(["bonded", "floating", "not-known"])
shores = st.one_of(
    st.just(Source("shore")),
    st.builds(Source, kind=st.just("shore"), transformer=st.sampled_from(["isolation", "polarization"]), neutral=NEUTRALS),
    st.just(Source("shore", transformer="not-known")),
)
generators = st.builds(Source, kind=st.just("generator"), neutral=NEUTRALS)
inverters = st.one_of(
    st.builds(
        Source, kind=st.just("inverter"), units=st.integers(1, 3), bonding=st.just("relay"), closed_in=st.sampled_from(["one", "all", "none", "not-known"])),
    st.builds(
        Source, kind=st.just("inverter"), units=st.integers(1, 3), bonding=st.just("fixed"), closed_in=st.sampled_from(["one", "all"]),
        passes_supply=st.sampled_from(KNOWN)),
    st.builds(
        Source, kind=st.just("inverter"), units=st.integers(1, 3), bonding=st.sampled_from(["none", "not-known"]), passes_supply=st.sampled_from(KNOWN)),
)
several = st.lists(st.one_of(shores, generators, inverters), min_size=1, max_size=4)


@pytest.mark.parametrize("many", [400, pytest.param(20_000, marks=pytest.mark.long)])
@pytest.mark.parametrize("by_cord", [True, False])
def test_the_graphs_agree(by_cord, many):
    @settings(max_examples=many, deadline=None, derandomize=many < 1000)
    @given(sources=several, switched=st.sampled_from(KNOWN), screw=st.sampled_from(["fitted", "removed", "not-known"]))
    def run(sources, switched, screw):
        request = described("us-vehicle", *sources, switched=switched, screw=screw)
        for active in range(len(sources)):
            span, verdict = count(request, active, switched, by_cord)
            assert (span.fewest, span.most, verdict) == expected(request, active, switched, by_cord)

    run()


def test_the_graph_itself():
    """A shore supply and a bonded generator: one bond with the neutral switched, two without, and the screw adds one."""
    shore, generator = World(1, 1, True, False), World(1, 1, False, False)
    assert bonds((shore, generator), 0, True, False, True) == 1
    assert bonds((shore, generator), 0, False, False, True) == 2
    assert bonds((shore, generator), 0, False, True, True) == 3
    assert bonds((shore, generator), 1, False, False, False) == 1
    # Three stacked units that all close, and a fixed bond behind which shore passes through.
    assert bonds((shore, World(3, 0, False, False)), 1, True, False, True) == 3
    assert bonds((shore, World(1, 1, False, True)), 0, True, False, True) == 2
