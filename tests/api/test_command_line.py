"""The command line, as somebody calls it."""

import json

import pytest

from ohmstead import contract
from ohmstead.__main__ import main

CIRCUIT = ["--calculation", "circuit"]


def test_a_request_from_a_file(capsysbinary, tmp_path):
    path = contract.EXAMPLES / "circuit-inverter.json"
    assert main(["plan", str(path), *CIRCUIT, "--json"]) == 0
    plain = json.loads(capsysbinary.readouterr().out)
    assert plain["circuit"]["outcome"] == "sized" and plain["working"] is None
    assert main(["plan", str(path), *CIRCUIT, "--json", "--working", "--units", "us"]) == 0
    told = json.loads(capsysbinary.readouterr().out)
    assert told["working"]["numbers"]


def test_problems_are_readable(capsys, tmp_path):
    path = tmp_path / "wrong.json"
    path.write_text(json.dumps({**contract.example("circuit-inverter"), "run": 12, "colour": "red"}))
    assert main(["plan", str(path), *CIRCUIT]) == 1
    said = capsys.readouterr().err
    assert (
        "/run: give a value and a unit" in said
        and "/colour: there is no field colour" in said
        and "Traceback" not in said
    )


def test_a_file_that_is_not_there(capsys):
    assert main(["plan", "/nowhere.json", *CIRCUIT]) == 1
    assert "/nowhere.json" in capsys.readouterr().err


def test_the_document_is_checked_and_written(capsys, tmp_path, monkeypatch):
    assert main(["openapi", "--check"]) == 0
    monkeypatch.setenv("OHMSTEAD_OPENAPI", str(tmp_path / "v1.json"))
    (tmp_path / "v1.json").write_text("{}")
    assert main(["openapi", "--check"]) == 1
    assert "stale" in capsys.readouterr().err
    assert main(["openapi"]) == 0
    assert main(["openapi", "--check"]) == 0


def test_the_tables_are_listed(capsys):
    assert main(["tables"]) == 0
    line = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("nec_310_16 "))
    assert "2023" in line and "rows" in line and "published" in line


@pytest.mark.parametrize("arguments", [[], ["fly"], ["plan"], ["plan", "x", "--calculation", "nothing"]])
def test_called_wrongly(arguments, capsys):
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2 and "usage" in capsys.readouterr().err
