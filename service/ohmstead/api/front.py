"""The one wrapper around the application: what holds for every response, and what the router gets wrong.

The framework's own middlewares run inside a route, so 404 and 405 would pass them by; each also costs more than
most of our arithmetic.
"""

from __future__ import annotations

import gzip
import os
import re
import time
from collections.abc import Callable, Mapping

import brotli
from msgspec import Struct

from ..wire.problems import Problem
from .negotiation import coding
from .reply import Reply, problem_reply

_COMPRESS_FROM = 1024  # bytes; below it the frame costs more than it saves
_REQUEST_ID = re.compile(r"[A-Za-z0-9._-]{1,64}")

Record = Callable[..., None]


class Headers(Struct, frozen=True):
    """The request headers that the service looks at, as text."""

    accept: str = ""
    accept_encoding: str = ""
    content_type: str = ""
    content_length: str = ""
    if_none_match: str = ""
    x_request_id: str = ""


_FIELDS = {name.replace("_", "-").encode(): name for name in Headers.__struct_fields__}


class Front:
    """An ASGI application around an ASGI application.

    `paths` gives the methods of every path, `record` gets one call a request: route, method, status, seconds and
    what else belongs in a log line.
    """

    def __init__(self, app: Callable, paths: Mapping[str, frozenset[str]], record: Record):
        self.app = app
        self.record = record
        self.methods = {path: _allowed(methods) for path, methods in paths.items() if "{" not in path}
        self.templates = [(_pattern(path), path, _allowed(methods)) for path, methods in paths.items() if "{" in path]

    async def __call__(self, scope, receive, send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        began = time.perf_counter()
        found = {}
        for name, value in scope["headers"]:
            field = _FIELDS.get(name)
            if field is not None:
                found[field] = value.decode("latin-1")
        headers = scope["ohmstead.headers"] = Headers(**found)
        request_id = headers.x_request_id
        if not _REQUEST_ID.fullmatch(request_id):
            request_id = os.urandom(8).hex()
        scope["ohmstead.request_id"] = request_id
        method = scope["method"]
        outlet = _Outlet(send, method == "HEAD", headers.accept_encoding, request_id)
        route, inner = self._route(scope, method, request_id)
        try:
            await inner(scope, receive, outlet.send)
        except Exception as error:  # the framework answers what it can; this is the rest, and the service stays up
            self.record(
                route,
                method,
                500,
                time.perf_counter() - began,
                request_id=request_id,
                size=0,
                problem="internal-error",
                error=error,
            )
            if outlet.status:
                raise
            await problem_reply(Problem("internal-error"), request_id)(scope, receive, outlet.send)
            return
        self.record(
            route, method, outlet.status, time.perf_counter() - began,
            request_id=request_id, size=outlet.size, problem=scope.get("ohmstead.problem"),
        )  # fmt: skip

    def _route(self, scope, method: str, request_id: str) -> tuple[str, Callable]:
        """The path's name for logs and metrics, and who answers."""
        path = scope["path"]
        allowed = self.methods.get(path)
        if allowed is None:
            for pattern, template, methods in self.templates:
                if pattern.fullmatch(path):
                    path, allowed = template, methods
                    break
            else:
                return "none", problem_reply(Problem("no-such-path"), request_id)
        if method in allowed:
            if method == "HEAD":
                scope["method"] = "GET"
            elif method == "OPTIONS":
                return path, Reply(b"", "text/plain", 204, {"allow": ", ".join(sorted(allowed))})
            return path, self.app
        said = ", ".join(sorted(allowed))
        return path, problem_reply(
            Problem("method-not-allowed", f"this path takes {said}", headers={"allow": said}), request_id
        )


def _allowed(methods: frozenset[str]) -> frozenset[str]:
    return methods | {"OPTIONS"} | ({"HEAD"} if "GET" in methods else set())


def _pattern(path: str) -> re.Pattern[str]:
    return re.compile(re.sub(r"\\{[^/]*?\\}", "[^/]+", re.escape(path)))


class _Outlet:
    """Holds a response's head back until its size is known, then compresses it or lets it stream."""

    __slots__ = ("_send", "_head_only", "_accept_encoding", "_request_id", "_start", "status", "size")

    def __init__(self, send, head_only: bool, accept_encoding: str, request_id: str):
        self._send = send
        self._head_only = head_only
        self._accept_encoding = accept_encoding
        self._request_id = request_id
        self._start = None
        self.status = 0
        self.size = 0

    async def send(self, message) -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
            self._start = message
            return
        body = message.get("body", b"")
        if self._start is not None:
            start, self._start = self._start, None
            headers = start["headers"] = list(start["headers"])
            headers.append((b"x-request-id", self._request_id.encode()))
            headers.append((b"x-content-type-options", b"nosniff"))
            if (
                not message.get("more_body")
                and len(body) >= _COMPRESS_FROM
                and not any(name == b"content-encoding" for name, _ in headers)
            ):
                body = self._compress(headers, body)
            await self._send(start)
        self.size += len(body)
        await self._send(
            {
                "type": "http.response.body",
                "body": b"" if self._head_only else body,
                "more_body": message.get("more_body", False),
            }
        )

    def _compress(self, headers: list, body: bytes) -> bytes:
        chosen = coding(self._accept_encoding)
        if not any(name == b"vary" for name, _ in headers):
            headers.append((b"vary", b"accept, accept-encoding"))
        if not chosen:
            return body
        packed = brotli.compress(body, quality=4) if chosen == "br" else gzip.compress(body, 1, mtime=0)
        headers[:] = [(name, value) for name, value in headers if name != b"content-length"]
        headers += [(b"content-encoding", chosen.encode()), (b"content-length", str(len(packed)).encode())]
        return packed
