"""Draw what direct current feeds: the panel and its branches, heavy loads, converters, and what must never be cut."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from ..electrical.conductors.formulas import charging_voltage_bound, current_from_power
from ..electrical.conductors.model import Circuit as Sized
from ..electrical.faults.model import Fault
from ..working import at_most
from .assembly import BANK, BAY, PANEL
from .drops import behind, branch_limit, feeder_limit
from .formulas import converter_input, node_sum, panel_current, summed_w, with_start
from .model import Network, Protection, Ratings
from .needs import DirectLoad

if TYPE_CHECKING:
    from .direct import DirectSide

_LOAD = (("positive", "dc-positive"), ("negative", "dc-negative"))
_CASE = ("case", "earth")


class Places(Struct):
    """Which load hangs where."""

    panel: list[DirectLoad]
    heavy: list[DirectLoad]
    """Too large for a branch of the panel."""
    converted: dict[float, list[DirectLoad]]
    """Made for another voltage, by that voltage."""
    live: list[DirectLoad]
    """Ahead of the disconnect."""

    @property
    def landings(self) -> list[str]:
        """Studs that these circuits need on the bus bars."""
        return [
            *(["dc-panel"] if self.panel else []), *(f"load:{load.id}" for load in self.heavy),
            *(f"converter-{voltage:g}" for voltage in self.converted),
        ]


def places_of(side: DirectSide) -> Places:
    """Sort the loads. One that must never be cut but needs a converter hangs behind it all the same, and that is said."""
    places = Places([], [], {}, [])
    for load in side.needs.direct_loads:
        if load.voltage_v is not None:
            places.converted.setdefault(float(load.voltage_v), []).append(load)
            if load.always_live:
                side.a.case.note("critical-behind-converter", "/loads", load=load.id)
        elif load.always_live:
            places.live.append(load)
        elif _heavy(side, load):
            places.heavy.append(load)
        else:
            places.panel.append(load)
    return places


def draw(side: DirectSide, places: Places) -> None:
    """Every circuit between the bus bars and the direct-current loads."""
    a = side.a
    switched = [*(["panel"] if places.panel else []), *(f"converter-{voltage:g}" for voltage in places.converted)]
    if switched:
        # One handle cuts panel and converters; chargers hang on the bus bars and go on.
        terminals = [(f"{end}-{name}", "dc-positive") for name in switched for end in ("a", "b")]
        a.add("load-disconnect", "load-disconnect", "Load disconnect", PANEL, terminals, generic=True,
              paths=tuple(a.through(f"a-{name}", f"b-{name}", opens=True) for name in switched), ratings=Ratings(to_confirm=("current", "voltage")))
    if places.panel:
        _panel(side, places.panel)
    for load in places.heavy:
        _own_feeder(side, load)
    for voltage, loads in places.converted.items():
        _converter(side, voltage, loads)
    if switched:
        side.rate_switch("load-disconnect", [f"fuse-{'dc-panel' if name == 'panel' else name}" for name in switched])
    for load in places.live:
        _always_live(side, load)


def _heavy(side: DirectSide, load: DirectLoad) -> bool:
    current = side.direct_current(load.power_w)
    return current is not None and not at_most(current, side.a.case.constant("branch_current_most_a"))


def _panel(side: DirectSide, loads: list[DirectLoad]) -> None:
    needs, a = side.needs, side.a
    _distribution(side, "dc-panel", "Direct-current distribution panel", loads)
    together = node_sum(*(side.direct_current(load.power_w) for load in loads))
    running = side.direct_current(needs.direct_running_w)
    current = together if running is None else panel_current(together, running)
    feeder = side.feed("dc-panel", "dc-feeder", "dc-panel", "dc-panel.positive", "dc-panel.negative", current, "direct-current panel",
                       through=("load-disconnect.a-panel", "load-disconnect.b-panel"), case="dc-panel.case",
                       drop_limit=feeder_limit(a, "dc-feeder", None), start_a=_largest_start(side, current, loads))
    fault, ahead, lowest = side.bus_fault, behind(None, feeder.sized), None
    if ahead is not None:
        fault = side.behind(fault, feeder.sized, a.length("dc-feeder"))
        lowest = ahead.voltage_v
    limit = branch_limit(a, "dc-branch", ahead)
    a.rate("dc-panel", "fuse-dc-panel")
    for load in loads:
        _branch(side, load, "dc-panel", "direct-current panel", side.direct_current(load.power_w), side.network, needs.nominal_v, fault, limit, lowest,
                side.direct_current(load.start_w))


def _largest_start(side: DirectSide, current_a: float, loads: list[DirectLoad]) -> float | None:
    """Current of a panel's feeder while the load behind it starts that adds most; None where none starts hard."""
    starts = [
        with_start(current_a, side.direct_current(load.start_w), side.direct_current(load.power_w)) for load in loads if load.start_w is not None and load.power_w
    ]
    return max(starts, key=float, default=None)


def _distribution(side: DirectSide, id: str, title: str, loads: list[DirectLoad]) -> None:
    """A panel with an outlet and a return for each load."""
    a = side.a
    outs = [f"c:{load.id}" for load in loads]
    terminals = [*_LOAD, _CASE, *((out, "dc-positive") for out in outs), *((f"{out}:return", "dc-negative") for out in outs)]
    paths = [*(a.through("positive", out, opens=True) for out in outs), *(a.through("negative", f"{out}:return") for out in outs)]
    if a.grounds("dc-branch"):
        terminals += [(f"{out}:earth", "earth") for out in outs]
        paths += [a.through("case", f"{out}:earth") for out in outs]
    a.add(id, "dc-panel", title, PANEL, terminals, paths=tuple(paths), fastening=None, generic=True)


def _branch(
    side: DirectSide, load: DirectLoad, panel: str, title: str, current_a: float, network: Network, nominal_v: float, fault: Fault | None,
    drop_limit: float | None = None, lowest_v: float | None = None, start_a: float | None = None,
) -> None:
    """A branch of a panel; `lowest_v` is what its feeder leaves, where that is known, `start_a` what flows while the load starts."""
    a = side.a
    a.add(f"load:{load.id}", "dc-load", load.id, "living space", (*_LOAD, _CASE) if a.grounds("dc-branch") else _LOAD, fastening=None)
    sized, asked = a.size("dc-branch", current_a, network, fault, nominal_v=nominal_v, drop_limit=drop_limit, lowest_v=lowest_v, start_a=start_a)
    wires: list[str] = []
    if sized.outcome == "sized" and sized.device is not None:
        _seated(side, f"fuse:{load.id}", sized, panel, load.id)
        length = a.length("dc-branch")
        wires = [
            a.wire(f"{panel}.c:{load.id}", f"load:{load.id}.positive", "dc-positive", sized, length),
            a.wire(f"load:{load.id}.negative", f"{panel}.c:{load.id}:return", "dc-negative", sized, length),
        ]
        if sized.grounding_size is not None:
            wires.append(a.wire(f"{panel}.c:{load.id}:earth", f"load:{load.id}.case", "earth", sized, length, size=sized.grounding_size))
    a.draw(f"branch:{load.id}", "dc-branch", network.id, wires, sized, asked, source_at=("from",),
           protected_by=(Protection(f"fuse:{load.id}", "from"),) if wires else (), titles=(title, load.id))


def _seated(side: DirectSide, id: str, sized: Sized, panel: str, what: str) -> None:
    """A device that sits in a panel and has no terminals of its own."""
    found = sized.device
    side.a.add(id, found.kind, f"{found.title}, {what}", panel, (), generic=True, ratings=Ratings(
        family=found.family, current_a=found.rating_a, voltage_v=found.voltage_v, interrupting_a=found.interrupting_a,
        interrupting=found.interrupting, polarised=found.polarised))


def _own_feeder(side: DirectSide, load: DirectLoad) -> None:
    """A circuit from the bus bars for a load that is too large for the panel."""
    id, grounds = f"load:{load.id}", side.a.grounds("dc-feeder")
    side.a.add(id, "dc-load", load.id, "living space", (*_LOAD, _CASE) if grounds else _LOAD)
    side.feed(id, "dc-feeder", id, f"{id}.positive", f"{id}.negative", side.direct_current(load.power_w), load.id, case=f"{id}.case" if grounds else None,
              start_a=side.direct_current(load.start_w))


def _converter(side: DirectSide, voltage: float, loads: list[DirectLoad]) -> None:
    """A converter for loads of another voltage, with a small panel behind it."""
    a, case, name = side.a, side.a.case, f"converter-{voltage:g}"
    efficiency = case.assume("converter_efficiency")
    power = summed_w(*(load.power_w for load in loads))
    load_voltage = case.chosen(voltage, "nominal_voltage_v", "voltage of the loads", *(load.voltage_v for load in loads))
    output = current_from_power(power, case.assume("wiring_efficiency"), load_voltage)
    terminals = [*((f"{where}-{end}", function) for where in ("in", "out") for end, function in _LOAD), _CASE]
    a.add(name, "dc-converter", f"Converter to {voltage:g} V", BAY, terminals, paths=(a.through("in-negative", "out-negative"),), generic=True, ratings=Ratings(current_a=output, voltage_v=load_voltage, to_confirm=("current",)))
    side.feed(name, "dc-feeder", name, f"{name}.in-positive", f"{name}.in-negative", converter_input(output, load_voltage, efficiency, side.needs.cut_off_v),
              f"converter to {voltage:g} V", through=(f"load-disconnect.a-{name}", f"load-disconnect.b-{name}"), case=f"{name}.case")
    network = Network(f"dc-{voltage:g}", "dc", load_voltage, charging_voltage_bound(load_voltage, case.assume("highest_voltage_ratio")))
    a.networks.append(network)
    panel, title = f"{name}-panel", f"{voltage:g} V panel"
    _distribution(side, panel, f"Panel at {voltage:g} V", loads)
    sized, asked = a.size("dc-feeder", output, network, None, nominal_v=load_voltage)
    wires: list[str] = []
    if sized.outcome == "sized" and a.device(f"fuse-{name}-out", sized, BAY, f"{title} feed"):
        length, piece = a.length("dc-feeder"), a.piece("dc-feeder", 2)
        wires = [
            a.wire(f"{name}.out-positive", f"fuse-{name}-out.a", "dc-positive", sized, piece),
            a.wire(f"fuse-{name}-out.b", f"{panel}.positive", "dc-positive", sized, piece),
            a.wire(f"{panel}.negative", f"{name}.out-negative", "dc-negative", sized, length),
        ]
        wires += a.earth.case(f"{panel}.case", sized, "dc-feeder")
        a.rate(panel, f"fuse-{name}-out")
    a.draw(f"{name}-out", "dc-feeder", network.id, wires, sized, asked, source_at=("from",),
           protected_by=(Protection(f"fuse-{name}-out", "from"),) if wires else (), titles=(f"converter to {voltage:g} V", title))
    for load in loads:
        current = current_from_power(load.power_w, case.assume("wiring_efficiency"), load_voltage)
        start = None if load.start_w is None else current_from_power(load.start_w, case.assume("wiring_efficiency"), load_voltage)
        _branch(side, load, panel, title, current, network, load_voltage, None, lowest_v=sized.load_voltage_v, start_a=start)


def _always_live(side: DirectSide, load: DirectLoad) -> None:
    """A circuit ahead of the disconnect, with its own fuse at the bank; its return crosses the shunt all the same."""
    a, bank = side.a, side.needs.bank
    head = "bank-bus-positive.main" if bank.parallel > 1 else "unit-1.positive"
    a.add(f"load:{load.id}", "always-live-load", load.id, "living space", (*_LOAD, _CASE) if a.grounds("always-live") else _LOAD, fastening=None)
    sized, asked = a.size("always-live", side.direct_current(load.power_w), side.network, bank.fault, nominal_v=side.needs.nominal_v,
                          start_a=side.direct_current(load.start_w))
    wires: list[str] = []
    if sized.outcome == "sized" and a.device(f"fuse:{load.id}", sized, BANK, load.id):
        length, piece = a.length("always-live"), a.piece("always-live", 2)
        wires = [
            a.wire(head, f"fuse:{load.id}.a", "dc-positive", sized, piece),
            a.wire(f"fuse:{load.id}.b", f"load:{load.id}.positive", "dc-positive", sized, piece),
            a.wire(f"load:{load.id}.negative", f"bus-negative.live:{load.id}", "dc-negative", sized, length),
        ]
        if a.grounds("always-live"):
            wires += a.earth.case(f"load:{load.id}.case", sized, "always-live")
    a.draw(f"live:{load.id}", "always-live", "dc", wires, sized, asked, source_at=("from",),
           protected_by=(Protection(f"fuse:{load.id}", "from"),) if wires else (), titles=("bank, ahead of the disconnect", load.id))
    a.always_live.append(f"live:{load.id}")
