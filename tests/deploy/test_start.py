"""The start program: what it does when all is there, and what it says when something is not."""

import ast
import importlib
import json
import os
import pathlib
import re
import shutil
import signal
import socket
import subprocess
import sys
import time

import pytest

PROJECT = pathlib.Path(__file__).resolve().parents[2]


@pytest.fixture
def environment(monkeypatch):
    """The module of the start program that makes the environment."""
    monkeypatch.syspath_prepend(str(PROJECT / "deploy"))
    return importlib.import_module("environment")


def assert_said_plainly(done: subprocess.CompletedProcess, code: int, *words: str) -> None:
    assert done.returncode == code, done.stderr
    assert "Traceback" not in done.stdout + done.stderr
    for word in words:
        assert word in done.stderr


# --- when all is there


def test_demo_prints_the_plan_and_the_address_of_the_documentation(small_project):
    done = small_project.run("demo", "--once", "--port", "0", PYTHONIOENCODING="utf-8")
    assert done.returncode == 0, done.stderr
    assert "PLAN for the climbers \u03a9 locked" in done.stdout
    assert re.search(r"http://127\.0\.0\.1:\d+/docs", done.stdout)
    assert "Installing" not in done.stdout  # the environment was there already


def test_demo_survives_a_terminal_that_cannot_show_every_sign(small_project):
    done = small_project.run("demo", "--once", "--port", "0", PYTHONIOENCODING="ascii")
    assert done.returncode == 0, done.stderr
    assert "PLAN for the climbers ? locked" in done.stdout


def test_demo_goes_past_a_proxy(small_project):
    proxy = "http://127.0.0.1:9"
    done = small_project.run("demo", "--once", "--port", "0", http_proxy=proxy, HTTP_PROXY=proxy, no_proxy="")
    assert done.returncode == 0, done.stderr


def test_demo_of_another_brief(small_project, tmp_path):
    brief = tmp_path / "brief.json"
    brief.write_text('{"name": "somebody else"}', "utf-8")
    done = small_project.run("demo", "--once", "--port", "0", "--brief", str(brief))
    assert "PLAN for somebody else" in done.stdout


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def is_open(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


@pytest.mark.skipif(os.name == "nt", reason="signals of this kind are not sent to one process on Windows")
@pytest.mark.parametrize("job", ["demo", "serve"])
@pytest.mark.parametrize(
    ("sent", "codes"), [(signal.SIGINT, {"demo": 0, "serve": 130}), (signal.SIGTERM, {"demo": 143, "serve": 143})]
)
def test_keeps_serving_until_told_to_stop_and_leaves_nothing_running(small_project, job, sent, codes):
    port = free_port()
    # In a session of its own, so that the signal can go to the group as a terminal's Ctrl-C does.
    running = subprocess.Popen(
        small_project.words(job, "--port", str(port)),
        env=small_project.environment(),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        start_new_session=True,
    )
    try:
        give_up = time.monotonic() + 30
        if job == "demo":
            while "Serving until" not in running.stdout.readline():
                assert time.monotonic() < give_up
        while not is_open(port):
            assert time.monotonic() < give_up
            time.sleep(0.05)
        assert running.poll() is None
        if sent == signal.SIGINT:
            os.killpg(running.pid, sent)
        else:
            running.send_signal(sent)
        rest, _ = running.communicate(timeout=30)
    finally:
        running.kill()
        running.wait()
    assert not is_open(port)
    # The small service dies of Ctrl-C with Python's own words and code; serve hands both on.
    assert running.returncode == codes[job] or (job, sent, running.returncode) == ("serve", signal.SIGINT, 256 - 2)
    assert job == "serve" or "Traceback" not in rest


def test_test_hands_its_words_to_pytest_and_its_code_back(new_project):
    done = new_project.run("test", "-q", "--", "tests/x", "--port", "1")
    assert "pytest was given ['-q', '--', 'tests/x', '--port', '1']" in done.stdout
    assert done.returncode == 5
    # The test lock holds the runtime lock, so a demo after it installs nothing.
    after = new_project.run("demo", "--once", "--port", "0")
    assert after.returncode == 0, after.stderr
    assert "Installing" not in after.stdout


def test_a_changed_lock_makes_a_new_environment_and_an_unchanged_one_does_not(new_project):
    new_project.run("demo", "--once", "--port", "0")
    leftover = next((new_project.folder / ".venv").rglob("a_locked_package.py")).with_name("leftover.py")
    leftover.touch()
    assert "Making" not in new_project.run("demo", "--once", "--port", "0").stdout
    assert leftover.exists()
    new_project.lock.write_text(new_project.lock.read_text("utf-8") + "# changed\n", "utf-8")
    again = new_project.run("demo", "--once", "--port", "0")
    assert "Making" in again.stdout
    assert again.returncode == 0, again.stderr
    assert not leftover.exists()


def test_a_broken_off_environment_is_finished(new_project):
    missing = new_project.run("demo", "--once", "--port", "0", PIP_FIND_LINKS=os.devnull)
    assert_said_plainly(missing, 69, "offered no version of a-locked-package==1")
    assert new_project.run("demo", "--once", "--port", "0").returncode == 0


def test_an_environment_whose_python_is_gone_is_made_again(new_project):
    stamp = new_project.folder / ".venv" / "made-by-start.json"
    stamp.parent.mkdir()
    stamp.write_text(json.dumps({"python": sys.version, "locks": {}}), "utf-8")
    assert new_project.run("demo", "--once", "--port", "0").returncode == 0


def test_the_real_demo():
    """The command of the README, in the environment that the test command of the README has made."""
    if pathlib.Path(sys.prefix).resolve() != (PROJECT / ".venv").resolve():
        pytest.skip("only where deploy/start.py made the environment: elsewhere it would install packages")
    done = subprocess.run(
        [sys.executable, str(PROJECT / "deploy" / "start.py"), "demo", "--once", "--port", "0"],
        capture_output=True,
        encoding="utf-8",
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "/docs" in done.stdout
    assert len(done.stdout.splitlines()) > 20


# --- when something is not


@pytest.mark.parametrize("name", ["start.py", "environment.py"])
def test_an_old_python_can_read_it(name):
    source = (PROJECT / "deploy" / name).read_text("utf-8")
    tree = ast.parse(source, feature_version=(3, 6))
    assert not any(isinstance(node, ast.NamedExpr) for node in ast.walk(tree))
    # Not in 3.6: the parser of a newer Python lets this one pass.
    assert "from __future__ import annotations" not in source


def old_pythons() -> list[str]:
    names = [f"python3.{minor}" for minor in range(6, 11)]
    return [path for path in map(shutil.which, names) if path]


def test_an_old_python_says_what_it_needs(environment, monkeypatch):
    monkeypatch.setattr(sys, "version_info", (3, 8, 1, "final", 0))
    monkeypatch.setattr(environment, "runs", lambda name: False)
    with pytest.raises(
        environment.CannotGoOn, match=r"This is Python 3\.8\.1 .* needs Python 3\.11 or newer\. Install"
    ):
        environment.demand_python()
    monkeypatch.setattr(environment, "runs", lambda name: name == "python3.12")
    with pytest.raises(environment.CannotGoOn, match=r"one on this machine: python3\.12 deploy/start\.py"):
        environment.demand_python()


def test_a_really_old_python_says_so():
    tried = 0
    for python in old_pythons():
        done = subprocess.run(
            [python, str(PROJECT / "deploy" / "start.py"), "demo"], capture_output=True, encoding="utf-8", check=False
        )
        if "start.py" in done.stderr:  # else the name stood for a Python that is not installed
            assert_said_plainly(done, 69, "needs Python 3.11 or newer")
            tried += 1
    if not tried:
        pytest.skip("no Python older than 3.11 on this machine")


@pytest.mark.parametrize(
    ("absent", "said"),
    [({"venv"}, "no 'venv' module"), ({"ensurepip", "pip"}, "neither 'ensurepip' nor 'pip'")],
)
def test_a_python_without_its_parts_says_which(environment, monkeypatch, absent, said):
    there = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name in absent else there(name))
    with pytest.raises(environment.CannotGoOn, match=said) as caught:
        environment.how_to_install()
    assert "apt install python3-venv" in str(caught.value)


def test_a_python_with_pip_but_without_ensurepip_will_do(new_project):
    start = new_project.folder / "deploy" / "start.py"
    # Hides the module as a system does that ships it apart.
    hide = "import importlib.util as u, runpy, sys; f = u.find_spec; "
    hide += "u.find_spec = lambda n, *a: None if n == 'ensurepip' else f(n, *a); "
    hide += f"sys.path.insert(0, {str(start.parent)!r}); sys.argv = ['start.py', 'demo', '--once', '--port', '0']; "
    hide += f"runpy.run_path({str(start)!r}, run_name='__main__')"
    done = subprocess.run(
        [sys.executable, "-c", hide], env=new_project.environment(), capture_output=True, encoding="utf-8", check=False
    )
    assert done.returncode == 0, done.stderr
    assert "PLAN for the climbers" in done.stdout
    assert not list((new_project.folder / ".venv").rglob("pip/__init__.py"))


def test_a_taken_port_is_named(new_project, taken_port):
    done = new_project.run("demo", "--port", str(taken_port))
    assert_said_plainly(done, 69, f"Port {taken_port} is in use", "--port")
    assert not (new_project.folder / ".venv").exists()  # said before minutes are spent on packages


def test_offline_is_said_and_has_a_code_of_its_own(new_project):
    nobody = f"http://127.0.0.1:{free_port()}/simple"
    done = new_project.run(
        "demo", PIP_NO_INDEX="0", PIP_INDEX_URL=nobody, PIP_FIND_LINKS="", PIP_RETRIES="1", no_proxy="*"
    )
    assert_said_plainly(done, 75, "package index cannot be reached", "run the same command again")


def test_a_package_that_is_not_the_locked_one_is_not_installed(new_project):
    new_project.lock.write_text("a-locked-package==1 --hash=sha256:" + "0" * 64 + "\n", "utf-8")
    done = new_project.run("demo")
    assert_said_plainly(done, 69, "not the one that was locked")
    assert not list((new_project.folder / ".venv").rglob("a_locked_package.py"))


def test_a_foreign_environment_is_left_alone(new_project):
    theirs = new_project.folder / ".venv" / "pyvenv.cfg"
    theirs.parent.mkdir()
    theirs.write_text("home = /somewhere\n", "utf-8")
    done = new_project.run("demo")
    assert_said_plainly(done, 69, "was not made by this program", "Move it away")
    assert theirs.read_text("utf-8") == "home = /somewhere\n"


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="nothing is forbidden to this user")
def test_a_project_that_cannot_be_written_is_said(new_project):
    new_project.folder.chmod(0o555)
    try:
        done = new_project.run("demo")
    finally:
        new_project.folder.chmod(0o755)
    assert_said_plainly(done, 69, "cannot be written", "folder of your own")


def test_a_missing_lock_and_a_missing_brief_are_said(new_project):
    assert_said_plainly(new_project.run("demo", "--brief", "nowhere.json"), 69, "brief nowhere.json cannot be read")
    new_project.lock.unlink()
    assert_said_plainly(new_project.run("demo"), 69, "lock.txt is missing")


def test_a_service_that_dies_is_quoted(small_project):
    done = small_project.run("demo", "--once", "--port", "0", SMALL_SERVICE="--die")
    assert_said_plainly(done, 69, "stopped with code 1 before it was ready", "cannot find the tables")


def test_a_refused_brief_is_quoted(small_project, tmp_path):
    brief = tmp_path / "brief.json"
    brief.write_text('{"refuse": true}', "utf-8")
    done = small_project.run("demo", "--once", "--port", "0", "--brief", str(brief))
    assert_said_plainly(done, 69, "status 422", "out of bounds")


@pytest.mark.parametrize("words", [(), ("demo", "--port", "70000"), ("demo", "--port", "x"), ("dance",)])
def test_wrong_words_get_the_usage(small_project, words):
    assert_said_plainly(small_project.run(*words), 2, "usage: start.py")


@pytest.mark.parametrize("words", [("--help",), ("demo", "--help"), ("test", "--help"), ("serve", "--help")])
def test_help(small_project, words):
    done = small_project.run(*words)
    assert done.returncode == 0
    assert "usage: start.py" in done.stdout


@pytest.mark.parametrize(
    ("line", "code", "said"),
    [
        (
            "ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.",
            69,
            "not the one that was locked",
        ),
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", 69, "disk is full"),
        (
            "ERROR: Could not install packages due to an OSError: [Errno 13] Permission denied: '/x'",
            69,
            "may not write",
        ),
        ("SSLError(SSLCertVerificationError(1, '[SSL: CERTIFICATE_VERIFY_FAILED]'))", 75, "certificate"),
        ("NewConnectionError('<x>: Failed to establish a new connection: [Errno -3]')", 75, "cannot be reached"),
        (
            "pip._vendor.urllib3.exceptions.ReadTimeoutError: HTTPSConnectionPool: Read timed out.",
            75,
            "cannot be reached",
        ),
        ("ERROR: HTTP error 503 while getting x", 75, "cannot be reached"),
        (
            "ERROR: Could not find a version that satisfies the requirement x==1 (from versions: none)",
            69,
            "offered no version of x==1",
        ),
        ("ERROR: No matching distribution found for scipy==1.17.1", 69, "no ready-made package of scipy==1.17.1"),
        ("ERROR: something nobody has thought of", 69, "its own words stand above"),
    ],
)
def test_the_words_of_pip_are_put_plainly(environment, line, code, said):
    # The consequence often follows the cause: the cause must win.
    reason = environment.explain_pip([line, "WARNING: There was an error checking the latest version of pip."])
    assert reason.code == code
    assert said in str(reason)


def test_an_unreachable_index_wins_over_the_missing_package_that_follows_from_it(environment):
    reason = environment.explain_pip(
        ["WARNING: Retrying after NameResolutionError", "ERROR: No matching distribution found for x==1"]
    )
    assert reason.code == environment.TRY_AGAIN_LATER
