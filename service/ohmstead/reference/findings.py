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
declare("short-circuit-not-known", "missing-data", "caution",
        "Nothing is known of the short-circuit current here; the family that interrupts most, {best} A, is used and that is not proven.",
        "Give the prospective short-circuit current, or chemistry and capacity of the bank.", "NEC 110.9")
declare("interrupting-rating-short", "hazard", "unsafe",
        "No device family made for {voltage} V interrupts {fault} A; the best interrupts {best} A.",
        "Divide the bank into strings that are protected each on their own, or obtain the maker's short-circuit figure.", "NEC 110.9")
declare("free-air-basis", "code", "caution",
        "Ampacity is taken in free air ({basis}); the conductors must be single, spaced and not bundled along the whole run.",
        "Use the default basis when any part of the run is bundled, sleeved or enclosed.")
declare("device-above-ampacity", "code", "caution",
        "The device of {rating} A is above the ampacity of {ampacity} A, as the rules for boats permit up to 150 %; it then protects against a "
        "short circuit and not against overload.",
        "Take a larger conductor where the terminals permit one.", "33 CFR 183.455(c); ABYC E-11")
declare("rules-change-at-voltage", "code", "note",
        "At {nominal} V nominal the rules for {split} V and more apply; the ampacity is that of the table below {split} V, which does not depend on voltage.",
        "Have it confirmed which voltage the surveyor goes by.", "33 CFR 183.455(c)")
declare("parallel-sets", "code", "caution",
        "{sets} conductors in parallel per pole: same length, same size, same lugs, and all of them on every stud.",
        "Check that the stud takes {sets} lugs and that the maker of the equipment permits parallel conductors.", "NEC 310.10(G)")
declare("beyond-listed-lugs", "missing-data", "caution",
        "{size} is larger than {largest}, the largest conductor for which copper lugs are listed; the terminals were said to take it.",
        "Use clamps or lugs that are listed for this size at both ends, or allow conductors in parallel.", "NEC 110.14")
declare("chosen-unsafe", "code", "unsafe", "What was chosen does not pass: {why}",
        "Take the conductor and the device of the answer, or better ones, and ask for their verdict.")
declare("chosen-drops", "shortfall", "caution", "What was chosen drops {drop} % at its own temperature, more than is allowed.",
        "Take a larger conductor, or accept the drop and say so with the limit.")
declare("chosen-not-proven", "missing-data", "caution", "What was chosen passes as far as it is known: {why}",
        "Read the label and obtain the maker's short-circuit figure.", "NEC 110.9")
declare("rating-not-made", "advice", "caution", "{family} is not made with a rating of {rating} A as far as is known.",
        "Read the label again; a blade of the wrong family may not fit its holder.")
declare("terminals-above-insulation", "advice", "note",
        "The terminals are rated {terminals} °C and the insulation {insulation} °C; the lower of the two counts.",
        "Take insulation of at least the terminals' rating to use it.", "NEC 110.14(C)")
declare("drop-governs", "advice", "note",
        "Voltage drop, not ampacity, decided this conductor.", "Move the equipment closer or accept a larger drop.")

# Time-current sense
declare("transient-opens-device", "shortfall", "caution",
        "The device of {rating} A ({title}) {does} at {what} of {current} A for {duration} s.",
        "Take {better}, or {softer}.")
declare("transient-not-known", "missing-data", "caution",
        "Whether the device of {rating} A ({title}) holds at {what} of {current} A for {duration} s is not known.",
        "Compare it with the time-current curve of the device's maker.")
declare("transient-by-typical-curve", "missing-data", "note",
        "The device of {rating} A ({title}) holds at {what} of {current} A for {duration} s by a typical curve, which is no limit of a standard.",
        "Compare it with the time-current curve of the device's maker.")
declare("device-short-in-heat", "shortfall", "caution",
        "At {hottest} °C the device of {rating} A ({title}) carries {left} A; the circuit carries {current} A.",
        "Take {cure}, with conductors that it protects, or put the device in a cooler place.")
declare("device-heat-not-known", "missing-data", "note",
        "What the device ({title}) carries at {hottest} °C is not known.",
        "Read the derating of the device's maker.")

# Protection of people
declare("people-protection", "code", "note",
        "This circuit needs a device that protects people, {device}{figures}: {text}{unless}; {clause}.",
        "Fit it, or show by which exception it is not needed.")
declare("people-protection-possible", "missing-data", "note",
        "What this circuit serves or where is not known; it may need a device that protects people, {device}{figures}: {text}{unless}; {clause}.",
        "Say what the circuit serves and where, or fit the device.")

declare("people-protection-listed", "code", "note",
        "The alternating-current side needs devices that protect people: {devices}. The list of the installation says which circuits, where and when not.",
        "Fit each, or show by which exception it is not needed.")

# Faults at a point, current sharing
declare("fault-from-resistance", "missing-data", "caution",
        "The short-circuit current of {current} A at the posts is worked out from an internal resistance ({figure}); it proves no device.",
        "Ask the battery's maker for the prospective short-circuit current and give that.", "NEC 110.9")
declare("fault-from-cranking", "missing-data", "caution",
        "The short-circuit current of {current} A at the posts is an upper bound from the cold-cranking current; it proves no device.",
        "Ask the battery's maker for the prospective short-circuit current and give that.", "NEC 110.9")
declare("interrupting-not-proven", "missing-data", "caution",
        "Up to {fault} A are possible at the point and the strongest family made for {voltage} V interrupts {best} A: no device is proven to suffice.",
        "Ask the battery's maker for the prospective short-circuit current, or divide the bank into strings that are protected each on their own.",
        "NEC 110.9")
declare("conductor-withstand-short", "hazard", "unsafe",
        "A conductor of {size} stands {fault} A for {stands} s; the device takes {time} s.",
        "Take {needed}, or a device that opens sooner.", "IEC 60364-4-43 434.5.2")
declare("warm-cable-in-fault", "advice", "caution",
        "The cable is taken at {given} °C; at {cold} °C it passes a larger short-circuit current.",
        "Give the coldest temperature at which the circuit is live.")
declare("craft-breaker-table-ends", "missing-data", "caution",
        "A bank of {bank} is beyond the table of breakers for boats.",
        "Take devices of at least the short-circuit rating that the battery's maker gives.", "ABYC E-11 11.10.1.2.3")
declare("typical-resistance", "missing-data", "caution",
        "The internal resistance of unit {units} is not given; {typical} mohm is typical of its chemistry and size, {low} to {high} mohm occur.",
        "Give the direct-current resistance from the data sheet or a measurement of these units.")
declare("sharing-uneven", "shortfall", "caution",
        "Unit {unit} carries {times} times its equal share, so {usable} of the units' summed current can be used; {counted} is counted on.",
        "Run leads of equal length and size from every unit to common bus bars.")
declare("unit-driven-backwards", "hazard", "caution",
        "Unit {unit} carries {current} A the wrong way: while the bank gives or takes {total} A, the others charge or discharge it.",
        "Mend the links that differ from the others, or run leads of equal length and size from every unit to common bus bars.")
declare("unit-limit-exceeded", "hazard", "unsafe",
        "Unit {unit} carries {current} A, its limit is {limit} A.",
        "Run leads of equal length and size from every unit to common bus bars, add a unit, or draw less.")

# Two legs and their neutral
declare("neutral-overloaded", "hazard", "unsafe",
        "The neutral carries {neutral} A and is good for {limit} A. No breaker sits in it, so nothing opens.",
        "Use a supply with legs in opposition, run fewer loads together, or take a larger neutral with its contacts and poles.")
declare("neutral-behind-two-breakers", "hazard", "unsafe",
        "The breakers that feed both legs from one hot let {worst} A into a neutral that is good for {limit} A.",
        "Put one breaker not above {limit} A ahead of both legs, or use a supply with legs in opposition.", "NEC 551.31(C)")
declare("neutral-behind-larger-breaker", "hazard", "caution",
        "One leg alone can load the neutral with {worst} A; it is good for {limit} A.",
        "Take a neutral, contacts and poles of the legs' own rating, or show that the loads of one leg never reach this.")
declare("neutral-not-judged", "missing-data", "caution",
        "What limits the neutral, or what it is good for, is not known.",
        "Give the breakers ahead of both legs, and the ratings of the neutral conductor, plug contact and transfer pole.")
declare("two-legs-of-three", "code", "note",
        "On two legs of a three-phase site the neutral carries about as much as a leg and counts as a current-carrying conductor; loads of "
        "unlike power factor (0.7 beside 1) can bring it to 1.6 times a leg, and harmonics of electronic loads add.",
        "Take the neutral not smaller than the legs and count it when conductors lie together.", "NEC 310.15(E)(2)")
declare("line-to-line-dead", "shortfall", "caution",
        "Between the legs there are {voltage} V: loads that need both legs are dead or starved, not at half power.",
        "Use a supply whose legs are 180 or 120 degrees apart for them.")
declare("line-to-line-reduced", "shortfall", "note",
        "Between the legs there are {voltage} V: heaters made for legs in opposition give {percent} percent of their power.",
        "Equipment on both legs must be rated for 208 to 230 V.", "NEC 551.40(A)")
declare("contacts-behind-larger-breaker", "hazard", "caution",
        "Adapter or cord is made for {contact} A and protected by {breaker} A only.",
        "Use a cord and adapter of the breaker's rating, or one with a breaker of its own; never join two adapters.")
declare("leg-over-limit", "shortfall", "caution",
        "{current} A are asked where breaker, adapter and cord carry {limit} A.",
        "Program this limit, for both legs together where they hang on one hot, or run fewer loads together.", "NEC 210.19, 210.20")
declare("open-neutral", "hazard", "note",
        "Should the neutral open, the lighter leg would see {voltage} V.",
        "Torque and inspect the neutral first; a monitor that disconnects on unequal legs helps, a surge strip does not.")
declare("shared-neutral-overload", "hazard", "unsafe",
        "The neutral that {name} share is good for {limit} A and can be overloaded, with no breaker to see it, in: {modes}.",
        "Split it into two circuits of two wires, each with its own neutral; a handle tie does not cure it.", "NEC 210.4")
declare("shared-neutral-barred", "code", "unsafe",
        "{name} share a neutral and the panel is also fed by a source that stands alone with one hot ({clause}).",
        "Split it into two circuits of two wires, and mark the panel: single 120 V supply, no shared neutrals.", "NEC 710.15(C)")
declare("shared-neutral-not-judged", "missing-data", "caution",
        "Whether the neutral that {name} share is protected cannot be told: a breaker is not known.",
        "Give the breakers of both circuits, or split it into two circuits of two wires.", "NEC 210.4")
declare("shared-neutral-not-tied", "code", "unsafe", "{name} share a neutral and their breakers do not open together.",
        "Fit a two-pole breaker or a listed handle tie.", "NEC 210.4(B)")
declare("shared-neutral-tie-unknown", "missing-data", "caution", "Whether the breakers of {name} open together is not known.",
        "They must; fit a two-pole breaker or a listed handle tie.", "NEC 210.4(B)")
declare("watched-breaker-on-one-hot", "advice", "caution",
        "The two-pole breaker of {name} has electronics that may have no supply where both legs hang on one hot.",
        "Ask its maker whether it protects and tests with no voltage between its poles, or split the circuit.")

# The alternating-current panel, divided for an inverter
declare("bank-charger-kept-off", "advice", "note",
        "{id} charges this bank and stays in the old panel: on the inverter it would charge the bank from the bank.",
        "Leave it ahead of the inverter, or take it off where the inverter charges too.")
declare("bank-charger-wished", "hazard", "unsafe",
        "{id} charges this bank and was wished on the inverter: it would charge the bank from the bank until both are empty or hot. It stays in the old panel.",
        "Leave it ahead of the inverter, or take it off where the inverter charges too.")
declare("inverter-wish-not-met", "shortfall", "caution", "{id} was wished on the inverter and stays in the old panel: {why}.",
        "Mend what stands in the way, or do without it while only the inverter feeds.")
declare("inverter-wishes-too-much", "hazard", "unsafe",
        "The circuits that were wished on the inverter ({ids}) ask {asked} {unit} where {limit} {unit} are the limit ({check}).",
        "Wish fewer of them, or take an inverter with more output and a larger relay.")
declare("inverter-feeds-nothing", "shortfall", "caution", "No circuit goes on the inverter: {why}.",
        "Take an inverter with more output or a larger relay, or wish a circuit on it.")
declare("shared-neutral-same-leg", "hazard", "unsafe",
        "{name} share a neutral and hang on the same leg: it carries the sum of both, never the difference.",
        "Split it into two circuits of two wires; on legs in opposition moving one of them to the other leg cures it too.", "NEC 210.4")
declare("circuit-above-breaker", "shortfall", "caution", "{id} draws {current} A behind a breaker of {breaker} A.",
        "Have the circuit sized anew: conductor and breaker together.")
declare("hots-not-opened-together", "code", "unsafe", "The breaker of {id} opens {poles} of the {needed} poles that have to open together: one leg stays live.",
        "Take a breaker of {needed} poles with a common trip.", "NEC 240.15(B)")
declare("breaker-poles-not-known", "missing-data", "caution", "Whether the breaker of {id} opens the {needed} poles that have to open together is not known.",
        "Read the breaker and count the conductors that it opens.")
declare("people-protection-missing", "code", "unsafe", "{id} has no {device}, which the rules ask for: {text}{unless}; {clause}.",
        "Fit it, or show by which exception it is not needed.")
declare("people-protection-not-proven", "missing-data", "caution", "{id} may lack a {device}: {text}{unless}; {clause}. Not known: {asked}.",
        "Look, and test it; fit it where it is missing.")

# Neutral-earth bonds and bonding conductors
declare("bonds-several", "hazard", "unsafe",
        "In the mode {mode} neutral and earth meet {count} times: neutral current divides into the earth wires, and residual-current devices open.",
        "Leave one bond, where this answer says, and open the others.")
declare("bond-missing", "hazard", "unsafe",
        "In the mode {mode} neutral and earth meet nowhere: no residual-current device and no breaker opens on a first fault to earth.",
        "Make the bond where this answer says.")
declare("bond-elsewhere", "hazard", "unsafe",
        "In the mode {mode} there is one bond and it is not where the practice has it: {place}.",
        "Make it there, and open the other one.")
declare("neutral-floats", "code", "note",
        "In the mode {mode} the neutral floats, which its conditions permit: every circuit is protected and switched in both poles.",
        "Keep it so in every circuit that is added; a residual-current device opens only on the second fault.")
declare("bonds-not-judged", "missing-data", "caution",
        "The bonds cannot be judged in: {modes}. Not known: {asked}.",
        "Find it out and ask again; measure it with every source off and unplugged.")
declare("neutral-not-switched", "code", "unsafe",
        "The transfer equipment does not switch the neutral, so the neutrals of all sources are tied and their bonds count together.",
        "Take transfer equipment with {poles} poles, neutral among them.")
declare("transfer-poles-short", "code", "unsafe",
        "The transfer equipment has {poles} poles; live conductors and neutral need {needed}.",
        "Take transfer equipment with {needed} poles.", "NEC 551.30(B), 551.33")
declare("earth-current", "hazard", "note",
        "With two bonds {current} A flow in the earth path; protection of {limit} A upstream opens at once.",
        "Leave one bond.")
declare("bond-withstand-not-proven", "missing-data", "caution",
        "Whether these stand a short circuit of the bank until its device opens is not proven: {conductors}.",
        "Give the short-circuit current and the time in which the battery's device opens, from its maker.", "IEC 60364-4-43 434.5.2")
declare("bond-data-missing", "missing-data", "caution",
        "{conductor}: no size without {missing}.", "Give it.")
declare("bond-no-figure", "missing-data", "caution",
        "No figure was seen for: {conductors}. None is made up here.",
        "Ask the surveyor or read the document; where a short circuit of the bank can pass, at least the size that stands it.")
declare("bond-by-own-choice", "missing-data", "caution",
        "No document that was seen gives a size for: {conductors}. Each is drawn as large as the conductors whose device it has to open, or as the "
        "largest that ends where it does.",
        "Keep that, or take the size that the equipment's maker or the surveyor asks for.")
declare("bond-nothing-fits", "shortfall", "caution",
        "{conductor}: {why}", "Use several conductors in parallel, each of the size that the authority accepts, or a bar.")
declare("case-bond-by-maker", "advice", "note",
        "The rule's smallest bond of the inverter's case may be less than its maker asks, which often is the battery cable's size or one below.",
        "Read the manual and give the size; the larger of both is taken.")

# Run time and recharge
declare("cut-off-before-depth", "shortfall", "caution",
        "The loads pull the bank down to its cut-off before the depth of discharge is reached: what is left is stranded.",
        "Lower the cut-off as far as the chemistry permits, use a thicker cable or more strings, or run the heavy loads while the bank is fuller.")
declare("cut-off-not-judged", "missing-data", "caution",
        "No rest voltages of this chemistry are known: whether the loads pull it down to the cut-off earlier is not judged.",
        "Ask the maker for the discharge curve at this current.")
declare("discharge-rate-high", "advice", "caution",
        "The loads ask for {asked} A; {usual} A is the current usual for a lead-acid bank of this size.",
        "Heat and falling voltage limit it: measure the voltage under load, or take a larger bank.")
declare("self-discharge-not-counted", "advice", "note",
        "The run lasts about {days} days; over months self-discharge and the management system take their part, which is not counted.",
        "Recharge in between, or ask the maker for the self-discharge at this temperature.")
declare("charger-never-fills", "shortfall", "caution", "Supply {id} can never fill this bank: {why}.",
        "Take a charger made for this chemistry and voltage, or fill the bank from another source.")
declare("charger-overcharges", "hazard", "unsafe",
        "Supply {id} reaches {voltage} V; the bank stands {limit} V.", "Set the charger to the voltage of this answer; replace it if it cannot be set.")
declare("supply-beyond-input", "shortfall", "caution",
        "Supply {id} has {limit} W for charger and loads; the charger would take {taken} W and is throttled.",
        "Program the charger down, or run fewer loads while it charges.")
declare("charging-held-back", "advice", "caution",
        "The supplies could bring {given} A to the bank, which takes {limit} A: they are counted as held back to that.",
        "Program the chargers so that their sum stays within the limit, or let one control that they share hold them back.")
declare("charge-below-floor-of-bank", "shortfall", "caution",
        "{current} A reach the bank; a lead-acid bank of this size needs {floor} A or is never properly filled.",
        "Take a stronger charger, run fewer loads while it charges, and give the bank a full charge from another source every week.")
declare("cold-charging-limited", "hazard", "caution",
        "Below {below} °C a lithium bank takes no more than {limit} A; the chargers have to be held back.",
        "Warm the bank, or let the management system limit the charging current in the cold.")
declare("charging-forbidden", "hazard", "unsafe",
        "The bank is at {temperature} °C; cells of this chemistry may be charged from {low} to {high} °C.",
        "Warm or cool the bank first; let the management system or a sensor stop every charger outside these limits.")
declare("empties-in-between", "shortfall", "caution", "While no supply is present the loads empty the bank on the way.",
        "Run less, or let a supply be present for more hours.")

# Storage
declare("charge-lock-out-needed", "hazard", "caution",
        "The bank can be colder than {limit} °C, below which its cells must not be charged; every charger needs a lock-out.",
        "Let the management system or a sensor stop each charger below {limit} °C; the management system's own switch is the last resort.",
        "ISO 23625")
declare("charge-temperature-unknown", "missing-data", "caution",
        "How cold the bank can get is not known; every charger is given a lock-out below {limit} °C.",
        "Give the coldest temperature of the bank.")
declare("discharge-forbidden", "hazard", "unsafe",
        "The bank is at {temperature} °C; cells of this chemistry may be discharged from {low} to {high} °C.",
        "Warm or cool the bank, or take another chemistry.")
declare("unit-makes-no-bank", "shortfall", "unsafe",
        "No number of {voltage} V units makes a {system} V bank.", "Take units that divide the system voltage.")
declare("chemistries-mixed", "hazard", "caution",
        "Owned {owned} units are not put into one bank with {bank} units.",
        "Keep them apart with a charger of their own, or take them out of use.")
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
declare("depth-freezes", "hazard", "caution",
        "At the depth of discharge in use the electrolyte freezes at {freezes} °C, and the bank gets down to {coldest} °C.",
        "{cure}")
declare("management-near-limit", "advice", "caution",
        "The current asked is {share} of what the management systems let pass; near their limit they heat up and open.",
        "Add a string, or take units whose management carries more.")
declare("series-by-equipment", "advice", "note",
        "{series} units in series suit the voltages of the equipment; the system voltage alone would ask for {usual}.",
        "Confirm the settings of charger and inverter for {cells} cells.")
declare("cycle-life-not-documented", "missing-data", "caution",
        "A day takes {depth} of the rated energy, deeper than any cycle life that is documented, so neither life nor cost is answered.",
        "Take a larger bank, or ask the maker for the cycles at that depth.")
declare("calendar-life-not-given", "missing-data", "note",
        "Only cycling ends the life of this bank here, after {years} years; cells wear out in fewer by age and heat alone.",
        "Give the years that the maker counts on.")
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

# Loads
declare("start-not-given", "missing-data", "caution",
        "No start is given for {loads}: each counts as an induction motor that starts with {multiple} times its running power.",
        "Give the start, or say that the load is resistive or electronic.")
declare("heating-from-bank", "advice", "caution",
        "{load} turns {share} of the day's energy into heat; nothing takes more from the bank.",
        "Heat with fuel or from shore, or let this load run from shore alone.")
declare("inverter-hours-short", "shortfall", "caution",
        "The inverter is to be on for {given} h a day and {load} needs it for {needed} h; {needed} h are counted.",
        "Give the inverter the hours of its loads.")
declare("standby-cut", "advice", "note",
        "{load} has more hours of standby than its use leaves in a day; the rest of the day is counted.", "Give fewer hours of standby.")
declare("idle-exceeds-loads", "advice", "caution",
        "The inverter takes {idle} Wh a day for being on, more than its loads take through it ({loads} Wh).",
        "Switch the inverter off between uses, or choose one with less idle draw.")
declare("restart-exceeds-start", "advice", "note",
        "If everything starts at once after a transfer or a trip it takes {restart} VA, the largest start alone {surge} VA.",
        "Stagger the restart, or size the surge for all starts together.")
declare("critical-on-shore-only", "hazard", "unsafe",
        "{load} must never be cut and is served only where shore or a generator is present.", "Serve it from the bank.")
declare("critical-on-inverter", "hazard", "caution",
        "{load} must never be cut and hangs on the inverter, which cuts it at its low-voltage cut-off and on overload.",
        "Take a direct-current appliance, or one with a battery of its own.")
declare("converter-needed", "advice", "note",
        "{load} runs on {voltage} V and needs a converter on a system of {system} V; its loss is counted.",
        "Choose the converter for the running power and the start of what hangs on it.")

declare("appliance-range", "missing-data", "note",
        "By the list of appliances {load} draws {typical} W; such appliances draw {low} to {high} W.",
        "Read the plate, or better measure it, and give the power.")
declare("converter-buffer", "shortfall", "caution",
        "No converter made for {system} to {voltage} V carries {needed} A and starts {start} A ({loads}); the largest gives {largest} A.",
        "Put a buffer battery of {voltage} V beside them, kept full by {feed}, or take appliances made for {system} V.")
declare("converter-none", "shortfall", "unsafe",
        "Nothing made brings {system} V to {voltage} V for {loads}: {why}", "Take appliances made for {system} V, or give them a bank of their own.")
declare("always-live-drain", "advice", "note",
        "What stays live with the load disconnect open ({loads}) takes {charge} Ah a day.",
        "Times the days of storage it must stay below what the bank may give; write the list beside the disconnect.")

# Inverter
declare("surge-not-given", "missing-data", "caution",
        "No start is given; the surge rating is checked against the running load alone.", "Give the largest start with the others running.")
declare("apparent-below-real", "missing-data", "caution",
        "The apparent power given, {given} VA, is below the real power of {real} W, which cannot be; the real power is used.",
        "Read both from one source.")
declare("system-voltage-low", "advice", "caution",
        "{rating} W is more than the {usual} W that are usual at {voltage} V: {current} A at full power on the cut-off.",
        "Take a higher system voltage.", "AS/NZS 4509.2")
declare("transfer-relay-below-breaker", "code", "unsafe",
        "The transfer relay is rated {rating} A and the breaker upstream of it {breaker} A.",
        "Let only a sub-panel behind a breaker of at most {rating} A hang on it, or take an inverter with a larger relay.")
declare("transfer-rating-not-given", "missing-data", "caution",
        "The rating of the transfer relay is not given, so it is not checked against the breaker of {breaker} A upstream.",
        "Read it from the plate of the inverter.")
declare("ripple-current", "advice", "note",
        "On the battery side flow {average} A on average and {rms} A root mean square, because a single-phase inverter draws in pulses.",
        "Size cable and fuse for the larger of the root mean square and 1.25 times the average.")
declare("bank-gives-surge", "advice", "note",
        "The surge takes {current} A from the bank on the cut-off voltage.",
        "Check the peak current of the bank and of its management system, and how long both last.")
declare("surge-too-short", "shortfall", "caution",
        "The surge lasts {surge} s and the start takes {start} s: only the continuous rating counts against it.",
        "Fit a soft starter, or take an inverter whose surge lasts longer.")
declare("surge-duration-not-given", "missing-data", "caution",
        "How long the surge of {surge} VA lasts is not known: without a transformer often less than a second, with one 3 to 20 s.",
        "Read it from the data of the inverter and compare it with the start.")
declare("bank-surge-short", "shortfall", "caution",
        "The largest start takes {needed} A from the bank; what is known of the bank gives {given} A for as long as the start lasts.",
        "Add strings, fit a soft starter, or find out the peak current of the bank and how long it lasts.")
declare("bank-running-short", "shortfall", "unsafe",
        "What runs together takes {needed} A from the bank on the cut-off voltage; its continuous current is {given} A.",
        "Add strings, raise the system voltage, or keep loads from running together.")
declare("modified-sine-motor", "advice", "caution",
        "On a modified sine motors draw up to {factor} times the current and run hot; the whole load is counted so.", "Take an inverter with a sine.")
declare("modified-sine-electronics", "advice", "caution",
        "On a modified sine clocks, chargers, dimmers and supplies with power-factor correction may fail.", "Take an inverter with a sine.")
declare("modified-sine-medical", "hazard", "unsafe",
        "A medical appliance is to run on a modified sine.", "Take an inverter with a sine, or the maker's written word that it may.")
declare("wave-form-not-given", "missing-data", "caution",
        "The wave form of the inverter is not given and it feeds {feeds} loads, which mind a modified sine.", "Read it from the plate.")
declare("inverters-on-two-legs", "advice", "note",
        "{units} inverters on two legs: only ones that are made for it, from one bank, the second led by the first; exactly one closes the bond of "
        "neutral and earth, and the neutral carries the difference of the legs.",
        "Set leader and follower before both are switched on, and see that one that trips takes the other with it where loads hang between the legs.")
declare("legs-uneven", "advice", "note",
        "The {heavier} leg decides the rating: {more} W against {less} W on the other.", "Move loads from leg to leg until both carry about the same.")
declare("idle-takes-bank", "advice", "caution",
        "A day of idling takes {share} of the usable bank.", "Switch the inverter off between uses, or choose one with less idle draw.")
declare("generic-inverter", "missing-data", "note",
        "The inverter is generic: idle draw, surge and how long it lasts, and the transfer relay differ by maker.",
        "Read them from the data of the unit before you buy it.")

# The wiring graph
declare("circuit-not-sized", "shortfall", "unsafe", "Circuit {circuit}: {why}",
        "Change the voltage, shorten the run, divide the load, or give terminals that take a larger conductor.")
declare("source-end-unprotected", "hazard", "unsafe", "Circuit {circuit} has no overcurrent device where it {end}, which is at a source.",
        "Put a device of the circuit's rating there, within the distance that the practice gives.", "NEC 240.21; 552.10(E)")
declare("shunt-bypassed", "hazard", "unsafe", "{equipment} returns to the bank without crossing the shunt.",
        "Move its negative to the system side of the shunt.")
declare("bank-not-isolated", "hazard", "unsafe", "With the bank disconnect open, {equipment} is still connected to the bank.",
        "Move its positive to the load side of the bank disconnect.")
declare("load-disconnect-stops-charging", "hazard", "unsafe", "Opening the load disconnect also cuts {equipment} off the bank.",
        "Connect the charger ahead of the load disconnect.")
declare("array-not-isolated", "hazard", "unsafe", "With the array disconnect open, {equipment} is still connected to the array.",
        "Put a two-pole disconnect between the array and the controller.", "NEC 690.13, 690.15")
declare("bond-count", "hazard", "unsafe", "In the mode {mode} neutral and earth meet {count} times.",
        "Make the bond once, at the source that is active.", "NEC 250.30, 551.54(C)")
declare("generator-neutral-floating", "code", "unsafe",
        "The neutral of {equipment} is joined to no earth while it supplies: a fault to a case opens no breaker, and ground-fault devices cannot trip.",
        "Have neutral and frame joined at the set and nowhere else while it runs, as its maker provides for, and frame and equipment grounding conductor "
        "with them; the transfer equipment has to switch the neutral.", "NEC 250.20(B), 250.30(A)(1), 250.34, 551.30")
declare("generator-neutral-not-known", "missing-data", "caution",
        "Generator {id}: whether its neutral is joined to its frame is not known; the plan draws it joined. Many small sets float, and then a fault to a "
        "case opens no breaker while the set runs.",
        "Read the marking, or measure between neutral and frame with the set at rest and unplugged, and say bonded or floating.", "NEC 445.11, 250.34")
declare("charger-on-own-inverter", "hazard", "unsafe", "{equipment} is fed by the inverter that draws on the bank it charges.",
        "Feed the charger ahead of the inverter.")
declare("charge-lock-out-missing", "hazard", "unsafe", "{equipment} can charge the lithium bank below {limit} °C.",
        "Run the management system's charge permission to it.")
declare("grounding-conductor-missing", "hazard", "unsafe", "Circuit {circuit} needs a grounding conductor of {size} and {found}.",
        "Run one of that size with the circuit, from the metal case to the panel, the chassis or the earth bus bar.", "NEC 250.4, 250.122")
declare("negative-not-grounded", "hazard", "unsafe",
        "The negative of the bank is not joined to the {earth}: a fault from the positive to a metal case opens no fuse.",
        "Join the negative bus bar to it, once, with a conductor not smaller than the bank's own lead.", "NEC 250.162(A), 250.168; 552.10(C)")
declare("polarised-device-both-ways", "hazard", "unsafe", "{equipment} is marked for polarity and sits in a circuit in which current flows both ways.",
        "Use a fuse or a breaker without polarity marks.")
declare("neutral-not-opened", "code", "unsafe", "{equipment} opens {poles} of the {needed} poles that have to open together: the polarity of the supply is not assured.",
        "Take a breaker that opens all live conductors and the neutral.", "IEC 60364-7-721 721.43; ISO 13297 13.2; ABYC E-11")
declare("device-voltage-low", "hazard", "unsafe", "{equipment} is rated {rated} V and the circuit reaches {highest} V.",
        "Use a device rated at or above the highest circuit voltage.", "NEC 110.4, 706.31(C)")
declare("interrupting-short", "hazard", "unsafe", "{equipment} interrupts less than the prospective short-circuit current.",
        "Use a family with a higher interrupting rating.", "NEC 110.9")
declare("lug-missing", "missing-data", "caution", "Conductor {conductor} of size {size} has no usual lug for the stud where it {end}.",
        "Choose a stud or a conductor for which a lug is made.")

# Sun, array, controller
declare("sun-guessed", "missing-data", "caution",
        "The sun is a guess from latitude and climate class {climate}: its worst month is off by {percent} percent (one standard deviation).",
        "Give twelve monthly figures of the site in kWh/m2 a day, or peak sun hours.")
declare("sun-implausible", "missing-data", "caution",
        "{month} with {given} kWh/m2 a day on the horizontal is more than any month is known to reach ({ceiling}); the unit is probably another one.",
        "Check whether the figures are in MJ/m2, or are totals of a month.")
declare("array-short", "shortfall", "caution",
        "Array and other supplies together do not cover the loads in: {months}. In {worst} they bring {percent} percent.",
        "Add another supply in those months, use less, or give the array more room.")
declare("no-sun", "shortfall", "caution",
        "No sun rises in: {months}. No array of any size covers these months.",
        "Add another supply for these months.")
declare("array-space-short", "shortfall", "caution",
        "{needed} modules are needed and {fits} have room.",
        "Make room, take modules of more power per area, or add another supply.")
declare("array-lopsided", "advice", "note",
        "{month} alone asks for {times} times the array that the middle month does.",
        "Another supply in {month} may cost less than an array for it.")
declare("array-not-needed", "advice", "note",
        "The other supplies cover the loads in every month; no module is needed.",
        "Give the supplies only the hours on which you count.")
declare("controller-clips", "advice", "note",
        "The controller's rated output clips {percent} percent of the nameplate power; the yield is counted without it.",
        "Take a controller with a larger output if the sun of bright days matters.")
declare("modules-refused", "advice", "note",
        "Entry {entry} of the owned modules is not used: {why}",
        "Test them and give their data, or dispose of them.")
declare("module-fuse-limit-missing", "missing-data", "caution",
        "The module's largest series fuse is not known; {count} strings in parallel get fuses of the smallest permitted rating.",
        "Read the largest series fuse off the module's label and check the fuses against it.", "NEC 690.9")
declare("backfeed-not-known", "missing-data", "caution",
        "It is not known whether the controller lets the bank feed back into the array; were it so, every string would need a fuse.",
        "Ask for the controller's listing and state whether it blocks back-feed.", "NEC 690.9(A)")
declare("controller-input-current-missing", "missing-data", "note",
        "The controller's largest input short-circuit current is not known; {current} A was not checked against it.",
        "Read it off the controller's data sheet.")
declare("cold-beyond-table", "missing-data", "caution",
        "{coldest} °C lies below the temperature table and the module's coefficient is not known; its steepest rate was carried on.",
        "Give the module's temperature coefficient of the open-circuit voltage.", "NEC 690.7(A)")

# Supplies
declare("supply-hours-missing", "missing-data", "note",
        "Supply {id}: no hours a day are given, so no balance counts on it.", "Give the hours a day on which it is there.")
declare("relay-below-supply", "code", "caution",
        "Supply {id}: the transfer relay carries {relay} A, the breaker of the supply lets {breaker} A through; a programmed limit "
        "protects nothing.",
        "Hang the inverter behind a breaker not above the relay, in a sub-panel of its own, or take a larger relay.")
declare("supply-voltage-differs", "shortfall", "caution",
        "Supply {id} gives {volts} V and everything on board is made for {made} V: it must not be connected, and nothing counts on it.",
        "Take a service of {made} V or a transformer and a plan for it, or plan under the practice of the place.")
declare("supply-without-240", "shortfall", "caution",
        "Supply {id} has no 240 V: these loads are dead on it, not half powered: {dead}.",
        "Use a service with two legs in opposition, or move the loads to 120 V.")
declare("one-hot-on-both-legs", "hazard", "caution",
        "Supply {id} has one hot. Through an adapter both legs hang on it: their sum may reach {limit} A and no more, and circuits "
        "that share a neutral can overload it with no breaker to see it.",
        "Split circuits that share a neutral, and program one limit for both legs together.", "NEC 210.4")
declare("one-leg-of-two", "advice", "note",
        "Supply {id}: the adapter passes one leg of two, {limit} A at {volts} V and no more; the other leg is not used.",
        "Count on that alone, and never join two adapters to gain the other leg.")
declare("cord-drop", "shortfall", "caution",
        "Supply {id}: at {current} A the cord drops {drop} V, and {left} V are left at the inlet of a site that holds its nominal voltage.",
        "Take a shorter or a thicker cord, or program a lower limit; transfer equipment and air conditioners cut out or suffer on low voltage.")
declare("cord-ampacity-not-judged", "missing-data", "caution",
        "Supply {id}: what this cord may carry is not judged, for no table of flexible cords stands behind the answer; {breaker} A can flow in it.",
        "Use a cord marked for at least {breaker} A, with plugs of the same rating, unrolled over its whole length.")
declare("loads-exceed-supply", "advice", "caution",
        "Supply {id}: loads that run together ask {asked} A of a leg that gives {limit} A without end; the inverter would have to add "
        "{added} W from the bank.",
        "Run fewer loads together, divide them over both legs where there are two, or use an inverter that adds to its supply.")
declare("generator-start-too-small", "shortfall", "caution",
        "Generator {id}: the largest start while the others run asks {asked} VA, it is trusted with {given} VA at this altitude and "
        "temperature.",
        "Fit a soft starter, start the motor before the other loads, or take a larger generator. The maker's derating governs.")
declare("no-charger-fits", "shortfall", "caution",
        "For {id} the smallest charger that is made gives {smallest} A, {allowed} A are allowed.",
        "Take a larger bank or a stronger supply, or ask a maker for a charger that can be set that low.")
declare("charger-turned-down", "advice", "note",
        "Supply {id}: program the charger down from {rating} A to {setting} A.",
        "Set the output current, or the input limit of the inverter-charger, before this supply is used.")
declare("charger-above-bank", "hazard", "caution",
        "The charger gives {rating} A, the bank accepts {limit} A.", "Program the charger down; if it cannot be set, replace it.")
declare("charge-below-floor", "shortfall", "caution",
        "Supply {id} charges with {current} A; below {floor} A this bank never becomes full.",
        "Take a stronger supply or charger, or a smaller bank; give the bank a full charge from another source every week.")
declare("charge-not-finished", "advice", "note",
        "Supply {id} needs {needed} h to fill the bank from its depth of discharge and is there for {given} h.",
        "Plan for part charges, or for more hours; a lead-acid bank needs a full charge from some supply every week.")
declare("bank-walks-down", "shortfall", "caution",
        "Supply {id} does not carry the loads of an average hour: the bank changes by {balance} W while it is on.",
        "Run less, or take a stronger supply or charger.")
declare("charger-ahead-of-inverter", "hazard", "caution",
        "A charger fed by the inverter that it charges empties the bank.",
        "Connect the charger ahead of the inverter, on a circuit that only shore or the generator feeds.")
declare("chargers-together", "hazard", "caution",
        "All chargers together give {total} A, the bank accepts {limit} A.",
        "Program the chargers so that their sum stays within the limit, or let one control that they share hold them back.")
declare("alternator-lithium-direct", "hazard", "unsafe",
        "Supply {id}: a lithium bank directly on an alternator takes all that it gives and burns it; a disconnecting management "
        "system destroys its diodes. A DC-DC charger is planned instead.",
        "Charge through a DC-DC charger that starts with the engine.")
declare("alternator-at-idle", "advice", "note",
        "Supply {id}: the DC-DC charger draws {drawn} A, the alternator gives about {idle} A at idle.",
        "Let the charger start with the engine, and do not count on charging while the engine idles.")
declare("alternator-cannot-finish", "shortfall", "caution",
        "Supply {id}: a hot regulator holds {voltage} V, absorption needs {absorption} V; the alternator does not finish the charge.",
        "Charge through a DC-DC charger, or finish the charge from another source every week.")
declare("alternator-above-bank", "hazard", "caution",
        "Supply {id}: the bank would accept {current} A directly from the alternator, its limit is {limit} A.",
        "Charge through a DC-DC charger within the limit.")

# Year
declare("months-in-deficit", "shortfall", "caution",
        "On the average day loads take more than sun and supplies bring in: {months}. Worst is {worst}: {brought} Wh of {taken} Wh, "
        "{covered} %.",
        "Add array, hours of a supply, or save energy in these months; the bank alone does not mend a lasting deficit.")

# The plan as a whole
declare("bank-not-sized", "shortfall", "unsafe", "No bank carries this: {why}", "Change the chemistry, the unit, the voltage or the loads.")
declare("loads-without-inverter", "shortfall", "caution", "There are alternating-current loads for the bank and no inverter; they run only where shore or a generator is present.",
        "Wish for an inverter, or mark these loads as served from shore only.")
declare("bank-below-inverter", "shortfall", "caution",
        "At full power the inverter draws {inverter} A on its cut-off voltage and the bank gives {bank} A: the loads named here run, more overloads the bank.",
        "Add strings to the bank, or tell the user which loads may run together.")
declare("inverter-not-sized", "shortfall", "unsafe", "No inverter carries these loads: {why}",
        "Raise the system voltage, move loads to shore power, fit soft starters, or keep loads from running together.")
declare("array-not-sized", "shortfall", "caution", "No array can be had as asked, and the plan has none: {why}",
        "Take another module or controller, or give the array more room.")
declare("rating-beyond-series", "shortfall", "caution", "None of the usual {what} carries {needed} A; the largest is {largest} A.",
        "Use an industrial one of a higher rating, divide the bank's main circuit, or raise the system voltage.")
declare("critical-behind-converter", "hazard", "caution", "{load} must never be cut and needs a converter, which the load disconnect cuts with the rest.",
        "Use an appliance of the system's voltage, or give it a small battery of its own.")
declare("nothing-for-the-bank", "missing-data", "caution", "The loads take no energy from the bank, so the smallest bank of its kind is planned.",
        "Give hours of use for the loads that the bank has to serve.")
declare("controllers-to-limit", "code", "caution",
        "The charge controllers alone pass the bank's limit of {bank} A; each may give {limit} A.",
        "Program this output limit on each controller, or enlarge the bank.")
declare("cut-off-below-bank", "advice", "note",
        "Currents are sized for an inverter that cuts off at {sized} V; the bank's loads should go off at {program} V already.",
        "Program the inverter's low-voltage cut-off to {program} V or above; the sizes then have that much in hand.")
declare("loads-ahead-of-inverter", "code", "note",
        "Supply {id}: other loads hang on the same leg ahead of the inverter, so its input limit is {program} A and not {limit} A.",
        "Program {program} A, or fit a current sensor at the inlet that the inverter obeys.")
declare("switch-voltage-low", "missing-data", "caution", "The usual {what} are made for {rated} V and the circuit reaches {highest} V.",
        "Use a switch or a moulded-case breaker for direct current that is rated for the voltage.")
declare("critical-on-managed-bank", "hazard", "caution",
        "Never to be cut, and on a lithium bank, whose management system can open at any time: {loads}.",
        "Give them a small battery of their own, or show that the bank cannot open under their load.", "49 CFR 393.43; ABYC E-13")
declare("string-above-60-v", "hazard", "caution", "Strings reach {voltage} V: a shock hazard, and an arc that does not go out.",
        "Never open connectors or switches that are not made for it under load; prefer shorter strings where the controller allows them.")
declare("pre-charge", "advice", "note",
        "Closing the bank disconnect on an inverter's empty capacitors draws thousands of amperes for an instant.",
        "Fill them through a resistor first: 10 to 25 ohm at 12 V, 22 to 47 at 24 V, 33 to 100 at 48 V.")
declare("direct-current-grounded", "code", "caution",
        "The direct-current system reaches {highest} V. Above 60 V, up to 300 V, it has to be grounded: the plan joins its negative to the earth bus bar, once.",
        "Make this joint and no second one. Where a controller, an inverter or ground-fault protection of the array joins the negative to earth inside, "
        "that joint takes its place.", "NEC 250.162(A), 250.166, 250.168, 690.41")
declare("direct-current-grounded-by-choice", "code", "note",
        "The direct-current system stays at {highest} V or below. Up to 60 V it need not be grounded; the plan joins its negative to the earth bus bar "
        "all the same, once, because its devices stand in the positive alone.",
        "Make this joint and no second one. Whoever leaves the system ungrounded needs a device and a pole of each switch in the negative too.",
        "NEC 250.162(A), 240.15(A)")
declare("direct-current-earthed-by-choice", "code", "note",
        "The direct-current system is protective extra-low voltage: it stays at {highest} V or below, and the plan joins its negative to the earth bus bar, "
        "once, because its devices stand in the positive alone.",
        "Make this joint and no second one. Whoever leaves the system unearthed keeps every case of it off the protective conductors too.",
        "IEC 60364-4-41 414")
declare("battery-switch", "code", "note",
        "A bank of more than 100 Ah has a switch in its positive, near it: the bank disconnect is that switch. Bilge pumps, detectors and chargers may "
        "bypass it behind devices of their own; an inverter may not.",
        "Fit it where it is reached without tools, and label what stays live there.", "ABYC E-11 11.6.1.2; ISO 13297")
declare("lithium-on-craft-abyc", "code", "caution",
        "A lithium bank from 600 Wh on is under a standard of its own: a management system that keeps the cells inside the maker's limits, chargers that stay "
        "safe when it opens, an alarm before it does, and another source for what must not fail.",
        "Ask the maker for the listing, the alarm output and the prospective short-circuit current, and say how each charger is stopped.", "ABYC E-13")
declare("lithium-on-craft-iso", "code", "caution",
        "A lithium bank above 500 Wh is under a standard of its own: cells to IEC 62619 and IEC 62620, a management system that first warns and stops the "
        "sources and only then disconnects, and a place in which a venting cell endangers nobody.",
        "Ask the maker for both certificates and the prospective short-circuit current, and write down how a venting cell is dealt with.", "ISO 23625")
declare("ignition-protection", "hazard", "caution",
        "With petrol on board, every device, switch, motor and connection in a space that can hold its vapour has to be ignition-protected.",
        "Keep fuses, switches, relays and the inverter out of engine and tank spaces, or take ones that are marked as ignition-protected.",
        "33 CFR 183.410, 183.455; ABYC E-11; ISO 8846 from memory")
declare("metal-hull", "hazard", "caution",
        "On a metal hull every fault to the hull is a fault through it: no current may return by the hull, and the earth of the shore corrodes it.",
        "Run both conductors of every circuit insulated from the hull, and take an isolation transformer, or a galvanic isolator at least, at the inlet.",
        "ABYC E-11; ISO 13297")
declare("array-beyond-craft-rules", "code", "caution",
        "Strings reach {voltage} V; the rules for direct current on boats are written for up to {limit} V nominal and say nothing of more.",
        "Take shorter strings where the controller allows them, or have the surveyor agree to the rules for photovoltaics that stand in.",
        "ABYC E-11; ISO 13297 1")
declare("negative-once-on-craft", "code", "note",
        "The negative of the bank meets the earth bus bar in one place; engine, metal cases and the alternating-current earth are joined to that bus bar. "
        "The hull and the bonding of underwater metal carry no current of a circuit.",
        "Make no second joint: where an inverter, a charger or the engine's block already makes one, it takes the place of this one.",
        "ABYC E-11; ISO 13297")
declare("inverter-neutral-link", "hazard", "caution",
        "A residual-current device behind the inverter opens only where neutral and earth are joined at the inverter while it inverts; many float as they come.",
        "Order or program the link, closed while it inverts and open on shore, and prove with a tester that each device opens in both modes.",
        "IEC 60364-5-55 551.4; ISO 13297 6.8")
declare("circuits-apart", "code", "note",
        "Direct current and alternating current do not run in one duct, conduit or box unless a barrier divides them or each has its own insulation for both.",
        "Plan two ways through the dwelling, or one divided one.", "ISO 13297; EN 1648; IEC 60364-7-721")
declare("beyond-en-1648", "missing-data", "note",
        "The edition of 2018 of the rules for the battery side is written for 12 V; this system is not. An edition for 12, 24 and 48 V was announced.",
        "Ask whoever inspects the vehicle by which document.", "EN 1648-1, EN 1648-2")
declare("connecting-lead", "code", "note",
        "The lead to the site is one length of 25 m of rubber-sheathed flexible cable with protective conductor, 2.5 mm2 at 16 A, to an inlet at most 1.8 m "
        "above the ground; the site's earth has to be one of its own, not combined with the neutral of the network.",
        "Unroll it before use, and check the site's socket with a tester.", "IEC 60364-7-721 721.55; IEC 60364-7-708 708.411.4")
declare("gas-locker", "hazard", "note",
        "No cable runs through the locker of gas bottles, and the battery stands in a place of its own away from them.",
        "Lay the route around it; what has to be there is sealed or sheathed as the document allows.", "EN 1648-1; EN 1949")
declare("photovoltaic-arc-fault", "code", "caution", "Strings reach {voltage} V on or in a building; from 80 V they need arc-fault protection.",
        "Use a controller with it, shorten the strings, or set the array up away from buildings.", "NEC 690.11")
declare("rapid-shutdown", "code", "caution", "An array on or in a building needs rapid shutdown.",
        "Fit listed rapid-shutdown equipment with its switch outside, or set the array up on the ground.", "NEC 690.12")
declare("photovoltaic-ground-fault", "code", "caution", "Photovoltaic circuits above 30 V or 8 A need ground-fault protection.",
        "Choose a controller that has it, or add a device for it.", "NEC 690.41(B)")
declare("storage-shutdown", "code", "caution", "A bank of more than 1 kWh in a dwelling needs a marked disconnect and an emergency shutdown outside.",
        "Fit both, marked with voltage, fault current, clearing time and date.", "NEC 706.15")
declare("chargers-beside-sun", "code", "caution",
        "While the array gives all it can, the other chargers together may give {left} A, so that the bank gets no more than {bank} A.",
        "Let one control that the chargers share hold them back, or program them to this when the sun shines.")
