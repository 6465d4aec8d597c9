"""Read a printed formula as a reader would: a second, independent way from the line on paper to a number."""

from __future__ import annotations

import math
import re

FUNCTIONS = {
    "min": min,
    "max": max,
    "abs": abs,
    "exp": math.exp,
    "log": math.log,
    "ceil": math.ceil,
    "floor": math.floor,
    "sin": math.sin,
    "cos": math.cos,
    "tan": math.tan,
    "acos": math.acos,
    "radians": math.radians,
    "√": math.sqrt,
}
NUMBER = re.compile(r"\d+\.?\d*(e[-+]?\d+)?")


def work_out(line: str, values: dict[str, float | tuple[float, ...]]) -> float:
    """The number on the right of `=` with these values for the symbols. Raises ValueError for what cannot be read.

    School rules: power before product before sum, equal ranks from left to right, powers from right to left.
    """
    return _Reader(line.partition(" = ")[2], values).whole()


class _Reader:
    def __init__(self, text: str, values: dict):
        self.tokens = list(_tokens(text, values))
        self.values = values
        self.place = 0
        self.index: int | None = None

    def whole(self) -> float:
        result = self.sum()
        if self.place != len(self.tokens):
            raise ValueError(f"left over: {self.tokens[self.place :]}")
        return result

    def next(self, *wanted: str) -> str | None:
        if self.place < len(self.tokens) and self.tokens[self.place] in wanted:
            self.place += 1
            return self.tokens[self.place - 1]
        return None

    def sum(self) -> float:
        result = self.product()
        while sign := self.next("+", "−"):
            other = self.product()
            result = result + other if sign == "+" else result - other
        return result

    def product(self) -> float:
        result = self.signed()
        while sign := self.next("×", "/"):
            other = self.signed()
            result = result * other if sign == "×" else result / other
        return result

    def signed(self) -> float:
        return -self.signed() if self.next("−") else self.power()

    def power(self) -> float:
        base = self.atom()
        return base ** self.signed() if self.next("^") else base

    def atom(self):
        if self.next("("):
            result = self.sum()
            self.close()
            return result
        token = self.tokens[self.place]
        self.place += 1
        if NUMBER.fullmatch(token):
            return float(token)
        if token == "π":
            return math.pi
        if token == "Σ":
            return self.added()
        if token in FUNCTIONS and self.next("("):
            return self.called(FUNCTIONS[token])
        value = self.values[token]
        if isinstance(value, tuple) and self.next("ᵢ"):
            return value[self.index]
        return value

    def called(self, function) -> float:
        given = [self.sum()]
        while self.next(","):
            given.append(self.sum())
        self.close()
        flat = [part for item in given for part in (item if isinstance(item, tuple) else (item,))]
        return function(flat) if function in (min, max) else function(*flat)

    def added(self) -> float:
        self.next("(")
        start = self.place
        names = {name for name in self.tokens[start:] if isinstance(self.values.get(name), tuple)}
        total, end = 0.0, start
        for index in range(len(self.values[names.pop()])):
            self.place, self.index = start, index
            term = self.sum()
            total += term[index] if isinstance(term, tuple) else term
            end = self.place
        self.place = end
        self.close()
        return total

    def close(self) -> None:
        if not self.next(")"):
            raise ValueError("a parenthesis is not closed")


def _tokens(text: str, values: dict):
    symbols = sorted(values, key=len, reverse=True)
    place = 0
    while place < len(text):
        if text[place] == " ":
            place += 1
            continue
        # Functions before symbols only where a parenthesis follows, so that a symbol may share a first letter.
        for word in (*(name for name in FUNCTIONS if text.startswith(name + "(", place)), *symbols):
            if text.startswith(word, place):
                break
        else:
            found = NUMBER.match(text, place)
            word = found[0] if found else text[place]
            if not found and word not in "+−×/^(),ᵢπΣ":
                raise ValueError(f"not a sign of formulas: {word!r}")
        yield word
        place += len(word)
