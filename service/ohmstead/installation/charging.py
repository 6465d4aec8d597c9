"""Draw what charges the bank from the roof and from the engine."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..electrical.array.model import Group
from ..electrical.conductors.formulas import charging_voltage_bound
from .assembly import BAY
from .formulas import at_rating
from .model import Network, Protection, Ratings

if TYPE_CHECKING:
    from .direct import DirectSide


def draw_controller(side: DirectSide, number: int, group: Group) -> None:
    """A charge controller on the bus bars, with its share of the array."""
    a, id = side.a, f"controller-{number}"
    controller = group.controller
    terminals = [("battery-positive", "dc-positive"), ("battery-negative", "dc-negative"), ("array-positive", "dc-positive"), ("array-negative", "dc-negative"),
                 ("case", "earth")]
    if side.needs.lock_out:
        terminals.append(("stop", "control"))
    a.add(id, "charge-controller", f"Charge controller, {controller.input_limit_v:g} V in, {controller.output_rating_a:g} A out", BAY, terminals, generic=controller.generic,
          paths=(a.through("array-positive", "battery-positive"), a.through("array-negative", "battery-negative")),
          ratings=Ratings(current_a=controller.output_rating_a, highest_voltage_v=controller.input_limit_v,
                          to_confirm=("current", "voltage") if controller.generic else ()))
    side.feed(id, "controller-output", id, f"{id}.battery-positive", f"{id}.battery-negative", controller.output_rating_a, f"charge controller {number}",
              case=f"{id}.case")
    _draw_array(side, number, group)


def _draw_array(side: DirectSide, number: int, group: Group) -> None:
    """Strings, a combiner where there are several, and a two-pole disconnect in front of the controller."""
    a, strings = side.a, group.strings
    count = int(strings.parallel)
    network = Network(f"pv-{number}", "dc", strings.hot_v, strings.cold_v)
    a.networks.append(network)
    fuse = strings.fuse
    sized, asked = a.size("controller-input", strings.photovoltaic_current_a, network, None, nominal_v=strings.hot_v, lowest_v=strings.hot_v, device=False)
    for string in range(1, count + 1):
        a.add(f"array-{number}-{string}", "array-string", f"{strings.series:g} × {group.module.name} in series", "roof",
              (("positive", "dc-positive"), ("negative", "dc-negative"), ("frame", "earth")), fastening=None, generic=group.module.generic,
              ratings=Ratings(power_w=group.module.power_w, highest_voltage_v=strings.cold_v, current_a=group.module.short_circuit_a))
    a.add(f"array-disconnect-{number}", "array-disconnect", f"Array disconnect {number}, two poles", BAY,
          (("a-positive", "dc-positive"), ("b-positive", "dc-positive"), ("a-negative", "dc-negative"), ("b-negative", "dc-negative")),
          paths=(a.through("a-positive", "b-positive", opens=True), a.through("a-negative", "b-negative", opens=True)), generic=True,
          ratings=Ratings(highest_voltage_v=strings.cold_v, current_a=strings.conductor_current_a, poles=2, to_confirm=("voltage", "current")), fastening=None)
    protected: list[Protection] = []
    wires: list[str] = []
    if sized.outcome == "sized":
        length = a.piece("controller-input", 3 if count > 1 else 2)
        head_positive, head_negative = f"array-{number}-1.positive", f"array-{number}-1.negative"
        if count > 1:
            studs = [f"string-{string}" for string in range(1, count + 1)]
            positive, negative = f"combiner-{number}", f"combiner-{number}-return"
            for id, function in ((positive, "dc-positive"), (negative, "dc-negative")):
                a.add(id, "combiner", f"Combiner {number}" if function == "dc-positive" else f"Combiner {number}, return", "roof", [("out", function), *((stud, function) for stud in studs)],
                      paths=tuple(a.through("out", stud, opens=fuse.required and function == "dc-positive") for stud in studs), generic=True, fastening=None,
                      ratings=Ratings(current_a=strings.conductor_current_a, highest_voltage_v=strings.cold_v, to_confirm=("current", "voltage")))
            for string in range(1, count + 1):
                wires.append(a.wire(f"array-{number}-{string}.positive", f"{positive}.string-{string}", "dc-positive", sized, length))
                wires.append(a.wire(f"array-{number}-{string}.negative", f"{negative}.string-{string}", "dc-negative", sized, length))
                if fuse.required and fuse.device is not None:
                    device = f"fuse-array-{number}-{string}"
                    a.add(device, "fuse", f"{fuse.device.title}, string {string}", positive, (), generic=True,
                          ratings=Ratings(family=fuse.device.family, current_a=fuse.device.rating_a, voltage_v=fuse.device.voltage_v,
                                          interrupting_a=fuse.device.interrupting_a, polarised=False))
                    protected.append(Protection(device, "to"))
            head_positive, head_negative = f"{positive}.out", f"{negative}.out"
        wires += [
            a.wire(head_positive, f"array-disconnect-{number}.a-positive", "dc-positive", sized, length),
            a.wire(head_negative, f"array-disconnect-{number}.a-negative", "dc-negative", sized, length),
            a.wire(f"array-disconnect-{number}.b-positive", f"controller-{number}.array-positive", "dc-positive", sized, length),
            a.wire(f"array-disconnect-{number}.b-negative", f"controller-{number}.array-negative", "dc-negative", sized, length),
        ]
    if sized.grounding_size is not None:
        bond = a.earth.stud(f"array-{number}")
        for string in range(1, count + 1):
            wires.append(a.wire(f"array-{number}-{string}.frame", bond, "earth", sized, a.length("controller-input"), size=a.earth.on_stud(sized.grounding_size, asked.source)))
    a.draw(f"array-{number}", "controller-input", network.id, wires, sized, asked,
           source_at=("from", "to") if fuse.required else ("from",), protected_by=tuple(protected),
           unprotected_why="the array's own short-circuit current, with the factor for bright sun and continuous duty, is below the conductors' ampacity",
           titles=("array", f"charge controller {number}"))


def draw_alternators(side: DirectSide) -> None:
    """A DC-DC charger between the starter battery and the bus bars for each alternator that has one."""
    needs, a = side.needs, side.a
    for supply in needs.supplies:
        if supply.dc_dc is None or supply.charger is None:
            continue
        id, feed, dc_dc = f"dc-dc:{supply.id}", f"dc-dc-in:{supply.id}", supply.dc_dc
        terminals = [("in-positive", "dc-positive"), ("in-negative", "dc-negative"), ("out-positive", "dc-positive"), ("out-negative", "dc-negative"), ("enable", "control"),
                     ("case", "earth")]
        if needs.lock_out:
            terminals.append(("stop", "control"))
        a.add(id, "dc-dc-charger", "DC-DC charger", BAY, terminals, generic=not supply.charger.given,
              paths=(a.through("in-negative", "out-negative"), a.through("in-positive", "out-positive", modes=("driving",))),
              ratings=Ratings(current_a=supply.charger.charger_current_a, to_confirm=() if supply.charger.given else ("current",)))
        if "starter-battery" not in a.equipment:
            highest = charging_voltage_bound(needs.starter_voltage_v, a.case.assume("highest_voltage_ratio"))
            a.networks.append(Network("starter", "dc", dc_dc.alternator_voltage_v, highest))
            a.add("starter-battery", "starter-battery", "Starter battery", "engine bay", (("positive", "dc-positive"), ("negative", "dc-negative"), ("frame", "earth")),
                  paths=(a.through("negative", "frame"),), origin="existing", verdict="keep")
            a.add("alternator", "alternator", "Alternator", "engine bay", (("ignition", "control"),), origin="existing", verdict="keep", fastening=None)
        starter = next(network for network in a.networks if network.id == "starter")
        drawn = at_rating(dc_dc.dc_dc_input_a, supply.charger.charger_current_a, supply.charging.charger_setting_a)
        sized, asked = a.size("dc-dc-input", drawn, starter, None, nominal_v=needs.starter_voltage_v, lowest_v=dc_dc.alternator_voltage_v)
        wires: list[str] = []
        if sized.outcome == "sized" and a.device(f"fuse-{feed}", sized, "engine bay", "DC-DC charger input"):
            length = a.length("dc-dc-input")
            wires = [
                a.wire("starter-battery.positive", f"fuse-{feed}.a", "dc-positive", sized, a.piece("dc-dc-input", 2)),
                a.wire(f"fuse-{feed}.b", f"{id}.in-positive", "dc-positive", sized, a.piece("dc-dc-input", 2)),
                a.wire(f"{id}.in-negative", "starter-battery.negative", "dc-negative", sized, length),
            ]
            if sized.grounding_size is not None:
                wires.append(a.wire(f"{id}.case", "starter-battery.frame", "earth", sized, length, size=a.earth.on_stud(sized.grounding_size, asked.source)))
        a.draw(feed, "dc-dc-input", "starter", wires, sized, asked, source_at=("from",),
               protected_by=(Protection(f"fuse-{feed}", "from"),) if wires else (), titles=("starter battery", "DC-DC charger"))
        side.feed(id, "dc-dc-output", id, f"{id}.out-positive", f"{id}.out-negative", supply.charger.charger_current_a, "DC-DC charger", case=f"{id}.case")
        a.lead("alternator.ignition", f"{id}.enable", "ignition", acts_on=(id,), fuse_a=a.case.constant("sensing_fuse_a"))
