"""Every calculation both ways: traced and plain answers are the same, and no quantity is without an origin."""

from __future__ import annotations

import json
import os

import msgspec
import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from msgspec import Struct

from ohmstead import contract
from ohmstead.api.calculation import Options, carry_out
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.api.handlers import OPTION_NAMES
from ohmstead.api.reply import encode
from ohmstead.configuration import load
from ohmstead.wire import query
from ohmstead.wire.base import Amount, Assumption, Working
from ohmstead.wire.collect import check, convert
from ohmstead.wire.problems import Problem
from ohmstead.working import Traced, trace

SCHEMA = schemathesis.openapi.from_dict(json.loads(load().openapi.read_bytes()))
EXAMPLES = int(os.environ.get("OHMSTEAD_EXAMPLES", "50"))


def both_ways(calculation, shelf, request):
    """The plain answer and the traced one; None for both when the request is refused both ways."""
    answers = []
    for working in (False, True):
        try:
            answers.append(carry_out(calculation, shelf, request, Options(working=working))[1])
        except Problem as problem:
            answers.append(problem.faults)
    if not isinstance(answers[0], Struct):
        assert answers[0] == answers[1]
        return None, None
    return answers


def without_origin(part, place=""):
    """Amounts of an answer whose number does not know where it comes from."""
    if isinstance(part, (Assumption, Working)):
        return
    if isinstance(part, Amount):
        if type(part.value) is not Traced:
            yield place
    elif isinstance(part, Struct):
        for name in part.__struct_fields__:
            yield from without_origin(getattr(part, name), f"{place}/{name}")
    elif isinstance(part, dict):
        for name, value in part.items():
            yield from without_origin(value, f"{place}/{name}")
    elif isinstance(part, (list, tuple)):
        for position, value in enumerate(part):
            yield from without_origin(value, f"{place}/{position}")


def traced_in(part):
    """Every traced number of an answer."""
    if type(part) is Traced:
        yield part
    elif isinstance(part, Struct) and not isinstance(part, Working):
        for name in part.__struct_fields__:
            yield from traced_in(getattr(part, name))
    elif isinstance(part, dict):
        for value in part.values():
            yield from traced_in(value)
    elif isinstance(part, (list, tuple)):
        for value in part:
            yield from traced_in(value)


def as_read(body, calculation):
    """The request of a generated body, whole floats made integers as the service does."""
    checked, faults = check(body, calculation.request)
    assert faults == []
    return convert(checked, calculation.request)


def as_asked(asked, calculation):
    """The request of a generated query string."""
    return query.read({name: str(text) for name, text in asked.items() if name not in OPTION_NAMES}, calculation.request)


def verify(calculation, shelf, request):
    plain, traced = both_ways(calculation, shelf, request)
    if plain is None:
        return
    working, traced.working = traced.working, None
    assert encode(plain) == encode(traced)
    assert list(without_origin(traced)) == []
    numbers = list(traced_in(traced))
    listed = {assumption.name for assumption in traced.assumptions}
    assert trace.assumptions_behind(numbers) <= listed
    written = msgspec.json.decode(encode(working))
    whole = json.loads(encode(traced))
    for pointer, number in written["places"].items():
        value = whole
        for name in pointer.split("/")[1:]:
            value = value[int(name)] if isinstance(value, list) else value[name]
        assert value == written["numbers"][number]["value"], pointer


EXAMPLE_FILES = [(calculation, name) for calculation in CALCULATIONS for name in calculation.examples]


@pytest.mark.parametrize(("calculation", "name"), EXAMPLE_FILES, ids=[name for _, name in EXAMPLE_FILES])
def test_examples(calculation, name, shelf):
    verify(calculation, shelf, convert(contract.example(name), calculation.request))


@pytest.mark.parametrize(("calculation", "name"), EXAMPLE_FILES, ids=[name for _, name in EXAMPLE_FILES])
def test_every_source_behind_a_number_is_listed(calculation, name, shelf):
    _, traced = both_ways(calculation, shelf, convert(contract.example(name), calculation.request))
    said = {(citation.id, citation.clause) for citation in traced.citations}
    behind = {(citation.id, citation.clause) for citation in trace.citations_behind(traced_in(traced))}
    assert behind - said == set()


@pytest.mark.parametrize("calculation", CALCULATIONS, ids=[calculation.name for calculation in CALCULATIONS])
def test_generated_requests(calculation, shelf):
    @settings(
        max_examples=EXAMPLES, deadline=None, database=None, derandomize=True, suppress_health_check=list(HealthCheck)
    )
    @given(case=SCHEMA[f"/v1/{calculation.name}"]["POST" if calculation.post else "GET"].as_strategy())
    def run(case):
        verify(calculation, shelf, as_read(case.body, calculation) if calculation.post else as_asked(case.query, calculation))

    run()
