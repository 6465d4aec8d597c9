"""Certified tables: a CSV of rows and a TOML of provenance, refused when they do not match."""

from __future__ import annotations

import csv
import math
import tomllib
from bisect import bisect_left, bisect_right
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable

from msgspec import Struct

from ..nomenclature import TERMS
from ..working import BASES, Basis, Citation, Read, Traced


class Damaged(ValueError):
    """A table and its certificate disagree; the service must not start on it."""


class Table(Struct, frozen=True):
    """Rows by column. Number columns are tuples of float (None where the cell is empty); text columns of str.

    `traced` tells which twin this is: in the traced one every number is a `Traced` with origin `Read`.
    """

    name: str
    title: str
    citation: Citation
    edition: str
    key: str
    columns: dict[str, tuple]
    basis_of_row: tuple[Basis, ...]
    citation_of_row: tuple[Citation, ...]
    citations: tuple[Citation, ...]
    """The same, each once."""
    monotone: dict[str, str]
    negated: dict[str, tuple[float, ...]]
    """Falling columns with the sign turned round, so that they rise; to find a row in, never to take a number from."""
    index: dict[str, int]
    terms: dict[str, str]
    rows: int
    traced: bool = False

    def column(self, name: str) -> tuple:
        """The column, in row order."""
        return self.columns[name]

    def row(self, key: str) -> int:
        """Position of the row with this key. Raises KeyError."""
        return self.index[key]

    def cell(self, key: str, column: str):
        """One cell by row key. Raises KeyError."""
        return self.columns[column][self.index[key]]

    def only(self, keys: tuple[str, ...]) -> "Table":
        """The rows with these keys, in this order; the cells stay those of the whole table. Raises KeyError."""
        places = [self.index[key] for key in keys]
        return Table(**{field: getattr(self, field) for field in self.__struct_fields__} | {
            "columns": {name: tuple(values[place] for place in places) for name, values in self.columns.items()},
            "negated": {name: tuple(values[place] for place in places) for name, values in self.negated.items()},
            "basis_of_row": tuple(self.basis_of_row[place] for place in places),
            "citation_of_row": tuple(self.citation_of_row[place] for place in places),
            "index": {key: position for position, key in enumerate(keys)}, "rows": len(keys),
        })

    def first_at_least(self, column: str, needed: float) -> int:
        """First row of a rising column that reaches `needed` within the tolerance; `rows` when none does."""
        return bisect_left(self.columns[column], needed - 1e-9 * abs(needed))

    def first_at_most(self, column: str, limit: float) -> int:
        """First row of a falling column that is not above `limit` within the tolerance; `rows` when none is."""
        return bisect_left(self.negated[column], -limit - 1e-9 * abs(limit))

    def last_at_most(self, column: str, limit: float) -> int:
        """Last row of a rising column that does not exceed `limit` within the tolerance; -1 when none."""
        return bisect_right(self.columns[column], limit + 1e-9 * abs(limit)) - 1


def load_citations(folder: Traversable) -> dict[str, Citation]:
    """Read citations.toml: id to citation."""
    raw = tomllib.loads((folder / "citations.toml").read_text("utf-8"))
    return {
        key: Citation(key, entry["title"], entry.get("clause", ""), entry.get("edition", ""), entry.get("basis", "published"))
        for key, entry in raw.items()
    }


def load_tables(folder: Traversable | None = None) -> dict[str, Table]:
    """Every certified table of the folder by name. Raises Damaged."""
    folder = folder or files("ohmstead.reference") / "tables"
    citations = load_citations(folder)
    names = sorted(entry.name[:-4] for entry in folder.iterdir() if entry.name.endswith(".csv"))
    return {name: _load(folder, name, citations) for name in names}


def twin(table: Table) -> Table:
    """The traced twin: the same numbers, each with its table, row, column, basis and citation."""
    def traced(column: str, position: int, value: float | None):
        if value is None:
            return None
        # A list of unlike values names the term of each row in a column of its own.
        term = TERMS[table.columns["term"][position] if table.terms[column] == "value" else table.terms[column]]
        row = str(table.columns[table.key][position]) if table.key else str(position + 1)
        origin = Read(table.name, row, column, table.basis_of_row[position], table.citation_of_row[position])
        return Traced(value, term, origin)

    columns = {
        name: tuple(traced(name, position, value) for position, value in enumerate(values)) if name in table.terms else values
        for name, values in table.columns.items()
    }
    return Table(**{field: getattr(table, field) for field in table.__struct_fields__} | {"columns": columns, "traced": True})


def _load(folder: Traversable, name: str, citations: dict[str, Citation]) -> Table:
    def refuse(why: str) -> Damaged:
        return Damaged(f"table {name}: {why}")

    certificate = tomllib.loads((folder / f"{name}.toml").read_text("utf-8"))
    with (folder / f"{name}.csv").open("r", encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    if len(rows) != certificate["rows"]:
        raise refuse(f"{len(rows)} rows, certified {certificate['rows']}")
    if any(None in row or None in row.values() for row in rows):
        raise refuse("a row has too few or too many cells")
    if certificate["citation"] not in citations:
        raise refuse(f"no such citation: {certificate['citation']}")
    header = set(rows[0])
    declared = set(certificate["columns"])
    spare = header - declared - {"basis", "citation"}
    if spare or declared - header:
        raise refuse(f"columns differ from the certificate: {sorted(spare | (declared - header))}")

    columns: dict[str, tuple] = {}
    terms: dict[str, str] = {}
    monotone: dict[str, str] = {}
    for column, promise in certificate["columns"].items():
        cells = [row[column] for row in rows]
        if promise.get("text"):
            columns[column] = tuple(cells)
            continue
        try:
            values = tuple(float(cell) if cell != "" else None for cell in cells)
        except ValueError as error:
            raise refuse(f"{column}: {error}") from None
        known = [value for value in values if value is not None]
        if not all(map(math.isfinite, known)) or not math.isclose(math.fsum(known), promise["sum"], rel_tol=1e-9, abs_tol=1e-9):
            raise refuse(f"{column}: sum {math.fsum(known)!r}, certified {promise['sum']}")
        if promise["term"] not in TERMS:
            raise refuse(f"{column}: {promise['term']} is not in the nomenclature")
        if promise["unit"] != TERMS[promise["term"]].unit:
            raise refuse(f"{column}: certified in {promise['unit']}, {promise['term']} is in {TERMS[promise['term']].unit}")
        direction = promise.get("monotone")
        if direction:
            if len(known) != len(values):
                raise refuse(f"{column}: a monotone column has no empty cells")
            pairs = zip(values, values[1:])
            if not all(a < b if direction == "rising" else a > b for a, b in pairs):
                raise refuse(f"{column}: not strictly {direction}")
            monotone[column] = direction
        columns[column] = values
        terms[column] = promise["term"]

    default = certificate.get("basis", "recalled")
    bases = tuple(row.get("basis") or default for row in rows)
    if not set(bases) <= set(BASES):
        raise refuse(f"unknown basis: {sorted(set(bases) - set(BASES))}")
    sources = tuple(row.get("citation") or certificate["citation"] for row in rows)
    missing = set(sources) - set(citations)
    if missing:
        raise refuse(f"no such citation: {sorted(missing)}")
    edition, clause = certificate.get("edition", ""), certificate.get("clause", "")

    @cache
    def cite(source: str, basis: Basis) -> Citation:
        base = citations[source]
        return Citation(source, base.title, clause if source == certificate["citation"] else base.clause, edition or base.edition, basis)

    key = certificate.get("key", "")
    index = {row[key]: position for position, row in enumerate(rows)} if key else {}
    if key and len(index) != len(rows):
        raise refuse(f"the key {key} is not unique")
    rows_cited = tuple(map(cite, sources, bases))
    return Table(
        name=name, title=certificate["title"], citation=cite(certificate["citation"], default), edition=edition, key=key,
        columns=columns, basis_of_row=bases, citation_of_row=rows_cited, citations=tuple(dict.fromkeys(rows_cited)), monotone=monotone,
        negated={column: tuple([-value for value in columns[column]]) for column, direction in monotone.items() if direction == "falling"},
        index=index, terms=terms, rows=len(rows),
    )
