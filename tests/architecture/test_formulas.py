"""Every formula says what it is good for, and can be checked by hand."""

from __future__ import annotations

import ast
import doctest
import importlib
import re

from architecture.source_tree import modules
from ohmstead.working.formula import Formula


def formulas() -> list[tuple[str, Formula]]:
    """Every formula of the service with the module that declares it."""
    found = {}
    for module in modules():
        if module.top in ("electrical", "installation", "plan", "reference"):
            for item in vars(importlib.import_module(f"ohmstead.{module.name}")).values():
                record = getattr(item, "formula", None)
                if isinstance(record, Formula):
                    found[f"{item.__module__.removeprefix('ohmstead.')}.{item.__qualname__}"] = record
    return sorted(found.items())


def test_each_says_when_it_holds():
    """One sentence, then what it is valid for, what it neglects, and to which side it errs."""
    silent = []
    for name, record in formulas():
        text = re.sub(r"\s+", " ", record.doc.split(">>>")[0]).strip()
        if not re.fullmatch(r"[A-Z].+?\. Valid: .+?\. Neglects: .+?\. Errs: (low|high|either|exact)\b.*\.", text):
            silent.append(f"{name}: {text}")
    assert silent == []


def test_each_has_a_worked_line():
    """At least one example that calls the formula itself, with a result."""
    bare = []
    for name, record in formulas():
        examples = [
            example
            for example in doctest.DocTestParser().get_examples(record.doc)
            if f"{record.name}(" in example.source
        ]
        if not examples or not all(example.want.strip() for example in examples):
            bare.append(name)
    assert bare == []


def test_each_has_a_source():
    assert [name for name, record in formulas() if not (record.citation.id and record.citation.title)] == []


def test_arithmetic_and_decisions_are_apart():
    """A module that declares a formula declares nothing else; decisions stand in another one."""
    stray = []
    for module in modules():
        functions = [node for node in module.tree.body if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef))]
        declared = [
            node
            for node in functions
            if any(isinstance(line, ast.Call) and ast.unparse(line.func) == "formula" for line in node.decorator_list)
        ]
        if declared:
            others = [node for node in module.tree.body if isinstance(node, (ast.ClassDef, ast.For, ast.While, ast.If))]
            stray += [f"{module.path} line {node.lineno}" for node in (*functions, *others) if node not in declared]
    assert stray == []
