"""What must hold for every circuit that can be asked for, worked out a second time from the tables by plain search."""

from __future__ import annotations

import cmath
import math
from typing import get_args

import msgspec
import pytest
from hypothesis import assume
from hypothesis import strategies as st

from electrical.conductors.asking import ask, floats, size
from electrical.conductors.circuit_requests import EDGE_A, EDGE_C, accepted, requests
from generated import held, some
from ohmstead.reference.case import Shelf
from ohmstead.units import FACTORS
from ohmstead.wire.base import plain_float
from ohmstead.wire.quantities import AirTemperature, Current, Quantity, RunLength
from ohmstead.wire.v1.circuit import ByChassis, ByConductor, ByCurrent, ByPower, CircuitRequest, ClampEnd, PracticeName, StudEnd
from ohmstead.working import Traced, trace

TABLES = Shelf().plain.tables
HOLES = {
    name: dict(zip(TABLES[name].column("size"), map(str.split, TABLES[name].column("made_studs")), strict=True)) for name in ("lugs", "lugs_mm2")
}
SLACK = 1 + 1e-8


# -- by plain search ------------------------------------------------------------------------------------------------


class Document(msgspec.Struct, frozen=True):
    """What a document prints, told a second time: which tables it uses and what it makes of them."""

    sizes: str
    ampacity: dict[int, tuple[str, str]]
    ambient: str
    bundling: str
    air: dict[int, tuple[str, str]] | None = None
    free_run: float | None = None
    smallest: str | None = None
    largest: str = "4/0"
    parallel_from: str = "1/0"
    lugs: str = "lugs"
    factor: float = 1.0
    device_factor: float = 1.25
    coefficient: float = 0.00323
    small_terminals: bool = True
    usual_terminals: int = 75
    insulation: float = 90.0
    ambient_c: float = 40.0
    limit_v: float = 1e9


def columns(table: str, *ratings: int, suffix: str = "") -> dict[int, tuple[str, str]]:
    return {rating: (table, f"a_{rating}{suffix}") for rating in ratings}


NEC = Document(
    "awg_conductors", columns("nec_310_16", 60, 75, 90), "nec_310_15_ambient", "nec_310_15_bundling",
    columns("nec_310_17", 60, 75, 90), 0.6096, factor=1.25,
)
CRAFT = Document(
    "awg_sae_conductors", columns("craft_ampacity", 60, 75, 80, 90, 105, 125), "craft_ambient", "craft_bundling",
    smallest="16", insulation=105.0, ambient_c=30.0, limit_v=60.0,
)
METRIC = Document(
    "mm2_conductors", columns("iec_60364_5_52_90c", 90) | columns("iec_60364_5_52_70c", 70), "iec_60364_5_52_ambient",
    "iec_60364_5_52_bundling", columns("iec_60364_5_52_90c", 90, suffix="_free") | columns("vde_0298_4_free_air", 70),
    smallest="1.5", largest="120", parallel_from="50", lugs="lugs_mm2", coefficient=0.004 / 1.22, small_terminals=False, usual_terminals=70,
)
VEHICLE = msgspec.structs.replace(NEC, air=NEC.air | columns("craft_ampacity", 105))
"""Where 105 °C insulation hangs in free air a vehicle may go by the table for boats, with its factors for heat; it ends at 4/0."""
SMALL_CRAFT = msgspec.structs.replace(
    METRIC, ampacity=columns("iso_13297_ampacity", 60, 70, 90, 105, 125), air=None, ambient="iso_13297_ambient",
    bundling="iso_13297_bundling", smallest="1", ambient_c=30.0, limit_v=50.0,
)
SAE = {"sizes": "awg_sae_conductors", "smallest": "16"}
DOCUMENTS = {
    **dict.fromkeys(("craft", "craft-main", "craft-battery", "craft-branch", "craft-charging"), CRAFT),
    "craft-alternating": msgspec.structs.replace(NEC, **SAE, air=None, factor=1.0),
    "craft-photovoltaic": msgspec.structs.replace(NEC, **SAE),
    **dict.fromkeys(("small-craft", "small-craft-main", "small-craft-battery", "small-craft-branch", "small-craft-charging"), SMALL_CRAFT),
    "small-craft-alternating": msgspec.structs.replace(SMALL_CRAFT, device_factor=1.0, limit_v=250.0),
    **dict.fromkeys(("metric-alternating", "caravan-alternating"), msgspec.structs.replace(METRIC, device_factor=1.0)),
}


def document_of(source) -> Document:
    if source.name in DOCUMENTS:
        return DOCUMENTS[source.name]
    if source.name.startswith(("metric", "caravan")):
        return METRIC
    if source.name.startswith("vehicle-low-voltage"):
        return VEHICLE
    # A rule source that nobody told this search of is no rule source of the NEC.
    assert source.name.startswith(("dwelling", "vehicle", "photovoltaic")), source.name
    return NEC if source.free_air else msgspec.structs.replace(NEC, air=None)


def usable(printed: dict[int, tuple[str, str]], rating: float) -> int | None:
    """The hottest column that a rating may use."""
    return max((column for column in printed if column <= rating), default=None)


def factor_at(document: Document, ambient: float, rating: int) -> float | None:
    """First band, from the coldest, whose upper edge is not below the ambient."""
    table = TABLES["craft_ambient" if document is VEHICLE and rating == 105 else document.ambient]
    for upper, factor in zip(table.column("upper_c"), table.column(f"f_{rating}"), strict=True):
        if ambient <= upper + 1e-7:
            return factor
    return None


def adjustment_for(document: Document, together: float) -> float | None:
    table = TABLES[document.bundling]
    for upper, factor in zip(table.column("upper_count"), table.column("factor"), strict=True):
        if together <= upper:
            return factor
    return None


def largest_device(ampacity: float, relation: str) -> float:
    """240.4: the ampacity itself, or the next standard rating where allowed and not above 800 A; boats at most 150 %."""
    if not relation.startswith("next-size-up"):
        return ampacity
    above = min((rating for rating in TABLES["nec_240_6"].column("rating_a") if rating * SLACK >= ampacity), default=1e9)
    allowed = max(above, ampacity) if above <= 800 else ampacity
    return min(allowed, 1.5 * ampacity) if relation == "next-size-up-to-excess" else allowed


class Circumstances:
    """What the request and the answer together say about the run, for judging any size in it."""

    def __init__(self, request: CircuitRequest):
        self.request = request
        sized, case = size(request)
        self.circuit, self.source, self.case = sized.circuit, sized.source, case
        self.document = document = document_of(sized.source)
        self.sizes = self.source.sizes.column("size")
        self.relation = self.source.device_allowance if self.circuit.above_ampacity else self.source.device_relation
        self.nominal = request.system.nominal.value
        lowest = getattr(request.system, "lowest", None)
        lowest_v = self.nominal if lowest is None else lowest.value
        self.average = (
            request.load.current.value
            if isinstance(request.load, ByCurrent)
            else (in_service(request.load.power) / (request.load.efficiency * lowest_v))
        )
        self.leg = leg = getattr(request.system, "second_leg", None)
        self.other = 0.0
        if leg is not None:
            self.average, self.other = sorted((self.average, in_service(leg.current)), reverse=True)
        self.drop_a = self.average + (self.other / 2 if leg is not None and leg.arrangement == "one-hot" else 0.0)
        pf = request.ripple_power_factor
        self.rms = self.average * (1 if pf is None else math.sqrt(1 + 0.5 / pf**2))
        least = 1.15 if self.source.name in ("vehicle-generator", "dwelling-generator") else 1.0
        self.thermal = max(self.average * max(document.factor if request.continuous else 1, least), self.rms)
        self.needed = max(self.average * max(max(document.factor, document.device_factor) if request.continuous else 1, least), self.rms)
        self.insulation = float(request.insulation[:-1]) if request.insulation else document.insulation
        self.stretches = [Stretch(self, request.run, request), *(Stretch(self, part.length, part) for part in request.further)]
        self.ambient, self.run_m = self.stretches[0].ambient, sum(part.run_m for part in self.stretches)
        self.limit = self.circuit.drop_limit
        self.ends = [end for end in (request.from_end, request.to_end) if end is not None]
        self.back = request.return_path
        self.refused = not isinstance(self.back, ByConductor) and not (
            isinstance(self.back, ByChassis) and self.source.name == "vehicle-low-voltage-branch" and self.average <= 30 * SLACK
        )

    def on_the_neutral(self, device: float | None) -> dict[str, float]:
        """Neutral current as a sum of phasors, and what the breakers let through; no breaker sits in a neutral."""
        if self.leg is None:
            return {}
        turn = cmath.exp(1j * math.radians({"split-phase": 180, "one-hot": 0, "wye": 120}[self.leg.arrangement]))
        found = {"neutral-current": abs(self.average + self.other * turn)}
        bounds = [] if device is None else [2 * device if self.leg.arrangement == "one-hot" else device]
        if self.leg.arrangement == "one-hot" and self.leg.joint_breaker is not None:
            bounds.append(in_service(self.leg.joint_breaker))
        return found | ({"neutral-behind-devices": min(bounds)} if bounds else {})

    def terminal_value(self, size: str) -> float:
        """Table value at the terminals: the lower of both ends' marks, or what unmarked ones count as; never above the insulation's."""
        printed = self.document.ampacity
        if not self.document.small_terminals:
            usual = self.document.usual_terminals
        else:
            small = self.thermal <= 100 * SLACK or self.sizes.index(size) <= self.sizes.index("1")
            usual = 60 if small else 75
        marks = [end.rating for end in self.ends] + [None] * (2 - len(self.ends))
        marks = [mark or self.request.terminals for mark in marks]
        rating = min([float(mark[:-1]) if mark else usual for mark in marks] + [self.insulation])
        table, column = printed[usable(printed, rating)]
        return TABLES[table].cell(size, column)

    def faults(self, size: str, sets: int, device: float | None, relation: str | None = None) -> list[str]:
        """Why conductors of this size do not do here."""
        if any(part.adjustment(sets) is None for part in self.stretches):
            return ["too many together"]
        at_terminals = self.terminal_value(size) * sets
        conditions = min(part.conditions(size, sets) for part in self.stretches)
        resistance = TABLES[self.document.sizes].cell(size, "resistance_75c") / 1000 / sets
        given = self.back.resistance if isinstance(self.back, ByChassis) else None
        ways, metal = (2, 0.0) if given is None else (1, in_service(given))
        drop = (ways * self.run_m * resistance + metal) * self.drop_a / self.nominal
        hot = metal
        for part in self.stretches:
            heat = part.ambient + (self.insulation - part.ambient) * (self.rms / part.conditions(size, sets)) ** 2
            hot += ways * part.run_m * resistance * (1 + self.document.coefficient * (heat - 75))
        found = []
        if self.thermal > at_terminals * SLACK:
            found.append("ampacity-at-terminals")
        if self.rms > conditions * SLACK:
            found.append("ampacity-under-conditions")
        if drop > self.limit * SLACK:
            found.append("voltage-drop")
        if hot * self.drop_a / self.nominal > self.limit * SLACK:
            found.append("voltage-drop-at-temperature")
        if device is not None:
            if device > largest_device(min(at_terminals, conditions), relation or self.source.device_relation) * SLACK:
                found.append("device-protects-conductor")
            caps = self.source.caps
            if caps is not None and size in caps.index and device > caps.cell(size, "cap_a"):
                found.append("small-conductor-cap")
        capacity = min(at_terminals, conditions)
        return found + [name for name, current in self.on_the_neutral(device).items() if current > capacity * SLACK]

    def permitted(self, sets: int) -> list[str]:
        """Sizes that are made, that the terminals take and that may be paralleled so many times."""
        direct = self.source.current == "direct"
        document, row_of = self.document, self.sizes.index
        takes = [end.largest or self.request.largest_conductor for end in self.ends]
        takes += [self.request.largest_conductor] * (2 - len(self.ends))
        largest = min(row_of(size or document.largest) for size in takes)
        least = 0 if document.smallest is None else row_of(document.smallest)
        least = max([least, *(row_of(end.smallest) for end in self.ends if isinstance(end, ClampEnd) and end.smallest)])
        if any(part.rating == 105 and document is VEHICLE for part in self.stretches):
            largest = min(largest, row_of("4/0"))
        most = min([6, *(end.lugs_most if isinstance(end, StudEnd) else end.conductors_most for end in self.ends)])
        studs = [end.thread for end in self.ends if isinstance(end, StudEnd)]
        lugged, holes = (studs if self.ends else direct), HOLES[document.lugs]
        return [
            size
            for row, size in enumerate(self.sizes)
            if least <= row <= largest and sets <= most
            and not (lugged and size not in holes and (studs or row <= row_of("4/0")))
            and not (lugged and size in holes and any(stud not in holes[size] for stud in studs))
            and (sets == 1 or row >= row_of(document.parallel_from))
        ]


class Stretch:
    """One stretch of the run and what its place allows."""

    def __init__(self, c: Circumstances, length: Quantity, said):
        document = c.document
        self.run_m = in_service(length)
        self.ambient = document.ambient_c if said.ambient is None else in_service(said.ambient)
        if said.engine_space:
            self.ambient = 50.0 if said.ambient is None else max(50.0, self.ambient)
        self.printed = document.air if said.place == "free-air" and document.air is not None else document.ampacity
        self.rating = usable(self.printed, c.insulation)
        self.factor = None if self.rating is None else factor_at(document, self.ambient, self.rating)
        self.alone = said.place == "free-air" or (document.free_run is not None and self.run_m <= document.free_run * SLACK)
        usual = 2 if c.leg is None or c.leg.arrangement == "split-phase" else 3
        self.loaded, self.document = said.loaded_conductors or usual, document

    def adjustment(self, sets: int) -> float | None:
        return 1.0 if self.alone else adjustment_for(self.document, self.loaded * sets)

    def conditions(self, size: str, sets: int) -> float:
        table, column = self.printed[self.rating]
        return TABLES[table].cell(size, column) * self.factor * self.adjustment(sets) * sets


def in_service(quantity: Quantity) -> float:
    num, add, den = quantity.factors[quantity.unit]
    return (quantity.value * num + add) / den


# -- the properties --------------------------------------------------------------------------------------------------


def sound(request: CircuitRequest) -> None:
    c = Circumstances(accepted(request))
    circuit, row, device = c.circuit, c.circuit.conductor, c.circuit.device
    assert circuit.thermal_current_a == pytest.approx(c.thermal, rel=1e-9)
    if circuit.outcome == "nothing-fits":
        none = [part.factor for part in c.stretches if part.factor is None]
        assert circuit.ambient_factor == (none or [c.stretches[0].factor])[0]
        assert not c.refused or circuit.failed.rule.name == "return-path"
        assert row is None and circuit.why and circuit.choice is None
        assert circuit.failed is None or not circuit.failed.passed
        if c.nominal > c.document.limit_v * SLACK and not c.refused:
            assert circuit.failed.rule.name == "within-scope"
        return
    assert c.nominal <= c.document.limit_v * SLACK and not c.refused
    least = min(part.conditions(row.size, row.sets) for part in c.stretches)
    assert row.ampacity_conditions_a == pytest.approx(least, rel=1e-9)
    assert (circuit.ambient_factor, circuit.ambient_c) in [
        (part.factor, pytest.approx(part.ambient, rel=1e-9)) for part in c.stretches if part.conditions(row.size, row.sets) <= least * SLACK
    ]
    assert circuit.why == "" and circuit.failed is None
    assert 1 <= row.sets <= request.parallel_sets
    assert row.size in c.permitted(row.sets)
    rating = device.rating_a if device else None
    assert c.faults(row.size, row.sets, rating, c.relation) == []
    assert (device is not None) == request.device
    if circuit.above_ampacity:
        assert rating > row.ampacity_a and rating <= 1.5 * row.ampacity_a * SLACK
        assert all(c.faults(size, sets, rating) for sets in range(1, request.parallel_sets + 1) for size in c.permitted(sets))
        assert row.size == c.permitted(row.sets)[-1]
    # Every size below it that may be used in as many sets fails, and so does everything with fewer sets.
    smaller = [size for size in c.permitted(row.sets) if c.sizes.index(size) < c.sizes.index(row.size)]
    assert all(c.faults(size, row.sets, rating) for size in smaller)
    assert all(c.faults(size, fewer, rating) for fewer in range(1, row.sets) for size in c.permitted(fewer))
    if smaller:
        assert (circuit.smaller.size, circuit.smaller.sets) == (smaller[-1], row.sets)
        assert not circuit.smaller.failed.passed and circuit.smaller.failed.rule.name in c.faults(
            smaller[-1], row.sets, rating
        )
        assert circuit.choice.smaller_failed == circuit.smaller.failed
    else:
        assert circuit.smaller is None
    larger = [size for size in c.permitted(row.sets) if c.sizes.index(size) > c.sizes.index(row.size)]
    assert (circuit.larger and circuit.larger.size) == (larger[0] if larger else None)
    if larger:
        failed = c.faults(larger[0], row.sets, rating)
        assert (circuit.larger.failed and circuit.larger.failed.rule.name) == (failed[0] if failed else None)
    assert {check.rule.name for check in circuit.checks if not check.passed} <= {"device-interrupts", "device-carries-load-in-heat"}


def device_sound(request: CircuitRequest) -> None:
    c = Circumstances(request)
    circuit, device, source = c.circuit, c.circuit.device, c.source
    if circuit.outcome != "sized" or device is None:
        return
    assert device.rating_a in c.case.library.series[device.family]
    assert device.rating_a * SLACK >= c.needed
    below = [rating for rating in c.case.library.series[device.family] if rating < device.rating_a]
    assert not below or below[-1] < c.needed, "a smaller device of the family would carry the load"
    highest = getattr(request.system, "highest", None)
    highest_v = highest.value if highest else c.nominal * (14.6 / 12 if source.current == "direct" else 1 if c.leg is None else 2)
    assert device.voltage_v * SLACK >= highest_v
    assert not (device.polarised and request.both_ways)
    assert request.device_limit is None or device.rating_a <= request.device_limit.value * SLACK
    families = TABLES["device_families"]
    assert source.device_use in families.cell(device.row, "use").split()
    fault = request.fault
    if fault is None or not hasattr(fault, "current"):
        assert device.interrupting == "not-proven"
        reach = None
    else:
        reach = in_service(fault.current)
        assert device.interrupting == ("sufficient" if device.interrupting_a * SLACK >= reach else "short")
    others = [
        row
        for row in range(families.rows)
        if source.device_use in families.column("use")[row].split()
        and request.device_family in (None, families.column("family")[row])
        and families.column("device_voltage_v")[row] * SLACK >= highest_v
        and not (request.both_ways and families.column("polarised")[row] == "yes")
    ]
    strongest = max(families.column("interrupting_a")[row] for row in others)
    codes = [finding.code for finding in c.case.findings]
    if device.interrupting == "short":
        assert strongest * SLACK < reach, "another family interrupts it"
        assert "interrupting-rating-short" in codes
    if fault is not None and reach is None:
        assert "no-short-circuit-figure" in codes


@some(250)
def test_every_sized_circuit_is_sound_and_the_smallest(many):
    held(sound, many, request=requests())


@some(150)
def test_every_circuit_of_small_currents_is_sound_and_the_smallest(many):
    """The same where sizes, caps and bands lie close together."""
    near = st.builds(
        ByCurrent,
        current=st.builds(Current, value=st.one_of(st.sampled_from(EDGE_A), st.floats(1, 130)), unit=st.just("A")),
    )
    short = st.builds(RunLength, value=st.floats(0.3, 8), unit=st.just("m"))
    held(sound, many, request=requests(load=near, run=short, device_limit=st.none(), largest_conductor=st.none()))


@some(150)
def test_every_device_suits_its_circuit(many):
    held(device_sound, many, request=requests(device=st.just(True)))


def row_of(circuit, source) -> int:
    return source.sizes.row(circuit.conductor.size)


def never_smaller(easy: CircuitRequest, hard: CircuitRequest) -> None:
    (first_sized, _), (second_sized, _) = size(easy), size(hard)
    first, second = first_sized.circuit, second_sized.circuit
    if second.outcome != "sized":
        return
    assert first.outcome == "sized", "the harder circuit has a conductor and the easier one none"
    same_family = (first.device and first.device.row) == (second.device and second.device.row)
    if same_family and first.conductor.sets == second.conductor.sets:
        assert row_of(second, second_sized.source) >= row_of(first, first_sized.source)


def longer_run(request: CircuitRequest, factor: float) -> None:
    longer = RunLength(request.run.value * factor, request.run.unit)
    assume(longer.value <= 500)
    never_smaller(request, msgspec.structs.replace(request, run=longer))


def more_current(request: CircuitRequest, factor: float) -> None:
    load = request.load
    if isinstance(load, ByPower):
        larger = msgspec.structs.replace(
            load, power=msgspec.structs.replace(load.power, value=load.power.value * factor)
        )
    else:
        larger = ByCurrent(Current(load.current.value * factor, "A"))
        assume(larger.current.value <= 3000)
    never_smaller(request, msgspec.structs.replace(request, load=larger))


def hotter_place(request: CircuitRequest, rise: float) -> None:
    ambient = request.ambient or AirTemperature(50.0 if request.engine_space else 40.0, "degC")
    hotter = AirTemperature(ambient.value + rise, ambient.unit)
    try:
        accepted(msgspec.structs.replace(request, ambient=hotter))
    except msgspec.ValidationError:
        assume(False)
    assume(in_service(hotter) <= AirTemperature.physical[1])
    never_smaller(msgspec.structs.replace(request, ambient=ambient), msgspec.structs.replace(request, ambient=hotter))


def tighter_limit(request: CircuitRequest, factor: float) -> None:
    loose = request.drop_limit or 0.03
    never_smaller(
        msgspec.structs.replace(request, drop_limit=loose),
        msgspec.structs.replace(request, drop_limit=max(0.002, min(loose, loose / factor))),
    )


def more_together(request: CircuitRequest, more: int) -> None:
    few = request.loaded_conductors or 2
    never_smaller(
        msgspec.structs.replace(request, loaded_conductors=few),
        msgspec.structs.replace(request, loaded_conductors=min(60, few + more)),
    )


factors = st.one_of(st.floats(1.0, 1.2), st.floats(1.0, 20.0), st.sampled_from((1.0, 1.01, 1.25, 2.0)))


@some(80)
def test_a_longer_run_never_gives_a_smaller_conductor(many):
    held(longer_run, many, request=requests(), factor=factors)


@some(150)
def test_more_current_never_gives_a_smaller_conductor(many):
    held(more_current, many, request=requests(), factor=factors)


@some(80)
def test_a_hotter_place_never_gives_a_smaller_conductor(many):
    held(hotter_place, many, request=requests(), rise=st.one_of(st.floats(0, 60), st.just(1.0), st.just(0.1)))


@some(60)
def test_a_tighter_limit_never_gives_a_smaller_conductor(many):
    held(tighter_limit, many, request=requests(), factor=factors)


@some(60)
def test_more_conductors_together_never_give_a_smaller_conductor(many):
    held(more_together, many, request=requests(), more=st.integers(0, 40))


@pytest.mark.parametrize("terminals", [None, "70C", "75C", "90C"])
@pytest.mark.parametrize("practice", get_args(PracticeName))
@pytest.mark.parametrize("device", [True, False])
def test_no_step_down_as_current_rises(practice, terminals, device):
    """Ampere by ampere from 1 to 250, also past 100 A, where unmarked terminals of large circuits begin."""
    base = {
        "practice": practice,
        "system": {"by": "direct", "circuit_class": "inverter-dc", "nominal": {"value": 24, "unit": "V"}},
        "run": {"value": 1, "unit": "ft"},
        "ambient": {"value": 30, "unit": "degC"},
        "continuous": False,
        "device": device,
        "parallel_sets": 1,
        "fault": {"by": "maker", "current": {"value": 15, "unit": "kA"}},
    }
    if terminals:
        base["terminals"] = terminals
    last = -1
    for current in range(1, 251):
        circuit, _ = size(
            msgspec.convert(
                base | {"load": {"by": "current", "current": {"value": current, "unit": "A"}}}, CircuitRequest
            )
        )
        # Where no conductor is left, none comes back either.
        sizes = circuit.source.sizes
        row = row_of(circuit.circuit, circuit.source) if circuit.circuit.outcome == "sized" else sizes.rows
        assert row >= last, f"{current} A"
        last = row
    assert last > sizes.first_at_least("area_mm2", 42.0)


def plain_and_traced(request: CircuitRequest) -> None:
    plain, traced = ask(request), ask(request, traced=True)
    working = traced.working
    traced.working = None
    assert msgspec.json.encode(plain, enc_hook=plain_float) == msgspec.json.encode(traced, enc_hook=plain_float)
    beside = ("circuit", "chosen", "neutral", "start", "people_protection")
    bare = [number for field in beside for number in floats(getattr(traced, field), f"/{field}")]
    assert [place for place, number in bare if type(number) is not Traced] == [], "numbers without an origin"
    assert len(working.places) == len(bare)
    numbers = [number for _, number in bare]
    said = {assumption.name for assumption in traced.assumptions}
    assert trace.assumptions_behind(numbers) <= said
    # What is listed beyond the trace was used to decide and not to reckon: which column, which band, how many together.
    assert said - trace.assumptions_behind(numbers) <= DECIDING
    listed = {(source.id, source.clause, source.edition) for source in traced.citations}
    assert {(source.id, source.clause, source.edition) for source in trace.citations_behind(numbers)} <= listed


DECIDING = {
    "ambient_c",
    "insulation_temperature_c",
    "loaded_conductors",
    "terminal_temperature_small",
    "terminal_temperature_large",
    "highest_voltage_ratio",
    "drop_limit_direct",
    "drop_limit_charging",
    "drop_limit_photovoltaic",
    "drop_limit_alternating",
    "drop_limit_noncritical",
    "drop_limit_craft",
    "drop_limit_craft_other",
    "drop_limit_small_craft",
    "drop_limit_small_craft_other",
    "drop_limit_alternating_metric",
    "drop_limit_alternating_metric_other",
    "ambient_craft_c",
    "engine_space_c",
    "insulation_temperature_craft_c",
    "terminal_temperature_metric",
    "largest-conductor",
    "parallel-from",
    "device-family",
    "source-distance",
    "smallest-conductor",
    "grounding-size",
}


@some(120)
def test_traced_equals_plain_and_every_number_has_an_origin(many):
    held(plain_and_traced, many, request=requests())


OTHER_UNIT = {"ft": "m", "m": "ft", "degC": "degF", "degF": "degC", "W": "kW", "kW": "W", "A": "kA", "kA": "A"}


def moved(part):
    """The same request with every quantity in another of its units, as a client of another country would send it."""
    if isinstance(part, Quantity):
        other = OTHER_UNIT.get(part.unit)
        if other not in part.units:
            return part
        num, add, den = FACTORS[part.unit, other]
        return type(part)((part.value * num + add) / den, other)
    if isinstance(part, list):
        return [moved(item) for item in part]
    if isinstance(part, msgspec.Struct):
        return msgspec.structs.replace(part, **{field: moved(getattr(part, field)) for field in part.__struct_fields__})
    return part


def decided(answer) -> tuple:
    """All that an answer decides, and the numbers beside it."""
    circuit = answer.circuit
    names = (
        circuit.outcome,
        circuit.conductor and (circuit.conductor.size, circuit.conductor.sets),
        circuit.device and (circuit.device.family, circuit.device.rating, circuit.device.interrupting_verdict),
        circuit.grounding_conductor,
        circuit.failed and circuit.failed.name,
        circuit.choice and circuit.choice.governed_by,
        [(check.name, check.passed) for check in circuit.checks],
        [finding.code for finding in answer.findings],
    )
    return names, [number for _, number in floats(circuit, "")]


def same_in_other_units(request: CircuitRequest) -> None:
    other = moved(request)
    try:
        accepted(other)
    except msgspec.ValidationError:
        assume(False)  # what fits the bounds in feet may not fit them in metres
    (names, numbers), (other_names, other_numbers) = decided(ask(request)), decided(ask(other))
    assert names == other_names
    assert other_numbers == pytest.approx(numbers, rel=1e-9, abs=1e-9)


@some(120)
def test_the_same_in_other_units(many):
    held(same_in_other_units, many, request=requests())


@some(120)
def test_the_same_in_other_units_at_band_edges(many):
    """Ambient on a band's edge, current on a rating, run on the end of what may lie together unadjusted."""
    held(
        same_in_other_units,
        many,
        request=requests(
            ambient=st.builds(AirTemperature, value=st.sampled_from(EDGE_C), unit=st.just("degC")),
            run=st.sampled_from(
                (RunLength(2.0, "ft"), RunLength(0.6096, "m"), RunLength(10.0, "ft"), RunLength(3.0, "m"))
            ),
            load=st.builds(ByCurrent, current=st.builds(Current, value=st.sampled_from(EDGE_A), unit=st.just("A"))),
        ),
    )


@pytest.mark.parametrize("run_m", [3.0, 7.5, 11.3])
@pytest.mark.parametrize("size_name", ["14", "10", "6", "2"])
def test_the_same_in_other_units_when_the_drop_is_exactly_allowed(size_name, run_m):
    """A run whose drop is the limit to the last digit: sent in metres and in feet, and a hair longer."""
    sizes = TABLES["awg_conductors"]
    resistance = sizes.cell(size_name, "resistance_75c")
    current, nominal, limit = 4.0, 12.0, 0.03
    run = limit * nominal * 1000 / (2 * resistance * current)
    request = {
        "practice": "us-vehicle",
        "system": {"by": "direct", "circuit_class": "dc-branch", "nominal": {"value": nominal, "unit": "V"}},
        "load": {"by": "current", "current": {"value": current, "unit": "A"}},
        "ambient": {"value": 30, "unit": "degC"},
        "continuous": False,
        "insulation": "75C",
        "drop_limit": limit,
    }
    metres = ask(request | {"run": {"value": run, "unit": "m"}})
    feet = ask(request | {"run": {"value": run / 0.3048, "unit": "ft"}})
    longer = ask(request | {"run": {"value": run * 1.0001, "unit": "m"}})
    assert metres.circuit.conductor.size.name == feet.circuit.conductor.size.name == size_name
    assert sizes.row(longer.circuit.conductor.size.name) > sizes.row(size_name)


def without_neighbours(request: CircuitRequest) -> None:
    """Leaving out the neighbours changes nothing else: the plan sizes this way."""
    from ohmstead.electrical.conductors import single, sizing

    full, _ = size(request)
    original = single.size_circuit
    single.size_circuit = lambda run, case: sizing.size_circuit(run, case, neighbours=False)
    try:
        short, _ = size(request)
    finally:
        single.size_circuit = original
    left_out = {"smaller": None, "larger": None, "choice": None}
    assert msgspec.structs.replace(short.circuit, **left_out) == msgspec.structs.replace(full.circuit, **left_out)
    assert (short.circuit.choice and short.circuit.choice.governed_by) == (
        full.circuit.choice and full.circuit.choice.governed_by
    )


@some(40)
def test_neighbours_are_only_told(many):
    held(without_neighbours, many, request=requests())
