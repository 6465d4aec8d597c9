"""Every remark that the service can make, declared once. The published list is made from this."""

from __future__ import annotations

from ..working import FindingCode

FINDINGS: dict[str, FindingCode] = {}


def declare(code: str, kind, severity, message: str, cure: str, clause: str = "") -> None:
    """Add a code. Message and cure are templates for str.format with the values given to `Case.note`."""
    if code in FINDINGS:
        raise ValueError(f"finding {code} is declared twice")
    FINDINGS[code] = FindingCode(code, kind, severity, message, cure, clause)


# Any calculation
declare("house-rule-loosens", "code", "unsafe",
        "The house rule {name} = {given} would loosen a safety rule and is not obeyed; {kept} is used.",
        "Remove the house rule or make it stricter.")
declare("recalled-value-decides", "missing-data", "caution",
        "A value known only from memory decided the check '{check}': {value}.",
        "Confirm it against the printed source before you rely on the result.")

# Conductors, protection, faults
declare("no-short-circuit-figure", "missing-data", "caution",
        "No short-circuit current of the source is known; an upper bound of {bound} A by chemistry and capacity is used and the "
        "interrupting rating is not proven.",
        "Ask the battery's maker for the prospective short-circuit current and give it as the fault current.", "NEC 110.9")
declare("interrupting-rating-short", "hazard", "unsafe",
        "No device family made for {voltage} V interrupts {fault} A; the best interrupts {best} A.",
        "Divide the bank into strings that are protected each on their own, or obtain the maker's short-circuit figure.", "NEC 110.9")
declare("free-air-basis", "code", "caution",
        "Ampacity is taken in free air ({basis}); the conductors must be single, spaced and not bundled along the whole run.",
        "Use the default basis when any part of the run is bundled, sleeved or enclosed.")
declare("parallel-sets", "code", "caution",
        "{sets} conductors in parallel per pole: same length, same size, same lugs, and both on every stud.",
        "Check that the stud takes {sets} lugs and that the maker of the equipment permits parallel conductors.", "NEC 310.10(G)")
declare("drop-governs", "advice", "note",
        "Voltage drop, not ampacity, decided this conductor.", "Move the equipment closer or accept a larger drop.")
