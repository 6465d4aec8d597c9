"""What README.md tells a reader to type is sent to the application, and what it prints is what comes back."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest
from api.conftest import Client

from ohmstead.api.calculations import CALCULATIONS
from ohmstead.app import build
from ohmstead.configuration import Configuration
from ohmstead.reference.practices import Practice

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text("utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", README, re.DOTALL)


CALLS = [block for block in blocks("sh") if block.startswith("curl")]
ANSWER, PROBLEM = map(json.loads, blocks("json"))


@pytest.fixture(scope="module")
def service(shelf) -> Client:
    return Client(build(Configuration(log="off"), CALCULATIONS, shelf))


def send(service: Client, command: str):
    """What the command would send: of curl's words those that the README uses."""
    words = shlex.split(command)
    path, headers, body, query, get = "", {}, None, {}, "--get" in words
    for word, value in zip(words[1:], [*words[2:], ""], strict=True):
        if word.startswith("http://127.0.0.1:8080"):
            path = word.removeprefix("http://127.0.0.1:8080")
        elif word == "-H":
            headers |= [tuple(part.strip() for part in value.split(":", 1))]
        elif word in ("-d", "--data-urlencode") and get:
            query |= [tuple(value.split("=", 1))]
        elif word == "-d":
            body = value.encode()
        elif word == "--data-binary":
            body = (ROOT / value.removeprefix("@")).read_bytes()
    if get:
        return service("GET", path, params=query)
    return service("POST", path, content=body, headers=headers)


def holds(part, whole) -> bool:
    """Whether everything that the README shows stands in the answer."""
    if isinstance(part, dict):
        return all(name in whole and holds(value, whole[name]) for name, value in part.items())
    if isinstance(part, list):
        return len(part) == len(whole) and all(map(holds, part, whole))
    return part == pytest.approx(whole, rel=1e-12) if isinstance(part, float) else part == whole


def test_the_calls_are_answered(service):
    assert len(CALLS) == 3
    plan, post, get = (send(service, call) for call in CALLS)
    assert plan.status_code == post.status_code == get.status_code == 200
    assert plan.headers["content-type"].startswith("text/plain") and plan.text.startswith("Plan for a van")
    assert post.json() == get.json()
    assert holds(ANSWER, post.json())


def test_the_problem_is_the_one_that_comes(service):
    body = json.loads(re.search(r"-d '(\{.*?\})'", CALLS[1], re.DOTALL)[1])
    answer = service.post({**body, "run": 12}, "/v1/circuit")
    assert holds(PROBLEM, answer.json())


def test_every_calculation_and_practice_is_listed(shelf):
    """In the tables, and nothing that is not offered."""
    offered = {
        f"/v1/{calculation.name}": ", ".join(["POST"] * calculation.post + ["GET"] * calculation.get) for calculation in CALCULATIONS
    }
    listed = dict(re.findall(r"^\| `(/v1/[a-z]+)` \|.*\| ([A-Z, ]+) \|$", README, re.MULTILINE))
    assert listed == offered
    practices: dict[str, Practice] = shelf.plain.practices
    assert set(re.findall(r"^\| `([a-z]+-[a-z]+)` \|", README, re.MULTILINE)) == set(practices)


def test_what_it_names_is_there():
    """Files and settings."""
    for path in re.findall(r"(?:deploy|openapi|tests)/[\w./*-]+\w", README):
        assert list(ROOT.glob(path)), path
    settings = set(re.findall(r"`OHMSTEAD_([A-Z_]+)`", README))
    assert settings <= {name.upper() for name in Configuration.__struct_fields__}
