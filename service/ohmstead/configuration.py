"""Settings of the service, read from the environment when asked for and never at import."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct

_REPOSITORY = Path(__file__).resolve().parents[2]


class Misconfigured(ValueError):
    """A setting that the service cannot start with; the message names the variable."""


class Configuration(Struct, frozen=True):
    """What may differ between two installations of the service."""

    host: str = "127.0.0.1"
    port: int = 8080
    workers: int = 1
    log: str = "info"
    largest_body: int = 262_144
    body_seconds: float = 5.0
    openapi: Path = _REPOSITORY / "openapi" / "v1.json"


_LEVELS = ("debug", "info", "warning", "error", "off")


def load(environment: Mapping[str, str] | None = None) -> Configuration:
    """Read OHMSTEAD_HOST, _PORT, _WORKERS, _LOG, _LARGEST_BODY, _BODY_SECONDS and _OPENAPI. Raises Misconfigured."""
    given = os.environ if environment is None else environment
    default = Configuration()
    log = given.get("OHMSTEAD_LOG", default.log)
    if log not in _LEVELS:
        raise Misconfigured(f"OHMSTEAD_LOG is one of {', '.join(_LEVELS)}, not {log!r}")
    return Configuration(
        host=given.get("OHMSTEAD_HOST", default.host),
        port=int(_number(given, "OHMSTEAD_PORT", default.port, 1, 65535)),
        workers=int(_number(given, "OHMSTEAD_WORKERS", default.workers, 1, 256)),
        log=log,
        largest_body=int(_number(given, "OHMSTEAD_LARGEST_BODY", default.largest_body, 1024, 16_777_216)),
        body_seconds=_number(given, "OHMSTEAD_BODY_SECONDS", default.body_seconds, 0.1, 300),
        openapi=Path(given.get("OHMSTEAD_OPENAPI", default.openapi)),
    )


def _number(given: Mapping[str, str], name: str, default: float, low: float, high: float) -> float:
    text = given.get(name)
    if text is None:
        return default
    try:
        value = float(text)
    except ValueError:
        value = low - 1
    if not low <= value <= high:
        raise Misconfigured(f"{name} is a number from {low:g} to {high:g}, not {text!r}")
    return value
