"""The modules of the service as syntax trees, for tests that read code instead of running it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "service" / "ohmstead"


class Module(NamedTuple):
    """One file: its path below the package, its dotted name without the package's, its text and its tree."""

    path: str
    name: str
    text: str
    tree: ast.Module

    @property
    def top(self) -> str:
        """The folder or module right below the package that it belongs to; empty for the package itself."""
        return self.name.partition(".")[0]


class Import(NamedTuple):
    """What one import statement brings in: `target` is a dotted name, ours without the package's."""

    target: str
    ours: bool
    line: int
    deferred: bool
    """Inside a function or under TYPE_CHECKING: it does not run when the module is imported."""


@cache
def modules() -> tuple[Module, ...]:
    """Every module of the service."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        text = path.read_text("utf-8")
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found.append(Module(path.relative_to(PACKAGE).as_posix(), name, text, ast.parse(text)))
    return tuple(found)


def imports(module: Module) -> Iterator[Import]:
    """Every import of a module, those inside functions included."""
    deferred = {
        inner
        for node in ast.walk(module.tree)
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))
        or (isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test))
        for inner in ast.walk(node)
    }
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield _import(alias.name, node, deferred)
        elif isinstance(node, ast.ImportFrom):
            if node.level == 0:
                yield _import(node.module or "", node, deferred)
                continue
            parts = module.name.split(".") if module.name else []
            here = parts if module.path.endswith("__init__.py") else parts[:-1]
            base = here[: len(here) - (node.level - 1)]
            for alias in node.names:
                target = ".".join([*base, *(node.module.split(".") if node.module else [alias.name])])
                yield Import(target, True, node.lineno, node in deferred)


def _import(name: str, node: ast.stmt, deferred: set[ast.AST]) -> Import:
    top, _, rest = name.partition(".")
    return (
        Import(rest, True, node.lineno, node in deferred)
        if top == "ohmstead"
        else Import(name, False, node.lineno, node in deferred)
    )
