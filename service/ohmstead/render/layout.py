"""Lines of a page of plain text: headings, labelled items, wrapped paragraphs, tables."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence

WIDTH = 96
_LABEL = 18
_JOINT = "\x1f"
_NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:A|V|W|VA|Wh|Ah|m|ft|in|°C|°F|K|AWG|kcmil|h|%|days|kg|lb)(?![A-Za-z0-9]))")


def clean(text: str) -> str:
    """A text from a request, fit for a terminal: what would move the cursor or turn the line around is a question mark."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def word(name: str) -> str:
    """A name of the service in plain words.

    >>> word("ampacity-at-terminals")
    'ampacity at terminals'
    """
    return name.replace("-", " ").replace("_", " ")


def listed(names: Iterable[str]) -> str:
    """Names in a row, or `none`."""
    return ", ".join(names) or "none"


def heading(title: str) -> list[str]:
    """A section begins."""
    return ["", clean(title).upper(), "-" * WIDTH]


def paragraph(text: str, indent: int = 2, hanging: int = 0) -> list[str]:
    """A text wrapped to the page; its later lines stand `hanging` further in."""
    return _wrapped(text, " " * indent, " " * (indent + hanging))


def item(label: str, text: str, indent: int = 2) -> list[str]:
    """A label and what belongs to it, wrapped beside it; a long label gets a line of its own."""
    label, margin = clean(label), " " * (indent + _LABEL)
    if len(label) < _LABEL:
        return _wrapped(text, f"{' ' * indent}{label:<{_LABEL}}", margin) or [f"{' ' * indent}{label}"]
    return [*paragraph(label, indent), *_wrapped(text, margin, margin)]


def numbered(number: int, text: str, *below: str) -> list[str]:
    """An entry of a numbered list and the lines that belong to it."""
    made = _wrapped(text, f"{number:>4}. ", " " * 6)
    for extra in below:
        made += paragraph(extra, 6)
    return made


def _wrapped(text: str, first: str, later: str) -> list[str]:
    joined = _NUMBER_AND_UNIT.sub(_JOINT, clean(text))
    lines = textwrap.wrap(joined, WIDTH, initial_indent=first, subsequent_indent=later, break_on_hyphens=False)
    return [line.replace(_JOINT, " ") for line in lines]


def table(columns: Sequence[str], rows: Iterable[Sequence[str]], below: Sequence[Sequence[str]] = (), indent: int = 2) -> list[str]:
    """Columns with a head: `<` before its name sets a column to the left, all others stand to the right.

    A first cell that is too long for the page gets a line of its own. `below` are the texts that belong to
    each row, wrapped under it. Where numbers are so long that no table fits, each row becomes a sentence.
    """
    heads = [column.removeprefix("<") for column in columns]
    cells = [[clean(cell) for cell in row] for row in rows]
    widths = [max(map(len, (head, *(row[position] for row in cells)))) for position, head in enumerate(heads)]
    room = WIDTH - indent - sum(widths[1:]) - 2 * (len(widths) - 1)
    widths[0] = min(widths[0], room)
    fits = widths[0] >= len(heads[0])

    def line(texts: Sequence[str]) -> str:
        padded = [
            text.ljust(width) if column.startswith("<") else text.rjust(width)
            for text, width, column in zip(texts, widths, columns, strict=True)
        ]
        return (" " * indent + "  ".join(padded)).rstrip()

    lines = [line(heads)] if fits else []
    for number, row in enumerate(cells):
        if not fits:
            lines += paragraph("; ".join(f"{head} {cell}" for head, cell in zip(heads, row, strict=True) if cell), indent, 2)
        elif len(row[0]) > widths[0]:
            lines += [*paragraph(row[0], indent), line(["", *row[1:]])]
        else:
            lines.append(line(row))
        if below:
            for text in below[number]:
                lines += paragraph(text, indent + 2, 2)
    return lines
