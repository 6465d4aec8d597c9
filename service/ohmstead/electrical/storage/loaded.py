"""Whether the equipment cuts off before the depth of discharge is reached, because the load pulls the voltage down."""

from __future__ import annotations

from msgspec import Struct

from ...nomenclature import TERMS
from ...reference.case import Case
from ...reference.citations import cite
from ...working import Check, Rule
from .chemistry import Properties
from .model import BankRequest, Need
from .resting import cell_at_charge, rests_known, string_under_load
from .resting_formulas import charge_left, drop_left_to_bank, voltage_at_current

BEFORE_CUT_OFF = Rule(
    "voltage-before-cut-off", TERMS["loaded_v"], "at least", TERMS["cut_off_v"], cite("design-arithmetic", "rest voltage less the drop"),
)


class Sag(Struct, frozen=True):
    """What the voltage under load of strings of one unit comes from."""

    open_cell_v: float
    cells: float
    current_a: float
    string_ohm: float
    path_ohm: float
    cut_off_v: float

    def left_to_bank(self) -> float:
        """Voltage that the bank itself may lose."""
        return drop_left_to_bank(self.open_cell_v, self.cells, self.cut_off_v, self.current_a, self.path_ohm)

    def check(self, strings: float) -> Check:
        """The voltage of so many strings against the cut-off."""
        loaded = voltage_at_current(self.open_cell_v, self.cells, self.current_a, self.string_ohm, strings, self.path_ohm)
        return BEFORE_CUT_OFF.check(loaded, self.cut_off_v)


def sag_of(
    cells: float, capacity_ah: float, current_a: float | None, request: BankRequest, need: Need, known: Properties, case: Case,
) -> Sag | None:
    """None where no rest voltages of the chemistry are known. The cut-off is given; resistance is at its high end."""
    if not rests_known(known.chemistry, case):
        return None
    if current_a is None:
        current_a = case.chosen(0.0, "discharge_current_a", "no continuous current is asked")
    path = request.path_resistance_ohm
    if path is None:
        path = case.chosen(0.0, "path_resistance_ohm", "nothing is said of the leads")
    return Sag(
        cell_at_charge(known.chemistry, charge_left(need.depth_of_discharge), case), cells, current_a,
        string_under_load(known, cells, capacity_ah, "high", case), path, request.cut_off_v,
    )
