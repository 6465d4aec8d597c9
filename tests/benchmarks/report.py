"""The two tables."""

from __future__ import annotations

import os
import platform
import sysconfig
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

import brotli
from ohmstead.api.reply import encode_answer
from ohmstead.reference.case import Shelf

from .handlers import Client, bare
from .measure import Timing, exponent, in_turns, repeated
from .workload import WORKING, Circuits, Work, brief, demand, example


TITLE = 38
"""Width of the titles."""


class Row(NamedTuple):
    """A line of the table of costs."""

    title: str
    work: Work
    target_us: float | None
    """Design target in microseconds; None where it is a share of the bare handler."""
    share: float | None = None
    """Design target as a share of the bare handler."""


def rows(shelf: Shelf) -> list[Row]:
    """What is timed, with the design's targets."""
    return [
        Row("circuit, single, with both neighbours", Work("circuit", example("circuit-inverter"), shelf), 60),
        Row("demand, 15 loads", Work("demand", demand(15), shelf), None, 0.5),
        Row("bank", Work("bank", example("bank-climbers-van"), shelf), None, 0.5),
        Row("bank with owned units", Work("bank", example("bank-horse-trailer"), shelf), None, 0.5),
        Row("inverter", Work("inverter", example("inverter-coach"), shelf), None, 0.5),
        Row("array, strings", Work("array", example("array-climbers-van"), shelf), 150),
        Row("array, packed on a roof", Work("array", example("array-beekeepers-cabin"), shelf), 150),
        Row("plan, 15 loads", Work("plan", brief(15), shelf), 1000),
        Row("plan, 15 loads, with working", Work("plan", brief(15), shelf, WORKING), 3000),
    ]


def costs(shelf: Shelf, front: Any, rounds: int, sample_s: float, say: Callable[[str], None] = print) -> None:
    """What each calculation costs, apart from decoding, encoding and compressing, beside a bare handler."""
    table, client, pieces = rows(shelf), Client(), {}
    circuits = Circuits(next(row.work for row in table if row.title == "plan, 15 loads"))
    for row in table:
        work, body = row.work, encode_answer(row.work.answer)
        path = f"/v1/{work.calculation.name}"
        query = b"working=true" if work.options.working else b""
        pieces[row.title, "work"] = repeated(work.carry_out)
        pieces[row.title, "decode"] = repeated(work.read, work.body)
        pieces[row.title, "encode"] = repeated(encode_answer, work.answer)
        pieces[row.title, "compress"] = repeated(lambda body=body: brotli.compress(body, quality=4))
        pieces[row.title, "bare"] = client.posting(bare(work.calculation, work.answer), path, work.body)
        pieces[row.title, "whole"] = client.posting(front, path, work.body, query)
    pieces["circuits"] = repeated(circuits.size)
    taken = in_turns(pieces, rounds, sample_s)
    client.close()

    say(interpreter())
    say("Processor time in microseconds. work: from the decoded request to the objects of the answer. bare: a handler of the")
    say("same framework that decodes the same request and encodes the same answer; whole: the same request through the service.")
    say(f"{'':{TITLE}} {'work':>15} {'target':>7} {'decode':>6} {'encode':>6} {'compress':>8} {'bare':>6} {'whole':>6} {'work/bare':>9} {'whole/bare':>10}")
    say(f"{'':{TITLE}} {'best':>7} {'median':>7}" + f" {'':>7}" + f" {'best':>6}" * 2 + f" {'best':>8}" + f" {'best':>6}" * 2)
    for row in table:
        part: dict[str, Timing] = {name: taken[row.title, name] for name in ("work", "decode", "encode", "compress", "bare", "whole")}
        best = {name: timing.best * 1e6 for name, timing in part.items()}
        target = row.target_us if row.target_us is not None else row.share * best["bare"]
        say(
            f"{row.title:{TITLE}} {best['work']:7.1f} {part['work'].median * 1e6:7.1f} {target:7.0f} {best['decode']:6.1f} {best['encode']:6.1f} "
            f"{best['compress']:8.1f} {best['bare']:6.1f} {best['whole']:6.0f} {best['work'] / best['bare']:9.2f} {best['whole'] / best['bare']:10.2f}"
        )
    count = len(circuits.runs)
    inside = taken["circuits"]
    title = f"circuit, inside the plan (one of {count})"
    say(f"{title:{TITLE}} {inside.best * 1e6 / count:7.1f} {inside.median * 1e6 / count:7.1f} {20:7.0f}")
    say("")


def interpreter() -> str:
    """Which Python this is and how it was built, which tells in every row."""
    built = sysconfig.get_config_var("CONFIG_ARGS") or ""
    how = "built with --enable-optimizations" if "--enable-optimizations" in built else "not known to be built with --enable-optimizations"
    return f"Python {platform.python_version()}, {how}, on {os.cpu_count()} processors"


def growth(shelf: Shelf, rounds: int, sample_s: float, sizes: Sequence[int], say: Callable[[str], None] = print) -> None:
    """How the cost grows with the number of loads and of circuits. An exponent of 1 is linear."""
    plans = {size: Work("plan", brief(size), shelf) for size in sizes}
    circuits = {size: Circuits(plan) for size, plan in plans.items()}
    pieces = {("plan", size): repeated(plan.carry_out) for size, plan in plans.items()}
    pieces |= {("demand", size): repeated(Work("demand", demand(size), shelf).carry_out) for size in sizes}
    pieces |= {("circuits", size): repeated(drawn.size) for size, drawn in circuits.items()}
    taken = {name: timing.best * 1e6 for name, timing in in_turns(pieces, rounds, sample_s).items()}

    say("Growth, processor time in microseconds (best)")
    say(f"{'loads':>6} {'demand':>8} {'circuits':>9} {'sizing them':>12} {'plan':>9}")
    counts = [len(circuits[size].runs) for size in sizes]
    for size, count in zip(sizes, counts, strict=True):
        say(f"{size:6} {taken['demand', size]:8.0f} {count:9} {taken['circuits', size]:12.0f} {taken['plan', size]:9.0f}")
    for name, title, along in (("demand", "demand by loads", sizes), ("circuits", "circuits by circuits", counts), ("plan", "plan by loads", sizes), ("plan", "plan by circuits", counts)):
        cost = [taken[name, size] for size in sizes]
        say(f"{title}: exponent {exponent(along, cost):.2f} over all, {exponent(along[-2:], cost[-2:]):.2f} between the two largest")
