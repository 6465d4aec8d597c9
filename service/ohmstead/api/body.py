"""From the bytes of a body to the request's shape: one strict typed pass, and a slow second look when it fails."""

from __future__ import annotations

import asyncio
from typing import Any, Generic, TypeVar

import msgspec

from ..wire.collect import describe, examine, parse, repeated
from ..wire.problems import Problem

Shape = TypeVar("Shape")

_plain = msgspec.json.Decoder().decode
_again = msgspec.json.Encoder().encode


class Reader(Generic[Shape]):
    """Reads bodies of one shape. Raises Problem with every fault that can be found."""

    def __init__(self, shape: type[Shape]):
        describe(shape)
        self.shape: Any = shape
        self._decode = msgspec.json.Decoder(shape).decode

    def read(self, body: bytes) -> Shape:
        """The request, or Problem."""
        try:
            request = self._decode(body)
        except (msgspec.DecodeError, UnicodeDecodeError, RecursionError):
            return examine(body, self.shape)
        if b"\\" in body:
            # With escapes the count below proves nothing; the slow reader marks repeated names.
            faults = [*repeated(parse(body), "")]
            if faults:
                raise Problem("repeated-field", faults=faults)
        elif body.count(b":") != _again(_plain(body)).count(b":"):
            # msgspec keeps the last of two equal names: decoded and encoded again, the body has fewer colons.
            return examine(body, self.shape)
        return request


async def receive_body(receive, largest: int, seconds: float, announced: str) -> bytes:
    """Read the body of an ASGI request. Raises Problem when it is too large or too slow."""
    if announced.isdigit() and len(announced) < 19 and int(announced) > largest:
        raise _too_large(largest)
    parts, size = [], 0
    try:
        async with asyncio.timeout(seconds):
            while True:
                event = await receive()
                if event["type"] == "http.disconnect":
                    raise Problem("body-too-slow", "the client went away", headers={"connection": "close"})
                part = event.get("body", b"")
                size += len(part)
                if size > largest:
                    raise _too_large(largest)
                parts.append(part)
                if not event.get("more_body"):
                    return parts[0] if len(parts) == 1 else b"".join(parts)
    except TimeoutError:
        raise Problem(
            "body-too-slow", f"the body must arrive within {seconds:g} s", headers={"connection": "close"}
        ) from None


def _too_large(largest: int) -> Problem:
    return Problem("too-large", f"at most {largest} bytes", headers={"connection": "close"})


def demand_json(content_type: str) -> None:
    """Raises Problem unless the body is said to be JSON in UTF-8."""
    kind, _, parameters = content_type.partition(";")
    if kind.strip().lower() != "application/json":
        raise Problem("unsupported-content-type", headers={"accept-post": "application/json"})
    charset = parameters.strip().lower()
    if charset.startswith("charset=") and charset[8:].strip('"') not in ("utf-8", "utf8"):
        raise Problem("unsupported-content-type", "JSON is UTF-8", headers={"accept-post": "application/json"})
