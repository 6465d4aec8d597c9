"""What a plan says twice it says alike, and what it tells to do can be done."""

from __future__ import annotations

import re

import pytest
from render.briefs import NAMES, Rendered, example, render

from ohmstead.electrical.solar.model import MONTHS


@pytest.fixture(scope="module", params=NAMES)
def published(request) -> Rendered:
    return render(example(request.param))


def numbers(text: str) -> set[str]:
    """The numbers of a text as they are printed, without the marks between thousands and without a nought behind the point."""
    return {re.sub(r"\.0+$", "", found.replace(",", "")) for found in re.findall(r"\d[\d,]*(?:\.\d+)?", text)}


def said(rendered: Rendered, code: str) -> list[str]:
    return [finding.message for finding in rendered.answer.findings if finding.code == code]


def test_findings_round_as_the_sections_do(published):
    """To the same side and the same digit: 280.1 A in one place and 280.2 A in another would be two currents to a reader."""
    bank, inverter = published.item("bank", "Gives"), published.item("inverter", "From the bank")
    for code in ("ripple-current", "bank-gives-surge", "bank-below-inverter"):
        for message in said(published, code):
            amperes = set(re.findall(r"([\d.]+) A", message))
            assert amperes and amperes <= numbers(inverter) | numbers(bank), code
    assert said(published, "ripple-current")
    for message in said(published, "months-in-deficit"):
        worst = published.plan.year.months[published.plan.year.worst_month - 1]
        name = MONTHS[worst.month - 1][:3].capitalize()
        (row,) = [line for line in published.section("month by month") if line.split()[:1] == [name]]
        assert set(re.findall(r"(\d+) Wh", message)) <= numbers(row)
    for message in said(published, "string-above-60-v"):
        assert set(re.findall(r"([\d.]+) V", message)) <= numbers(published.item("array", "Coldest"))
    for message in said(published, "chargers-together"):
        assert set(re.findall(r"([\d.]+) A", message)) <= numbers(published.item("supplies", "All charging")) | numbers(published.item("bank", "Charge limit"))


@pytest.mark.parametrize(("charger", "label"), [({"kind": "inverter-charger"}, "Program"), ({"kind": "stand-alone"}, "Gives")])
def test_only_an_inverter_charger_has_an_input_limit_to_program(charger, label):
    rendered = render(example("plan-horse-trailer") | {"charger": charger})
    supplies = " ".join(rendered.section("supplies"))
    assert f"    {label}  " in "\n".join(rendered.section("supplies")) and ("Program" in supplies) == (label == "Program")
    # The air conditioner hangs ahead of the inverter; a charger on its own has no limit that it would lower.
    assert bool(said(rendered, "loads-ahead-of-inverter")) == (label == "Program")
    if label == "Gives":
        assert rendered.item("supplies", "Gives").startswith("24.0 A (breaker 30 A, 120 V, 2,880 W without end)")


def test_a_heavy_load_past_the_load_disconnect_is_said():
    rendered = render(example("plan-travelling-library"))
    past = rendered.item("installation", "Past it")
    assert past.startswith("wheelchair-lift: from the bus bars") and "not the load disconnect" in past
    assert "Past it" not in render(example("plan-horse-trailer")).text


def test_where_neutral_and_earth_do_not_meet_it_is_said():
    brief = example("plan-beekeepers-cabin")
    floating = render(brief | {"supplies": [supply | {"neutral": "floating"} for supply in brief["supplies"]]})
    assert floating.item("installation", "generator") == "NOWHERE: see the unsafe findings"
    assert "NOT TO BE BUILT" in " ".join(floating.text.split()) and "NOWHERE" not in render(brief).text
    assert "neutral bond: Generator" in render(brief).text


def test_whether_the_negative_is_grounded_is_said():
    assert render(example("plan-beekeepers-cabin")).item("installation", "DC negative").startswith("grounded: joined to the earth bus bar in one place")
    assert render(example("plan-climbers-van")).item("installation", "DC negative").startswith("grounded: joined to the chassis in one place")


def test_a_grounding_conductor_says_where_it_leads():
    cabin = " ".join(" ".join(render(example("plan-beekeepers-cabin")).section("circuits")).split())
    assert "grounding conductor 8 AWG to the earth bus bar" in cabin and "NOT DRAWN" not in cabin
    assert "grounding conductor 12 AWG to the chassis" in " ".join(" ".join(render(example("plan-climbers-van")).section("circuits")).split())
