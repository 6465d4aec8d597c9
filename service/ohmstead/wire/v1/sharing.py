"""Current sharing of parallel units: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.conductors.formulas import loop_resistance, resistance_at
from ...electrical.sharing import formulas, model
from ...reference.case import Case
from ...reference.practices import SIZES
from ...working import cited
from ..base import Amount, Answer, envelope, known_amount
from ..door import Door
from ..problems import Fault, Problem
from ..quantities import Capacity, Current, Resistance
from .bank import BankChemistry
from .cable import BankLayout, BusBarsLayout, Link, read_layout, read_link
from .checked import CheckAnswer, write_check


class UnitByResistance(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="resistance"):
    """A unit whose internal resistance is known."""

    resistance: Annotated[Resistance, Meta(description="Internal direct-current resistance of the unit or string")]
    in_series: Annotated[Resistance | None, Meta(description="In series with this unit alone, both poles together: fuse, leads of its own, a poor joint")] = None
    positive: Annotated[Link | None, Meta(description="The link to the next unit, or the lead to the bus bar, of the positive pole where it is not like the others: longer, thinner, with a poor joint")] = None
    negative: Annotated[Link | None, Meta(description="The same of the negative pole")] = None


class UnitByCapacity(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="capacity"):
    """A unit of which only the capacity is known; the usual resistance of its chemistry is used, and said."""

    capacity: Annotated[Capacity, Meta(description="Rated capacity of the unit or string")]
    cells: Annotated[int, Meta(ge=1, le=60, description="Cells in series, such as 4 for 12.8 V of lithium iron phosphate and 6 for 12 V of lead-acid")]
    in_series: Annotated[Resistance | None, Meta(description="In series with this unit alone, both poles together: fuse, leads of its own, a poor joint")] = None
    positive: Annotated[Link | None, Meta(description="The link to the next unit, or the lead to the bus bar, of the positive pole where it is not like the others: longer, thinner, with a poor joint")] = None
    negative: Annotated[Link | None, Meta(description="The same of the negative pole")] = None


class SharingRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A bank of parallel units and the current that it gives or takes."""

    chemistry: Annotated[BankChemistry, Meta(description="Chemistry of all units")]
    layout: Annotated[BankLayout, Meta(description="How the units are joined and where the leads of the bank sit")]
    units: Annotated[
        Annotated[list[UnitByResistance | UnitByCapacity], Meta(min_length=2, max_length=24)],
        Meta(description="The units, or strings of units that are joined at their ends only, in the order in which they stand"),
    ]
    current: Annotated[Current, Meta(description="Current of the whole bank, discharging or charging")]
    unit_limit: Annotated[Current | None, Meta(description="Largest current that one unit may give or take")] = None


class SharedUnitAnswer(Struct, frozen=True):
    """What one unit carries."""

    number: Annotated[int, Meta(description="The unit, counted from one")]
    resistance: Annotated[Amount, Meta(description="Internal resistance used")]
    typical: Annotated[bool, Meta(description="Whether that is the usual one of its chemistry, not a given one")]
    current: Annotated[Amount, Meta(description="Current; below nought where the other units drive it backwards")]
    share: Annotated[float, Meta(description="Share in the current of the bank")]
    over_equal: Annotated[float, Meta(description="Current over an equal share")]
    heat: Annotated[Amount, Meta(description="Heat inside the unit")]


class SharedLinkAnswer(Struct, frozen=True):
    """What one link, or one lead to a bus bar, carries."""

    pole: Annotated[Literal["positive", "negative"], Meta(description="Pole")]
    unit: Annotated[int, Meta(description="The unit that it starts from, counted from one: a link goes on to the next unit, a lead to the bus bar")]
    resistance: Annotated[Amount, Meta(description="Its resistance with its joints")]
    current: Annotated[Amount, Meta(description="Current")]
    heat: Annotated[Amount, Meta(description="Heat in the link and its joints")]


class BesideBusBars(Struct, frozen=True):
    """The same units behind equal leads to bus bars, each lead like a link of this bank."""

    largest_current: Annotated[Amount, Meta(description="Current of the unit that would carry most")]
    resistance: Annotated[Amount, Meta(description="Resistance of the bank with its leads")]
    current_at_limit: Annotated[Amount | None, Meta(description="Current of the bank at which the first unit would be at its limit; null without a limit")]
    ratio: Annotated[float, Meta(description="Current that this layout can give before a unit is at its limit, over the same behind bus bars: what the layout costs")]


class SharedCurrent(Struct, frozen=True):
    """How the bank shares its current."""

    layout: Annotated[model.LayoutName, Meta(description="The layout")]
    units: Annotated[list[SharedUnitAnswer], Meta(description="The units in their order")]
    links: Annotated[list[SharedLinkAnswer], Meta(description="Links or leads of the positive pole from the first unit on, then those of the negative")]
    link_resistance: Annotated[Amount, Meta(description="One link or lead with its joints, where none of its own is given")]
    equal_share: Annotated[Amount, Meta(description="Current of each unit if all shared alike")]
    most_loaded: Annotated[int, Meta(description="The unit that carries most, counted from one")]
    hottest: Annotated[int, Meta(description="The unit with the most heat inside, counted from one")]
    hottest_link: Annotated[int, Meta(description="Position of the link with the most heat in `links`, from nought")]
    usable: Annotated[float, Meta(description="Share of the units' summed current that the bank can give before the first unit is at its limit")]
    resistance: Annotated[Amount, Meta(description="Resistance of the bank at its take-off")]
    limit_verdict: Annotated[model.LimitVerdict, Meta(description="Whether one unit's limit is exceeded; with a resistance that is not given it never counts as kept")]
    current_at_limit: Annotated[Amount | None, Meta(description="Current of the bank at which the first unit is at its limit; null without a limit")]
    beside_bus_bars: Annotated[BesideBusBars, Meta(description="The same bank behind equal leads to bus bars")]
    checks: Annotated[list[CheckAnswer], Meta(description="Every check")]


class SharingAnswer(Answer):
    """How parallel units share a current."""

    sharing: Annotated[SharedCurrent, Meta(description="The currents")]


CAUTIONS = (
    "Units are taken to be equally charged and of one voltage at rest; later those that gave more fall behind and the others take over, so that currents cross the whole bank.",
    "Fuse every string at the unit, and do not join units that are not equally charged.",
    "A loose or dirty joint has more resistance than anything counted here: measure the drop of each at load.",
)


def read(request: SharingRequest, door: Door) -> model.SharingRequest:
    """The request in service units. Raises Problem outside the physical bounds, and for a link beyond the end of a chain."""
    last = len(request.units) - 1
    if not isinstance(request.layout, BusBarsLayout):
        beyond = [
            Fault("contradiction", "no link starts at the last unit of a chain", f"/units/{last}/{pole}")
            for pole in ("positive", "negative") if getattr(request.units[last], pole) is not None
        ]
        if beyond:
            raise Problem("cannot-be-calculated", faults=beyond)
    return model.SharingRequest(
        chemistry=request.chemistry, layout=read_layout(request.layout, door, "/layout"),
        units=tuple(_unit(unit, door, f"/units/{position}") for position, unit in enumerate(request.units)),
        total_current_a=door.quantity(request.current, "total_current_a", "", "current"),
        unit_limit_a=door.quantity(request.unit_limit, "unit_limit_a", "", "unit_limit"),
    )


def _unit(unit: UnitByResistance | UnitByCapacity, door: Door, pointer: str) -> model.Unit:
    own = door.quantity(unit.in_series, "own_resistance_ohm", pointer, "in_series")
    positive, negative = (
        None if given is None else read_link(given, door, f"{pointer}/{pole}")
        for pole, given in (("positive", unit.positive), ("negative", unit.negative))
    )
    if isinstance(unit, UnitByResistance):
        resistance = door.quantity(unit.resistance, "unit_resistance_ohm", pointer, "resistance")
        return model.Unit(resistance_ohm=resistance, own_resistance_ohm=own, positive=positive, negative=negative)
    return model.Unit(
        capacity_ah=door.quantity(unit.capacity, "capacity_ah", pointer, "capacity"), cells=door.number(unit.cells, "cells", pointer, "cells"),
        own_resistance_ohm=own, positive=positive, negative=negative,
    )


def write(sharing: model.Sharing, case: Case) -> SharingAnswer:
    """The answer."""
    shared = SharedCurrent(
        layout=sharing.layout,
        units=[
            SharedUnitAnswer(
                position, Amount(unit.resistance_ohm, "ohm"), unit.typical, Amount(unit.current_a, "A"), unit.share, unit.over_equal,
                Amount(unit.heat_w, "W"),
            )
            for position, unit in enumerate(sharing.units, start=1)
        ],
        links=[
            SharedLinkAnswer(link.pole, link.after, Amount(link.resistance_ohm, "ohm"), Amount(link.current_a, "A"), Amount(link.heat_w, "W"))
            for link in sharing.links
        ],
        link_resistance=Amount(sharing.link_resistance_ohm, "ohm"), equal_share=Amount(sharing.equal_current_a, "A"),
        most_loaded=sharing.largest, hottest=sharing.hottest, hottest_link=sharing.hottest_link, usable=sharing.usable_ratio,
        resistance=Amount(sharing.bank_resistance_ohm, "ohm"), limit_verdict=sharing.limit, current_at_limit=known_amount(sharing.bank_limit_a, "A"),
        beside_bus_bars=BesideBusBars(
            Amount(sharing.bus_bars_largest_a, "A"), Amount(sharing.bus_bars_resistance_ohm, "ohm"), known_amount(sharing.bus_bars_limit_a, "A"),
            sharing.layout_ratio,
        ),
        checks=[write_check(check) for check in sharing.checks],
    )
    tables = case.library.tables
    figures, constants = tables["internal_resistances"], tables["constants"]
    printed = []
    for system in sharing.systems:
        sizes, coefficient = SIZES[system]
        printed += [tables[sizes].citation, constants.citation_of_row[constants.row(coefficient)]]
    joints = constants.citation_of_row[constants.row("joint_resistance_ohm")]
    sources = [
        figures.citation_of_row[figures.row(sharing.chemistry)], *printed, joints, *[check.rule.clause for check in sharing.checks], *_SOURCES,
    ]
    return SharingAnswer(sharing=shared, **envelope(case, sources, CAUTIONS))



_SOURCES = (*cited(formulas), loop_resistance.formula.citation, resistance_at.formula.citation)
