#!/usr/bin/env python3
"""Makes the two lock files and proves that they install on every system the project names.

Needs the resolver uv (pip install uv) and a package index; nothing else of the project needs either.

    python3 deploy/lock.py make             after a change of the dependencies in pyproject.toml
    python3 deploy/lock.py make --upgrade   to move every pin to the newest release
    python3 deploy/lock.py check            one dry installation per system, Python and lock
"""

import argparse
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

PROJECT = pathlib.Path(__file__).resolve().parent.parent
RUNTIME = PROJECT / "deploy" / "lock.txt"
TEST = PROJECT / "deploy" / "lock-test.txt"
PYTHONS = ("3.11", "3.12", "3.13", "3.14")
SYSTEMS = (
    "x86_64-unknown-linux-gnu",
    "aarch64-unknown-linux-gnu",
    "x86_64-unknown-linux-musl",
    "x86_64-apple-darwin",
    "aarch64-apple-darwin",
    "x86_64-pc-windows-msvc",
)


def resolver() -> str:
    found = shutil.which("uv") or shutil.which("uv", path=str(pathlib.Path(sys.executable).parent))
    if found is None:
        sys.exit("lock.py: the resolver uv is not here; install it with: python3 -m pip install uv")
    return found


def compile_lock(output: pathlib.Path, *more: str) -> None:
    """One resolution for all systems and Pythons; pins already in the output stay unless --upgrade is given."""
    subprocess.run(
        [resolver(), "pip", "compile", "--quiet", "pyproject.toml", "--universal", "--python-version", PYTHONS[0],
         "--fork-strategy", "fewest", "--generate-hashes", "--no-emit-index-url", "--no-emit-find-links",
         "--custom-compile-command", "python3 deploy/lock.py make", *more, "--output-file", str(output)],
        cwd=PROJECT, check=True,
    )  # fmt: skip


def make(runtime: pathlib.Path, test: pathlib.Path, *more: str) -> None:
    compile_lock(runtime, *more)
    with tempfile.TemporaryDirectory() as folder:  # the service is tested with the very pins that it runs on
        pins = pathlib.Path(folder) / "pins.txt"
        pins.write_text("\n".join(re.findall(r"^[a-z0-9][^\s]*==[^\s]+", runtime.read_text("utf-8"), re.M)), "utf-8")
        compile_lock(test, "--extra", "test", "--constraint", str(pins), *more)
    # A pin's origin in a temporary folder tells nobody anything.
    kept = [line for line in test.read_text("utf-8").splitlines() if "pins.txt" not in line]
    test.write_text("\n".join(kept) + "\n", "utf-8")


def is_current() -> bool:
    """True if making the locks again from pyproject.toml would change nothing."""
    with tempfile.TemporaryDirectory() as folder:
        again = {lock: pathlib.Path(folder) / lock.name for lock in (RUNTIME, TEST)}
        for lock, copy in again.items():
            shutil.copy(lock, copy)
        make(*again.values())
        return all(lock.read_text("utf-8") == copy.read_text("utf-8") for lock, copy in again.items())


def dry_installation(lock: pathlib.Path, system: str, python: str) -> tuple[bool, str]:
    """Whether ready-made packages with the locked hashes exist for this system and Python, and the resolver's word."""
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            [resolver(), "pip", "install", "--dry-run", "--no-cache", "--target", folder, "--only-binary", ":all:",
             "--require-hashes", "--python-platform", system, "--python-version", python, "-r", str(lock)],
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip
    said = re.search(r"Would install (\d+) packages", done.stdout)
    return done.returncode == 0 and said is not None, said.group(1) if said else done.stdout.strip()


def check() -> int:
    faults = 0
    if not is_current():
        print("The locks do not follow from pyproject.toml: run python3 deploy/lock.py make")
        faults += 1
    print(f"{'packages in ' + RUNTIME.name + ' / ' + TEST.name:34}" + "".join(f"{python:>10}" for python in PYTHONS))
    for system in SYSTEMS:
        cells = []
        for python in PYTHONS:
            results = [dry_installation(lock, system, python) for lock in (RUNTIME, TEST)]
            for good, said in results:
                if not good:
                    faults += 1
                    print(f"{system}, Python {python}: {said}", file=sys.stderr)
            cells.append(" / ".join(said if good else "no" for good, said in results))
        print(f"{system:34}" + "".join(f"{cell:>10}" for cell in cells), flush=True)
    return 1 if faults else 0


def main() -> int:
    words = argparse.ArgumentParser(prog="lock.py", description=__doc__.partition("\n")[0])
    words.add_argument("job", choices=("make", "check"))
    words.add_argument("--upgrade", action="store_true", help="with make: move every pin to the newest release")
    asked = words.parse_args()
    if asked.job == "check":
        return check()
    make(RUNTIME, TEST, *(["--upgrade"] if asked.upgrade else []))
    return 0


if __name__ == "__main__":
    sys.exit(main())
