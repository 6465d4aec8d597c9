"""The project file, the locks and the CI script agree with the code and with each other."""

import ast
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tomllib

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

PROJECT = pathlib.Path(__file__).resolve().parents[2]
PACKAGE = PROJECT / "service" / "ohmstead"
PYPROJECT = tomllib.loads((PROJECT / "pyproject.toml").read_text("utf-8"))
LOCKS = {name: (PROJECT / "deploy" / name).read_text("utf-8") for name in ("lock.txt", "lock-test.txt")}

RUNTIME = [Requirement(text) for text in PYPROJECT["project"]["dependencies"]]
TEST = [Requirement(text) for text in PYPROJECT["project"]["optional-dependencies"]["test"]]
DIRECT = {"lock.txt": RUNTIME, "lock-test.txt": RUNTIME + TEST}

# Not imported by the service: the server loads it by its name when it is there.
LOADED_BY_NAME = {"uvloop"}


def entries(lock: str) -> list[str]:
    """One text per pin: the pin with its marker, its hashes and what asks for it."""
    return [entry for entry in re.split(r"^(?=[a-z0-9])", LOCKS[lock], flags=re.MULTILINE) if not entry.startswith("#")]


def pins(lock: str) -> dict[str, str]:
    """Name -> version and marker."""
    return {name: rest.strip(" \\") for name, rest in re.findall(r"^([a-z0-9-]+)==(.*)$", LOCKS[lock], re.MULTILINE)}


@pytest.mark.parametrize("lock", LOCKS)
def test_the_lock_is_made_from_the_dependencies_of_the_project(lock):
    asked = {re.match(r"[a-z0-9-]+", entry)[0] for entry in entries(lock) if "ohmstead (pyproject.toml)" in entry}
    assert asked == {canonicalize_name(requirement.name) for requirement in DIRECT[lock]}


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pin_is_one_that_the_project_allows(lock):
    for requirement in DIRECT[lock]:
        version = pins(lock)[canonicalize_name(requirement.name)].split()[0]
        assert requirement.specifier.contains(version), requirement


@pytest.mark.parametrize("lock", LOCKS)
def test_every_line_of_the_lock_is_a_pin_a_hash_or_a_remark(lock):
    """So there is no address of an index, no link, no option and no path in it."""
    shape = re.compile(r"[a-z0-9-]+==[^\s:/@]+( ; [a-z_]+ [=!]= '\w+'( (and|or) [a-z_]+ [=!]= '\w+')*)? \\"
                       r"|    --hash=sha256:[0-9a-f]{64}( \\)?"
                       r"|    # (via|via [\w() .:-]+|  [\w() .:-]+)"
                       r"|#.*")  # fmt: skip
    for line in LOCKS[lock].splitlines():
        assert shape.fullmatch(line), line
    assert "://" not in LOCKS[lock]


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pin_has_a_hash(lock):
    found = entries(lock)
    assert len(found) == len(pins(lock)) > 20
    assert all("--hash=sha256:" in entry for entry in found)


def test_the_tests_run_on_the_pins_of_the_service():
    runtime, test = pins("lock.txt"), pins("lock-test.txt")
    different = {name: (version, test.get(name)) for name, version in runtime.items()
                 # A package that the service needs on one system only may be needed everywhere by the tests.
                 if test.get(name) not in (version, version.partition(" ")[0])}  # fmt: skip
    assert different == {}


def imported(folder: pathlib.Path) -> set[str]:
    """The top names of every absolute import below a folder."""
    names = set()
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Import):
                names |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level:
                names.add(node.module.partition(".")[0])
    return names


def test_the_service_imports_its_dependencies_and_nothing_else():
    foreign = {name for name in imported(PACKAGE) if name not in sys.stdlib_module_names and name != "ohmstead"}
    declared = {requirement.name.replace("-", "_") for requirement in RUNTIME}
    assert foreign == declared - LOADED_BY_NAME


def test_start_program_needs_the_standard_library_only():
    assert imported(PROJECT / "deploy") - {"environment"} <= sys.stdlib_module_names | {"pip"}


def test_every_file_of_the_package_goes_into_the_wheel():
    patterns = PYPROJECT["tool"]["setuptools"]["package-data"]
    left_out = []
    for path in PACKAGE.rglob("*"):
        if path.is_dir() or path.suffix in (".py", ".pyc"):
            continue
        package = path.parent
        while not (package / "__init__.py").exists():
            package = package.parent
        wanted = patterns["*"] + patterns.get(".".join(package.relative_to(PROJECT / "service").parts), [])
        if not any(path in package.glob(pattern) for pattern in wanted):
            left_out.append(str(path.relative_to(PACKAGE)))
    assert left_out == []


def test_every_folder_with_code_is_a_package():
    assert [str(path) for path in PACKAGE.rglob("*.py") if not (path.parent / "__init__.py").exists()] == []


def test_the_script_of_the_wheel_exists():
    module, _, function = PYPROJECT["project"]["scripts"]["ohmstead"].partition(":")
    source = (PROJECT / "service" / (module.replace(".", "/") + ".py")).read_text("utf-8")
    assert function in {node.name for node in ast.parse(source).body if isinstance(node, ast.FunctionDef)}


def test_the_readme_gives_the_commands_that_exist():
    readme = (PROJECT / "README.md").read_text("utf-8")
    given = set(re.findall(r"^\s*(?:\$ )?python3 deploy/start\.py (\w+)", readme, re.MULTILINE))
    assert {"demo", "test"} <= given <= {"demo", "test", "serve"}


# --- CI


@pytest.fixture
def ci(tmp_path):
    """Runs the CI script with a python3 that ends with the codes given, one a call, and a sleep that takes no time."""
    bash = shutil.which("bash")
    if bash is None or os.name == "nt":
        pytest.skip("no bash on this machine")

    def run(*codes: int) -> tuple[int, list[str]]:
        for number, code in enumerate(codes):
            (tmp_path / f"code{number}").write_text(str(code), "utf-8")
        calls = tmp_path / "calls"
        calls.touch()
        fake = f'#!{bash}\nn=$(wc -l < {calls})\necho "$@" >> {calls}\nexit "$(cat {tmp_path}/code$((n)))"\n'
        for name, text in (("python3", fake), ("sleep", f"#!{bash}\n")):
            (tmp_path / name).write_text(text, "utf-8")
            (tmp_path / name).chmod(0o755)
        done = subprocess.run(
            [bash, str(PROJECT / ".ci" / "run")],
            env=os.environ | {"PATH": f"{tmp_path}{os.pathsep}{os.environ['PATH']}"},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            timeout=60,
            check=False,
        )
        assert "+ python3 deploy/start.py test" in done.stdout
        return done.returncode, calls.read_text("utf-8").splitlines()

    return run


@pytest.mark.parametrize(
    ("codes", "result"),
    [((0,), 0), ((1,), 1), ((5,), 5), ((69,), 69), ((75, 75, 0), 0), ((75, 1), 1), ((75, 75, 75, 75), 75)],
)
def test_ci_runs_the_test_command_and_again_only_if_the_index_is_out_of_reach(ci, codes, result):
    assert ci(*codes) == (result, ["deploy/start.py test"] * len(codes))


def test_ci_can_be_executed():
    assert os.name == "nt" or os.access(PROJECT / ".ci" / "run", os.X_OK)
