"""The command line: serve, plan, openapi, tables."""

from __future__ import annotations

import argparse
import os
import shutil
import sys
import tempfile
from pathlib import Path

from . import configuration, contract
from .api.body import Reader
from .api.calculation import Options, carry_out
from .api.calculations import CALCULATIONS
from .api.reply import encode_answer
from .configuration import Misconfigured
from .reference.case import Shelf
from .reference.tables import Damaged
from .wire.problems import Problem


def main(arguments: list[str] | None = None) -> int:
    """Run one command; the result is the exit code: 0 done, 1 refused, 2 called wrongly."""
    asked = _parser().parse_args(arguments)
    try:
        return asked.run(asked)
    except Problem as problem:
        _say_problem(problem)
    except BrokenPipeError:  # the reader of our output has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except (Misconfigured, Damaged, OSError) as error:
        print(f"ohmstead: {error}", file=sys.stderr)
    return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="ohmstead", description="Sizes electrical systems of vehicles, boats and cabins."
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")

    serve = commands.add_parser("serve", help="answer requests over HTTP")
    serve.add_argument("--host", help="address to listen on (OHMSTEAD_HOST, 127.0.0.1)")
    serve.add_argument("--port", type=int, help="port to listen on (OHMSTEAD_PORT, 8080)")
    serve.add_argument("--workers", type=int, help="processes that answer (OHMSTEAD_WORKERS, 1)")
    serve.set_defaults(run=_serve)

    plan = commands.add_parser("plan", help="answer one request from a file")
    plan.add_argument("file", help="the request as JSON; - for standard input")
    plan.add_argument(
        "--calculation", default="plan", choices=[known.name for known in CALCULATIONS], help="which calculation (plan)"
    )
    plan.add_argument("--json", action="store_true", help="the answer as JSON, not as text")
    plan.add_argument("--working", action="store_true", help="show how each number was reached (with --json)")
    plan.add_argument("--units", choices=["us", "metric"], help="system of units of the answer (with --json)")
    plan.set_defaults(run=_plan)

    openapi = commands.add_parser("openapi", help="write the published document of the interface")
    openapi.add_argument(
        "--check", action="store_true", help="write nothing; fail when the committed document is stale"
    )
    openapi.set_defaults(run=_openapi)

    tables = commands.add_parser("tables", help="list the certified tables")
    tables.set_defaults(run=_tables)
    return parser


def _serve(asked: argparse.Namespace) -> int:
    given = {"HOST": asked.host, "PORT": asked.port, "WORKERS": asked.workers}
    # Each worker process reads the environment for itself.
    os.environ.update({f"OHMSTEAD_{name}": str(value) for name, value in given.items() if value is not None})
    settings = configuration.load()
    metrics = None
    if settings.workers > 1 and "PROMETHEUS_MULTIPROC_DIR" not in os.environ:
        metrics = os.environ["PROMETHEUS_MULTIPROC_DIR"] = tempfile.mkdtemp(prefix="ohmstead-metrics-")
    try:
        _server(settings).serve()
    finally:
        if metrics:
            shutil.rmtree(metrics, ignore_errors=True)
    return 0


def _server(settings: configuration.Configuration):
    from granian import Granian  # takes 0.1 s to import, which the other commands need not wait for
    from granian.constants import HTTPModes, Interfaces, Loops, RuntimeModes
    from granian.http import HTTP1Settings

    return Granian(
        "ohmstead.app:create", factory=True, interface=Interfaces.ASGI, address=settings.host, port=settings.port,
        workers=settings.workers, runtime_mode=RuntimeModes.st, loop=Loops.auto, http=HTTPModes.http1, websockets=False,
        backlog=16384, backpressure=8192, workers_kill_timeout=20, respawn_failed_workers=True, log_access=False,
        http1_settings=HTTP1Settings(header_read_timeout=10_000, max_buffer_size=65_536),
    )  # fmt: skip


def _plan(asked: argparse.Namespace) -> int:
    calculation = next(known for known in CALCULATIONS if known.name == asked.calculation)
    body = sys.stdin.buffer.read() if asked.file == "-" else Path(asked.file).read_bytes()
    request = Reader(calculation.request).read(body)
    result, answer = carry_out(calculation, Shelf(), request, Options(asked.working, asked.units))
    if calculation.text and not asked.json:
        print(calculation.text(result, answer))
    else:
        sys.stdout.buffer.write(encode_answer(answer) + b"\n")
    return 0


def _openapi(asked: argparse.Namespace) -> int:
    path = configuration.load().openapi
    made = contract.as_bytes()
    if not asked.check:
        path.write_bytes(made)
        print(f"{path}: {len(made)} bytes")
        return 0
    if path.read_bytes() == made:
        print(f"{path} is up to date")
        return 0
    print(f"{path} is stale: run python -m ohmstead openapi", file=sys.stderr)
    return 1


def _tables(_: argparse.Namespace) -> int:
    for table in Shelf().plain.tables.values():
        bases = ", ".join(sorted(set(table.basis_of_row)))
        print(f"{table.name:32} {table.edition or '-':8} {table.rows:4} rows  {bases:32} {table.title}")
    return 0


def _say_problem(problem: Problem) -> None:
    document = problem.document()
    print(f"ohmstead: {document.title}{': ' + document.detail if document.detail else ''}", file=sys.stderr)
    for fault in problem.faults:
        place = fault.pointer or fault.parameter or "the request"
        print(f"  {place}: {fault.detail}", file=sys.stderr)


if __name__ == "__main__":
    sys.exit(main())
