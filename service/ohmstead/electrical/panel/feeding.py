"""Currents of the old panel and of the new one in every way in which they can be supplied.

All circuits count as running together. Where the sub-panel has one leg, the line of the old panel that then carries less
feeds it, line 1 between equals. A circuit between the legs lives where the voltage between them suffices, a circuit of
line 2 where there is a second leg.
"""

from __future__ import annotations

from collections.abc import Callable

from ...reference.case import Case
from ..legs.model import Arrangement, Legs, LegsRequest, NeutralLimits, Poles, SupplyMode
from ..legs.sizing import LINE_TO_LINE, between_legs, size_legs
from . import formulas
from .choosing import sub_legs
from .model import ALONE, Line, PanelCircuit, PanelMode, PanelRequest, SubPanel

_IDLE = "nothing that lives hangs there"


def feeding_line(request: PanelRequest, staying: list[PanelCircuit], case: Case) -> tuple[Line, ...]:
    """Lines of the old panel that feed the new one."""
    if sub_legs(request) == 2:
        return ("1", "2")
    if request.legs == 1:
        return ("1",)
    first, second = _legs(staying, lambda circuit: circuit.line, case)
    return ("1",) if first <= second else ("2",)


def alone(request: PanelRequest) -> SupplyMode:
    """The mode in which only the inverter feeds."""
    arrangement: Arrangement = "one-leg" if sub_legs(request) == 1 else request.inverter.output
    return SupplyMode(ALONE, arrangement, stand_alone=True)


def in_mode(
    position: int, request: PanelRequest, staying: list[PanelCircuit], moved: list[PanelCircuit], sub: SubPanel | None, neutral_a: float, case: Case,
) -> PanelMode:
    """Both panels while one supply of the request feeds."""
    mode = request.modes[position]
    way = way_of(mode, request)
    living = _living(way, request, case)
    at = f"/modes/{position}"
    line_of = _line_of(moved, sub)
    fed = [circuit for circuit in (*staying, *moved) if living(line_of(circuit))]
    leg_1, leg_2 = _legs(fed, line_of, case)
    two = way != "one-leg"
    main = size_legs(LegsRequest(
        way, leg_1, leg_2 if two else None, request.supply_voltage_v, Poles(mode.joint_a, request.main_a, request.main_a if two else None),
        NeutralLimits(conductor_a=neutral_a), continuous=request.continuous, line_to_line=_between(staying), pointer=at,
    ), case)
    behind = None
    if sub is not None and (sub.legs == 2 or living(sub.fed_from[0])):
        carried = [circuit for circuit in moved if living(line_of(circuit))]
        arrangement: Arrangement = "one-leg" if sub.legs == 1 else way
        behind = _sub(arrangement, carried, moved, sub, mode.joint_a, request, case)
    dead = tuple(sorted(circuit.name for circuit in (*staying, *moved) if not living(line_of(circuit))))
    return PanelMode(mode.name, main, behind, dead)


def while_alone(request: PanelRequest, staying: list[PanelCircuit], moved: list[PanelCircuit], sub: SubPanel | None, case: Case) -> PanelMode:
    """The new panel while only the inverter feeds.

    One output on both legs limits their sum by itself, for longer than the seconds of a surge. That is counted for the
    neutral of the panel, which has the relay's rating, and not for the thinner ones that two branch circuits share.
    """
    if sub is None:
        return PanelMode(ALONE, None, None, tuple(sorted(circuit.name for circuit in staying)))
    mode, joint = alone(request), None
    if request.inverter.output != "split-phase":
        joint = formulas.output_limit(formulas.whole_output(request.inverter.rating_va), request.supply_voltage_v)
    living = _living(mode.arrangement, request, case) if sub.legs == 2 else lambda line: True
    carried = [circuit for circuit in moved if living(circuit.line)]
    behind = _sub(mode.arrangement, carried, moved, sub, joint, request, case)
    dead = sorted([circuit.name for circuit in staying] + [circuit.name for circuit in moved if not living(circuit.line)])
    return PanelMode(ALONE, None, behind, tuple(dead))


def _sub(
    arrangement: Arrangement, carried: list[PanelCircuit], moved: list[PanelCircuit], sub: SubPanel, joint: float | None, request: PanelRequest, case: Case,
) -> Legs:
    """The new panel. Its feed breaker was sized with the factor for lasting loads, so that its rating counts whole."""
    rating = None if sub.feed is None else sub.feed.rating_a
    two = sub.legs == 2 and arrangement != "one-leg"
    leg_1, leg_2 = _legs(carried, (lambda circuit: circuit.line) if sub.legs == 2 else (lambda circuit: "1"), case)
    return size_legs(LegsRequest(
        arrangement, leg_1, leg_2 if two else None, request.supply_voltage_v, Poles(joint, rating, rating if two else None),
        NeutralLimits(pole_a=request.inverter.transfer_a), continuous=False, line_to_line=_between(moved), pointer="/inverter",
    ), case)


def way_of(mode: SupplyMode, request: PanelRequest) -> Arrangement:
    """How the old panel is supplied: of a panel with one leg any supply feeds one."""
    return "one-leg" if request.legs == 1 else mode.arrangement


def _living(way: Arrangement, request: PanelRequest, case: Case) -> Callable[[Line], bool]:
    """Whether a circuit of a line lives."""
    between = between_legs(way, request.supply_voltage_v)
    suffices = between is not None and LINE_TO_LINE.check(between, case.constant("line_to_line_least_v")).passed
    return lambda line: line == "1" or (way != "one-leg" if line == "2" else suffices)


def _line_of(moved: list[PanelCircuit], sub: SubPanel | None) -> Callable[[PanelCircuit], Line]:
    """The line of the old panel that carries a circuit: its own, or that which feeds a new panel of one leg."""
    names = {circuit.name for circuit in moved} if sub is not None and sub.legs == 1 else set()
    return lambda circuit: sub.fed_from[0] if circuit.name in names else circuit.line


def _legs(circuits: list[PanelCircuit], line_of: Callable[[PanelCircuit], Line], case: Case) -> tuple[float, float]:
    """Currents of both legs."""
    first = [circuit.current_a for circuit in circuits if line_of(circuit) != "2"]
    second = [circuit.current_a for circuit in circuits if line_of(circuit) != "1"]
    return (
        formulas.on_leg_1(*first) if first else case.chosen(0.0, "leg_1_a", _IDLE),
        formulas.on_leg_2(*second) if second else case.chosen(0.0, "leg_2_a", _IDLE),
    )


def _between(circuits: list[PanelCircuit]) -> bool:
    return any(circuit.line == "both" for circuit in circuits)
