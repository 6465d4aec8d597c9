"""Choose an overcurrent device from the series in which its family is made."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...reference.devices import Families, Family
from ...reference.practices import DeviceRelation, RuleSource
from ...reference.tables import Table
from ...working import TOLERANCE, Check, Rule, at_least, at_most
from .formulas import ampacity_below_excess, area_together, enlarged_grounding_area, excess_limit, half_area
from .model import Demand, Device, InterruptingVerdict

PROTECTS = Rule("device-protects-conductor", TERMS["device_rating_a"], "at most", TERMS["device_limit_a"], cite("nec-240-4"))
SMALL_CONDUCTOR = Rule("small-conductor-cap", TERMS["device_rating_a"], "at most", TERMS["device_limit_a"], cite("nec-240-4", "240.4(D)"))
CARRIES = Rule("device-carries-load", TERMS["device_rating_a"], "at least", TERMS["device_needed_a"], cite("nec-chapters-1-4", "215.3"))
DEVICE_VOLTAGE = Rule("device-voltage", TERMS["device_voltage_v"], "at least", TERMS["highest_voltage_v"], cite("nec-706", "706.31(C)"))
INTERRUPTS = Rule("device-interrupts", TERMS["interrupting_rating_a"], "at least", TERMS["fault_current_a"], cite("nec-110-9"))
OTHER_LIMIT = Rule("device-within-equipment-limit", TERMS["device_rating_a"], "at most", TERMS["device_limit_a"], cite("nec-690", "690.9(B)"))

NEXT_SIZE_UP_ENDS_A = 800.0
"""NEC 240.4(B)(3): above this the device may not exceed the ampacity at all."""

_NO_FAMILIES = Families((), ())


def candidates(demand: Demand, case: Case) -> Iterator[Device]:
    """Devices that can carry the load at the voltage, the best fit first.

    Families that interrupt the fault come first, in the order of preference of the use; when none does, or the
    fault at a main or a feeder is not known, the one with the highest interrupting rating. A branch of a panel sits behind
    the main device; without a figure it keeps the order of preference, never proven. Yields nothing when no family is made for the voltage or load.
    """
    families = case.library.families.get(demand.use, _NO_FAMILIES)
    fault = demand.fault_current_a
    if fault is not None or demand.use == "branch":
        able = False
        for family in families.by_preference:
            if (fault is None or at_least(family.interrupting_a, fault)) and _suits(family, demand):
                able = True
                yield from _made(family, demand, case)
        if able:
            return
    for family in families.by_interrupting:
        if _suits(family, demand):
            yield from _made(family, demand, case)


def _suits(family: Family, demand: Demand) -> bool:
    """Whether the family is made for the voltage and the direction of the current, and is the one that is asked for, if one is."""
    return (
        at_least(family.voltage_v, demand.highest_voltage_v) and not (demand.both_ways and family.polarised)
        and (demand.family is None or demand.family == family.name)
    )


def _made(family: Family, demand: Demand, case: Case) -> tuple[Device, ...]:
    """The smallest device of the family that carries the load, unless something else forbids its rating; nothing when none is made."""
    least = demand.needed_a if demand.least_a is None or demand.least_a < demand.needed_a else demand.least_a
    rating = next_rating_up(family.name, least, case)
    if rating is None or (demand.limit_a is not None and not at_most(rating, demand.limit_a)):
        return ()
    return (Device(
        family.name, family.title, family.kind, rating, family.voltage_v, family.interrupting_a, _verdict(family.interrupting_a, demand),
        family.polarised, family.current_limiting, family.mounting, family.row,
    ),)


def next_rating_up(family: str, needed_a: float, case: Case) -> float | None:
    """Smallest rating made in the family that is not below the need; None when none is made."""
    ratings = case.library.series.get(family, ())
    position = bisect_left(ratings, needed_a - TOLERANCE * abs(needed_a))
    return ratings[position] if position < len(ratings) else None


def assumed_rating(source: RuleSource, needed_a: float) -> float | None:
    """Standard rating that stands in for the device of a circuit without one, to size its grounding conductor (NEC 690.45)."""
    if source.standard_ratings is None:
        return None
    row = source.standard_ratings.first_at_least("rating_a", needed_a)
    return source.standard_ratings.columns["rating_a"][row] if row < source.standard_ratings.rows else None


def device_limit(relation: DeviceRelation, ampacity_a: float, source: RuleSource) -> float:
    """Largest rating that protects conductors of this ampacity under the practice."""
    return _LIMITS[relation](ampacity_a, source)


def ampacity_for(relation: DeviceRelation, rating_a: float, source: RuleSource) -> tuple[float, bool]:
    """Ampacity to look for, so that a device of this rating protects it, and whether it suffices itself or has to be passed."""
    if relation not in ("next-size-up", "next-size-up-to-excess") or rating_a > NEXT_SIZE_UP_ENDS_A:
        return rating_a, True
    standard = source.standard_ratings
    below = standard.last_at_most("rating_a", rating_a)
    # A device on a standard rating is the next one up from anything above the rating before it.
    if below >= 0 and at_least(standard.columns["rating_a"][below], rating_a):
        below -= 1
    if below < 0:
        return rating_a, True
    passed = standard.columns["rating_a"][below]
    if relation == "next-size-up-to-excess":
        least = ampacity_below_excess(rating_a, source.device_excess)
        if least > passed:
            return least, True
    return passed, False


def grounding_size(
    source: RuleSource, rating_a: float | None, size_row: int, minimum_row: int, sizes: Table, enlarge: bool, sets: float = 1.0
) -> str | None:
    """Grounding or protective conductor by the rule of the source; None when its table ends below what is asked."""
    return _GROUNDING[source.grounding_rule](source, rating_a, size_row, minimum_row, sizes, enlarge, sets)


def _by_device(source: RuleSource, rating_a: float | None, size_row: int, minimum_row: int, sizes: Table, enlarge: bool, sets: float) -> str | None:
    """By the device, enlarged with the circuit conductors where drop enlarged them, and never larger than they are."""
    if rating_a is None:
        return None
    table = source.grounding
    row = table.first_at_least("device_up_to_a", rating_a)
    if row == table.rows:
        return None
    area = sizes.columns["area_cmil"]
    needed = table.columns["area_cmil"][row]
    if enlarge and size_row > minimum_row:
        needed = enlarged_grounding_area(needed, area[size_row], area[minimum_row])
    found = min(sizes.first_at_least("area_cmil", needed), size_row)
    return sizes.columns["size"][found]


def _one_size_below(source: RuleSource, rating_a: float | None, size_row: int, minimum_row: int, sizes: Table, enlarge: bool, sets: float) -> str | None:
    """One size of the table below the circuit conductors, all sets together, and not below the smallest on its own."""
    least = 0 if source.smallest is None else sizes.row(source.smallest)
    return _of_area(sizes, max(size_row - 1, least), sets)


def _one_size_below_above_step(
    source: RuleSource, rating_a: float | None, size_row: int, minimum_row: int, sizes: Table, enlarge: bool, sets: float
) -> str | None:
    """As large as the circuit conductors up to a device rating, one size below them above it."""
    if rating_a is None or at_most(rating_a, source.grounding_steps[0]):
        return _of_area(sizes, size_row, sets)
    return _one_size_below(source, rating_a, size_row, minimum_row, sizes, enlarge, sets)


def _by_line_conductor(source: RuleSource, rating_a: float | None, size_row: int, minimum_row: int, sizes: Table, enlarge: bool, sets: float) -> str | None:
    """As large as the line conductor up to 16 mm2, 16 mm2 up to 35, half of it above."""
    whole, half = source.grounding_steps
    line = area_together(sizes.columns["area_mm2"][size_row], sets)
    needed = line if at_most(line, whole) else whole if at_most(line, half) else half_area(line)
    row = sizes.first_at_least("area_mm2", needed)
    return sizes.columns["size"][row] if row < sizes.rows else None


def _of_area(sizes: Table, row: int, sets: float) -> str | None:
    """Smallest size with the area of so many of this one."""
    found = sizes.first_at_least("area_mm2", area_together(sizes.columns["area_mm2"][row], sets))
    return sizes.columns["size"][found] if found < sizes.rows else None


_GROUNDING = {
    "by-device": _by_device, "one-size-below": _one_size_below, "one-size-below-above-step": _one_size_below_above_step,
    "by-line-conductor": _by_line_conductor,
}


def _not_above(ampacity_a: float, source: RuleSource) -> float:
    return ampacity_a


def _next_size_up(ampacity_a: float, source: RuleSource) -> float:
    standard = source.standard_ratings
    row = standard.first_at_least("rating_a", ampacity_a)
    if row == standard.rows or standard.columns["rating_a"][row] > NEXT_SIZE_UP_ENDS_A:
        return ampacity_a
    return standard.columns["rating_a"][row]


def _next_size_up_to_excess(ampacity_a: float, source: RuleSource) -> float:
    return excess_limit(_next_size_up(ampacity_a, source), source.device_excess, ampacity_a)


_LIMITS = {
    "not-above-ampacity": _not_above, "conductor-not-below-device": _not_above, "next-size-up": _next_size_up,
    "next-size-up-to-excess": _next_size_up_to_excess,
}


def protection_checks(
    device: Device, ampacity_a: float, cap_a: float | None, source: RuleSource, relation: DeviceRelation | None = None, protects: Rule = PROTECTS,
) -> tuple[Check, ...]:
    """Whether the device protects conductors of this ampacity, by the source's relation or by the one it allows where nothing else fits."""
    check = protects.check(device.rating_a, device_limit(relation or source.device_relation, ampacity_a, source))
    return (check,) if cap_a is None else (check, SMALL_CONDUCTOR.check(device.rating_a, cap_a))


def device_checks(device: Device, demand: Demand) -> tuple[Check, ...]:
    """Whether the device suits the load, the voltage, the fault and the equipment, as far as its label is known."""
    checks = [CARRIES.check(device.rating_a, demand.needed_a)]
    if device.voltage_v is not None:
        checks.append(DEVICE_VOLTAGE.check(device.voltage_v, demand.highest_voltage_v))
    if demand.fault_current_a is not None and device.interrupting_a is not None:
        checks.append(INTERRUPTS.check(device.interrupting_a, demand.fault_current_a))
    if demand.limit_a is not None:
        checks.append(OTHER_LIMIT.check(device.rating_a, demand.limit_a))
    return tuple(checks)


def _verdict(interrupting_a: float, demand: Demand) -> InterruptingVerdict:
    if demand.fault_current_a is None:
        return "not-proven"
    if not at_least(interrupting_a, demand.fault_current_a):
        return "short" if demand.fault_proven else "not-proven"
    return "sufficient" if demand.fault_proven else "not-proven"
