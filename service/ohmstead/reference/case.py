"""The surroundings of one calculation: facts, defaults, findings, and whether numbers are traced."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from functools import cached_property
from typing import Any

from msgspec import Struct

from ..nomenclature import TERMS
from ..working import Assumed, Basis, Chosen, Citation, Finding, Traced, at_least, at_most
from .bonding import BondingPractice, load_bonding
from .devices import Families, families_by_use
from .findings import FINDINGS
from .practices import Practice, RuleSource, chosen_by_us, load_practices
from .tables import Table, load_tables, twin


class Assumption(Struct, frozen=True, cache_hash=True):
    """A value that the request did not give and that was used all the same."""

    name: str
    value: float | None
    unit: str
    text: str
    basis: Basis
    citation: Citation
    why: str
    pointer: str = ""


class Library:
    """Every certified table and practice, in plain numbers or in traced ones; built once at start."""

    def __init__(self, tables: Mapping[str, Table], traced: bool):
        self.traced = traced
        self.tables = {name: twin(table) for name, table in tables.items()} if traced else dict(tables)
        self.practices: dict[str, Practice] = load_practices(self.tables)
        self.fitting_sizes: dict[tuple, tuple[bool, ...]] = {}
        """Which sizes are made for studs, by rule source: words of the tables alone, so that they are found once for all."""
        self.bonding: dict[str, BondingPractice] = load_bonding(self.tables)
        self.written: dict[Assumption, Any] = {}
        """The documented defaults as answers say them, made once by what writes answers."""

    @cached_property
    def series(self) -> dict[str, tuple[float, ...]]:
        """Ratings really made, rising, by device family."""
        made: dict[str, list[float]] = {}
        columns = self.tables["device_series"].columns
        for family, rating in zip(columns["family"], columns["rating_a"]):
            made.setdefault(family, []).append(rating)
        return {family: tuple(sorted(ratings)) for family, ratings in made.items()}

    @cached_property
    def constants(self) -> dict[str, float]:
        """Every constant of nature or of a rule by name."""
        columns = self.tables["constants"].columns
        return dict(zip(columns["name"], columns["value"], strict=True))

    @cached_property
    def families(self) -> dict[str, Families]:
        """Families of devices by use."""
        return families_by_use(self.tables["device_families"])

    @cached_property
    def curves(self) -> dict[str, tuple[int, ...]]:
        """Rows of the time-current table by device family, the multiples rising within a band of ratings."""
        table = self.tables["time_current"].columns
        found: dict[str, list[int]] = {}
        for row in sorted(range(len(table["family"])), key=lambda row: (table["from_rating_a"][row], table["multiple"][row])):
            found.setdefault(table["family"][row], []).append(row)
        return {family: tuple(rows) for family, rows in found.items()}

    @cached_property
    def heat(self) -> dict[str, tuple[int, ...]]:
        """Rows of the table of ambient factors by device family, in its order."""
        found: dict[str, list[int]] = {}
        for row, families in enumerate(self.tables["device_ambient"].columns["families"]):
            for family in families.split():
                found.setdefault(family, []).append(row)
        return {family: tuple(rows) for family, rows in found.items()}

    @cached_property
    def people(self) -> dict[tuple[str, str], tuple[int, ...]]:
        """Rows of the table of people protection by group of rules and class of circuit."""
        table = self.tables["people_protection"].columns
        found: dict[tuple[str, str], list[int]] = {}
        for row, (rules, classes) in enumerate(zip(table["rules"], table["classes"], strict=True)):
            for circuit_class in classes.split():
                found.setdefault((rules, circuit_class), []).append(row)
        return {key: tuple(rows) for key, rows in found.items()}

    @cached_property
    def defaults(self) -> dict[str, tuple[float, Assumption]]:
        """Every documented default by name: the number, and how it is said when it is used."""
        table, found = self.tables["defaults"], {}
        for row, name in enumerate(table.columns["name"]):
            value, term = float(table.columns["value"][row]), TERMS[table.columns["term"][row]]
            basis, citation, why = table.basis_of_row[row], table.citation_of_row[row], table.columns["why"][row]
            said = Assumption(name, value, term.unit, "", basis, citation, why)
            found[name] = (Traced(value, term, Assumed(name, basis, citation, why)) if self.traced else value), said
        return found

    @cached_property
    def largest_lug(self) -> str:
        """Largest conductor for which copper lugs are listed; above it conductors are paralleled."""
        return self.tables["lugs"].columns["size"][-1]

    @cached_property
    def editions(self) -> dict[str, str]:
        """Edition of every table that has one."""
        return {name: table.edition for name, table in self.tables.items() if table.edition}


class Shelf:
    """Both twins of the library. Raises Damaged when a table does not match its certificate."""

    def __init__(self) -> None:
        tables = load_tables()
        self.plain = Library(tables, traced=False)
        self.traced = Library(tables, traced=True)

    def case(self, *, traced: bool = False, house_rules: Mapping[str, float] | None = None) -> "Case":
        """Open a case for one calculation."""
        return Case(self.traced if traced else self.plain, house_rules or {})


def _to_say(value: float) -> str:
    """Four digits are enough in a sentence; the answer itself has them all."""
    said = f"{value:.4g}"
    return said if "e" not in said else f"{float(said):.10g}"


def no_more(value: float, digits: int = 1) -> str:
    """A limit in a sentence, rounded down as the schedules round it: whoever programs it must not end up above it.

    >>> no_more(11.4552), no_more(80.0), no_more(3852.9, 0)
    ('11.4', '80', '3852')
    """
    return _towards(value, digits, ROUND_FLOOR)


def no_less(value: float, digits: int = 1) -> str:
    """What is asked for or drawn in a sentence, rounded up as the schedules round it.

    >>> no_less(336.13), no_less(40.0), no_less(4095.2, 0)
    ('336.2', '40', '4096')
    """
    return _towards(value, digits, ROUND_CEILING)


def _towards(value: float, digits: int, rounding: str) -> str:
    """Ten significant digits first, so that what binary arithmetic leaves behind moves nothing."""
    said = f"{value:.10g}"
    if said.isdigit():
        return said
    rounded = Decimal(said).quantize(Decimal(1).scaleb(-digits), rounding)
    return f"{rounded.normalize():f}"


def _as_it_is(pointer: str) -> str:
    return pointer


class Case:
    """What one calculation reads from and writes to."""

    __slots__ = ("library", "traced", "house_rules", "assumptions", "findings", "places", "surroundings", "_assumed")

    def __init__(self, library: Library, house_rules: Mapping[str, float]):
        self.library = library
        self.traced = library.traced
        self.house_rules = house_rules
        self.assumptions: list[Assumption] = []
        self.findings: list[Finding] = []
        self.places: Callable[[str], str] = _as_it_is
        """Turns a pointer into the request of a part into one into the request of the whole."""
        self.surroundings: dict[tuple, object] = {}
        """What circuits of one class share, worked out once a calculation."""
        self._assumed: dict[str, float] = {}

    def assume(self, name: str, given: float | None = None) -> float:
        """The given number, else the house rule, else the documented default, which is then listed once.

        A house rule that would loosen a safety rule is not obeyed: the default stays, and that is said once.
        Raises KeyError when no default of this name is documented.
        """
        if given is not None:
            return given
        known = self._assumed.get(name)
        if known is not None:
            return known
        ruled = self.house_rules.get(name)
        if ruled is not None and not self._loosens(name, ruled):
            self._assumed[name] = ruled
            return ruled
        value, said = self.library.defaults[name]
        if ruled is not None:
            self.note("house-rule-loosens", "/house_rules", name=name, given=float(ruled), kept=float(value))
        self.assumptions.append(said)
        self._assumed[name] = value
        return value

    def _loosens(self, name: str, ruled: float) -> bool:
        """Whether a house rule would move a safety rule the wrong way."""
        table = self.library.tables["defaults"]
        row = table.row(name)
        stricter, value = table.columns["stricter"][row], table.columns["value"][row]
        return (stricter == "lower" and not at_most(ruled, value)) or (stricter == "higher" and not at_least(ruled, value))

    def assume_choice(self, name: str, given: str | None, default: str, why: str, citation: Citation) -> str:
        """The given word, else the default, which is then listed."""
        if given is not None:
            return given
        if name not in self._assumed:
            self._assumed[name] = 0.0
            self.assumptions.append(Assumption(name, None, "", default, citation.basis, citation, why))
        return default

    def assume_own(self, source: RuleSource, used: Collection[str]) -> None:
        """List, each once, what was used and no document says."""
        for choice in chosen_by_us(source, used):
            self.assume_choice(choice.name, None, choice.text, choice.why, choice.citation)

    def assumed_value(self, name: str, value: float, why: str, citation: Citation, pointer: str = "") -> float:
        """List a number that was worked out or looked up in place of a missing one, and return it."""
        self.assumptions.append(Assumption(name, float(value), TERMS[name].unit, "", citation.basis, citation, why, self.places(pointer)))
        return value

    def assume_worse(self, name: str, known: float, why: str, citation: Citation, pointer: str) -> None:
        """Let a number of the request take the place of a default that it shows to be too low; a house rule keeps its say."""
        ruled = self.house_rules.get(name)
        if at_most(known, self.library.defaults[name][0]) or (ruled is not None and not self._loosens(name, ruled)):
            return
        if ruled is not None:
            self.note("house-rule-loosens", "/house_rules", name=name, given=float(ruled), kept=float(known))
        unit = self.library.defaults[name][1].unit
        self.assumptions.append(Assumption(name, float(known), unit, "", citation.basis, citation, why, self.places(pointer)))
        self._assumed[name] = known

    def beside(self) -> "Case":
        """A case for an alternative of the same request: its findings are its own."""
        return Case(self.library, self.house_rules)

    def take_assumptions(self, other: "Case") -> None:
        """List what an alternative assumed beside what this case did."""
        self.assumptions.extend(said for said in other.assumptions if said not in self.assumptions)

    def constant(self, name: str) -> float:
        """A constant of nature or of a rule, from the certified list. Raises KeyError."""
        return self.library.constants[name]

    def chosen(self, value: float, term: str, why: str, *of: float) -> float:
        """A count or a picked size as a number that formulas accept."""
        if self.traced:
            return Traced(float(value), TERMS[term], Chosen(why, of))
        return float(value)

    def note(self, code: str, pointer: str = "", **values) -> None:
        """Add a finding; `clause` stands in where the code has none of its own. Raises KeyError for a code that is not declared."""
        known = FINDINGS[code]
        said = {key: _to_say(value) if isinstance(value, float) else value for key, value in values.items()}
        message, cure = known.filled(said)
        self.findings.append(Finding(code, known.kind, known.severity, message, cure, known.clause or said.get("clause", ""), self.places(pointer)))
