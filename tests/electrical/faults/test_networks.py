"""Short-circuit currents of whole networks against a circuit simulator and against the nodes; and what holds for all."""

from __future__ import annotations

import pytest
from electrical.faults.asking import ask, at_point, cable, codes, maker, of_bank, request, resistance
from electrical.sharing.networks import SIMULATOR, bank, by_nodes, by_simulator
from electrical.sharing.networks import resistance as resistance_of
from generated import held, some
from hypothesis import strategies as st

from ohmstead.reference.case import Shelf

TABLE = Shelf().plain.tables["awg_conductors"]
SIZES = TABLE.column("size")

# Layout, unit in mohm, strings, link in mohm, volts, cables, joints.
NETWORKS = [
    ("one-end", 2.0, 4, 0.3, 14.6, [("2/0", 1.2)], 4),
    ("diagonal", 2.0, 4, 0.3, 14.6, [("2/0", 1.2)], 4),
    ("bus-bars", 1.4, 6, 0.25, 29.2, [("4/0", 0.8), ("2", 2.5)], 8),
    ("diagonal", 9.0, 3, 1.5, 58.4, [("250", 0.5)], 2),
    ("one-end", 0.9, 12, 0.1, 14.6, [("500", 0.3), ("4/0", 1.0), ("8", 4.0)], 12),
    ("bus-bars", 20.0, 2, 0.4, 14.4, [], 0),
    ("diagonal", 2.0, 4, 0.3, 29.2, [("50 mm2", 1.5), ("16 mm2", 3.0), ("2", 1.0)], 6),
]


def asked(layout, mohm, strings, link, volt, cables, joints, celsius=20.0) -> dict:
    joined = {"by": layout, "lead" if layout == "bus-bars" else "link": {"by": "resistance", "resistance": {"value": link, "unit": "mohm"}}}
    more = {"cable": cable(*cables[0]), "onward": [cable(*run) for run in cables[1:]]} if cables else {}
    return request(
        resistance(mohm, strings=strings), volt, joined=joined, joints=joints, cable_temperature={"value": celsius, "unit": "degC"}, **more,
    )


def metric(size: str, celsius: float) -> float:
    """Copper of the nominal area, 0.4 % a kelvin from 20 °C."""
    return 0.017241 / float(size.removesuffix(" mm2")) * (1 + 0.004 * (celsius - 20))


def path(cables, joints, celsius=20.0) -> float:
    """Cables out and back and joints, from the table."""
    per_metre = {size: metric(size, celsius) if " mm2" in size else TABLE.cell(size, "resistance_75c") / 1000 * (1 + 0.00323 * (celsius - 75)) for size, _ in cables}
    return sum(2 * length * per_metre[size] for size, length in cables) + joints * 2e-5


@pytest.mark.skipif(SIMULATOR is None, reason="ngspice is not installed (Debian: apt-get install ngspice)")
@pytest.mark.parametrize(("layout", "mohm", "strings", "link", "volt", "cables", "joints"), NETWORKS)
def test_a_circuit_simulator_agrees(layout, mohm, strings, link, volt, cables, joints):
    network = bank(layout, [mohm / 1000] * strings, link / 1000, volt)
    fault = ask(asked(layout, mohm, strings, link, volt, cables, joints)).fault
    way = path(cables, joints)
    found = by_simulator(network, f"rload top 0 {way!r}" if way else "vshort top 0 0")
    assert fault.at_point.value == pytest.approx(found["load"], rel=1e-9)
    assert fault.at_posts.value == pytest.approx(by_simulator(network, "vshort top 0 0")["load"], rel=1e-9)


def spread(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers of every order of magnitude between the bounds."""
    return st.floats(0, 1).map(lambda share: low * (high / low) ** share)


LAYOUT = st.sampled_from(("one-end", "diagonal", "bus-bars"))
METRIC = Shelf().plain.tables["mm2_conductors"].column("size")
RUNS = st.lists(st.tuples(st.sampled_from(SIZES) | st.sampled_from(METRIC).map("{} mm2".format), spread(0.05, 100)), max_size=4)
SOURCE = st.one_of(
    st.builds(maker, spread(1, 200_000), st.integers(1, 60)), st.builds(of_bank, st.sampled_from(("flooded", "agm", "lfp", "lto")), spread(1, 2000), st.integers(1, 60)),
    st.builds(lambda mohm, figure: resistance(mohm, figure=figure), spread(0.01, 1000), st.sampled_from(("lowest", "typical", "highest"))),
)


@some(200)
def test_the_nodes_agree_on_any_network(many):
    def check(layout, mohm, strings, link, volt, cables, joints, celsius):
        network = bank(layout, [mohm / 1000] * strings, link / 1000, volt)
        # With no load at all the voltage is that of the units; over the resistance of the whole loop it drives the fault.
        idle = by_nodes(network, 0.0)
        assert max(map(abs, idle.values())) < 1e-6 * volt / (mohm / 1000)
        loop = resistance_of(network) + path(cables, joints, celsius)
        assert at_point(asked(layout, mohm, strings, link, volt, cables, joints, celsius)) == pytest.approx(volt / loop, rel=1e-7)

    held(
        check, many, layout=LAYOUT, mohm=spread(0.2, 80), strings=st.integers(2, 24), link=spread(0.01, 20), volt=spread(1, 1000), cables=RUNS,
        joints=st.integers(0, 40), celsius=st.floats(-60, 250),
    )


@some(150)
def test_what_is_on_the_way_never_raises_the_current(many):
    """A longer or thinner cable, a further one, more joints, more links, a warmer cable: never more current."""
    def check(source, volt, cables, joints, more, celsius):
        cold = {"cable_temperature": {"value": celsius, "unit": "degC"}, "joints": joints}

        def at(runs, **other) -> float:
            way = {"cable": cable(*runs[0]), "onward": [cable(*run) for run in runs[1:]]} if runs else {}
            return at_point(request(source, volt, **(cold | way | other)))

        here = at(cables) * (1 + 1e-9)
        assert at([*cables, ("2", more)]) <= here
        assert at(cables, joints=joints + 1) <= here
        assert at(cables, cable_temperature={"value": celsius + 20, "unit": "degC"}) <= here
        assert ask(request(source, volt)).fault.at_posts.value * (1 + 1e-9) >= here / (1 + 1e-9) * (1 - 1e-9)
        if cables:
            (size, length), rest = cables[0], cables[1:]
            assert at([(size, length * 1.5), *rest]) <= here
            thinner = f"{METRIC[max(0, METRIC.index(size[:-4]) - 1)]} mm2" if " mm2" in size else SIZES[max(0, SIZES.index(size) - 1)]
            assert at([(thinner, length), *rest]) <= here

    held(
        check, many, source=SOURCE, volt=spread(1, 1000), cables=RUNS.map(lambda runs: runs[:3]), joints=st.integers(0, 39), more=spread(0.05, 50),
        celsius=st.floats(-60, 200),
    )


@some(200)
def test_no_verdict_is_better_than_what_is_known(many):
    def check(source, volt, cables, seconds, size, device):
        way = {"cable": cable(*cables[0])} if cables else {}
        conductor = {"size": size, "clearing_time": {"value": seconds, "unit": "s"}}
        answer = ask(request(source, volt, conductor=conductor, device=device, **way))
        fault = answer.fault
        reaches = [fault.device.marked is not None and fault.device.marked.interrupting.value >= fault.at_point.value * (1 - 1e-9)]
        for verdict, passed in ((fault.device.verdict, reaches[0]), (fault.conductor.verdict, fault.conductor.check.passed)):
            assert (verdict == "sufficient") is (passed and fault.proven)
            assert verdict != "short" or not passed
        if fault.device.marked is not None:
            assert fault.device.marked.voltage.value >= volt * (1 - 1e-9)
        if fault.rests_on == "upper-bound":
            assert fault.conductor.verdict == "not-proven"
        if not fault.proven:
            assert {"fault-from-resistance", "no-short-circuit-figure"} & set(codes(answer))
        if fault.device.least_length is not None:
            assert fault.device.least_length.value > cables[0][1] * (1 - 1e-9)

    held(
        check, many, source=SOURCE, volt=spread(1, 1000), cables=RUNS, seconds=spread(0.0001, 5), size=st.sampled_from(SIZES),
        device=st.sampled_from(("class-t", "terminal-fuse", "strip-51", "blade", "photovoltaic-fuse", "moulded-case-dc")),
    )
