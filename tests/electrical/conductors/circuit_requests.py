"""Every request for a circuit that fits the published shape, band edges more often than chance would have them."""

from __future__ import annotations

from typing import get_args, get_type_hints

import msgspec
from hypothesis import strategies as st

from ohmstead.reference.case import Shelf
from ohmstead.units import FACTORS
from ohmstead.wire.quantities import (
    AcVoltage,
    AirTemperature,
    Capacity,
    Current,
    DcVoltage,
    FaultCurrent,
    Power,
    Quantity,
    Resistance,
    RunLength,
    ShortDuration,
)
from ohmstead.wire.v1 import circuit as wire

PRACTICES = Shelf().plain.practices
EDGE_C = (10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 85.0)
EDGE_A = (5.0, 6.0, 8.0, 12.0, 16.0, 20.0, 24.0, 28.0, 32.0, 40.0, 48.0, 64.0, 80.0, 100.0, 120.0, 160.0, 240.0, 320.0)


def _spread(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers of every order of magnitude between the bounds."""
    return st.floats(0, 1).map(lambda share: min(high, max(low, low * (high / low) ** share)))


def _bounds(quantity: type[Quantity], unit: str) -> tuple[float, float]:
    """Bounds of the number as sent in a unit, the physical ones included."""
    meta = get_type_hints(quantity, include_extras=True)["value"].__metadata__[0]
    if quantity.physical is None:
        return meta.ge, meta.le
    num, add, den = FACTORS[quantity.service, unit]
    low, high = ((bound * num + add) / den for bound in quantity.physical)
    return max(low, meta.ge), min(high, meta.le)


def _temperatures(unit: str, edges: list[float]) -> st.SearchStrategy[AirTemperature]:
    low, high = _bounds(AirTemperature, unit)
    inside = [edge for edge in edges if low <= edge <= high]
    return st.builds(AirTemperature, value=st.one_of(st.sampled_from(inside), st.floats(low, high)), unit=st.just(unit))


def rarely(often, *seldom) -> st.SearchStrategy:
    """One of several, the first one three times out of four: what rules a circuit out must not rule nearly all out."""
    return st.one_of(*[often] * 3 * len(seldom), *seldom)


currents = st.builds(
    Current, value=st.one_of(_spread(0.5, 400), st.sampled_from(EDGE_A), _spread(0.001, 3000)), unit=st.just("A")
)
runs = st.one_of(
    st.builds(RunLength, value=st.one_of(_spread(0.05, 30), st.just(2.0), _spread(0.05, 500)), unit=st.just("ft")),
    st.builds(RunLength, value=st.one_of(_spread(0.05, 10), st.just(0.6096), _spread(0.05, 500)), unit=st.just("m")),
)
ambients = st.one_of(_temperatures("degC", list(EDGE_C)), _temperatures("degF", [edge * 9 / 5 + 32 for edge in EDGE_C]))
powers = st.one_of(
    st.builds(Power, value=_spread(0.01, 50000), unit=st.just("W")),
    st.builds(Power, value=_spread(0.01, 50000), unit=st.just("kW")),
)
faults = st.one_of(
    st.builds(
        wire.MakersFigure,
        current=st.builds(
            FaultCurrent,
            value=st.one_of(_spread(1, 200000), st.sampled_from((1000.0, 5000.0, 20000.0))),
            unit=st.just("A"),
        ),
    ),
    st.builds(wire.MakersFigure, current=st.builds(FaultCurrent, value=_spread(1, 200000), unit=st.just("kA"))),
    st.builds(
        wire.FromBank,
        chemistry=st.sampled_from(get_args(wire.Chemistry)),
        unit_capacity=st.builds(Capacity, value=_spread(0.5, 10000), unit=st.just("Ah")),
        strings=st.integers(1, 60),
    ),
)


@st.composite
def direct_systems(draw) -> wire.DirectSystem:
    nominal = draw(st.one_of(st.sampled_from((12.0, 24.0, 36.0, 48.0)), _spread(1, 1000)))
    lowest = draw(
        st.one_of(
            st.none(), st.floats(max(0.6, 1 / nominal), 1.0).map(lambda share: min(nominal, max(1.0, nominal * share)))
        )
    )
    highest = draw(st.one_of(st.none(), st.floats(1.0, 1.6).map(lambda share: min(1000.0, nominal * share))))
    return wire.DirectSystem(
        draw(st.sampled_from(get_args(wire.DirectClass))),
        DcVoltage(nominal, "V"),
        None if lowest is None else DcVoltage(lowest, "V"),
        None if highest is None else DcVoltage(highest, "V"),
    )


second_legs = st.builds(
    wire.SecondLegShape, arrangement=st.sampled_from(("split-phase", "one-hot", "wye")), current=currents,
    joint_breaker=st.one_of(st.none(), currents),
)
alternating_systems = st.builds(
    wire.AlternatingSystem,
    second_leg=rarely(st.none(), second_legs),
    serves=st.sampled_from((None, "receptacles", "fixed", "lighting")),
    where=st.sampled_from((None, "bath", "galley", "outside", "elsewhere")),
    only_circuit=st.booleans(),
    circuit_class=st.sampled_from(get_args(wire.AlternatingClass)),
    nominal=st.builds(
        AcVoltage, value=st.one_of(st.sampled_from((120.0, 230.0, 240.0)), st.floats(50, 690)), unit=st.just("V")
    ),
)
_loads = st.one_of(
    st.builds(wire.ByCurrent, current=currents),
    st.builds(wire.ByCurrent, current=currents),
    st.builds(wire.ByPower, power=powers, efficiency=st.floats(0.3, 1)),
)


ratings = st.one_of(st.none(), st.sampled_from(get_args(wire.TerminalRating)))
resistances = st.builds(Resistance, value=_spread(0.1, 100), unit=st.just("mohm"))
stud_ends = st.builds(
    wire.StudEnd, thread=st.sampled_from(("#10", "1/4", "3/8", "M6", "M8", "M10", "M12")), lugs_most=st.integers(1, 6), rating=ratings,
    largest=st.one_of(st.none(), st.none(), st.sampled_from(get_args(wire.SizeName))),
)
clamp_ends = st.builds(
    wire.ClampEnd, largest=st.sampled_from(get_args(wire.SizeName)), conductors_most=st.integers(1, 6), rating=ratings,
    smallest=st.one_of(st.none(), st.sampled_from(get_args(wire.SizeName)[:12])),
)
ends = rarely(st.none(), stud_ends, clamp_ends)
stretches = st.builds(
    wire.FurtherStretch, length=runs, place=st.sampled_from(("enclosed", "free-air")), engine_space=st.sampled_from((False, False, True)),
    ambient=st.one_of(st.none(), ambients), loaded_conductors=st.one_of(st.none(), st.integers(1, 60)),
)
returns = st.one_of(
    st.just(wire.ByConductor()), st.just(wire.ByConductor()), st.just(wire.ByHull()),
    st.builds(wire.ByChassis, resistance=st.one_of(st.none(), resistances)),
)
starts = st.one_of(*(
    st.builds(kind, current=currents, duration=st.builds(ShortDuration, value=_spread(0.001, 3600), unit=st.just("s")))
    for kind in (wire.MotorStart, wire.Inrush)
))
labels = st.builds(
    wire.DeviceLabel, rating=currents, family=st.one_of(st.none(), st.sampled_from(get_args(wire.FamilyName))),
    voltage=st.one_of(st.none(), st.builds(DcVoltage, value=_spread(1, 1000), unit=st.just("V"))),
    interrupting=st.one_of(st.none(), st.builds(FaultCurrent, value=_spread(1, 200000), unit=st.just("A"))),
    polarity_marked=st.one_of(st.none(), st.booleans()), poles=st.one_of(st.none(), st.integers(1, 4)),
)
choices = st.builds(
    wire.ChosenConductor, size=st.one_of(st.none(), st.sampled_from(get_args(wire.SizeName))), sets=st.integers(1, 6),
    device=st.one_of(st.none(), labels),
)


def requests(**fixed) -> st.SearchStrategy[wire.CircuitRequest]:
    """Requests of the whole space; `fixed` narrows single fields."""
    fields = {
        "practice": st.sampled_from(get_args(wire.PracticeName)),
        "system": st.one_of(direct_systems(), direct_systems(), alternating_systems),
        "load": _loads,
        "run": runs,
        "continuous": st.booleans(),
        "ripple_power_factor": st.one_of(st.none(), st.floats(0.5, 1)),
        "place": st.sampled_from(("enclosed", "free-air")),
        "ambient": st.one_of(st.none(), ambients),
        "loaded_conductors": st.one_of(st.none(), st.integers(1, 60)),
        "insulation": st.one_of(st.none(), st.sampled_from(get_args(wire.InsulationRating))),
        "terminals": st.one_of(st.none(), st.sampled_from(get_args(wire.TerminalRating))),
        "largest_conductor": st.one_of(st.none(), st.none(), st.sampled_from(get_args(wire.SizeName))),
        "further": rarely(st.just([]), st.lists(stretches, min_size=1, max_size=3)),
        "from_end": ends,
        "to_end": ends,
        "return_path": rarely(st.just(wire.ByConductor()), returns),
        "start": st.one_of(st.none(), st.none(), starts),
        "device_family": rarely(st.none(), st.none(), st.sampled_from(get_args(wire.FamilyName))),
        "chosen": st.one_of(st.none(), st.none(), choices),
        "critical": st.booleans(),
        "engine_space": st.sampled_from((False, False, True)),
        "sheathed_at_source": st.booleans(),
        "drop_limit": st.one_of(st.none(), st.floats(0.002, 0.2)),
        "parallel_sets": st.integers(1, 6),
        "device": st.booleans(),
        "device_limit": st.one_of(st.none(), st.none(), currents),
        "fault": st.one_of(st.none(), faults),
        "both_ways": st.booleans(),
    }
    return st.builds(wire.CircuitRequest, **(fields | fixed)).map(of_the_practice)


def of_the_practice(request: wire.CircuitRequest) -> wire.CircuitRequest:
    """The named sizes in those that the practice has; the next best of its own where it has not."""
    sizes = PRACTICES[request.practice].source(request.system.circuit_class).sizes.column("size")

    def own(name: str | None) -> str | None:
        return name if name is None or name in sizes else sizes[len(name) * 7 % len(sizes)]

    def end_of(end):
        if isinstance(end, wire.ClampEnd):
            largest, smallest = own(end.largest), own(end.smallest)
            if smallest is not None and sizes.index(smallest) > sizes.index(largest):
                smallest = None
            return msgspec.structs.replace(end, largest=largest, smallest=smallest)
        return end if end is None else msgspec.structs.replace(end, largest=own(end.largest))

    chosen = request.chosen
    return msgspec.structs.replace(
        request, largest_conductor=own(request.largest_conductor), from_end=end_of(request.from_end), to_end=end_of(request.to_end),
        chosen=chosen if chosen is None else msgspec.structs.replace(chosen, size=own(chosen.size)),
    )


def accepted(request: wire.CircuitRequest) -> wire.CircuitRequest:
    """The request as it comes back from its own JSON, so that it fits the shape. Raises ValidationError."""
    return msgspec.json.decode(msgspec.json.encode(request), type=wire.CircuitRequest)
