"""A plan as an installer or a customer reads it, in a terminal or on paper."""

from __future__ import annotations

from ..plan.model import Plan
from .layout import clean, heading, item, paragraph, word
from .notes import Said, assumption_lines, caution_lines, finding_lines, findings_lines, of_severity, source_lines
from .number import down, exact, up
from .parts import bank_lines, demand_lines, inverter_lines
from .sources import array_lines, balance_lines, supply_lines
from .wiring import installation_lines, people_lines, schedule_lines, size


def render_plan(plan: Plan, said: Said) -> str:
    """The whole plan: verdict, what is unsafe, what to buy and set, what to wire, what to know.

    `said` is the answer to the same request: its outcome, findings, assumptions, sources and cautions. Lengths, masses
    and temperatures are printed in both systems of units.
    """
    unsafe = of_severity(said.findings, "unsafe")
    lines = _verdict(plan, said, len(unsafe))
    if unsafe:
        lines += heading(f"Unsafe ({len(unsafe)}): mend this first")
        for number, finding in enumerate(unsafe, 1):
            lines += finding_lines(number, finding)
    lines += _in_short(plan)
    lines += demand_lines(plan.demand)
    lines += inverter_lines(plan.inverter)
    lines += bank_lines(plan.bank)
    banked = plan.bank.outcome == "sized"
    lines += array_lines(plan.array, banked=banked)
    lines += supply_lines(plan.supplies, plan.charge_total, banked=banked)
    lines += balance_lines(plan.year)
    lines += schedule_lines(plan)
    lines += installation_lines(plan.installation, plan.practice.source("bank-main").size_system)
    lines += people_lines(plan.installation)
    lines += findings_lines(said.findings)
    lines += assumption_lines(said.assumptions)
    lines += source_lines(said.citations, said.edition)
    lines += caution_lines(said.cautions)
    return "\n".join(lines) + "\n"


def _verdict(plan: Plan, said: Said, unsafe: int) -> list[str]:
    what = f"Plan for a {word(plan.kind)} on {exact(plan.nominal_voltage_v)} V: {plan.practice.title}"
    missing = _missing(plan)
    if said.outcome == "sized":
        verdict = f"SIZED: everything that was asked for, in {len(plan.circuits)} circuits."
    elif said.outcome == "nothing-fits":
        verdict = f"NOTHING FITS: no bank carries this, so nothing is drawn. {plan.bank.why}"
    elif missing:
        verdict = f"SHORT: not to be had as asked: {'; '.join(missing)}."
    else:
        short = [finding for finding in said.findings if finding.kind == "shortfall" or finding.severity == "unsafe"]
        grave = [finding for finding in short if finding.severity != "note"]
        falls = dict.fromkeys(word(finding.code) for finding in grave or short)
        verdict = f"SHORT: every part is sized, and something stays short of what was asked: {', '.join(falls)}."
    if unsafe:
        verdict += f" NOT TO BE BUILT as it stands: {unsafe} unsafe finding{'s' if unsafe > 1 else ''}, next below."
    counts = [f"{len(found)} {severity}{'s' if len(found) != 1 else ''}" for severity in ("caution", "note") if (found := of_severity(said.findings, severity))]
    if counts:
        verdict += f" Read the {' and '.join(counts)} before anything is bought."
    return [clean(what), "", *paragraph(verdict, 0)]


def _in_short(plan: Plan) -> list[str]:
    """The parts that are sized, one line each, for whoever reads no further."""
    lines = heading("In short")
    bank, inverter, array = plan.bank, plan.inverter, plan.array
    if bank.outcome == "sized" and bank.unit is not None and bank.usable_energy_wh is not None:
        lines += item("Bank", f"{bank.units} x {bank.unit.name}, {bank.series} in series, {bank.parallel} in parallel; {down(bank.usable_energy_wh)} Wh usable")
    if inverter is not None and inverter.outcome == "sized" and inverter.rating is not None:
        lines += item("Inverter", f"{exact(inverter.rating.inverter_rating_w)} W")
    if array is not None and array.outcome == "sized":
        lines += item("Array", f"{exact(array.array_power_w)} W in {exact(array.module_count)} modules" if array.groups else "none needed")
    for supply in plan.supplies:
        if supply.outcome == "sized" and supply.charger is not None:
            lines += item(f"From {supply.id}", f"charger of {exact(supply.charger.charger_current_a)} A")
    main = next((drawn.sized for drawn in plan.circuits if drawn.circuit.circuit_class == "bank-main"), None)
    if main is not None and main.device is not None and main.conductor is not None:
        lines += item("Main fuse", f"{exact(main.device.rating_a)} A {main.device.title}, on {size(main.conductor.size, main.conductor.sets, plan.practice.source('bank-main').size_system)}")
    lines += item("A day", f"{up(plan.demand.day_energy_wh)} Wh at the bank")
    return lines


def _missing(plan: Plan) -> list[str]:
    """Parts that nothing fits, in the order of the page."""
    missing = []
    if plan.inverter is not None and plan.inverter.outcome != "sized":
        missing.append("inverter")
    if plan.bank.outcome != "sized":
        missing.append("bank")
    if plan.array is not None and plan.array.outcome != "sized":
        missing.append("array")
    missing += [f"supply {supply.id}" for supply in plan.supplies if supply.outcome != "sized"]
    return missing + [f"circuit {drawn.circuit.id}" for drawn in plan.circuits if drawn.sized.outcome != "sized"]
