"""Every fault of a request in one go.

msgspec stops at the first wrong field, which is right for the fast path. When it refuses a body, the body is
read again here, slowly, along the same types, and all that is wrong is listed with its place. The same walk
turns `36.0` into `36` where the schema says integer: JSON Schema calls that an integer, msgspec does not.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterator
from functools import cache
from typing import Any

import msgspec
from msgspec import inspect as shapes

from .door import outside
from .problems import MOST_FAULTS, Fault, Problem
from .quantities import Quantity

_KINDS = {
    dict: "an object",
    list: "a list",
    str: "a text",
    bool: "true or false",
    int: "a number",
    float: "a number",
    type(None): "null",
}
_LONGEST_INTEGER = 300  # digits; beyond it a double overflows and int() takes quadratic time


class Repeated(dict):
    """An object in which names stood more than once."""

    names: tuple[str, ...] = ()


def _object(pairs: list[tuple[str, Any]]) -> dict:
    made = dict(pairs)
    if len(made) == len(pairs):
        return made
    seen: set[str] = set()
    marked = Repeated(made)
    marked.names = tuple(dict.fromkeys(name for name, _ in pairs if name in seen or seen.add(name)))
    return marked


def _integer(digits: str) -> float:
    return int(digits) if len(digits) <= _LONGEST_INTEGER else math.copysign(math.inf, -1 if digits[0] == "-" else 1)


def _constant(name: str) -> None:
    raise Problem("malformed-json", f"{name} is not a JSON number")


_DECODER = json.JSONDecoder(object_pairs_hook=_object, parse_int=_integer, parse_constant=_constant)


@cache
def describe(shape: Any) -> shapes.Type:
    """The type as msgspec sees it. Raises TypeError for a type that the walk does not know."""
    found = shapes.type_info(shape)
    for part in _parts(found, set()):
        if not isinstance(part, _KNOWN):
            raise TypeError(f"{shape}: {part} may not stand in a request")
    return found


_KNOWN = (
    shapes.StructType, shapes.UnionType, shapes.ListType, shapes.VarTupleType, shapes.DictType, shapes.LiteralType,
    shapes.StrType, shapes.IntType, shapes.FloatType, shapes.BoolType, shapes.NoneType,
)  # fmt: skip


def _parts(kind: shapes.Type, seen: set) -> Iterator[shapes.Type]:
    kind = bare(kind)
    yield kind
    if isinstance(kind, shapes.StructType):
        if kind.cls not in seen:
            seen.add(kind.cls)
            for field in kind.fields:
                yield from _parts(field.type, seen)
    elif isinstance(kind, shapes.UnionType):
        for member in kind.types:
            yield from _parts(member, seen)
    elif isinstance(kind, (shapes.ListType, shapes.VarTupleType)):
        yield from _parts(kind.item_type, seen)
    elif isinstance(kind, shapes.DictType):
        yield from _parts(kind.value_type, seen)


def bare(kind: shapes.Type) -> shapes.Type:
    """The type without its descriptions."""
    while isinstance(kind, shapes.Metadata):
        kind = kind.type
    return kind


DEEPEST = 60
"""Levels of nesting that a body may have; the deepest request has about ten."""


def examine(body: bytes, shape: Any) -> Any:
    """Read a refused body again. Returns the request when only `36.0` stood in the way; else raises Problem."""
    raw = parse(body)
    faults = [*repeated(raw, "")]
    only_repeated = bool(faults)
    value, found = check(raw, shape)
    faults += found
    if found or only_repeated:
        raise Problem("invalid-request" if found else "repeated-field", faults=faults)
    return convert(value, shape)


def parse(body: bytes) -> Any:
    """JSON to plain values, with repeated names marked. Raises Problem."""
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError as error:
        raise Problem("invalid-utf8", f"byte {error.start} of the body") from None
    try:
        msgspec.json.decode(body)  # stricter than the standard library on surrogates and control characters
    except msgspec.ValidationError:
        pass  # a number beyond a double; its place is found below
    except msgspec.DecodeError as error:
        raise Problem("malformed-json", str(error) if body else "the body is empty") from None
    except RecursionError:
        raise Problem("too-deep") from None
    try:
        value = _DECODER.decode(text)
    except json.JSONDecodeError as error:
        raise Problem("malformed-json", f"{error.msg}: line {error.lineno}, column {error.colno}") from None
    except RecursionError:
        raise Problem("too-deep") from None
    if deeper_than(value, DEEPEST):
        raise Problem("too-deep", f"at most {DEEPEST} levels")
    return value


def deeper_than(value: Any, levels: int) -> bool:
    """Whether lists and objects are nested beyond a number of levels. Walked without recursion: newer decoders accept
    depths at which our own walk would exhaust the interpreter's stack.
    """
    layer = [value]
    for _ in range(levels + 1):
        layer = [
            inner for item in layer if isinstance(item, (dict, list))
            for inner in (item.values() if isinstance(item, dict) else item)
        ]  # fmt: skip
        if not layer:
            return False
    return True


def convert(value: Any, shape: Any) -> Any:
    """Checked plain values to the request type. Raises Problem, should msgspec still see a fault."""
    try:
        return msgspec.convert(value, shape, strict=True)
    except msgspec.ValidationError as error:
        raise Problem("invalid-request", str(error)) from None


def check(raw: Any, shape: Any) -> tuple[Any, list[Fault]]:
    """The plain values with whole floats made integers where one is due, and every fault."""
    faults: list[Fault] = []
    return _walk(raw, describe(shape), "", faults), faults


def repeated(raw: Any, pointer: str) -> Iterator[Fault]:
    """Names that stand twice, wherever they are."""
    if isinstance(raw, Repeated):
        for name in raw.names:
            yield Fault("repeated-field", f"{name} stands more than once", _under(pointer, name))
    if isinstance(raw, dict):
        for name, value in raw.items():
            yield from repeated(value, _under(pointer, name))
    elif isinstance(raw, list):
        for position, value in enumerate(raw):
            yield from repeated(value, f"{pointer}/{position}")


def beyond_physical(request: Any, pointer: str = "") -> Iterator[Fault]:
    """Quantities outside the physical bounds of their kind, in a request that fits the schema."""
    if isinstance(request, Quantity):
        if request.physical is not None:
            num, add, den = request.factors[request.unit]
            if not request.physical[0] <= (request.value * num + add) / den <= request.physical[1]:
                yield outside(request, pointer)
    elif isinstance(request, msgspec.Struct):
        for field, name in zip(request.__struct_fields__, request.__struct_encode_fields__, strict=True):
            yield from beyond_physical(getattr(request, field), _under(pointer, name))
    elif isinstance(request, (list, tuple)):
        for position, item in enumerate(request):
            yield from beyond_physical(item, f"{pointer}/{position}")
    elif isinstance(request, dict):
        for name, item in request.items():
            yield from beyond_physical(item, _under(pointer, name))


def _under(pointer: str, name: str) -> str:
    return f"{pointer}/{name.replace('~', '~0').replace('/', '~1')}"


def _walk(raw: Any, kind: shapes.Type, pointer: str, faults: list[Fault]) -> Any:
    kind = bare(kind)
    if isinstance(kind, shapes.UnionType):
        return _union(raw, kind, pointer, faults)
    if isinstance(kind, shapes.StructType):
        return _struct(raw, kind, pointer, faults)
    if isinstance(kind, (shapes.ListType, shapes.VarTupleType)):
        return _list(raw, kind, pointer, faults)
    if isinstance(kind, shapes.DictType):
        return _dict(raw, kind, pointer, faults)
    return leaf(raw, kind, pointer, faults)


def _wrong_type(raw: Any, wanted: str, pointer: str, faults: list[Fault]) -> Any:
    got = next(text for type_, text in _KINDS.items() if isinstance(raw, type_))
    faults.append(Fault("wrong-type", f"expected {wanted}, got {got}", pointer))
    return raw


def _union(raw: Any, kind: shapes.UnionType, pointer: str, faults: list[Fault]) -> Any:
    members = [bare(member) for member in kind.types]
    if raw is None and any(isinstance(member, shapes.NoneType) for member in members):
        return None
    members = [member for member in members if not isinstance(member, shapes.NoneType)]
    if len(members) == 1:
        return _walk(raw, members[0], pointer, faults)
    structs = [member for member in members if isinstance(member, shapes.StructType)]
    if structs and (isinstance(raw, dict) or len(structs) == len(members)):
        if not isinstance(raw, dict):
            return _wrong_type(raw, "an object", pointer, faults)
        by_tag = {member.tag: member for member in structs}
        field = structs[0].tag_field
        tags = [str(tag) for tag in by_tag]
        if field not in raw:
            faults.append(Fault("missing-field", f"say which one it is: {field}", _under(pointer, field), allowed=tags))
        elif not isinstance(raw[field], str) or raw[field] not in by_tag:
            faults.append(
                Fault("not-in-list", f"{field} is one of: {', '.join(tags)}", _under(pointer, field), allowed=tags)
            )
        else:
            return _struct(raw, by_tag[raw[field]], pointer, faults)
        return raw
    attempts = []
    for member in members:  # plain types side by side, such as a word or a number: the first that fits
        trial: list[Fault] = []
        made = _walk(raw, member, pointer, trial)
        if not trial:
            return made
        attempts.append(trial)
    faults += min(attempts, key=len)
    return raw


def _struct(raw: Any, kind: shapes.StructType, pointer: str, faults: list[Fault]) -> Any:
    quantity = kind.cls if issubclass(kind.cls, Quantity) else None
    if not isinstance(raw, dict):
        if quantity is None:
            return _wrong_type(raw, "an object", pointer, faults)
        code = "bare-number" if isinstance(raw, (int, float)) and not isinstance(raw, bool) else "wrong-type"
        shown = f'{{"value": 12, "unit": "{quantity.units[0]}"}}'
        wanted = f"give a value and a unit, such as {shown}; units: {', '.join(quantity.units)}"
        faults.append(Fault(code, wanted, pointer, allowed=list(quantity.units)))
        return raw
    made = {}
    names = {field.encode_name for field in kind.fields}
    for field in kind.fields:
        if len(faults) >= MOST_FAULTS:
            return raw
        name = field.encode_name
        if name in raw:
            made[name] = _walk(raw[name], field.type, _under(pointer, name), faults)
        elif field.required:
            allowed = list(quantity.units) if quantity and name == "unit" else msgspec.UNSET
            faults.append(Fault("missing-field", f"{name} is missing", _under(pointer, name), allowed=allowed))
    for name, value in raw.items():
        if name == kind.tag_field:
            made[name] = value
            if value != kind.tag:
                faults.append(
                    Fault("not-in-list", f"{name} is {kind.tag}", _under(pointer, name), allowed=[str(kind.tag)])
                )
        elif name not in names and kind.forbid_unknown_fields:
            faults.append(Fault("unknown-field", f"there is no field {name[:60]}", _under(pointer, name[:200])))
    return made


def _list(raw: Any, kind: shapes.ListType | shapes.VarTupleType, pointer: str, faults: list[Fault]) -> Any:
    if not isinstance(raw, list):
        return _wrong_type(raw, "a list", pointer, faults)
    _length(raw, kind, "items", pointer, faults)
    made = []
    for position, item in enumerate(raw):
        if len(faults) >= MOST_FAULTS:
            return raw
        made.append(_walk(item, kind.item_type, f"{pointer}/{position}", faults))
    return made


def _dict(raw: Any, kind: shapes.DictType, pointer: str, faults: list[Fault]) -> Any:
    if not isinstance(raw, dict):
        return _wrong_type(raw, "an object", pointer, faults)
    _length(raw, kind, "fields", pointer, faults)
    made = {}
    for name, item in raw.items():
        if len(faults) >= MOST_FAULTS:
            return raw
        place = _under(pointer, name[:200])
        unfit: list[Fault] = []
        _walk(name, kind.key_type, place, unfit)
        faults += [Fault("unknown-field", fault.detail, place, allowed=fault.allowed) for fault in unfit]
        made[name] = _walk(item, kind.value_type, place, faults)
    return made


def _length(raw: Any, kind: Any, of: str, pointer: str, faults: list[Fault]) -> None:
    least, most = kind.min_length or 0, kind.max_length
    if len(raw) < least or (most is not None and len(raw) > most):
        wanted = (
            f"exactly {least}" if least == most else f"{least} to {most}" if most is not None else f"at least {least}"
        )
        faults.append(Fault("wrong-length", f"{len(raw)} {of}, allowed are {wanted}", pointer))


def leaf(raw: Any, kind: shapes.Type, pointer: str, faults: list[Fault]) -> Any:
    """A value that has no parts: itself, a whole float as an integer where one is due; faults are appended."""
    if isinstance(kind, shapes.LiteralType):
        if isinstance(raw, float) and raw.is_integer():
            raw = int(raw)
        if not any(raw == value and type(raw) is type(value) for value in kind.values):
            words = [str(value) for value in kind.values]
            code = "wrong-unit" if pointer.endswith("/unit") else "not-in-list"
            faults.append(Fault(code, f"one of: {', '.join(words)}", pointer, allowed=words))
        return raw
    if isinstance(kind, shapes.StrType):
        return _text(raw, kind, pointer, faults)
    if isinstance(kind, (shapes.IntType, shapes.FloatType)):
        return _number(raw, kind, pointer, faults)
    if isinstance(kind, shapes.BoolType) and not isinstance(raw, bool):
        return _wrong_type(raw, "true or false", pointer, faults)
    if isinstance(kind, shapes.NoneType) and raw is not None:
        return _wrong_type(raw, "null", pointer, faults)
    return raw


def _text(raw: Any, kind: shapes.StrType, pointer: str, faults: list[Fault]) -> Any:
    if not isinstance(raw, str):
        return _wrong_type(raw, "a text", pointer, faults)
    _length(raw, kind, "characters", pointer, faults)
    if kind.pattern and re.search(kind.pattern, raw) is None:
        faults.append(Fault("wrong-pattern", f"must match {kind.pattern}", pointer))
    return raw


def _number(raw: Any, kind: shapes.IntType | shapes.FloatType, pointer: str, faults: list[Fault]) -> Any:
    whole = isinstance(kind, shapes.IntType)
    if isinstance(raw, bool) or not isinstance(raw, (int, float)):
        return _wrong_type(raw, "a whole number" if whole else "a number", pointer, faults)
    if not in_bounds(raw, kind):
        faults.append(Fault("out-of-range", f"must be {said_bounds(kind)}", pointer))
    elif whole and isinstance(raw, float):
        if not raw.is_integer():
            faults.append(Fault("wrong-type", "expected a whole number", pointer))
        else:
            return int(raw)
    return raw


def in_bounds(value: float, kind: shapes.IntType | shapes.FloatType) -> bool:
    """Whether a number is finite and inside the bounds of its type."""
    return (
        math.isfinite(value)
        and (kind.ge is None or value >= kind.ge) and (kind.gt is None or value > kind.gt)
        and (kind.le is None or value <= kind.le) and (kind.lt is None or value < kind.lt)
    )  # fmt: skip


def said_bounds(kind: shapes.IntType | shapes.FloatType) -> str:
    """The bounds of a number's type in words."""
    low = f"from {kind.ge:.15g}" if kind.ge is not None else f"above {kind.gt:.15g}" if kind.gt is not None else ""
    high = f"to {kind.le:.15g}" if kind.le is not None else f"below {kind.lt:.15g}" if kind.lt is not None else ""
    return " ".join(part for part in (low, high) if part) or "a finite number"
