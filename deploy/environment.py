"""The project's own environment in .venv: makes it, fills it from a lock, leaves it alone while it is still good.

Standard library only, in the syntax of Python 3.6, like start.py, which it serves.
"""

import collections
import contextlib
import hashlib
import importlib.util
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys

OLDEST, NEWEST_TRIED = (3, 11), (3, 14)
CANNOT_GO_ON, TRY_AGAIN_LATER = 69, 75
STOP_WITHIN_S = 20.0

PROJECT = pathlib.Path(__file__).resolve().parent.parent
VENV = PROJECT / ".venv"
STAMP = VENV / "made-by-start.json"
# The test lock holds the runtime lock, pin for pin (tests/deploy proves it).
LOCKS = {"runtime": ("lock.txt",), "test": ("lock-test.txt", "lock.txt")}

# Settings of the caller that would send packages elsewhere or let foreign modules in.
FOREIGN_SETTINGS = (
    "PYTHONHOME", "PYTHONPATH", "PYTHONSTARTUP", "PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT",
    "PIP_NO_BINARY", "PIP_REQUIRE_HASHES", "PIP_REQUIREMENT", "PIP_DRY_RUN",
)


class CannotGoOn(Exception):
    """Says in one or two sentences what is missing and what cures it."""

    def __init__(self, message, code=CANNOT_GO_ON):
        super().__init__(message)
        self.code = code


def dotted(version):
    return ".".join(str(part) for part in version)


def say(line=""):
    print(line, flush=True)


@contextlib.contextmanager
def stopped_at_the_end(child):
    """Stops the child and what it started, kindly and then not, however the block is left."""
    try:
        yield child
    finally:
        if child.poll() is None:
            child.terminate()
            try:
                child.wait(STOP_WITHIN_S)
            except subprocess.TimeoutExpired:
                child.kill()
                child.wait()


def runs(python):
    """True if there is such a program and it works; a name on the path may stand for nothing installed."""
    try:
        return subprocess.run([python, "-c", ""], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL).returncode == 0
    except OSError:
        return False


def demand_python():
    """Refuses a Python older than the project needs and names a newer one if it is on the path."""
    if sys.version_info >= OLDEST:
        return
    here = f"This is Python {dotted(sys.version_info[:3])} ({sys.executable})"
    need = f"the project needs Python {dotted(OLDEST)} or newer"
    for minor in range(NEWEST_TRIED[1], OLDEST[1] - 1, -1):
        name = f"python3.{minor}"
        if runs(name):
            raise CannotGoOn(f"{here} and {need}. There is one on this machine: {name} deploy/start.py")
    raise CannotGoOn(f"{here} and {need}. Install one from your system's packages or from python.org, "
                     "then run this file with it.")


def how_to_install():
    """The words that put pip into a new environment: its own, or this Python's working on it."""
    if importlib.util.find_spec("venv") is None:
        raise CannotGoOn("This Python has no 'venv' module. Install it (on Debian or Ubuntu: "
                         "apt install python3-venv) and run the same command again.")
    if importlib.util.find_spec("ensurepip") is not None:
        return []
    if importlib.util.find_spec("pip") is None:
        raise CannotGoOn("This Python has neither 'ensurepip' nor 'pip'. Install one of them (on Debian or Ubuntu: "
                         "apt install python3-venv) and run the same command again.")
    import pip  # only here: a Python without it is a case above

    if tuple(int(part) for part in re.findall(r"\d+", pip.__version__)[:2]) < (22, 3):
        raise CannotGoOn(f"This Python has no 'ensurepip' and its pip {pip.__version__} is older than 22.3. Install "
                         "ensurepip (on Debian or Ubuntu: apt install python3-venv) or a newer pip.")
    return ["--without-pip"]


def clean_environment(**more):
    kept = {name: value for name, value in os.environ.items() if name not in FOREIGN_SETTINGS}
    return dict(kept, PYTHONUNBUFFERED="1", **more)


def venv_python():
    return str(VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python"))


def read_stamp():
    """What this program wrote about the environment; None if there is no environment of its making."""
    try:
        stamp = json.loads(STAMP.read_text(encoding="utf-8"))
        return stamp if isinstance(stamp.get("locks"), dict) else None
    except (OSError, ValueError, AttributeError):
        return None


def write_stamp(stamp):
    STAMP.write_text(json.dumps(stamp, indent=1) + "\n", encoding="utf-8")


def fingerprint(lock):
    # Text mode: the same lock has the same fingerprint whatever line ends git gave it.
    return hashlib.sha256((PROJECT / "deploy" / lock).read_text(encoding="utf-8").encode()).hexdigest()


def still_good(stamp):
    """True if the Python of .venv still runs, is the one it was made with, and no lock has changed since."""
    try:
        asked = subprocess.run([venv_python(), "-c", "import sys; print(sys.version)"], env=clean_environment(),
                               stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    except OSError:
        return False
    if asked.stdout.decode("utf-8", "replace").split() != str(stamp.get("python")).split():
        return False
    return all(fingerprint(lock) == known for lock, known in stamp["locks"].items())


def make_environment(pip_words):
    say(f"Making the environment in {VENV.name} (Python {dotted(sys.version_info[:3])})")
    try:
        if VENV.exists():
            shutil.rmtree(str(VENV))
        VENV.mkdir()
        stamp = {"python": sys.version, "locks": {}}
        write_stamp(stamp)  # before anything else, so that a run broken off here is known as ours
    except OSError as fault:
        raise CannotGoOn(f"{VENV} cannot be written ({fault.strerror}). Give yourself the right to write there, or "
                         "copy the project to a folder of your own.")
    # The base Python, since this one may be the environment that was just removed.
    maker = getattr(sys, "_base_executable", "") or sys.executable
    done = subprocess.run([maker, "-m", "venv"] + pip_words + [str(VENV)], env=clean_environment(),
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    if done.returncode != 0:
        said = done.stdout.decode("utf-8", "replace").strip()
        raise CannotGoOn(f"The 'venv' module of this Python failed:\n{said}\nMend or reinstall this Python (on "
                         "Debian or Ubuntu: apt install python3-venv).")
    return stamp


PIP_FAULTS = (
    (r"DO NOT MATCH THE HASHES", CANNOT_GO_ON,
     "A package from the index is not the one that was locked, so nothing was installed. Find out what stands between "
     "this machine and the package index (a proxy, a mirror) before going on."),
    (r"No space left on device|Errno 28", CANNOT_GO_ON,
     "The disk is full. The environment needs about 1 GB for the tests, 200 MB for the service alone."),
    (r"Permission denied|Read-only file system|Access is denied", CANNOT_GO_ON,
     "pip may not write where it must, see above. Give yourself the right, or copy the project to a folder of your "
     "own."),
    (r"CERTIFICATE_VERIFY_FAILED|SSLError", TRY_AGAIN_LATER,
     "The certificate of the package index is not trusted here. Behind a proxy that opens connections, name its "
     "certificate with PIP_CERT."),
    (r"NewConnectionError|NameResolutionError|name resolution|getaddrinfo failed|unreachable|Connection refused|"
     r"ConnectTimeout|Read timed out|ReadTimeout|Max retries|ProxyError|Connection (?:aborted|reset|broken)|"
     r"IncompleteRead|HTTP error 5|(?:5\d\d) Server Error", TRY_AGAIN_LATER,
     "The package index cannot be reached. Connect this machine to the network or point pip at a mirror "
     "(pip config set global.index-url ADDRESS), then run the same command again."),
    (r"requirement (\S+) \(from versions: none\)", CANNOT_GO_ON,
     "The package index offered no version of {0}. Either it is not reached from here, or it has no ready-made package "
     f"for this Python and system: CPython {dotted(OLDEST)} to {dotted(NEWEST_TRIED)} on 64-bit Linux, macOS or "
     "Windows has them."),
    (r"No matching distribution found for (\S+)", CANNOT_GO_ON,
     "There is no ready-made package of {0} for this Python and system. Use CPython "
     f"{dotted(OLDEST)} to {dotted(NEWEST_TRIED)} on 64-bit Linux, macOS or Windows."),
)


def explain_pip(lines):
    text = "\n".join(lines)
    for pattern, code, message in PIP_FAULTS:
        found = re.search(pattern, text)
        if found:
            return CannotGoOn(message.format(*found.groups()), code)
    return CannotGoOn("pip could not install the locked packages; its own words stand above.")


def install(lock, pip_words):
    """Installs what the lock names, hash by hash, and nothing that would have to be compiled."""
    path = PROJECT / "deploy" / lock
    count = len(re.findall(r"^[a-z0-9].*==", path.read_text(encoding="utf-8"), re.MULTILINE))
    say(f"Installing from deploy/{lock} ({count} packages with hashes; a minute or two the first time)")
    pip = [sys.executable, "-m", "pip", "--python", venv_python()] if pip_words else [venv_python(), "-m", "pip"]
    words = pip + ["install", "--no-input", "--progress-bar", "off", "--disable-pip-version-check",
                   "--require-hashes", "--only-binary", ":all:", "-r", str(path)]
    last, found = collections.deque(maxlen=60), 0
    pip_run = subprocess.Popen(words, env=clean_environment(), cwd=str(PROJECT),
                               stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
    with stopped_at_the_end(pip_run):
        for raw in pip_run.stdout:
            line = raw.decode("utf-8", "replace").rstrip()
            last.append(line)
            if re.match(r"(Collecting|Processing) ", line):
                found += 1
                if found % 10 == 0:
                    say(f"  {found} packages fetched")
            elif line.startswith("Installing collected packages"):
                say(f"  all {found} packages fetched, unpacking")
            elif not re.match(r"\s*(Downloading|Using cached|Obtaining|Looking in|Ignoring|Requirement already|"
                              r"Successfully|WARNING: Location)", line):
                say("  " + line)
        code = pip_run.wait()
    if code != 0:
        raise explain_pip(last)


def ensure_environment(purpose):
    """Leaves .venv with all that the purpose needs; does nothing if it is there already."""
    locks = LOCKS[purpose]
    for lock in locks:
        if not (PROJECT / "deploy" / lock).is_file():
            raise CannotGoOn(f"deploy/{lock} is missing. Take a complete copy of the project.")
    stamp = read_stamp()
    if stamp is None and VENV.exists() and any(VENV.iterdir()):
        raise CannotGoOn(f"{VENV} is there but was not made by this program. Move it away or delete it, then run the "
                         "same command again.")
    if stamp is not None and still_good(stamp) and locks[0] in stamp["locks"]:
        return
    pip_words = how_to_install()
    if stamp is None or not still_good(stamp):
        stamp = make_environment(pip_words)
    install(locks[0], pip_words)
    stamp["locks"].update({lock: fingerprint(lock) for lock in locks})
    write_stamp(stamp)
