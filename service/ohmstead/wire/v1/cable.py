"""Cables, and the ways in which the units of a bank are joined: shapes that more than one request uses."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.sharing import model
from ...reference.practices import SizeSystem
from ..door import Door
from ..quantities import DeviceTemperature, Resistance, RunLength

CableSize = Literal[
    "18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0", "250", "300", "350", "400", "500",
    "0.75 mm2", "1 mm2", "1.5 mm2", "2.5 mm2", "4 mm2", "6 mm2", "10 mm2", "16 mm2", "25 mm2", "35 mm2", "50 mm2", "70 mm2", "95 mm2",
    "120 mm2", "150 mm2", "185 mm2", "240 mm2",
]
"""Copper: AWG up to 4/0, kcmil above, or mm2 where the name says so."""


class CableRun(Struct, frozen=True, forbid_unknown_fields=True):
    """Conductors of one size out, and as many back."""

    size: Annotated[CableSize, Meta(description="Copper conductor: AWG up to 4/0, kcmil above, or mm2 where the name says so")]
    length: Annotated[RunLength, Meta(description="One-way length")]
    sets: Annotated[int, Meta(ge=1, le=12, description="Conductors in parallel per pole")] = 1


class LinkByResistance(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="resistance"):
    """The resistance is known."""

    resistance: Annotated[Resistance, Meta(description="Of one conductor with its joints; the other pole has the like")]


class LinkByCable(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="cable"):
    """Size and length are known."""

    cable: Annotated[CableRun, Meta(description="The conductor of one pole; the other pole has the like")]
    joints: Annotated[int, Meta(ge=0, le=10, description="Bolted joints of one conductor, its two ends included")] = 2
    temperature: Annotated[DeviceTemperature | None, Meta(description="Temperature of the conductor; when silent, warm for sharing and cold for a short circuit")] = None


Link = LinkByResistance | LinkByCable


class OneEndLayout(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="one-end"):
    """Links from unit to unit, both leads of the bank at the first unit."""

    link: Annotated[Link, Meta(description="Each link between neighbours, one a pole, all alike")]


class DiagonalLayout(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="diagonal"):
    """Links from unit to unit, the positive lead of the bank at the first unit and the negative one at the last."""

    link: Annotated[Link, Meta(description="Each link between neighbours, one a pole, all alike")]


class BusBarsLayout(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="bus-bars"):
    """Leads of equal length and size from every unit to common bus bars."""

    lead: Annotated[Link, Meta(description="Each lead, one a pole, all alike")]


BankLayout = OneEndLayout | DiagonalLayout | BusBarsLayout


def read_cable(cable: CableRun, door: Door, pointer: str) -> model.Cable:
    """A cable in service units. Raises Problem outside the physical bounds."""
    size, system = read_size(cable.size)
    return model.Cable(size, door.number(cable.sets, "sets", pointer, "sets"), door.quantity(cable.length, "run_m", pointer, "length"), system)


def read_size(name: CableSize) -> tuple[str, SizeSystem]:
    """A size and the system that it belongs to."""
    bare = name.removesuffix(" mm2")
    return bare, "awg" if bare == name else "mm2"


def read_layout(layout: BankLayout, door: Door, pointer: str) -> model.Layout:
    """A layout in service units. Raises Problem outside the physical bounds."""
    if isinstance(layout, BusBarsLayout):
        return model.Layout("bus-bars", read_link(layout.lead, door, f"{pointer}/lead"))
    return model.Layout("one-end" if isinstance(layout, OneEndLayout) else "diagonal", read_link(layout.link, door, f"{pointer}/link"))


def read_link(link: Link, door: Door, pointer: str) -> model.Link:
    """A link or lead in service units. Raises Problem outside the physical bounds."""
    if isinstance(link, LinkByResistance):
        return model.Link(resistance_ohm=door.quantity(link.resistance, "link_resistance_ohm", pointer, "resistance"))
    return model.Link(
        cable=read_cable(link.cable, door, f"{pointer}/cable"), joints=door.number(link.joints, "joints", pointer, "joints"),
        conductor_temperature_c=door.quantity(link.temperature, "conductor_temperature_c", pointer, "temperature"),
    )
