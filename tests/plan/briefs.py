"""Briefs for property tests: sane dwellings of every kind, as the JSON that a client sends."""

from __future__ import annotations

from hypothesis import strategies as st


def quantity(low: float, high: float, unit: str) -> st.SearchStrategy[dict]:
    """A number with its unit, in steps that a person would write."""
    return st.integers(int(low * 10), int(high * 10)).map(lambda tenths: {"value": tenths / 10, "unit": unit})


_USE = st.floats(0, 12).map(lambda hours: {"by": "every-day", "hours_per_day": round(hours, 1)})
_START = st.one_of(st.just({"by": "none"}), st.integers(1, 6).map(lambda multiple: {"by": "multiple", "multiple": multiple}))


@st.composite
def loads(draw) -> list[dict]:
    """One to eight loads of both kinds of current."""
    listed = []
    for number in range(draw(st.integers(1, 8))):
        current = draw(st.sampled_from(["ac", "dc"]))
        load = {
            "current": current, "id": f"load-{number}", "draw": {"by": "power", "power": draw(quantity(2, 1500 if current == "ac" else 500, "W"))},
            "use": draw(_USE), "start": draw(_START), "critical": draw(st.booleans()) and current == "dc",
        }
        if current == "ac":
            load["shore_only"] = draw(st.booleans())
            load["power_factor"] = draw(st.sampled_from([0.7, 0.9, 1.0]))
        elif draw(st.integers(0, 4)) == 0:
            load["voltage"] = {"value": draw(st.sampled_from([12, 24])), "unit": "V"}
        listed.append(load)
    return listed


SERVICES = {"us": ["120V-15A", "120V-20A", "120V-30A", "120-240V-50A"], "intl": ["230V-6A", "230V-10A", "230V-16A", "230V-32A"]}
WIRINGS = {"us": ["120V", "120-240V"], "intl": ["230V"]}
DWELLINGS = [
    {"practice": "us-vehicle", "kind": "van"}, {"practice": "us-vehicle", "kind": "trailer"}, {"practice": "us-vehicle", "kind": "motor-home"},
    {"practice": "us-dwelling", "kind": "cabin"}, {"practice": "intl-vehicle", "kind": "van"}, {"practice": "intl-vehicle", "kind": "trailer"},
    {"practice": "intl-dwelling", "kind": "cabin"},
    *({"practice": practice, "kind": "boat", "hull": hull, "fuel": fuel}
      for practice in ("us-craft", "intl-craft") for hull, fuel in (("composite", "diesel"), ("metal", "petrol"), ("wood", "none"))),
]


def supplies(place: str) -> st.SearchStrategy[dict]:
    """A supply of the place; one in ten comes from elsewhere, and must not be connected."""
    @st.composite
    def draw(draw) -> dict:
        of = place if draw(st.integers(0, 9)) else {"us": "intl", "intl": "us"}[place]
        kind = draw(st.sampled_from(["shore", "generator", "alternator"]))
        if kind == "shore":
            return {"kind": "shore", "service": draw(st.sampled_from(SERVICES[of])), "hours_per_day": draw(st.integers(0, 24))}
        if kind == "generator":
            return {"kind": "generator", "rated": {"by": "power", "power": draw(quantity(1500, 8000, "W"))}, "wiring": draw(st.sampled_from(WIRINGS[of])),
                    "hours_per_day": 2}
        return {"kind": "alternator", "rated": draw(quantity(60, 250, "A")), "hours_per_day": 1}

    return draw()


@st.composite
def briefs(draw) -> dict:
    """A brief that nearly always has an answer with an installation."""
    dwelling = draw(st.sampled_from(DWELLINGS))
    coldest = draw(st.integers(-25, 15))
    brief = {
        "dwelling": dwelling,
        "system_voltage": draw(st.sampled_from([12, 24, 48])),
        "site": {
            "sun": {"by": "peak-sun-hours", "hours": {"by": "all-year", "hours": draw(st.integers(1, 7))}},
            "air_coldest": {"value": coldest, "unit": "degC"}, "air_hottest": {"value": draw(st.integers(25, 48)), "unit": "degC"},
            "bank_coldest": {"value": max(coldest, draw(st.integers(-10, 15))), "unit": "degC"},
        },
        "loads": draw(loads()),
        "bank": {"chemistry": draw(st.sampled_from(["lfp", "agm", "flooded", "golf-cart"])), "autonomy_days": draw(st.sampled_from([0.5, 1, 2]))},
        "supplies": draw(st.lists(supplies(dwelling["practice"].partition("-")[0]), max_size=3)),
        "runs": draw(st.lists(st.fixed_dictionaries({
            "circuit_class": st.sampled_from(["inverter-dc", "dc-branch", "controller-input", "bank-main", "ac-branch"]),
            "one_way": quantity(0.5, 12, "ft")}), max_size=4)),
    }
    if draw(st.booleans()):
        brief["array"] = {"by": "planned", "module": {"by": "generic", "size": draw(st.sampled_from(["100w", "200w", "400w"]))},
                          "controller": {"by": "generic"}, "space": {"by": "count", "count": draw(st.integers(1, 10))}}
    return brief
