"""Arrange like modules at like controllers: inside the window when cold and when hot, within currents and fuses."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...working import Check, Choice, Rule, at_most
from ..controller.formulas import clipped, controller_output, limited_output
from ..controller.sizing import Limits, Shelf
from ..protection.model import Demand, Device
from ..protection.sizing import candidates
from .formulas import (
    cold_by_coefficient,
    cold_by_table,
    cold_voltage,
    conductor_current,
    group_power,
    hot_cell,
    hot_voltage,
    longest_series,
    other_strings,
    parallel_current,
    photovoltaic_current,
    power_each,
    shortest_series,
    string_cold,
    string_fuse_needed,
    string_hot,
    strings_without_fuses,
    voltage_share_of_power,
)
from .model import ArrayRequest, Group, ModuleType, StringFuse, Strings

COLD = Rule("string-voltage-cold", TERMS["string_cold_v"], "at most", TERMS["string_voltage_limit_v"], cite("nec-690-7", "690.7"))
HOT = Rule("string-voltage-hot", TERMS["string_hot_v"], "at least", TERMS["controller_lowest_v"], cite("common-practice", "controller's start"))
INPUT = Rule("controller-input-current", TERMS["photovoltaic_current_a"], "at most", TERMS["controller_input_limit_a"], cite("nec-chapters-1-4", "110.3(B), the maker's limit"))
OUTPUT = Rule("controller-output", TERMS["controller_output_a"], "at most", TERMS["output_allowed_a"], cite("design-arithmetic", "clipping"))
FUSE = Rule("string-fuse-within-module", TERMS["string_fuse_needed_a"], "at most", TERMS["module_fuse_limit_a"], cite("nec-690-9", "690.9(B)"))
NO_FUSE = Rule("strings-without-fuses", TERMS["other_strings_current_a"], "at most", TERMS["module_fuse_limit_a"], cite("nec-690-9", "690.9(A)"))
NEED = Rule("array-power", TERMS["array_power_w"], "at least", TERMS["array_needed_w"], cite("design-arithmetic", "design month"))


class Window(Struct):
    """One module at the coldest and the hottest, and the fuse that its string would get."""

    module: ModuleType
    cold_v: float
    cold_coefficient_v: float | None
    cold_table_v: float
    recalled_factor: str
    """The table's factor in words when it governs and is known only from memory; else empty."""
    hot_v: float
    hot_cell_c: float
    fuse_needed_a: float
    fuse: Device | None


class Place(Struct):
    """Lengths of string that one controller takes."""

    limits: Limits
    shortest: int
    longest: int


class Found(Struct):
    """An arrangement: whole numbers."""

    place: Place
    series: int
    parallel: int
    controllers: int

    @property
    def count(self) -> int:
        """Modules in all."""
        return self.series * self.parallel * self.controllers


class Task(Struct):
    """How many modules of one type to arrange."""

    least: int
    most: int
    minimum_strings: int
    controllers_most: int


def window_of(module: ModuleType, request: ArrayRequest, rise_k: float, voltage_limit_v: float, case: Case) -> Window:
    """Voltages of one module. When cold the larger of coefficient and table; when hot the maximum-power coefficient."""
    voc, coldest = module.open_circuit_v, request.air_coldest_c
    table = case.library.tables["nec_690_7"]
    row = table.first_at_most("lower_c", coldest)
    coefficient = module.voltage_coefficient_per_k
    if row == table.rows:
        # Below its end the table's last factor is the least that can be right.
        row -= 1
        if coefficient is None:
            coefficient = case.assume("voltage_coefficient_beyond_table")
            case.note("cold-beyond-table", "/air_coldest", coldest=float(coldest))
    factor = table.columns["factor"][row]
    by_table = cold_by_table(voc, factor)
    by_coefficient = None if coefficient is None else cold_by_coefficient(voc, coefficient, coldest)
    cold = cold_voltage(by_table) if by_coefficient is None else cold_voltage(by_coefficient, by_table)
    recalled = cold == by_table and table.basis_of_row[row] == "recalled"
    cell = hot_cell(case.assume("hottest_c", request.air_hottest_c), rise_k)
    needed = string_fuse_needed(case.constant("continuous_factor"), case.constant("irradiance_factor"), module.short_circuit_a)
    # Current reaches a string's fuse from the others in a fault, so a fuse or a breaker without polarity marks.
    demand = Demand("photovoltaic", needed, voltage_limit_v, None, False, True, module.fuse_limit_a)
    return Window(
        module=module, cold_v=cold, cold_coefficient_v=by_coefficient, cold_table_v=by_table,
        recalled_factor=f"factor {factor:g} on the open-circuit voltage" if recalled else "",
        hot_v=hot_voltage(module.max_power_v, _hot_coefficient(module, case), cell), hot_cell_c=cell,
        fuse_needed_a=needed, fuse=next(candidates(demand, case), None),
    )


def _hot_coefficient(module: ModuleType, case: Case) -> float:
    if module.max_power_voltage_coefficient_per_k is not None:
        return module.max_power_voltage_coefficient_per_k
    if module.power_coefficient_per_k is None:
        return case.assume("max_power_voltage_coefficient_per_k")
    return voltage_share_of_power(module.power_coefficient_per_k, case.assume("current_coefficient_per_k", module.current_coefficient_per_k))


class Places:
    """The lengths of string of one module at every controller in question, each worked out when it is asked for."""

    __slots__ = ("window", "shelf", "drop_limit", "case", "_found", "_bounds")

    def __init__(self, window: Window, shelf: Shelf, drop_limit: float, case: Case):
        self.window = window
        self.shelf = shelf
        self.drop_limit = drop_limit
        self.case = case
        self._found: list[Place | None] = [None] * len(shelf.controllers)
        self._bounds: dict[tuple[float, float], tuple[int, int]] = {}

    def __len__(self) -> int:
        return len(self._found)

    def __getitem__(self, rank: int) -> Place:
        if self._found[rank] is None:
            self._found[rank] = self._place(self.shelf.limits(rank))
        return self._found[rank]

    def _place(self, limits: Limits) -> Place:
        # Controllers of one series differ in current only; the lengths of string are then the same whole numbers.
        window = (limits.string_limit_v, limits.lowest_v)
        bounds = self._bounds.get(window)
        if bounds is None:
            bounds = self._bounds[window] = self._ask(limits)
        return Place(limits, *bounds)

    def _ask(self, limits: Limits) -> tuple[int, int]:
        """Ask both bounds for the length of a string, then verify them: shortest and longest."""
        window, case = self.window, self.case
        longest = int(longest_series(limits.string_limit_v, window.cold_v))
        if longest and not _cold(window, limits, longest, case).passed:
            longest -= 1
        shortest = max(1, int(shortest_series(limits.lowest_v, window.hot_v, self.drop_limit)))
        if not _hot(window, limits, shortest, self.drop_limit, case).passed:
            shortest += 1
        return shortest, longest

    def output_of(self, modules: int) -> float:
        """Charging current that so many modules drive at one controller."""
        shelf = self.shelf
        power = group_power(self.case.chosen(modules, "module_count", "asked"), shelf.module_power_w)
        return controller_output(power, shelf.efficiency, shelf.bank.lowest_voltage_v)

    def lengths(self, place: Place) -> Iterator[tuple[int, int]]:
        """Lengths of string inside the window, each with the most strings in parallel that currents and fuses allow."""
        limits = place.limits
        most = limits.parallel_most
        if self.window.fuse is None:
            unfused = _unfused(self.window, limits, self.case)
            most = unfused if most is None else min(most, unfused)
        for series in range(place.shortest, place.longest + 1):
            parallel = limits.modules_most // series
            if most is not None and most < parallel:
                parallel = most
            if parallel < 1:
                return
            yield series, parallel


def arrange(places: Places, task: Task) -> Found | None:
    """The arrangement of at least `least` and at most `most` modules.

    The rule of choice: fewest controllers, then fewest modules, then the smallest controller, then fewest strings.
    None when nothing qualifies; `most_of` then says how many modules could be placed.
    """
    for controllers in range(1, task.controllers_most + 1):
        each = -(-task.least // controllers)
        strings = -(-task.minimum_strings // controllers)
        best, fewest = None, task.most + 1
        for rank in range(places.shelf.first_to_pass(places.output_of(each)), len(places)):
            place = places[rank]
            for series, parallel_most in places.lengths(place):
                parallel = max(-(-each // series), strings)
                count = controllers * series * parallel
                if parallel > parallel_most or count > fewest or (count == fewest and (best is None or best.place is not place)):
                    continue
                if count < fewest or parallel < best.parallel:
                    best, fewest = Found(place, series, parallel, controllers), count
            if fewest == controllers * each:
                break  # nothing further on the list can do with fewer modules
        if best is not None:
            return best
    return None


def most_of(places: Places, task: Task) -> Found | None:
    """The largest arrangement of at most `most` modules, by the fewest controllers; None when not one string fits."""
    best = None
    for controllers in range(1, task.controllers_most + 1):
        strings = -(-task.minimum_strings // controllers)
        for rank, place in enumerate(places):
            for series, parallel_most in places.lengths(place):
                parallel = min(parallel_most, task.most // (controllers * series))
                count = controllers * series * parallel
                if parallel >= strings and count and (best is None or (-count, controllers, rank, parallel) < best[0]):
                    best = (-count, controllers, rank, parallel), Found(place, series, parallel, controllers)
    return best[1] if best else None


def _unfused(window: Window, limits: Limits, case: Case) -> int:
    """Most strings in parallel that need no fuses, for a module that no fuse is made for."""
    module = window.module
    if module.fuse_limit_a is None:
        return 0 if _fuse_required(window, limits, 1, case) else 1
    return max(0, int(strings_without_fuses(module.fuse_limit_a, limits.backfeed_a, case.constant("irradiance_factor"), module.short_circuit_a)))


def _fuse_required(window: Window, limits: Limits, parallel: int, case: Case) -> bool:
    current = _others(window, limits, case.chosen(parallel, "strings_in_parallel", "asked"), case)
    limit = window.module.fuse_limit_a
    if limit is None:
        return current > 0.0
    return not at_most(current, limit)


def _others(window: Window, limits: Limits, parallel: float, case: Case) -> float:
    return other_strings(parallel, case.constant("irradiance_factor"), window.module.short_circuit_a, limits.backfeed_a)


def _cold(window: Window, limits: Limits, series: int, case: Case) -> Check:
    return COLD.check(string_cold(case.chosen(series, "modules_in_series", "asked"), window.cold_v), limits.string_limit_v)


def _hot(window: Window, limits: Limits, series: int, drop_limit: float, case: Case) -> Check:
    return HOT.check(string_hot(case.chosen(series, "modules_in_series", "asked"), window.hot_v, drop_limit), limits.lowest_v)


def group_of(id: str, places: Places, found: Found, owned: int, needed_w: float, governed_by: str) -> Group:
    """The arrangement with its numbers, checks and neighbours."""
    window, drop_limit, bank, case = places.window, places.drop_limit, places.shelf.bank, places.case
    module, limits = window.module, found.place.limits
    controller = limits.controller
    series = case.chosen(found.series, "modules_in_series", "inside the controller's window", limits.string_limit_v, window.cold_v)
    parallel = case.chosen(found.parallel, "strings_in_parallel", governed_by, needed_w)
    count = case.chosen(found.count, "module_count", governed_by, needed_w)
    current = parallel_current(parallel, module.short_circuit_a)
    bright = photovoltaic_current(case.constant("irradiance_factor"), current)
    each = power_each(series, parallel, module.power_w)
    output = controller_output(each, case.assume("controller_efficiency"), bank.lowest_voltage_v)
    cold, hot = string_cold(series, window.cold_v), string_hot(series, window.hot_v, drop_limit)
    fuse = _string_fuse(window, limits, found.parallel, parallel, case)
    checks = [COLD.check(cold, limits.string_limit_v), HOT.check(hot, limits.lowest_v), OUTPUT.check(output, limits.output_allowed_a)]
    if controller.input_short_circuit_a is not None:
        checks.append(INPUT.check(bright, controller.input_short_circuit_a))
    if fuse.limit_a is not None:
        checks.append(FUSE.check(fuse.needed_a, fuse.limit_a) if fuse.required else NO_FUSE.check(fuse.backfeed_a, fuse.limit_a))
    fewer = NEED.check(group_power(case.chosen(found.count - 1, "module_count", "one module fewer"), module.power_w), needed_w)
    longer = _cold(window, limits, found.series + 1, case)
    shorter = _hot(window, limits, found.series - 1, drop_limit, case) if found.series > 1 else None
    what = f"{found.series} in series, {found.parallel} in parallel"
    if found.controllers > 1:
        what += f", at each of {found.controllers} controllers"
    return Group(
        id=id, module=module, owned=owned, new=found.count - owned, module_count=count, power_w=group_power(count, module.power_w),
        strings=Strings(
            series=series, parallel=parallel, cold_v=cold,
            cold_coefficient_v=None if window.cold_coefficient_v is None else string_cold(series, window.cold_coefficient_v),
            cold_table_v=string_cold(series, window.cold_table_v),
            hot_v=hot, hot_cell_c=window.hot_cell_c, short_circuit_a=current, photovoltaic_current_a=bright,
            conductor_current_a=conductor_current(case.constant("continuous_factor"), bright), fuse=fuse,
        ),
        controller=controller, controllers=case.chosen(found.controllers, "controllers", "fewest that pass the power", needed_w),
        power_each_w=each, output_a=output, output_limited_a=limited_output(output, controller.output_rating_a),
        clipped_fraction=clipped(output, controller.output_rating_a),
        longest_series=case.chosen(found.place.longest, "series_bound", "coldest", limits.string_limit_v, window.cold_v),
        shortest_series=case.chosen(found.place.shortest, "series_bound", "hottest", limits.lowest_v, window.hot_v),
        checks=tuple(checks),
        choice=Choice("strings", what, governed_by, tuple(checks), f"{found.count - 1} modules" if found.count > 1 else "",
                      fewer if found.count > 1 and not fewer.passed else None),
        longer_failed=None if longer.passed else longer, shorter_failed=None if shorter is None or shorter.passed else shorter,
    )  # fmt: skip


def _string_fuse(window: Window, limits: Limits, strings: int, parallel: float, case: Case) -> StringFuse:
    required = _fuse_required(window, limits, strings, case)
    return StringFuse(
        required=required, backfeed_a=_others(window, limits, parallel, case), limit_a=window.module.fuse_limit_a,
        needed_a=window.fuse_needed_a, device=window.fuse if required else None, count=strings if required else 0,
    )


class Miss(Struct):
    """Why not one string fits: the controller that comes nearest and the check that it fails."""

    failed: Check | None
    why: str
    nearest: str


def miss_of(places: Places, minimum_strings: int) -> Miss:
    """The nearest miss: the controller with the widest window, and the first check that a single string fails there."""
    window, drop_limit, bank, case = places.window, places.drop_limit, places.shelf.bank, places.case
    if not len(places):
        return Miss(None, f"No generic controller is made for a bank of {bank.system_voltage_v:g} V.", "")
    place = max(places, key=lambda place: (place.longest - place.shortest, place.limits.modules_most))
    limits, module = place.limits, window.module
    name = limits.controller.name
    cold, hot = _cold(window, limits, place.shortest, case), _hot(window, limits, max(1, place.longest), drop_limit, case)
    if place.longest < 1:
        one = _cold(window, limits, 1, case)
        return Miss(one, f"One module reaches {one.actual:.4g} V at the coldest; {name} takes {one.limit:.4g} V.", f"{name}: 1 in series")
    if place.longest < place.shortest:
        return Miss(
            hot, f"At {name} a string of {place.longest} is too low when hot ({hot.actual:.4g} V, {hot.limit:.4g} V needed) and one of "
            f"{place.shortest} is too high when cold ({cold.actual:.4g} V, {cold.limit:.4g} V allowed).", f"{name}: {place.longest} in series",
        )
    one = case.chosen(1.0, "strings_in_parallel", "asked")
    each = power_each(case.chosen(place.shortest, "modules_in_series", "asked"), one, module.power_w)
    output = OUTPUT.check(controller_output(each, case.assume("controller_efficiency"), bank.lowest_voltage_v), limits.output_allowed_a)
    if limits.modules_most < place.shortest:
        return Miss(output, f"One string of {place.shortest} drives {output.actual:.4g} A; {name} passes {output.limit:.4g} A.",
                    f"{name}: {place.shortest} in series")  # fmt: skip
    if limits.parallel_most is not None and limits.parallel_most < 1:
        bright = photovoltaic_current(case.constant("irradiance_factor"), parallel_current(one, module.short_circuit_a))
        current = INPUT.check(bright, limits.controller.input_short_circuit_a)
        return Miss(current, f"One string gives {current.actual:.4g} A in bright sun; {name} takes {current.limit:.4g} A.",
                    f"{name}: {place.shortest} in series")  # fmt: skip
    if next(places.lengths(place), None):
        asked = f"{minimum_strings} strings" if minimum_strings > 1 else f"a string of {place.shortest}, the shortest inside the window of {name}"
        return Miss(None, f"The controllers and the room do not take {asked}.", f"{name}: {place.shortest} in series")
    if module.fuse_limit_a is not None:
        return Miss(FUSE.check(window.fuse_needed_a, module.fuse_limit_a),
                    f"Every string needs a fuse, and none is made from {window.fuse_needed_a:.4g} A up to {module.fuse_limit_a:.4g} A.",
                    f"{name}: {place.shortest} in series")  # fmt: skip
    return Miss(None, f"Every string needs a fuse, and none is made for {window.fuse_needed_a:.4g} A.", f"{name}: {place.shortest} in series")
