"""What is cut, crimped and fused: the schedule of circuits and the installation around them."""

from __future__ import annotations

from collections.abc import Mapping

from ..electrical.protection.model import Device
from ..installation.assembly import Drawn
from ..installation.model import EARTH_POINTS, ISLAND_MODES, Equipment, Installation
from ..plan.model import Plan
from .layout import heading, item, listed, paragraph, table, word
from .number import down, exact, least, length, percent_up, up, within
from .verdicts import stands_in_the_way

_SWITCHES = ("disconnect", "load-disconnect", "array-disconnect", "transfer-switch", "shunt", "battery-monitor", "management-gateway")
_ELSEWHERE = ("battery-unit", "fuse", "breaker", "array-string", "dc-load", "always-live-load", "ac-load", "chassis", "grounding-electrode")
"""Kinds that stand in other sections, or that nobody buys for this."""
_CARRIES = ("disconnect", "load-disconnect", "array-disconnect", "transfer-switch", "shunt", "bus-bar", "combiner", "ac-panel", "dc-panel")
"""Kinds that only carry a current, so that a larger one will do; a larger charger or inverter asks for other cables."""
_COLUMNS = ("<circuit", "design", "<conductor", "<one way", "<device", "drop", "at load")


def size(name: str, sets: int = 1, system: str = "awg") -> str:
    """A conductor size as the trade writes it, with the number of them in parallel where there are several.

    >>> size("4/0", 2), size("350"), size("50", 2, "mm2")
    ('2 x 4/0 AWG', '350 kcmil', '2 x 50 mm2')
    """
    one = f"{name} mm2" if system == "mm2" else f"{name} kcmil" if name.isdigit() and int(name) >= 250 else f"{name} AWG"
    return f"{sets} x {one}" if sets > 1 else one


def schedule_lines(plan: Plan) -> list[str]:
    """Every circuit: what it carries, conductor, length, device and its place, drop, what governed."""
    lines = heading("Circuits")
    if plan.installation is None or not plan.circuits:
        return lines + paragraph("None drawn.")
    lines += paragraph("Lengths are one way: two conductors run along each. Conductors are copper, one of the size for each pole unless a number stands "
                       "before it. `for ... A` is what conductor and device are sized for: the design current with continuous duty and ripple. Drop is "
                       "of this run alone, out and back, without joints, fuses and switches; at load is what is left when the bank is at its "
                       "lowest and the runs ahead of this one are fully loaded; alternating current is reckoned from the nominal voltage of its source. "
                       "A grounding conductor runs beside its circuit, from the metal case to the panel, unless another place is named.")
    lines.append("")
    equipment = {item.id: item for item in plan.installation.equipment}
    rows = [_row(drawn) for drawn in plan.circuits]
    below = [_below(drawn, plan.installation, equipment) for drawn in plan.circuits]
    lines += table(_COLUMNS, rows, below)
    lines.append("")
    return lines + _rules(plan.circuits)


def _row(drawn: Drawn) -> tuple[str, ...]:
    sized, circuit = drawn.sized, drawn.circuit
    design = f"{up(sized.design_current_a, 1)} A"
    if sized.outcome != "sized" or sized.conductor is None:
        return (circuit.id, design, "NOT SIZED", length(drawn.run_m), "", "", "")
    row, device = sized.conductor, sized.device
    fitted = f"{device.kind} {exact(device.rating_a)} A" if device is not None else "none"
    volts = f"{down(sized.load_voltage_v, 2)} V" if sized.load_voltage_v is not None else ""
    return (circuit.id, design, size(row.size, row.sets, drawn.source.size_system), length(drawn.run_m), fitted, percent_up(row.drop_fraction), volts)


def _below(drawn: Drawn, installation: Installation, equipment: Mapping[str, Equipment]) -> tuple[str, ...]:
    sized, circuit = drawn.sized, drawn.circuit
    ends = f"{drawn.from_title} to {drawn.to_title}"
    if sized.outcome != "sized" or sized.conductor is None:
        return (ends, f"NOT SIZED: {stands_in_the_way(sized.failed, sized.why)}")
    parts = [f"{ends}, current flows both ways" if circuit.both_ways else ends]
    if sized.thermal_current_a > sized.design_current_a:
        parts.append(f"for {up(sized.thermal_current_a, 1)} A")
    parts.append(f"insulation {exact(sized.insulation_temperature_c)} °C, terminals {exact(sized.terminal_temperature_c)} °C")
    if sized.grounding_size is not None:
        parts.append(_grounding(drawn, installation, equipment))
    governed = (f"governed by {word(sized.choice.governed_by)}",) if sized.choice is not None else ()
    return ("; ".join([*parts, *governed]), *_devices(drawn, equipment))


def _grounding(drawn: Drawn, installation: Installation, equipment: Mapping[str, Equipment]) -> str:
    """The grounding conductor as it is drawn, and the earth point where it leads to one."""
    ids = set(drawn.circuit.conductors)
    run = [wire for wire in installation.conductors if wire.id in ids and wire.function == "earth"]
    if not run:
        return f"grounding conductor {size(drawn.sized.grounding_size, 1, drawn.source.size_system)} NOT DRAWN"
    end = equipment[run[0].end.partition(".")[0]]
    where = f" to the {end.title.lower()}" if end.kind in EARTH_POINTS else ""
    return f"grounding conductor {size(run[0].size, 1, drawn.source.size_system)}{where}"


def _devices(drawn: Drawn, equipment: Mapping[str, Equipment]) -> list[str]:
    """Every device with its place, and why an end has none."""
    circuit, device = drawn.circuit, drawn.sized.device
    places: dict[str, list[str]] = {}
    for protection in circuit.protected_by:
        fitted = equipment[protection.equipment]
        what = f"{device.title}{_verdict(device)}" if device is not None else f"{fitted.title}, {exact(fitted.ratings.current_a or 0)} A"
        at = drawn.from_title if protection.guards == "from" else drawn.to_title
        held = equipment[fitted.place].title.lower() if fitted.place in equipment else fitted.place
        place = f"at {at}" if held in at else f"at {at}, in the {held}"
        if protection.guards == "from" and drawn.source.source_distance_m is not None:
            place += f", within {within(drawn.source.source_distance_m)} of the source"
        places.setdefault(what, []).append(place)
    lines = [f"{what}: {'; and '.join(found)}" for what, found in places.items()]
    if circuit.unprotected_why:
        lines.append(f"{'No device at the other end' if lines else 'No device'}: {circuit.unprotected_why}")
    return lines or ["NO DEVICE"]


def _verdict(device: Device) -> str:
    proven = "" if device.interrupting == "not-asked" else f" ({word(device.interrupting)})"
    return f", {exact(device.voltage_v)} V, interrupts {exact(device.interrupting_a)} A{proven}"


def _rules(circuits: tuple[Drawn, ...]) -> list[str]:
    """The document behind the circuits, each with the circuits that it rules."""
    ruled: dict[str, list[str]] = {}
    for drawn in circuits:
        # Most documents that are applied by analogy say so in their own line.
        suffix = ", applied by analogy" if drawn.source.by_analogy and "analogy" not in drawn.source.document else ""
        ruled.setdefault(drawn.source.document + suffix, []).append(drawn.circuit.id)
    lines: list[str] = []
    for document, ids in ruled.items():
        lines += paragraph(f"Rules for {listed(ids)}: {document}.", 2, 2)
    return lines


def installation_lines(installation: Installation | None, system: str) -> list[str]:
    """Switches and shunt, bonds in each mode, what stays live, what is locked out, other leads, ratings to confirm."""
    lines = heading("Installation")
    if installation is None:
        return lines + paragraph("Not drawn: there is no bank.")
    shown = [item for kind in _SWITCHES for item in installation.equipment if item.kind == kind]
    shown += [item for item in installation.equipment if item.kind not in (*_SWITCHES, *_ELSEWHERE)]
    for equipment in shown:
        origin = ", there already" if equipment.origin == "existing" else ""
        lines += paragraph(f"{equipment.title}: {equipment.place}{_ratings(equipment)}{origin}", 2, 2)
    alternating = any(network.kind == "ac" for network in installation.networks)
    lines += ["", *paragraph("Neutral and earth meet in one place only:" if alternating else "No neutral in this installation.")]
    titles = {equipment.id: equipment.title for equipment in installation.equipment}
    for bond in installation.bonds:
        where = f"off board, by the {bond.at}" if bond.off_board else f"in the {titles.get(bond.at, bond.at).lower()}"
        lines += item(f"  {word(bond.mode)}", where)
    met = {bond.mode for bond in installation.bonds}
    lines += [line for mode in installation.modes if alternating and mode not in met and mode not in ISLAND_MODES
              for line in item(f"  {word(mode)}", "NOWHERE: see the unsafe findings")]
    lines.append("")
    lines += item("DC negative", _negative(installation))
    lines += item("Stays live", f"{listed(installation.always_live)} (label this at the bank disconnect)" if installation.always_live else
                  "nothing but the fused sensing leads")
    lines += _load_disconnect(installation, titles)
    lines += _leads(installation, titles)
    lines += _loose(installation, system)
    return lines + _to_confirm(installation)


def _negative(installation: Installation) -> str:
    """Whether and where the negative of the bank is joined to the earth point."""
    equipment = {item.id: item for item in installation.equipment}
    for wire in installation.conductors:
        here, there = (equipment[end.partition(".")[0]] for end in (wire.start, wire.end))
        if wire.function == "earth" and here.kind == "bus-bar" and there.kind in EARTH_POINTS:
            return f"grounded: joined to the {there.title.lower()} in one place, at the {here.title.lower()}"
    return "not grounded: joined to no earth"


def _load_disconnect(installation: Installation, titles: Mapping[str, str]) -> list[str]:
    """What the load disconnect leaves on: heavy loads with circuits of their own from the bus bars."""
    kinds = {item.id: item.kind for item in installation.equipment}
    ends = {wire.id: {wire.start.partition(".")[0], wire.end.partition(".")[0]} for wire in installation.conductors}
    past = []
    for circuit in installation.circuits:
        touched = set().union(*(ends[id] for id in circuit.conductors)) if circuit.circuit_class == "dc-feeder" else set()
        if {"bus-bar", "dc-load"} <= {kinds[id] for id in touched}:
            past += [titles[id] for id in sorted(touched) if kinds[id] == "dc-load"]
    if not past:
        return []
    has = "load-disconnect" in kinds.values()
    return item("Past it", f"{listed(past)}: from the bus bars, so only {'their' if len(past) > 1 else 'its'} own fuse and the bank disconnect switch "
                           f"{'them' if len(past) > 1 else 'it'} off{', not the load disconnect' if has else ''}")


def people_lines(installation: Installation | None) -> list[str]:
    """What protects people, each requirement with its circuits; nothing without alternating current."""
    if installation is None or not installation.people:
        return []
    lines = heading("Protection of people")
    titles = dict.fromkeys(protected.requirement.citation.title for protected in installation.people)
    lines += paragraph(f"Clauses are those of: {'; '.join(titles)}.")
    for protected in installation.people:
        asked = protected.requirement
        figures = [f"{1000 * float(asked.residual_current_a):g} mA"] if asked.residual_current_a is not None else []
        figures += [f"{1000 * float(asked.longest_s):g} ms"] if asked.longest_s is not None else []
        figures += [f"{asked.poles:g} poles"] if asked.poles is not None else []
        what = f" ({', '.join(figures)})" if figures else ""
        head = f"{asked.title[:1].upper()}{asked.title[1:]}{what}"
        perhaps = "" if asked.certain else " Only where these circuits serve such a place."
        unless = f"; not needed where {asked.unless}" if asked.unless else ""
        lines += paragraph(f"{head}: {asked.text}{unless}.{perhaps} [{asked.citation.clause}; {asked.citation.basis}] For {listed(protected.circuits)}.", 2, 4)
    return lines


def _ratings(equipment: Equipment) -> str:
    ratings, known = equipment.ratings, []
    if ratings.current_a is not None:
        known.append(f"{'at least ' if equipment.kind in _CARRIES and equipment.generic else ''}{least(ratings.current_a)} A")
    if ratings.voltage_v is not None:
        known.append(f"{exact(ratings.voltage_v)} V")
    if ratings.highest_voltage_v is not None:
        known.append(f"sees up to {up(ratings.highest_voltage_v, 1)} V")
    if ratings.poles is not None:
        known.append(f"{ratings.poles} poles")
    return f"; {', '.join(known)}" if known else ""


def _leads(installation: Installation, titles: Mapping[str, str]) -> list[str]:
    lines: list[str] = []
    stopped = [target for lead in installation.control_leads if lead.purpose == "charge-lock-out" for target in lead.acts_on]
    chargers = listed(f"{titles[target]} ({target})" for target in stopped) if stopped else "none called for"
    lines += item("Locked out", chargers)
    for lead in installation.control_leads:
        if lead.purpose != "charge-lock-out":
            fuse = f", fuse {exact(lead.fuse_a)} A at {lead.start}" if lead.fuse_a is not None else ""
            lines += item(f"{word(lead.purpose).capitalize()} lead", f"{lead.start} to {lead.end}{fuse}")
    return lines


def _loose(installation: Installation, system: str) -> list[str]:
    """Conductors that belong to no circuit: links in series, bonds."""
    used = {id for circuit in installation.circuits for id in circuit.conductors}
    runs: dict[str, list[str]] = {}
    for conductor in installation.conductors:
        if conductor.id not in used:
            found = size(conductor.size, conductor.sets, system) if conductor.size is not None else "there" if conductor.origin == "existing" else "SIZE NOT FOUND"
            kind = "Electrode" if conductor.end.startswith("grounding-electrode.") else "Bond" if conductor.function == "earth" else "Link"
            runs.setdefault(f"{kind}, {found}", []).append(f"{conductor.start} to {conductor.end}")
    lines = [line for label, places in runs.items() for line in item(label, "; ".join(places))]
    if any(label.startswith("Bond") for label in runs):
        lines += item("Plastic cases", "need no bond")
    return lines


def _to_confirm(installation: Installation) -> list[str]:
    confirm: dict[str, list[str]] = {}
    for equipment in installation.equipment:
        for rating in equipment.ratings.to_confirm:
            names = confirm.setdefault(word(rating), [])
            if equipment.title not in names:
                names.append(equipment.title)
    if not confirm:
        return []
    lines = ["", *paragraph("Generic equipment. Before anything is cut or drilled, confirm of the item that is bought:")]
    for rating, names in confirm.items():
        lines += paragraph(f"{rating}: {listed(names)}", 4, 2)
    return lines
