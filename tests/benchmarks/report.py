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
from .measure import Repeated, Timing, exponent, in_turns, repeated
from .workload import WORKING, Circuits, Work, brief, circuits, demand, example


TITLE = 45
"""Width of the titles."""

IN_LIST = 25
"""Circuits in the list of the table."""


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


class Share(NamedTuple):
    """A piece of work on many circuits, of which the share of one is told."""

    title: str
    run: Repeated
    count: int
    target_us: float
    """Design target of one, in microseconds."""


def circuit_shares(drawn: Circuits, shelf: Shelf) -> list[Share]:
    """What one circuit costs: alone, inside a plan, and in a list with everything that the answer of a single one says."""
    count, listed = len(drawn.runs), Work("circuits", circuits(IN_LIST), shelf)
    return [
        Share(f"circuit, plain, alone (mean of {count})", repeated(drawn.size_alone), count, 40),
        Share(f"circuit, inside the plan (one of {count})", repeated(drawn.size), count, 20),
        Share(f"circuit, in a list (one of {IN_LIST})", repeated(listed.carry_out), IN_LIST, 60),
    ]


def costs(shelf: Shelf, front: Any, rounds: int, sample_s: float, say: Callable[[str], None] = print) -> None:
    """What each calculation costs, apart from decoding, encoding and compressing, beside a bare handler."""
    table, client, pieces = rows(shelf), Client(), {}
    drawn = Circuits(next(row.work for row in table if row.title == "plan, 15 loads"))
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
    shares = circuit_shares(drawn, shelf)
    pieces |= {share.title: share.run for share in shares}
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
    for share in shares:
        timing = taken[share.title]
        say(f"{share.title:{TITLE}} {timing.best * 1e6 / share.count:7.1f} {timing.median * 1e6 / share.count:7.1f} {share.target_us:7.0f}")
    say("")


def interpreter() -> str:
    """Which Python this is and how it was built, which tells in every row."""
    built = sysconfig.get_config_var("CONFIG_ARGS") or ""
    how = "built with --enable-optimizations" if "--enable-optimizations" in built else "not known to be built with --enable-optimizations"
    return f"Python {platform.python_version()}, {how}, on {os.cpu_count()} processors"


def growth(shelf: Shelf, rounds: int, sample_s: float, sizes: Sequence[int], lists: Sequence[int], say: Callable[[str], None] = print) -> None:
    """How the cost grows with the number of loads, of circuits in a plan, and of circuits in a list. An exponent of 1 is linear."""
    plans = {size: Work("plan", brief(size), shelf) for size in sizes}
    drawn = {size: Circuits(plan) for size, plan in plans.items()}
    pieces = {("plan", size): repeated(plan.carry_out) for size, plan in plans.items()}
    pieces |= {("demand", size): repeated(Work("demand", demand(size), shelf).carry_out) for size in sizes}
    pieces |= {("circuits", size): repeated(found.size) for size, found in drawn.items()}
    pieces |= {("list", count): repeated(Work("circuits", circuits(count), shelf).carry_out) for count in lists}
    taken = {name: timing.best * 1e6 for name, timing in in_turns(pieces, rounds, sample_s).items()}

    say("Growth, processor time in microseconds (best)")
    say(f"{'loads':>6} {'demand':>8} {'circuits':>9} {'sizing them':>12} {'plan':>9}")
    counts = [len(drawn[size].runs) for size in sizes]
    for size, count in zip(sizes, counts, strict=True):
        say(f"{size:6} {taken['demand', size]:8.0f} {count:9} {taken['circuits', size]:12.0f} {taken['plan', size]:9.0f}")
    for name, title, along in (("demand", "demand by loads", sizes), ("circuits", "circuits by circuits", counts), ("plan", "plan by loads", sizes), ("plan", "plan by circuits", counts)):
        say(_fitted(title, along, [taken[name, size] for size in sizes]))
    say("")
    say(f"{'list of':>7} {'circuits':>9} {'each':>6}")
    cost = [taken["list", count] for count in lists]
    for count, whole in zip(lists, cost, strict=True):
        say(f"{count:7} {whole:9.0f} {whole / count:6.1f}")
    say(_fitted("list by circuits", lists, cost))


def _fitted(title: str, along: Sequence[int], cost: Sequence[float]) -> str:
    return f"{title}: exponent {exponent(along, cost):.2f} over all, {exponent(along[-2:], cost[-2:]):.2f} between the two largest"
