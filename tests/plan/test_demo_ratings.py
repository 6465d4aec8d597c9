"""Cables follow what a charger can give, not what is programmed into it: a setting can be lost, and it opens no circuit."""

from __future__ import annotations

import pytest

VAN = "climbers-van"
LAMP = {"current": "dc", "id": "lamp", "draw": {"by": "power", "power": {"value": 20, "unit": "W"}},
        "use": {"by": "every-day", "hours_per_day": 12}, "start": {"by": "none"}}
SHORE = {"kind": "shore", "service": "120V-15A", "hours_per_day": 1}


def amperes(value: float) -> dict:
    return {"value": value, "unit": "A"}


def little(demo, **more) -> dict:
    """A van with one lamp, so that charging decides the main circuit."""
    return demo(VAN) | {"loads": [LAMP], "inverter": {"by": "none"}, "array": {"by": "none"}, "supplies": []} | more


def sized(plan) -> dict:
    return {drawn.circuit.id: drawn.sized for drawn in plan.circuits}


def test_the_main_circuit_counts_the_ratings_of_the_chargers(planned, demo):
    """Of two shore supplies one is connected at a time, and they feed one charger; the engine charges beside it."""
    engine = {"kind": "alternator", "id": "engine", "rated": amperes(300), "dc_dc_output": amperes(120), "hours_per_day": 1}
    brief = little(demo, charger={"kind": "stand-alone", "output": amperes(200)},
                   supplies=[SHORE | {"id": "one"}, SHORE | {"id": "two", "service": "120V-30A"}, engine])
    plan, _ = planned(brief)
    settings = [supply.charging.charger_setting_a for supply in plan.supplies]
    assert settings[0] < 200 and settings[2] < 120  # the supplies and the bank hold the chargers back
    circuits = sized(plan)
    assert circuits["bank-main"].design_current_a == pytest.approx(200 + 120)
    assert circuits["charger"].design_current_a == 200 and circuits["dc-dc:engine"].design_current_a == 120


def test_the_leads_of_a_dc_dc_charger_carry_its_rating(planned, demo):
    """60 A at 14.2 V from 12.3 V at 0.92: 75.3 A in, although the alternator's spare output lets it be set to less."""
    engine = {"kind": "alternator", "id": "engine", "rated": amperes(120), "dc_dc_output": amperes(60), "hours_per_day": 1}
    plan, case = planned(little(demo, supplies=[engine]))
    (supply,) = plan.supplies
    assert supply.charging.charger_setting_a < 60 and "charger-turned-down" in {finding.code for finding in case.findings}
    circuits = sized(plan)
    assert circuits["dc-dc-in:engine"].design_current_a == pytest.approx(60 * plan.bank.voltages.absorption_v / (12.3 * 0.92), rel=1e-9)
    assert circuits["dc-dc-in:engine"].device.rating_a >= 1.25 * 60 * plan.bank.voltages.absorption_v / (12.3 * 0.92)
    assert circuits["dc-dc:engine"].device.rating_a >= 1.25 * 60


def test_the_feed_of_a_stand_alone_charger_carries_its_rating(planned, demo):
    """160 A at 14.2 V, efficiency 0.88, power factor 0.95 at 120 V: 22.6 A; the service of 15 A gives 12 without end."""
    plan, _ = planned(little(demo, charger={"kind": "stand-alone", "output": amperes(160)}, supplies=[SHORE | {"id": "one"}]))
    (supply,) = plan.supplies
    assert supply.charging.charger_setting_a < 160
    feed = sized(plan)["ac-charger"]
    assert feed.design_current_a == pytest.approx(160 * plan.bank.voltages.absorption_v / (0.88 * 0.95 * 120), rel=1e-9)


def test_a_charger_at_its_rating_is_as_it_was(planned, demo):
    plan, _ = planned(demo(VAN))
    (engine,) = [supply for supply in plan.supplies if supply.dc_dc is not None]
    assert engine.charging.charger_setting_a == engine.charger.charger_current_a == 40
    assert sized(plan)["dc-dc-in:engine"].design_current_a == pytest.approx(engine.dc_dc.dc_dc_input_a, rel=1e-12)
