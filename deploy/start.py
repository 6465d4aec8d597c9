#!/usr/bin/env python3
"""Runs the demo, the tests or the service, in an environment in .venv that it makes if need be.

Standard library only, and written in the syntax of Python 3.6, so that a Python that is too old
still reads far enough to say so.
"""

import argparse
import contextlib
import errno
import os
import pathlib
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request

from environment import (
    CANNOT_GO_ON,
    PROJECT,
    STOP_WITHIN_S,
    VENV,
    CannotGoOn,
    clean_environment,
    demand_python,
    ensure_environment,
    say,
    stopped_at_the_end,
    venv_python,
)

SERVICE_LOG = VENV / "service.log"
DEMO_BRIEF = "openapi/examples/plan-climbers-van.json"
READY_WITHIN_S, ANSWER_WITHIN_S = 60.0, 60.0
INTERRUPTED, TERMINATED = 130, 143

HELP_END = """\
exit codes: 0 done; 69 something is missing, as said; 75 the package index could not be reached;
130 interrupted; test and serve hand on the code of what they run."""


def run_through(words):
    """Runs a command with this terminal as its own and hands on its exit code."""
    child = subprocess.Popen(words, cwd=str(PROJECT), env=service_environment())
    with stopped_at_the_end(child):
        try:
            return child.wait()
        except KeyboardInterrupt:  # the terminal has told the command as well: let it end in its own way
            with contextlib.suppress(subprocess.TimeoutExpired):
                return child.wait(STOP_WITHIN_S)
            raise


def service_words(host, port):
    return [venv_python(), "-m", "ohmstead", "serve", "--host", host, "--port", str(port)]


def service_environment():
    return clean_environment(PYTHONPATH=str(PROJECT / "service"))


def demand_free_port(host, port):
    """Gives back the port, or a free one for 0; refuses one that is taken."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if os.name != "nt":  # there the option would let two programs share the port
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as fault:
            if fault.errno in (errno.EACCES, getattr(errno, "WSAEACCES", errno.EACCES)):
                raise CannotGoOn(f"Port {port} may not be opened by this user. Choose one above 1023 with --port.")
            if fault.errno in (errno.EADDRINUSE, getattr(errno, "WSAEADDRINUSE", errno.EADDRINUSE)):
                raise CannotGoOn(f"Port {port} is in use on this machine. Stop the program that holds it, or choose "
                                 "another with --port (0 takes any free one).")
            raise CannotGoOn(f"Cannot listen on {host} port {port}: {fault.strerror}.")
        return probe.getsockname()[1]


def fetch(url, body=None, within_s=ANSWER_WITHIN_S):
    """Asks the service on loopback, never through a proxy; gives back status and text."""
    headers = {} if body is None else {"Accept": "text/plain", "Content-Type": "application/json"}
    direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))
    try:
        with direct.open(urllib.request.Request(url, data=body, headers=headers), timeout=within_s) as answer:
            return answer.status, answer.read().decode("utf-8")
    except urllib.error.HTTPError as refusal:
        with refusal:
            return refusal.code, refusal.read().decode("utf-8", "replace")


def last_words():
    try:
        return "\n".join(SERVICE_LOG.read_text(encoding="utf-8", errors="replace").splitlines()[-20:])
    except OSError:
        return "(no log)"


def wait_until_ready(child, base):
    give_up = time.monotonic() + READY_WITHIN_S
    while time.monotonic() < give_up:
        if child.poll() is not None:
            raise CannotGoOn(f"The service stopped with code {child.returncode} before it was ready. Its last words:\n"
                             + last_words())
        try:
            if fetch(base + "/health/ready", within_s=2.0)[0] == 200:
                return
        except OSError:
            pass  # not listening yet
        time.sleep(0.1)
    raise CannotGoOn(f"The service was not ready within {READY_WITHIN_S:.0f} seconds. Its last words:\n{last_words()}")


def demo(port, brief, once):
    path = pathlib.Path(brief) if brief else PROJECT / DEMO_BRIEF
    try:
        body = path.read_bytes()
    except OSError as fault:
        raise CannotGoOn(f"The brief {path} cannot be read: {fault.strerror}.")
    port = demand_free_port("127.0.0.1", port)
    ensure_environment("runtime")
    base = f"http://127.0.0.1:{port}"
    say(f"Starting the service at {base}")
    with SERVICE_LOG.open("wb") as log:
        child = subprocess.Popen(service_words("127.0.0.1", port), cwd=str(PROJECT), stdin=subprocess.DEVNULL,
                                 env=service_environment(),
                                 stdout=log, stderr=subprocess.STDOUT)
    with stopped_at_the_end(child):
        wait_until_ready(child, base)
        say(f"Sending {path.name} to /v1/plan\n")
        try:
            status, text = fetch(base + "/v1/plan?format=text", body)
        except OSError as fault:
            raise CannotGoOn(f"The service broke off before it answered ({fault}). Its last words:\n{last_words()}")
        if status != 200:
            raise CannotGoOn(f"The service refused the brief (status {status}):\n{text}")
        say(text.rstrip())
        say(f"\nInteractive documentation: {base}/docs")
        if once:
            return 0
        try:
            say(f"The service's log: {SERVICE_LOG.relative_to(PROJECT)}\nServing until you press Ctrl-C.")
            code = child.wait()
        except KeyboardInterrupt:
            say("\nStopping the service.")
            return 0
        raise CannotGoOn(f"The service stopped by itself with code {code}. Its last words:\n{last_words()}")


def test(pytest_words):
    ensure_environment("test")
    # The whole suite runs on all processors; a narrower run is quicker on one.
    return run_through([venv_python(), "-m", "pytest"] + (pytest_words or ["-q", "-n", "auto"]))


def serve(host, port):
    port = demand_free_port(host, port)
    ensure_environment("runtime")
    return run_through(service_words(host, port))


def port_number(text):
    port = int(text)
    if not 0 <= port <= 65535:
        raise ValueError(text)
    return port


def command_line():
    top = argparse.ArgumentParser(prog="start.py", description=__doc__.partition("\n")[0], epilog=HELP_END,
                                  formatter_class=argparse.RawDescriptionHelpFormatter)
    jobs = top.add_subparsers(dest="job", metavar="demo | test | serve")
    jobs.required = True
    one = jobs.add_parser("demo", help="start the service on loopback, print the plan of a demo brief, keep serving")
    one.add_argument("--port", type=port_number, default=8080, help="default 8080; 0 takes any free port")
    one.add_argument("--brief", metavar="FILE", help=f"another brief than {DEMO_BRIEF}")
    one.add_argument("--once", action="store_true", help="end after printing")
    jobs.add_parser("test", help="run the tests; what follows goes to pytest", usage="start.py test [pytest's words]",
                    description="Runs the tests on all processors. What follows 'test' goes to pytest instead.")
    one = jobs.add_parser("serve", help="run the service in this terminal")
    one.add_argument("--host", default="127.0.0.1", help="default 127.0.0.1: this machine only")
    one.add_argument("--port", type=port_number, default=8080, help="default 8080; 0 takes any free port")
    return top


def main(words):
    if hasattr(sys.stdout, "reconfigure"):  # a terminal that cannot show a sign shows another, and no traceback
        sys.stdout.reconfigure(errors="replace")
        sys.stderr.reconfigure(errors="replace")
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(TERMINATED))  # so that what was started is stopped too
    try:
        demand_python()
        if words[:1] == ["test"] and words[1:2] not in (["--help"], ["-h"]):
            return test(words[1:])
        asked = command_line().parse_args(words)
        if asked.job == "demo":
            return demo(asked.port, asked.brief, asked.once)
        return serve(asked.host, asked.port)
    except CannotGoOn as reason:
        print(f"start.py: {reason}", file=sys.stderr, flush=True)
        return reason.code
    except OSError as fault:
        print(f"start.py: the system refused: {fault}", file=sys.stderr, flush=True)
        return CANNOT_GO_ON
    except KeyboardInterrupt:
        print("\nstart.py: interrupted", file=sys.stderr, flush=True)
        return INTERRUPTED


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
