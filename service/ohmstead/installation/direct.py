"""Draw the direct-current side: bank, main fuse and disconnect, shunt, bus bars, chargers, panel and its branches."""

from __future__ import annotations

from msgspec.structs import replace

from ..electrical.conductors.formulas import current_from_power, loop_resistance, resistance_at
from ..electrical.conductors.model import Circuit as Sized
from ..electrical.faults.model import Fault
from ..electrical.faults.sizing import behind_cable
from ..electrical.sources.model import Supply
from ..working import at_least
from . import branches
from .assembly import BANK, BAY, CLAMP, LARGE_STUD, PANEL, Assembly, Drawn
from .charging import draw_alternators, draw_controller
from .formulas import larger_current, node_sum, shunt_needed, string_share
from .model import Network, Protection, Ratings
from .needs import Needs

_NAMED = {"switch_ratings": "battery switches", "bus_bar_ratings": "bus bars", "shunt_ratings": "shunts"}
_COLD_C = 20.0
"""Conductor temperature for fault currents: a cold cable passes more."""


def _most(supply: Supply) -> float:
    """Current that a supply can charge with, whatever is programmed; without a charger what the bank takes."""
    return supply.charging.charger_setting_a if supply.charger is None else supply.charger.charger_current_a


class DirectSide:
    """The direct-current side in the making."""

    def __init__(self, needs: Needs, assembly: Assembly):
        self.needs = needs
        self.a = assembly
        bank = needs.bank
        self.network = Network("dc", "dc", needs.cut_off_v, bank.voltages.highest_v)
        assembly.networks.append(self.network)
        self.bus_fault: Fault = bank.fault
        self.bus_lowest_v = self.network.lowest_v
        self.main: Drawn | None = None
        self._beyond: set[tuple[str, float]] = set()
        self.total = self._total()
        self.ripple = needs.ripple_power_factor if needs.inverter_current_a is not None else None
        self.main_sized, self.main_asked = assembly.size(
            "bank-main", self.total, self.network, bank.fault, both_ways=True, ripple_power_factor=self.ripple, nominal_v=needs.nominal_v)

    def draw(self) -> None:
        """Everything from the units' posts to the last branch."""
        needs = self.needs
        landings = ["main"]
        if needs.inverter is not None and needs.inverter.rating is not None:
            landings.append("inverter")
        landings += [f"controller-{number}" for number in range(1, self._controllers() + 1)]
        landings += [f"dc-dc:{supply.id}" for supply in needs.supplies if supply.dc_dc is not None and supply.charger is not None]
        if self._stand_alone_charger() is not None:
            landings.append("charger")
        places = branches.places_of(self)
        landings += places.landings
        self._bus("bus-positive", "Positive bus bar", "dc-positive", [*landings, "spare"])
        live = [f"live:{load.id}" for load in places.live]
        self._bus("bus-negative", "Negative bus bar", "dc-negative", [*landings, *live, "earth", "spare"])
        self._bank()
        self._inverter()
        self._controllers_and_arrays()
        draw_alternators(self)
        self._charger()
        branches.draw(self, places)
        self._ground()

    # -- bank -----------------------------------------------------------------------------------------

    def _bank(self) -> None:
        needs, a, bank = self.needs, self.a, self.needs.bank
        unit, series, parallel = bank.unit, bank.series, bank.parallel
        main, asked = self.main_sized, self.main_asked
        ratings = Ratings(
            chemistry=bank.chemistry, voltage_v=unit.voltage_v, capacity_ah=unit.capacity_ah, current_a=unit.current_a,
            short_circuit_a=unit.fault_current_a, mass_kg=unit.mass_kg, lowest_charge_c=bank.lock_out_below_c,
            to_confirm=("current", "short_circuit") if unit.generic else (),
        )
        terminals = [("positive", "dc-positive"), ("negative", "dc-negative")]
        if needs.lock_out:
            terminals.append(("permit", "control"))
        kept = bank.units - bank.new_units
        for number in range(1, bank.units + 1):
            origin = {"origin": "existing", "verdict": "keep"} if number <= kept else {}
            a.add(f"unit-{number}", "battery-unit", unit.name, BANK, terminals, ratings=ratings, fastening=LARGE_STUD, generic=unit.generic, **origin)
        a.add("main-disconnect", "disconnect", "Bank disconnect", BAY, (("a", "dc-positive"), ("b", "dc-positive")),
              paths=(a.through("a", "b", opens=True),), fastening=LARGE_STUD,
              ratings=Ratings(current_a=self._made("switch_ratings", main), highest_voltage_v=self.network.highest_v, to_confirm=("current", "voltage")), generic=True)
        a.add("shunt", "shunt", "Shunt of the battery monitor", BANK, (("bank", "dc-negative"), ("system", "dc-negative"), ("sense", "sense")),
              paths=(a.through("bank", "system"),), fastening=LARGE_STUD, generic=True, ratings=Ratings(current_a=self._shunt(), to_confirm=("current",)))
        a.add("battery-monitor", "battery-monitor", "Battery monitor", PANEL, (("shunt", "sense"), ("supply", "sense")), fastening=None, generic=True)

        positive, negative = "unit-1.positive", f"unit-{series}.negative"
        if parallel > 1:
            positive, negative = self._strings()
        else:
            self._series_links(0, main)
        wires = []
        if main.outcome == "sized" and a.device("main-fuse", main, BANK, "main"):
            third, half = a.piece("bank-main", 3), a.piece("bank-main", 2)
            wires = [
                a.wire(positive, "main-fuse.a", "dc-positive", main, third), a.wire("main-fuse.b", "main-disconnect.a", "dc-positive", main, third),
                a.wire("main-disconnect.b", "bus-positive.main", "dc-positive", main, third),
                a.wire(negative, "shunt.bank", "dc-negative", main, half), a.wire("shunt.system", "bus-negative.main", "dc-negative", main, half),
            ]
            self.bus_fault = self.behind(bank.fault, main, a.length("bank-main"))
            self.bus_lowest_v = main.load_voltage_v
        self.main = a.draw("bank-main", "bank-main", "dc", wires, main, asked, both_ways=True, source_at=("from",),
                           protected_by=(Protection("main-fuse", "from"),) if wires else (), titles=("bank", "bus bars"))
        a.lead("shunt.sense", "battery-monitor.shunt", "sense")
        # The monitor is fed ahead of every switch, by a fused sensing lead, or it would lose count when the bank is off.
        a.lead(positive, "battery-monitor.supply", "sense", fuse_a=a.case.constant("sensing_fuse_a"))

    def _strings(self) -> tuple[str, str]:
        """Every string on its own fuse to a pair of bus bars with equal leads; the bus bars' main studs."""
        needs, a, bank = self.needs, self.a, self.needs.bank
        names = [f"string-{number}" for number in range(1, bank.parallel + 1)]
        self._bus("bank-bus-positive", "Bank bus bar, positive", "dc-positive", ["main", *names])
        self._bus("bank-bus-negative", "Bank bus bar, negative", "dc-negative", ["main", *names])
        strings = a.case.chosen(bank.parallel, "strings", "strings of the bank")
        share = string_share(self.total, strings, bank.currents.sharing_factor)
        sized, asked = a.size("bank-unit", share, self.network, bank.fault, both_ways=True, ripple_power_factor=self.ripple, nominal_v=needs.nominal_v)
        length, piece = a.length("bank-unit"), a.piece("bank-unit", 3 if bank.parallel > 2 else 2)
        for number, name in enumerate(names):
            first, last = number * bank.series + 1, (number + 1) * bank.series
            self._series_links(number, sized)
            wires: list[str] = []
            fuses: tuple[Protection, ...] = ()
            if sized.outcome == "sized" and a.device(f"fuse-{name}", sized, BANK, name):
                wires = [
                    a.wire(f"unit-{first}.positive", f"fuse-{name}.a", "dc-positive", sized, piece),
                    a.wire(f"unit-{last}.negative", f"bank-bus-negative.{name}", "dc-negative", sized, length),
                ]
                fuses = (Protection(f"fuse-{name}", "from"),)
                end = f"fuse-{name}.b"
                if bank.parallel > 2 and a.device(f"fuse-{name}-bus", sized, BANK, f"{name}, bus end"):
                    # With three strings or more the others together can overload this one's lead.
                    wires.append(a.wire(end, f"fuse-{name}-bus.a", "dc-positive", sized, piece))
                    fuses += (Protection(f"fuse-{name}-bus", "to"),)
                    end = f"fuse-{name}-bus.b"
                wires.append(a.wire(end, f"bank-bus-positive.{name}", "dc-positive", sized, piece))
            why = "" if bank.parallel > 2 else "the other string feeds this end only through its own fuse of the same rating"
            a.draw(name, "bank-unit", "dc", wires, sized, asked, both_ways=True, source_at=("from", "to"), protected_by=fuses,
                   unprotected_why=why, titles=(f"string {number + 1}", "bank bus bars"))
        return "bank-bus-positive.main", "bank-bus-negative.main"

    def _series_links(self, string: int, sized: Sized) -> None:
        bank = self.needs.bank
        for position in range(1, bank.series):
            number = string * bank.series + position
            if sized.outcome == "sized":
                self.a.wire(f"unit-{number}.negative", f"unit-{number + 1}.positive", "dc-positive", sized, self.a.length("bank-unit"))

    def _total(self) -> float:
        """The larger of everything that can be drawn at once and everything that can be charged at once.

        Chargers count with their ratings, since a setting protects nothing; of the alternating-current supplies one is connected at a time.
        """
        needs, case = self.needs, self.a.case
        drawn = [value for value in (needs.inverter_current_a, self.direct_current(needs.direct_running_w)) if value is not None]
        charging = [group.controller.output_rating_a for group in needs.groups for _ in range(int(group.controllers))]
        rated = [(supply, _most(supply)) for supply in needs.supplies if supply.charging is not None]
        alternating = [most for supply, most in rated if supply.alternating is not None]
        charging += [max(alternating)] if alternating else []
        charging += [most for supply, most in rated if supply.alternating is None]
        out = node_sum(*drawn) if drawn else case.chosen(0.001, "current_a", "nothing draws on the bank")
        return larger_current(out, node_sum(*charging)) if charging else out

    def direct_current(self, power_w: float | None) -> float | None:
        """Current of a power on the lowest voltage of the bank; None for no power."""
        if not power_w:
            return None
        return current_from_power(power_w, self.a.case.assume("wiring_efficiency"), self.needs.cut_off_v)

    def behind(self, fault: Fault, sized: Sized, length_m: float) -> Fault:
        """What is left of a fault at the far end of a circuit."""
        case, source = self.a.case, self.main_asked.source
        r75 = source.sizes.cell(sized.conductor.size, "resistance_75c")
        cold = resistance_at(r75, source.copper_coefficient, case.chosen(_COLD_C, "conductor_temperature_c", "a cold cable passes the larger fault"))
        run = case.chosen(float(length_m), "run_m", "length of the run")
        sets = case.chosen(sized.conductor.sets, "sets", "conductors in parallel")
        return behind_cable(fault, self.network.highest_v, loop_resistance(cold, run, sets))

    def _bus(self, id: str, title: str, function, studs: list[str]) -> None:
        """A bus bar that carries what the main device lets through."""
        paths = tuple(self.a.through(studs[0], stud) for stud in studs[1:])
        ratings = Ratings(current_a=self._made("bus_bar_ratings", self.main_sized), to_confirm=("current",))
        self.a.add(id, "bus-bar", title, BAY, [(stud, function) for stud in studs], paths=paths, fastening=LARGE_STUD, generic=True, ratings=ratings)

    def _made(self, table: str, sized: Sized) -> float:
        """Smallest rating made that the circuit's device protects; where none is, which is said, what the device lets through."""
        needed = sized.device.rating_a if sized.device is not None else sized.thermal_current_a
        return self._first(table, "rating_a", needed)

    def rate_switch(self, switch: str, fuses: list[str]) -> None:
        """Give a switch the smallest rating made that the largest of these fuses protects."""
        equipment = self.a.equipment
        ratings = [equipment[fuse].ratings.current_a for fuse in fuses if fuse in equipment]
        if ratings:
            rated = replace(equipment[switch].ratings, current_a=self._first("switch_ratings", "rating_a", max(ratings)), highest_voltage_v=self.network.highest_v)
            equipment[switch] = replace(equipment[switch], ratings=rated)

    def _shunt(self) -> float:
        return self._first("shunt_ratings", "rating_a", shunt_needed(self.total, self.a.case.assume("shunt_share")))

    def _first(self, name: str, column: str, needed: float) -> float:
        """Smallest rating made at or above what is needed; where the usual ones end, which is said, what is needed itself."""
        table = self.a.case.library.tables[name]
        row = table.first_at_least(column, needed)
        if row < table.rows:
            rated = table.columns["voltage_v"][row] if "voltage_v" in table.columns else None
            if rated is not None and not at_least(rated, self.network.highest_v):
                self.a.case.note("switch-voltage-low", "", what=_NAMED[name], rated=float(rated), highest=float(self.network.highest_v))
                return needed
            return table.columns[column][row]
        if (name, float(needed)) not in self._beyond:
            self._beyond.add((name, float(needed)))
            self.a.case.note("rating-beyond-series", "", what=_NAMED[name], needed=float(needed), largest=float(table.columns[column][-1]))
        return needed

    # -- what hangs on the bus bars -------------------------------------------------------------------

    def feed(
        self, id: str, circuit_class: str, landing: str, target: str, negative: str, current_a: float, title: str, *,
        both_ways: bool = False, ripple: float | None = None, through: tuple[str, str] | None = None, case: str | None = None, drop_limit: float | None = None,
        start_a: float | None = None,
    ) -> Drawn:
        """A circuit from the bus bars with its device at the bus bar; `through` are the studs of a switch behind it, `case` is a metal case to ground."""
        a = self.a
        sized, asked = a.size(circuit_class, current_a, self.network, self.bus_fault, both_ways=both_ways, ripple_power_factor=ripple,
                               nominal_v=self.needs.nominal_v, lowest_v=self.bus_lowest_v, drop_limit=drop_limit, start_a=start_a)
        wires: list[str] = []
        if sized.outcome == "sized" and a.device(f"fuse-{id}", sized, BAY, title):
            length, piece = a.length(circuit_class), a.piece(circuit_class, 2 if through is None else 3)
            wires.append(a.wire(f"bus-positive.{landing}", f"fuse-{id}.a", "dc-positive", sized, piece))
            end = f"fuse-{id}.b"
            if through is not None:
                wires.append(a.wire(end, through[0], "dc-positive", sized, piece))
                end = through[1]
            wires.append(a.wire(end, target, "dc-positive", sized, piece))
            wires.append(a.wire(negative, f"bus-negative.{landing}", "dc-negative", sized, length))
            if case is not None:
                wires += a.earth.case(case, sized, circuit_class)
        return a.draw(id, circuit_class, "dc", wires, sized, asked, both_ways=both_ways, source_at=("from",),
                      protected_by=(Protection(f"fuse-{id}", "from"),) if wires else (), titles=("bus bars", title))

    def _inverter(self) -> None:
        needs = self.needs
        if needs.inverter is None or needs.inverter.rating is None:
            return
        self.feed("inverter", "inverter-dc", "inverter", "inverter.dc-positive", "inverter.dc-negative", needs.inverter_current_a,
                  "inverter", both_ways=True, ripple=needs.ripple_power_factor, case="inverter.case")

    def _controllers(self) -> int:
        return sum(int(group.controllers) for group in self.needs.groups)

    def _controllers_and_arrays(self) -> None:
        number = 0
        for group in self.needs.groups:
            for _ in range(int(group.controllers)):
                number += 1
                draw_controller(self, number, group)

    def _stand_alone_charger(self):
        return next((supply for supply in self.needs.supplies if supply.charger is not None and supply.charger.kind == "stand-alone"), None)

    def _charger(self) -> None:
        supply = self._stand_alone_charger()
        if supply is None:
            return
        a = self.a
        terminals = [("positive", "dc-positive"), ("negative", "dc-negative"), ("line", "line-1"), ("neutral", "neutral"), ("earth", "earth"), ("case", "earth")]
        if self.needs.lock_out:
            terminals.append(("stop", "control"))
        a.add("charger", "charger", "Charger", BAY, terminals, paths=(a.through("earth", "case"),), fastening=CLAMP, studs=("positive", "negative"),
              ratings=Ratings(current_a=supply.charger.charger_current_a), generic=not supply.charger.given)
        self.feed("charger", "charger-output", "charger", "charger.positive", "charger.negative", supply.charger.charger_current_a, "charger", case="charger.case")

    def _ground(self) -> None:
        """One joint of the negative bus bar with the chassis or the earth bus bar, where the practice grounds the negative."""
        a = self.a
        main = self.main.sized if self.main is not None and self.main.sized.outcome == "sized" else None
        if main is not None and a.practice.negative_grounded:
            a.earth.negative("bus-negative.earth", main)
        if "starter-battery" in a.equipment and a.earth.kind == "chassis":
            a.wire("starter-battery.frame", a.earth.stud("starter"), "earth", None, a.length("frame-bond"), origin="existing")

    def lock_outs(self) -> None:
        """Stop every charger when the management system withdraws its permission; each one is named."""
        if not self.needs.lock_out:
            return
        a = self.a
        chargers = [item.id for item in a.equipment.values() if any(terminal.id == "stop" for terminal in item.terminals)]
        units = [item.id for item in a.equipment.values() if item.kind == "battery-unit"]
        a.add("lock-out", "management-gateway", "Charge lock-out of the management system", BAY,
              [*((f"permit-{unit}", "control") for unit in units), *((f"stop-{charger}", "control") for charger in chargers)], fastening=None, generic=True)
        for unit in units:
            a.lead(f"{unit}.permit", f"lock-out.permit-{unit}", "charge-lock-out")
        for charger in chargers:
            a.lead(f"lock-out.stop-{charger}", f"{charger}.stop", "charge-lock-out", acts_on=(charger,))
