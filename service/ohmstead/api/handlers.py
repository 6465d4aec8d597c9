"""The routes of the calculations, made from the registry."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from litestar import Request, get, post
from litestar.handlers import HTTPRouteHandler
from litestar.types import ASGIApp
from msgspec import Meta, Struct

from ..reference.case import Shelf
from ..units import System
from ..wire import query
from ..wire.problems import Problem
from .body import Reader, demand_json, receive_body
from .calculation import Calculation, Options, carry_out
from .negotiation import FORMATS, media_type
from .reply import JSON, Reply, encode_answer


class JsonOptions(Struct, frozen=True):
    """The query parameters that every calculation takes."""

    working: Annotated[bool, Meta(description="Whether the answer shall show how each number was reached")] = False
    units: Annotated[
        System | None, Meta(description="System of units of the answer; the service's own units when absent")
    ] = None
    format: Annotated[Literal["json"] | None, Meta(description="Form of the answer; goes before the Accept header")] = (
        None
    )


class TextOptions(JsonOptions, frozen=True):
    """The same for a calculation that can also be read as text."""

    format: Annotated[
        Literal["json", "text"] | None, Meta(description="Form of the answer; goes before the Accept header")
    ] = None


OPTION_NAMES = JsonOptions.__struct_fields__


def options_of(calculation: Calculation) -> type[JsonOptions]:
    """Shape of the options that a calculation takes."""
    return TextOptions if calculation.text else JsonOptions


def routes(
    calculations: tuple[Calculation, ...], shelf: Shelf, largest_body: int, body_seconds: float
) -> list[HTTPRouteHandler]:
    """POST and GET, whichever a calculation answers."""
    made = [_post(calculation, shelf, largest_body, body_seconds) for calculation in calculations if calculation.post]
    return made + [_get(calculation, shelf) for calculation in calculations if calculation.get]


def offered(calculation: Calculation) -> tuple[str, ...]:
    """Media types of the answer, the usual one first."""
    return (JSON, "text/plain") if calculation.text else (JSON,)


def _post(calculation: Calculation, shelf: Shelf, largest_body: int, body_seconds: float) -> HTTPRouteHandler:
    reader = Reader(calculation.request)

    @post(f"/v1/{calculation.name}", name=f"{calculation.name}.post", status_code=200)
    async def calculate(request: Request) -> ASGIApp:
        headers = request.scope["ohmstead.headers"]
        options, form = _options(query.pairs(request.scope["query_string"]), calculation, headers.accept)
        demand_json(headers.content_type)
        body = await receive_body(request.receive, largest_body, body_seconds, headers.content_length)
        return _reply(calculation, shelf, reader.read(body), options, form)

    return calculate


def _get(calculation: Calculation, shelf: Shelf) -> HTTPRouteHandler:
    query.parameters(calculation.request)  # a shape without a query form is refused at start

    @get(f"/v1/{calculation.name}", name=f"{calculation.name}.get")
    async def calculate(request: Request) -> ASGIApp:
        given = query.pairs(request.scope["query_string"])
        chosen = {name: given.pop(name) for name in OPTION_NAMES if name in given}
        options, form = _options(chosen, calculation, request.scope["ohmstead.headers"].accept)
        try:
            return _reply(calculation, shelf, query.read(given, calculation.request), options, form)
        except Problem as problem:
            raise query.at_parameters(problem) from None

    return calculate


def _options(given: Mapping[str, str], calculation: Calculation, accept: str) -> tuple[Options, str]:
    if not given:
        return _PLAIN, media_type(accept, offered(calculation))
    wanted: JsonOptions = query.read(dict(given), options_of(calculation))
    form = FORMATS[wanted.format] if wanted.format else media_type(accept, offered(calculation))
    return Options(wanted.working, wanted.units), form


_PLAIN = Options()


def _reply(calculation: Calculation, shelf: Shelf, request: Any, options: Options, form: str) -> Reply:
    result, answer = carry_out(calculation, shelf, request, options)
    if form == JSON:
        return Reply(encode_answer(answer))
    return Reply(calculation.text(result, answer).encode(), form)
