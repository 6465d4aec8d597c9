"""Rows of the device families: their order in the table says nothing, and where two could be read they say the same."""

from __future__ import annotations

import msgspec
import pytest
from electrical.faults.asking import maker, request

from ohmstead.electrical.faults.point import fault_at_point
from ohmstead.reference.case import Case, Library, Shelf
from ohmstead.wire.door import Door
from ohmstead.wire.v1.fault import FaultRequest, read

PLAIN = Shelf().plain
FAMILIES = PLAIN.tables["device_families"]
TURNED = Library(PLAIN.tables | {"device_families": FAMILIES.only(FAMILIES.column("row")[::-1])}, traced=False)


@pytest.mark.parametrize("volt", [12.0, 14.0, 14.6, 29.2, 32.0, 48.0, 58.0, 58.4, 66.0])
def test_the_order_of_rows_does_not_matter(volt):
    """Each family is read at the lowest of its marks that reaches the voltage, wherever that row stands."""
    asked = read(msgspec.convert(request(maker(900.0), volt, device="terminal-fuse"), FaultRequest), Door(False))

    def families(library: Library) -> dict:
        found = fault_at_point(asked, Case(library, {}))
        marked = found.device.marked
        return {family.family: (family.voltage_v, family.interrupting_a, set(family.uses)) for family in found.families} | {
            "asked about": marked and (marked.voltage_v, marked.interrupting_a), "strongest": found.strongest.interrupting_a,
        }

    assert families(TURNED) == families(PLAIN)


def test_rows_of_a_family_at_one_mark_differ_in_their_use_alone():
    """So it does not matter which of them is read; and all rows of a family bear one title."""
    alike: dict[tuple, set] = {}
    titles: dict[str, set] = {}
    columns = FAMILIES.columns
    for row, family in enumerate(columns["family"]):
        said = columns["interrupting_a"][row], columns["kind"][row], columns["current_limiting"][row], FAMILIES.basis_of_row[row], FAMILIES.citation_of_row[row]
        alike.setdefault((family, columns["device_voltage_v"][row]), set()).add(said)
        if not columns["use"][row].startswith("alternating"):
            titles.setdefault(family, set()).add(columns["title"][row])
    assert {key for key, said in alike.items() if len(said) > 1} == set()
    assert {family for family, said in titles.items() if len(said) > 1} == set()


def test_beyond_every_mark_nothing_interrupts():
    """No family is marked for 1200 V: there is no strongest one, and what is said is that nothing is interrupted."""
    asked = read(msgspec.convert(request(maker(900.0), 1000.0), FaultRequest), Door(False))
    case = Case(PLAIN, {})
    found = fault_at_point(msgspec.structs.replace(asked, highest_voltage_v=1200.0), case)
    assert found.strongest is None and found.families == ()
    (said,) = [finding for finding in case.findings if finding.code == "interrupting-rating-short"]
    assert "1200 V" in said.message and "the best interrupts 0 A" in said.message
