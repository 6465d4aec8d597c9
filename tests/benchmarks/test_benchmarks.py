"""The benchmark runs and says everything. How fast the machine happens to be is no matter for a test."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from pathlib import Path

import pytest
from ohmstead.reference.case import Shelf

from benchmarks import report, workload
from benchmarks.measure import in_turns

COMMAND = Path(__file__).with_name("run.py")
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


@pytest.fixture(scope="module")
def shelf():
    return Shelf()


@pytest.fixture(scope="module")
def printed():
    words = [sys.executable, str(COMMAND), "--rounds", "1", "--sample-ms", "0.01", "--sizes", "2", "4", "--lists", "3", "7"]
    done = subprocess.run(words, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


def numbers(lines, title):
    (line,) = [line for line in lines if line.startswith(title + " ")]
    return [float(number) for number in NUMBER.findall(line.removeprefix(title))]


def test_a_row_for_every_calculation(printed, shelf):
    for row in report.rows(shelf):
        found = numbers(printed, f"{row.title:{report.TITLE}}")
        assert len(found) == 10
        assert all(number > 0 for number in found[:8])
        best, median, target = found[:3]
        assert best <= median
        if row.target_us is not None:
            assert target == row.target_us


def test_a_row_for_one_circuit_alone_in_a_plan_and_in_a_list(printed, shelf):
    drawn = workload.Circuits(workload.Work("plan", workload.brief(15), shelf))
    count = len(drawn.runs)
    targets = {f"circuit, plain, alone (mean of {count})": 40, f"circuit, inside the plan (one of {count})": 20, "circuit, in a list (one of 25)": 60}
    assert [share.title for share in report.circuit_shares(drawn, shelf)] == list(targets)
    for title, wanted in targets.items():
        best, median, target = numbers(printed, title)
        assert 0 < best <= median
        assert target == wanted


def test_growth_by_loads_and_by_circuits(printed):
    for title in ("demand by loads", "circuits by circuits", "plan by loads", "plan by circuits", "list by circuits"):
        assert len([line for line in printed if line.startswith(f"{title}: exponent ")]) == 1
    for size in ("2", "4"):
        (line,) = [line for line in printed if line.split()[:1] == [size]]
        assert len(line.split()) == 5
    for count in (3, 7):
        (line,) = [line for line in printed if line.split()[:1] == [str(count)]]
        _, whole, each = map(float, line.split())
        assert each == pytest.approx(whole / count, abs=1)


def test_the_profile_shows_the_plan():
    words = [sys.executable, str(COMMAND), "--profile", "plain"]
    done = subprocess.run(words, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    assert "size_circuit" in done.stdout


@pytest.mark.parametrize("count", [5, 15, 200])
def test_the_brief_that_is_timed_can_be_had_in_full(count, shelf):
    answer = workload.Work("plan", workload.brief(count), shelf).answer
    # Of some fuses no curve proves that they hold through a start; everything is sized all the same.
    assert {finding.code for finding in answer.findings if finding.kind == "shortfall"} <= {"transient-opens-device"}
    assert len(answer.demand.loads) == count
    assert {circuit.sizing.outcome for circuit in answer.installation.circuits} == {"sized"}


@pytest.mark.parametrize("count", [1, 25, 200])
def test_every_circuit_of_the_list_that_is_timed_is_sized(count, shelf):
    answer = workload.Work("circuits", workload.circuits(count), shelf).answer
    assert [named.circuit.outcome for named in answer.circuits] == ["sized"] * count
    assert len({named.circuit.conductor.drop.value for named in answer.circuits}) == count


def test_the_plan_that_is_timed_has_about_25_circuits(shelf):
    assert 23 <= len(workload.Circuits(workload.Work("plan", workload.brief(15), shelf)).runs) <= 30


def test_every_piece_takes_its_turn_in_every_round():
    calls = []
    work = {name: (lambda times, name=name: calls.append((name, times)) or sum(range(20_000))) for name in ("one", "two")}
    timings = in_turns(work, 3, 1e-9)
    assert [name for name, times in calls[-6:]] == ["one", "two"] * 3
    assert all(0 < timing.best <= timing.median and math.isfinite(timing.median) for timing in timings.values())
