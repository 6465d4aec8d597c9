"""Structured log lines on standard error, one JSON object each."""

from __future__ import annotations

import logging
import sys
from typing import Any

import msgspec
import structlog

_LEVELS = {
    "debug": logging.DEBUG,
    "info": logging.INFO,
    "warning": logging.WARNING,
    "error": logging.ERROR,
    "off": logging.CRITICAL,
}
_ENCODER = msgspec.json.Encoder(enc_hook=repr)


def configure(level: str) -> structlog.typing.FilteringBoundLogger:
    """Make the service's logger. Tracebacks are data without local variables: those hold what the client sent."""
    return structlog.wrap_logger(
        structlog.BytesLogger(sys.stderr.buffer),
        wrapper_class=structlog.make_filtering_bound_logger(_LEVELS[level]),
        processors=[
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            structlog.processors.ExceptionRenderer(structlog.tracebacks.ExceptionDictTransformer(show_locals=False)),
            structlog.processors.JSONRenderer(serializer=_encode),
        ],
        cache_logger_on_first_use=True,
    )


def _encode(line: Any, **_: Any) -> bytes:
    return _ENCODER.encode(line)
