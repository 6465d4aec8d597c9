"""The image and the compose file: linted, and held to what an operator relies on."""

import json
import pathlib
import re
import shutil
import subprocess
import sys

import pytest
import yaml

PROJECT = pathlib.Path(__file__).resolve().parents[2]
DOCKERFILE = PROJECT / "Dockerfile"
COMPOSE = PROJECT / "deploy" / "compose.yaml"


def instructions() -> list[tuple[str, str]]:
    """The instructions of the Dockerfile, continued lines joined, remarks dropped."""
    text = re.sub(r"^\s*#.*\n", "", DOCKERFILE.read_text("utf-8"), flags=re.MULTILINE)
    lines = re.sub(r"\\\n\s*", "", text).splitlines()
    return [tuple(line.split(None, 1)) for line in lines if line.strip()]


def stages() -> list[list[tuple[str, str]]]:
    found: list[list[tuple[str, str]]] = []
    for word, rest in instructions():
        if word == "FROM":
            found.append([])
        found[-1].append((word, rest))
    return found


def last(word: str) -> str:
    """What the last instruction of this name in the running stage says."""
    return [rest for name, rest in stages()[-1] if name == word][-1]


@pytest.fixture(scope="module")
def service():
    (only,) = yaml.safe_load(COMPOSE.read_text("utf-8"))["services"].values()
    return only


def lint(*words: str) -> None:
    done = subprocess.run(words, cwd=PROJECT, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_linter_has_no_word_against_the_dockerfile():
    hadolint = shutil.which("hadolint", path=str(pathlib.Path(sys.executable).parent)) or shutil.which("hadolint")
    if hadolint is None:
        pytest.skip("hadolint is not made for this system")
    lint(hadolint, "--failure-threshold", "ignore", "Dockerfile")


def test_the_compose_file_fits_the_published_schema():
    pytest.importorskip("check_jsonschema")
    lint(sys.executable, "-m", "check_jsonschema", "--builtin-schema", "vendor.compose-spec", str(COMPOSE))


def test_the_linter_has_no_word_against_the_compose_file():
    pytest.importorskip("yamllint")
    rules = "{extends: default, rules: {document-start: disable, line-length: {max: 120}}}"
    lint(sys.executable, "-m", "yamllint", "--strict", "-d", rules, str(COMPOSE))


def test_two_stages_on_one_base_with_a_tag():
    (build, run) = stages()
    base = build[0][1].removesuffix(" AS build")
    assert build[0][1] != base == run[0][1]
    assert re.fullmatch(r"python:3\.(11|12|13|14)-slim(-\w+)?", base)


def test_packages_come_from_the_lock_with_hashes_and_nothing_is_compiled():
    installs = [rest for stage in stages() for word, rest in stage if word == "RUN" and "install" in rest]
    assert len(installs) == 1
    for option in ("--require-hashes", "--only-binary :all:", "-r /tmp/lock.txt", "--no-cache-dir"):
        assert option in installs[0]
    assert not [rest for word, rest in stages()[-1] if word == "RUN"]  # the running stage only copies


def test_the_running_stage_takes_only_what_the_first_made():
    copies = [rest for word, rest in stages()[-1] if word in ("COPY", "ADD")]
    assert copies
    assert all(copy.startswith("--from=build ") for copy in copies)


def test_what_the_build_copies_is_there_and_is_sent_to_the_builder():
    ignored = (PROJECT / ".dockerignore").read_text("utf-8").splitlines()
    assert "*" in ignored
    for word, rest in stages()[0]:
        if word == "COPY":
            for source in rest.split()[:-1]:
                assert (PROJECT / source).exists(), source
                assert f"!{source}" in ignored


def test_runs_as_a_numbered_user_that_is_not_root(service):
    assert re.fullmatch(r"[1-9]\d{3,}:[1-9]\d{3,}", last("USER"))
    assert service["user"] == last("USER")
    order = [word for word, _ in stages()[-1]]
    assert order.index("USER") < order.index("CMD")


def test_writes_nothing(service):
    assert "PYTHONDONTWRITEBYTECODE=1" in last("ENV")
    assert [rest for word, rest in stages()[0] if word == "RUN" and "compileall" in rest]
    assert service["read_only"] is True
    assert [entry.partition(":")[0] for entry in service["tmpfs"]] == ["/tmp"]
    assert "volumes" not in service


def test_starts_the_service_without_a_shell():
    words = json.loads(last("CMD"))
    assert words == ["python", "-m", "ohmstead", "serve", "--host", "0.0.0.0", "--port", "8080"]
    assert last("EXPOSE") == "8080"


def test_the_health_check_asks_for_readiness_with_the_standard_library(service):
    words = json.loads(last("HEALTHCHECK").partition(" CMD ")[2])
    assert words[:2] == ["python", "-c"]
    compile(words[2], "health check", "exec")
    assert "'127.0.0.1', 8080" in words[2]
    assert "'/health/ready'" in words[2]
    assert service["healthcheck"]["test"] == ["CMD", *words]


@pytest.mark.parametrize(("status", "code"), [(200, 0), (503, 1)])
def test_the_health_check_tells_ready_from_not_ready(status, code):
    """The very words of the image, sent to a server that answers once, on a free port in place of 8080."""
    check = json.loads(last("HEALTHCHECK").partition(" CMD ")[2])[2]
    server = (
        "import http.server, sys\n"
        "class H(http.server.BaseHTTPRequestHandler):\n"
        "    def do_GET(self):\n"
        f"        self.send_response({status} if self.path == '/health/ready' else 404); self.end_headers()\n"
        "s = http.server.HTTPServer(('127.0.0.1', 0), H); print(s.server_port, flush=True); s.handle_request()"
    )
    with subprocess.Popen(
        [sys.executable, "-c", server], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    ) as running:
        port = running.stdout.readline().strip()
        asked = subprocess.run([sys.executable, "-c", check.replace("8080", port)], capture_output=True, check=False)
        running.wait(10)
    assert asked.returncode == code
    nobody = subprocess.run([sys.executable, "-c", check.replace("8080", port)], capture_output=True, check=False)
    assert nobody.returncode == 1


def test_the_container_is_given_no_more_than_it_needs(service):
    assert service["cap_drop"] == ["ALL"]
    assert "cap_add" not in service
    assert "privileged" not in service
    assert "no-new-privileges:true" in service["security_opt"]
    assert all(port.startswith("127.0.0.1:") for port in service["ports"])
    assert set(service["deploy"]["resources"]["limits"]) == {"cpus", "memory", "pids"}
