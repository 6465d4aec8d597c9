"""The documentation page: everything from this service, nothing from another host."""

from __future__ import annotations

import hashlib
import re
import shutil
import subprocess
import tomllib

import pytest

from ohmstead.api.documents import asset


def test_the_viewer_is_the_pinned_file():
    pinned = tomllib.loads(asset("viewer.toml").decode())
    assert hashlib.sha256(asset("viewer.js")).hexdigest() == pinned["sha256"]
    assert pinned["version"] and "MIT" in asset("viewer-licence.txt").decode()


def test_the_page_names_no_other_host(client):
    page = client.get("/docs")
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    places = re.findall(r'(?:src|href|spec-url)="([^"]+)"', page.text)
    assert "/v1/openapi.json" in places
    assert all(place.startswith("/") and not place.startswith("//") or place == "data:," for place in places)
    for place in places:
        if place.startswith("/"):
            assert client.get(place).status_code == 200, place
    policy = page.headers["content-security-policy"]
    assert "default-src 'none'" in policy and "script-src 'self';" in policy and "http" not in policy


@pytest.mark.long
def test_a_browser_without_a_network_shows_it(serving, tmp_path):
    """Asks only whether the viewer came far enough to fetch the document; a person looks at the picture."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        pytest.skip("chromium is not installed")
    subprocess.run(
        [
            chromium,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-background-networking",
            f"--user-data-dir={tmp_path}",
            "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
            "--virtual-time-budget=8000",
            f"--screenshot={tmp_path / 'docs.png'}",
            f"{serving.address}/docs",
        ],
        capture_output=True,
        timeout=90,
        check=True,
    )
    asked = {line["route"] for line in serving.lines() if line.get("event") == "request" and line["status"] == 200}
    assert asked >= {"/docs", "/docs/page.css", "/docs/viewer.js", "/v1/openapi.json"}
