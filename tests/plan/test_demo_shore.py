"""Shore, panel and inverter as one: what a breaker lets through, what a relay bears, and what hangs on which leg.

Every step is plain arithmetic; beside each borrowed figure stands where it is from and how well it is known.
"""

from __future__ import annotations

import pytest

from comparison import near
from ohmstead.installation.verify import verify

VAN, LIBRARY, TRAILER = "climbers-van", "travelling-library", "horse-trailer"


def sizes(plan) -> dict:
    return {drawn.circuit.id: drawn.sized for drawn in plan.circuits}


def equipment(plan) -> dict:
    return {item.id: item for item in plan.installation.equipment}


def shore(service: str, **more) -> dict:
    return {"kind": "shore", "id": "pitch", "service": service, "hours_per_day": 10} | more


def leg_of(plan, panel: str, out: str) -> str:
    """The line that an outlet of a panel hangs on; its terminal and its conductor say the same."""
    (path,) = [path for path in equipment(plan)[panel].paths if path.between[1] == out and path.between[0].startswith("line-")]
    (terminal,) = [terminal for terminal in equipment(plan)[panel].terminals if terminal.id == out]
    (wire,) = [wire for wire in plan.installation.conductors if wire.start == f"{panel}.{out}"]
    assert terminal.function == wire.function == path.between[0]
    return path.between[0]


@pytest.fixture(scope="module")
def weak_relay(planned, demo):
    """2 kW with a relay of 30 A [habit] on a service of 50 A."""
    return planned(demo(VAN) | {"supplies": [shore("120-240V-50A")]})


def test_the_inlet_carries_what_the_sites_breaker_lets_through(weak_relay):
    plan, _ = weak_relay
    (supply,) = plan.supplies
    inlet = sizes(plan)["supply:pitch"]
    # Whatever is programmed, 50 A stand behind the plug: 80 % of it for hours, times 1.25 (NEC 210.19, 215.3).
    assert inlet.design_current_a == near(0.8 * 50) and inlet.thermal_current_a == near(1.25 * 0.8 * 50)
    # NEC 310.16 at 60 °C (110.14(C)(1), up to 100 A): 8 AWG 40 A, 6 AWG 55 A.
    assert 40 < 50 == inlet.device.rating_a <= 55 and inlet.conductor.size == "6"
    assert equipment(plan)["main:pitch"].ratings.poles == 2
    assert supply.alternating.supply_breaker_a == 50


def test_the_relay_limits_what_is_programmed_and_what_guards_it(weak_relay):
    plan, case = weak_relay
    (supply,) = plan.supplies
    # A relay of 30 A is loaded to 80 % for hours on end, and no breaker in its feed is larger than itself.
    assert (supply.alternating.supply_limit_a, supply.alternating.program_a) == near((0.8 * 30, 0.8 * 30))
    feed = sizes(plan)["inverter-feed"]
    assert (feed.design_current_a, feed.device.rating_a, feed.conductor.size) == (near(24), 30, "10")
    # 2,000 VA made are 16.7 A; 24 A pass through.
    assert 2000 / 120 < 24 == pytest.approx(sizes(plan)["inverter-output"].design_current_a)
    assert "relay-below-supply" not in {finding.code for finding in case.findings}  # the breaker in the feed guards it


@pytest.mark.parametrize(("service", "breaker", "size"), [("120V-15A", 15, "14"), ("120V-20A", 20, "12"), ("120V-30A", 30, "10"), ("120-240V-50A", 50, "6")])
def test_every_service_has_the_inlet_of_its_breaker(planned, demo, service, breaker, size):
    """NEC 240.4(D): 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A; 310.16 at 60 °C: 6 AWG 55 A."""
    plan, _ = planned(demo(VAN) | {"supplies": [shore(service)]})
    inlet = sizes(plan)["supply:pitch"]
    assert (inlet.device.rating_a, inlet.conductor.size) == (breaker, size)


def test_other_loads_hang_on_the_last_leg(planned, demo):
    plan, _ = planned(demo(LIBRARY))
    assert leg_of(plan, "ac-panel", "feed-inverter") == "line-1"
    assert leg_of(plan, "ac-panel", "c:second-air-conditioner") == "line-2"
    # So the supply's own figures hold: 25.6 A on one leg, 13.4 A on the other, and their difference in the neutral.
    leg_1 = (1500 / 0.93 + 16 * 9 / 0.9 + 90 / 0.95 + 1200) / 120
    leg_2 = 1500 / 0.93 / 120
    (yard,) = [supply for supply in plan.supplies if supply.alternating is not None]
    assert yard.alternating.neutral_a == near(leg_1 - leg_2)
    asked = next(check for check in yard.checks if check.rule.name == "loads-within-supply")
    assert asked.actual == near(max(leg_1, leg_2)) and yard.alternating.program_a == near(40)


def test_a_charger_of_its_own_hangs_on_the_inverters_leg(planned, demo):
    """What a supply leaves for loads on leg 1 is counted with the charger on it."""
    plan, _ = planned(demo(LIBRARY) | {"charger": {"kind": "stand-alone"}})
    assert leg_of(plan, "ac-panel", "feed-charger") == "line-1"
    assert leg_of(plan, "ac-panel", "c:second-air-conditioner") == "line-2"


def test_a_panel_that_feeds_no_inverter_divides_its_loads(planned, demo):
    brief = demo(LIBRARY) | {"inverter": {"by": "none"}}
    brief["loads"] = [load | {"shore_only": True} if load["current"] == "ac" else load for load in brief["loads"]]
    plan, _ = planned(brief)
    outs = [terminal.id for terminal in equipment(plan)["ac-panel"].terminals if terminal.id.startswith("c:") and terminal.function.startswith("line-")]
    assert len(outs) >= 3
    on = [leg_of(plan, "ac-panel", out) for out in outs]
    assert abs(on.count("line-1") - on.count("line-2")) <= 1


def test_loads_ahead_of_the_inverter_leave_nothing_to_program(planned, demo):
    """A heater of 2.8 kW on a service of 30 A takes 23.3 of 24 A; with a kettle more than all of it."""
    brief = demo(TRAILER)
    heater = {"current": "ac", "id": "space-heater", "draw": {"by": "power", "power": {"value": 2800, "unit": "W"}}, "nature": "resistive",
              "use": {"by": "every-day", "hours_per_day": 2}, "shore_only": True, "start": {"by": "none"}}
    brief["loads"] = [load for load in brief["loads"] if load["id"] != "roof-air-conditioner"] + [heater]
    plan, case = planned(brief)
    (supply,) = plan.supplies
    assert supply.alternating.program_a == near(24 - 2800 / 120)
    assert supply.charging.charger_setting_a == near((24 * 120 - 2800) * 0.88 * 0.95 / 14.2)
    brief["loads"].append(heater | {"id": "kettle", "draw": {"by": "power", "power": {"value": 1000, "unit": "W"}}})
    plan, case = planned(brief)
    (supply,) = plan.supplies
    assert supply.alternating.program_a == 0 == supply.charging.charger_setting_a and supply.charging.charge_hours is None
    assert {"loads-ahead-of-inverter", "charger-turned-down", "bank-walks-down", "loads-exceed-supply"} <= {finding.code for finding in case.findings}
    # The breaker of the site is what it was, and so is the inlet.
    assert sizes(plan)["supply:showground"].device.rating_a == 30


@pytest.mark.parametrize(("rating", "asked_a", "breaker", "size"), [
    # NEC 445.13: 115 % of the nameplate: 3.5 kW at 120 V are 29.2 A, 33.5 A with it. 8 AWG carries 40 A at 60 °C.
    ({"by": "power", "power": {"value": 3500, "unit": "W"}}, 1.15 * 3500 / 120, 35, "8"),
    ({"by": "apparent-power", "apparent_power": {"value": 5000, "unit": "VA"}, "power_factor": 0.8}, 1.15 * 5000 / 120, 50, "6"),
], ids=["watts", "volt-amperes"])
def test_conductors_of_a_generator_follow_its_nameplate(planned, demo, rating, asked_a, breaker, size):
    """Height, heat and the relay take from what it may be loaded with, and nothing from what it can give on a cold day."""
    plan, _ = planned(demo(VAN) | {"supplies": [{"kind": "generator", "id": "set", "rated": rating, "altitude": {"value": 2500, "unit": "m"}, "hours_per_day": 2}]})
    feed = sizes(plan)["supply:set"]
    assert feed.thermal_current_a == near(asked_a) and plan.supplies[0].alternating.supply_limit_a < asked_a / 1.15
    assert (feed.device.rating_a, feed.conductor.size) == (breaker, size)
    assert equipment(plan)["supply:set"].ratings.current_a == near(asked_a / 1.15)


def test_a_generator_on_two_legs_shares_its_nameplate(planned, demo):
    set_ = {"kind": "generator", "id": "set", "rated": {"by": "power", "power": {"value": 7200, "unit": "W"}}, "wiring": "120-240V", "hours_per_day": 2}
    plan, _ = planned(demo(VAN) | {"supplies": [set_]})
    assert sizes(plan)["supply:set"].thermal_current_a == near(1.15 * 7200 / 240)


BONDS = [
    # Fuse of the inverter, Table 250.122, smallest listed lug at or above it: 3 AWG has none.
    (VAN, 300, "4"), (LIBRARY, 400, "2"), (TRAILER, 500, "2"), ("beekeepers-cabin", 175, "6"),
]


@pytest.mark.parametrize(("name", "fuse", "size"), BONDS)
def test_the_bond_of_the_inverters_case_follows_its_fuse(planned, demo, shelf, name, fuse, size):
    """Table 250.122: 6 AWG up to 200 A, 4 AWG up to 300 A, 3 AWG up to 400 A, 2 AWG up to 500 A; exposed metal of panels 8 AWG at least."""
    plan, _ = planned(demo(name))
    assert equipment(plan)["fuse-inverter"].ratings.current_a == fuse
    bonds = {wire.start: wire for wire in plan.installation.conductors if wire.function == "earth" and wire.end.startswith(("chassis.", "earth-bus."))}
    assert bonds["inverter.case"].size == size and bonds["inverter-panel.frame"].size == bonds["ac-panel.frame"].size == "8"
    # Each on a stud of its own, with a lug that fits it.
    studs = [bonds[start].end for start in ("inverter.case", "inverter-panel.frame", "ac-panel.frame")]
    assert len(set(studs)) == 3 and all(end.lug for end in bonds["inverter.case"].ends)
    case = shelf.case()
    verify(plan.installation, case)
    assert not [finding for finding in case.findings if finding.code == "lug-missing"]


def test_without_a_fuse_the_bond_of_the_case_is_the_least(planned, demo):
    brief = demo(VAN)
    brief["runs"][0] = {"circuit_class": "inverter-dc", "one_way": {"value": 36, "unit": "m"}}
    plan, _ = planned(brief)
    (bond,) = [wire for wire in plan.installation.conductors if wire.start == "inverter.case"]
    assert "fuse-inverter" not in equipment(plan) and bond.size == "8"


GENERATORS = [
    # Said of the neutral: bond drawn, its finding, and whether the plan may be built.
    ("bonded", True, None, True), ("floating", False, "generator-neutral-floating", False), ("not-known", True, "generator-neutral-not-known", True),
    (None, True, "generator-neutral-not-known", True),
]


@pytest.mark.parametrize(("neutral", "drawn", "code", "buildable"), GENERATORS)
def test_the_neutral_of_a_generator(planned, demo, neutral, drawn, code, buildable):
    brief = demo("beekeepers-cabin")
    (supply,) = brief["supplies"]
    plan, case = planned(brief | {"supplies": [supply if neutral is None else supply | {"neutral": neutral}]})
    assert [bond.at for bond in plan.installation.bonds if bond.mode == "generator"] == (["supply:shed-generator"] if drawn else [])
    generator = equipment(plan)["supply:shed-generator"]
    assert bool(generator.paths) == drawn and ("neutral_bond" in generator.ratings.to_confirm) == (code == "generator-neutral-not-known")
    said = [finding for finding in case.findings if "neutral" in finding.code]
    assert [finding.code for finding in said] == ([code] if code else [])
    assert all("250.34" in finding.clause for finding in said)
    assert (not any(finding.severity == "unsafe" for finding in case.findings)) == buildable
    assert all(finding.pointer == "/supplies/0" for finding in said if finding.severity == "caution")


def test_a_floating_generator_is_named_where_nothing_else_has_a_neutral(planned, demo):
    brief = demo("beekeepers-cabin")
    supplies = [brief["supplies"][0] | {"neutral": "floating"}]
    _, case = planned(brief | {"supplies": supplies, "inverter": {"by": "none"}, "charger": {"kind": "stand-alone"}})
    assert [finding.code for finding in case.findings if finding.severity == "unsafe"] == ["generator-neutral-floating"]
