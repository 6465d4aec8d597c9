"""The text of a plan: everything is in it, and its numbers are the plan's."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from render.briefs import NAMES, Rendered, briefs, example, render

from ohmstead.render import layout
from ohmstead.render.text import render_plan
from ohmstead.render.wiring import size
from ohmstead.wire.explain import in_system

HAIR = 2e-9
"""A little more than the rounding takes for what floats lose on the way."""


@pytest.fixture(scope="module", params=NAMES)
def published(request) -> Rendered:
    return render(example(request.param))


def number(text: str) -> float:
    """The first number of a text."""
    return float(re.search(r"-?[\d,]*\.?\d+", text)[0].replace(",", ""))


def rounded_up(printed: str, value: float) -> bool:
    """Whether a printed number is the value, or more by less than one unit of its last digit."""
    return -HAIR * max(1.0, abs(value)) <= number(printed) - value < _step(printed) * (1 + HAIR)


def rounded_down(printed: str, value: float) -> bool:
    return -HAIR * max(1.0, abs(value)) <= value - number(printed) < _step(printed) * (1 + HAIR)


def _step(printed: str) -> float:
    found = re.search(r"-?[\d,]*\.?(\d+)", printed)[0]
    return 10.0 ** -len(found.partition(".")[2])


def rows(rendered: Rendered) -> dict[str, list[str]]:
    """The row of each circuit in the schedule, cut at two spaces, without the id."""
    found, pending = {}, None
    ids = {drawn.circuit.id for drawn in rendered.plan.circuits}
    for line in rendered.section("circuits"):
        cells = re.split(r" {2,}", line.strip())
        if line.startswith("  ") and not line.startswith("    ") and cells[0] in ids:
            pending = cells[0] if len(cells) == 1 else None
            if pending is None:
                found[cells[0]] = cells[1:]
        elif pending is not None:
            found[pending], pending = cells, None
    return found


def flat(rendered: Rendered) -> str:
    """The text with its line breaks and margins gone, to look for sentences in."""
    return " ".join(rendered.text.split())


def whole(rendered: Rendered) -> None:
    """What holds for the text of every plan."""
    plan, answer, text = rendered
    everything = flat(rendered)
    assert max(map(len, text.splitlines())) <= layout.WIDTH
    assert all(line == line.rstrip() and line.isprintable() for line in text.splitlines())

    for finding in answer.findings:
        assert " ".join(f"{finding.message} [{finding.code}] Cure: {finding.cure}".split()) in everything
    for said in answer.assumptions:
        assert re.search(rf"^  {re.escape(said.name)} = ", text, re.MULTILINE), said.name
        assert " ".join(f"[{said.basis}] {said.why}".split()) in everything
    for caution in answer.cautions:
        assert " ".join(caution.split()) in everything
    for citation in answer.citations:
        assert " ".join(citation.title.split()) in everything
    for line in plan.demand.loads:
        assert re.search(rf"^  {re.escape(line.id)}(  |$)", "\n".join(rendered.section("demand")), re.MULTILINE)

    schedule = rows(rendered)
    assert len(schedule) == len(plan.circuits)
    for drawn in plan.circuits:
        cells, sized = schedule[drawn.circuit.id], drawn.sized
        assert rounded_up(cells[0], sized.design_current_a)
        if sized.outcome != "sized":
            assert cells[1] == "NOT SIZED"
            assert " ".join(sized.why.split()) in everything
            continue
        assert abs(number(cells[2]) - drawn.run_m) <= 0.005 + HAIR and cells[2].endswith(" ft)")
        assert cells[1] == size(sized.conductor.size, sized.conductor.sets, drawn.source.size_system)
        assert rounded_up(cells[4], 100 * sized.conductor.drop_fraction)
        assert rounded_down(cells[5], sized.load_voltage_v)
        if sized.device is None:
            assert cells[3] == "none"
        else:
            assert cells[3].startswith(sized.device.kind)
            assert number(cells[3]) == pytest.approx(sized.device.rating_a, rel=HAIR)


def test_published_plans_are_whole(published):
    whole(published)


@settings(max_examples=60, deadline=None)
@given(briefs())
def test_every_plan_is_whole(brief):
    whole(render(brief))


def test_what_nothing_fits_says_so_first():
    """A bank that nothing fits: the verdict says it in the first paragraph, and no part of the page invents anything."""
    brief = example("plan-climbers-van")
    brief["loads"] = [{**brief["loads"][0], "count": 60, "duty": 1.0}]
    rendered = render(brief)
    assert rendered.plan.bank.outcome == "nothing-fits"
    verdict = " ".join(rendered.text.split("\n\n")[1].split())
    assert verdict.startswith("NOTHING FITS") and "NOT TO BE BUILT" in verdict
    assert rendered.section("circuits")[0].strip() == "None drawn."
    assert rendered.section("installation")[0].strip() == "Not drawn: there is no bank."
    assert rendered.section("array")[0].strip() == "Not sized: there is no bank to charge."
    assert rendered.item("bank", "NOT SIZED").startswith(rendered.plan.bank.why[:40])


def test_what_is_unsafe_stands_ahead_of_every_size():
    brief = example("plan-climbers-van")
    brief["runs"] = [{"circuit_class": "dc-branch", "one_way": {"value": 60, "unit": "m"}}]
    brief["house_rules"] = {"drop_limit_direct": 0.002}
    rendered = render(brief)
    short = [drawn.circuit.id for drawn in rendered.plan.circuits if drawn.sized.outcome != "sized"]
    assert short
    assert "NOT TO BE BUILT" in " ".join(rendered.text.split("\n\n")[1].split())
    assert rendered.text.index("\nUNSAFE (") < rendered.text.index("\nDEMAND")
    above = " ".join(rendered.section("unsafe"))
    assert all(f"Circuit {id}: " in above for id in short)


def test_a_plan_without_array_inverter_and_supplies():
    brief = example("plan-climbers-van")
    brief |= {"array": {"by": "none"}, "inverter": {"by": "none"}, "supplies": []}
    brief["loads"] = [load for load in brief["loads"] if load["current"] == "dc"]
    rendered = render(brief)
    whole(rendered)
    assert rendered.section("array")[0].strip() == "None is wanted."
    assert rendered.section("inverter")[0].strip().startswith("None")
    assert rendered.section("supplies")[0].strip() == "None."


def test_sizes_to_buy_and_set(published):
    """Rounded to the side on which nobody gets hurt: what is asked for up, what is given or allowed down."""
    plan = published.plan
    assert rounded_up(published.item("demand", "Day at the bank"), plan.demand.day_energy_wh)
    usable = re.findall(r"[\d,]+(?= Wh)", published.item("bank", "Usable"))
    assert rounded_down(usable[0], plan.bank.usable_energy_wh) and rounded_down(usable[1], plan.bank.usable_energy_aged_wh)
    assert rounded_up(published.item("bank", "Needed"), plan.bank.need.energy_needed_wh)
    assert rounded_down(published.item("bank", "Charge limit"), plan.bank.currents.charge_limit_a)
    assert rounded_up(published.item("bank", "Short circuit"), plan.bank.fault.current_a)
    assert number(published.item("inverter", "Buy")) == plan.inverter.rating.inverter_rating_w
    assert rounded_up(published.item("inverter", "From the bank"), plan.inverter.rating.inverter_current_a)
    supply = plan.supplies[0]
    lines = "\n".join(published.section("supplies"))
    assert rounded_down(re.search(r"Charger set to +(.*)", lines)[1], supply.charging.charger_setting_a)
    assert rounded_up(re.search(r"Full again in +(.*)", lines)[1], supply.charging.charge_hours)
    first = next(supply for supply in plan.supplies if supply.alternating is not None)
    given = first.alternating.program_a if first.charger.kind == "inverter-charger" else first.alternating.supply_limit_a
    assert rounded_down(re.search(r"(?:Program +input limit|Gives) +(.*)", lines)[1], given)
    assert rounded_down(re.search(r"Left for loads +(.*)", lines)[1], first.alternating.left_va)


def test_lengths_are_those_that_were_asked_for():
    """Twelve feet in the brief are twelve feet in the schedule, however many pieces the run is cut into."""
    brief = example("plan-climbers-van")
    classes = ("inverter-dc", "controller-output", "controller-input", "dc-branch", "dc-dc-input", "bank-main", "ac-branch")
    brief["runs"] = [{"circuit_class": name, "one_way": {"value": 12, "unit": "ft"}} for name in classes]
    rendered = render(brief)
    schedule = rows(rendered)
    asked = [schedule[drawn.circuit.id][2] for drawn in rendered.plan.circuits if drawn.circuit.circuit_class in classes]
    assert len(asked) > 8 and set(asked) == {"3.66 m (12 ft)"}


def test_months(published):
    """Twelve rows that hold the balance of the year."""
    plan = published.plan
    lines = published.section("month by month")[1:13]
    assert len(lines) == len(plan.year.months) == 12
    for line, month in zip(lines, plan.year.months, strict=True):
        cells = re.split(r" {2,}", line.strip())
        assert rounded_up(cells[1], month.month_energy_wh)
        assert rounded_down(cells[2], month.array_energy_wh)
        values = [*month.supply_energy_wh, month.income_wh, month.balance_wh]
        assert all(rounded_down(cell, value) for cell, value in zip(cells[3:], values, strict=False))
        if month.days_to_empty is not None:
            assert rounded_down(cells[-1], month.days_to_empty)


def test_bonds_lock_outs_and_what_stays_live(published):
    lines = " ".join(" ".join(published.section("installation")).split())
    installation = published.plan.installation
    for bond in installation.bonds:
        assert bond.mode in lines
    for circuit in installation.always_live:
        assert circuit in lines
    for lead in installation.control_leads:
        if lead.purpose == "charge-lock-out":
            assert all(f"({target})" in lines for target in lead.acts_on)
    for equipment in installation.equipment:
        if equipment.kind not in ("battery-unit", "array-string", "fuse", "breaker", "dc-load", "ac-load", "always-live-load", "chassis", "grounding-electrode"):
            assert f"{equipment.title}: {equipment.place}" in lines
    in_circuits = {id for circuit in installation.circuits for id in circuit.conductors}
    for conductor in installation.conductors:
        assert conductor.id in in_circuits or f"{conductor.start} to {conductor.end}" in lines


@pytest.mark.parametrize("name", NAMES)
def test_the_same_plan_gives_the_same_text(name):
    """Also when its numbers were traced: a trace changes nothing that is printed."""
    once = render(example(name)).text
    assert render(example(name)).text == once
    assert render(example(name), traced=True).text == once


def test_the_units_of_the_answer_do_not_matter(published):
    """Text prints lengths, masses and temperatures in both systems, whichever the answer is in."""
    for system in ("us", "metric"):
        assert render_plan(published.plan, in_system(published.answer, system)) == published.text


@pytest.mark.parametrize("lines", [
    layout.item("unit", "a\x1b[2Jb"), layout.item("a\x1b[2Jb", "text"), layout.paragraph("a\u202eb\rc"), layout.numbered(1, "a\x07b", "c\x00d"),
    layout.table(("<name", "number"), [("a\x1b[2Jb", "1")], [("c\x9bd",)]), layout.heading("a\x1b]0;b"),
])  # fmt: skip
def test_names_cannot_move_the_cursor(lines):
    """Whatever a name holds is printed, and nothing in it is obeyed."""
    assert all(line.isprintable() for line in lines) and "?" in "".join(lines)


def test_numbers_too_long_for_a_table():
    """A row that the page cannot hold becomes a sentence; nothing is cut off."""
    rows = [("name", *(f"{10**20 + position}" for position in range(6)))]
    lines = layout.table(("<first", "a", "b", "c", "d", "e", "f"), rows)
    assert max(map(len, lines)) <= layout.WIDTH
    assert all(cell in " ".join(lines) for cell in rows[0])
