"""The application: everything is put together here and nowhere else."""

from __future__ import annotations

import gc
from collections.abc import Callable

from litestar import Litestar, Request
from litestar.exceptions import HTTPException

from . import configuration
from .api import documents, handlers, service
from .api.calculation import Calculation
from .api.calculations import CALCULATIONS
from .api.front import Front
from .api.reply import Reply, problem_reply
from .configuration import Configuration
from .observability.logging import configure
from .observability.metrics import Metrics
from .reference.case import Shelf
from .wire.problems import PROBLEMS, Problem


def build(
    settings: Configuration, calculations: tuple[Calculation, ...] = CALCULATIONS, shelf: Shelf | None = None
) -> Front:
    """The application under these settings. Raises Damaged or OSError when a file that it needs is not sound."""
    shelf = shelf or Shelf()
    log = configure(settings.log)
    metrics = Metrics()
    app = Litestar(
        route_handlers=[
            *handlers.routes(calculations, shelf, settings.largest_body, settings.body_seconds),
            *documents.routes(settings.openapi),
            *service.routes(shelf, metrics),
        ],
        exception_handlers={Problem: _problem, HTTPException: _refused, Exception: _failed(log)},
        openapi_config=None,
        logging_config=None,
        debug=False,
    )
    return Front(app, paths_of(app), _record(log, metrics))


def create() -> Front:
    """What a server calls in each of its processes."""
    app = build(configuration.load())
    # Tables, shapes and encoders live as long as the process: the collector need not look at them again, and a
    # plan makes enough objects to set off the default threshold several times.
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
    return app


def paths_of(app: Litestar) -> dict[str, frozenset[str]]:
    """Methods of every path, without those that the front adds."""
    return {route.path: frozenset(route.methods) - {"OPTIONS"} for route in app.routes}


def _problem(request: Request, problem: Problem) -> Reply:
    return problem_reply(problem, request.scope["ohmstead.request_id"])


def _refused(request: Request, error: HTTPException) -> Reply:
    """What the framework itself refuses."""
    code = next((code for code, (status, _) in PROBLEMS.items() if status == error.status_code), "internal-error")
    return _problem(request, Problem(code, headers=error.headers))


def _failed(log) -> Callable[[Request, Exception], Reply]:
    def answer(request: Request, error: Exception) -> Reply:
        log.error("failed", request_id=request.scope["ohmstead.request_id"], path=request.scope["path"], exc_info=error)
        return _problem(request, Problem("internal-error"))

    return answer


def _record(log, metrics: Metrics) -> Callable[..., None]:
    def record(route: str, method: str, status: int, seconds: float, error: Exception | None = None, **details) -> None:
        metrics.count(route, method, status, seconds)
        if error is not None:
            log.error("failed", route=route, exc_info=error, **details)
        log.info("request", route=route, method=method, status=status, ms=round(seconds * 1000, 3), **details)

    return record
