"""Walk back from an answer to everything that made it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from .number import Assumed, Chosen, Derived, Read, Traced
from .term import Citation


def behind(numbers: Iterable[Traced]) -> list[Traced]:
    """Every number that the given ones rest on, operands before results, each object once."""
    order: list[Traced] = []
    seen: set[int] = set()
    # An explicit stack: long chains of daily balances would exhaust the interpreter's. None says that the operands of
    # the number below it are through.
    stack: list[Traced | None] = list(numbers)
    stack.reverse()
    while stack:
        number = stack.pop()
        if number is None:
            order.append(stack.pop())
            continue
        if id(number) in seen:
            continue
        seen.add(id(number))
        operands = operands_of(number)
        if operands:
            stack += (number, None)
            stack += operands[::-1]
        else:
            order.append(number)
    return order


def operands_of(number: Traced) -> tuple:
    """The numbers that this one was made from."""
    origin = number.origin
    if type(origin) is Derived:
        return origin.operands
    if type(origin) is Chosen:
        return tuple([item for item in origin.of if type(item) is Traced])
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
