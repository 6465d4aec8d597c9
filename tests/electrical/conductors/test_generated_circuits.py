"""What generated requests reach, so that what holds for them says something; and devices where only a bound is known."""

from __future__ import annotations

from collections import Counter
from typing import get_args

import msgspec
import pytest
from hypothesis import strategies as st

from electrical.conductors.asking import ask, size
from electrical.conductors.circuit_requests import requests
from electrical.conductors.test_circuit_properties import factors, hotter_place, in_service, longer_run, more_current, sound, tighter_limit
from generated import LONG, held, some
from ohmstead.reference.case import Shelf
from ohmstead.wire.quantities import AirTemperature, Current, RunLength
from ohmstead.wire.v1.circuit import ByConductor, ByCurrent, DirectSystem, PracticeName

SHELF = Shelf()
FAMILIES = SHELF.plain.tables["device_families"]
BOUNDS = SHELF.plain.tables["short_circuit_bounds"]
SLACK = 1 + 1e-8


heavy = requests(
    load=st.builds(ByCurrent, current=st.builds(Current, value=st.floats(60, 1200), unit=st.just("A"))),
    run=st.builds(RunLength, value=st.one_of(st.floats(0.1, 0.7), st.floats(0.1, 6)), unit=st.just("m")),
    ambient=st.one_of(st.none(), st.builds(AirTemperature, value=st.floats(0, 55), unit=st.just("degC"))),
    insulation=st.sampled_from((None, "90C", "105C")), largest_conductor=st.none(), device_limit=st.none(), parallel_sets=st.integers(2, 6),
    loaded_conductors=st.one_of(st.none(), st.integers(1, 8)), from_end=st.none(), to_end=st.none(), device_family=st.none(), chosen=st.none(),
    return_path=st.just(ByConductor()),
)
"""Large currents on short runs, where conductors stand in parallel: too rare among all requests."""


@pytest.mark.long
def test_generated_requests_reach_every_practice_and_both_ends_of_every_choice():
    """A property over requests of which none is sized, or none has a device, a bundle or a bound, would hold for nothing."""
    seen: Counter[tuple[str, str]] = Counter()

    def look(request):
        circuit, practice = ask(request).circuit, request.practice
        kind = "direct" if isinstance(request.system, DirectSystem) else "alternating"
        seen[practice, f"{kind} {circuit.outcome}"] += 1
        if circuit.outcome == "sized":
            seen[practice, "governed by " + circuit.choice.governed_by] += 1
            seen[practice, "parallel sets"] += circuit.conductor.sets > 1
            seen[practice, "corrected for ambient"] += circuit.ambient_factor != 1
            seen[practice, "bundled"] += circuit.bundling_factor != 1
            seen[practice, "next size down"] += circuit.smaller is not None
            if circuit.device:
                seen[practice, circuit.device.interrupting_verdict] += 1
                seen[practice, "both ways"] += request.both_ways

    held(look, LONG, request=st.one_of(requests(), heavy))
    wanted = (
        "direct sized", "direct nothing-fits", "alternating sized", "alternating nothing-fits", "parallel sets", "corrected for ambient", "bundled",
        "next size down", "both ways", "sufficient", "not-proven", "governed by ampacity-at-terminals", "governed by voltage-drop",
        "governed by ampacity-under-conditions", "governed by device-protects-conductor",
    )
    assert {(practice, name) for practice in get_args(PracticeName) for name in wanted if seen[practice, name] < 20} == set()
    # A fault beyond every family is rare on boats, whose rules end at 60 V.
    assert sum(seen[practice, "short"] for practice in get_args(PracticeName)) > 100


@some(120)
def test_every_circuit_of_large_currents_is_sound_and_the_smallest(many):
    held(sound, many, request=heavy)


@some(40)
@pytest.mark.parametrize("harder", [longer_run, more_current, tighter_limit])
def test_a_harder_circuit_of_large_currents_never_has_a_smaller_conductor(harder, many):
    held(harder, many, request=heavy, factor=factors)


@some(40)
def test_a_hotter_circuit_of_large_currents_never_has_a_smaller_conductor(many):
    held(hotter_place, many, request=heavy, rise=st.one_of(st.floats(0, 40), st.just(0.1)))


@pytest.mark.long
def test_pairs_of_requests_are_really_compared():
    """Of pairs that differ in length alone, many have the same family and count, and some a larger conductor."""
    seen: Counter[str] = Counter()

    def look(request):
        longer = msgspec.structs.replace(request, run=msgspec.structs.replace(request.run, value=min(500.0, request.run.value * 4)))
        (first, _), (second, _) = size(request), size(longer)
        one, other = first.circuit, second.circuit
        if one.outcome == other.outcome == "sized":
            alike = (one.device and one.device.row, one.conductor.sets) == (other.device and other.device.row, other.conductor.sets)
            seen["compared"] += alike
            seen["in parallel"] += alike and one.conductor.sets > 1
            seen["larger"] += alike and one.conductor.size != other.conductor.size

    held(look, LONG, request=st.one_of(requests(), heavy))
    assert seen["compared"] > 5000 and seen["in parallel"] > 500 and seen["larger"] > 500


def bound(fault) -> float:
    """Upper bound of a bank's short-circuit current, a second time from its table."""
    capacity = in_service(fault.unit_capacity)
    per_ah = BOUNDS.cell(fault.chemistry, "short_circuit_per_ah")
    if per_ah is not None:
        return per_ah * capacity * fault.strings
    inner = BOUNDS.cell(fault.chemistry, "cell_resistance_capacity_ohm_ah") / capacity + BOUNDS.cell(fault.chemistry, "joint_resistance_ohm")
    return fault.strings * BOUNDS.cell(fault.chemistry, "full_cell_voltage_v") / inner


def guarded(request) -> None:
    """Every end that can overload the conductors has the device; against a bound or nothing it is the strongest, or reaches the bound."""
    answer = ask(request)
    circuit = answer.circuit
    codes = {finding.code for finding in answer.findings}
    if circuit.outcome != "sized" or circuit.device is None:
        return
    device = circuit.device
    far = request.source_at_load if request.source_at_load is not None else request.system.circuit_class == "bank-unit"
    assert device.places == (["from", "to"] if far else ["from"])
    row = next(check for check in circuit.checks if check.name == "device-voltage")
    assert row.passed and row.actual.value == device.voltage.value
    if request.fault is None:
        assert "short-circuit-not-known" in codes and device.interrupting_verdict == "not-proven"
        assert not any(check.name == "device-interrupts" for check in circuit.checks)
        return
    interrupts = next(check for check in circuit.checks if check.name == "device-interrupts")
    if hasattr(request.fault, "current"):
        assert interrupts.limit.value == pytest.approx(in_service(request.fault.current), rel=1e-12)
        assert device.interrupting_verdict == ("sufficient" if interrupts.passed else "short")
        return
    reach = bound(request.fault)
    assert interrupts.limit.value == pytest.approx(reach, rel=1e-9)
    assert device.interrupting_verdict == "not-proven" and "no-short-circuit-figure" in codes
    if device.interrupting.value * SLACK < reach:
        source = size(request)[0].source
        others = [
            FAMILIES.column("interrupting_a")[place]
            for place in range(FAMILIES.rows)
            if source.device_use in FAMILIES.column("use")[place].split()
            and request.device_family in (None, FAMILIES.column("family")[place])
            and FAMILIES.column("device_voltage_v")[place] * SLACK >= row.limit.value
            and not (request.both_ways and FAMILIES.column("polarised")[place] == "yes")
        ]
        assert max(others) * SLACK < reach, "another family reaches the bound"


@some(150)
def test_every_source_end_is_guarded_as_far_as_is_known(many):
    held(guarded, many, request=st.one_of(requests(device=st.just(True), source_at_load=st.sampled_from((None, True, False))), heavy))
