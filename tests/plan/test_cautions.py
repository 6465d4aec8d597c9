"""Each hazard that a brief brings with it has its caution, and a plan without the hazard is not told of it."""

from __future__ import annotations

import pytest

from ohmstead.plan import cautions


@pytest.mark.parametrize("name", ["climbers-van", "horse-trailer", "travelling-library", "beekeepers-cabin"])
def test_cautions_follow_the_brief(planned, demo, name):
    brief = demo(name)
    said = planned(brief)[0].cautions
    generator = any(supply["kind"] == "generator" for supply in brief.get("supplies", []))
    assert said[: len(cautions.GENERAL)] == cautions.GENERAL
    assert (cautions.GENERATOR in said) == generator
    assert (cautions.ARRAY in said) == (brief.get("array") is not None)
    assert (cautions.CRITICAL in said) == any(load.get("critical", False) for load in brief["loads"])
    assert (cautions.LEAD in said) != (cautions.LITHIUM in said)
