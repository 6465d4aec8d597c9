"""The list of appliances: what to look for, and one page of it."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.loads.listed import Category, Found, Listed, Search
from ...reference.case import Case
from ...working import Basis, Citation
from ..base import Amount, Answer, envelope
from ..base import Citation as CitationShape
from ..door import Door


class AppliancesRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """Which appliances to list; everything when nothing is said."""

    search: Annotated[Annotated[str, Meta(max_length=60)] | None, Meta(description="Words that all occur in name, title or category; capitals do not count")] = None
    current: Annotated[Literal["ac", "dc"] | None, Meta(description="Kind of current")] = None
    category: Annotated[Category | None, Meta(description="Kind of appliance")] = None
    nature: Annotated[Literal["resistive", "motor", "electronic"] | None, Meta(description="What the appliance is by nature")] = None
    skip: Annotated[Annotated[int, Meta(ge=0, le=1000)], Meta(description="How many to pass over; `next` of the page before")] = 0
    limit: Annotated[Annotated[int, Meta(ge=1, le=50)], Meta(description="How many at most")] = 20


class ApplianceAnswer(Struct, frozen=True):
    """One appliance. Power is known as `basis` says, everything else as `use_basis` does."""

    name: Annotated[str, Meta(description="Name to give as `appliance` of a load")]
    title: Annotated[str, Meta(description="What it is")]
    category: Annotated[Category, Meta(description="Kind of appliance")]
    current: Annotated[Literal["ac", "dc"], Meta(description="Kind of current")]
    voltages: Annotated[list[int], Meta(description="Direct current: nominal voltages for which it is made; empty for alternating current")]
    nature: Annotated[Literal["resistive", "motor", "electronic"], Meta(description="What it is by nature")]
    power_low: Annotated[Amount, Meta(description="Running power, lower end of the range")]
    power: Annotated[Amount, Meta(description="Running power, typical")]
    power_high: Annotated[Amount, Meta(description="Running power, upper end of the range")]
    start_multiple: Annotated[float, Meta(description="Starting over running apparent power")]
    duty: Annotated[float, Meta(description="Share of the hours during which it draws its power")]
    hours_per_day: Annotated[float, Meta(description="Hours a day")]
    standby: Annotated[Amount, Meta(description="Power for the rest of the day")]
    power_factor: Annotated[float, Meta(description="Real over apparent power")]
    remark: Annotated[str | None, Meta(description="What to know of it; null when nothing stands there")]
    basis: Annotated[Basis, Meta(description="How well the power is known")]
    citation: Annotated[CitationShape, Meta(description="Where the power is printed")]
    use_basis: Annotated[Basis, Meta(description="How well hours, duty, standby, power factor and start are known")]
    use_citation: Annotated[CitationShape, Meta(description="Where they come from")]


class AppliancesAnswer(Answer):
    """One page of the list of appliances."""

    appliances: Annotated[list[ApplianceAnswer], Meta(description="The appliances, in the order of the list")]
    total: Annotated[int, Meta(description="How many fit altogether")]
    next: Annotated[int | None, Meta(description="`skip` of the next page; null on the last one")]


CAUTIONS = ("What is measured goes before the plate, the plate before this list.",)


def read(request: AppliancesRequest, door: Door) -> Search:
    """What to look for."""
    words = tuple(request.search.split()) if request.search else ()
    return Search(words, request.current, request.category, request.nature, request.skip, request.limit)


def write(found: Found, case: Case) -> AppliancesAnswer:
    """The answer."""
    return AppliancesAnswer(
        appliances=[_appliance(one) for one in found.appliances], total=found.total, next=found.next,
        **envelope(case, _printed(found), CAUTIONS),
    )


def _appliance(one: Listed) -> ApplianceAnswer:
    return ApplianceAnswer(
        one.name, one.title, one.category, one.current, list(one.voltages_v), one.nature, Amount(one.low_w, "W"), Amount(one.typical_w, "W"),
        Amount(one.high_w, "W"), one.start_multiple, one.duty, one.hours_per_day, Amount(one.standby_w, "W"), one.power_factor,
        one.remark or None, one.basis, one.citation, one.use_basis, one.use_citation,
    )


def _printed(found: Found) -> list[Citation]:
    return [source for one in found.appliances for source in (one.citation, one.use_citation)]
