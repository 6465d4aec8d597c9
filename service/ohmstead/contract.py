"""The published document of the interface (OpenAPI 3.1), made from the registry and the shapes.

The framework's own generator leaves out what clients need (no discriminator, no closed objects, no null defaults),
so schemas come from msgspec and paths from the registry; a test holds the paths against the routes that exist.
"""

from __future__ import annotations

import inspect
import json
from pathlib import Path
from typing import Any

import msgspec
from msgspec import inspect as shapes

from .api.calculation import Calculation
from .api.calculations import CALCULATIONS
from .api.handlers import offered, options_of
from .api.reply import JSON, PROBLEM
from .units import LONGEST_TEXT, text_pattern
from .wire import query
from .wire.base import CALCULATION_EDITION
from .wire.collect import bare, said_bounds
from .wire.problems import PROBLEMS, ProblemDocument

EXAMPLES = Path(__file__).resolve().parents[2] / "openapi" / "examples"

_ABOUT = """\
Sizes electrical systems of vehicles, boats and cabins, and says how each number was reached.

**Quantities** are objects with a value and a unit from a short list: `{"value": 13, "unit": "ft"}`. In a query string
the same quantity is text: `13 ft`. Counts and ratios are plain numbers. Requests refuse unknown fields; answers may
gain fields, so ignore what you do not know.

**Answers and errors.** That nothing in the tables is large enough is an answer: status 200 with an `outcome`. Errors
are `application/problem+json` with a code from a closed list and every fault that could be found: 400 for what does
not fit this document, 422 for what it cannot state, such as a bound after conversion or fields that contradict each
other.

**Assumptions.** Every value that was used without being given stands in `assumptions` with its source. With
`?working=true` each number of the answer can be followed back through formulas to the request, table rows and
assumptions; the working is in the service's own units.
"""

_RESPONSES = {
    400: ("BadRequest", "The request does not fit this document"),
    406: ("NotAcceptable", "The client accepts no form in which the answer can be made"),
    408: ("BodyTooSlow", "The body did not arrive in time"),
    413: ("TooLarge", "The body is too large"),
    415: ("UnsupportedContentType", "The body is not said to be JSON"),
    422: ("CannotBeCalculated", "The request fits this document and cannot be calculated all the same"),
    500: ("InternalError", "The service failed"),
    503: ("NotReady", "The service is not ready"),
}


def document(calculations: tuple[Calculation, ...] = CALCULATIONS) -> dict[str, Any]:
    """The whole document. Raises OSError when an example is missing."""
    paths: dict[str, Any] = {}
    for calculation in calculations:
        operations = paths[f"/v1/{calculation.name}"] = {}
        if calculation.get:
            operations["get"] = _get(calculation)
        if calculation.post:
            operations["post"] = _post(calculation)
    paths |= _service_paths()
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Ohmstead",
            "version": CALCULATION_EDITION,
            "summary": "Electrical plans for vehicles, boats and cabins",
            "description": _ABOUT,
        },
        "servers": [{"url": "/", "description": "The service that serves this document"}],
        "security": [],
        "tags": [
            {"name": "calculations", "description": "From a request to an explained answer; nothing is stored"},
            {"name": "service", "description": "About the service itself"},
        ],
        "paths": paths,
        "components": {
            "schemas": _schemas(calculations),
            "responses": {name: _problem_response(status, said) for status, (name, said) in _RESPONSES.items()},
            "headers": {
                "RequestId": {
                    "description": "Names this request in the log; the client's own X-Request-Id when it sent one",
                    "schema": {"type": "string"},
                }
            },
        },
    }


def as_bytes(calculations: tuple[Calculation, ...] = CALCULATIONS) -> bytes:
    """The document as it is committed and served."""
    return (json.dumps(document(calculations), indent=1, ensure_ascii=False) + "\n").encode()


def example(name: str) -> Any:
    """An example request by the name of its file. Raises OSError."""
    return json.loads((EXAMPLES / f"{name}.json").read_text("utf-8"))


def _post(calculation: Calculation) -> dict[str, Any]:
    examples = {name: {"summary": name.replace("-", " "), "value": example(name)} for name in calculation.examples}
    return {
        **_operation(calculation, "calculate"),
        "parameters": _options(calculation),
        "requestBody": {
            "required": True,
            "content": {JSON: {"schema": _ref(calculation.request), "examples": examples}},
        },
        "responses": _responses(calculation, (400, 406, 408, 413, 415, 422, 500)),
    }


def _get(calculation: Calculation) -> dict[str, Any]:
    shown = flat(example(calculation.examples[0])) if calculation.examples else {}
    known = query.parameters(calculation.request)
    beside_post = (
        "\n\nThe same as POST for clients that can only send a query string. Names are paths of the request's fields "
        "joined by dots; quantities are text."
    )
    return {
        **_operation(calculation, "ask"),
        "description": calculation.description + (beside_post if calculation.post else ""),
        "parameters": [
            *(_parameter(found, shown.get(found.name), _condition(found, known)) for found in known.values()),
            *_options(calculation),
        ],
        "responses": _responses(calculation, (400, 406, 422, 500)),
    }


def _operation(calculation: Calculation, verb: str) -> dict[str, Any]:
    name = "".join(part.capitalize() for part in calculation.name.replace("/", "-").split("-"))
    return {
        "operationId": f"{verb}{name}",
        "tags": ["calculations"],
        "summary": calculation.summary,
        "description": calculation.description,
    }


def _responses(calculation: Calculation, problems: tuple[int, ...]) -> dict[str, Any]:
    content: dict[str, Any] = {JSON: {"schema": _ref(calculation.answer)}}
    for kind in offered(calculation)[1:]:
        content[kind] = {"schema": {"type": "string"}}
    return {"200": _answered("The answer", content), **_problems(problems)}


def _answered(said: str, content: dict[str, Any]) -> dict[str, Any]:
    return {
        "description": said,
        "headers": {"X-Request-Id": {"$ref": "#/components/headers/RequestId"}},
        "content": content,
    }


def _problems(statuses: tuple[int, ...]) -> dict[str, Any]:
    return {str(status): {"$ref": f"#/components/responses/{_RESPONSES[status][0]}"} for status in statuses}


def _problem_response(status: int, said: str) -> dict[str, Any]:
    codes = ", ".join(f"`{code}`" for code, (with_status, _) in PROBLEMS.items() if with_status == status)
    return _answered(f"{said}. Codes: {codes}.", {PROBLEM: {"schema": _ref(ProblemDocument)}})


def _service_paths() -> dict[str, Any]:
    def read(
        name: str, summary: str, description: str, content: dict[str, Any], problems: tuple[int, ...]
    ) -> dict[str, Any]:
        return {"get": {
            "operationId": name, "tags": ["service"], "summary": summary, "description": description,
            "responses": {"200": _answered(summary, content), **_problems(problems)},
        }}  # fmt: skip

    state = {"type": "object", "required": ["status"], "properties": {"status": {"type": "string"}}}
    return {
        "/v1/openapi.json": read(
            "readDocument",
            "This document",
            "This document, byte for byte as released, with an entity tag.",
            {JSON: {"schema": {"type": "object"}, "example": {"openapi": "3.1.0"}}},
            (406,),
        ),
        "/health/live": read(
            "readLive",
            "Whether the process answers",
            "For a supervisor that restarts a process which does not answer.",
            {JSON: {"schema": state, "example": {"status": "live"}}},
            (406,),
        ),
        "/health/ready": read(
            "readReady",
            "Whether requests can be answered",
            "For a load balancer. Tells the edition of the calculation and the number of tables.",
            {JSON: {"schema": state, "example": {"status": "ready", "edition": CALCULATION_EDITION, "tables": 40}}},
            (406, 503),
        ),
        "/metrics": read(
            "readMetrics",
            "Counts and times",
            "Requests by route, method and status, and times to answer, in the text form of Prometheus.",
            {
                "text/plain": {
                    "schema": {"type": "string"},
                    "example": "# HELP ohmstead_requests_total Requests answered\n",
                }
            },
            (406,),
        ),
    }


def _options(calculation: Calculation) -> list[dict[str, Any]]:
    return [_parameter(found, None, "") for found in query.parameters(options_of(calculation)).values()]


def _condition(found: query.Parameter, known: dict[str, query.Parameter]) -> str:
    """Which variants a parameter belongs to, unless it belongs to all."""
    tag = found.variants[-1].partition("=")[0] if found.variants else ""
    every = known[tag].kinds[0].values if tag else ()
    if all(f"{tag}={word}" in found.variants for word in every):
        return ""
    return f"{'Needed' if found.needed else 'Only'} with {' or '.join(found.variants)}."


def _parameter(found: query.Parameter, shown: str | None, condition: str) -> dict[str, Any]:
    schemas: list[dict[str, Any]] = []
    for kind in found.kinds:
        schema = _text_schema(kind)
        if schema not in schemas:
            schemas.append(schema)
    said = [found.description.rstrip(".") + "."] if found.description else []
    said += [line for line in dict.fromkeys(map(_said_of_text, found.kinds)) if line]
    said += [condition] if condition else []
    made: dict[str, Any] = {
        "name": found.name, "in": "query", "required": found.required, "description": " ".join(said),
        "schema": schemas[0] if len(schemas) == 1 else {"anyOf": schemas},
    }  # fmt: skip
    if any(isinstance(bare(kind), shapes.ListType) for kind in found.kinds):
        made |= {"style": "form", "explode": False}
    if found.default is not None and len(schemas) == 1:
        made["schema"] = {**schemas[0], "default": found.default}
    if shown is not None:
        made["example"] = shown
    return made


def _text_schema(kind: shapes.Type) -> dict[str, Any]:
    kind = bare(kind)
    quantity = query.quantity_of(kind)
    if quantity is not None:
        return {"type": "string", "pattern": text_pattern(quantity.units), "maxLength": LONGEST_TEXT}
    if isinstance(kind, shapes.ListType):
        lengths = {"minItems": kind.min_length or 1, "maxItems": kind.max_length}
        return {"type": "array", "items": _text_schema(kind.item_type), **lengths}
    if isinstance(kind, shapes.LiteralType):
        return {"type": _type_of(kind.values), "enum": list(kind.values)}
    if isinstance(kind, shapes.BoolType):
        return {"type": "boolean"}
    if isinstance(kind, shapes.StrType):
        limits = {"pattern": kind.pattern, "minLength": kind.min_length, "maxLength": kind.max_length}
        return {"type": "string", **{name: limit for name, limit in limits.items() if limit is not None}}
    limits = {"minimum": kind.ge, "maximum": kind.le, "exclusiveMinimum": kind.gt, "exclusiveMaximum": kind.lt}
    type_ = "integer" if isinstance(kind, shapes.IntType) else "number"
    return {"type": type_, **{name: limit for name, limit in limits.items() if limit is not None}}


def _type_of(words: Any) -> str:
    """The JSON type of a choice; a choice is among words or among whole numbers."""
    return "integer" if all(isinstance(word, int) for word in words) else "string"


def _said_of_text(kind: shapes.Type) -> str:
    quantity = query.quantity_of(bare(kind))
    if quantity is None:
        return "Separated by commas." if isinstance(bare(kind), shapes.ListType) else ""
    number = next(field.type for field in shapes.type_info(quantity).fields if field.name == "value")
    return f"A number {said_bounds(bare(number))} and one unit: {', '.join(quantity.units)}."


def flat(request: Any, prefix: str = "") -> dict[str, str]:
    """An example request as the texts of a query string."""
    if isinstance(request, dict) and set(request) == {"value", "unit"}:
        return {prefix: f"{request['value']!r} {request['unit']}"}
    if isinstance(request, dict):
        made: dict[str, str] = {}
        for name, value in request.items():
            made |= flat(value, f"{prefix}.{name}" if prefix else name)
        return made
    if isinstance(request, list):
        return {prefix: ",".join(next(iter(flat(item, "x").values())) for item in request)}
    if isinstance(request, bool):
        return {prefix: "true" if request else "false"}
    return {} if request is None else {prefix: str(request)}


def _ref(shape: type) -> dict[str, str]:
    return {"$ref": f"#/components/schemas/{shape.__name__}"}


def _schemas(calculations: tuple[Calculation, ...]) -> dict[str, Any]:
    roots = [calculation.request for calculation in calculations if calculation.post]
    roots += [calculation.answer for calculation in calculations]
    _, components = msgspec.json.schema_components(
        [*roots, ProblemDocument], ref_template="#/components/schemas/{name}"
    )
    return {name: tidy(schema) for name, schema in sorted(components.items())}


def tidy(schema: Any) -> Any:
    """msgspec's schema as client generators like it: oneOf with a discriminator, typed enums, constants for tags."""
    if isinstance(schema, list):
        return [tidy(part) for part in schema]
    if not isinstance(schema, dict):
        return schema
    made = {name: part if name in ("default", "examples", "enum") else tidy(part) for name, part in schema.items()}
    if "discriminator" in made:
        made["oneOf"] = made.pop("anyOf")
    rest = [part for part in made.get("anyOf", ()) if part != {"type": "null"}]
    if len(rest) == 1 and rest[0].get("type") in ("number", "integer", "string", "array") and "enum" not in rest[0]:
        # A value or null: one line for a reader where a union of two would be four.
        del made["anyOf"]
        made |= {**rest[0], "type": [rest[0]["type"], "null"]}
    if "enum" in made:
        made["type"] = _type_of(made["enum"])
        if len(made["enum"]) == 1:
            made["const"] = made.pop("enum")[0]
    if isinstance(made.get("description"), str):
        made["description"] = inspect.cleandoc(made["description"])
    return made
