"""The published document: up to date, complete, closed where it must be, and the same as the routes."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from ohmstead import contract
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.app import build, paths_of
from ohmstead.configuration import Configuration, load
from ohmstead.wire.problems import PROBLEMS, FaultCode, ProblemCode

COMMITTED = load().openapi.read_bytes()
DOCUMENT = json.loads(COMMITTED)
SCHEMAS = DOCUMENT["components"]["schemas"]
OPERATIONS = [
    (path, method, operation) for path, item in DOCUMENT["paths"].items() for method, operation in item.items()
]
UNPUBLISHED = {"/docs"}  # pages and scripts for people


def named(operation):
    return f"{operation[1]} {operation[0]}" if isinstance(operation, tuple) else None


def request_schemas():
    """Every schema that a request can reach."""
    names = {calculation.request.__name__ for calculation in CALCULATIONS if calculation.post}
    reached = set()
    while names:
        name = names.pop()
        reached.add(name)
        names |= {ref.rsplit("/", 1)[1] for ref in references(SCHEMAS[name])} - reached
    return sorted(reached)


def references(part):
    if isinstance(part, dict):
        if "$ref" in part:
            yield part["$ref"]
        for value in part.values():
            yield from references(value)
    elif isinstance(part, list):
        for value in part:
            yield from references(value)


def leaves(part, place=""):
    """Every plain value of a schema: place and schema, unions taken apart."""
    for union in ("anyOf", "oneOf"):
        for at, member in enumerate(part.get(union, [])):
            yield from leaves(member, f"{place}/{union}/{at}")
    if "items" in part:
        yield from leaves(part["items"], f"{place}/items")
    elif isinstance(part.get("additionalProperties"), dict):
        yield from leaves(part["additionalProperties"], f"{place}/*")
    for kind in [part.get("type")] if isinstance(part.get("type"), (str, type(None))) else part["type"]:
        yield place, {**part, "type": kind}


def test_the_committed_document_is_what_the_code_makes():
    assert contract.as_bytes() == COMMITTED, "stale: run python -m ohmstead openapi"


def test_the_document_does_not_hang_on_the_order_of_hashes():
    program = "import sys; from ohmstead import contract; sys.stdout.buffer.write(contract.as_bytes())"
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(contract.__file__).parents[1])}
        run = subprocess.run([sys.executable, "-c", program], env=environment, capture_output=True, check=True)
        assert run.stdout == COMMITTED


def test_every_reference_leads_somewhere():
    for reference in references(DOCUMENT):
        part = DOCUMENT
        for name in reference.removeprefix("#/").split("/"):
            part = part[name]


@pytest.mark.parametrize("operation", OPERATIONS, ids=named)
def test_every_operation_says_what_it_does_and_shows_how(operation):
    path, method, said = operation
    assert said["summary"] and said["description"] and said["operationId"] and said["tags"]
    if method == "post":
        examples = said["requestBody"]["content"]["application/json"]["examples"]
        assert examples and all(example["value"] for example in examples.values())
    else:
        shown = [parameter["example"] for parameter in said.get("parameters", ()) if "example" in parameter]
        answered = said["responses"]["200"]["content"]
        assert shown or any("example" in content for content in answered.values())
        assert all("example" in parameter for parameter in said.get("parameters", ()) if parameter["required"])
    assert set(said["responses"]) > {"200"}


@pytest.mark.parametrize("operation", OPERATIONS, ids=named)
def test_every_parameter_has_a_description_and_bounds(operation):
    for parameter in operation[2].get("parameters", ()):
        assert parameter["description"], parameter["name"]
        for _, schema in leaves(parameter["schema"]):
            if schema.get("type") in ("number", "integer") and "enum" not in schema:
                assert "enum" in schema or ("minimum" in schema and "maximum" in schema), parameter["name"]
            if schema.get("type") == "string":
                assert "enum" in schema or "pattern" in schema or "maxLength" in schema, parameter["name"]


@pytest.mark.parametrize("name", request_schemas())
def test_every_request_object_is_closed_described_and_bounded(name):
    schema = SCHEMAS[name]
    assert schema.get("description"), name
    if schema.get("type") != "object":
        return
    assert schema["additionalProperties"] is False
    for field, said in schema["properties"].items():
        assert said.get("description") or "const" in said, f"{name}.{field} has no description"
        for place, leaf in leaves(said, f"{name}.{field}"):
            kind = leaf.get("type")
            if kind in ("number", "integer") and "enum" not in leaf:
                low, high = (
                    leaf.get("minimum", leaf.get("exclusiveMinimum")),
                    leaf.get("maximum", leaf.get("exclusiveMaximum")),
                )
                assert low is not None and high is not None, f"{place} has not both bounds"
            elif kind == "array":
                assert "maxItems" in leaf, f"{place} has no longest length"
            elif kind == "string":
                assert {"enum", "const"} & set(leaf) or "pattern" in leaf or "maxLength" in leaf, (
                    f"{place} has no bound"
                )


def test_answers_are_open_and_their_fields_are_described():
    requests = set(request_schemas())
    for name, schema in SCHEMAS.items():
        if name in requests or schema.get("type") != "object":
            continue
        assert schema.get("additionalProperties") is not False, name
        for field, said in schema["properties"].items():
            assert said.get("description") or "const" in said, f"{name}.{field} has no description"


def test_names_of_schemas_are_plain():
    # Two shapes of one name would be told apart by their module, and client generators would name types after files.
    assert [name for name in SCHEMAS if "." in name] == []


def test_unions_of_objects_have_a_discriminator():
    for name, schema in SCHEMAS.items():
        for place, leaf in leaves(schema):
            members = [member for member in leaf.get("oneOf", leaf.get("anyOf", [])) if "$ref" in member]
            if len(members) > 1:
                assert "discriminator" in leaf, f"{name}{place}"


def test_the_examples_are_answered():
    decoders = {calculation.name: msgspec.json.Decoder(calculation.request) for calculation in CALCULATIONS}
    for calculation in CALCULATIONS:
        assert calculation.examples, calculation.name
        for name in calculation.examples:
            decoders[calculation.name].decode((contract.EXAMPLES / f"{name}.json").read_bytes())


def test_paths_are_the_routes_that_exist(shelf):
    from litestar import Litestar

    front = build(Configuration(log="off"), shelf=shelf)
    assert isinstance(front.app, Litestar)
    served = {path: {method.lower() for method in methods} for path, methods in paths_of(front.app).items()}
    published = {path: set(item) for path, item in DOCUMENT["paths"].items()}
    assert {path: methods for path, methods in served.items() if not path.startswith(tuple(UNPUBLISHED))} == published


def test_codes_of_problems_are_published_as_closed_lists():
    codes = set(SCHEMAS["ProblemDocument"]["properties"]["code"]["enum"])
    assert codes == set(ProblemCode.__args__) == set(PROBLEMS)
    assert set(SCHEMAS["Fault"]["properties"]["code"]["enum"]) == set(FaultCode.__args__)


def test_a_linter_finds_nothing(tmp_path):
    redocly = shutil.which("redocly")
    if redocly is None:
        pytest.skip("redocly is not installed: npm install -g @redocly/cli")
    rules = tmp_path / "redocly.yaml"
    rules.write_text("extends: [recommended]\nrules:\n  info-license: off\n  operation-4xx-response: error\n")
    environment = {**os.environ, "REDOCLY_TELEMETRY": "off", "REDOCLY_SUPPRESS_UPDATE_NOTICE": "true"}
    run = subprocess.run(
        [redocly, "lint", str(load().openapi), "--config", str(rules)],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stdout + run.stderr
