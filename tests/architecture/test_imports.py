"""Who may import whom: one way only, and each outside library in its one place."""

from __future__ import annotations

import ast
import sys

import pytest

from architecture.source_tree import Module, imports, modules

# Each part with what it may import of ours, itself apart. A part that is not in the map has no place yet.
CORE = ("electrical", "reference", "nomenclature", "working")
MAY_IMPORT: dict[str, tuple[str, ...]] = {
    "": (),
    "working": (),
    "nomenclature": ("working",),
    "units": (),
    "reference": ("nomenclature", "working"),
    "electrical": CORE[1:],
    "installation": CORE,
    "plan": ("installation", *CORE),
    "wire": ("plan", "installation", *CORE, "units"),
    "render": ("plan", "installation", *CORE, "units"),
    "api": ("wire", "render", "plan", "installation", *CORE, "units"),
    "assets": (),
    "observability": (),
    "configuration": (),
    "app": ("api", "wire", "render", "plan", "installation", *CORE, "units", "observability", "configuration"),
    "contract": ("app", "api", "wire", "render", "plan", "installation", *CORE, "units"),
    "__main__": (
        "contract",
        "app",
        "api",
        "wire",
        "render",
        "plan",
        "installation",
        *CORE,
        "units",
        "observability",
        "configuration",
    ),
}

# Each outside library with the only parts that may import it.
OUTSIDE: dict[str, tuple[str, ...]] = {
    "pint": ("units",),
    "litestar": ("api", "app", "__main__"),
    "structlog": ("observability",),
    "prometheus_client": ("observability",),
    "brotli": ("api",),
    "granian": ("__main__",),
    "uvloop": ("__main__",),
    "numpy": CORE[:1] + ("plan", "installation"),
    "msgspec": tuple(part for part in MAY_IMPORT if part not in ("units", "assets", "")),
}


def faults(module: Module) -> list[str]:
    """Imports of a module that the map does not allow."""
    if module.top not in MAY_IMPORT:
        return [f"{module.path}: has no place in the map of imports"]
    found = []
    for item in imports(module):
        top = item.target.partition(".")[0]
        if item.ours:
            if top != module.top and top not in MAY_IMPORT[module.top]:
                found.append(f"{module.path} line {item.line}: imports {item.target}")
        elif top not in sys.stdlib_module_names and module.top not in OUTSIDE.get(top, ()):
            found.append(f"{module.path} line {item.line}: imports {top}")
    return found


def test_imports_point_one_way():
    assert [fault for module in modules() for fault in faults(module)] == []


def test_the_map_itself_points_one_way():
    """No part may reach itself over the others."""
    for part in MAY_IMPORT:
        reached: set[str] = set()
        stack = list(MAY_IMPORT[part])
        while stack:
            other = stack.pop()
            if other not in reached:
                reached.add(other)
                stack.extend(MAY_IMPORT[other])
        assert part not in reached


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ("electrical/storage/sizing.py", "from ...wire.base import Amount"),
        ("working/number.py", "from ..nomenclature import TERMS"),
        ("plan/size.py", "import pint"),
        ("wire/base.py", "import litestar"),
        ("electrical/year/sizing.py", "import ohmstead.units"),
        ("api/reply.py", "from ..configuration import Configuration"),
        ("api/reply.py", "import structlog"),
        ("reference/case.py", "from ..electrical.faults import sizing"),
    ],
)
def test_a_wrong_import_is_seen(path, line):
    """The test tests: each of these lines, put into a module, would be reported."""
    name = path.removesuffix(".py").replace("/", ".")
    assert faults(Module(path, name, line, ast.parse(line)))
    assert faults(Module(path, name, line, ast.parse(f"def later():\n    {line}")))


def test_no_ring_of_imports():
    """Modules of a part may import each other, but never in a ring."""
    names = {module.name for module in modules()}
    edges = {
        module.name: {
            item.target for item in imports(module) if item.ours and not item.deferred and item.target in names
        }
        - {module.name}
        for module in modules()
    }
    for module in modules():
        # `from . import name` names the package; the package imports its parts, which is no ring.
        if module.path.endswith("__init__.py"):
            edges[module.name] = set()
    done: set[str] = set()

    def visit(name: str, way: tuple[str, ...]) -> None:
        assert name not in way, f"ring: {' -> '.join((*way[way.index(name) :], name))}"
        if name not in done:
            for other in sorted(edges[name]):
                visit(other, (*way, name))
            done.add(name)

    for name in sorted(edges):
        visit(name, ())


def test_the_practice_of_a_case_is_data():
    """Practices are data with named strategies: nothing outside `reference` asks which practice it is."""
    found = [fault for module in modules() if module.top != "reference" for fault in practice_names(module)]
    assert found == []


PRACTICES = {"us-vehicle", "us-craft", "us-dwelling", "intl-craft", "intl-vehicle", "intl-dwelling"}


def practice_names(module: Module) -> list[str]:
    """Places where a practice's name stands other than as one of the words that a wire shape takes."""
    allowed: set[ast.AST] = set()
    if module.top == "wire":
        for node in ast.walk(module.tree):
            if isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id == "Literal":
                allowed.update(ast.walk(node))
            if isinstance(node, ast.ClassDef):
                allowed.update(keyword.value for keyword in node.keywords if keyword.arg == "tag")
    found = []
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Constant) and node.value in PRACTICES and node not in allowed:
            found.append(f"{module.path} line {node.lineno}: {node.value}")
        if isinstance(node, ast.Compare):
            for side in (node.left, *node.comparators):
                if ast.unparse(side).endswith("practice.name"):
                    found.append(f"{module.path} line {node.lineno}: {ast.unparse(node)}")
    return found


@pytest.mark.parametrize(
    "line",
    [
        'if needs.practice.name == "x": pass',
        'if request.practice == "us-vehicle": pass',
        'ODD = {"us-dwelling": 1}',
        "if other != self.practice.name: pass",
    ],
)
def test_a_compared_practice_is_seen(line):
    assert practice_names(Module("plan/size.py", "plan.size", line, ast.parse(line)))


def test_the_list_of_practices_is_whole():
    """The names guarded above hold every practice that the service knows."""
    from ohmstead.reference.case import Shelf

    assert set(Shelf().plain.practices) <= PRACTICES


def test_no_calculation_asks_whether_it_is_traced():
    """The code is written once: whether numbers are traced is decided at the door."""
    found = [
        f"{module.path} line {node.lineno}"
        for module in modules()
        if module.top in ("electrical", "installation", "plan")
        for node in ast.walk(module.tree)
        if isinstance(node, ast.Attribute) and node.attr == "traced"
    ]
    assert found == []
