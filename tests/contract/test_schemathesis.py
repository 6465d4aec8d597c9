"""The committed document against the application, with generated requests: right ones, and wrong in one place.

OHMSTEAD_EXAMPLES sets how many an operation (50).
"""

from __future__ import annotations

import json
import os
from collections import Counter, defaultdict
from pathlib import Path

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from ohmstead.api.calculations import CALCULATIONS
from ohmstead.api.handlers import OPTION_NAMES
from ohmstead.app import build
from ohmstead.configuration import Configuration, load
from ohmstead.contract import flat

DOCUMENT = json.loads(load().openapi.read_bytes())
ASKED = {f"/v1/{calculation.name}" for calculation in CALCULATIONS if calculation.get}


SCHEMA = schemathesis.openapi.from_dict(
    DOCUMENT, config=schemathesis.config.SchemathesisConfig.from_path(Path(__file__).with_name("schemathesis.toml"))
)
SCHEMA.app = build(Configuration(log="off"))
ANSWERED: dict[str, Counter] = defaultdict(Counter)


@SCHEMA.hook
def flatmap_case(context, case):
    """A sound query is a sound body written flat: OpenAPI cannot say which parameters go together."""
    if not (case.meta.generation.mode.is_positive and case.method == "GET" and case.path in ASKED):
        return st.just(case)
    options = {name: text for name, text in case.query.items() if name in OPTION_NAMES}

    def with_query_of(body):
        case.query = {**flat(body.body), **options}
        return case

    return SCHEMA[case.path]["POST"].as_strategy().map(with_query_of)


@SCHEMA.parametrize()
@settings(
    max_examples=int(os.environ.get("OHMSTEAD_EXAMPLES", "50")),
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
def test_every_reply_is_as_published(case):
    response = case.call()
    made = case.meta
    ANSWERED[case.operation.label][made.phase.name.value, made.generation.mode.is_positive, response.status_code] += 1
    case.validate_response(response)


def test_a_quarter_of_what_fits_the_document_is_calculated():
    """Refusals alone would satisfy the checks above. Runs after them, over the random requests that fit."""
    if not ANSWERED:
        pytest.skip("runs together with the generated requests only")
    shares = {}
    for label, replies in sorted(ANSWERED.items()):
        total = sum(replies.values())
        fitting = Counter(
            {status: count for (phase, sound, status), count in replies.items() if sound and phase != "coverage"}
        )
        shares[label] = fitting[200] / fitting.total()
        said = f"of {fitting.total()} random ones that fit, {shares[label]:4.0%} answered {dict(fitting)}"
        print(f"{label:24} {total:5} requests; {said}")
    assert min(shares.values()) >= 0.25, shares
