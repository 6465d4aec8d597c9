"""Which controllers come into question, and what each of them permits."""

from __future__ import annotations

from bisect import bisect_left
from weakref import WeakKeyDictionary

from msgspec import Struct

from ...reference.case import Case, Library
from ...reference.citations import cite
from ...working import at_most
from .formulas import (
    backfeed,
    controller_lowest,
    modules_by_output,
    output_allowed,
    parallel_by_input,
    string_voltage_limit,
)
from .model import BankSide, ControllerType, ControllerWish, GenericController


class Limits(Struct):
    """What one controller permits, for modules of one type. Bounds are whole numbers; None: not known."""

    controller: ControllerType
    string_limit_v: float
    lowest_v: float
    output_allowed_a: float
    modules_most: int
    parallel_most: int | None
    backfeed_a: float
    backfeed_known: bool


def offered(wish: ControllerWish, bank: BankSide, case: Case) -> list[ControllerType]:
    """The controller that was named, or every generic one made for the system voltage, the smallest output first."""
    if not isinstance(wish, GenericController):
        return [wish]
    known = _GENERIC.get(case.library)
    if known is None:
        known = _GENERIC[case.library] = _by_system_voltage(case.library)
    return known.get(f"{bank.system_voltage_v:g}", [])


_GENERIC: WeakKeyDictionary[Library, dict[str, list[ControllerType]]] = WeakKeyDictionary()
"""Generic controllers by system voltage, made once a library."""


def _by_system_voltage(library: Library) -> dict[str, list[ControllerType]]:
    column = library.tables["controller_ratings"].columns
    names, ratings, inputs, currents = column["id"], column["rating_a"], column["input_limit_v"], column["input_limit_a"]
    found: dict[str, list[ControllerType]] = {}
    for row in sorted(range(len(names)), key=lambda row: (ratings[row], inputs[row])):
        for voltage in column["system_voltages"][row].split():
            kind = ControllerType(names[row], inputs[row], ratings[row], input_short_circuit_a=currents[row], generic=True)
            found.setdefault(voltage, []).append(kind)
    return found


class Shelf:
    """The controllers in question with their bounds for modules of one type; each is worked out when it is asked for."""

    __slots__ = (
        "controllers", "module_power_w", "short_circuit_a", "voltage_limit_v", "bank", "case", "efficiency", "clipping", "bright",
        "_found", "_usual_lowest_v", "_blocked_a",
    )  # fmt: skip

    def __init__(
        self, controllers: list[ControllerType], module_power_w: float, short_circuit_a: float, voltage_limit_v: float, bank: BankSide, case: Case
    ):
        self.controllers = controllers
        self.module_power_w = module_power_w
        self.short_circuit_a = short_circuit_a
        self.voltage_limit_v = voltage_limit_v
        self.bank = bank
        self.case = case
        self.efficiency = case.assume("controller_efficiency")
        self.clipping = case.assume("clipping_limit")
        self.bright = case.constant("irradiance_factor")
        self._found: list[Limits | None] = [None] * len(controllers)
        self._usual_lowest_v: float | None = None
        self._blocked_a = case.chosen(0.0, "backfeed_a", "the controller blocks back-feed")

    def first_to_pass(self, output_a: float) -> int:
        """Place of the first controller that passes a charging current; all after it do, for outputs rise."""
        return bisect_left(
            self.controllers, True, key=lambda kind: at_most(output_a, output_allowed(kind.output_rating_a, self.clipping))
        )

    def limits(self, rank: int) -> Limits:
        """Bounds at the controller with this place in the list."""
        found = self._found[rank]
        if found is None:
            found = self._found[rank] = self._work_out(self.controllers[rank])
        return found

    def _work_out(self, controller: ControllerType) -> Limits:
        input_limit = controller.input_short_circuit_a
        allowed = output_allowed(controller.output_rating_a, self.clipping)
        return Limits(
            controller, string_voltage_limit(controller.input_limit_v, self.voltage_limit_v), self._lowest(controller.start_headroom_v), allowed,
            int(modules_by_output(allowed, self.bank.lowest_voltage_v, self.efficiency, self.module_power_w)),
            None if input_limit is None else int(parallel_by_input(input_limit, self.bright, self.short_circuit_a)),
            self._backfeed(controller), controller.blocks_backfeed is not None,
        )  # fmt: skip

    def _lowest(self, headroom_v: float | None) -> float:
        if headroom_v is not None:
            return controller_lowest(self.bank.charging_voltage_v, headroom_v)
        if self._usual_lowest_v is None:
            self._usual_lowest_v = controller_lowest(self.bank.charging_voltage_v, self.case.assume("start_headroom_v"))
        return self._usual_lowest_v

    def _backfeed(self, controller: ControllerType) -> float:
        """Current that the controller lets back into the array; a maximum-power controller counts as blocking."""
        if controller.blocks_backfeed is False:
            return backfeed(self.case.constant("continuous_factor"), controller.output_rating_a)
        if controller.blocks_backfeed is None:
            self.case.assume_choice(
                "controller_backfeed", None, "blocked",
                "Controllers that track the maximum-power point do not let the bank feed the array; the listing should say so", _HABIT,
            )
        return self._blocked_a


_HABIT = cite("common-practice", "back-feed through controllers")
