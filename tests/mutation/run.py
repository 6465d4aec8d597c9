"""Put one small fault after another into the calculations of a subject, and see whether its tests notice each.

    python tests/mutation/run.py protection            # every module with decisions or arithmetic
    python tests/mutation/run.py conductors/formulas   # one module

The faults are made by cosmic-ray (`pip install -e '.[mutation]'`) in a copy of the tree in a temporary folder; a test run
that takes many times as long as without a fault counts as noticed. What no test notices is listed with file, line and text, unless `equivalent.toml`
says why it changes nothing. Ends with 1 when something is left, or when the list explains what is noticed now.
"""

from __future__ import annotations

import argparse
import json
import os
import shlex
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
CORE = "service/ohmstead/electrical"
LONGEST_S = 120
TIMES_AS_LONG = 10
NOT_ASKED = {"__init__", "model"}
# What is soon done first: the worked lines of the docstrings notice most faults, generated examples come last.
FIRST_FAILURE = """
import sys, pytest
run, worked, tests = ["-q", "-x", "-p", "no:cacheprovider"], sys.argv[1:2], sys.argv[2:]
parts = worked, ["-m", "not generated and not long", *tests], ["-m", "generated", *tests]
sys.exit(any(pytest.main(run + part) not in (0, 5) for part in parts))
"""


class Mutant(NamedTuple):
    """A fault: where it is, what stood there and what stands there now."""

    module: str
    line: int
    was: str
    now: str

    @property
    def key(self) -> tuple[str, str, str]:
        """The same wherever its line moves to."""
        return self.module, self.was, self.now

    def __str__(self) -> str:
        return f"{self.module}:{self.line}\n  - {self.was}\n  + {self.now}"


def modules_of(subject: str) -> list[str]:
    """The modules of a subject below the core, or the single one that is named."""
    folder, _, module = subject.partition("/")
    names = [module] if module else [path.stem for path in sorted((ROOT / CORE / folder).glob("*.py")) if path.stem not in NOT_ASKED]
    paths = [f"{CORE}/{folder}/{name}.py" for name in names]
    missing = [path for path in paths if not (ROOT / path).is_file()]
    if missing or not paths:
        raise SystemExit(f"no such subject or module: {subject}")
    return paths


def explained() -> dict[tuple[str, str, str], str]:
    """Why a fault changes nothing, by the fault."""
    listed = tomllib.loads((HERE / "equivalent.toml").read_text("utf-8")).get("equivalent", [])
    return {(entry["module"], entry["was"], entry["now"]): entry["why"] for entry in listed}


def copy_tree(place: Path) -> None:
    """The tree as it stands, its code compiled so that a changed file is seen whenever it was written."""
    passed_over = shutil.ignore_patterns("__pycache__", ".*")
    for name in ("service", "tests"):
        shutil.copytree(ROOT / name, place / name, ignore=passed_over)
    shutil.copy(ROOT / "pyproject.toml", place)
    compiling = [sys.executable, "-m", "compileall", "-q", "--invalidation-mode", "checked-hash", "service"]
    subprocess.run(compiling, cwd=place, check=True)


def campaign(subject: str, place: Path) -> list[tuple[Mutant, str]]:
    """Every fault with its outcome: killed, survived, or incompetent when it could not be tried."""
    folder = subject.partition("/")[0]
    # Plug-ins that no test here needs take longer to load than most mutants live; CI makes generated examples the same each time.
    around = os.environ | {"PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1", "CI": "true", "PYTHONPATH": "service"}
    tests = [sys.executable, "-c", FIRST_FAILURE, f"{CORE}/{folder}", f"tests/electrical/{folder}"]
    begun_s = time.monotonic()
    if subprocess.run(tests, cwd=place, env=around, check=False).returncode:
        raise SystemExit("the tests do not pass before anything is changed")
    longest_s = max(LONGEST_S, TIMES_AS_LONG * (time.monotonic() - begun_s))
    settings = {"module-path": modules_of(subject), "timeout": longest_s, "excluded-modules": [], "test-command": shlex.join(tests)}
    lines = [f"{name} = {json.dumps(value)}\n" for name, value in settings.items()]
    (place / "mutation.toml").write_text("[cosmic-ray]\n" + "".join(lines) + (HERE / "cosmic-ray.toml").read_text("utf-8"), "utf-8")
    ray = [sys.executable, "-m", "cosmic_ray.cli"]
    subprocess.run([*ray, "init", "mutation.toml", "session.sqlite"], cwd=place, check=True)
    subprocess.run([sys.executable, "-m", "cosmic_ray.tools.filters.operators_filter", "session.sqlite", "mutation.toml"], cwd=place, check=True)
    subprocess.run([*ray, "exec", "mutation.toml", "session.sqlite"], cwd=place, env=around, check=True)
    dump = subprocess.run([*ray, "dump", "session.sqlite"], cwd=place, check=True, capture_output=True, encoding="utf-8").stdout
    return list(outcomes(dump))


def outcomes(dump: str):
    """What a dump of a session tells of the faults that were tried."""
    for line in dump.splitlines():
        item, result = json.loads(line)
        if result is None or result["test_outcome"] is None:
            continue
        (made,) = item["mutations"]
        changed = [text for text in (result["diff"] or "").splitlines() if text[:1] in "+-" and text[:3] not in ("---", "+++")]
        was, now = (" ".join(text[1:].strip() for text in changed if text.startswith(sign)) for sign in "-+")
        if was.startswith("class "):
            continue  # whether a record may be changed once it is made: no answer depends on it
        module = made["module_path"].removeprefix(CORE + "/")
        yield Mutant(module, made["start_pos"][0], was, now), result["test_outcome"]


def report(found: list[tuple[Mutant, str]], asked: list[str]) -> int:
    """Say what was left; the exit code."""
    known = explained()
    left = sorted({mutant for mutant, outcome in found if outcome != "killed"})
    open_ones = [mutant for mutant in left if mutant.key not in known]
    here = {path.removeprefix(CORE + "/") for path in asked}
    stale = sorted(key for key in known if key[0] in here and key not in {mutant.key for mutant in left})
    for mutant in open_ones:
        print(mutant)
    for module, was, now in stale:
        print(f"{module}: equivalent.toml explains what is noticed now, or not made any more\n  - {was}\n  + {now}")
    killed = sum(outcome == "killed" for _, outcome in found)
    print(f"{len(found)} faults: {killed} noticed, {len(left) - len(open_ones)} explained, {len(open_ones)} left")
    return 1 if open_ones or stale or not found else 0


def main() -> int:
    """Run the campaign that the command line asks for."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("subject", help="a folder of the core, or folder/module")
    parser.add_argument("--keep", type=Path, help="work in this new folder and leave it, instead of a temporary one")
    given = parser.parse_args()
    asked = modules_of(given.subject)
    if given.keep:
        given.keep.mkdir(parents=True)
        copy_tree(given.keep)
        return report(campaign(given.subject, given.keep), asked)
    with tempfile.TemporaryDirectory(prefix="mutation-") as place:
        copy_tree(Path(place))
        return report(campaign(given.subject, Path(place)), asked)


if __name__ == "__main__":
    sys.exit(main())
