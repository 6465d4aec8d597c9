"""The committed document against the application, with generated requests: right ones, and wrong in one place.

OHMSTEAD_EXAMPLES sets how many an operation (50).
"""

from __future__ import annotations

import json
import os
from collections import Counter
from pathlib import Path

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ohmstead.api.calculations import CALCULATIONS
from ohmstead.api.handlers import OPTION_NAMES
from ohmstead.app import build
from ohmstead.configuration import Configuration, load
from ohmstead.contract import flat

EXAMPLES = int(os.environ.get("OHMSTEAD_EXAMPLES", "50"))
ASKED = {f"/v1/{calculation.name}" for calculation in CALCULATIONS if calculation.get}
POSTED = {f"/v1/{calculation.name}" for calculation in CALCULATIONS if calculation.post}

SCHEMA = schemathesis.openapi.from_dict(
    json.loads(load().openapi.read_bytes()),
    config=schemathesis.config.SchemathesisConfig.from_path(Path(__file__).with_name("schemathesis.toml")),
)
SCHEMA.app = build(Configuration(log="off"))


@SCHEMA.hook
def flatmap_case(context, case):
    """A sound query is a sound body written flat: OpenAPI cannot say which parameters go together."""
    if not (case.meta.generation.mode.is_positive and case.method == "GET" and case.path in ASKED & POSTED):
        return st.just(case)
    options = {name: text for name, text in case.query.items() if name in OPTION_NAMES}

    def with_query_of(body):
        case.query = {**flat(body.body), **options}
        return case

    return SCHEMA[case.path]["POST"].as_strategy().map(with_query_of)


@SCHEMA.parametrize()
@settings(
    max_examples=EXAMPLES,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
def test_every_reply_is_as_published(case):
    case.call_and_validate()


OPERATIONS = [(path, "POST") for path in POSTED] + [(path, "GET") for path in ASKED]


@pytest.mark.parametrize(("path", "method"), sorted(OPERATIONS))
def test_a_quarter_of_what_fits_the_document_is_calculated(path, method):
    """Refusals alone would satisfy the checks above."""
    replies: Counter[int] = Counter()
    reasons: Counter[str] = Counter()

    @settings(
        max_examples=EXAMPLES, deadline=None, database=None, derandomize=True, suppress_health_check=list(HealthCheck)
    )
    @given(case=SCHEMA[path][method].as_strategy())
    def run(case):
        response = case.call()
        replies[response.status_code] += 1
        if response.status_code != 200:
            for error in response.json().get("errors", []):
                reasons[f"{error.get('pointer', error.get('parameter'))}: {error['detail']}"] += 1

    run()
    share = replies[200] / replies.total()
    print(f"{method} {path}: {share:.0%} of {replies.total()} answered; otherwise {dict(reasons.most_common(8))}")
    assert share >= 0.25
