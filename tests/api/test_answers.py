"""Forms of a sound answer: units, text, working, compression."""

import gzip
import json

import brotli
import pytest

from ohmstead.api.negotiation import coding, media_type


def test_units(client, sound):
    body = {**sound, "parts": [{"length": {"value": 12, "unit": "ft"}}]}
    assert client.post(body).json()["run"] == {"value": 3.6576, "unit": "m"}
    assert client.post(body, "/v1/sample?units=metric").json()["run"] == {"value": 3.6576, "unit": "m"}
    assert client.post(body, "/v1/sample?units=us").json()["run"] == {"value": 12.0, "unit": "ft"}


def test_working_leads_from_the_answer_back_to_the_request(client, sound):
    plain = client.post(sound).json()
    told = client.post(sound, "/v1/sample?working=true").json()
    working = told.pop("working")
    plain.pop("working")
    assert plain == told
    numbers = working["numbers"]
    result = numbers[working["places"]["/current/value"]]
    assert result["how"] == "formula" and result["formula"] == "I = P / Vn" and result["citation"]["id"] == "ohm"
    assert [numbers[operand]["pointer"] for operand in result["operands"]] == ["/load/power", "/voltage"]
    assert all(operand < number["id"] for number in numbers for operand in number.get("operands", []))


def test_text_by_header_and_by_option(client, sound):
    by_header = client.post(sound, headers={"accept": "text/plain, application/json;q=0.5"})
    by_option = client.post(sound, "/v1/sample?format=text", headers={"accept": "image/png"})
    for answer in (by_header, by_option):
        assert answer.text == "20 A" and answer.headers["content-type"] == "text/plain; charset=utf-8"


@pytest.mark.parametrize(
    ("accept", "chosen"),
    [
        ("", "application/json"),
        ("*/*", "application/json"),
        ("text/*", "text/plain"),
        ("application/json;q=0.1, text/plain", "text/plain"),
        ("text/plain;q=0, */*", "application/json"),
        ("TEXT/PLAIN", "text/plain"),
        ("text/plain;q=nonsense, */*;q=0.1", "application/json"),
    ],
)
def test_media_type(accept, chosen):
    assert media_type(accept, ("application/json", "text/plain")) == chosen


@pytest.mark.parametrize(
    ("accepted", "chosen"),
    [
        ("", ""),
        ("gzip, br", "br"),
        ("gzip;q=0", ""),
        ("gzip", "gzip"),
        ("br;q=0.5, gzip", "gzip"),
        ("*", "br"),
        ("br;q=0, *", "gzip"),
        ("identity", ""),
    ],
)
def test_coding(accepted, chosen):
    assert coding(accepted) == chosen


@pytest.mark.parametrize(
    ("accepted", "unpack"), [("br", brotli.decompress), ("gzip", gzip.decompress), ("gzip;q=0", bytes)]
)
def test_compression_of_what_is_worth_it(client, sound, accepted, unpack):
    longer = {**sound, "parts": [{"length": {"value": 1, "unit": "m"}}]}

    def raw(body):
        import anyio
        import httpx

        async def send():
            http = httpx.AsyncClient(transport=httpx.ASGITransport(app=client.app), base_url="http://test")
            coding = {"accept-encoding": accepted}
            async with http, http.stream("POST", "/v1/sample", json=body, headers=coding) as response:
                return response.headers, b"".join([part async for part in response.aiter_raw()])

        return anyio.run(send)

    headers, body = raw(longer)
    assert json.loads(unpack(body))["run"]["value"] == 1.0
    assert int(headers["content-length"]) == len(body) and "accept-encoding" in headers["vary"]
    headers, body = raw(sound)
    assert "content-encoding" not in headers and json.loads(body)["current"]["value"] == 20.0


def test_head_and_options(client):
    query = "/v1/sample?voltage=12 V&load.by=current&load.current=1 A"
    head, got = client("HEAD", query), client.get(query)
    assert head.status_code == 200 and head.content == b"" and head.headers["content-length"] == str(len(got.content))
    options = client("OPTIONS", "/v1/sample")
    assert options.status_code == 204 and options.headers["allow"] == "GET, HEAD, OPTIONS, POST"


def test_request_id_is_echoed_when_it_is_harmless(client, sound):
    assert client.post(sound, headers={"x-request-id": "order-7.b"}).headers["x-request-id"] == "order-7.b"
    for bad in ("a b", "x" * 65, 'a"b', ""):
        assert client.post(sound, headers={"x-request-id": bad}).headers["x-request-id"] not in ("", bad)


def test_every_answer_says_nosniff(client, sound):
    for response in (client.post(sound), client.get("/nothing"), client("PUT", "/v1/sample")):
        assert response.headers["x-content-type-options"] == "nosniff"
