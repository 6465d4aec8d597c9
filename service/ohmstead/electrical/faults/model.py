"""What is known of a source's short-circuit current."""

from __future__ import annotations

from msgspec import Struct


class Fault(Struct, frozen=True):
    """Prospective short-circuit current at a point. `proven` only when it rests on a maker's figure."""

    current_a: float
    proven: bool
