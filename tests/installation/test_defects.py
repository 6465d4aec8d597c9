"""One defect in a sound installation: verification names exactly it, at its place."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from installation import breaking as b
from ohmstead.installation.model import Terminal

VAN, TRAILER, LIBRARY, CABIN = "climbers-van", "horse-trailer", "travelling-library", "beekeepers-cabin"
CHARGER, GENERATOR, STRINGS = "trailer-with-charger", "trailer-with-generator", "van-with-fused-strings"
SLOOP, THEATRE = "bird-count-sloop", "puppet-theatre"
DIRECT, TWO_SETS = "cabin-with-direct-loads", "trailer-with-two-generators"


def unsafe(findings) -> list[tuple[str, str]]:
    return sorted((finding.code, finding.pointer) for finding in findings if finding.severity == "unsafe")


@pytest.mark.parametrize("name", [VAN, TRAILER, LIBRARY, CABIN, CHARGER, GENERATOR, STRINGS, DIRECT, SLOOP, THEATRE])
def test_a_sound_installation_has_nothing_unsafe(sound, verified, name):
    assert unsafe(verified(sound(name))) == []


def bare_fuse(installation, circuit: str):
    """The fuse stays in its holder on paper and guards nothing."""
    return b.circuit(installation, circuit, protected_by=())


def one_fuse_of_two(installation, circuit: str):
    (known,) = [item for item in installation.circuits if item.id == circuit]
    return b.circuit(installation, circuit, protected_by=known.protected_by[:1])


def joined_without(installation, fuse: str, of: str, start: str, end: str):
    """The fuse was taken out and the cable joined; the list still names the fuse."""
    return b.wired(b.without(installation, fuse), start, end, like=start.replace("positive", "negative"), of=of)


PROTECTION = [
    # name, defect, what it breaks: code and the id that the pointer leads to
    (VAN, lambda i: bare_fuse(i, "bank-main"), "bank-main"),
    (VAN, lambda i: bare_fuse(i, "inverter"), "inverter"),
    (VAN, lambda i: bare_fuse(i, "dc-dc-in:engine"), "dc-dc-in:engine"),
    (VAN, lambda i: bare_fuse(i, "live:gas-detector"), "live:gas-detector"),
    (TRAILER, lambda i: bare_fuse(i, "branch:water-pump"), "branch:water-pump"),
    (CABIN, lambda i: bare_fuse(i, "ac:well-pump"), "ac:well-pump"),
    (SLOOP, lambda i: bare_fuse(i, "live:bilge-pump"), "live:bilge-pump"),
    (THEATRE, lambda i: one_fuse_of_two(i, "string-3"), "string-3"),
    # Two strings: a reason excuses the bus bar's end and never the unit's own.
    (VAN, lambda i: bare_fuse(i, "string-2"), "string-2"),
    # Three strings: each end needs its own fuse.
    (LIBRARY, lambda i: one_fuse_of_two(i, "string-3"), "string-3"),
    (CABIN, lambda i: one_fuse_of_two(i, "string-1"), "string-1"),
    # The fuse is listed and not there, or there and not in the run.
    (VAN, lambda i: joined_without(i, "fuse-inverter", "inverter", "bus-positive.inverter", "inverter.dc-positive"), "inverter"),
    (TRAILER, lambda i: b.moved(i, "fuse-controller-1.a", "bus-positive.spare"), "controller-1"),
    (CABIN, lambda i: replace(i, equipment=tuple(item for item in i.equipment if item.id != "breaker-ac:kitchen-sockets")), "ac:kitchen-sockets"),
]


@pytest.mark.parametrize(("name", "defect", "circuit"), PROTECTION, ids=lambda value: value if isinstance(value, str) else "")
def test_a_source_without_its_device_is_named(sound, verified, name, defect, circuit):
    broken = defect(sound(name))
    assert unsafe(verified(broken)) == [("source-end-unprotected", b.at(broken, circuit, "circuits"))]


def test_the_end_that_is_bare_is_said(sound, verified):
    (string,) = [finding for finding in verified(one_fuse_of_two(sound(LIBRARY), "string-3")) if finding.severity == "unsafe"]
    assert "where it ends" in string.message
    (twin,) = [finding for finding in verified(bare_fuse(sound(VAN), "string-2")) if finding.severity == "unsafe"]
    assert "where it begins" in twin.message


def test_strings_that_feed_each_other_are_fused_at_the_combiner(sound):
    """NEC 690.9(A): two other strings can drive 28.85 A into the third, whose modules allow 20 A."""
    installation = sound(STRINGS)
    (array,) = [item for item in installation.circuits if item.circuit_class == "controller-input"]
    assert 2 * 1.25 * 11.54 > 20 and set(array.source_at) == {"from", "to"}
    fuses = [b.found(installation, protection.equipment) for protection in array.protected_by]
    assert [(fuse.kind, fuse.place, fuse.ratings.current_a) for fuse in fuses] == [("fuse", "combiner-1", 20)] * 3
    assert 15 < 1.5625 * 11.54 <= 20  # 690.9(B): 125 % of the current with the factor for bright sun
    assert all(fuse.ratings.voltage_v >= 2 * 21.96 * 1.16 for fuse in fuses)


def fuse_dropped(installation, *, listed: bool):
    """One of three string fuses is not there; the list names it all the same, or does not."""
    broken = replace(installation, equipment=tuple(item for item in installation.equipment if item.id != "fuse-array-1-2"))
    if listed:
        return broken
    (known,) = [item for item in broken.circuits if item.id == "array-1"]
    return b.circuit(broken, "array-1", protected_by=tuple(item for item in known.protected_by if item.equipment != "fuse-array-1-2"))


@pytest.mark.parametrize("defect", [
    lambda i: fuse_dropped(i, listed=True), lambda i: fuse_dropped(i, listed=False), lambda i: bare_fuse(i, "array-1"),
], ids=["not there", "not drawn", "none"])
def test_a_string_without_its_fuse_is_named(sound, verified, defect):
    broken = defect(sound(STRINGS))
    (said,) = [finding for finding in verified(broken) if finding.severity == "unsafe"]
    assert (said.code, said.pointer) == ("source-end-unprotected", b.at(broken, "array-1", "circuits"))
    assert "where it ends" in said.message


def test_a_sensing_lead_without_its_fuse_is_named(sound, verified):
    installation = sound(LIBRARY)
    lead = next(lead for lead in installation.control_leads if lead.fuse_a is not None)
    broken = replace(installation, control_leads=tuple(replace(item, fuse_a=None) if item is lead else item for item in installation.control_leads))
    assert unsafe(verified(broken)) == [("source-end-unprotected", b.at(broken, lead.id, "control_leads"))]


DEVICES = [
    (VAN, lambda i: b.ratings(i, "main-fuse", voltage_v=14.0), "device-voltage-low", "main-fuse"),
    (CABIN, lambda i: b.ratings(i, "fuse-string-2", voltage_v=58.0), "device-voltage-low", "fuse-string-2"),
    (LIBRARY, lambda i: b.ratings(i, "main:library-yard", voltage_v=120.0), "device-voltage-low", "main:library-yard"),
    (TRAILER, lambda i: b.ratings(i, "fuse-inverter", polarised=True), "polarised-device-both-ways", "fuse-inverter"),
    (CABIN, lambda i: b.ratings(i, "main-fuse", polarised=True), "polarised-device-both-ways", "main-fuse"),
    (CABIN, lambda i: b.ratings(i, "main-fuse", interrupting="short"), "interrupting-short", "main-fuse"),
    (VAN, lambda i: b.ratings(i, "fuse:fridge", interrupting="short"), "interrupting-short", "fuse:fridge"),
]


@pytest.mark.parametrize(("name", "defect", "code", "device"), DEVICES, ids=lambda value: value if isinstance(value, str) else "")
def test_a_device_that_does_not_suit_its_circuit_is_named(sound, verified, name, defect, code, device):
    broken = defect(sound(name))
    assert unsafe(verified(broken)) == [(code, b.at(broken, device))]


def test_a_polarity_mark_is_no_fault_where_current_flows_one_way(sound, verified):
    assert unsafe(verified(b.ratings(sound(CABIN), "fuse-controller-1", polarised=True))) == []


def test_a_voltage_at_the_highest_of_the_circuit_is_enough(sound, verified):
    installation = sound(VAN)
    highest = next(network.highest_v for network in installation.networks if network.id == "dc")
    assert unsafe(verified(b.ratings(installation, "main-fuse", voltage_v=highest))) == []


SHUNT = [
    (CABIN, "controller-1.battery-negative", "bus-negative.controller-1", "shunt.bank", "controller-1"),
    (VAN, "controller-1.battery-negative", "bus-negative.controller-1", "bank-bus-negative.main", "controller-1"),
    (LIBRARY, "inverter.dc-negative", "bus-negative.inverter", "shunt.bank", "inverter"),
    (LIBRARY, "dc-dc:coach-engine.out-negative", "bus-negative.dc-dc:coach-engine", "unit-1.negative", "dc-dc:coach-engine"),
    (CHARGER, "charger.negative", "bus-negative.charger", "unit-1.negative", "charger"),
    (TRAILER, "dc-panel.negative", "bus-negative.dc-panel", "unit-1.negative", "dc-panel"),
    (LIBRARY, "load:wheelchair-lift.negative", "bus-negative.load:wheelchair-lift", "shunt.bank", "load:wheelchair-lift"),
    (VAN, "load:gas-detector.negative", "bus-negative.live:gas-detector", "bank-bus-negative.string-1", "load:gas-detector"),
]


@pytest.mark.parametrize(("name", "stays", "landing", "instead", "equipment"), SHUNT, ids=lambda value: value)
def test_a_negative_ahead_of_the_shunt_is_named_once(sound, verified, name, stays, landing, instead, equipment):
    """A panel is named and not each of its loads; a controller once, whatever hangs behind it."""
    broken = b.moved(sound(name), landing, instead)
    assert any(stays in (wire.start, wire.end) for wire in broken.conductors)
    assert unsafe(verified(broken)) == [("shunt-bypassed", b.at(broken, equipment))]


DISCONNECT = [
    (TRAILER, "bus-positive.dc-panel", "main-fuse.b", "dc-panel"),
    (VAN, "bus-positive.inverter", "main-disconnect.a", "inverter"),
    (CABIN, "bus-positive.controller-1", "bank-bus-positive.main", "controller-1"),
    (LIBRARY, "bus-positive.load:wheelchair-lift", "unit-2.positive", "load:wheelchair-lift"),
    (LIBRARY, "bus-positive.dc-dc:coach-engine", "main-disconnect.a", "dc-dc:coach-engine"),
]


@pytest.mark.parametrize(("name", "landing", "instead", "equipment"), DISCONNECT, ids=lambda value: value)
def test_a_positive_ahead_of_the_bank_disconnect_is_named(sound, verified, name, landing, instead, equipment):
    broken = b.moved(sound(name), landing, instead)
    assert unsafe(verified(broken)) == [("bank-not-isolated", b.at(broken, equipment))]


def test_a_bank_without_a_disconnect_names_everything_on_its_bus_bars(sound, verified):
    installation = sound(TRAILER)
    broken = b.wired(b.without(installation, "main-disconnect"), "main-fuse.b", "bus-positive.main", like="shunt.bank", of="bank-main")
    expected = {("bank-not-isolated", b.at(broken, id)) for id in ("inverter", "dc-panel", "controller-1")}
    assert set(unsafe(verified(broken))) == expected


def test_a_live_load_that_is_not_on_the_list_is_named(sound, verified):
    broken = replace(sound(TRAILER), always_live=("live:breakaway-brakes",))
    assert unsafe(verified(broken)) == [("bank-not-isolated", b.at(broken, "load:gas-detector"))]


LOAD_DISCONNECT = [
    (VAN, "bus-positive.controller-1", "load-disconnect.b-panel", "controller-1"),
    (VAN, "bus-positive.dc-dc:engine", "load-disconnect.b-panel", "dc-dc:engine"),
    (LIBRARY, "bus-positive.inverter", "load-disconnect.b-panel", "inverter"),
    (CHARGER, "bus-positive.charger", "load-disconnect.b-panel", "charger"),
    # Behind the panel is behind its disconnect.
    (TRAILER, "bus-positive.controller-1", "dc-panel.c:lights", "controller-1"),
]


@pytest.mark.parametrize(("name", "landing", "instead", "equipment"), LOAD_DISCONNECT, ids=lambda value: value)
def test_a_charger_behind_the_load_disconnect_is_named(sound, verified, name, landing, instead, equipment):
    broken = b.moved(sound(name), landing, instead)
    assert unsafe(verified(broken)) == [("load-disconnect-stops-charging", b.at(broken, equipment))]


def test_an_array_without_a_disconnect_is_named(sound, verified):
    opened = b.without(sound(VAN), "array-disconnect-1")
    broken = b.wired(b.wired(opened, "array-1-1.positive", "controller-1.array-positive", like="fuse-controller-1.b"),
                     "array-1-1.negative", "controller-1.array-negative", like="controller-1.battery-negative")
    assert unsafe(verified(broken)) == [("array-not-isolated", b.at(broken, "controller-1"))]


@pytest.mark.parametrize("pole", ["positive", "negative"])
def test_an_array_disconnect_of_one_pole_is_named(sound, verified, pole):
    """The other pole is wired past the switch."""
    broken = b.moved(sound(CABIN), f"array-disconnect-1.a-{pole}", f"controller-1.array-{pole}")
    assert unsafe(verified(broken)) == [("array-not-isolated", b.at(broken, "controller-1"))]


def bonds(findings) -> list[tuple[str, str]]:
    return sorted((finding.pointer, finding.message) for finding in findings if finding.code == "bond-count")


def counted(*modes: str, count: int) -> list[tuple[str, str]]:
    return sorted(("/installation/bonds", f"In the mode {mode} neutral and earth meet {count} times.") for mode in modes)


BONDS = [
    (VAN, lambda i: b.path(i, "ac-panel", ("neutral", "earth"), i.modes), ("shore", "inverter", "driving"), 2),
    (TRAILER, lambda i: b.path(i, "inverter-panel", ("neutral", "earth"), ("inverter",)), ("inverter",), 2),
    (TRAILER, lambda i: b.wired(i, "ac-panel.neutral", "ac-panel.frame", like="ac-panel.frame"), ("shore", "inverter"), 2),
    # The relay that makes the bond hangs.
    (LIBRARY, lambda i: b.path(i, "inverter", ("neutral-out", "earth-out"), i.modes), ("shore",), 2),
    (VAN, lambda i: b.path(i, "inverter", ("neutral-out", "earth-out"), None), ("inverter", "driving"), 0),
    (GENERATOR, lambda i: b.path(i, "supply:truck-bed-set", ("neutral", "earth"), ("generator", "shore")), ("shore",), 2),
    (GENERATOR, lambda i: replace(i, bonds=tuple(bond for bond in i.bonds if bond.mode != "shore")), ("shore",), 0),
]


@pytest.mark.parametrize(("name", "defect", "modes", "count"), BONDS)
def test_neutral_and_earth_that_do_not_meet_once_are_named_by_mode(sound, verified, name, defect, modes, count):
    findings = verified(defect(sound(name)))
    assert bonds(findings) == counted(*modes, count=count)
    assert {code for code, _ in unsafe(findings)} == {"bond-count"}


@pytest.mark.parametrize(("name", "generator"), [(CABIN, "supply:shed-generator"), (GENERATOR, "supply:truck-bed-set")])
def test_a_generator_without_its_bond_is_named(sound, verified, name, generator):
    """By its own code, which names the cure, and not counted a second time."""
    broken = b.path(sound(name), generator, ("neutral", "earth"), None)
    assert unsafe(verified(broken)) == [("generator-neutral-floating", b.at(broken, generator))]


def test_of_two_generators_the_one_that_floats_is_named(sound, verified):
    installation = sound(TWO_SETS)
    assert unsafe(verified(installation)) == [("generator-neutral-floating", b.at(installation, "supply:small-set"))]


def test_a_charger_on_the_inverters_own_panel_is_named(sound, verified):
    broken = b.moved(sound(CHARGER), "ac-panel.feed-charger", "inverter-panel.c:microwave")
    assert unsafe(verified(broken)) == [("charger-on-own-inverter", b.at(broken, "charger"))]


LOCK_OUTS = [
    *((VAN, target) for target in ("inverter", "controller-1", "dc-dc:engine")),
    *((TRAILER, target) for target in ("inverter", "controller-1")),
    (CHARGER, "charger"),
]


@pytest.mark.parametrize(("name", "target"), LOCK_OUTS)
def test_a_charger_without_its_lock_out_is_named(sound, verified, name, target):
    broken = b.without_lead(sound(name), target)
    findings = [finding for finding in verified(broken) if finding.severity == "unsafe"]
    assert [(finding.code, finding.pointer) for finding in findings] == [("charge-lock-out-missing", b.at(broken, target))]
    assert b.found(broken, target).title in findings[0].message


def test_lead_acid_and_a_warm_lithium_bank_need_no_lock_out(sound, verified):
    for name in (CABIN, LIBRARY):
        assert all(lead.purpose != "charge-lock-out" for lead in sound(name).control_leads)
        assert unsafe(verified(sound(name))) == []


def ungrounded(installation, id: str):
    """The grounding conductor of a circuit is not pulled in."""
    (known,) = [item for item in installation.circuits if item.id == id]
    (gone,) = [wire for wire in installation.conductors if wire.id in known.conductors and wire.function == "earth"]
    left = b.circuit(installation, id, conductors=tuple(wire for wire in known.conductors if wire != gone.id))
    return replace(left, conductors=tuple(wire for wire in left.conductors if wire is not gone))


def thin(installation, id: str, size: str):
    """The grounding conductor of a circuit is of another size."""
    (known,) = [item for item in installation.circuits if item.id == id]
    return replace(installation, conductors=tuple(
        replace(wire, size=size) if wire.id in known.conductors and wire.function == "earth" else wire for wire in installation.conductors))


GROUNDING = [
    (CABIN, lambda i: ungrounded(i, "controller-1"), "controller-1", "8 and has none"),
    (CABIN, lambda i: ungrounded(i, "ac:well-pump"), "ac:well-pump", "14 and has none"),
    (CABIN, lambda i: thin(i, "controller-1", "10"), "controller-1", "8 and has one of 10"),
    (VAN, lambda i: thin(i, "array-1", "14"), "array-1", "12 and has one of 14"),
    (VAN, lambda i: ungrounded(i, "inverter-output"), "inverter-output", "and has none"),
    (SLOOP, lambda i: ungrounded(i, "inverter"), "inverter", "70 and has none"),
    (SLOOP, lambda i: ungrounded(i, "live:bilge-pump"), "live:bilge-pump", "2.5 and has none"),
    (SLOOP, lambda i: thin(i, "inverter", "50"), "inverter", "70 and has one of 50"),
    (THEATRE, lambda i: ungrounded(i, "ac:kettle"), "ac:kettle", "1.5 and has none"),
    *((DIRECT, lambda i, id=id: ungrounded(i, id), id, "and has none") for id in (
        "dc-panel", "branch:lamp", "load:winch", "converter-12", "converter-12-out", "branch:radio", "charger", "dc-dc:tractor", "dc-dc-in:tractor", "ac-charger")),
]


@pytest.mark.parametrize(("name", "defect", "circuit", "said"), GROUNDING, ids=lambda value: value if isinstance(value, str) else "")
def test_a_circuit_without_its_grounding_conductor_is_named(sound, verified, name, defect, circuit, said):
    broken = defect(sound(name))
    (finding,) = [finding for finding in verified(broken) if finding.severity == "unsafe"]
    assert (finding.code, finding.pointer) == ("grounding-conductor-missing", b.at(broken, circuit, "circuits"))
    assert said in finding.message


def test_a_grounding_conductor_that_leads_nowhere_is_named(sound, verified):
    """It ends on a stud of the combiner and not on the earth bus bar."""
    installation = sound(CABIN)
    ends = (*b.found(installation, "main-disconnect").terminals, Terminal("loose", "earth"))
    broken = b.moved(b.equipment(installation, "main-disconnect", terminals=ends), "earth-bus.controller-1", "main-disconnect.loose")
    (finding,) = [finding for finding in verified(broken) if finding.severity == "unsafe"]
    assert (finding.code, finding.pointer) == ("grounding-conductor-missing", b.at(broken, "controller-1", "circuits"))
    assert finding.message.endswith("has one that leads nowhere.")


def test_a_larger_grounding_conductor_is_no_fault(sound, verified):
    assert unsafe(verified(thin(sound(CABIN), "controller-1", "4"))) == []


@pytest.mark.parametrize(("name", "earth"), [
    (CABIN, "earth bus bar"), (DIRECT, "earth bus bar"), (TRAILER, "chassis"), (VAN, "chassis"), (SLOOP, "earth bus bar"), (THEATRE, "chassis")])
def test_a_negative_that_is_not_grounded_is_named(sound, verified, name, earth):
    installation = sound(name)
    broken = replace(installation, conductors=tuple(wire for wire in installation.conductors if wire.start != "bus-negative.earth"))
    (finding,) = [finding for finding in verified(broken) if finding.severity == "unsafe"]
    assert finding.code == "negative-not-grounded" and earth in finding.message


@pytest.mark.parametrize(("end", "made"), [("from", {"lug": ""}), ("to", {"lug": "3/0-M12", "stud": "M12"})], ids=["none", "too wide"])
def test_an_end_without_a_lug_that_fits_is_named(sound, verified, end, made):
    installation = sound(CABIN)
    (main,) = [item for item in installation.circuits if item.id == "bank-main"]
    broken = b.ended(installation, main.conductors[0], end, **made)
    found = [(finding.code, finding.severity, finding.pointer) for finding in verified(broken)]
    assert found == [("lug-missing", "caution", b.at(broken, main.conductors[0], "conductors"))]


def test_what_was_there_before_is_not_asked_for_lugs(sound, verified):
    installation = sound(CABIN)
    (main,) = [item for item in installation.circuits if item.id == "bank-main"]
    broken = b.ended(installation, main.conductors[0], "from", lug="")
    kept = replace(broken, conductors=tuple(replace(wire, origin="existing") if wire.id == main.conductors[0] else wire for wire in broken.conductors))
    assert verified(kept) == []


@pytest.mark.parametrize(("name", "breaker"), [(SLOOP, "breaker-ac:kettle"), (SLOOP, "main:berth"), (THEATRE, "breaker-panel-main")])
def test_a_breaker_that_leaves_the_neutral_closed_is_named(sound, verified, name, breaker):
    broken = b.ratings(sound(name), breaker, poles=1)
    assert unsafe(verified(broken)) == [("neutral-not-opened", b.at(broken, breaker))]


def test_where_the_practice_opens_the_live_pole_alone_one_is_enough(sound, verified):
    assert b.found(sound(VAN), "breaker-ac:induction-ring").ratings.poles == 1 and unsafe(verified(sound(VAN))) == []
