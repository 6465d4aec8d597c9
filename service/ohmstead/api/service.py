"""Paths about the service itself: is it alive, is it ready, what has it counted."""

from __future__ import annotations

from litestar import Request, get
from litestar.handlers import HTTPRouteHandler
from litestar.types import ASGIApp

from ..reference.case import Shelf
from ..wire.base import CALCULATION_EDITION
from ..wire.problems import Problem
from .negotiation import media_type
from .reply import JSON, Reply, encode


def routes(shelf: Shelf, page) -> list[HTTPRouteHandler]:
    """Health and metrics. `page` makes the text for a scraper and knows its media type."""

    @get("/health/live", name="live")
    async def live(request: Request) -> ASGIApp:
        return _state(request, {"status": "live"})

    @get("/health/ready", name="ready")
    async def ready(request: Request) -> ASGIApp:
        if not shelf.plain.tables or not shelf.traced.tables:
            raise Problem("not-ready", "no tables are loaded")
        return _state(request, {"status": "ready", "edition": CALCULATION_EDITION, "tables": len(shelf.plain.tables)})

    @get("/metrics", name="metrics")
    async def metrics(request: Request) -> ASGIApp:
        media_type(request.scope["ohmstead.headers"].accept, ("text/plain",))
        return Reply(page.page(), page.content_type)

    return [live, ready, metrics]


def _state(request: Request, state: dict) -> Reply:
    media_type(request.scope["ohmstead.headers"].accept, (JSON,))
    return Reply(encode(state), headers={"cache-control": "no-store"})
