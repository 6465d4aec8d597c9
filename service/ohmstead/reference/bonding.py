"""Bonding rules of each practice: where neutral and earth meet, and how the conductors that join them are sized."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from importlib.resources import files
from typing import Literal

from msgspec import Struct

from ..working import Citation
from .citations import cite
from .tables import Damaged, Table

BondStrategy = Literal[
    "at-least", "as-battery-lead", "one-size-below-device-lead", "by-battery-device", "by-circuit", "as-protective-conductor",
    "by-derived-conductor", "electrode-by-line", "electrode-by-battery-lead", "no-figure", "not-needed",
]
"""How a bonding or grounding conductor is sized; the strategies are in electrical/bonding."""

STRATEGIES: frozenset[str] = frozenset(BondStrategy.__args__)


class BondRule(Struct, frozen=True):
    """What a document says, in short, and where."""

    says: str
    citation: Citation


class ConductorRule(Struct, frozen=True):
    """How one bonding or grounding conductor is sized."""

    name: str
    title: str
    strategy: BondStrategy
    says: str
    citation: Citation
    least: str | None = None
    """Smallest size, in those of the practice."""
    rod: str | None = None
    """Size that is enough where the conductor goes to a rod alone."""
    table: Table | None = None
    carries_fault: bool = False
    """Whether a short circuit of the bank can return through it."""


class BondingPractice(Struct, frozen=True):
    """Where the bond belongs in each mode."""

    shore_by_cord: bool
    """Whether the supply can be unplugged, and its bond with it."""
    switching_needed: bool
    """Whether neutrals of two sources may never be tied."""
    shore: BondRule
    transformer: BondRule
    generator: BondRule
    inverter: BondRule
    stacked: BondRule
    switching: BondRule
    earthed: BondRule
    conductors: tuple[ConductorRule, ...]
    panel: BondRule | None = None
    """The rule that keeps the neutral of the panel off earth."""
    tied: BondRule | None = None
    """Where the bond is when neutrals are tied to that of a service."""
    common: BondRule | None = None
    """Where it is when they are tied and there is no service."""
    bus: BondRule | None = None
    """Where it may be instead when every shore supply is behind a transformer: at the earth bus of the panel."""
    floating: BondRule | None = None
    """The rule that permits no bond at all, and its conditions."""
    derived: BondRule | None = None
    """The rule by which a source is separately derived or not."""
    shared_neutral: BondRule | None = None
    """The rule that bars shared neutrals on a stand-alone source of one hot."""

    @property
    def at_panel(self) -> BondRule | None:
        """The rule for a bond that all sources have in common at the panel."""
        return self.common or self.bus


_PLACES = (
    "shore", "transformer", "generator", "inverter", "stacked", "switching", "earthed", "panel", "tied", "common", "bus", "floating", "derived",
    "shared_neutral",
)


def load_bonding(tables: Mapping[str, Table]) -> dict[str, BondingPractice]:
    """Read bonding.toml against the loaded tables. Raises Damaged when it names what is not there."""
    raw = tomllib.loads((files("ohmstead.reference") / "tables" / "bonding.toml").read_text("utf-8"))
    rules = {name: BondRule(entry["says"], _cited(entry)) for name, entry in raw["rules"].items()}
    conductors = {name: _conductor(name, entry, tables) for name, entry in raw["conductors"].items()}
    return {
        name: BondingPractice(
            shore_by_cord=entry["shore_by_cord"], switching_needed=entry["switching_needed"],
            conductors=tuple(conductors[used] for used in entry["conductors"]),
            **{place: rules[entry[place]] for place in _PLACES if place in entry},
        )
        for name, entry in raw["practices"].items()
    }


def _cited(entry: dict) -> Citation:
    return cite(entry["citation"], entry.get("clause", ""), entry.get("basis"))


def _conductor(name: str, entry: dict, tables: Mapping[str, Table]) -> ConductorRule:
    if entry["strategy"] not in STRATEGIES:
        raise Damaged(f"bonding: conductor {name} has no strategy {entry['strategy']}")
    if "table" in entry and entry["table"] not in tables:
        raise Damaged(f"bonding: conductor {name} names no table {entry['table']}")
    return ConductorRule(
        entry["name"], entry["title"], entry["strategy"], entry["says"], _cited(entry), entry.get("least"), entry.get("rod"),
        tables[entry["table"]] if "table" in entry else None, entry.get("carries_fault", False),
    )
