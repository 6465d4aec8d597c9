"""A table that does not match its certificate is refused."""

import csv
import tomllib
from importlib.resources import files
from pathlib import Path

import pytest

from ohmstead.nomenclature import TERMS
from ohmstead.reference.tables import Damaged, load_citations, load_tables, twin
from ohmstead.working import BASES, Read, Traced

SHIPPED = Path(str(files("ohmstead.reference") / "tables"))
NAMES = sorted(path.stem for path in SHIPPED.glob("*.csv"))


def edit(folder, name, old, new):
    """Replace a text that stands exactly once."""
    path = folder / name
    text = path.read_text("utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
    path.write_text(text.replace(old, new), "utf-8")


def lines(folder, name):
    return (folder / name).read_text("utf-8").splitlines()


def test_every_table_has_a_certificate_and_loads(tables):
    certificates = {path.stem for path in SHIPPED.glob("*.toml")} - {"citations", "practices", "bonding"}
    assert certificates == set(NAMES) == set(tables)
    assert len(tables) >= 30


@pytest.mark.parametrize("name", NAMES)
def test_an_undamaged_copy_loads(copied, name):
    assert load_tables(copied(name))[name].rows > 0


@pytest.mark.parametrize("name", NAMES)
def test_a_flipped_digit_is_refused_in_every_number_column(copied, name):
    folder = copied(name)
    path = folder / f"{name}.csv"
    with path.open(newline="") as stream:
        header, *rows = csv.reader(stream)
    certificate = tomllib.loads((folder / f"{name}.toml").read_text("utf-8"))
    numeric = [column for column, promise in certificate["columns"].items() if not promise.get("text")]
    for column in numeric:
        place = header.index(column)
        row = next(row for row in reversed(rows) if row[place].strip("-0."))
        good = row[place]
        # The leading digit that is not nought: the last ones of a converted number lie below the tolerance.
        digit = next(spot for spot, character in enumerate(good) if character in "123456789")
        row[place] = good[:digit] + str((int(good[digit]) + 1) % 10) + good[digit + 1:]
        with path.open("w", newline="") as stream:
            csv.writer(stream, lineterminator="\n").writerows([header, *rows])
        with pytest.raises(Damaged, match=column):
            load_tables(folder)
        row[place] = good


def test_every_single_digit_of_the_ampacity_table_counts(copied):
    folder = copied("nec_310_16")
    path = folder / "nec_310_16.csv"
    good = path.read_text("utf-8")
    tried = 0
    for line_number, line in enumerate(good.splitlines()[1:], start=1):
        size, *numbers, basis = line.split(",")
        for place, number in enumerate(numbers):
            for digit in range(len(number)):
                changed = str((int(number[digit]) + 3) % 10)
                broken = numbers[:place] + [number[:digit] + changed + number[digit + 1:]] + numbers[place + 1:]
                text = good.splitlines()
                text[line_number] = ",".join([size, *broken, basis])
                path.write_text("\n".join(text) + "\n", "utf-8")
                with pytest.raises(Damaged):
                    load_tables(folder)
                tried += 1
    assert tried > 120


@pytest.mark.parametrize("change", [lambda rows: rows[:-1], lambda rows: [*rows, rows[-1]], lambda rows: rows[1:]])
def test_a_missing_or_added_row_is_refused(copied, change):
    folder = copied("nec_240_6")
    header, *rows = lines(folder, "nec_240_6.csv")
    (folder / "nec_240_6.csv").write_text("\n".join([header, *change(rows)]) + "\n", "utf-8")
    with pytest.raises(Damaged, match="rows, certified 42"):
        load_tables(folder)


@pytest.mark.parametrize("name", ["awg_conductors", "nec_310_16", "nec_690_7", "nec_240_6", "nec_250_122"])
def test_rows_out_of_order_are_refused(copied, name):
    folder = copied(name)
    header, first, second, *rest = lines(folder, f"{name}.csv")
    (folder / f"{name}.csv").write_text("\n".join([header, second, first, *rest]) + "\n", "utf-8")
    with pytest.raises(Damaged, match="not strictly"):
        load_tables(folder)


@pytest.mark.parametrize(("name", "file", "old", "new", "why"), [
    ("nec_240_6", "nec_240_6.toml", 'term = "device_rating_a"', 'term = "device_rating_b"', "not in the nomenclature"),
    ("nec_240_6", "nec_240_6.toml", 'unit = "A"', 'unit = "kA"', "certified in kA"),
    ("nec_240_6", "nec_240_6.toml", 'citation = "nec-240-6"', 'citation = "nec-240-7"', "no such citation: nec-240-7"),
    ("nec_240_6", "nec_240_6.csv", "\n601,fuse,published-once", "\n601,fuse,certain", "unknown basis"),
    ("nec_240_6", "nec_240_6.csv", "\n601,", "\nnan,", "sum"),
    ("nec_240_6", "nec_240_6.csv", "\n601,", "\n60l,", "rating_a"),
    ("nec_240_6", "nec_240_6.csv", "\n601,", "\n,", "rating_a"),
    ("nec_240_6", "nec_240_6.csv", "\n601,fuse,published-once", "\n601,fuse", "cells"),
    ("nec_240_6", "nec_240_6.csv", "\n601,fuse,published-once", "\n601,fuse,published-once,x", "cells"),
    ("nec_240_6", "nec_240_6.csv", "rating_a,applies_to", "rating,applies_to", "columns differ"),
    ("lugs", "lugs.csv", "\n2,66360", "\n1,66360", "not unique"),
    ("device_families", "device_families.csv", "9\nterminal-fuse-14", "8\nterminal-fuse-14", "no such citation"),
])
def test_other_damage_is_refused(copied, name, file, old, new, why):
    folder = copied(name)
    edit(folder, file, old, new)
    with pytest.raises(Damaged, match=why):
        load_tables(folder)


@pytest.mark.parametrize("name", NAMES)
def test_the_traced_twin_is_the_same_table_with_origins(tables, name):
    plain, traced = tables[name], twin(tables[name])
    citations = load_citations(SHIPPED)
    assert traced.traced
    assert not plain.traced
    for column, values in plain.columns.items():
        assert traced.columns[column] == values
        if column not in plain.terms:
            continue
        for position, (value, told) in enumerate(zip(values, traced.columns[column], strict=True)):
            assert type(value) in (float, type(None))
            if value is None:
                assert told is None
                continue
            assert type(told) is Traced
            assert type(told.origin) is Read
            assert (told.origin.table, told.origin.column) == (name, column)
            assert told.origin.basis == plain.basis_of_row[position]
            assert told.origin.citation.id in citations
            assert told.term is TERMS[told.term.name]
            if plain.key:
                assert plain.columns[plain.key][plain.row(told.origin.row)] == told.origin.row


@pytest.mark.parametrize("name", NAMES)
def test_every_row_has_a_basis_and_every_list_of_values_a_term(tables, name):
    table = tables[name]
    assert len(table.basis_of_row) == len(table.citation_of_row) == table.rows
    assert set(table.basis_of_row) <= set(BASES)
    for basis, citation in zip(table.basis_of_row, table.citation_of_row, strict=True):
        assert citation.basis == basis
        assert citation.title
    assert set(table.columns.get("term", ())) <= set(TERMS)


def test_every_citation_has_a_title_and_a_known_basis_and_stands_once():
    citations = load_citations(SHIPPED)
    for citation in citations.values():
        assert citation.title
        assert citation.basis in BASES
    printed = {(citation.title, citation.clause, citation.edition) for citation in citations.values()}
    assert len(printed) == len(citations)


def test_lookups_take_the_safe_row(tables):
    ambient, bundling, cold = tables["nec_310_15_ambient"], tables["nec_310_15_bundling"], tables["nec_690_7"]

    def ambient_factor(temperature_c):
        return ambient.columns["f_90"][ambient.first_at_least("upper_c", temperature_c)]

    # 105 °F lies between the printed Celsius bands and belongs to the hotter one.
    assert ambient_factor(30.0) == 1.00
    assert ambient_factor(40.0) == 0.91
    assert ambient_factor((105 - 32) / 1.8) == 0.87
    assert ambient_factor(50.0) == 0.82
    assert ambient_factor(50.1) == 0.76
    assert ambient.first_at_least("upper_c", 85.1) == ambient.rows

    assert bundling.columns["factor"][bundling.first_at_least("upper_count", 3)] == 1.00
    assert bundling.columns["factor"][bundling.first_at_least("upper_count", 4)] == 0.80
    assert bundling.columns["factor"][bundling.first_at_least("upper_count", 41)] == 0.35

    def cold_factor(temperature_c):
        return cold.columns["factor"][cold.first_at_most("lower_c", temperature_c)]

    assert cold_factor(-10.0) == 1.14
    assert cold_factor(-10.5) == 1.16
    assert cold_factor(-11.0) == 1.16
    assert cold.first_at_most("lower_c", -40.5) == cold.rows
