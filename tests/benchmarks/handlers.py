"""Requests in process, without a network: through the service, and through a bare handler of the same framework."""

from __future__ import annotations

import asyncio
from typing import Any

from litestar import Litestar, Request, Response, post
from msgspec.json import Decoder
from ohmstead.api.calculation import Calculation
from ohmstead.api.reply import JSON, encode

from .measure import Repeated


def bare(calculation: Calculation, answer: Any) -> Litestar:
    """Decodes the same type of request and encodes the same answer, and does nothing between."""
    decode = Decoder(calculation.request).decode

    @post(f"/v1/{calculation.name}", status_code=200)
    async def handle(request: Request) -> Response[bytes]:
        decode(await request.body())
        return Response(encode(answer), media_type=JSON)

    return Litestar([handle], openapi_config=None, logging_config=None)


class Client:
    """Sends requests to ASGI applications in one event loop."""

    def __init__(self) -> None:
        self.loop = asyncio.new_event_loop()

    def close(self) -> None:
        """End the loop."""
        self.loop.close()

    def posting(self, app: Any, path: str, body: bytes, query: bytes = b"") -> Repeated:
        """Posting this body as a piece of work. Raises RuntimeError unless the answer is 200."""
        scope = {
            "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "POST", "scheme": "http",
            "path": path, "raw_path": path.encode(), "query_string": query, "root_path": "",
            "headers": [(b"host", b"localhost"), (b"content-type", b"application/json"), (b"content-length", str(len(body)).encode())],
            "client": ("127.0.0.1", 50000), "server": ("127.0.0.1", 8080),
        }  # fmt: skip
        request = {"type": "http.request", "body": body, "more_body": False}
        statuses: list[int] = []

        async def receive() -> dict[str, Any]:
            return request

        async def send(message: dict[str, Any]) -> None:
            if message["type"] == "http.response.start":
                statuses.append(message["status"])

        async def post_them(times: int) -> None:
            statuses.clear()
            for _ in range(times):
                await app(dict(scope), receive, send)

        def run(times: int) -> None:
            self.loop.run_until_complete(post_them(times))
            if statuses != [200] * times:
                raise RuntimeError(f"{path} answered {sorted(set(statuses))}")

        return run
