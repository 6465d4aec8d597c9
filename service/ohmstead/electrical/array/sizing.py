"""Size an array: the design month asks for power, whole modules give it, strings fit the controllers.

Modules of one type stand at controllers of their own. Owned modules come first; what they leave open is asked of
new ones. What no array covers is a finding, and a window that nothing fits is an outcome with the nearest miss.
"""

from __future__ import annotations

from msgspec import Struct

from ...reference.case import Case
from ...reference.citations import cite
from ...working import at_most
from ..conductors.formulas import charging_voltage_bound
from ..controller.model import BankSide, ControllerType
from ..controller.sizing import Shelf, offered
from ..solar.model import MONTHS
from ..solar.sizing import sun_of_months
from .balance import Losses, balance_of, efficiencies, losses_of, needs_of, remark
from .energy_formulas import modules_needed
from .formulas import area_taken, array_power, module_area, module_area_by_power, modules_in_area
from .model import (
    Array,
    ArrayRequest,
    Group,
    LargestCount,
    ModuleType,
    ModuleWish,
    OwnedModules,
    OwnedVerdict,
)
from .strings import Found, Miss, Places, Task, Window, arrange, group_of, miss_of, most_of, window_of

_UNLIMITED = 10**15
_CLOSE = cite("rooftop-temperature-study", "mounting")


class _Site(Struct):
    """What is the same for every type of module."""

    request: ArrayRequest
    bank: BankSide
    controllers: list[ControllerType]
    losses: Losses
    drop_limit: float
    voltage_limit_v: float
    controllers_most: int
    case: Case

    def places(self, module: ModuleType) -> Places:
        """Where strings of a module can stand."""
        window = window_of(module, self.request, self.losses.rise_k, self.voltage_limit_v, self.case)
        shelf = Shelf(self.controllers, module.power_w, module.short_circuit_a, self.voltage_limit_v, self.bank, self.case)
        return Places(window, shelf, self.drop_limit, self.case)

    def group(self, id: str, places: Places, found: Found, owned: int, needed_w: float, governed_by: str) -> Group:
        """The finished group, with its remarks."""
        group = group_of(id, places, found, owned, needed_w, governed_by)
        _remark(group, places.window, found, self.case)
        return group


def size_array(request: ArrayRequest, case: Case) -> Array:
    """Size one array.

    The rule of choice: the month with the largest load over sun sets the power; fewest controllers, then fewest
    modules, then the smallest controller, then fewest strings carry it. When nothing qualifies the outcome is
    `nothing-fits` with the check that failed and the nearest arrangement.
    """
    sun = sun_of_months(request.sun, case)
    mounting = case.assume_choice("mounting", request.mounting, "close-mount", "Modules usually lie 25 to 40 mm above the roof", _CLOSE)
    losses = losses_of(request, mounting, case)
    bank = _bank_side(request, case)
    limit = request.voltage_limit_v
    site = _Site(
        request, bank, offered(request.controller, bank, case), losses, case.assume("drop_limit_photovoltaic", request.drop_limit),
        case.constant("photovoltaic_voltage_limit_dwelling") if limit is None else limit, int(case.assume("controllers_most")), case,
    )
    module = resolve(request.module, case)
    efficiency = efficiencies(module, losses, case)
    like, others, verdicts = _sort_owned(site, module)
    kept = [(group, efficiencies(group.module, losses, case)) for group in others]
    needs = needs_of(request, sun, efficiency, kept, case)
    nothing = case.chosen(0.0, "array_needed_w", "nothing is left to the array")
    needed_w = nothing if needs.design is None else needs.needed_w[needs.design]

    room = _room(site, module, others)
    owned_like = sum(owned.count for owned in like)
    group, miss = _main(site, module, owned_like, room, needed_w)
    verdicts += _spread(like, group)
    listed = [owned.id for owned in request.owned]
    verdicts.sort(key=lambda verdict: listed.index(verdict.id))
    groups = ([(group, efficiency)] if group else []) + kept
    found = balance_of(request, sun, losses, efficiency, needs, groups, case)
    remark(needs, found, case)
    if not groups and miss is None:
        case.note("array-not-needed", "/other_supplies")
    for verdict in verdicts:
        if verdict.verdict == "refuse":
            case.note("modules-refused", "/owned", entry=int(verdict.id) + 1, why=verdict.why)
    return Array(
        outcome="nothing-fits" if miss else "sized", sun=sun, months=found.months,
        design_month=None if needs.design is None else MONTHS[needs.design], needed_w=needed_w,
        module_count=case.chosen(sum(part.owned + part.new for part, _ in groups), "module_count", "all groups", *[part.module_count for part, _ in groups]),
        array_power_w=_power([part.power_w for part, _ in groups], case), groups=tuple([part for part, _ in groups]),
        owned=tuple(verdicts), mounting=mounting, short_months=tuple([MONTHS[month] for month in found.short]), covers=found.covers,
        largest_count=None if room is None else case.chosen(room, "module_bound", "room on the roof"),
        failed=miss.failed if miss else None, why=miss.why if miss else "", nearest=miss.nearest if miss else "",
    )


def _bank_side(request: ArrayRequest, case: Case) -> BankSide:
    nominal, charging, lowest = request.system_voltage_v, request.charging_voltage_v, request.lowest_voltage_v
    if charging is None:
        charging = charging_voltage_bound(nominal, case.assume("highest_voltage_ratio"))
    return BankSide(nominal, charging, nominal if lowest is None else lowest)


def _power(parts: list[float], case: Case) -> float:
    return array_power(*parts) if parts else case.chosen(0.0, "array_power_w", "there is no module")


def resolve(wish: ModuleWish, case: Case) -> ModuleType:
    """The module as given, or the row of the table of usual sizes. Raises KeyError for a size that is not listed."""
    if isinstance(wish, ModuleType):
        return wish
    table = case.library.tables["module_sizes"]
    row, column = table.row(wish.name), table.columns
    return ModuleType(
        name=wish.name, power_w=column["module_power_w"][row], open_circuit_v=column["open_circuit_v"][row],
        max_power_v=column["max_power_v"][row], short_circuit_a=column["short_circuit_a"][row], max_power_a=column["max_power_a"][row],
        fuse_limit_a=column["module_fuse_limit_a"][row], length_m=column["length_m"][row], width_m=column["width_m"][row],
        mass_kg=column["mass_kg"][row], generic=True,
    )  # fmt: skip


def _alike(one: ModuleType, other: ModuleType) -> bool:
    """Whether two modules may share strings: the same label."""
    return all(at_most(a, b) and at_most(b, a) for a, b in (
        (one.power_w, other.power_w), (one.open_circuit_v, other.open_circuit_v), (one.max_power_v, other.max_power_v),
        (one.short_circuit_a, other.short_circuit_a), (one.max_power_a, other.max_power_a),
    ))  # fmt: skip


def _sort_owned(site: _Site, module: ModuleType) -> tuple[list[OwnedModules], list[Group], list[OwnedVerdict]]:
    """Owned modules like the new ones; groups of other types, each at its own controllers; verdicts on all but the like ones."""
    like: list[OwnedModules] = []
    types: list[tuple[ModuleType, list[OwnedModules]]] = []
    verdicts: list[OwnedVerdict] = []
    for owned in site.request.owned:
        why = _unfit(owned)
        if why:
            verdicts.append(OwnedVerdict(owned.id, "refuse", 0, why))
            continue
        kind = resolve(owned.module, site.case)
        if _alike(kind, module):
            like.append(owned)
            continue
        same = next((entries for known, entries in types if _alike(kind, known)), None)
        if same is None:
            types.append((kind, [owned]))
        else:
            same.append(owned)
    groups = []
    for kind, entries in types:
        count = sum(owned.count for owned in entries)
        places = site.places(kind)
        task = Task(count, count, 1, site.controllers_most)
        found = arrange(places, task) or most_of(places, task)
        group = None
        if found is not None:
            nothing = site.case.chosen(0.0, "array_needed_w", "the modules are there already")
            group = site.group(f"owned-{entries[0].id}", places, found, found.count, nothing, "owned-modules")
            groups.append(group)
        verdicts += _spread(entries, group)
    return like, groups, verdicts


def _unfit(owned: OwnedModules) -> str:
    if owned.condition == "damaged":
        return "They are damaged."
    if owned.condition == "unknown":
        return "Their condition is not known."
    if owned.module is None:
        return "Their data are not known, so no string of them can be shown to be safe."
    return ""


def _spread(entries: list[OwnedModules], group: Group | None) -> list[OwnedVerdict]:
    """Fill the owned places of a group, first come first served."""
    left = group.owned if group else 0
    verdicts = []
    for owned in entries:
        used = min(left, owned.count)
        left -= used
        if used == 0:
            why = "No controller takes a string of them." if group is None else "The strings hold no more of them."
            verdicts.append(OwnedVerdict(owned.id, "refuse", 0, why))
        else:
            why = "They work together." if used == owned.count else f"{used} of {owned.count} fit into strings of equal length."
            verdicts.append(OwnedVerdict(owned.id, "keep", used, why, group.id))
    return verdicts


def _room(site: _Site, module: ModuleType, others: list[Group]) -> int | None:
    """Most modules of this type that have room beside owned ones of other types; None without a limit."""
    space, case = site.request.space, site.case
    if space is None:
        return None
    if isinstance(space, LargestCount):
        return max(0, space.count - sum(group.owned for group in others))
    taken = [area_taken(group.module_count, _area(group.module, case)) for group in others]
    return int(modules_in_area(space.area_m2, case.assume("roof_fill"), _area(module, case), *taken))


def _area(module: ModuleType, case: Case) -> float:
    if module.length_m is None or module.width_m is None:
        return module_area_by_power(module.power_w, case.assume("module_density"))
    return module_area(module.length_m, module.width_m)


def _main(site: _Site, module: ModuleType, owned: int, room: int | None, needed_w: float) -> tuple[Group | None, Miss | None]:
    """The group of new modules and of owned ones like them."""
    request, case = site.request, site.case
    asked = int(modules_needed(needed_w, module.power_w))
    if request.count_wanted is not None:
        asked, most, governed_by = owned + request.count_wanted, owned + request.count_wanted, "count-wanted"
    elif asked > owned:
        most, governed_by = _UNLIMITED, "design-month"
    else:
        asked, most, governed_by = owned, owned, "owned-modules"
    if not asked:
        return None, None
    places = site.places(module)
    task = Task(asked, most, request.minimum_strings, site.controllers_most)
    if room is not None and room < most:
        task.most = room
        task.least = min(asked, room)
    found = arrange(places, task) if task.most else None
    if found is None and task.most:
        nearest = most_of(places, Task(0, min(asked, task.most), request.minimum_strings, site.controllers_most))
        if nearest is None:
            return None, miss_of(places, request.minimum_strings)
        if governed_by == "count-wanted" or task.most == _UNLIMITED:
            return None, _not_so_many(asked, nearest, site)
        found = nearest
    if found is None:
        return None, Miss(None, "Not one module has room.", "")
    if found.count < asked and governed_by != "owned-modules":
        if governed_by == "count-wanted":
            return None, _not_so_many(asked, found, site)
        governed_by = "room"
        case.note("array-space-short", "/space", needed=asked, fits=found.count)
    return site.group("array", places, found, min(owned, found.count), needed_w, governed_by), None


def _not_so_many(asked: int, nearest: Found, site: _Site) -> Miss:
    name = nearest.place.limits.controller.name
    what = f"{nearest.controllers} × {name}, each with {nearest.series} in series and {nearest.parallel} in parallel"
    return Miss(None, f"{asked} modules cannot be arranged at up to {site.controllers_most} controllers; {nearest.count} can.", what)


def _remark(group: Group, window: Window, found: Found, case: Case) -> None:
    """Findings that belong to one group."""
    fuse, limits, controller = group.strings.fuse, found.place.limits, group.controller
    if window.recalled_factor and group.longer_failed is not None:
        case.note("recalled-value-decides", "/air_coldest", check="string-voltage-cold", value=window.recalled_factor)
    if fuse.limit_a is None and found.parallel > 1:
        case.note("module-fuse-limit-missing", "/module", count=found.parallel)
    if not limits.backfeed_known and not controller.generic and not fuse.required:
        case.note("backfeed-not-known", "/controller")
    if controller.input_short_circuit_a is None:
        case.note("controller-input-current-missing", "/controller", current=float(group.strings.photovoltaic_current_a))
    if group.clipped_fraction > 0.0:
        case.note("controller-clips", "/controller", percent=f"{100 * group.clipped_fraction:.1f}")
