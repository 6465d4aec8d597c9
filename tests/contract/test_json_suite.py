"""A public suite of JSON texts, sound, broken and doubtful, sent to every calculation as a body.

The suite is not part of the repository: OHMSTEAD_JSON_SUITE names the folder with its files (y_*.json, n_*.json, i_*.json).
Without it the test is passed over; with it, a folder that holds no suite is a fault.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

import anyio
import httpx
import pytest

from ohmstead.api.calculations import CALCULATIONS
from ohmstead.app import build
from ohmstead.configuration import Configuration

SUITE = os.environ.get("OHMSTEAD_JSON_SUITE")
CASES = sorted(Path(SUITE).glob("[niy]_*.json")) if SUITE else []

pytestmark = pytest.mark.skipif(not SUITE, reason="OHMSTEAD_JSON_SUITE does not name a folder with JSON texts")
POSTED = [calculation for calculation in CALCULATIONS if calculation.post]


@pytest.fixture(scope="module")
def replies(shelf):
    """Every reply, by file and calculation. One run: a client a file would take longer than the requests."""
    app = build(Configuration(log="off"), shelf=shelf)

    async def send():
        made = {}
        async with httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url="http://test") as http:
            for path in CASES:
                for calculation in POSTED:
                    made[path.name, calculation.name] = await http.post(
                        f"/v1/{calculation.name}",
                        content=path.read_bytes(),
                        headers={"content-type": "application/json"},
                    )
        return made

    return anyio.run(send)


def test_the_suite_is_whole():
    assert len(CASES) > 300


@pytest.mark.parametrize("calculation", [calculation.name for calculation in POSTED])
def test_every_text_is_answered_with_a_problem(replies, calculation):
    for path in CASES:
        reply = replies[path.name, calculation]
        assert reply.status_code == 400, (path.name, reply.status_code, reply.text)
        assert reply.headers["content-type"] == "application/problem+json"
        assert json.loads(reply.content)["code"] in (
            "malformed-json",
            "invalid-utf8",
            "too-deep",
            "repeated-field",
            "invalid-request",
        )


def test_broken_texts_are_told_apart_from_sound_ones(replies):
    name = CALCULATIONS[0].name
    for path in CASES:
        code = replies[path.name, name].json()["code"]
        if path.name.startswith("n_"):
            assert code in ("malformed-json", "invalid-utf8", "too-deep"), (path.name, code)
        elif path.name.startswith("y_"):
            assert code in ("invalid-request", "repeated-field"), (path.name, code)
