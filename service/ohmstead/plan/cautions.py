"""Cautions that fit a plan: what to keep in mind when acting on it."""

from __future__ import annotations

from ..electrical.inverter.model import Inverter
from ..electrical.sources.model import Supply
from ..electrical.storage.model import Bank
from .model import Brief

GENERAL = (
    "This plan is a calculation aid, not a permit, an inspection or a substitute for the makers' instructions. Local codes and the authority "
    "decide; work on it belongs to people licensed for it where the law says so.",
    "A battery can drive thousands of amperes into a short circuit. Fit the main fuse as close to the bank as can be, within the distance where one is stated, last of all, and "
    "sleeve the conductor ahead of it.",
    "Equipment that was not named is generic: confirm the listed ratings against the item that is bought before anything is cut or drilled.",
)
LEAD = "Lead-acid batteries give off explosive gas, sealed ones too when they are overcharged: vent the compartment to the outside and keep sparks away."
LITHIUM = "Lithium batteries must not be charged below their lowest charging temperature; prove the lock-out on every charger before handing over."
ARRAY = "Photovoltaic modules are live whenever light falls on them; never open their connectors under load."
GENERATOR = "A running generator gives off carbon monoxide: keep its exhaust away from openings and fit a detector."
BOND = "Neutral and earth may meet in one place only, at the source that is active; check it in every mode before first use."
CRITICAL = "Loads that must never be cut stay live with the bank disconnect open; label them there, and confirm medical equipment with its maker."


def cautions_for(brief: Brief, bank: Bank, inverter: Inverter | None, supplies: tuple[Supply, ...]) -> tuple[str, ...]:
    """The cautions of this plan, most general first."""
    lead = bank.chemistry in ("flooded", "golf-cart", "agm", "gel")
    return (
        *GENERAL,
        LEAD if lead else LITHIUM,
        *((ARRAY,) if brief.array is not None else ()),
        *((BOND,) if inverter is not None or any(supply.alternating for supply in supplies) else ()),
        *((GENERATOR,) if any(supply.kind == "generator" for supply in supplies) else ()),
        *((CRITICAL,) if any(load.critical for load in brief.loads) else ()),
    )
