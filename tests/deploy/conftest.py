"""A small project with the real start program, a service of twenty lines and packages made on the spot.

So the start program is tried for real, process by process, without the package index and without the real service.
"""

import base64
import hashlib
import os
import pathlib
import shutil
import socket
import subprocess
import sys
import zipfile

import pytest

PROJECT = pathlib.Path(__file__).resolve().parents[2]

SERVICE = """
import http.server, json, os, sys

class Handler(http.server.BaseHTTPRequestHandler):
    def answer(self, status, text):
        self.send_response(status)
        self.end_headers()
        self.wfile.write(text.encode())

    def do_GET(self):
        if self.headers.get("Accept", "*/*") not in ("*/*", "application/json"):
            return self.answer(406, "only JSON")
        self.answer(200 if self.path == "/health/ready" else 404, "ready")

    def do_POST(self):
        brief = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
        import a_locked_package
        asked = (self.path, self.headers["Accept"], self.headers["Content-Type"])
        if asked != ("/v1/plan?format=text", "text/plain", "application/json") or "refuse" in brief:
            return self.answer(422, "out of bounds")
        self.answer(200, "PLAN for " + brief["name"] + " \\u03a9 " + a_locked_package.WORD)

if "--die" in os.environ.get("SMALL_SERVICE", ""):
    sys.exit("cannot find the tables")
assert sys.argv[1:4] == ["serve", "--host", "127.0.0.1"] and sys.argv[4] == "--port", sys.argv
http.server.HTTPServer(("127.0.0.1", int(sys.argv[5])), Handler).serve_forever()
"""

PYTEST = "import sys\nprint('pytest was given', sys.argv[1:])\nsys.exit(5)\n"


def make_wheel(folder: pathlib.Path, name: str, files: dict[str, str]) -> str:
    """Writes a pure wheel of version 1 and gives back its lock line."""
    path = folder / f"{name}-1-py3-none-any.whl"
    inside = dict(files)
    inside[f"{name}-1.dist-info/METADATA"] = f"Metadata-Version: 2.1\nName: {name}\nVersion: 1\n"
    inside[f"{name}-1.dist-info/WHEEL"] = (
        "Wheel-Version: 1.0\nGenerator: test\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
    )
    record = ""
    for member, text in inside.items():
        digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).rstrip(b"=").decode()
        record += f"{member},sha256={digest},{len(text.encode())}\n"
    inside[f"{name}-1.dist-info/RECORD"] = record + f"{name}-1.dist-info/RECORD,,\n"
    with zipfile.ZipFile(path, "w") as wheel:
        for member, text in inside.items():
            wheel.writestr(member, text)
    return f"{name.replace('_', '-')}==1 --hash=sha256:{hashlib.sha256(path.read_bytes()).hexdigest()}\n"


class SmallProject:
    """The folder of a small project and the ways to run its start program."""

    def __init__(self, folder: pathlib.Path):
        self.folder = folder
        self.wheels = folder / "wheels"
        for part in ("deploy", "wheels", "service/ohmstead", "openapi/examples"):
            (folder / part).mkdir(parents=True)
        for name in ("start.py", "environment.py"):
            shutil.copy(PROJECT / "deploy" / name, folder / "deploy" / name)
        runtime = make_wheel(self.wheels, "a_locked_package", {"a_locked_package.py": "WORD = 'locked'\n"})
        test = make_wheel(self.wheels, "pytest", {"pytest/__init__.py": "", "pytest/__main__.py": PYTEST})
        self.lock = folder / "deploy" / "lock.txt"
        self.lock.write_text(runtime, "utf-8")
        (folder / "deploy" / "lock-test.txt").write_text(runtime + test, "utf-8")
        (folder / "service/ohmstead/__main__.py").write_text(SERVICE, "utf-8")
        (folder / "openapi/examples/plan-climbers-van.json").write_text('{"name": "the climbers"}', "utf-8")

    def environment(self, **more: str) -> dict[str, str]:
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("PIP_", "PYTHON"))}
        own = {"PIP_CONFIG_FILE": os.devnull, "PIP_NO_INDEX": "1", "PIP_FIND_LINKS": str(self.wheels)}
        return kept | own | more

    def words(self, *words: str) -> list[str]:
        return [sys.executable, str(self.folder / "deploy" / "start.py"), *words]

    def run(self, *words: str, **environment: str) -> subprocess.CompletedProcess:
        """Runs the start program from a folder that is not the project's and waits for it to end."""
        return subprocess.run(
            self.words(*words),
            cwd=self.folder.parent,
            env=self.environment(**environment),
            capture_output=True,
            encoding="utf-8",
            timeout=120,
            check=False,
        )


@pytest.fixture
def new_project(tmp_path: pathlib.Path) -> SmallProject:
    """A small project without an environment."""
    return SmallProject(tmp_path / "project")


@pytest.fixture(scope="session")
def small_project(tmp_path_factory: pytest.TempPathFactory) -> SmallProject:
    """A small project whose environment is made once for all tests that leave it as it is."""
    project = SmallProject(tmp_path_factory.mktemp("start") / "project")
    made = project.run("demo", "--once", "--port", "0")
    assert made.returncode == 0, made.stderr
    return project


@pytest.fixture
def taken_port():
    """A port on loopback that somebody listens on."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen()
        yield listener.getsockname()[1]
