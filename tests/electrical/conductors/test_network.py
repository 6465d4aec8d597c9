"""Drop and fault current a second way: the network of single conductors, solved by its nodes."""

from __future__ import annotations

import msgspec
import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import solve

from electrical.conductors.asking import size
from ohmstead.electrical.conductors.formulas import (
    conductor_temperature,
    load_voltage,
    loop_resistance,
    resistance_at,
    voltage_drop,
)
from ohmstead.electrical.faults.model import Fault
from ohmstead.electrical.faults.sizing import behind_cable
from ohmstead.wire.v1.circuit import CircuitRequest


class Network:
    """Resistors between named nodes and currents driven into them; solved against one node that is taken as nought."""

    def __init__(self):
        self.graph = nx.Graph()
        self.driven: dict[str, float] = {}

    def resistor(self, one: str, other: str, ohm: float) -> None:
        """Add a resistor; several between the same nodes are in parallel."""
        before = self.graph.get_edge_data(one, other, {"weight": 0.0})["weight"]
        self.graph.add_edge(one, other, weight=before + 1 / ohm)

    def source(self, positive: str, negative: str, volt: float, ohm: float) -> None:
        """A battery with its inner resistance, as the current source with the same terminals."""
        self.resistor(positive, negative, ohm)
        self.load(positive, negative, -volt / ohm)

    def load(self, positive: str, negative: str, ampere: float) -> None:
        """Draw a current from one node into another."""
        self.driven[positive] = self.driven.get(positive, 0.0) - ampere
        self.driven[negative] = self.driven.get(negative, 0.0) + ampere

    def solved(self, nought: str) -> dict[str, float]:
        """Voltage of every node."""
        nodes = [node for node in self.graph if node != nought]
        matrix = nx.laplacian_matrix(self.graph, nodelist=[*nodes, nought]).toarray()[:-1, :-1]
        volts = solve(matrix, np.array([self.driven.get(node, 0.0) for node in nodes]))
        return dict(zip(nodes, volts, strict=True)) | {nought: 0.0}


STIFF = 1e-9
lengths, resistances, currents = st.floats(0.2, 40), st.floats(0.08, 26), st.floats(0.5, 300)


@settings(max_examples=25, deadline=None)
@given(run_m=lengths, ohm_per_km=resistances, current=currents, sets=st.integers(1, 6))
def test_every_conductor_on_its_own(run_m, ohm_per_km, current, sets):
    """Out and back, each conductor of each pole a resistor of its own."""
    network = Network()
    network.source("post+", "post-", 12.0, STIFF)
    for _ in range(sets):
        network.resistor("post+", "load+", run_m * ohm_per_km / 1000)
        network.resistor("post-", "load-", run_m * ohm_per_km / 1000)
    network.load("load+", "load-", current)
    volts = network.solved("post-")
    drop = voltage_drop(current, loop_resistance(ohm_per_km, run_m, float(sets)))
    assert volts["load+"] - volts["load-"] == pytest.approx(load_voltage(12.0, drop), abs=1e-5)


@settings(max_examples=25, deadline=None)
@given(near=st.tuples(lengths, resistances), far=st.tuples(lengths, resistances), here=currents, there=currents)
def test_two_segments_with_a_load_on_each(near, far, here, there):
    """The feeder carries both loads, the branch its own: the drops add along the way."""
    network = Network()
    network.source("post+", "post-", 24.0, STIFF)
    for pole in "+-":
        network.resistor(f"post{pole}", f"panel{pole}", near[0] * near[1] / 1000)
        network.resistor(f"panel{pole}", f"pump{pole}", far[0] * far[1] / 1000)
    network.load("panel+", "panel-", here)
    network.load("pump+", "pump-", there)
    volts = network.solved("post-")
    feeder = voltage_drop(here + there, loop_resistance(near[1], near[0], 1.0))
    branch = voltage_drop(there, loop_resistance(far[1], far[0], 1.0))
    assert volts["pump+"] - volts["pump-"] == pytest.approx(24.0 - feeder - branch, abs=1e-5)


@settings(max_examples=25, deadline=None)
@given(
    strings=st.integers(1, 6),
    each=st.floats(300, 12000),
    volt=st.floats(11, 60),
    run_m=st.floats(0.2, 20),
    ohm_per_km=resistances,
)
def test_a_fault_behind_a_cable(strings, each, volt, run_m, ohm_per_km):
    """Strings in parallel, each with its own resistance, into a dead short at the far end."""
    network = Network()
    for _ in range(strings):
        network.source("post+", "post-", volt, volt / each)
    network.resistor("post+", "fault", run_m * ohm_per_km / 1000)
    network.resistor("fault", "post-", run_m * ohm_per_km / 1000)
    volts = network.solved("post-")
    through = volts["fault"] / (run_m * ohm_per_km / 1000)
    found = behind_cable(Fault(strings * each, True), volt, loop_resistance(ohm_per_km, run_m, 1.0))
    assert found.current_a == pytest.approx(through, rel=1e-9)
    assert found.current_a < strings * each and found.proven


REQUEST = {
    "practice": "us-vehicle",
    "system": {
        "by": "direct",
        "circuit_class": "inverter-dc",
        "nominal": {"value": 12, "unit": "V"},
        "lowest": {"value": 10.5, "unit": "V"},
    },
    "load": {"by": "power", "power": {"value": 2000, "unit": "W"}, "efficiency": 0.9},
    "run": {"value": 3, "unit": "ft"},
    "ambient": {"value": 40, "unit": "degC"},
}


def test_a_sized_circuit_as_a_network(shelf):
    """Two conductors a pole, as the procedure chooses for a 2 kW inverter: the voltage that is left at it."""
    circuit = size(msgspec.convert(REQUEST, CircuitRequest))[0].circuit
    row, tables = circuit.conductor, shelf.plain.tables
    warm = resistance_at(
        tables["awg_conductors"].cell(row.size, "resistance_75c"),
        tables["constants"].cell("copper_temperature_coefficient", "value"),
        row.conductor_temperature_c,
    )
    network = Network()
    network.source("post+", "post-", 10.5, STIFF)
    for pole in "+-":
        for _ in range(row.sets):
            network.resistor(f"post{pole}", f"inverter{pole}", warm * 3 * 0.3048 / 1000)
    network.load("inverter+", "inverter-", 2000 / (0.9 * 10.5))
    volts = network.solved("post-")
    assert row.sets == 2
    assert volts["inverter+"] - volts["inverter-"] == pytest.approx(circuit.load_voltage_v, abs=1e-6)


# -- conductor temperature against the equation of 310.15(B) ----------------------------------------------------------


@settings(max_examples=50, deadline=None)
@given(
    ambient=st.floats(-20, 80),
    insulation=st.sampled_from((60.0, 75.0, 90.0)),
    table=st.floats(7, 700),
    load=st.floats(0.01, 1),
)
def test_the_same_heat_whatever_the_ambient(ambient, insulation, table, load):
    """I' = I × sqrt((Tc − Ta') / (Tc − Ta)): at a given current the rise over the air is the same in any air."""
    if ambient > insulation - 1:
        return
    permitted = table * ((insulation - ambient) / (insulation - 30)) ** 0.5
    current = load * min(table, permitted)
    rise = conductor_temperature(ambient, insulation, current, permitted) - ambient
    assert rise == pytest.approx(conductor_temperature(30.0, insulation, current, table) - 30.0, rel=1e-9)
    assert conductor_temperature(ambient, insulation, permitted, permitted) == pytest.approx(insulation)
    assert conductor_temperature(ambient, insulation, 0.0, permitted) == ambient


@pytest.mark.parametrize("insulation", [60.0, 75.0, 90.0])
def test_printed_factors_keep_the_conductor_at_its_rating(shelf, insulation):
    """At the hot edge of each band the table's factor brings a conductor to its rating, to the digits printed."""
    ambient = shelf.plain.tables["nec_310_15_ambient"]
    for upper, factor in zip(ambient.column("upper_c"), ambient.column(f"f_{insulation:.0f}"), strict=True):
        if factor is None:
            continue
        exact = ((insulation - upper) / (insulation - 30)) ** 0.5
        # Half a unit of the last printed digit, as a share of the current, is twice that share of the rise.
        reached = conductor_temperature(upper, insulation, factor, exact)
        assert reached == pytest.approx(insulation, abs=2 * 0.0051 / exact * (insulation - upper) + 1e-6)
