"""Draw a planned installation from its needs."""

from __future__ import annotations

from ..reference.case import Case
from .alternating import AlternatingSide
from .assembly import Assembly, Drawn
from .devices import remark_devices
from .direct import DirectSide
from .model import Installation
from .needs import Needs, modes_of


def build(needs: Needs, case: Case) -> tuple[Installation, tuple[Drawn, ...]]:
    """The wiring graph and the sizing of each of its circuits, in the order in which they were drawn."""
    assembly = Assembly(needs.practice, modes_of(needs), needs.lengths, case)
    direct, alternating = DirectSide(needs, assembly), AlternatingSide(needs, assembly)
    alternating.place()
    direct.draw()
    alternating.draw()
    direct.lock_outs()
    remark_devices(assembly.drawn, case)
    return assembly.finish(), tuple(assembly.drawn)
