"""Documents, health, metrics, log lines."""

import json

import pytest
import structlog

from ohmstead import configuration
from ohmstead.configuration import Configuration, Misconfigured
from ohmstead.observability.metrics import Metrics


def test_the_openapi_file_is_served_byte_for_byte(client, openapi_file):
    response = client.get("/v1/openapi.json", headers={"accept-encoding": "identity"})
    assert response.content == openapi_file.read_bytes() and response.headers["content-type"] == "application/json"
    tag = response.headers["etag"]
    again = client.get("/v1/openapi.json", headers={"accept-encoding": "identity", "if-none-match": f'"x", {tag}'})
    assert again.status_code == 304 and again.content == b"" and again.headers["etag"] == tag
    packed = client.get("/v1/openapi.json", headers={"accept-encoding": "br"})
    assert packed.content == openapi_file.read_bytes()  # unpacked by the client
    assert packed.headers["content-encoding"] == "br" and packed.headers["etag"] != tag


def test_health(client):
    assert client.get("/health/live").json() == {"status": "live"}
    ready = client.get("/health/ready").json()
    assert ready["status"] == "ready" and ready["tables"] > 0


def test_metrics_count_by_route_and_never_by_path(client, sound):
    client.post(sound)
    client.get("/secret/path")
    page = client.get("/metrics")
    assert page.headers["content-type"].startswith("text/plain")
    assert 'ohmstead_requests_total{method="POST",route="/v1/sample",status="200"}' in page.text
    assert 'route="none",status="404"' in page.text and "secret" not in page.text


def test_metrics_of_several_processes(monkeypatch, tmp_path):
    monkeypatch.setenv("PROMETHEUS_MULTIPROC_DIR", str(tmp_path))
    assert Metrics().page() == b""


def test_a_log_line_holds_no_body_and_no_query(shelf, openapi_file, capsysbinary, sound):
    from ohmstead.app import build

    app = build(Configuration(log="info", openapi=openapi_file), (), shelf)
    import anyio
    import httpx

    async def send():
        async with httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url="http://test") as http:
            await http.get("/health/live?secret=1", headers={"x-request-id": "r1"})

    anyio.run(send)
    (line,) = capsysbinary.readouterr().err.splitlines()
    said = json.loads(line)
    assert said["route"] == "/health/live" and said["status"] == 200 and said["request_id"] == "r1" and said["ms"] > 0
    assert b"secret" not in line


def test_a_traceback_in_the_log_has_no_local_variables(capsysbinary):
    from ohmstead.observability.logging import configure

    log = configure("error")
    try:
        password = "hunter2"
        raise ValueError(len(password))
    except ValueError as error:
        log.error("failed", exc_info=error)
    line = capsysbinary.readouterr().err
    assert b"ValueError" in line and b"hunter2" not in line
    assert structlog.is_configured() is False  # only our own logger is touched


@pytest.mark.parametrize(
    ("name", "text"), [("PORT", "x"), ("PORT", "0"), ("WORKERS", "0"), ("LOG", "loud"), ("BODY_SECONDS", "nan")]
)
def test_a_bad_setting_is_named(name, text):
    with pytest.raises(Misconfigured, match=f"OHMSTEAD_{name}"):
        configuration.load({f"OHMSTEAD_{name}": text})


def test_settings():
    assert configuration.load({}).port == 8080
    assert configuration.load({"OHMSTEAD_PORT": "9000", "OHMSTEAD_LOG": "off"}).port == 9000
