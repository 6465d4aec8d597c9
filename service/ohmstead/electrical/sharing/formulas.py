"""Arithmetic of a bank's network: ladders of units and links, and units behind equal leads."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite


@formula("unit_resistance_ohm", cite=cite("battery-trade-literature", "internal resistance by chemistry"))
def typical_resistance(
    typical_resistance_capacity_ohm_ah: float, cells: float, figure_cells: float, capacity_ah: float, joint_resistance_ohm: float
) -> float:
    """Internal resistance of a string that is usual for its chemistry and capacity.

    Valid: full, 25 °C. Neglects: the switch of a management system, age, cold. Errs: low for lithium.

    >>> round(typical_resistance(0.045, 4.0, 1.0, 100.0, 0.00005), 9)
    0.002
    """
    return typical_resistance_capacity_ohm_ah * cells / (figure_cells * capacity_ah) + cells * joint_resistance_ohm


@formula("string_resistance_ohm", cite=cite("design-arithmetic", "resistances in series"))
def in_series(unit_resistance_ohm: float, *own_resistance_ohm: float) -> float:
    """A string with all that is in series with it alone: leads, fuse, joints.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> in_series(0.002, 0.001, 0.0005)
    0.0035
    """
    return unit_resistance_ohm + sum(own_resistance_ohm)


@formula("pair_resistance_ohm", cite=cite("design-arithmetic", "resistances in series"))
def pair_of_links(link_resistance_ohm: float) -> float:
    """A link of the positive and one of the negative pole, alike.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> pair_of_links(0.0015)
    0.003
    """
    return 2 * link_resistance_ohm


@formula("pair_resistance_ohm", cite=cite("design-arithmetic", "resistances in series"))
def pair_of_cables(loop_resistance_ohm: float, joints: float, joint_resistance_ohm: float) -> float:
    """Two like cables, one a pole, with the joints of each.

    Valid: any. Neglects: nothing. Errs: either with the joints.

    >>> round(pair_of_cables(0.0001, 2.0, 0.00005), 9)
    0.0003
    """
    return loop_resistance_ohm + 2 * joints * joint_resistance_ohm


@formula("link_resistance_ohm", cite=cite("design-arithmetic", "resistances in series"))
def half_of_pair(pair_resistance_ohm: float) -> float:
    """One link or lead of a pair of like ones.

    Valid: both poles alike. Neglects: nothing. Errs: exact.

    >>> half_of_pair(0.003)
    0.0015
    """
    return pair_resistance_ohm / 2


@formula("section_resistance_ohm", cite=cite("design-arithmetic", "ladder network"))
def section(string_resistance_ohm: float, pair_resistance_ohm: float, rest_resistance_ohm: float) -> float:
    """Resistance into one unit and, through a pair of links, into all units beyond it.

    Valid: voltages of all units alike. Neglects: states of charge that differ. Errs: exact.

    >>> section(0.02, 0.003, 0.017)
    0.01
    """
    return string_resistance_ohm * (pair_resistance_ohm + rest_resistance_ohm) / (string_resistance_ohm + pair_resistance_ohm + rest_resistance_ohm)


@formula("shared_current_a", cite=cite("design-arithmetic", "current divider"))
def taken_from(arriving_current_a: float, string_resistance_ohm: float, pair_resistance_ohm: float, rest_resistance_ohm: float) -> float:
    """What one unit gives of the current that it and all units beyond it give together.

    Valid: voltages of all units alike. Neglects: states of charge that differ. Errs: exact.

    >>> round(taken_from(100.0, 0.02, 0.003, 0.017), 9)
    50.0
    """
    return arriving_current_a * (pair_resistance_ohm + rest_resistance_ohm) / (string_resistance_ohm + pair_resistance_ohm + rest_resistance_ohm)


@formula("arriving_current_a", cite=cite("design-arithmetic", "current divider"))
def passed_on(arriving_current_a: float, string_resistance_ohm: float, pair_resistance_ohm: float, rest_resistance_ohm: float) -> float:
    """What the units beyond one unit give, through a pair of links.

    Valid: voltages of all units alike. Neglects: states of charge that differ. Errs: exact.

    >>> round(passed_on(100.0, 0.06, 0.003, 0.017), 9)
    75.0
    """
    return arriving_current_a * string_resistance_ohm / (string_resistance_ohm + pair_resistance_ohm + rest_resistance_ohm)


@formula("shared_current_a", cite=cite("design-arithmetic", "superposition of two ladders"))
def superposed(near_current_a: float, far_current_a: float) -> float:
    """Current of a unit with the positive lead at the first unit and the negative at the last.

    Half of it is what the unit gives with both leads at the first unit, half with both at the last.
    Valid: links of both poles alike. Neglects: states of charge that differ. Errs: exact.

    >>> superposed(60.0, 20.0)
    40.0
    """
    return (near_current_a + far_current_a) / 2


@formula("gathered_current_a", cite=cite("design-arithmetic", "currents at a node"))
def gathered(*shared_current_a: float) -> float:
    """Current of a link: what the units on its far side give.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> gathered(40.0, 10.0)
    50.0
    """
    return sum(shared_current_a)


@formula("bank_resistance_ohm", cite=cite("design-arithmetic", "voltage from take-off to take-off"))
def across_diagonal(
    string_resistance_ohm: float, shared_current_a: float, pair_resistance_ohm: float, total_current_a: float, *gathered_current_a: float
) -> float:
    """Resistance of a bank with diagonal leads: through the first unit and along the negative links, over the whole current.

    Valid: links of both poles alike. Neglects: nothing. Errs: exact.

    >>> round(across_diagonal(0.02, 50.0, 0.002, 100.0, 50.0), 9)
    0.0105
    """
    return (string_resistance_ohm * shared_current_a + pair_resistance_ohm / 2 * sum(gathered_current_a)) / total_current_a


@formula("bank_resistance_ohm", cite=cite("design-arithmetic", "resistances in parallel"))
def in_parallel(*string_resistance_ohm: float) -> float:
    """Resistance of strings side by side.

    Valid: any. Neglects: the bus bars themselves. Errs: exact.

    >>> in_parallel(0.002, 0.002)
    0.001
    """
    return 1 / sum(1 / string for string in string_resistance_ohm)


@formula("shared_current_a", cite=cite("design-arithmetic", "current divider"))
def behind_bus_bars(total_current_a: float, bank_resistance_ohm: float, string_resistance_ohm: float) -> float:
    """Current of one string behind leads of its own to common bus bars.

    Valid: voltages of all units alike. Neglects: the bus bars themselves. Errs: exact.

    >>> behind_bus_bars(100.0, 0.001, 0.004)
    25.0
    """
    return total_current_a * bank_resistance_ohm / string_resistance_ohm


@formula("equal_current_a", cite=cite("design-arithmetic", "equal sharing"))
def equal_current(total_current_a: float, strings: float) -> float:
    """What each string gives if all give alike.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> equal_current(100.0, 4.0)
    25.0
    """
    return total_current_a / strings


@formula("current_share", cite=cite("design-arithmetic", "a part over the whole"))
def share(shared_current_a: float, total_current_a: float) -> float:
    """Share of a unit in the current of the bank.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> share(25.0, 100.0)
    0.25
    """
    return shared_current_a / total_current_a


@formula("uneven_ratio", cite=cite("design-arithmetic", "a current over its equal share"))
def over_equal(shared_current_a: float, equal_current_a: float) -> float:
    """How many times its equal share a unit gives.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> over_equal(50.0, 25.0)
    2.0
    """
    return shared_current_a / equal_current_a


@formula("usable_ratio", cite=cite("design-arithmetic", "the unit at its limit sets the bank's"))
def usable(equal_current_a: float, largest_current_a: float) -> float:
    """Share of the units' summed current that the bank can give before one unit is at its limit.

    Valid: units with the same limit. Neglects: nothing. Errs: exact.

    >>> usable(25.0, 50.0)
    0.5
    """
    return equal_current_a / largest_current_a


@formula("layout_ratio", cite=cite("design-arithmetic", "the unit at its limit sets the bank's"))
def against_bus_bars(bus_current_a: float, largest_current_a: float) -> float:
    """Current that the bank can give before one unit is at its limit, over the same behind equal leads to bus bars.

    Valid: units with the same limit. Neglects: nothing. Errs: exact.

    >>> against_bus_bars(25.0, 50.0)
    0.5
    """
    return bus_current_a / largest_current_a


@formula("bank_limit_a", cite=cite("design-arithmetic", "the unit at its limit sets the bank's"))
def current_at_limit(total_current_a: float, unit_limit_a: float, largest_current_a: float) -> float:
    """Current of the bank at which the first unit is at its limit.

    Valid: units with the same limit; currents keep their proportions. Neglects: warming. Errs: exact.

    >>> current_at_limit(100.0, 100.0, 50.0)
    200.0
    """
    return total_current_a * unit_limit_a / largest_current_a


@formula("heat_w", cite=cite("design-arithmetic", "Joule's law"))
def unit_heat(shared_current_a: float, unit_resistance_ohm: float) -> float:
    """Heat inside one unit.

    Valid: any. Neglects: heat of the reaction. Errs: low.

    >>> unit_heat(50.0, 0.002)
    5.0
    """
    return shared_current_a**2 * unit_resistance_ohm


@formula("heat_w", cite=cite("design-arithmetic", "Joule's law"))
def link_heat(gathered_current_a: float, link_resistance_ohm: float) -> float:
    """Heat in one link or lead with its joints.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> link_heat(50.0, 0.002)
    5.0
    """
    return gathered_current_a**2 * link_resistance_ohm


@formula("pair_resistance_ohm", cite=cite("design-arithmetic", "resistances in series"))
def pair_of_unlike(*link_resistance_ohm: float) -> float:
    """A link of the positive and one of the negative pole that differ.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> round(pair_of_unlike(0.0015, 0.0005), 9)
    0.002
    """
    return sum(link_resistance_ohm)


@formula("back_resistance_ohm", cite=cite("design-arithmetic", "ladder network"))
def looking_back(pair_resistance_ohm: float, string_resistance_ohm: float) -> float:
    """Resistance from the second unit back through a pair of links into the first.

    Valid: voltages of all units alike. Neglects: nothing. Errs: exact.

    >>> looking_back(0.001, 0.002)
    0.003
    """
    return pair_resistance_ohm + string_resistance_ohm


@formula("back_resistance_ohm", cite=cite("design-arithmetic", "ladder network"))
def looking_further_back(pair_resistance_ohm: float, string_resistance_ohm: float, back_resistance_ohm: float) -> float:
    """Resistance from a unit back through a pair of links into the one before it and all before that.

    Valid: voltages of all units alike. Neglects: nothing. Errs: exact.

    >>> looking_further_back(0.001, 0.004, 0.004)
    0.003
    """
    return pair_resistance_ohm + string_resistance_ohm * back_resistance_ohm / (string_resistance_ohm + back_resistance_ohm)


@formula("driving_v", cite=cite("design-arithmetic", "ladder network"))
def driven_by_link(link_resistance_ohm: float, total_current_a: float) -> float:
    """Drop of the first link of the pole whose lead sits at the first unit, if it carried the whole current.

    Valid: leads at opposite ends. Neglects: nothing. Errs: exact.

    >>> driven_by_link(0.001, 100.0)
    0.1
    """
    return link_resistance_ohm * total_current_a


@formula("driving_v", cite=cite("design-arithmetic", "ladder network"))
def driven_by_links(
    link_resistance_ohm: float, total_current_a: float, string_resistance_ohm: float, driving_v: float, back_resistance_ohm: float
) -> float:
    """The same at a further link, with what is left of the drops before it.

    Valid: leads at opposite ends. Neglects: nothing. Errs: exact.

    >>> round(driven_by_links(0.001, 100.0, 0.002, 0.1, 0.003), 9)
    0.14
    """
    return link_resistance_ohm * total_current_a + string_resistance_ohm * driving_v / (back_resistance_ohm + string_resistance_ohm)


@formula("before_current_a", cite=cite("design-arithmetic", "ladder network"))
def through_link(driving_v: float, string_resistance_ohm: float, gathered_current_a: float, back_resistance_ohm: float) -> float:
    """Current of the link before a unit, from that of the link after it.

    Valid: leads at opposite ends. Neglects: nothing. Errs: exact.

    >>> round(through_link(0.1, 0.002, 100.0, 0.003), 9)
    60.0
    """
    return (driving_v + string_resistance_ohm * gathered_current_a) / (back_resistance_ohm + string_resistance_ohm)


@formula("shared_current_a", cite=cite("design-arithmetic", "currents at a node"))
def between_links(gathered_current_a: float, before_current_a: float) -> float:
    """Current of a unit between two links; below nought where the others charge it.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> between_links(60.0, 25.0)
    35.0
    """
    return gathered_current_a - before_current_a


@formula("drop_v", cite=cite("design-arithmetic", "Ohm's law"))
def link_drop(gathered_current_a: float, link_resistance_ohm: float) -> float:
    """Voltage across one link or lead.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> link_drop(50.0, 0.002)
    0.1
    """
    return gathered_current_a * link_resistance_ohm


@formula("bank_resistance_ohm", cite=cite("design-arithmetic", "voltage from take-off to take-off"))
def across_unlike_diagonal(string_resistance_ohm: float, shared_current_a: float, total_current_a: float, *drop_v: float) -> float:
    """Resistance of a bank with diagonal leads: through the first unit and along the negative links, over the whole current.

    Valid: any links. Neglects: nothing. Errs: exact.

    >>> round(across_unlike_diagonal(0.02, 50.0, 100.0, 0.05), 9)
    0.0105
    """
    return (string_resistance_ohm * shared_current_a + sum(drop_v)) / total_current_a


@formula("shared_current_a", cite=cite("design-arithmetic", "absolute value"))
def magnitude(shared_current_a: float) -> float:
    """Current of a unit whichever way it flows.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> magnitude(-5.0)
    5.0
    """
    return abs(shared_current_a)
