"""A small calculation of the tests' own, so that the interface can be tried without the service's."""

from __future__ import annotations

import json
import math
import os
import socket
import subprocess
import sys
import time
from pathlib import Path
from typing import Annotated, Literal

import anyio
import httpx
import pytest
from msgspec import Meta, Struct

from ohmstead.api.calculation import Calculation
from ohmstead.app import build
from ohmstead.configuration import Configuration
from ohmstead.nomenclature import formula
from ohmstead.reference.case import Shelf
from ohmstead.wire.base import Amount, Answer, envelope
from ohmstead.wire.problems import refuse
from ohmstead.wire.quantities import AirTemperature, Current, DcVoltage, Power, RunLength
from ohmstead.working import Citation

CITE = Citation("ohm", "A textbook of the tests", "1", "", "computed")


@formula("current_a", cite=CITE)
def current(power_w, nominal_voltage_v):
    """Current from power."""
    return power_w / nominal_voltage_v


class ByPower(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="power"):
    """From power."""

    power: Annotated[Power, Meta(description="Power")]


class ByCurrent(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="current"):
    """From current."""

    current: Annotated[Current, Meta(description="Current")]


class Part(Struct, frozen=True, forbid_unknown_fields=True):
    """A part of the run."""

    length: Annotated[RunLength, Meta(description="Length")]


class SampleRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A request of every kind of field."""

    voltage: Annotated[DcVoltage, Meta(description="Voltage")]
    load: Annotated[ByPower | ByCurrent, Meta(description="Load")]
    sets: Annotated[int, Meta(ge=1, le=6, description="Sets")] = 1
    duty: Annotated[float, Meta(ge=0, le=1, description="Duty")] = 1.0
    air: Annotated[AirTemperature | None, Meta(description="Air")] = None
    ground: Annotated[AirTemperature | None, Meta(description="Ground")] = None
    place: Annotated[Literal["inside", "outside"] | None, Meta(description="Place")] = None
    named: Annotated[Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$")] | None, Meta(description="Name")] = None
    hot: Annotated[bool, Meta(description="Hot")] = False
    parts: Annotated[Annotated[list[Part], Meta(min_length=0, max_length=3)], Meta(description="Parts")] = []


class SampleAnswer(Answer):
    """An answer."""

    current: Annotated[Amount, Meta(description="Current")]
    run: Annotated[Amount, Meta(description="Length of all parts")]
    place: Annotated[str, Meta(description="Where")]


def read(request, door):
    if request.place == "outside" and request.hot:
        raise refuse("/hot", "it is never hot outside")
    voltage = door.quantity(request.voltage, "nominal_voltage_v", "", "voltage")
    door.quantity(request.air, "ambient_c", "", "air")
    door.quantity(request.ground, "ambient_c", "", "ground")
    if isinstance(request.load, ByPower):
        known = (door.quantity(request.load.power, "power_w", "/load", "power"), voltage)
    else:
        known = (door.quantity(request.load.current, "current_a", "/load", "current"),)
    lengths = [door.quantity(part.length, "run_m", f"/parts/{at}", "length") for at, part in enumerate(request.parts)]
    return known, lengths, request.place


def work(model, case):
    known, lengths, place = model
    if place == "outside" and len(lengths) == 3:
        return math.inf, lengths, place
    if place == "inside" and len(lengths) == 3:
        raise ZeroDivisionError("a fault of the service")
    return (current(*known) if len(known) == 2 else known[0]), lengths, place


def write(result, case):
    amps, lengths, place = result
    return SampleAnswer(
        current=Amount(amps, "A"),
        run=Amount(sum(lengths, 0.0), "m"),
        place=place or "anywhere",
        **envelope(case, [CITE], ["Mind the step."] * (80 if lengths else 1)),
    )


SAMPLE = Calculation(
    name="sample",
    request=SampleRequest,
    answer=SampleAnswer,
    read=read,
    work=work,
    write=write,
    summary="A sample",
    description="A sample of the tests.",
    examples=(),
    get=True,
    text=lambda result, answer: f"{answer.current.value:g} A",
)


class Client:
    """Sends requests to the application without a server."""

    def __init__(self, app):
        self.app = app

    def __call__(self, method: str, path: str, **request) -> httpx.Response:
        async def send():
            transport = httpx.ASGITransport(app=self.app, raise_app_exceptions=True)
            async with httpx.AsyncClient(transport=transport, base_url="http://test") as client:
                return await client.request(method, path, **request)

        return anyio.run(send)

    def post(self, body, path: str = "/v1/sample", **request) -> httpx.Response:
        """Send a body as JSON; bytes as they are."""
        if isinstance(body, bytes):
            headers = {"content-type": "application/json", **request.pop("headers", {})}
            return self("POST", path, content=body, headers=headers, **request)
        return self("POST", path, json=body, **request)

    def get(self, path: str = "/v1/sample", **request) -> httpx.Response:
        """GET."""
        return self("GET", path, **request)


@pytest.fixture(scope="session")
def shelf() -> Shelf:
    return Shelf()


@pytest.fixture(scope="session")
def openapi_file(tmp_path_factory):
    path = tmp_path_factory.mktemp("openapi") / "v1.json"
    path.write_bytes(b'{"openapi": "3.1.0"}' + b" " * 3000)
    return path


@pytest.fixture(scope="session")
def client(shelf, openapi_file) -> Client:
    return Client(build(Configuration(log="off", openapi=openapi_file, body_seconds=0.2), (SAMPLE,), shelf))


@pytest.fixture
def sound() -> dict:
    return {"voltage": {"value": 12, "unit": "V"}, "load": {"by": "power", "power": {"value": 240, "unit": "W"}}}


class Serving:
    """The service in a process of its own, as the command line starts it."""

    def __init__(self, folder: Path, workers: int = 1):
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            port = probe.getsockname()[1]
        self.address = f"http://127.0.0.1:{port}"
        self.log = folder / "log"
        source = Path(__file__).resolve().parents[2] / "service"
        command = [sys.executable, "-m", "ohmstead", "serve", "--port", str(port), "--workers", str(workers)]
        environment = {**os.environ, "PYTHONPATH": str(source), "OHMSTEAD_LOG": "info"}
        with self.log.open("wb") as log:
            self.process = subprocess.Popen(command, env=environment, stderr=log, stdout=subprocess.DEVNULL)

    def wait(self) -> None:
        """Until it answers; at most half a minute."""
        for _ in range(150):
            try:
                if httpx.get(f"{self.address}/health/ready").status_code == 200:
                    return
            except httpx.TransportError:
                time.sleep(0.2)
        raise TimeoutError(self.log.read_text())

    def lines(self) -> list[dict]:
        """What it has logged."""
        return [json.loads(line) for line in self.log.read_text().splitlines() if line.startswith("{")]

    def stop(self) -> int:
        """Ask it to end, and its exit code."""
        self.process.terminate()
        return self.process.wait(30)


@pytest.fixture
def serving(tmp_path):
    server = Serving(tmp_path)
    try:
        server.wait()
        yield server
    finally:
        server.stop()
