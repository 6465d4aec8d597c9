"""Draw the alternating-current side: inlets, transfer, panels, inverter, branches, and where neutral and earth meet."""

from __future__ import annotations

from ..electrical.conductors.model import Circuit as Sized
from ..electrical.people.model import Serves
from ..electrical.sources.model import Supply
from ..working import at_most
from .assembly import BAY, CLAMP, PANEL, Assembly
from .drops import Ahead, behind, branch_limit, feeder_limit, worst
from .formulas import alternating_current, at_rating, between_legs, inlet_current, output_current, pass_through_current, summed_va
from .model import ISLAND_MODES, Bond, Function, Mode, Network, Path, Protection, Ratings
from .needs import AlternatingLoad, Needs, mode_of

_AHEAD = "shore-receptacles"
"""Receptacle circuits ahead of the inverter: others than those behind it, so they need names of their own."""


class AlternatingSide:
    """The alternating-current side in the making."""

    def __init__(self, needs: Needs, assembly: Assembly):
        self.needs = needs
        self.a = assembly
        self.supplies = [supply for supply in needs.supplies if supply.alternating is not None]
        self.inverter = needs.inverter.rating if needs.inverter is not None else None
        legs = max((int(supply.alternating.legs) for supply in self.supplies), default=1)
        self.voltage = voltage = assembly.practice.line_voltage_v
        self.lines: tuple[Function, ...] = ("line-1", "line-2")[:legs]  # type: ignore[assignment]
        self.network = Network("ac", "ac", voltage, voltage)
        self.at_panel: Ahead | None = None
        self.at_inverter_panel: Ahead | None = None
        self.network_240 = Network("ac-240", "ac", voltage, between_legs(voltage)) if legs == 2 else self.network

    def place(self) -> None:
        """Set the inverter down, so that the direct-current side can be wired to it."""
        if self.inverter is not None:
            self._inverter()

    def draw(self) -> None:
        """Everything from the inlets to the last branch."""
        if not self.supplies and self.inverter is None:
            return
        a = self.a
        a.networks.append(self.network)
        if self.network_240 is not self.network:
            a.networks.append(self.network_240)
        shore_loads, inverter_loads = self._split()
        if self.supplies:
            self._panel("ac-panel", "Alternating-current panel", self.lines, self._groups(shore_loads, _AHEAD), charger=True, feeds_inverter=self.inverter is not None)
            self._supplies()
            self._branches("ac-panel", self._groups(shore_loads, _AHEAD), self.at_panel)
            self._charger()
            mains = [f"main:{supply.id}" for supply in self.supplies]
            a.rate("transfer-switch", *mains, "breaker-panel-main")
            # Behind a transfer switch the panel has a main of its own; the mains of the supplies sit ahead of it.
            a.rate("ac-panel", *(["breaker-panel-main"] if "transfer-switch" in a.equipment else mains))
        if self.inverter is not None:
            self._panel("inverter-panel", "Panel behind the inverter", self.lines[:1], self._groups(inverter_loads), charger=False, feeds_inverter=False)
            self._around_inverter()
            self._branches("inverter-panel", self._groups(inverter_loads), self.at_inverter_panel)
            a.rate("inverter-panel", "breaker-inverter-panel")
        self._earth()

    def _split(self) -> tuple[list[AlternatingLoad], list[AlternatingLoad]]:
        loads = list(self.needs.alternating_loads)
        if self.inverter is None:
            return loads, []
        return [load for load in loads if not load.on_inverter], [load for load in loads if load.on_inverter]

    def _groups(self, loads: list[AlternatingLoad], name: str = "receptacles") -> dict[str, list[AlternatingLoad]]:
        """A branch for each large load; small ones share receptacle circuits, first fit in the order given."""
        case = self.a.case
        ceiling = self.a.practice.receptacle_circuit_va
        large = case.constant("own_branch_va")
        groups: dict[str, list[AlternatingLoad]] = {}
        receptacles: list[list[AlternatingLoad]] = []
        for load in loads:
            if load.apparent_va >= large:
                groups[load.id] = [load]
                continue
            for group in receptacles:
                if sum(float(item.apparent_va) for item in group) + float(load.apparent_va) <= float(ceiling):
                    group.append(load)
                    break
            else:
                receptacles.append([load])
        return groups | {f"{name}:{number}": group for number, group in enumerate(receptacles, 1)}

    # -- equipment ------------------------------------------------------------------------------------

    def _panel(self, id: str, title: str, lines, groups, *, charger: bool, feeds_inverter: bool) -> None:
        a = self.a
        # Names of loads and groups stand behind a colon, so that none can be taken for one of ours.
        outs = [f"c:{name}" for name in groups] + (["feed-inverter"] if feeds_inverter else []) + (["feed-charger"] if charger and self._has_charger() else [])
        terminals: list[tuple[str, Function]] = [(line, line) for line in lines] + [("neutral", "neutral"), ("earth", "earth")]
        paths: list[Path] = []
        for number, out in enumerate(outs):
            # The inverter and the charger load the first leg; what else hangs on the panel goes on the last.
            line = lines[0] if out.startswith("feed-") else lines[-1] if feeds_inverter else lines[number % len(lines)]
            terminals += [(out, line), (f"{out}:neutral", "neutral"), (f"{out}:earth", "earth")]
            paths += [a.through(line, out, opens=True), a.through("neutral", f"{out}:neutral"), a.through("earth", f"{out}:earth")]
        a.add(id, "ac-panel", title, PANEL, [*terminals, ("frame", "earth")], paths=(*paths, a.through("earth", "frame")), fastening=CLAMP, generic=True)

    def _inverter(self) -> None:
        needs, a = self.needs, self.a
        charger = any(supply.charger is not None and supply.charger.kind == "inverter-charger" for supply in self.supplies)
        kind = "inverter-charger" if charger else "inverter"
        terminals: list[tuple[str, Function]] = [
            ("dc-positive", "dc-positive"), ("dc-negative", "dc-negative"), ("line-in", "line-1"), ("neutral-in", "neutral"), ("earth-in", "earth"),
            ("line-out", "line-1"), ("neutral-out", "neutral"), ("earth-out", "earth"), ("case", "earth"),
        ]
        if charger and needs.lock_out:
            terminals.append(("stop", "control"))
        outside = tuple(mode for mode in a.modes if mode not in ISLAND_MODES)
        inverting = tuple(mode for mode in a.modes if mode not in outside)
        paths = (
            Path(("line-in", "line-out"), outside), Path(("neutral-in", "neutral-out"), outside), Path(("neutral-out", "earth-out"), inverting),
            a.through("earth-in", "earth-out"), a.through("earth-in", "case"),
        )
        rating = self.inverter
        a.add("inverter", kind, "Inverter-charger with transfer relay" if charger else "Inverter", BAY, terminals, paths=paths, fastening=CLAMP,
              studs=("dc-positive", "dc-negative"),
              generic=not rating.given, ratings=Ratings(
                  power_w=rating.inverter_rating_w, apparent_power_va=rating.inverter_rating_va, transfer_a=rating.transfer_rating_a,
                  charger_current_a=next((supply.charger.charger_current_a for supply in self.supplies if supply.charger is not None), None),
                  switches_neutral=True, to_confirm=() if rating.given else ("power", "transfer", "switches_neutral")))
        for mode in inverting:
            a.bonds.append(Bond(mode, "inverter", off_board=False))

    def _supplies(self) -> None:
        """Inlets and generators, one main breaker each, and a transfer switch where there are several."""
        a = self.a
        several = len(self.supplies) > 1
        if several:
            names = [f"from:{supply.id}" for supply in self.supplies]
            terminals = [(f"{name}-{line}", line) for name in [*names, "out"] for line in (*self.lines, "neutral", "earth")]
            paths = [Path((f"from:{supply.id}-{line}", f"out-{line}"), (self._mode(supply),)) for supply in self.supplies for line in (*self.lines, "neutral")]
            paths += [a.through(f"{name}-earth", "out-earth") for name in names]
            a.add("transfer-switch", "transfer-switch", "Transfer switch, neutral switched", BAY, terminals, paths=tuple(paths), fastening=CLAMP,
                  generic=True, ratings=Ratings(switches_neutral=True, poles=len(self.lines) + 1, to_confirm=("switches_neutral", "current")))
        after = (("ac-feeder",) if several else ()) + (("ac-feeder", "inverter-ac") if self.inverter is not None else ())
        self.at_panel = worst(*(self._supply(supply, several, after) for supply in self.supplies))
        if several:
            self._wires_to_panel(after[1:])

    def _mode(self, supply: Supply) -> Mode:
        return mode_of(supply, self.needs.supplies)

    def _supply(self, supply: Supply, several: bool, after: tuple[str, ...]) -> Ahead | None:
        """An inlet or a generator with its cable; what that takes of the drop. `after` are the classes of the feeders behind it."""
        a, side, mode, id = self.a, supply.alternating, self._mode(supply), f"supply:{supply.id}"
        own = [(line, line) for line in self.lines[: int(side.legs)]]
        terminals = [*own, ("neutral", "neutral"), ("earth", "earth")]
        if supply.kind == "shore":
            a.add(id, "shore-inlet", "Shore inlet", "outside wall", terminals, fastening=CLAMP, generic=True, ratings=Ratings(current_a=side.supply_breaker_a))
            # The site's breaker guards inlet and cord, so they carry what it lets through, whatever is programmed.
            sized, asked = a.size("shore-inlet", self._feeds(supply), self._net(side.legs), None, nominal_v=self.voltage,
                                   drop_limit=feeder_limit(a, "shore-inlet", None, after))
        else:
            neutral = self.needs.neutrals.get(supply.id, "not-known")
            if neutral == "not-known":
                a.case.note("generator-neutral-not-known", f"/supplies/{self.needs.supplies.index(supply)}", id=supply.id)
            a.add(id, "generator", "Generator", "generator bay", terminals, fastening=CLAMP, origin="existing", verdict="keep",
                  paths=() if neutral == "floating" else (Path(("neutral", "earth"), (mode,)),),
                  ratings=Ratings(current_a=side.generator_current_a, to_confirm=("neutral_bond",) if neutral == "not-known" else ()))
            # A programmed limit protects nothing, so the conductors follow the rating of the set, with the factor of their rules.
            sized, asked = a.size("generator-feeder", side.generator_current_a, self._net(side.legs), None, nominal_v=self.voltage, continuous=False,
                                   drop_limit=feeder_limit(a, "generator-feeder", None, after))
        if supply.kind == "shore":
            a.bonds.append(Bond(mode, "site", off_board=True))
        elif a.equipment[id].paths:
            a.bonds.append(Bond(mode, id, off_board=False))
        circuit_class = "shore-inlet" if supply.kind == "shore" else "generator-feeder"
        wires: list[str] = []
        protected: tuple[Protection, ...] = ()
        if sized.outcome == "sized":
            breaker = f"main:{supply.id}"
            self._seated(breaker, sized, "transfer-switch" if several else "ac-panel", f"main for {supply.id}", asked.source.poles(int(side.legs)))
            protected = (Protection(breaker, "to"),)
            target, prefix = ("transfer-switch", f"from:{supply.id}-") if several else ("ac-panel", "")
            length = a.length(circuit_class)
            for line in [name for name, _ in own] + ["neutral"]:
                wires.append(a.wire(f"{id}.{line}", f"{target}.{prefix}{line}", line, sized, length))
            if int(side.legs) == 1 and len(self.lines) == 2:
                # One hot feeds both legs, as an adapter does; its one breaker keeps the neutral within its rating.
                wires.append(a.wire(f"{id}.line-1", f"{target}.{prefix}line-2", "line-2", sized, length))
            wires.append(a.wire(f"{id}.earth", f"{target}.{prefix}earth", "earth", sized, length, size=sized.grounding_size))
        a.draw(id, circuit_class, self._net(side.legs).id, wires, sized, asked, source_at=("from",), protected_by=protected,
               unprotected_why="the site's or the generator's own breaker guards the source end" if wires else "", titles=(supply.kind, "panel"))
        return behind(None, sized)

    def _feeds(self, supply: Supply) -> float:
        """Current for which the device is the site's breaker, or the generator's rating, after the factor on continuous loads."""
        side = supply.alternating
        most = side.generator_current_a if side.supply_breaker_a is None else side.supply_breaker_a
        return inlet_current(most, self.a.practice.source("shore-inlet").device_factor)

    def _wires_to_panel(self, after: tuple[str, ...]) -> None:
        a = self.a
        largest = max(self.supplies, key=lambda supply: float(self._feeds(supply)))
        side = largest.alternating
        sized, asked = a.size("ac-feeder", self._feeds(largest), self._net(side.legs), None, nominal_v=self.voltage,
                               drop_limit=feeder_limit(a, "ac-feeder", self.at_panel, after), lowest_v=self._volts(self.at_panel))
        self.at_panel = behind(self.at_panel, sized)
        wires: list[str] = []
        if sized.outcome == "sized":
            self._seated("breaker-panel-main", sized, "ac-panel", "main", asked.source.poles(int(side.legs)))
            length = a.length("ac-feeder")
            wires = [a.wire(f"transfer-switch.out-{line}", f"ac-panel.{line}", line, sized, length) for line in (*self.lines, "neutral")]
            wires.append(a.wire("transfer-switch.out-earth", "ac-panel.earth", "earth", sized, length, size=sized.grounding_size))
        a.draw("panel-feed", "ac-feeder", self._net(side.legs).id, wires, sized, asked, source_at=("from",),
               protected_by=(Protection("breaker-panel-main", "to"),) if wires else (),
               unprotected_why="each supply's main breaker stands ahead of the transfer switch" if wires else "", titles=("transfer switch", "panel"))

    def _volts(self, ahead: Ahead | None) -> float | None:
        return None if ahead is None else ahead.voltage_v

    def _net(self, legs: float) -> Network:
        return self.network_240 if int(legs) == 2 else self.network

    # -- inverter and its panel -----------------------------------------------------------------------

    def _around_inverter(self) -> None:
        a, rating = self.a, self.inverter
        through, ahead, least = None, self.at_panel, self._breaker_upstream()
        if self.supplies:
            limit = max((supply.alternating.supply_limit_a for supply in self.supplies), key=float)
            through = limit
            if rating.transfer_rating_a is not None:
                through = pass_through_current(limit, a.case.assume(a.practice.continuous_share), rating.transfer_rating_a)
            feed = self._branch("inverter-feed", "ac-feeder", "ac-panel", "feed-inverter", "inverter", ("line-in", "neutral-in", "earth-in"), through, True, "inverter",
                         device_limit_a=rating.transfer_rating_a, drop_limit=feeder_limit(a, "ac-feeder", self.at_panel, ("inverter-ac",)),
                         ahead=self.at_panel, device_least_a=least)
            ahead = behind(ahead, feed)
        made = alternating_current(rating.inverter_rating_va, self.voltage)
        current = made if through is None else output_current(made, through)
        sized, asked = a.size("inverter-ac", current, self.network, None, nominal_v=self.voltage,
                               drop_limit=feeder_limit(a, "inverter-ac", ahead), lowest_v=self._volts(ahead), device_least_a=least)
        self.at_inverter_panel = behind(ahead, sized)
        wires: list[str] = []
        if sized.outcome == "sized":
            self._seated("breaker-inverter-panel", sized, "inverter-panel", "main", asked.source.poles(1))
            length = a.length("inverter-ac")
            wires = [
                a.wire("inverter.line-out", "inverter-panel.line-1", "line-1", sized, length),
                a.wire("inverter.neutral-out", "inverter-panel.neutral", "neutral", sized, length),
                a.wire("inverter.earth-out", "inverter-panel.earth", "earth", sized, length, size=sized.grounding_size),
            ]
        a.draw("inverter-output", "inverter-ac", "ac", wires, sized, asked, source_at=("from",),
               protected_by=(Protection("breaker-inverter-panel", "to"),) if wires else (),
               unprotected_why="the inverter limits its own current and the breaker of its feed limits what passes through" if wires else "",
               titles=("inverter", "panel behind the inverter"))

    def _breaker_upstream(self) -> float | None:
        """The largest breaker of the sites, as far as the transfer relay stands it: what passes through should not open a smaller one."""
        most = max((supply.alternating.supply_breaker_a for supply in self.supplies if supply.alternating.supply_breaker_a is not None), key=float, default=None)
        relay = self.inverter.transfer_rating_a
        return None if most is None or (relay is not None and not at_most(most, relay)) else most

    def _branches(self, panel: str, groups: dict[str, list[AlternatingLoad]], ahead: Ahead | None) -> None:
        a = self.a
        limit = branch_limit(a, "ac-branch", ahead)
        for id, loads in groups.items():
            title = ", ".join(load.id for load in loads)
            a.add(f"load:{id}", "ac-load", title, "living space", (("line", "line-1"), ("neutral", "neutral"), ("earth", "earth")), fastening=None)
            current = alternating_current(summed_va(*(load.apparent_va for load in loads)), self.voltage)
            self._branch(f"ac:{id}", "ac-branch", panel, f"c:{id}", f"load:{id}", ("line", "neutral", "earth"), current, any(load.continuous for load in loads), title,
                         drop_limit=limit, ahead=ahead, serves="receptacles" if ":" in id else None)

    def _has_charger(self) -> bool:
        return any(supply.charger is not None and supply.charger.kind == "stand-alone" for supply in self.supplies)

    def _charger(self) -> None:
        """A stand-alone charger hangs on the panel ahead of the inverter, so that no inverter feeds its own charger."""
        if self._has_charger():
            current = max(
                (at_rating(supply.alternating.charger_input_a, supply.charger.charger_current_a, supply.charging.charger_setting_a)
                 for supply in self.supplies if supply.charger is not None), key=float)
            self._branch("ac-charger", "ac-branch", "ac-panel", "feed-charger", "charger", ("line", "neutral", "earth"), current, True, "charger",
                         drop_limit=branch_limit(self.a, "ac-branch", self.at_panel), ahead=self.at_panel)

    def _branch(
        self, id: str, circuit_class: str, panel: str, out: str, target: str, ends: tuple[str, str, str], current_a: float, continuous: bool,
        title: str, device_limit_a: float | None = None, device_least_a: float | None = None, drop_limit: float | None = None, ahead: Ahead | None = None,
        serves: Serves | None = "fixed",
    ) -> Sized:
        """A circuit from an outlet of a panel; `ahead` is what is taken of the drop before it begins."""
        a = self.a
        sized, asked = a.size(circuit_class, current_a, self.network, None, nominal_v=self.voltage, continuous=continuous, device_limit_a=device_limit_a,
                               device_least_a=device_least_a, drop_limit=drop_limit, lowest_v=self._volts(ahead))
        wires: list[str] = []
        if sized.outcome == "sized":
            self._seated(f"breaker-{id}", sized, panel, title, asked.source.poles(1))
            length = a.length(circuit_class)
            wires = [
                a.wire(f"{panel}.{out}", f"{target}.{ends[0]}", a.function(f"{panel}.{out}"), sized, length),
                a.wire(f"{panel}.{out}:neutral", f"{target}.{ends[1]}", "neutral", sized, length),
                a.wire(f"{panel}.{out}:earth", f"{target}.{ends[2]}", "earth", sized, length, size=sized.grounding_size),
            ]
        a.draw(id, circuit_class, "ac", wires, sized, asked, source_at=("from",),
               protected_by=(Protection(f"breaker-{id}", "from"),) if wires else (), titles=(panel.replace("-", " "), title), serves=serves)
        return sized

    def _seated(self, id: str, sized: Sized, panel: str, what: str, poles: int) -> None:
        found = sized.device
        self.a.add(id, "breaker", f"{found.title}, {what}", panel, (), generic=True, ratings=Ratings(
            family=found.family, current_a=found.rating_a, voltage_v=found.voltage_v, interrupting_a=found.interrupting_a,
            interrupting=found.interrupting, polarised=found.polarised, poles=poles))

    def _earth(self) -> None:
        """Exposed metal to the chassis of a vehicle, or to the earth bus bar of a building."""
        a = self.a
        for panel in ("ac-panel", "inverter-panel"):
            if panel in a.equipment:
                a.earth.panel(f"{panel}.frame")
        if self.inverter is not None and not any(wire.start == "inverter.case" for wire in a.conductors):
            a.earth.panel("inverter.case")
