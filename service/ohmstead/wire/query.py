"""A request in a query string, for spreadsheets: `design.by=power&design.power=2000 W&run=12 ft`.

There is no second shape: the names are the paths of the request's own shape, joined by dots, and quantities are
text. A fault of a single parameter is 400; parameters that are each in order and do not go together, and
quantities out of bounds, which no published pattern can state, are 422.
"""

from __future__ import annotations

import math
import re
from functools import cache
from typing import Any
from urllib.parse import parse_qsl

from msgspec import UNSET, Struct, structs
from msgspec import inspect as shapes

from ..units import UnreadableQuantity, read_quantity
from .collect import bare, check, convert, describe, leaf
from .problems import Fault, Problem
from .quantities import Quantity

LONGEST_QUERY = 8192
_MOST_PARAMETERS = 100
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]+)?")
_LEAVES = (shapes.LiteralType, shapes.StrType, shapes.IntType, shapes.FloatType, shapes.BoolType)


class Parameter(Struct, frozen=True):
    """A place in the request's shape that a query string can name."""

    name: str
    path: tuple[str, ...]
    kinds: tuple[shapes.Type, ...]
    """More than one where variants of a union use the same name."""
    required: bool
    """Whether it must be there whatever the others say; the variants' own needs are told when they are missing."""
    description: str
    variants: tuple[str, ...] = ()
    """Which choices of a union the place belongs to, such as `design.by=power`; empty when it always stands."""
    default: Any = None
    needed: bool = False
    """Whether those choices cannot do without it."""


def pairs(query: bytes) -> dict[str, str]:
    """Names and texts of a query string. Raises Problem: a name that stands twice has no meaning."""
    if not query:
        return {}
    if len(query) > LONGEST_QUERY:
        raise Problem("invalid-query", f"at most {LONGEST_QUERY} bytes")
    try:
        found = parse_qsl(
            query.decode("utf-8"), keep_blank_values=True, errors="strict", max_num_fields=_MOST_PARAMETERS
        )
    except UnicodeDecodeError:
        raise Problem("invalid-utf8", "the query string is not UTF-8") from None
    except ValueError:
        raise Problem("invalid-query", f"at most {_MOST_PARAMETERS} parameters") from None
    made = dict(found)
    if len(made) != len(found):
        names = [name for name, _ in found]
        twice = sorted({name for name in names if names.count(name) > 1})
        faults = [Fault("repeated-field", f"{name[:60]} stands more than once", parameter=name[:60]) for name in twice]
        raise Problem("invalid-query", faults=faults)
    return made


@cache
def parameters(shape: Any) -> dict[str, Parameter]:
    """Every parameter that the shape has, by name. Raises TypeError when a required part has no text form."""
    found: dict[str, Parameter] = {}
    _struct(describe(shape), (), True, (), found)
    return found


def read(given: dict[str, str], shape: Any) -> Any:
    """The request out of names and texts. Raises Problem with every fault."""
    known = parameters(shape)
    wrong: dict[str, Fault] = {}
    raw: dict[str, Any] = {}
    for name, text in given.items():
        if name not in known:
            wrong[name[:60]] = Fault("unknown-field", f"there is no parameter {name[:60]}", parameter=name[:60])
            continue
        value, fault = _first_that_fits(text, known[name])
        if fault is not None:
            wrong[name] = fault
        else:
            _place(raw, known[name].path, value)
    checked, faults = check(raw, shape)
    together: dict[str, Fault] = {}
    for fault in faults:
        named = at_parameter(fault)
        if fault.code == "missing-field" and named.parameter not in known:
            # A whole part is missing: say which of its parameters have to be there.
            within = [name for name in known if name.startswith(f"{named.parameter}.")]
            for name in [name for name in within if known[name].required] or within[:1]:
                missing = Fault("missing-field", f"{name} is missing", parameter=name)
                (wrong if known[name].required else together).setdefault(name, missing)
            continue
        if named.parameter in wrong:
            continue
        if fault.code == "missing-field" and named.parameter in known and known[named.parameter].required:
            wrong[named.parameter] = named
        else:
            together[named.parameter] = named
    if wrong:
        raise Problem("invalid-query", faults=[*wrong.values(), *together.values()])
    if together:
        raise Problem("cannot-be-calculated", faults=list(together.values()))
    return convert(checked, shape)


def at_parameter(fault: Fault) -> Fault:
    """The fault with a parameter's name in place of a pointer."""
    parts = fault.pointer.split("/")[1:] if fault.pointer else []
    if parts and parts[-1] in ("value", "unit"):
        parts.pop()
    name = ".".join(part.replace("~1", "/").replace("~0", "~") for part in parts)
    return Fault(fault.code, fault.detail, UNSET, name, fault.allowed)


def at_parameters(problem: Problem) -> Problem:
    """A problem of the calculation with parameters' names in place of pointers."""
    faults = [at_parameter(fault) if fault.parameter is UNSET else fault for fault in problem.faults]
    return Problem(problem.code, problem.detail, faults, problem.headers)


def quantity_of(kind: shapes.Type) -> type[Quantity] | None:
    """The quantity class of a type, if it is one."""
    return kind.cls if isinstance(kind, shapes.StructType) and issubclass(kind.cls, Quantity) else None


def _struct(
    kind: shapes.StructType, path: tuple[str, ...], required: bool, variants: tuple[str, ...], found: dict
) -> None:
    for field in kind.fields:
        name = (*path, field.encode_name)
        _field(field.type, name, required and field.required, variants, found, "")
        known = found.get(".".join(name))
        if known is not None:
            default = field.default if isinstance(field.default, (bool, int, float, str)) else None
            found[known.name] = structs.replace(known, default=default, needed=field.required)


def _field(
    kind: shapes.Type, path: tuple[str, ...], required: bool, variants: tuple[str, ...], found: dict, said: str
) -> None:
    while isinstance(kind, shapes.Metadata):
        said = said or (kind.extra_json_schema or {}).get("description", "")
        kind = kind.type
    if isinstance(kind, shapes.UnionType):
        members = [member for member in kind.types if not isinstance(bare(member), shapes.NoneType)]
        optional = len(members) < len(kind.types)
        if len(members) == 1:
            return _field(members[0], path, required and not optional, variants, found, said)
        if all(isinstance(bare(member), shapes.StructType) for member in members):
            return _variants(
                [bare(member) for member in members], path, required and not optional, variants, found, said
            )
        raise TypeError(f"{'.'.join(path)}: no text form")
    if quantity_of(kind) or isinstance(kind, _LEAVES) or _list_of_leaves(kind):
        said = said or (kind.cls.__doc__ if isinstance(kind, shapes.StructType) else "")
        return _add(Parameter(".".join(path), path, (kind,), required, said, variants), found)
    if isinstance(kind, shapes.StructType):
        return _struct(kind, path, required, variants, found)
    if required:
        raise TypeError(f"{'.'.join(path)}: no text form")
    return None  # optional lists of objects stay a matter of POST


def _variants(
    members: list, path: tuple[str, ...], required: bool, variants: tuple[str, ...], found: dict, said: str
) -> None:
    tag = members[0].tag_field
    words = tuple(member.tag for member in members)
    choice = shapes.LiteralType(words)
    _add(Parameter(".".join((*path, tag)), (*path, tag), (choice,), required, said, variants), found)
    # A name that every variant of a required part asks for is required whichever is chosen.
    parts: list[dict[str, Parameter]] = []
    for member in members:
        parts.append({})
        _struct(member, path, required, (*variants, f"{'.'.join((*path, tag))}={member.tag}"), parts[-1])
    for part in parts:
        for name, parameter in part.items():
            always = all(name in other and other[name].required for other in parts)
            _add(structs.replace(parameter, required=always), found)


def _add(parameter: Parameter, found: dict[str, Parameter]) -> None:
    there = found.get(parameter.name)
    if there is not None:
        kinds = there.kinds if parameter.kinds[0] in there.kinds else (*there.kinds, *parameter.kinds)
        variants = tuple(dict.fromkeys((*there.variants, *parameter.variants)))
        default = there.default if there.default == parameter.default else None
        needed = there.needed and parameter.needed
        parameter = Parameter(
            there.name, there.path, kinds, parameter.required, there.description, variants, default, needed
        )
    found[parameter.name] = parameter


def _list_of_leaves(kind: shapes.Type) -> bool:
    return isinstance(kind, shapes.ListType) and (
        isinstance(bare(kind.item_type), _LEAVES) or quantity_of(bare(kind.item_type)) is not None
    )


def _first_that_fits(text: str, parameter: Parameter) -> tuple[Any, Fault | None]:
    fault = None
    for kind in parameter.kinds:
        value, fault = _value(text, kind, parameter.name)
        if fault is None:
            return value, None
    return None, fault


def _value(text: str, kind: shapes.Type, name: str) -> tuple[Any, Fault | None]:
    """The plain value that a text stands for, or what is wrong with it by the published schema."""
    kind = bare(kind)
    quantity = quantity_of(kind)
    if quantity is not None:
        try:
            value, unit = read_quantity(text, quantity.units)
        except UnreadableQuantity as error:
            return None, Fault("unreadable-quantity", str(error), parameter=name, allowed=list(quantity.units))
        return {"value": value, "unit": unit}, None
    if isinstance(kind, shapes.ListType):
        items = [_value(part, kind.item_type, name) for part in text.split(",")]
        fault = next((fault for _, fault in items if fault is not None), None)
        return [value for value, _ in items], fault
    if isinstance(kind, (shapes.IntType, shapes.FloatType)):
        value: Any = float(text) if len(text) <= 400 and _NUMBER.fullmatch(text) else math.nan
        if math.isnan(value):
            return None, Fault("wrong-type", "expected a number", parameter=name)
    elif isinstance(kind, shapes.BoolType):
        if text not in ("true", "false"):
            return None, Fault("wrong-type", "expected true or false", parameter=name)
        value = text == "true"
    elif isinstance(kind, shapes.LiteralType) and text in map(str, kind.values):
        value = next(word for word in kind.values if str(word) == text)  # a list of whole numbers is text here too
    else:
        value = text
    faults: list[Fault] = []
    leaf(value, kind, "", faults)
    return value, (
        Fault(faults[0].code, faults[0].detail, parameter=name, allowed=faults[0].allowed) if faults else None
    )


def _place(raw: dict[str, Any], path: tuple[str, ...], value: Any) -> None:
    for name in path[:-1]:
        raw = raw.setdefault(name, {})
    raw[path[-1]] = value
