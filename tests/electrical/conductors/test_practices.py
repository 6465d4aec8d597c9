"""What the practices differ in, on purpose: who they fit, which sizes they know, how sizes of two systems compare."""

from __future__ import annotations

from typing import get_args

import pytest

from electrical.conductors.asking import ask
from ohmstead.wire.problems import Problem
from ohmstead.wire.v1.circuit import DwellingKind, PracticeName, SizeName

KINDS = {
    "us-vehicle": {"trailer", "motor-home", "van", "truck-camper", "food-truck"},
    "us-craft": {"boat"},
    "us-dwelling": {"cabin"},
}
KINDS |= {name.replace("us", "intl", 1): kinds for name, kinds in KINDS.items()}


def request(practice: str, **given) -> dict:
    return {
        "practice": practice,
        "system": {"by": "direct", "circuit_class": "dc-feeder", "nominal": {"value": 24, "unit": "V"}},
        "load": {"by": "current", "current": {"value": 20, "unit": "A"}},
        "run": {"value": 2, "unit": "m"},
        **given,
    }


@pytest.mark.parametrize("practice", get_args(PracticeName))
@pytest.mark.parametrize("kind", get_args(DwellingKind))
def test_a_practice_that_does_not_fit_the_kind_is_refused(practice, kind):
    if kind in KINDS[practice]:
        assert ask(request(practice, kind=kind)).circuit.outcome == "sized"
        return
    with pytest.raises(Problem) as refused:
        ask(request(practice, kind=kind))
    (fault,) = refused.value.faults
    assert (fault.code, fault.pointer, refused.value.status) == ("contradiction", "/kind", 422)
    assert sorted(KINDS[practice])[0] in fault.detail


@pytest.mark.parametrize("practice", get_args(PracticeName))
@pytest.mark.parametrize("size", get_args(SizeName))
def test_a_size_of_another_practice_is_refused_with_the_list(practice, size):
    imperial = "/" in size or size in {"18", "14", "12", "8", "3", "2", "250", "300", "350", "400", "500"}
    metric = size in {"1.5", "2.5", "0.75", "25", "35", "50", "70", "95", "120", "150", "185", "240"}
    try:
        answer = ask(request(practice, largest_conductor=size))
    except Problem as problem:
        (fault,) = problem.faults
        assert (fault.code, fault.pointer) == ("contradiction", "/largest_conductor")
        assert size not in fault.allowed and len(fault.allowed) >= 14
        assert not (imperial and practice in ("us-vehicle", "us-dwelling"))
    else:
        assert not (metric if practice.startswith("us") else imperial)
        if answer.circuit.outcome == "sized":
            assert answer.circuit.conductor.size.system == ("awg" if practice.startswith("us") else "mm2")


def test_sizes_of_two_systems_compare_by_resistance(shelf):
    """95 mm2 is in practice 3/0, not the 4/0 that its name suggests."""
    awg, metric = shelf.plain.tables["awg_conductors"], shelf.plain.tables["mm2_conductors"]
    nearest = min(awg.column("size"), key=lambda size: abs(awg.cell(size, "resistance_75c") - metric.cell("95", "resistance_75c")))
    assert nearest == "3/0"
    assert awg.cell("4/0", "resistance_75c") < 0.8 * metric.cell("95", "resistance_75c")


def test_metric_resistance_is_that_of_20_degrees_carried_to_75(shelf):
    table, constants = shelf.plain.tables["mm2_conductors"], shelf.plain.tables["constants"]
    for cold, warm in zip(table.column("resistance_20c"), table.column("resistance_75c"), strict=True):
        assert warm == pytest.approx(cold * (1 + 0.004 * 55), rel=1e-12)
    assert constants.cell("copper_temperature_coefficient_metric", "value") == pytest.approx(0.004 / 1.22, rel=1e-12)


def test_boat_cable_has_less_copper_and_more_resistance_than_its_number_says(shelf):
    awg, sae = shelf.plain.tables["awg_conductors"], shelf.plain.tables["awg_sae_conductors"]
    for size in sae.column("size"):
        ratio = awg.cell(size, "area_cmil") / sae.cell(size, "area_cmil")
        assert 1.02 < ratio < 1.13
        assert sae.cell(size, "resistance_75c") == pytest.approx(awg.cell(size, "resistance_75c") * ratio, rel=1e-6)
    answer = ask(request("us-craft"))
    assert "SAE" in answer.circuit.size_table


def test_no_figure_is_one_of_en_1648(shelf):
    for table in shelf.plain.tables.values():
        assert "en-1648" not in {citation.id for citation in table.citation_of_row}
    answer = ask(request("intl-vehicle"))
    assert "not seen" in answer.circuit.rules and answer.circuit.by_analogy
    assert {said.basis for said in answer.citations if said.id == "en-1648"} == {"recalled"}
    assert "en-1648" not in {check.citation.id if hasattr(check, "citation") else "" for check in answer.circuit.checks}


def test_every_small_craft_cell_that_decides_says_that_it_is_recalled():
    for current in (15, 60, 110, 250):
        answer = ask(request("intl-craft", load={"by": "current", "current": {"value": current, "unit": "A"}}, run={"value": 0.3, "unit": "m"}))
        assert answer.circuit.choice.governed_by in ("ampacity-at-terminals", "device-protects-conductor")
        assert "recalled-value-decides" in {finding.code for finding in answer.findings}
        assert {said.basis for said in answer.citations if said.clause == "Table A.1"} == {"recalled"}


def test_the_allowance_of_boats_is_said():
    tight = request("us-craft", largest_conductor="4", parallel_sets=1, load={"by": "current", "current": {"value": 86, "unit": "A"}}, run={"value": 0.3, "unit": "m"})
    answer = ask(tight)
    device, conductor = answer.circuit.device.rating.value, answer.circuit.conductor.ampacity.value
    assert conductor < device <= 1.5 * conductor
    assert "device-above-ampacity" in {finding.code for finding in answer.findings}


def test_from_50_volts_the_choice_is_said():
    def said(nominal):
        system = {"by": "direct", "circuit_class": "dc-feeder", "nominal": {"value": nominal, "unit": "V"}}
        return {finding.code for finding in ask(request("us-craft", system=system)).findings}

    assert "rules-change-at-voltage" in said(51.2)
    assert "rules-change-at-voltage" not in said(48)


@pytest.mark.parametrize(("practice", "circuit_class", "plain", "sheathed"), [
    ("us-craft", "bank-main", 0.1778, 1.8288),
    ("us-craft", "dc-feeder", 0.1778, 1.016),
    ("intl-craft", "dc-feeder", 0.2, None),
    ("intl-craft", "charger-output", 1.8, 1.8),
    ("intl-vehicle", "dc-feeder", 0.2, 0.2),
    ("us-vehicle", "dc-feeder", 0.4572, 0.4572),
])
def test_how_near_the_source_a_device_sits(practice, circuit_class, plain, sheathed):
    system = {"by": "direct", "circuit_class": circuit_class, "nominal": {"value": 24, "unit": "V"}}
    for flag, metres in ((False, plain), (True, sheathed)):
        within = ask(request(practice, system=system, sheathed_at_source=flag)).circuit.device.within
        assert (within and within.value) == metres


def test_more_together_than_the_table_prints_is_an_outcome():
    answer = ask(request("intl-dwelling", loaded_conductors=41))
    assert answer.circuit.outcome == "nothing-fits" and "ends below 41" in answer.circuit.why
