"""Coded remarks about a plan, an installation or a single answer."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

Kind = Literal["hazard", "code", "shortfall", "missing-data", "advice"]
Severity = Literal["note", "caution", "unsafe"]


class FindingCode(Struct, frozen=True):
    """A remark that the service can make: declared once, published as a list."""

    code: str
    kind: Kind
    severity: Severity
    message: str
    cure: str
    clause: str = ""


class Finding(Struct, frozen=True):
    """A remark made, with the place it is about (a JSON Pointer into the request, or an id of the installation)."""

    code: str
    kind: Kind
    severity: Severity
    message: str
    cure: str
    clause: str = ""
    pointer: str = ""
