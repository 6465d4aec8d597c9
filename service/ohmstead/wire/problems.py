"""What can be wrong with a request: the closed list of codes, and how a problem looks on the wire (RFC 9457)."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Annotated, Any, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

ProblemCode = Literal[
    "malformed-json", "invalid-utf8", "too-deep", "repeated-field", "invalid-request", "invalid-query",
    "no-such-path", "method-not-allowed", "not-acceptable", "body-too-slow", "too-large",
    "unsupported-content-type", "cannot-be-calculated", "internal-error", "not-ready",
]  # fmt: skip

FaultCode = Literal[
    "missing-field", "unknown-field", "repeated-field", "wrong-type", "bare-number", "wrong-unit",
    "unreadable-quantity", "out-of-range", "wrong-length", "wrong-pattern", "not-in-list", "outside-physical-bounds",
    "contradiction", "outside-method",
]  # fmt: skip

# Status and the one-line title of every problem.
PROBLEMS: dict[str, tuple[int, str]] = {
    "malformed-json": (400, "The body is not JSON"),
    "invalid-utf8": (400, "The request is not UTF-8"),
    "too-deep": (400, "The JSON is nested too deeply"),
    "repeated-field": (400, "A field stands twice in one object"),
    "invalid-request": (400, "The request does not fit the published schema"),
    "invalid-query": (400, "The query string does not fit the published parameters"),
    "no-such-path": (404, "There is nothing at this path"),
    "method-not-allowed": (405, "This path does not take this method"),
    "not-acceptable": (406, "The answer cannot be made in a form that the client accepts"),
    "body-too-slow": (408, "The body did not arrive in time"),
    "too-large": (413, "The body is too large"),
    "unsupported-content-type": (415, "The body must be application/json"),
    "cannot-be-calculated": (422, "The request fits the schema but cannot be calculated"),
    "internal-error": (500, "The service failed; the request may be sound"),
    "not-ready": (503, "The service is not ready"),
}

MOST_FAULTS = 50
"""Faults reported in one go; a body of garbage shall not be answered with a longer one."""


class Fault(Struct, frozen=True, omit_defaults=True):
    """One thing that is wrong, and where."""

    code: Annotated[FaultCode, Meta(description="What is wrong, from a closed list")]
    detail: Annotated[str, Meta(description="What is wrong and what would be right, in a sentence")]
    pointer: Annotated[str, Meta(description="JSON Pointer (RFC 6901) into the body")] | UnsetType = UNSET
    parameter: Annotated[str, Meta(description="Name of the query parameter")] | UnsetType = UNSET
    allowed: Annotated[list[str], Meta(description="Units or words that would be taken")] | UnsetType = UNSET


def named_twice(items: Sequence[Any], field: str, taken: Collection[str] = ()) -> list[Fault]:
    """A fault for each item of a list of the request whose `id` one before it has, or that is taken already."""
    seen, faults = set(taken), []
    for position, item in enumerate(items):
        if item.id in seen:
            faults.append(Fault("contradiction", f"{item.id} names more than one", f"/{field}/{position}/id"))
        seen.add(item.id)
    return faults


class ProblemDocument(Struct, frozen=True, omit_defaults=True):
    """An error as RFC 9457 wants it, with a code from a closed list and every fault that could be found."""

    type: Annotated[str, Meta(description="URN of the kind of problem; its last part is the code")]
    title: Annotated[str, Meta(description="The kind of problem in one line")]
    status: Annotated[int, Meta(ge=400, le=599, description="HTTP status")]
    code: Annotated[ProblemCode, Meta(description="Kind of problem, from a closed list")]
    detail: Annotated[str, Meta(description="What happened this time")] = ""
    instance: (
        Annotated[str, Meta(description="Names this occurrence: the request's id, which the log holds too")] | UnsetType
    ) = UNSET
    errors: Annotated[list[Fault], Meta(description="Every fault that could be found, at most 50")] | UnsetType = UNSET


class Problem(Exception):
    """A request that is not answered. `headers` go onto the response."""

    def __init__(
        self,
        code: ProblemCode,
        detail: str = "",
        faults: list[Fault] | None = None,
        headers: dict[str, str] | None = None,
    ):
        super().__init__(detail or PROBLEMS[code][1])
        self.code = code
        self.detail = detail
        self.faults = faults or []
        self.headers = headers or {}

    @property
    def status(self) -> int:
        """HTTP status."""
        return PROBLEMS[self.code][0]

    def document(self, instance: str = "") -> ProblemDocument:
        """The problem as it stands on the wire."""
        status, title = PROBLEMS[self.code]
        return ProblemDocument(
            f"urn:ohmstead:problem:{self.code}",
            title,
            status,
            self.code,
            self.detail,
            instance or UNSET,
            self.faults[:MOST_FAULTS] or UNSET,
        )


class Contradiction(Problem):
    """Fields that fit the schema each on its own and cannot hold together: (pointer, what is wrong) pairs."""

    def __init__(self, *faults: tuple[str, str], code: FaultCode = "contradiction"):
        super().__init__("cannot-be-calculated", faults=[Fault(code, detail, pointer) for pointer, detail in faults])


def refuse(pointer: str, detail: str, code: FaultCode = "contradiction") -> Contradiction:
    """The problem of one fault that the schema cannot state. The caller raises it."""
    return Contradiction((pointer, detail), code=code)
