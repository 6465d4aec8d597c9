"""Prints what each calculation costs beside a bare handler, and how the cost grows: `python tests/benchmarks/run.py`.

Processor time, best and median of several rounds in which everything takes its turn. On a busy machine believe the
ratios and the best times, not the medians.
"""

from __future__ import annotations

import argparse
import cProfile
import os
import pstats
import sys
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]


def main(words: list[str]) -> int:
    """Measure and print."""
    asked = _parser().parse_args(words)
    if len(set(asked.sizes)) < 2 or len(set(asked.lists)) < 2:
        sys.exit("run.py: growth needs two sizes at least")
    sys.path[:0] = [str(TESTS), str(TESTS.parent / "service")]
    os.environ["OHMSTEAD_LOG"] = "off"
    from benchmarks import report
    from benchmarks.workload import PLAIN, WORKING, Work, brief
    from ohmstead.app import create
    from ohmstead.reference.case import Shelf

    shelf = Shelf()
    front = create()  # as a server does it, the collector's settings included
    if asked.profile:
        _profile(Work("plan", brief(15), shelf, WORKING if asked.profile == "working" else PLAIN))
        return 0
    report.costs(shelf, front, asked.rounds, asked.sample_ms / 1000)
    report.growth(shelf, asked.rounds, asked.sample_ms / 1000, asked.sizes, asked.lists)
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--rounds", type=int, default=20, help="samples of each piece of work (20)")
    parser.add_argument("--sample-ms", type=float, default=4.0, help="how long one sample takes, about (4)")
    parser.add_argument("--sizes", type=int, nargs="+", default=[5, 10, 25, 50, 100, 200], metavar="N", help="numbers of loads")
    parser.add_argument("--lists", type=int, nargs="+", default=[1, 2, 5, 10, 25, 50, 100, 200], metavar="N", help="numbers of circuits in a list")
    parser.add_argument("--profile", choices=["plain", "working"], help="instead: where the time of a plan with 15 loads goes")
    return parser


def _profile(work) -> None:
    work.carry_out()
    profile = cProfile.Profile()
    profile.runcall(lambda: [work.carry_out() for _ in range(50)])
    pstats.Stats(profile).strip_dirs().sort_stats("tottime").print_stats(40)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
