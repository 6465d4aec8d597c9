"""What a start takes, from whatever is known of it."""

from __future__ import annotations

from ...reference.case import Case
from ...working import Citation
from .model import CodeLetter, LockedRotor, MeasuredStart, SoftStart, Start, StartKind, StartMultiple
from .starts import softened, start_by_code_letter, start_by_locked_rotor, start_by_multiple


class Starts:
    """What was learnt of starts on the way through the list: whose is not known, and which tables were read."""

    __slots__ = ("unknown", "sources")

    def __init__(self) -> None:
        self.unknown: dict[str, list[str]] = {}
        """Ids of loads by the kind of motor that they count as."""
        self.sources: dict[Citation, None] = {}


def start_of(start: Start, apparent_va: float, starts: Starts, case: Case) -> float:
    """Apparent power at the start of one appliance that starts with more than it runs on; of a band the upper end counts."""
    kind = type(start)
    if kind is StartMultiple:
        return start_by_multiple(start.start_multiple, apparent_va)
    if kind is MeasuredStart:
        return start.start_va
    if kind is StartKind:
        return start_by_multiple(_upper_end("start_multiples", start.kind, starts, case), apparent_va)
    if kind is LockedRotor:
        return _softened(start_by_locked_rotor(start.locked_rotor_a, start.voltage_v), start.soft_start, case)
    if kind is CodeLetter:
        band = _upper_end("code_letters", start.letter, starts, case)
        return _softened(start_by_code_letter(start.horsepower_hp, band), start.soft_start, case)
    raise TypeError(f"not a start: {start!r}")


def _upper_end(name: str, key: str, starts: Starts, case: Case) -> float:
    table = case.library.tables[name]
    row = table.row(key)
    starts.sources[table.citation_of_row[row]] = None
    return table.columns["high"][row]


def _softened(start_va: float, soft: SoftStart | None, case: Case) -> float:
    if soft is None:
        return start_va
    return softened(start_va, case.assume("soft_start_factor", soft.soft_start_factor))
