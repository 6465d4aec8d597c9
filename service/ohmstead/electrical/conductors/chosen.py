"""Judge a conductor and a device that somebody chose beforehand, or that are there already.

The rule: every check that a conductor of our own choice has to pass, and what no number says: that it is made
for the terminals, that so many may lie in parallel, that the device is for this kind of current. One failure is
enough to fail; what the label does not say is not proven, and never passes.
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from ...reference.case import Case
from ...reference.tables import Table
from ...working import Check, at_least
from ..protection.model import Demand, Device
from ..protection.sizing import candidates, device_checks
from .currents import currents_of, demand_of, no_return, return_check
from .model import Circuit, Row, Run
from .rules import DROP, DROP_HOT
from .sizing import Conditions, Tried, conditions_of, try_row
from .surroundings import Sets, Surroundings, surroundings_of, together

Verdict = Literal["passes", "fails", "not-proven"]


class ChosenDevice(Struct, frozen=True):
    """A device as its label describes it; None where nobody read it."""

    rating_a: float
    family: str | None = None
    voltage_v: float | None = None
    interrupting_a: float | None = None
    polarised: bool | None = None
    poles: int | None = None
    """Poles that open together."""


class Chosen(Struct, frozen=True):
    """What was chosen. A size of None takes the one that the sizing found, a device of None the one that fits."""

    size: str | None
    sets: int
    device: ChosenDevice | None = None


class Judged(Struct, frozen=True):
    """The verdict on what was chosen."""

    verdict: Verdict
    why: tuple[str, ...]
    """What stands against it, in words; empty when it passes."""
    conductor: Row | None
    device: Device | None
    checks: tuple[Check, ...]
    above_ampacity: bool = False


def judge(chosen: Chosen, run: Run, sized: Circuit, case: Case) -> Judged:
    """Put a choice to the checks of its circuit; findings say what fails."""
    currents = currents_of(run)
    s = surroundings_of(run, currents.thermal_a, case)
    back = return_check(run, case)
    size, sets = (chosen.size, chosen.sets) if chosen.size is not None else (sized.conductor and sized.conductor.size, sized.conductor and sized.conductor.sets)
    if back is not None and not back.passed:
        return _note(Judged("fails", (no_return(run),), None, None, (back,)), case)
    if s.why or size is None:
        return _note(Judged("fails", (s.why or sized.why,), None, None, ()), case)
    index = s.sizes.row(size)
    if index >= min(len(s.terminal_column), *(len(zone.column) for zone in s.zones)):
        return _note(Judged("fails", (f"{run.source.document}: no ampacity is printed for {size} in this place, with this insulation and these terminals.",),
                            None, None, ()), case)
    against = _misfits(s, index, sets)
    c = conditions_of(run, s, currents, case)
    parallel = together(s, sets, case)
    if parallel is None:
        return _note(Judged("fails", (*against, f"{run.source.bundling.title}: the table ends below so many conductors together."), None, None, ()), case)
    demand = demand_of(run, currents)
    device, unknown = None, ()
    if run.device and chosen.device is not None:
        device, doubts, unknown = _as_device(chosen.device, demand, run, case)
        against += doubts
    elif run.device:
        device = _fitting(c, index, parallel, demand)
        if device is None:
            against += (f"No overcurrent device is made for {demand.needed_a:.4g} A at {run.highest_voltage_v:g} V in this use.",)
    tried, allowed = _tried(c, index, parallel, device)
    checks = tried.checks if device is None else tried.checks + device_checks(device, demand)
    failed = any(not check.passed for check in checks)
    proven = device is None or (not unknown and device.interrupting == "sufficient")
    verdict: Verdict = "fails" if failed or against else "passes" if proven else "not-proven"
    return _note(Judged(verdict, (*against, *unknown), tried.row, device, checks, allowed), case)


def _misfits(s: Surroundings, index: int, sets: int) -> tuple[str, ...]:
    """What stands against the conductor beside its checks."""
    source, name = s.run.source, s.sizes.columns[s.sizes.key]
    found = []
    if index > s.last:
        found.append(f"{name[index]} is larger than the terminals take, {name[s.last]} at most.")
    elif not s.made[index]:
        found.append(f"No lug of {name[index]} is made for the studs.")
    elif index < s.first:
        least = f"{name[s.first]} at least" if s.first < len(name) else "and no larger one is made for both ends"
        found.append(f"{name[index]} is smaller than the terminals take, {least}.")
    if source.smallest is not None and index < source.smallest_row:
        found.append(f"{source.document} permits {source.smallest} at least for a conductor on its own.")
    if sets > 1 and index < source.parallel_row:
        found.append(f"Conductors in parallel are permitted from {source.parallel_from} on.")
    if sets > s.max_sets:
        found.append(f"The terminals take {s.max_sets} conductors together, not {sets}.")
    return tuple(found)


def _tried(c: Conditions, index: int, sets: Sets, device: Device | None) -> tuple[Tried, bool]:
    """The row with its checks; by the document's allowance for the device where only that lets it pass."""
    tried = try_row(c, index, sets, device)
    allowance = c.run.source.device_allowance
    if tried.failed is None or device is None or allowance is None:
        return tried, False
    c.relation = allowance
    allowed = try_row(c, index, sets, device)
    return (allowed, True) if allowed.failed is None else (tried, False)


def _fitting(c: Conditions, index: int, sets: Sets, demand: Demand) -> Device | None:
    """The first device in the order of preference that protects this conductor, else the first one that is made."""
    first = None
    for device in candidates(demand, c.case):
        first = first or device
        if _tried(c, index, sets, device)[0].failed is None:
            return device
    return first


def _as_device(chosen: ChosenDevice, demand: Demand, run: Run, case: Case) -> tuple[Device, tuple[str, ...], tuple[str, ...]]:
    """The chosen device, what stands against it, and what its label was not asked for."""
    families, against, unknown = case.library.tables["device_families"], [], []
    column, row = families.columns, _row_of(chosen, demand, families)
    voltage, interrupting, polarised = chosen.voltage_v, chosen.interrupting_a, chosen.polarised
    if row is not None:
        if column["current"][row] != run.source.current:
            against.append(f"{column['title'][row]}: not made for {run.source.current} current.")
        if chosen.rating_a not in case.library.series.get(chosen.family, ()):
            case.note("rating-not-made", "/chosen/device/rating", family=column["title"][row], rating=float(chosen.rating_a))
        voltage = column["device_voltage_v"][row] if voltage is None else voltage
        interrupting = column["interrupting_a"][row] if interrupting is None else interrupting
        polarised = column["polarised"][row] == "yes" if polarised is None else polarised
    if run.both_ways and polarised:
        against.append("The device is marked for polarity, and current flows both ways here.")
    if voltage is None:
        unknown.append(f"The voltage of the device is not known; its label must show {run.highest_voltage_v:g} V or more.")
    if interrupting is None:
        unknown.append("The interrupting rating of the device is not known.")
    if run.both_ways and polarised is None:
        unknown.append("Whether the device is marked for polarity is not known.")
    together = run.source.poles(1)  # at least: another leg may have a breaker of its own
    if run.source.opens_neutral and chosen.poles is None:
        unknown.append(f"How many poles the device opens together is not known; {together} or more have to, the neutral among them.")
    elif chosen.poles is not None and chosen.poles < together:
        against.append(f"The device opens {chosen.poles} of {together} poles that have to open together, the neutral among them.")
    known = interrupting is not None and demand.fault_current_a is not None
    short = known and not at_least(interrupting, demand.fault_current_a)
    device = Device(
        chosen.family or "", column["title"][row] if row is not None else "A device of a family that is not known",
        column["kind"][row] if row is not None else "fuse", chosen.rating_a, voltage, interrupting,
        "short" if short and demand.fault_proven else "sufficient" if known and not short and demand.fault_proven else "not-proven",
        bool(polarised), row is not None and column["current_limiting"][row] == "yes", column["mounting"][row] if row is not None else "",
        column["row"][row] if row is not None else "",
    )
    return device, tuple(against), tuple(unknown)


def _row_of(chosen: ChosenDevice, demand: Demand, families: Table) -> int | None:
    """Row of the family whose voltage fits best: the lowest that suffices, else the highest there is; one that is made for this use before others."""
    if chosen.family is None:
        return None
    family, use, voltage = (families.columns[name] for name in ("family", "use", "device_voltage_v"))
    rows = sorted((row for row in range(families.rows) if family[row] == chosen.family), key=lambda row: (demand.use not in use[row].split(), voltage[row]))
    sufficing = (row for row in rows if at_least(voltage[row], demand.highest_voltage_v))
    return next(sufficing, max(rows, key=lambda row: voltage[row]))


def _note(judged: Judged, case: Case) -> Judged:
    """Say what fails: what is unsafe apart from what merely drops too much."""
    failed = [check.rule.name for check in judged.checks if not check.passed]
    drop = [name for name in failed if name in (DROP.name, DROP_HOT.name)]
    unsafe = [name for name in failed if name not in drop]
    if judged.verdict == "fails" and (unsafe or judged.why):
        case.note("chosen-unsafe", "/chosen", why=" ".join([*judged.why, *([f"It fails: {', '.join(unsafe)}."] if unsafe else [])]))
    if drop:
        case.note("chosen-drops", "/chosen", drop=float(judged.conductor.drop_at_temperature_fraction * 100))
    if judged.above_ampacity:
        case.note("device-above-ampacity", "/chosen", rating=float(judged.device.rating_a), ampacity=float(judged.conductor.ampacity_a))
    if judged.verdict == "not-proven":
        case.note("chosen-not-proven", "/chosen", why=" ".join(judged.why) or "The short-circuit current is not known or not from the maker.")
    return judged
