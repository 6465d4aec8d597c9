"""Documents that stand ready as bytes: the OpenAPI file, the documentation viewer and its assets."""

from __future__ import annotations

import gzip
import hashlib
from importlib.resources import files
from pathlib import Path

import brotli
from litestar import Request, get
from litestar.handlers import HTTPRouteHandler
from litestar.types import ASGIApp

from .negotiation import coding, media_type
from .reply import Reply


class Document:
    """Bytes in three codings, each with its own entity tag."""

    def __init__(self, body: bytes, kind: str, headers: dict[str, str] | None = None):
        self.kind = kind
        self.bodies = {"": body, "br": brotli.compress(body, quality=9), "gzip": gzip.compress(body, 9, mtime=0)}
        digest = hashlib.sha256(body).hexdigest()[:32]
        self.tags = {name: f'"{digest}{"-" if name else ""}{name}"' for name in self.bodies}
        self.headers = {"cache-control": "no-cache", "vary": "accept-encoding", **(headers or {})}

    def reply(self, request: Request) -> Reply:
        """The document, or 304 when the client has it. Raises Problem when the client does not take its type."""
        incoming = request.scope["ohmstead.headers"]
        media_type(incoming.accept, (self.kind,))
        chosen = coding(incoming.accept_encoding)
        headers = {**self.headers, "etag": self.tags[chosen]}
        known = {tag.strip().removeprefix("W/") for tag in incoming.if_none_match.split(",")}
        if self.tags[chosen] in known or "*" in known:
            return Reply(b"", self.kind, 304, headers)
        if chosen:
            headers["content-encoding"] = chosen
        return Reply(self.bodies[chosen], self.kind, 200, headers)


def route(path: str, document: Document) -> HTTPRouteHandler:
    """GET for a document."""

    @get(path, name=path)
    async def read(request: Request) -> ASGIApp:
        return document.reply(request)

    return read


_NO_OTHER_HOST = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)

_PAGE = {
    "content-security-policy": _NO_OTHER_HOST,
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
}


def routes(openapi: Path) -> list[HTTPRouteHandler]:
    """The OpenAPI file byte for byte as committed, and the viewer. Raises OSError when the file is not there."""
    documents = {
        "/v1/openapi.json": Document(openapi.read_bytes(), "application/json"),
        "/docs": Document(asset("docs.html"), "text/html", _PAGE),
        "/docs/page.css": Document(asset("page.css"), "text/css", _PAGE),
        "/docs/viewer.js": Document(asset("viewer.js"), "text/javascript", _PAGE),
    }
    return [route(path, document) for path, document in documents.items()]


def asset(name: str) -> bytes:
    """A file of the package's assets."""
    return (files("ohmstead") / "assets" / name).read_bytes()
