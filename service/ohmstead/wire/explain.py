"""A finished answer gone through once more: for its working, or for the units of another system.

A plan holds thousands of fields and few kinds of them, so which fields of a shape can hold a number is found out
once.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import Any

from msgspec import Struct, structs
from msgspec import inspect as shapes

from ..units import System, from_service
from ..working import Assumed, Chosen, Derived, Given, Read, Traced, trace
from .base import Answer, Edition, Finding, WorkedNumber, Working
from .quantities import Amount

_NUMBERS = (shapes.FloatType, shapes.AnyType, shapes.CustomType)


def explain(answer: Answer) -> Working:
    """The working behind every traced number of an answer. Raises TypeError for a number of unknown origin."""
    places: dict[str, Traced] = {}
    _find(answer, "", places)
    ids: dict[int, int] = {}
    numbers: list[WorkedNumber] = []
    for position, number in enumerate(trace.behind(places.values())):  # operands come before results
        ids[id(number)] = position
        numbers.append(_worked(position, number, ids))
    return Working(numbers, dict(zip(places, _ids_of(places.values(), ids), strict=True)))


def _ids_of(numbers: Iterable[Traced], ids: dict[int, int]) -> list[int]:
    return list(map(ids.__getitem__, map(id, numbers)))


def _worked(position: int, number: Traced, ids: dict[int, int]) -> WorkedNumber:
    term, origin = number.term, number.origin
    name, symbol, meaning, unit, value = term.name, term.symbol, term.meaning, term.unit, float(number)
    kind = type(origin)
    # By place and not by name, which would double the cost: a plan has a thousand of these.
    if kind is Derived:
        formula, operands = origin.formula, _ids_of(origin.operands, ids)
        return WorkedNumber(
            position, name, symbol, meaning, value, unit, "formula",
            "", "", "", "", "", formula.expression, operands, "", formula.citation,
        )  # fmt: skip
    if kind is Read:
        return WorkedNumber(
            position, name, symbol, meaning, value, unit, "table",
            "", "", origin.table, origin.row, origin.column, "", [], "", origin.citation,
        )  # fmt: skip
    if kind is Given:
        return WorkedNumber(position, name, symbol, meaning, value, unit, "given", origin.pointer)
    if kind is Chosen:
        operands = _ids_of(trace.operands_of(number), ids)
        return WorkedNumber(
            position, name, symbol, meaning, value, unit, "choice", "", "", "", "", "", "", operands, origin.why
        )
    if kind is Assumed:
        return WorkedNumber(
            position, name, symbol, meaning, value, unit, "assumed",
            "", origin.name, "", "", "", "", [], origin.why, origin.citation,
        )  # fmt: skip
    raise TypeError(f"{name} has an origin of an unknown kind: {origin!r}")


def _find(part: Any, pointer: str, places: dict[str, Traced]) -> None:
    """Every traced number with its JSON Pointer."""
    kind = type(part)
    if kind is Traced:
        places[pointer] = part
    elif kind is list or kind is tuple:
        for position, item in enumerate(part):
            _find(item, f"{pointer}/{position}", places)
    elif kind is dict:
        for name, item in part.items():
            _find(item, f"{pointer}/{str(name).replace('~', '~0').replace('/', '~1')}", places)
    elif part is not None and kind is not float and kind is not str:
        for field, step in _fields(kind):
            value = getattr(part, field)
            kind = type(value)
            if kind is Amount:
                value = value.value
                if type(value) is Traced:
                    places[f"{pointer}{step}/value"] = value
            elif kind is Traced:
                places[pointer + step] = value
            elif value is not None:
                _find(value, pointer + step, places)


def in_system(part: Any, system: System) -> Any:
    """The same answer with every amount in the units of a system. The working keeps the service's own units."""
    kind = type(part)
    if kind is Amount:
        return Amount(*from_service(float(part.value), part.unit, system))
    if kind is list or kind is tuple:
        return kind([in_system(item, system) for item in part])
    if kind is dict:
        return {name: in_system(item, system) for name, item in part.items()}
    if part is None or not issubclass(kind, Struct) or kind is Working:
        return part
    fields = _fields(kind)
    return (
        structs.replace(part, **{field: in_system(getattr(part, field), system) for field, _ in fields})
        if fields
        else part
    )


@cache
def _fields(kind: type) -> tuple[tuple[str, str], ...]:
    """Fields of a shape that can hold a number of the answer, with their steps in a JSON Pointer."""
    if not issubclass(kind, Struct) or kind in (Edition, Finding, Working):
        return ()
    described = shapes.type_info(kind)
    return tuple(
        (field.name, f"/{field.encode_name}") for field in described.fields if _may_hold(field.type, frozenset({kind}))
    )


def _may_hold(kind: shapes.Type, above: frozenset) -> bool:
    if isinstance(kind, shapes.Metadata):
        return _may_hold(kind.type, above)
    if isinstance(kind, shapes.StructType):
        if kind.cls in above or kind.cls in (Edition, Finding, Working):
            return False
        return any(_may_hold(field.type, above | {kind.cls}) for field in kind.fields)
    if isinstance(kind, shapes.UnionType):
        return any(_may_hold(member, above) for member in kind.types)
    if isinstance(kind, (shapes.ListType, shapes.VarTupleType)):
        return _may_hold(kind.item_type, above)
    if isinstance(kind, shapes.DictType):
        return _may_hold(kind.value_type, above)
    return isinstance(kind, _NUMBERS)
