"""Walk back from an answer to everything that made it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from .number import Assumed, Chosen, Derived, Read, Traced
from .term import Citation


def behind(numbers: Iterable[Traced]) -> list[Traced]:
    """Every number that the given ones rest on, operands before results, each object once."""
    order: list[Traced] = []
    seen: set[int] = set()
    # An explicit stack: long chains of daily balances would exhaust the interpreter's.
    stack: list[tuple[Traced, bool]] = [(number, False) for number in reversed(list(numbers))]
    while stack:
        number, ready = stack.pop()
        if ready:
            order.append(number)
            continue
        if id(number) in seen:
            continue
        seen.add(id(number))
        stack.append((number, True))
        stack.extend((operand, False) for operand in reversed(operands_of(number)))
    return order


def operands_of(number: Traced) -> tuple:
    """The numbers that this one was made from."""
    origin = number.origin
    if isinstance(origin, Derived):
        return origin.operands
    if isinstance(origin, Chosen):
        return tuple(item for item in origin.of if type(item) is Traced)
    return ()


def assumptions_behind(numbers: Iterable[Traced]) -> set[str]:
    """Names of the defaults that the numbers rest on."""
    return {number.origin.name for number in behind(numbers) if isinstance(number.origin, Assumed)}


def citations_behind(numbers: Iterable[Traced]) -> set[Citation]:
    """Every source that the numbers rest on."""
    return set(_citations(behind(numbers)))


def _citations(numbers: list[Traced]) -> Iterator[Citation]:
    for number in numbers:
        origin = number.origin
        if isinstance(origin, Derived):
            yield origin.formula.citation
        elif isinstance(origin, (Read, Assumed)):
            yield origin.citation
