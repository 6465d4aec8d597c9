"""What a practice asks of an installation beyond sizes: said where the condition holds."""

from __future__ import annotations

from collections.abc import Callable

from ..installation.needs import Needs
from ..reference.case import Case, no_less
from ..reference.practices import Practice
from ..working import at_least, at_most
from .model import Brief

LITHIUM = ("lfp", "nmc", "lto", "sodium-ion")


def _coldest_string_v(needs: Needs) -> float:
    return max((float(group.strings.cold_v) for group in needs.groups), default=0.0)


def _craft_limit(practice: Practice) -> str:
    """Nominal voltage up to which the rules for the battery side are written, in words; empty where they have none."""
    limit = practice.source("controller-output").voltage_limit_v
    return "" if limit is None else f"{limit:g}"


def _direct_above(needs: Needs, case: Case) -> bool:
    return not at_most(needs.bank.voltages.highest_v, case.constant("direct_grounding_voltage"))


CONDITIONS: dict[str, Callable[[Needs, Case], bool]] = {
    "direct-above-60-v": _direct_above,
    "direct-up-to-60-v": lambda needs, case: not _direct_above(needs, case),
    "array": lambda needs, case: bool(needs.groups),
    "array-above-30-v-or-8-a": lambda needs, case: any(
        not at_most(group.strings.cold_v, case.constant("ground_fault_voltage")) or not at_most(group.strings.photovoltaic_current_a, case.constant("ground_fault_current"))
        for group in needs.groups
    ),
    "array-from-80-v": lambda needs, case: any(at_least(group.strings.cold_v, case.constant("arc_fault_voltage")) for group in needs.groups),
    "array-above-60-v": lambda needs, case: any(not at_most(group.strings.cold_v, case.constant("shock_voltage")) for group in needs.groups),
    "storage-above-1-kwh": lambda needs, case: not at_most(needs.bank.rated_energy_wh, case.constant("storage_rules_from_wh")),
    "critical-on-managed-bank": lambda needs, case: needs.bank.chemistry in LITHIUM and any(load.always_live for load in needs.direct_loads),
    "inverter-to-pre-charge": lambda needs, case: needs.inverter is not None,
    "always": lambda needs, case: True,
    "inverter": lambda needs, case: needs.inverter is not None,
    "shore": lambda needs, case: any(supply.kind == "shore" and supply.alternating is not None for supply in needs.supplies),
    "alternating": lambda needs, case: needs.inverter is not None or any(supply.alternating is not None for supply in needs.supplies),
    "bank-above-100-ah": lambda needs, case: not at_most(needs.bank.capacity_ah, case.constant("battery_switch_from_ah")),
    "lithium-above-600-wh": lambda needs, case: needs.bank.chemistry in LITHIUM and at_least(needs.bank.rated_energy_wh, case.constant("lithium_rules_abyc_wh")),
    "lithium-above-500-wh": lambda needs, case: needs.bank.chemistry in LITHIUM and not at_most(needs.bank.rated_energy_wh, case.constant("lithium_rules_iso_wh")),
    "petrol": lambda needs, case: needs.fuel == "petrol",
    "metal-hull": lambda needs, case: needs.hull == "metal",
    "array-above-craft-limit": lambda needs, case: any(
        not at_most(group.strings.cold_v, needs.practice.source("controller-output").voltage_limit_v) for group in needs.groups),
    "not-on-12-v": lambda needs, case: not at_most(needs.nominal_v, case.constant("caravan_document_v")),
}
"""The strategies that practices.toml names."""


def remark_duties(practice: Practice, needs: Needs, brief: Brief, case: Case) -> None:
    """Note every duty of the practice whose condition holds."""
    for duty in practice.duties:
        if CONDITIONS[duty.when](needs, case):
            case.note(
                duty.code, duty.pointer, voltage=no_less(_coldest_string_v(needs)), highest=no_less(needs.bank.voltages.highest_v, 2),
                limit=_craft_limit(practice), loads=", ".join(load.id for load in needs.direct_loads if load.always_live),
            )
