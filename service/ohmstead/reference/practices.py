"""Practices: which document rules which circuit of which dwelling, as data with named strategies."""

from __future__ import annotations

import tomllib
from collections.abc import Collection, Mapping
from importlib.resources import files
from typing import Literal, NamedTuple

from msgspec import Struct
from msgspec.structs import force_setattr, replace

from ..working import Citation
from .tables import Damaged, Table, load_citations

CircuitClass = Literal[
    "bank-unit", "bank-main", "inverter-dc", "controller-input", "controller-output", "dc-dc-input", "dc-dc-output",
    "charger-output", "dc-feeder", "dc-branch", "always-live", "shore-inlet", "generator-feeder", "inverter-ac", "ac-feeder", "ac-branch",
]

DeviceRelation = Literal["not-above-ampacity", "next-size-up", "conductor-not-below-device", "next-size-up-to-excess"]
"""How far a device may exceed the ampacity that it protects; the strategies are in electrical/protection."""

GroundingRule = Literal["by-device", "one-size-below", "one-size-below-above-step", "by-line-conductor"]
"""How a grounding or protective conductor is sized; the strategies are in electrical/protection."""

DropRule = Literal["circular-mils", "square-millimetres"]
"""The trade's relation for the conventional drop; the strategies are in electrical/conductors."""

SizeSystem = Literal["awg", "mm2"]


class Sizes(NamedTuple):
    """All sizes of a system; a rule source may know fewer of them."""

    table: str
    coefficient: str
    """The constant by which their resistance moves with temperature."""


SIZES: dict[SizeSystem, Sizes] = {
    "awg": Sizes("awg_conductors", "copper_temperature_coefficient"),
    "mm2": Sizes("mm2_conductors", "copper_temperature_coefficient_metric"),
}

EarthPoint = Literal["chassis", "electrode", "earth-bus"]
"""Where exposed metal is joined: the frame of a vehicle, an earth bus bar that leads to a grounding electrode, or an earth bus bar alone."""


class Column(Struct, frozen=True):
    """Ampacities for one temperature rating, in the order of the rule source's sizes."""

    rating_c: float
    table: Table
    values: tuple[float, ...]
    """Shorter than the sizes where the table ends before them."""
    ambient: Table
    factor: str
    """Column of its ambient table that belongs to it."""


class Ampacities(Struct, frozen=True):
    """Columns of one or more tables, the hottest rating first."""

    columns: tuple[Column, ...]

    def at(self, rating_c: float) -> Column | None:
        """The hottest column that a rating may use; None when all are hotter."""
        for column in self.columns:
            if rating_c >= column.rating_c:
                return column
        return None


class Clauses(Struct, frozen=True):
    """Where a rule source prints what the checks of a circuit demand."""

    terminals: Citation
    conditions: Citation
    drop: Citation
    drop_hot: Citation
    protects: Citation
    scope: Citation


class OwnChoice(Struct, frozen=True):
    """What no document says and this service chose."""

    name: str
    text: str
    why: str
    citation: Citation


class RuleSource(Struct, frozen=True):
    """What one document says about one class of circuit. Numbers are floats, traced in the traced library."""

    name: str
    document: str
    citation: Citation
    by_analogy: bool
    current: Literal["direct", "alternating"]
    size_system: SizeSystem
    sizes: Table
    """Conductor sizes for which the document has an ampacity."""
    ampacity: Ampacities
    ambient: Table
    bundling: Table
    bundling_free_run_m: float | None
    """Run up to which conductors together are not adjusted."""
    caps: Table | None
    grounding_rule: GroundingRule | None
    grounding: Table | None
    grounding_steps: tuple[float, ...]
    """Where the grounding rule changes: amperes or square millimetres, as the rule asks."""
    standard_ratings: Table | None
    device_relation: DeviceRelation
    device_allowance: DeviceRelation | None
    """A looser relation that the document permits, used only where nothing else fits, and then said."""
    device_excess: float | None
    device_use: str
    """Which use of the device families the class of circuit draws on."""
    continuous_factor: float
    device_factor: float
    """The same for the device alone."""
    least_factor: float | None
    """Factor on the current of any duration, where the document has one, as for conductors from a generator."""
    source_distance_m: float | None
    source_distance_sheathed_m: float | None
    """The same where the conductor is sheathed or enclosed up to the device."""
    drop_limit_default: str
    """Name of the documented default for the allowed drop."""
    drop_limit_other: str
    """The same for loads that do not mind the voltage."""
    ambient_default: str
    insulation_default: str
    terminal_defaults: tuple[str, ...]
    """Documented rating of unmarked terminals; a second one for circuits of large currents."""
    smallest: str | None
    """Smallest size that the document permits for a conductor on its own."""
    largest: str
    """Largest size that is used where nobody said what the terminals take."""
    parallel_from: str
    """Smallest size that may be paralleled."""
    lugs: Table | None
    copper_coefficient: float
    drop_rule: DropRule
    drop_constant: float
    voltage_limit_v: float | None
    """Nominal voltage up to which the document is written."""
    voltage_split_v: float | None
    """Nominal voltage at which its rules change."""
    clauses: Clauses
    grounding_conductor: bool
    """Whether each circuit carries a grounding or protective conductor of its own."""
    grounding_enlarged: bool
    """Whether that conductor grows with circuit conductors enlarged for voltage drop."""
    printed: dict[Citation, None]
    """Where its document, its tables and its constants are printed, those that every circuit rests on last; each once, in order."""
    free_air: Ampacities | None = None
    return_rule: Citation | None = None
    """Where it is printed how the current may return."""
    chassis_return_a: float | None = None
    """Largest current that may return by a chassis; None where only a conductor may carry it."""
    opens_neutral: bool = False
    """Whether its breakers open the neutral together with the live conductors."""
    people: str | None = None
    """Group of rules of the table of people protection; None where there is none, as for direct current."""
    own_choices: tuple[OwnChoice, ...] = ()
    """What of the above no document says."""
    largest_row: int = 0
    """Where the sizes stand that are named above, found once: the largest, ..."""
    parallel_row: int = 0
    """... the smallest in parallel, ..."""
    smallest_row: int = 0
    """... the smallest on its own; the first where none is named."""
    cap_of_row: tuple[float | None, ...] = ()
    """Largest device by the small-conductor rule, by size; None where there is none."""

    def __post_init__(self) -> None:
        row, caps = self.sizes.index, self.caps
        force_setattr(self, "largest_row", row[self.largest])
        force_setattr(self, "parallel_row", row[self.parallel_from])
        force_setattr(self, "smallest_row", 0 if self.smallest is None else row[self.smallest])
        names = self.sizes.columns[self.sizes.key]
        capped = () if caps is None else caps.index
        force_setattr(self, "cap_of_row", tuple(caps.columns["cap_a"][capped[name]] if name in capped else None for name in names))

    def poles(self, legs: int) -> int:
        """Poles of a circuit's breaker: its live legs, and the neutral where the practice opens it too."""
        return legs + self.opens_neutral

    @property
    def largest_with_lug(self) -> str:
        """Largest size for which lugs are listed."""
        return self.largest if self.lugs is None else self.lugs.columns["size"][-1]


def chosen_by_us(source: RuleSource, used: Collection[str]) -> tuple[OwnChoice, ...]:
    """Of what was used, by its name, that which no document says."""
    return tuple(choice for choice in source.own_choices if choice.name in used)


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
    earth_point: EarthPoint
    negative_grounded: bool
    """Whether the negative of the bank is joined to the earth point, once."""
    chassis_return: bool
    """Whether the chassis may carry return current."""
    line_voltage_v: float
    """Nominal voltage from line to neutral."""
    receptacle_circuit_va: float
    """What a receptacle circuit is loaded with."""
    continuous_share: str
    """Name of the documented default for the share of a breaker that is programmed or planned on for hours."""
    drop_total: dict[str, str]
    """Name of the documented default for the drop of feeders and branch together, by the kind of current."""
    feeder_share: dict[str, str]
    """Name of the documented default for the share of that which feeders take."""
    clauses_of: tuple[str, ...]
    """First words of the clauses that mean something where the practice holds; empty where all do."""
    duties: tuple[Duty, ...]

    def source(self, circuit_class: str) -> RuleSource:
        """The rules of a class of circuit. Raises KeyError for a class the practice does not know."""
        return self.sources[circuit_class]

    def fits(self, kind: str) -> bool:
        """Whether the practice is written for this kind of dwelling."""
        return kind in self.kinds


_TABLES = ("ambient", "bundling", "caps", "grounding", "standard_ratings")
_CONSTANTS = ("continuous_factor", "device_factor", "least_factor", "source_distance", "source_distance_sheathed", "device_excess", "voltage_limit", "voltage_split")
_EVERY_CIRCUIT = ("copper_coefficient", "bundling_free_run", "drop_constant")
_ANY_DISTANCE = "any"


def load_practices(tables: Mapping[str, Table]) -> dict[str, Practice]:
    """Read practices.toml against the loaded tables. Raises Damaged when it names what is not there."""
    folder = files("ohmstead.reference") / "tables"
    raw = tomllib.loads((folder / "practices.toml").read_text("utf-8"))
    reader = _Reader(tables, load_citations(folder), raw)
    sources = {name: reader.source(name) for name in raw["sources"]}
    return {
        name: Practice(
            name=name, title=entry["title"], kinds=tuple(entry["kinds"]), earth_point=entry["earth_point"],
            negative_grounded=entry["negative_grounded"], chassis_return=entry["chassis_return"],
            line_voltage_v=reader.value(entry, "line_voltage"), receptacle_circuit_va=reader.value(entry, "receptacle_circuit"),
            continuous_share=entry["continuous_share"], drop_total=entry["drop_total"], feeder_share=entry["feeder_share"],
            clauses_of=tuple(entry["clauses_of"]),
            duties=tuple(Duty(**duty) for duty in entry["duties"]),
            sources={circuit: sources[used] for circuit, used in entry["classes"].items()},
        )
        for name, entry in raw["practices"].items()
    }


class _Reader:
    """Reads rule sources: a source is `like` another one in all that it does not say itself."""

    def __init__(self, tables: Mapping[str, Table], citations: Mapping[str, Citation], raw: dict):
        self.tables, self.citations, self.raw = tables, citations, raw
        self.constants = tables["constants"]
        self.cut: dict[tuple, Table] = {}

    def entry(self, name: str) -> dict:
        """What a source says, and what it takes from the one that it is like. An empty word takes back what that one says."""
        said = self.raw["sources"][name]
        told = self.entry(said["like"]) | said if "like" in said else said
        return {field: value for field, value in told.items() if value != ""}

    def source(self, name: str) -> RuleSource:
        """A rule source with its tables and constants. Raises Damaged."""
        entry = self.entry(name)
        asked = [self.raw["ampacities"][entry[field]] for field in ("ampacity", "free_air") if field in entry]
        sizes = self.sizes(name, entry["sizes"], [self.table(name, column[1]) for column in asked[0]])
        ampacity, *free_air = [self.ampacities(columns, sizes, self.table(name, entry["ambient"])) for columns in asked]
        printing = [column.table for ampacities in (ampacity, *free_air) for column in ampacities.columns]
        other = [self.table(name, entry[field]) for field in (*_TABLES, "lugs") if field in entry]
        other += [self.table(name, column[3]) for columns in asked for column in columns if len(column) > 3]
        used = [entry[field] for field in _CONSTANTS if field in entry and entry[field] != _ANY_DISTANCE] + entry.get("grounding_steps", [])
        distance = self.value(entry, "source_distance")
        return RuleSource(
            name=name, document=entry["document"], citation=self.citations[entry["citation"]], by_analogy=entry["by_analogy"],
            current=entry["current"], size_system=entry["size_system"], sizes=sizes, ampacity=ampacity,
            ambient=self.table(name, entry["ambient"]), bundling=self.table(name, entry["bundling"]),
            bundling_free_run_m=self.value(entry, "bundling_free_run"), caps=self.optional(name, entry, "caps"),
            grounding_rule=entry.get("grounding_rule"), grounding=self.optional(name, entry, "grounding"),
            grounding_steps=tuple(self.constants.cell(step, "value") for step in entry.get("grounding_steps", ())),
            standard_ratings=self.optional(name, entry, "standard_ratings"), device_relation=entry["device_relation"],
            device_allowance=entry.get("device_allowance"), device_excess=self.value(entry, "device_excess"), device_use=entry["device_use"],
            continuous_factor=self.value(entry, "continuous_factor"), device_factor=self.value(entry, "device_factor"),
            least_factor=self.value(entry, "least_factor"),
            source_distance_m=distance,
            source_distance_sheathed_m=self.value(entry, "source_distance_sheathed") if "source_distance_sheathed" in entry else distance,
            drop_limit_default=entry["drop_limit"], drop_limit_other=entry["drop_limit_other"], ambient_default=entry["ambient_default"],
            insulation_default=entry["insulation_default"], terminal_defaults=tuple(entry["terminal_defaults"]),
            smallest=entry.get("smallest"), largest=entry["largest"], parallel_from=entry["parallel_from"], lugs=self.optional(name, entry, "lugs"),
            copper_coefficient=self.value(entry, "copper_coefficient"), drop_rule=entry["drop_rule"], drop_constant=self.value(entry, "drop_constant"),
            voltage_limit_v=self.value(entry, "voltage_limit"), voltage_split_v=self.value(entry, "voltage_split"),
            clauses=Clauses(**{field: self.clause(*place) for field, place in self.raw["clauses"][entry["clauses"]].items()}),
            grounding_conductor=entry["grounding_conductor"], grounding_enlarged=entry["grounding_enlarged"],
            printed=dict.fromkeys([
                self.citations[entry["citation"]], *self.cited([*printing[: len(ampacity.columns)], *other, *printing[len(ampacity.columns):]]),
                *map(self.cited_constant, used), sizes.citation, *(self.cited_constant(entry[field]) for field in _EVERY_CIRCUIT if field in entry),
            ]),
            return_rule=self.clause(*entry.get("return_rule", (entry["citation"], ""))), chassis_return_a=self.value(entry, "chassis_return"),
            free_air=free_air[0] if free_air else None, people=self.people(name, entry),
            opens_neutral=entry.get("opens_neutral", False),
            own_choices=tuple(
                OwnChoice(choice, said["text"], said["why"], self.clause("common-practice", "chosen for this service"))
                for choice in entry.get("own", ()) for said in (self.raw["choices"][choice],)
            ),
        )

    def table(self, source: str, name: str) -> Table:
        """A table by name. Raises Damaged."""
        if name not in self.tables:
            raise Damaged(f"practices: rule source {source} names no table {name}")
        return self.tables[name]

    def optional(self, source: str, entry: dict, field: str) -> Table | None:
        """The table that a field names, if it does."""
        return self.table(source, entry[field]) if field in entry else None

    def value(self, entry: dict, field: str) -> float | None:
        """The constant that a field names, if it does."""
        return self.constants.cell(entry[field], "value") if field in entry and entry[field] != _ANY_DISTANCE else None

    def people(self, source: str, entry: dict) -> str | None:
        """The group of rules that protects people, if there is one. Raises Damaged for one that the table does not know."""
        group = entry.get("people")
        if group is not None and group not in self.tables["people_protection"].columns["rules"]:
            raise Damaged(f"practices: rule source {source}: nothing protects people by the name {group}")
        return group

    def sizes(self, source: str, name: str, printed: list[Table]) -> Table:
        """The sizes of a table that all ampacity tables hold, in its order."""
        table = self.table(source, name)
        names = tuple(size for size in table.columns[table.key] if all(size in other.index for other in printed))
        return self.cut.setdefault((name, names), table.only(names))

    def ampacities(self, columns: list, sizes: Table, ambient: Table) -> Ampacities:
        """The columns that a list of rating, table and column names, cut to the sizes; a fourth name is an ambient table of its own."""
        return Ampacities(tuple(
            Column(float(rating), self.tables[table], self.down_the(column, self.tables[table], sizes), self.tables[own[0]] if own else ambient, f"f_{rating}")
            for rating, table, column, *own in columns
        ))

    def down_the(self, column: str, table: Table, sizes: Table) -> tuple[float, ...]:
        """The cells of a column for the sizes, as far as the table goes."""
        names = sizes.columns[sizes.key]
        held = next((position for position, size in enumerate(names) if size not in table.index), len(names))
        return tuple(table.cell(size, column) for size in names[:held])

    def clause(self, source: str, clause: str) -> Citation:
        """A citation narrowed to a clause."""
        known = self.citations[source]
        return replace(known, clause=clause or known.clause)

    def cited(self, tables: list[Table]) -> list[Citation]:
        """Where tables are printed."""
        return [table.citation for table in tables]

    def cited_constant(self, name: str) -> Citation:
        """Where a constant is printed."""
        return self.constants.citation_of_row[self.constants.row(name)]
