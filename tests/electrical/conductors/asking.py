"""Ask for a circuit as a client would, without HTTP."""

from __future__ import annotations

import msgspec

from ohmstead.electrical.conductors.single import SizedSingle
from ohmstead.reference.case import Case, Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.explain import explain
from ohmstead.wire.v1.circuit import CircuitAnswer, CircuitRequest, read, work, write

_SHELF = Shelf()


def size(request: CircuitRequest, *, traced: bool = False) -> tuple[SizedSingle, Case]:
    """The sized circuit and the case it was sized in."""
    case = _SHELF.case(traced=traced)
    return work(read(request, Door(traced)), case), case


def ask(request: CircuitRequest | dict, *, traced: bool = False) -> CircuitAnswer:
    """The answer to a request, with its working when traced."""
    if isinstance(request, dict):
        request = msgspec.convert(request, CircuitRequest)
    answer = write(*size(request, traced=traced))
    if traced:
        answer.working = explain(answer)
    return answer


def place(answer, path: str):
    """What stands at a dotted path of the circuit in an answer; the word `none` for null."""
    part = answer.circuit
    for name in path.split("."):
        part = getattr(part, name)
    return "none" if part is None else part


def floats(part, pointer: str):
    """Every float of an answer with its place."""
    if isinstance(part, float):
        yield pointer, part
    elif isinstance(part, msgspec.Struct):
        for field in part.__struct_fields__:
            yield from floats(getattr(part, field), f"{pointer}/{field}")
    elif isinstance(part, (list, tuple)):
        for position, value in enumerate(part):
            yield from floats(value, f"{pointer}/{position}")
