"""The list of appliances: what one draws and how it is used when the caller says no more than its name."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from ...reference.case import Case
from ...reference.tables import Table
from ...working import Basis, Citation, at_most
from .model import ByAppliance, ByPower, EveryDay, Load, NoStart, Standby, StartMultiple

Category = Literal[
    "refrigeration", "cooking", "climate", "water", "lighting", "electronics", "medical", "household", "tools", "vehicle", "standing",
]


class Listed(Struct, frozen=True):
    """One appliance of the list. Of its numbers the power is known as well as `basis` says, the rest as `use_basis` does."""

    name: str
    title: str
    category: Category
    current: Literal["ac", "dc"]
    voltages_v: tuple[int, ...]
    """Direct current: the system voltages for which it is made."""
    nature: Literal["resistive", "motor", "electronic"]
    low_w: float
    typical_w: float
    high_w: float
    start_multiple: float
    duty: float
    hours_per_day: float
    standby_w: float
    power_factor: float
    remark: str
    basis: Basis
    citation: Citation
    use_basis: Basis
    use_citation: Citation


class Search(Struct, frozen=True):
    """What to look for; None takes everything."""

    words: tuple[str, ...] = ()
    """Each has to occur in name, title or category; capitals do not count."""
    current: Literal["ac", "dc"] | None = None
    category: Category | None = None
    nature: Literal["resistive", "motor", "electronic"] | None = None
    skip: int = 0
    most: int = 20


class Found(Struct, frozen=True):
    """One page of what was found, in the order of the list."""

    appliances: tuple[Listed, ...]
    total: int
    next: int | None
    """How many to skip for the next page; None on the last one."""


def search(request: Search, case: Case) -> Found:
    """The appliances that fit; none is an answer too."""
    rows = [row for row in range(case.library.tables["appliances"].rows) if _fits(case.library.tables["appliances"], row, request)]
    page = rows[request.skip:request.skip + request.most]
    past = request.skip + len(page)
    return Found(tuple([_listed(row, case) for row in page]), len(rows), past if page and past < len(rows) else None)


def listed(name: str, case: Case) -> Listed:
    """One appliance by name. Raises KeyError."""
    return _listed(case.library.tables["appliances"].row(name), case)


def _fits(table: Table, row: int, request: Search) -> bool:
    column = table.columns
    if request.current not in (None, column["current"][row]) or request.category not in (None, column["category"][row]):
        return False
    if request.nature not in (None, column["nature"][row]):
        return False
    text = f"{column['name'][row]} {column['title'][row]} {column['category'][row]}".casefold()
    return all(word.casefold() in text for word in request.words)


def _listed(row: int, case: Case) -> Listed:
    powers, uses = case.library.tables["appliances"], case.library.tables["appliance_use"]
    power, use = powers.columns, uses.columns
    return Listed(
        power["name"][row], power["title"][row], power["category"][row], power["current"][row],
        tuple(map(int, power["voltages"][row].split())), power["nature"][row], power["low_w"][row], power["typical_w"][row], power["high_w"][row],
        use["start_multiple"][row], use["duty"][row], use["hours_per_day"][row], use["standby_w"][row], use["power_factor"][row],
        power["remark"][row], powers.basis_of_row[row], powers.citation_of_row[row], uses.basis_of_row[row], uses.citation_of_row[row],
    )


def complete(load: Load, system_v: float, case: Case) -> Load:
    """The load with what the list knows where the request is silent; every value of the list that counts is said."""
    if type(load.draw) is not ByAppliance:
        return load if load.use is not None else replace(load, use=EveryDay(case.assume("hours_per_day")))
    one = listed(load.draw.appliance, case)
    why = f"List of appliances: {one.title}"

    def take(term: str, place: str, value: float, citation: Citation) -> float:
        return case.assumed_value(term, value, why, citation, f"{load.pointer}/{place}")

    power = load.draw.load_power_w
    if power is None:
        power = take("load_power_w", "draw/power", one.typical_w, one.citation)
        if not at_most(one.high_w, one.typical_w):
            case.note("appliance-range", f"{load.pointer}/draw", load=load.id, typical=one.typical_w, low=one.low_w, high=one.high_w)
    use, duty, standby, start, factor = load.use, load.duty, load.standby, load.start, load.power_factor
    if use is None:
        use = EveryDay(take("hours_per_day", "use", one.hours_per_day, one.use_citation))
    if duty is None:
        duty = take("duty", "duty", one.duty, one.use_citation)
    if standby is None and one.standby_w > 0:
        standby = Standby(take("standby_w", "standby", one.standby_w, one.use_citation))
    if factor is None and load.current == "ac":
        factor = take("power_factor", "power_factor", one.power_factor, one.use_citation)
    if start is None:
        multiple = take("start_multiple", "start", one.start_multiple, one.use_citation)
        start = NoStart() if at_most(multiple, 1.0) else StartMultiple(multiple)
    voltage = load.voltage_v
    if voltage is None and one.voltages_v and not any(v == system_v for v in one.voltages_v):
        voltage = case.chosen(one.voltages_v[0], "voltage_v", f"{why}: not made for {system_v:g} V")
    return replace(
        load, draw=ByPower(power), use=use, duty=duty, standby=standby, power_factor=factor, start=start, voltage_v=voltage,
        nature=load.nature or one.nature,
    )
