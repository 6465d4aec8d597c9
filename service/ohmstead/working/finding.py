"""Coded remarks about a plan, an installation or a single answer."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Literal

from msgspec import Struct
from msgspec.structs import force_setattr

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
    to_fill: tuple[str, str] = ("", "")
    """Message and cure in the older form of template, made here from the declared ones: it is filled in twice as fast."""

    def __post_init__(self) -> None:
        force_setattr(self, "to_fill", (_older(self.message), _older(self.cure)))

    def filled(self, values: Mapping[str, object]) -> tuple[str, str]:
        """Message and cure with their values. Raises KeyError for one that is missing."""
        message, cure = self.to_fill
        return message % values, cure % values


def _older(template: str) -> str:
    return re.sub(r"\{(\w+)\}", r"%(\1)s", template.replace("%", "%%"))


class Finding(Struct, frozen=True):
    """A remark made, with the place it is about (a JSON Pointer into the request, or an id of the installation)."""

    code: str
    kind: Kind
    severity: Severity
    message: str
    cure: str
    clause: str = ""
    pointer: str = ""
