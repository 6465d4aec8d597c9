"""Numbers that know what they are and what made them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Union

from msgspec import Struct

from .term import Basis, Citation, Term

if TYPE_CHECKING:
    from .formula import Formula


class Unexplained(TypeError):
    """A number without an origin met numbers that have one."""


class Given(Struct, frozen=True):
    """The request said so, at this JSON Pointer."""

    pointer: str


class Assumed(Struct, frozen=True):
    """The request was silent and this documented default stood in."""

    name: str
    basis: Basis
    citation: Citation
    why: str


class Read(Struct, frozen=True):
    """A cell of a certified table."""

    table: str
    row: str
    column: str
    basis: Basis
    citation: Citation


class Derived(Struct, frozen=True):
    """A formula made it from these numbers."""

    formula: "Formula"
    operands: tuple


class Chosen(Struct, frozen=True):
    """A decision, not a quantity: a count, or a size out of a series. `of` are the numbers it was made from."""

    why: str
    of: tuple = ()


Origin = Union[Given, Assumed, Read, Derived, Chosen]


class Traced(float):
    """A float with a term and an origin. It takes part in formulas; plain arithmetic on it loses the trace."""

    __slots__ = ("term", "origin")

    term: Term
    origin: Origin

    def __new__(cls, value: float, term: Term, origin: Origin) -> "Traced":
        self = float.__new__(cls, value)
        self.term = term
        self.origin = origin
        return self

    def __reduce__(self):
        return (Traced, (float(self), self.term, self.origin))
