"""Formulas: pure functions of floats whose printed line is the expression that runs.

`declare(terms)` gives the decorator. The decorated function has one return expression and its
parameters are named after terms. The decorator compiles the function again with one type test in front
of that expression, so a plain call costs the expression and the test, and a traced call records itself.
"""

from __future__ import annotations

import ast
import functools
import inspect
import math
import textwrap
from collections.abc import Callable, Mapping

from .number import Derived, Traced, Unexplained
from .term import Citation, Term

_PRECEDENCE = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 2, ast.USub: 3, ast.Pow: 4}
_SIGN = {ast.Add: " + ", ast.Sub: " − ", ast.Mult: " × ", ast.Div: " / ", ast.Pow: "^"}
_ALLOWED_CALLS = {"sum", "min", "max", "abs", "sqrt", "exp", "log", "ceil", "floor", "sin", "cos", "tan", "acos", "radians"}

_new = float.__new__


class Formula:
    """A relation: the term it yields, its citation, its parameters and its one expression."""

    __slots__ = ("name", "yields", "citation", "parameters", "variadic", "expression", "function", "doc")

    def __init__(self, function: Callable, yields: Term, citation: Citation, terms: Mapping[str, Term]):
        tree = ast.parse(textwrap.dedent(inspect.getsource(function))).body[0]
        statements = [node for node in tree.body if not _is_docstring(node)]
        if len(statements) != 1 or not isinstance(statements[0], ast.Return) or statements[0].value is None:
            raise TypeError(f"{function.__qualname__}: a formula is one return expression")
        names = [argument.arg for argument in tree.args.args]
        self.variadic = tree.args.vararg.arg if tree.args.vararg else ""
        unknown = [name for name in [*names, self.variadic] if name and name not in terms]
        if unknown:
            raise TypeError(f"{function.__qualname__}: not in the nomenclature: {', '.join(unknown)}")
        if tree.args.defaults or tree.args.kwonlyargs:
            raise TypeError(f"{function.__qualname__}: every operand of a formula is given, and by position")
        if not names and not self.variadic:
            raise TypeError(f"{function.__qualname__}: a formula needs an operand")
        self.name = function.__name__
        self.yields = yields
        self.citation = citation
        self.parameters = tuple(terms[name] for name in names)
        symbols = {name: terms[name].symbol for name in [*names, self.variadic] if name}
        self.expression = f"{yields.symbol} = {_Printer(symbols).text(statements[0].value)}"
        self.doc = inspect.getdoc(function) or ""
        self.function = function

    def __repr__(self) -> str:
        return f"<formula {self.name}: {self.expression}>"

    def derive(self, plain: Callable, operands: tuple) -> Traced:
        """Run the expression on traced operands and record what made the result."""
        for operand in operands:
            if type(operand) is not Traced:
                position = next(place for place, item in enumerate(operands, 1) if item is operand)
                raise Unexplained(f"{self.name}: operand {position} ({operand!r}) has no origin")
        made = _new(Traced, plain(*operands))  # as Traced does it, without the call: this runs a thousand times a plan
        made.term, made.origin = self.yields, Derived(self, operands)
        return made


def declare(terms: Mapping[str, Term]) -> Callable:
    """Make the `formula` decorator for one nomenclature."""

    def formula(yields: str, *, cite: Citation) -> Callable[[Callable], Callable]:
        if yields not in terms:
            raise TypeError(f"{yields} is not in the nomenclature")

        def decorate(function: Callable) -> Callable:
            record = Formula(function, terms[yields], cite, terms)
            made = _with_type_test(function, record)
            made.formula = record
            return made

        return decorate

    return formula


def _with_type_test(function: Callable, record: Formula) -> Callable:
    """Compile the function again as: if the first operand is traced, derive; else the same expression."""
    source = textwrap.dedent(inspect.getsource(function))
    tree = ast.parse(source)
    definition = tree.body[0]
    definition.decorator_list = []
    names = [argument.arg for argument in definition.args.args]
    operands = ", ".join(names + ([f"*{record.variadic}"] if record.variadic else []))
    first = names[0] if names else f"{record.variadic}[0]"
    guard = f"if {'' if names else record.variadic + ' and '}type({first}) is _Traced: return _derive(_plain, ({operands},))"
    definition.body = [*ast.parse(guard).body, definition.body[-1]]
    ast.increment_lineno(tree, function.__code__.co_firstlineno - 1)
    ast.fix_missing_locations(tree)
    scope = dict(function.__globals__, _Traced=Traced, _derive=record.derive, _plain=function)
    exec(compile(tree, function.__code__.co_filename, "exec"), scope)  # our own source, read back from disk
    return functools.wraps(function)(scope[function.__name__])


def _is_docstring(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)


class _Printer:
    """Write an expression for a reader, with symbols in place of names and no needless parentheses."""

    def __init__(self, symbols: Mapping[str, str]):
        self.symbols = symbols

    def text(self, node: ast.expr, outer: int = 0, right: bool = False) -> str:
        if isinstance(node, ast.Name):
            if node.id in self.symbols:
                return self.symbols[node.id]
            if node.id == "pi":
                return "π"
            raise TypeError(f"a formula may not use {node.id}: not an operand")
        if isinstance(node, ast.Constant):
            return repr(node.value).removesuffix(".0")  # every digit that runs
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
            line = "−" + self.text(node.operand, 3)
            return f"({line})" if outer > 3 else line
        if isinstance(node, ast.BinOp) and type(node.op) in _SIGN:
            level = _PRECEDENCE[type(node.op)]
            tight = isinstance(node.op, (ast.Sub, ast.Div, ast.Pow))
            line = self.text(node.left, level, isinstance(node.op, ast.Pow)) + _SIGN[type(node.op)] + self.text(node.right, level, tight)
            return f"({line})" if level < outer or (level == outer and right) else line
        if isinstance(node, ast.Starred):
            return self.text(node.value)
        if isinstance(node, ast.Call):
            return self._call(node)
        if isinstance(node, (ast.GeneratorExp, ast.ListComp)):
            # sum(x*x for x in values): the reader sees the element in terms of the list's symbol
            (loop, *more) = node.generators
            if more or loop.ifs or not isinstance(loop.target, ast.Name):
                raise TypeError("a formula takes every element of one list")
            inner = _Printer({**self.symbols, loop.target.id: self.text(loop.iter) + "ᵢ"})
            return inner.text(node.elt)
        raise TypeError(f"a formula may not contain {type(node).__name__}")

    def _call(self, node: ast.Call) -> str:
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if name not in _ALLOWED_CALLS:
            raise TypeError(f"a formula may not call {name}")
        if node.keywords:
            raise TypeError(f"a formula calls {name} with nothing but operands")
        inside = ", ".join(self.text(argument) for argument in node.args)
        return {"sum": "Σ(", "sqrt": "√("}.get(name, f"{name}(") + inside + ")"


def finite(value: float) -> bool:
    """Whether a result may leave the service."""
    return math.isfinite(value)


def cited(*modules: object) -> dict[Citation, None]:
    """Every source that the formulas of these modules name, in the order of their declaration.

    As keys: what is merged from one dictionary into another is not hashed again, and an answer names some sixty sources.
    """
    found: dict[Citation, None] = {}
    for module in modules:
        for item in vars(module).values():
            record = getattr(item, "formula", None)
            if isinstance(record, Formula):
                found[record.citation] = None
    return found
