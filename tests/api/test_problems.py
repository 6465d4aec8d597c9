"""Every way to be wrong that the issue names, each with its status, code and places."""

import json

import pytest

JSON = "application/problem+json"


def problem(response, status, code):
    assert response.status_code == status, response.text
    assert response.headers["content-type"] == JSON
    said = response.json()
    assert said["code"] == code and said["status"] == status and said["title"]
    assert said["type"].endswith(code)
    assert said["instance"].endswith(response.headers["x-request-id"])
    assert "Traceback" not in response.text
    return {error.get("pointer", error.get("parameter")): error["code"] for error in said.get("errors", [])}


def test_a_sound_request_is_answered(client, sound):
    answer = client.post(sound)
    assert answer.status_code == 200 and answer.headers["content-type"] == "application/json"
    assert answer.json()["current"] == {"value": 20.0, "unit": "A"}
    assert answer.json()["working"] is None


@pytest.mark.parametrize(
    "body",
    [b"", b"{", b'{"a":1,}', b"NaN", b'{"duty":NaN}', b'{"duty":Infinity}', b"\xef\xbb\xbf{}", b'"\\ud800"', b"[1,2"],
)
def test_malformed_json(client, body):
    problem(client.post(body), 400, "malformed-json")


def test_invalid_utf8(client, sound):
    problem(client.post(b'{"named": "\xff"}'), 400, "invalid-utf8")


@pytest.mark.parametrize("depth", [1200, 100_000])
def test_too_deep(client, depth):
    problem(client.post(b'{"parts":' + b"[" * depth + b"]" * depth + b"}"), 400, "too-deep")


def test_many_faults_in_one_go(client):
    body = {
        "load": {"by": "power", "power": 240, "more": 1},
        "sets": 2.5,
        "duty": 3,
        "air": {"value": 20, "unit": "K"},
        "place": "upstairs",
        "named": "Not A Name",
        "hot": 0,
        "colour": "red",
        "a/b~c": 1,
        "parts": [
            {"length": {"value": 2, "unit": "m"}},
            {"length": {"value": "2", "unit": "m"}},
            {"length": {"unit": "m"}},
            [],
        ],
    }
    assert problem(client.post(body), 400, "invalid-request") == {
        "/voltage": "missing-field",
        "/load/power": "bare-number",
        "/load/more": "unknown-field",
        "/sets": "wrong-type",
        "/duty": "out-of-range",
        "/air/unit": "wrong-unit",
        "/place": "not-in-list",
        "/named": "wrong-pattern",
        "/hot": "wrong-type",
        "/colour": "unknown-field",
        "/a~1b~0c": "unknown-field",
        "/parts": "wrong-length",
        "/parts/1/length/value": "wrong-type",
        "/parts/2/length/value": "missing-field",
        "/parts/3": "wrong-type",
    }


def test_units_are_named_for_a_bare_number_and_a_wrong_unit(client, sound):
    bare = client.post({**sound, "air": 20}).json()["errors"][0]
    assert bare["allowed"] == ["degC", "degF"] and "degC, degF" in bare["detail"]
    wrong = client.post({**sound, "air": {"value": 20, "unit": "C"}}).json()["errors"][0]
    assert wrong["allowed"] == ["degC", "degF"]


def test_no_more_than_fifty_faults(client, sound):
    said = client.post({**sound, **{f"x{number}": 1 for number in range(200)}}).json()
    assert len(said["errors"]) == 50


@pytest.mark.parametrize("number", ["1e999", "-1e999", "1" * 400, "1" * 5000])
def test_a_number_beyond_a_double_is_out_of_range(client, number):
    load = '{"by": "current", "current": {"value": 1, "unit": "A"}}'
    body = f'{{"voltage": {{"value": {number}, "unit": "V"}}, "load": {load}}}'
    assert problem(client.post(body.encode()), 400, "invalid-request") == {"/voltage/value": "out-of-range"}


def test_repeated_fields_are_refused_wherever_they_stand(client, sound):
    text = json.dumps(sound)
    twice = text[:-1] + ', "load": {"by": "power", "power": {"value": 1, "value": 2, "unit": "W"}}}'
    assert problem(client.post(twice.encode()), 400, "repeated-field") == {
        "/load": "repeated-field",
        "/load/power/value": "repeated-field",
    }
    escaped = text[:-1] + ', "h\\u006ft": false, "hot": true}'
    assert problem(client.post(escaped.encode()), 400, "repeated-field") == {"/hot": "repeated-field"}


def test_a_colon_in_a_text_is_not_taken_for_a_repeated_field(client, sound):
    assert problem(client.post({**sound, "named": "a:b"}), 400, "invalid-request") == {"/named": "wrong-pattern"}


@pytest.mark.parametrize("sets", ["2.0", "2e0", "20e-1"])
def test_a_whole_float_is_an_integer(client, sound, sets):
    body = json.dumps(sound)[:-1] + f', "sets": {sets}}}'
    assert client.post(body.encode()).status_code == 200


def test_no_coercion(client, sound):
    assert problem(client.post({**sound, "duty": "1"}), 400, "invalid-request") == {"/duty": "wrong-type"}
    assert problem(client.post({**sound, "duty": True}), 400, "invalid-request") == {"/duty": "wrong-type"}
    assert problem(client.post({**sound, "sets": None}), 400, "invalid-request") == {"/sets": "wrong-type"}


def test_unknown_variant_names_the_variants(client, sound):
    said = client.post({**sound, "load": {"by": "wind"}}).json()["errors"][0]
    assert said["pointer"] == "/load/by" and said["allowed"] == ["power", "current"]
    assert problem(client.post({**sound, "load": {}}), 400, "invalid-request") == {"/load/by": "missing-field"}


def test_bounds_after_conversion_are_422_and_all_are_named(client, sound):
    body = {**sound, "air": {"value": 120, "unit": "degC"}, "ground": {"value": 130, "unit": "degC"}}
    places = problem(client.post(body), 422, "cannot-be-calculated")
    assert places == {"/air": "outside-physical-bounds", "/ground": "outside-physical-bounds"}
    assert client.post({**sound, "air": {"value": 120, "unit": "degF"}}).status_code == 200


def test_contradiction_is_422(client, sound):
    assert problem(client.post({**sound, "place": "outside", "hot": True}), 422, "cannot-be-calculated") == {
        "/hot": "contradiction"
    }


@pytest.mark.parametrize(
    "kind",
    ["text/plain", "application/msgpack", "multipart/form-data; boundary=x", "application/json; charset=latin-1", ""],
)
def test_content_type(client, kind):
    response = client("POST", "/v1/sample", content=b"{}", headers={"content-type": kind})
    problem(response, 415, "unsupported-content-type")
    assert response.headers["accept-post"] == "application/json"


def test_content_type_with_charset(client, sound):
    assert (
        client.post(json.dumps(sound).encode(), headers={"content-type": "Application/JSON; charset=UTF-8"}).status_code
        == 200
    )


def test_too_large(client):
    problem(client.post(b" " * 300_000 + b"{}"), 413, "too-large")


def test_too_large_without_a_length(client):
    async def pieces():
        for _ in range(40):
            yield b" " * 10_000

    response = client("POST", "/v1/sample", content=pieces(), headers={"content-type": "application/json"})
    problem(response, 413, "too-large")


def test_slow_body(client):
    import anyio

    async def pieces():
        yield b"{"
        await anyio.sleep(5)
        yield b"}"

    response = client("POST", "/v1/sample", content=pieces(), headers={"content-type": "application/json"})
    problem(response, 408, "body-too-slow")


@pytest.mark.parametrize("accept", ["text/html", "application/xml, text/*;q=0", "application/json;q=0"])
def test_not_acceptable(client, sound, accept):
    problem(client.post(sound, headers={"accept": accept}), 406, "not-acceptable")


def test_no_such_path(client):
    for path in ("/", "/v1", "/v1/nothing", "/v1/sample/", "/v1/sample/x", "/%00"):
        problem(client.get(path), 404, "no-such-path")


@pytest.mark.parametrize(
    ("method", "path", "allow"),
    [
        ("DELETE", "/v1/sample", "GET, HEAD, OPTIONS, POST"),
        ("POST", "/health/live", "GET, HEAD, OPTIONS"),
        ("BREW", "/v1/sample", "GET, HEAD, OPTIONS, POST"),
    ],
)
def test_method_not_allowed(client, method, path, allow):
    response = client(method, path)
    problem(response, 405, "method-not-allowed")
    assert response.headers["allow"] == allow


def test_an_infinite_amount_is_a_fault_of_ours_and_never_null(client, sound):
    part = {"length": {"value": 1, "unit": "m"}}
    problem(client.post({**sound, "place": "outside", "parts": [part] * 3}), 500, "internal-error")


def test_a_fault_of_ours_is_500_without_a_traceback(client, sound):
    part = {"length": {"value": 1, "unit": "m"}}
    problem(client.post({**sound, "place": "inside", "parts": [part] * 3}), 500, "internal-error")
