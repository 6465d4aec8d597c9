"""Ask about panels in JSON, and make up panels."""

from __future__ import annotations

import json

import msgspec
from hypothesis import strategies as st

from ohmstead.api.calculation import Options, carry_out
from ohmstead.api.calculations import CALCULATIONS
from ohmstead.api.reply import encode
from ohmstead.configuration import load
from ohmstead.reference.case import Shelf

CALCULATION = next(calculation for calculation in CALCULATIONS if calculation.name == "panel")
SHELF = Shelf()
EXAMPLES = load().openapi.parent / "examples"


def ask(request: dict, *, working: bool = False) -> dict:
    """The answer as plain JSON. Raises Problem."""
    answer = carry_out(CALCULATION, SHELF, msgspec.convert(request, CALCULATION.request), Options(working=working))[1]
    return json.loads(encode(answer))


def example(name: str) -> dict:
    """A published example."""
    return json.loads((EXAMPLES / f"{name}.json").read_text("utf-8"))


def amps(value: float) -> dict:
    return {"value": value, "unit": "A"}


def circuit(name: str, breaker: float, current: float, line: str = "1", **more) -> dict:
    return {"id": name, "breaker": amps(breaker), "current": amps(current), "line": line, **more}


def panel(*circuits: dict, rating: float = 3000, transfer: float = 30, output: str = "one-leg", modes: tuple = (), **more) -> dict:
    """A coach of 50 A on a site of split phase."""
    return {
        "practice": "us-vehicle", "voltage": {"value": 120, "unit": "V"}, "main_breaker": amps(50), "circuits": list(circuits),
        "inverter": {"apparent_power": {"value": rating, "unit": "VA"}, "transfer": amps(transfer), "output": output},
        "modes": list(modes) or [{"id": "site", "arrangement": "split-phase"}], **more,
    }


def codes(answer: dict) -> set[str]:
    """Codes of the findings."""
    return {finding["code"] for finding in answer["findings"]}


def places(answer: dict) -> dict[str, tuple[str, str]]:
    """Place and reason of each circuit."""
    return {placed["id"]: (placed["place"], placed["reason"]) for placed in answer["panel"]["circuits"]}


@st.composite
def panels(draw) -> dict:
    """Panels of up to ten circuits, some in pairs that share a neutral."""
    legs = draw(st.sampled_from([1, 2, 2, 2]))
    rated = st.sampled_from([10.0, 15.0, 20.0, 30.0])
    circuits = []
    for number in range(draw(st.integers(1, 10))):
        circuits.append(circuit(
            f"c{number}", draw(rated), draw(st.floats(0.1, 18) | st.sampled_from([1.0, 5.0, 12.5])), draw(st.sampled_from(["1", "2", "both"])) if legs == 2 else "1",
            purpose=draw(st.sampled_from(["load", "load", "load", "bank-charger"])), on_inverter=draw(st.sampled_from(["yes", "no", "as-fits", "as-fits", "as-fits"])),
            protected=draw(st.sampled_from(["yes", "no", "not-known"])), poles=draw(st.none() | st.integers(1, 3)),
            where=draw(st.sampled_from([None, "bath", "galley", "elsewhere"])), serves=draw(st.sampled_from([None, "receptacles", "fixed", "lighting"])),
        ))
    single = [one for one in circuits if one["line"] != "both"]
    for first, second in zip(single[::2], single[1::2]):
        if draw(st.booleans()):
            first["shares_neutral_with"] = second["id"]
            first["neutral_ampacity"] = draw(st.none() | st.sampled_from([amps(15.0), amps(40.0), amps(70.0)]))
            first["opens_together"] = draw(st.none() | st.booleans())
    ways = st.sampled_from(["split-phase", "one-hot", "wye", "one-leg"])
    modes = [
        {"id": f"m{number}", "arrangement": draw(ways), "joint_breaker": draw(st.none() | st.sampled_from([amps(30.0), amps(50.0)])), "stand_alone": draw(st.booleans())}
        for number in range(draw(st.integers(1, 3)))
    ]
    practice, volts = draw(st.sampled_from([("us-vehicle", 120), ("us-dwelling", 120), ("us-craft", 120), ("intl-vehicle", 230), ("intl-craft", 230)]))
    return panel(
        *circuits, rating=draw(st.sampled_from([600.0, 1500.0, 3000.0, 6000.0])), transfer=draw(st.sampled_from([16.0, 30.0, 50.0])),
        output=draw(st.sampled_from(["one-leg", "one-hot", "split-phase"])), modes=tuple(modes), legs=legs, practice=practice,
        voltage={"value": volts, "unit": "V"}, continuous=draw(st.booleans()),
    )
