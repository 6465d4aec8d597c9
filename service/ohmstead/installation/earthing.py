"""Where exposed metal and the negative of the bank meet the earth: studs, sizes, and the conductor to the electrode."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..electrical.conductors.model import Circuit as Sized
from ..reference.practices import SIZES, RuleSource
from ..working import at_least
from .model import EARTH_POINTS, Fastening, Terminal

if TYPE_CHECKING:
    from .assembly import Assembly

_STUD, _CLAMP = Fastening("stud", "M8"), Fastening("clamp")
_BUS = ("earth-bus", "Earth bus bar", "equipment bay")
_POINTS = {"chassis": ("chassis", "Chassis", "frame"), "electrode": _BUS, "earth-bus": _BUS}
"""Kind, title and place of what carries the studs, by the practice's earth point."""


_BY_DEVICE = ("at-least", "by-battery-device")
"""Strategies of the practice for cases by which the device of the circuit sets the size."""


class Earth:
    """The earth point of an installation in the making: the chassis of a vehicle, or an earth bus bar."""

    def __init__(self, assembly: Assembly):
        self.a = assembly
        self.kind, self.title, self.place = _POINTS[assembly.practice.earth_point]
        assert self.kind in EARTH_POINTS
        self.rules = {rule.name: rule for rule in assembly.case.library.bonding[assembly.practice.name].conductors}
        self.source = assembly.practice.source("bank-main")
        """Rules that loose bonds take their sizes and lugs from."""
        self._studs: list[str] = []
        self._joint: str | None = None
        self._own: list[str] = []
        """Bonds for which no document that was seen gives a size."""

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
        circuit. Elsewhere it is a bond of its own that a fault from the positive to the case can blow the fuse through:
        by the device where the practice goes by it, else as large as the conductors that the device protects.
        """
        a, name = self.a, terminal.rpartition(".")[0]
        if sized.grounding_size is not None:
            size = self.on_stud(sized.grounding_size, a.practice.source(circuit_class))
            return [a.wire(terminal, self.stud(name), "earth", sized, a.length(circuit_class), size=size)]
        rule, row = self.rules["case-bond"], sized.conductor
        if rule.strategy in _BY_DEVICE or row is None:
            size, sets = self._by_device(sized.device.rating_a if sized.device is not None else None), 1
        elif rule.strategy == "one-size-below-device-lead":
            sizes = self.source.sizes
            least = sizes.row(rule.least) if rule.least is not None else 0
            size, sets = self.on_stud(sizes.columns["size"][max(least, sizes.row(row.size) - 1)], self.source), row.sets
        else:
            size, sets = row.size, row.sets
            self._by_own_choice(rule.title)
        a.wire(terminal, self.stud(name), "earth", None, a.length("frame-bond"), size=size, sets=sets)
        return []

    def panel(self, terminal: str) -> None:
        """Join the frame of a panel or a case of the alternating-current side: as the largest protective conductor that ends there, and not below the practice's least."""
        a, id = self.a, terminal.rpartition(".")[0]
        ends = [wire.size for wire in a.conductors if wire.function == "earth" and wire.size is not None and f"{id}." in (wire.start[: len(id) + 1], wire.end[: len(id) + 1])]
        size = max([self._least(), *ends], key=lambda name: self._area(name))
        a.wire(terminal, self.stud(id), "earth", None, a.length("frame-bond"), size=self.on_stud(size, self.source))

    def _least(self) -> str:
        """Smallest bond of exposed metal."""
        rule = next((self.rules[name] for name in ("metal-parts", "chassis-bond") if name in self.rules), None)
        if rule is not None and rule.least is not None:
            return rule.least
        if self.rules["case-bond"].strategy in _BY_DEVICE:
            return self._by_device(None)
        return self.source.smallest or self.source.sizes.columns["size"][0]

    def _by_device(self, device_a: float | None) -> str:
        """8 AWG, or what a device of this rating asks for where that is more."""
        a, table = self.a, self.a.case.library.tables["nec_250_122"]
        needed = a.case.constant("chassis_bond_minimum_cmil")
        if device_a is not None:
            row = min(table.first_at_least("device_up_to_a", device_a), table.rows - 1)
            needed = table.columns["area_cmil"][row] if not at_least(needed, table.columns["area_cmil"][row]) else needed
        sizes = self.source.sizes
        return self.on_stud(sizes.columns["size"][sizes.first_at_least("area_cmil", needed)], self.source)

    def on_stud(self, size: str, source: RuleSource) -> str:
        """The size itself, or the next larger one for which lugs are made."""
        sizes = source.sizes
        made = source.lugs.columns["made_studs"]
        row = sizes.row(size)
        while row < sizes.rows - 1 and not (sizes.columns["size"][row] in source.lugs.index and made[source.lugs.row(sizes.columns["size"][row])]):
            row += 1
        return sizes.columns["size"][row]

    def negative(self, terminal: str, sized: Sized) -> None:
        """Join the bank's negative to the earth point, once.

        On a vehicle and in a building not below the bank's own lead, in the United States 8 AWG at least. On a boat as the
        largest conductor that ends on the earth bus bar, which is known at the end.
        """
        a, sizes = self.a, self.source.sizes
        if "earth-to-negative" in self.rules:
            self._joint = terminal
            self.stud("bank")
            return
        row = sizes.row(sized.conductor.size)
        least = sizes.first_at_least("area_cmil", a.case.constant("chassis_bond_minimum_cmil")) if self.rules["case-bond"].strategy in _BY_DEVICE else 0
        if self.rules["case-bond"].strategy not in _BY_DEVICE:
            rule = self.rules["case-bond"]
            self._by_own_choice(rule.title if "negative" in rule.title else f"Battery negative to {self.title.lower()}")
        a.wire(terminal, self.stud("bank"), "earth", sized, a.length("frame-bond"), size=sizes.columns["size"][max(least, row)],
               sets=sized.conductor.sets if row > least else 1)

    def _by_own_choice(self, title: str) -> None:
        if title not in self._own:
            self._own.append(title)

    def _largest(self) -> tuple[str, int]:
        """The largest conductor that ends on the earth point, with how many of it; the least one where none does."""
        prefix = f"{self.kind}."
        ends = [(wire.size, wire.sets) for wire in self.a.conductors if wire.function == "earth" and wire.size is not None
                and (wire.start.startswith(prefix) or wire.end.startswith(prefix))]
        return max(ends, key=lambda end: self._area(end[0]) * end[1], default=(self._least(), 1))

    def _area(self, size: str) -> float:
        """Area of a size of the practice, to compare it with others."""
        source = self.source
        full = source.sizes if size in source.sizes.index else self.a.case.library.tables[SIZES[source.size_system].table]
        return float(full.cell(size, "area_mm2"))

    def finish(self) -> None:
        """Write the earth point down with every stud that was asked for, and lead an earth bus bar to its electrode."""
        a, electrode = self.a, "grounding-electrode"
        if not self._studs:
            return
        if self._joint is not None:
            size, sets = self._largest()
            a.wire(self._joint, self.stud("bank"), "earth", None, a.length("frame-bond"), size=self.on_stud(size, self.source), sets=sets)
        leads = a.practice.earth_point == "electrode"
        if leads:
            self.stud("electrode")
        first, *rest = self._studs
        origin = {"origin": "existing", "verdict": "keep"} if self.kind == "chassis" else {"generic": True}
        a.add(self.kind, self.kind, self.title, self.place, [(name, "earth") for name in self._studs],
              paths=tuple(a.through(first, name) for name in rest), fastening=_STUD, **origin)
        if leads:
            a.add(electrode, electrode, "Grounding electrode, a rod", "outside", (("clamp", "earth"),), fastening=_CLAMP, origin="existing", verdict="keep")
            size, sets = self._to_electrode()
            a.wire(f"{self.kind}.electrode", f"{electrode}.clamp", "earth", None, a.length("electrode"), size=size, sets=sets)
        if self._own:
            a.case.note("bond-by-own-choice", "/installation/conductors", conductors="; ".join(self._own))

    def _to_electrode(self) -> tuple[str, int]:
        """To a rod by the rule of the practice; where no figure was seen, as the largest conductor that ends on the bus bar."""
        a, rule = self.a, self.rules["electrode-conductor"]
        if rule.strategy == "no-figure":
            self._by_own_choice(rule.title)
            return self._largest()
        a.case.note("recalled-value-decides", f"/installation/conductors/{len(a.conductors)}", check="grounding electrode conductor",
                    value=f"{rule.rod} AWG to a rod, NEC 250.66(A) and 250.166(C)")
        return rule.rod, 1
