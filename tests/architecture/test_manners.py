"""Manners of the code that a machine can check."""

from __future__ import annotations

import ast

from architecture.source_tree import PACKAGE, ROOT, modules
from ohmstead.nomenclature import TERMS

LONGEST = 400
# One list, one line an entry: longer than a module of code may be, and still read at a glance.
LISTS = {"nomenclature.py", "reference/findings.py"}
EMPTY_NAMES = {"utils", "util", "helpers", "helper", "common", "manager", "managers", "misc"}
MADE = {".git", ".venv", "__pycache__", ".pytest_cache", ".hypothesis", ".ruff_cache", ".schemathesis", "build", "dist"}


def test_every_module_says_what_it_is():
    assert [module.path for module in modules() if not ast.get_docstring(module.tree)] == []


def test_modules_are_short():
    lines = {module.path: len(module.text.splitlines()) for module in modules() if module.path not in LISTS}
    assert {path: count for path, count in lines.items() if count >= LONGEST} == {}


def test_the_lists_are_lists():
    """What may be longer holds declarations and next to no code."""
    for path in LISTS:
        tree = ast.parse((PACKAGE / path).read_text("utf-8"))
        assert sum(isinstance(node, ast.FunctionDef) for node in ast.walk(tree)) <= 2, path


def test_names_of_modules_say_something():
    assert [module.path for module in modules() if EMPTY_NAMES & set(module.name.split("."))] == []


def test_errors_are_caught_by_name():
    assert [
        f"{module.path} line {node.lineno}"
        for module in modules()
        for node in ast.walk(module.tree)
        if isinstance(node, ast.ExceptHandler) and node.type is None
    ] == []


def test_settings_are_not_read_at_import():
    """Whoever imports the service gets the same service; the environment is read when somebody asks."""
    read = []
    for module in modules():
        inside = {
            inner
            for node in ast.walk(module.tree)
            if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))
            for inner in ast.walk(node)
        }
        read += [
            f"{module.path} line {node.lineno}"
            for node in ast.walk(module.tree)
            if isinstance(node, ast.Attribute)
            and node not in inside
            and ast.unparse(node) in ("os.environ", "os.getenv")
        ]
    assert read == []


def test_public_functions_of_the_core_are_explained():
    """Functions and classes that other modules use say what they do."""
    assert [
        f"{module.path}: {node.name}"
        for module in modules()
        if module.top in ("working", "reference", "electrical", "installation", "plan", "wire", "units")
        for node in module.tree.body
        if isinstance(node, (ast.FunctionDef, ast.ClassDef))
        and not node.name.startswith("_")
        and not ast.get_docstring(node)
    ] == []


def test_every_folder_of_the_service_is_a_package():
    folders = {path.parent for path in PACKAGE.rglob("*.py")}
    assert [folder for folder in folders if not (folder / "__init__.py").exists()] == []


def test_top_level_is_as_described():
    seen = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert seen - MADE - {path.name for path in ROOT.glob("*.egg-info")} - {
        path.name for path in ROOT.glob("pytest-of-*")
    } <= {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "service",
        "openapi",
        "tests",
        "deploy",
        "Dockerfile",
    }


def test_words_that_have_no_place_here():
    """Where an idea came from is nobody's business who reads the service."""
    words = ("tran" + "script", "seed" + " document")
    found = []
    for path in ROOT.rglob("*"):
        if path.is_file() and not MADE & set(path.relative_to(ROOT).parts) and not path.name.endswith(".egg-info"):
            text = path.read_bytes().decode("utf-8", "replace").casefold()
            found += [f"{path.relative_to(ROOT)}: {word}" for word in words if word in text]
    assert found == []


def test_symbols_of_the_nomenclature():
    """Every quantity has a symbol, a unit and a meaning; its name is made of plain words."""
    for name, term in TERMS.items():
        assert term.symbol and term.unit and term.meaning, name
        assert name.isidentifier() and name == name.lower(), name
