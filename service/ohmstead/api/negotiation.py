"""Which form of an answer a client takes (RFC 9110, sections 12.5.1 and 12.5.3)."""

from __future__ import annotations

from collections.abc import Iterator

from ..wire.problems import Problem

FORMATS = {"json": "application/json", "text": "text/plain", "csv": "text/csv", "svg": "image/svg+xml"}
_LONGEST = 1000


def media_type(accept: str, offered: tuple[str, ...]) -> str:
    """The offered media type that the client likes best; the first of equals. Raises Problem when it takes none."""
    if not accept or accept == "*/*" or accept == offered[0]:
        return offered[0]
    ranges = list(_weighted(accept))
    best = max(offered, key=lambda offer: _weight(ranges, offer))
    if _weight(ranges, best) <= 0:
        raise Problem("not-acceptable", f"this path answers with {', '.join(offered)}")
    return best


def coding(accept_encoding: str) -> str:
    """`br`, `gzip` or nothing; the client's weights decide, brotli wins a tie."""
    if not accept_encoding:
        return ""
    weights = dict(_weighted(accept_encoding))
    others = weights.get("*", 0.0)
    brotli, gzip = weights.get("br", others), weights.get("gzip", others)
    if brotli <= 0 and gzip <= 0:
        return ""
    return "br" if brotli >= gzip else "gzip"


def _weighted(header: str) -> Iterator[tuple[str, float]]:
    for part in header[:_LONGEST].split(","):
        name, *parameters = part.split(";")
        weight = 1.0
        for parameter in parameters:
            key, _, value = parameter.partition("=")
            if key.strip().lower() == "q":
                try:
                    weight = float(value)
                except ValueError:
                    weight = 0.0
        yield name.strip().lower(), weight


def _weight(ranges: list[tuple[str, float]], offer: str) -> float:
    family = offer.partition("/")[0] + "/*"
    # The most specific range decides, whatever its weight.
    for name in (offer, family, "*/*"):
        weights = [weight for candidate, weight in ranges if candidate == name]
        if weights:
            return max(weights)
    return 0.0
