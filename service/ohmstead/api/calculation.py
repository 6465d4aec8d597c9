"""What a calculation is to the interface, and how one is carried out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from msgspec import Struct

from ..reference.case import Case, Shelf
from ..units import System
from ..wire.base import Answer
from ..wire.collect import beyond_physical
from ..wire.door import Door
from ..wire.explain import explain, in_system
from ..wire.problems import Problem


class Calculation(Struct, frozen=True):
    """One entry of the registry: from it come the routes, the published document and the command line."""

    name: str
    """Path below /v1, and the tag in the published document."""
    request: type
    answer: type[Answer]
    read: Callable[[Any, Door], Any]
    """Shape of the request to the calculation's model."""
    work: Callable[[Any, Case], Any]
    write: Callable[[Any, Case], Answer]
    """Result of the calculation to the shape of the answer."""
    summary: str
    description: str
    examples: tuple[str, ...]
    """Files in openapi/examples, without .json; the first one is also the example of the query string."""
    get: bool = False
    post: bool = True
    """A list that is only read answers GET alone."""
    house_rules: Callable[[Any, Door], Mapping[str, float]] | None = None
    """The part of the request that overrides assumptions, if there is one."""
    text: Callable[[Any, Answer], str] | None = None
    """Result and answer as text for a person to read, if the calculation has such a form."""


class Options(Struct, frozen=True):
    """What a client may ask of any calculation beside the request itself."""

    working: bool = False
    units: System | None = None


def carry_out(calculation: Calculation, shelf: Shelf, request: Any, options: Options) -> tuple[Any, Answer]:
    """The result and the answer to a request. Raises Problem when the request cannot be calculated."""
    door = Door(options.working)
    rules = calculation.house_rules(request, door) if calculation.house_rules else None
    case = shelf.case(traced=options.working, house_rules=rules)
    try:
        result = calculation.work(calculation.read(request, door), case)
    except Problem as problem:
        raise _with_all_bounds(problem, request) from None
    answer = calculation.write(result, case)
    if options.working:
        answer.working = explain(answer)
    if options.units is not None:
        answer = in_system(answer, options.units)
    return result, answer


def _with_all_bounds(problem: Problem, request: Any) -> Problem:
    """The door stops at the first quantity beyond its physical bounds; the client shall hear of all."""
    if not any(fault.code == "outside-physical-bounds" for fault in problem.faults):
        return problem
    return Problem("cannot-be-calculated", faults=list(beyond_physical(request)))
