"""What a buyer has to know of equipment that only carries a current: how much it must carry, and at which voltage."""

from __future__ import annotations

import pytest

from installation import breaking as b

CARRIES = ("disconnect", "load-disconnect", "array-disconnect", "transfer-switch", "shunt", "bus-bar", "combiner", "ac-panel", "dc-panel")
NAMES = ("climbers-van", "horse-trailer", "travelling-library", "beekeepers-cabin", "bird-count-sloop", "puppet-theatre", "trailer-with-generator", "van-with-fused-strings", "cabin-with-direct-loads")


@pytest.mark.parametrize("name", NAMES)
def test_everything_that_carries_a_current_says_how_much(sound, name):
    carrying = [item for item in sound(name).equipment if item.kind in CARRIES]
    assert carrying
    assert [item.id for item in carrying if item.ratings.current_a is None or "current" not in item.ratings.to_confirm] == []


@pytest.mark.parametrize(("name", "equipment", "devices"), [
    # The smallest rating that what stands ahead of it lets through.
    ("horse-trailer", "ac-panel", ["main:showground"]),
    ("trailer-with-generator", "ac-panel", ["breaker-panel-main"]),
    ("trailer-with-generator", "transfer-switch", ["main:showground", "main:truck-bed-set", "breaker-panel-main"]),
    ("beekeepers-cabin", "inverter-panel", ["breaker-inverter-panel"]),
    ("horse-trailer", "dc-panel", ["fuse-dc-panel"]),
    ("cabin-with-direct-loads", "converter-12-panel", ["fuse-converter-12-out"]),
])
def test_a_panel_carries_what_its_main_device_lets_through(sound, name, equipment, devices):
    installation = sound(name)
    assert b.found(installation, equipment).ratings.current_a == max(b.found(installation, device).ratings.current_a for device in devices)


def test_a_transfer_switch_has_a_pole_for_the_neutral(sound):
    assert b.found(sound("trailer-with-generator"), "transfer-switch").ratings.poles == 2


def test_a_combiner_carries_all_its_strings_in_bright_sun(sound):
    """Two strings of 13.65 A: 1.25 for bright sun and 1.25 for hours on end, NEC 690.8; four modules of 36.99 V in series, 1.20 at -25 °C."""
    for id in ("combiner-1", "combiner-1-return"):
        ratings = b.found(sound("beekeepers-cabin"), id).ratings
        assert ratings.current_a == pytest.approx(2 * 13.65 * 1.25 * 1.25) and ratings.highest_voltage_v == pytest.approx(4 * 36.99 * 1.2)


def test_a_switch_that_is_not_made_says_what_it_has_to_carry(sound):
    """Battery switches end at 60 V and the cabin reaches 64.08 V: the fuse of 200 A ahead of it still says the current."""
    switch = b.found(sound("beekeepers-cabin"), "main-disconnect").ratings
    assert switch.current_a == b.found(sound("beekeepers-cabin"), "main-fuse").ratings.current_a == 200
    assert switch.highest_voltage_v == pytest.approx(64.08) and "voltage" in switch.to_confirm


def test_the_load_disconnect_says_current_and_voltage(sound):
    switch = b.found(sound("climbers-van"), "load-disconnect").ratings
    assert switch.current_a >= b.found(sound("climbers-van"), "fuse-dc-panel").ratings.current_a and switch.highest_voltage_v == pytest.approx(14.6)
