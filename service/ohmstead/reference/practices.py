"""Practices: which document rules which circuit of which dwelling, as data with named strategies."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from importlib.resources import files
from typing import Literal

from msgspec import Struct

from ..working import Citation
from .tables import Damaged, Table, load_citations

CircuitClass = Literal[
    "bank-unit", "bank-main", "inverter-dc", "controller-input", "controller-output", "dc-dc-input", "dc-dc-output",
    "charger-output", "dc-feeder", "dc-branch", "always-live", "shore-inlet", "generator-feeder", "inverter-ac", "ac-feeder", "ac-branch",
]

DeviceRelation = Literal["not-above-ampacity", "next-size-up", "conductor-not-below-device"]
"""How far a device may exceed the ampacity that it protects; the strategies are in electrical/protection."""


class RuleSource(Struct, frozen=True):
    """What one document says about one class of circuit. Numbers are floats, traced in the traced library."""

    name: str
    document: str
    citation: Citation
    by_analogy: bool
    current: Literal["direct", "alternating"]
    ampacity: Table
    ambient: Table
    bundling: Table
    caps: Table
    grounding: Table
    standard_ratings: Table
    device_relation: DeviceRelation
    device_use: str
    """Which use of the device families the class of circuit draws on."""
    continuous_factor: float
    source_distance_m: float | None
    drop_limit_default: str
    """Name of the documented default for the allowed drop."""
    parallel_from: str
    """Smallest size that may be paralleled."""
    grounding_conductor: bool
    """Whether each circuit carries an equipment grounding conductor sized by its device."""
    grounding_enlarged: bool
    """Whether that conductor grows with circuit conductors enlarged for voltage drop."""
    printed: tuple[Citation, ...]
    """Where its document, its tables and its constants are printed."""
    free_air: Table | None = None


class Duty(Struct, frozen=True):
    """A finding that the practice calls for where a condition holds."""

    when: str
    """Name of the condition; the strategies are in plan/duties."""
    code: str
    pointer: str


class Practice(Struct, frozen=True):
    """One rule source per class of circuit, for the kinds of dwelling that the practice fits."""

    name: str
    title: str
    kinds: tuple[str, ...]
    sources: dict[str, RuleSource]
    chassis_return: bool
    duties: tuple[Duty, ...]

    def source(self, circuit_class: str) -> RuleSource:
        """The rules of a class of circuit. Raises KeyError for a class the practice does not know."""
        return self.sources[circuit_class]

    def fits(self, kind: str) -> bool:
        """Whether the practice is written for this kind of dwelling."""
        return kind in self.kinds


_TABLES = ("ampacity", "ambient", "bundling", "caps", "grounding", "standard_ratings", "free_air")


def load_practices(tables: Mapping[str, Table]) -> dict[str, Practice]:
    """Read practices.toml against the loaded tables. Raises Damaged when it names what is not there."""
    folder = files("ohmstead.reference") / "tables"
    raw = tomllib.loads((folder / "practices.toml").read_text("utf-8"))
    citations = load_citations(folder)
    constants = tables["constants"]

    def source(name: str, entry: dict) -> RuleSource:
        def table(field: str) -> Table:
            if entry[field] not in tables:
                raise Damaged(f"practices: rule source {name} names no table {entry[field]}")
            return tables[entry[field]]

        used = [entry[name] for name in ("continuous_factor", "source_distance") if name in entry]
        printed = dict.fromkeys([
            citations[entry["citation"]],
            *[tables[entry[name]].citation for name in _TABLES if name in entry and entry[name] in tables],
            *[constants.citation_of_row[constants.row(name)] for name in used],
        ])
        return RuleSource(
            name=name, document=entry["document"], citation=citations[entry["citation"]], by_analogy=entry["by_analogy"],
            current=entry["current"], ampacity=table("ampacity"), ambient=table("ambient"), bundling=table("bundling"),
            caps=table("caps"), grounding=table("grounding"), standard_ratings=table("standard_ratings"),
            device_relation=entry["device_relation"], device_use=entry["device_use"],
            continuous_factor=constants.cell(entry["continuous_factor"], "value"),
            source_distance_m=constants.cell(entry["source_distance"], "value") if "source_distance" in entry else None,
            drop_limit_default=entry["drop_limit"], parallel_from=entry["parallel_from"],
            grounding_conductor=entry["grounding_conductor"], grounding_enlarged=entry["grounding_enlarged"], printed=tuple(printed),
            free_air=table("free_air") if "free_air" in entry else None,
        )

    sources = {name: source(name, entry) for name, entry in raw["sources"].items()}
    return {
        name: Practice(
            name=name, title=entry["title"], kinds=tuple(entry["kinds"]), chassis_return=entry["chassis_return"],
            duties=tuple(Duty(**duty) for duty in entry["duties"]),
            sources={circuit: sources[used] for circuit, used in entry["classes"].items()},
        )
        for name, entry in raw["practices"].items()
    }
