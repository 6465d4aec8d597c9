"""The same calculation asked in a query string."""

import pytest

SOUND = {"voltage": "12 V", "load.by": "power", "load.power": "240 W"}


def faults(response, status):
    assert response.status_code == status, response.text
    said = response.json()
    assert said["code"] == {400: "invalid-query", 422: "cannot-be-calculated"}[status]
    assert all("pointer" not in error for error in said["errors"])
    return {error["parameter"]: error["code"] for error in said["errors"]}


def test_get_answers_as_post(client, sound):
    asked = {**SOUND, "sets": "2", "air": "68 degF", "place": "inside", "hot": "true", "named": "a-1", "duty": "0.5"}
    body = {
        **sound,
        "sets": 2,
        "air": {"value": 68, "unit": "degF"},
        "place": "inside",
        "hot": True,
        "named": "a-1",
        "duty": 0.5,
    }
    got = client.get(params=asked)
    assert got.status_code == 200, got.text
    assert got.content == client.post(body).content


def test_options_stand_beside_the_request(client):
    answer = client.get(params={**SOUND, "working": "true", "units": "us", "format": "json"}).json()
    assert answer["working"]["numbers"][-1]["formula"] == "I = P / Vn"


def test_every_wrong_parameter_is_named(client):
    wrong = {
        "load.by": "power",
        "load.power": "240 A",
        "sets": "2.5",
        "duty": "3",
        "place": "upstairs",
        "hot": "yes",
        "x": "1",
        "named": "No",
    }
    assert faults(client.get(params=wrong), 400) == {
        "voltage": "missing-field", "load.power": "unreadable-quantity", "sets": "wrong-type", "duty": "out-of-range",
        "place": "not-in-list", "hot": "wrong-type", "x": "unknown-field", "named": "wrong-pattern",
    }  # fmt: skip


@pytest.mark.parametrize("text", ["12", "12'", "1 000 V", "1e999 V", "12 V; 3", "12 volts", ""])
def test_a_text_that_is_no_quantity_is_answered_with_the_units(client, text):
    response = client.get(params={**SOUND, "voltage": text})
    assert faults(response, 400) == {"voltage": "unreadable-quantity"}
    assert response.json()["errors"][0]["allowed"] == ["V"]


def test_what_no_pattern_can_say_is_422(client):
    assert faults(client.get(params={**SOUND, "voltage": "0 V"}), 422) == {"voltage": "out-of-range"}
    assert faults(client.get(params={**SOUND, "air": "120 degC", "ground": "130 degC"}), 422) == {
        "air": "outside-physical-bounds", "ground": "outside-physical-bounds",
    }  # fmt: skip
    assert faults(client.get(params={**SOUND, "place": "outside", "hot": "true"}), 422) == {"hot": "contradiction"}


def test_parameters_that_do_not_go_together_are_422(client):
    assert faults(client.get(params={**SOUND, "load.by": "current"}), 422) == {
        "load.power": "unknown-field", "load.current": "missing-field",
    }  # fmt: skip


def test_a_missing_variant(client):
    assert faults(client.get(params={"voltage": "12 V"}), 400) == {"load.by": "missing-field"}


def test_repeated_parameter(client):
    assert faults(client.get(params=[*SOUND.items(), ("sets", "1"), ("sets", "2")]), 400) == {"sets": "repeated-field"}
    response = client("POST", "/v1/sample?working=true&working=false", json={})
    assert faults(response, 400) == {"working": "repeated-field"}


def test_options_of_a_post_are_checked(client, sound):
    assert faults(client("POST", "/v1/sample?working=1&units=imperial&x=1", json=sound), 400) == {
        "working": "wrong-type", "units": "not-in-list", "x": "unknown-field",
    }  # fmt: skip


def test_a_query_that_is_not_utf8(client):
    response = client.get("/v1/sample?voltage=%ff")
    assert response.status_code == 400 and response.json()["code"] == "invalid-utf8"


@pytest.mark.parametrize("query", ["&".join(f"x{number}=1" for number in range(200)), "x=" + "1" * 10_000])
def test_a_query_that_is_too_long(client, query):
    response = client.get(f"/v1/sample?{query}")
    assert response.status_code == 400 and response.json()["code"] == "invalid-query"


@pytest.mark.parametrize("number", ["1e999", "-1e999", "1" * 1000, "nan", "inf", "0x1", "1_0", "٣", " 1", ""])
def test_hostile_numbers(client, number):
    assert faults(client.get(params={**SOUND, "duty": number}), 400)["duty"] in ("wrong-type", "out-of-range")
