"""A finished response: status, media type, bytes."""

from __future__ import annotations

import msgspec

from ..wire.base import Answer, plain_float
from ..wire.problems import Problem

JSON = "application/json"
PROBLEM = "application/problem+json"

encode = msgspec.json.Encoder(enc_hook=plain_float).encode


def encode_answer(answer: Answer) -> bytes:
    """An answer as JSON. Raises ArithmeticError for an amount that is infinite or not a number.

    msgspec writes such a number as null, which a client would take for "not known".
    """
    body = encode(answer)
    if b'"value":null,"unit":' in body:
        raise ArithmeticError("an amount of the answer is not finite")
    return body


class Reply:
    """An ASGI application that sends one response. Cheaper than the framework's own, which builds headers anew."""

    __slots__ = ("status", "media_type", "body", "headers", "code")

    def __init__(
        self,
        body: bytes,
        media_type: str = JSON,
        status: int = 200,
        headers: dict[str, str] | None = None,
        code: str = "",
    ):
        self.status = status
        self.media_type = media_type
        self.body = body
        self.headers = headers
        self.code = code

    async def __call__(self, scope, receive, send) -> None:
        """Send it."""
        if self.code:
            scope["ohmstead.problem"] = self.code
        kind = self.media_type
        if kind.startswith("text/") and "charset" not in kind:
            kind += "; charset=utf-8"
        headers = [(b"content-type", kind.encode()), (b"content-length", str(len(self.body)).encode())]
        if self.headers:
            headers += [
                (name.lower().encode(), value.encode("latin-1", "replace")) for name, value in self.headers.items()
            ]
        await send({"type": "http.response.start", "status": self.status, "headers": headers})
        await send({"type": "http.response.body", "body": self.body, "more_body": False})

    def to_asgi_response(self, **_) -> Reply:
        """What the framework calls on the result of an exception handler."""
        return self


def problem_reply(problem: Problem, request_id: str) -> Reply:
    """The problem as a response. `request_id` names this occurrence."""
    body = encode(problem.document(request_id and f"urn:ohmstead:request:{request_id}"))
    return Reply(body, PROBLEM, problem.status, problem.headers, problem.code)
