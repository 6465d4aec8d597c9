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

# Storage
declare("charge-lock-out-needed", "hazard", "caution",
        "The bank can be colder than {limit} °C, below which its cells must not be charged; every charger needs a lock-out.",
        "Let the management system or a sensor stop each charger below {limit} °C; the management system's own switch is the last resort.",
        "ISO 23625")
declare("charge-temperature-unknown", "missing-data", "caution",
        "How cold the bank can get is not known; every charger is given a lock-out below {limit} °C.",
        "Give the coldest temperature of the bank.")
declare("bank-gives-gas", "hazard", "caution",
        "Vented lead-acid units give hydrogen while they charge.",
        "Ventilate their space to the outside, low inlet and high outlet, with no spark source near and sealed from the living space.",
        "IEC 62485-2")
declare("bank-can-give-gas", "hazard", "note",
        "Sealed lead-acid units vent hydrogen when they are overcharged.",
        "Ventilate their space to the outside and set the charger to the voltages of this answer.", "IEC 62485-2")
declare("electrolyte-can-freeze", "hazard", "caution",
        "At {coldest} °C the electrolyte of a discharged lead-acid unit freezes; nearly empty it does so at {freezes} °C.",
        "Keep the bank charged in frost, limit its depth of discharge, or keep it warm; never charge a frozen unit.")
declare("one-string-gone-overload", "shortfall", "caution",
        "When one string opens, the others can carry {left} A of the {asked} A asked; they overload and can follow one after the other.",
        "Add a string or take units with a larger continuous current.")
declare("single-string", "advice", "note",
        "The bank is a single string: when it opens, everything on it is without supply.",
        "Keep what must not fail on a second battery or divide the bank into two strings.", "ABYC E-13")
declare("equal-leads", "advice", "caution",
        "{parallel} low-resistance units in parallel share current badly through links, even with diagonal leads.",
        "Run leads of equal length and size from every unit to common bus bars.")
declare("many-strings", "advice", "caution",
        "{parallel} strings in parallel are more than the documented {limit}.",
        "Take larger units or a higher system voltage, or obtain the maker's permission.")
declare("charging-below-floor", "shortfall", "caution",
        "The chargers give {given} A; a bank of this size needs at least {floor} A or it is never properly filled.",
        "Take a larger charger or a smaller bank.")
declare("unit-rating-assumed", "missing-data", "caution",
        "The maker's {what} of the unit is not given; {value} A is assumed from its chemistry.",
        "Give the figure of the unit's data sheet.")
declare("unit-mass-missing", "missing-data", "caution",
        "The mass of the unit is not given, so the payload could not be checked.", "Give the mass of one unit.")
declare("generic-unit", "missing-data", "note",
        "The unit {unit} is a generic one.",
        "Confirm capacity, currents, charging limit, number in parallel, mass and short-circuit current of the unit that is bought.")
declare("managed-units-in-series", "missing-data", "caution",
        "{series} units with their own management system are put in series.",
        "Obtain the maker's permission for {series} in series, or take a unit of the system voltage.")
declare("cell-count-assumed", "missing-data", "caution",
        "The unit is taken to have {cells} cells in series; its charging voltages follow from that.",
        "Give the number of cells: a wrong one means overcharging.")
declare("depth-beyond-chemistry", "shortfall", "caution",
        "A depth of discharge of {given} is beyond the {limit} that the chemistry stands.",
        "Lower the depth of discharge.")
declare("owned-units-untested", "missing-data", "caution",
        "The owned units that are kept have no tested capacity.",
        "Test each at its hour rate before use; below {limit} of the rated capacity it is worn out.")
