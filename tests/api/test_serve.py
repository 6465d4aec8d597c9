"""The service as the command line starts it."""

import json
from pathlib import Path

import httpx

from ohmstead import contract

EXAMPLE = "circuit-inverter"


def test_it_serves_and_ends_when_asked(serving):
    with httpx.Client(base_url=serving.address) as http:
        answer = http.post("/v1/circuit", json=contract.example(EXAMPLE))
        asked = http.get("/v1/circuit", params=contract.flat(contract.example(EXAMPLE)))
        document = http.get("/v1/openapi.json")
        broken = http.post("/v1/circuit", content=b"{", headers={"content-type": "application/json"})
    assert answer.status_code == 200 and answer.json()["circuit"]["outcome"] == "sized"
    assert asked.content == answer.content
    assert document.content == (Path(contract.EXAMPLES).parent / "v1.json").read_bytes()
    assert broken.status_code == 400 and broken.headers["content-type"] == "application/problem+json"
    assert serving.stop() == 0
    served = [line for line in serving.lines() if line.get("event") == "request"]
    assert [line["status"] for line in served][-4:] == [200, 200, 200, 400]
    assert served[-1]["problem"] == "malformed-json"
    assert all(json.dumps(line).find("us-vehicle") == -1 for line in served)
