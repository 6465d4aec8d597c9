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


def _direct_above(needs: Needs, case: Case) -> bool:
    return not at_most(needs.bank.voltages.highest_v, case.constant("direct_grounding_voltage"))


CONDITIONS: dict[str, Callable[[Needs, Case], bool]] = {
    "direct-above-60-v": _direct_above,
    "direct-up-to-60-v": lambda needs, case: not _direct_above(needs, case),
    "receptacles": lambda needs, case: bool(needs.alternating_loads),
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
}
"""The strategies that practices.toml names."""


def remark_duties(practice: Practice, needs: Needs, brief: Brief, case: Case) -> None:
    """Note every duty of the practice whose condition holds."""
    for duty in practice.duties:
        if CONDITIONS[duty.when](needs, case):
            case.note(
                duty.code, duty.pointer, voltage=no_less(_coldest_string_v(needs)), highest=no_less(needs.bank.voltages.highest_v, 2),
                loads=", ".join(load.id for load in needs.direct_loads if load.always_live),
            )
