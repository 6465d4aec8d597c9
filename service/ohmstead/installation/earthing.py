"""Where exposed metal and the negative of the bank meet the earth: studs, sizes, and the conductor to the electrode."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..electrical.conductors.model import Circuit as Sized
from ..working import at_least
from .model import EARTH_POINTS, Fastening, Terminal

if TYPE_CHECKING:
    from .assembly import Assembly

_STUD, _CLAMP = Fastening("stud", "M8"), Fastening("clamp")
_BUS = ("earth-bus", "Earth bus bar", "equipment bay")
_POINTS = {"chassis": ("chassis", "Chassis", "frame"), "electrode": _BUS, "earth-bus": _BUS}
"""Kind, title and place of what carries the studs, by the practice's earth point."""


class Earth:
    """The earth point of an installation in the making: the chassis of a vehicle, or an earth bus bar."""

    def __init__(self, assembly: Assembly):
        self.a = assembly
        self.kind, self.title, self.place = _POINTS[assembly.practice.earth_point]
        assert self.kind in EARTH_POINTS
        self._studs: list[str] = []

    def stud(self, name: str) -> str:
        """A stud of its own on the earth point."""
        stud = f"{self.kind}.{name}"
        if name not in self._studs:
            self._studs.append(name)
            self.a.fastened[stud] = Terminal(name, "earth", "used", _STUD)
        return stud

    def case(self, terminal: str, sized: Sized, circuit_class: str) -> list[str]:
        """Join a metal case to the earth point.

        Where the practice asks for a grounding conductor with the circuit, it is that one, and returned as part of the
        circuit. Elsewhere it is a bond of its own that a fault from the positive to the case can blow the fuse through.
        """
        a, name = self.a, terminal.rpartition(".")[0]
        if sized.grounding_size is not None:
            return [a.wire(terminal, self.stud(name), "earth", sized, a.length(circuit_class), size=self.on_stud(sized.grounding_size))]
        device = sized.device.rating_a if sized.device is not None else None
        a.wire(terminal, self.stud(name), "earth", None, a.length("frame-bond"), size=self.bond(device))
        return []

    def bond(self, device_a: float | None = None) -> str:
        """Smallest bond of exposed metal: 8 AWG, or what a device of this rating asks for where that is more."""
        a, table = self.a, self.a.case.library.tables["nec_250_122"]
        needed = a.case.constant("chassis_bond_minimum_cmil")
        if device_a is not None:
            row = min(table.first_at_least("device_up_to_a", device_a), table.rows - 1)
            needed = table.columns["area_cmil"][row] if not at_least(needed, table.columns["area_cmil"][row]) else needed
        sizes = a.case.library.tables["awg_conductors"]
        return self.on_stud(sizes.columns["size"][sizes.first_at_least("area_cmil", needed)])

    def on_stud(self, size: str) -> str:
        """The size itself, or the next larger one for which lugs are made."""
        sizes, lugs = self.a.case.library.tables["awg_conductors"], self.a.case.library.tables["lugs"].index
        row = sizes.row(size)
        while row < sizes.rows - 1 and sizes.columns["size"][row] not in lugs:
            row += 1
        return sizes.columns["size"][row]

    def negative(self, terminal: str, sized: Sized) -> None:
        """Join the bank's negative to the earth point: 8 AWG at least, and not below the bank's own lead."""
        a, sizes = self.a, self.a.case.library.tables["awg_conductors"]
        least = sizes.first_at_least("area_cmil", a.case.constant("chassis_bond_minimum_cmil"))
        row = max(least, sizes.row(sized.conductor.size))
        a.wire(terminal, self.stud("bank"), "earth", sized, a.length("frame-bond"), size=sizes.columns["size"][row],
               sets=sized.conductor.sets if row > least else 1)

    def finish(self) -> None:
        """Write the earth point down with every stud that was asked for, and lead an earth bus bar to its electrode."""
        a, electrode = self.a, "grounding-electrode"
        if not self._studs:
            return
        leads = a.practice.earth_point == "electrode"
        if leads:
            self.stud("electrode")
        first, *rest = self._studs
        origin = {"origin": "existing", "verdict": "keep"} if self.kind == "chassis" else {"generic": True}
        a.add(self.kind, self.kind, self.title, self.place, [(name, "earth") for name in self._studs],
              paths=tuple(a.through(first, name) for name in rest), fastening=_STUD, **origin)
        if leads:
            a.add(electrode, electrode, "Grounding electrode, a rod", "outside", (("clamp", "earth"),), fastening=_CLAMP, origin="existing", verdict="keep")
            sizes = a.case.library.tables["awg_conductors"]
            row = sizes.first_at_least("area_cmil", a.case.constant("rod_conductor_cmil"))
            size = sizes.columns["size"][row]
            a.case.note("recalled-value-decides", f"/installation/conductors/{len(a.conductors)}", check="grounding electrode conductor",
                        value=f"{size} AWG to a rod, NEC 250.66(A) and 250.166(C)")
            a.wire(f"{self.kind}.electrode", f"{electrode}.clamp", "earth", None, a.length("electrode"), size=size)
