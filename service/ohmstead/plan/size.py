"""Size a brief in the order in which one answer needs the other, then draw and verify."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from msgspec.structs import replace

from ..electrical.array.model import Array, ArrayRequest
from ..electrical.array.sizing import size_array
from ..electrical.conductors.remarks import recalled_values
from ..electrical.inverter.model import Inverter
from ..electrical.inverter.model import Request as InverterRequest
from ..electrical.inverter.formulas import power_factor_of
from ..electrical.inverter.sizing import size_inverter
from ..electrical.loads.model import Demand
from ..electrical.loads.model import Request as DemandRequest
from ..electrical.loads.sizing import size_demand, sum_up, survey
from ..electrical.loads.starts import direct_surge
from ..electrical.sources.model import Alternator, BankFacts, ChargerFacts, ChargeTotal, Generator, LegLoads, LoadFacts, Shore, Side, Supply
from ..electrical.sources.sizing import charging_together, check_total_charge, fits, size_supplies
from ..electrical.storage.model import Bank, BankRequest
from ..electrical.storage.sizing import size_bank
from ..electrical.year.model import SupplyEnergy, Year
from ..electrical.year.sizing import monthly_balance
from ..installation.assembly import Drawn
from ..installation.build import build
from ..installation.formulas import alternating_current, node_sum
from ..installation.needs import AlternatingLoad, DirectLoad, Needs, RunLengths
from ..installation.verify import verify
from ..reference.case import Case, no_less, no_more
from ..reference.citations import cite
from ..reference.practices import Practice
from ..working import at_least, at_most
from .cautions import cautions_for
from .formulas import bank_current, controller_limit, left_beside_sun, peak_sum, stored_by_supplies
from .duties import remark_duties
from .model import Brief, Plan

_PLACES = {
    "/inverter": {"/system_voltage": "/system_voltage"},
    "/bank": {"/coldest": "/site/bank_coldest", "/unit": "/bank/unit", "/owned": "/bank/owned", "/payload": "/bank/payload"},
    "/array": {"/sun": "/site/sun", "/air_coldest": "/site/air_coldest", "/loads": "/loads", "/other_supplies": "/supplies", "/owned": "/array/owned"},
}
"""Where the fields that a part of the plan speaks of stand in the brief; any other field is the part itself."""


@contextmanager
def _part(case: Case, part: str) -> Iterator[None]:
    """While a part is sized, its remarks point into the brief."""
    known = _PLACES[part]
    before, case.places = case.places, lambda pointer: pointer if pointer == "/house_rules" else known.get(pointer, part)
    try:
        yield
    finally:
        case.places = before


def size_plan(brief: Brief, case: Case) -> Plan:
    """The plan that answers a brief.

    Order: demand, inverter, bank, supplies, array, monthly balance, circuits and graph, verification. A part that
    nothing fits is an outcome; the installation is drawn only when there is a bank to draw.
    """
    practice = case.library.practices[brief.practice]
    for default in dict.fromkeys(source.ambient_default for source in practice.sources.values()):
        case.assume_worse(default, brief.site.air_hottest_c, "the outside air gets hotter than what is usual for cables", cite("common-practice"), "/site/air_hottest")
    nominal = _nominal(brief, case)
    cut_off = case.assume(f"cut_off_{nominal:.0f}")
    demand, inverter = _demand_and_inverter(brief, nominal, case)
    bank = _bank(brief, demand, inverter, nominal, cut_off, case)
    if bank.outcome != "sized":
        case.note("bank-not-sized", "/bank", why=bank.why)
        return Plan(practice, brief.kind, nominal, demand, inverter, bank, (), None, None, None, None, None, (), cautions_for(brief, bank, inverter, ()))
    supplies = _supplies(brief, practice, demand, inverter, bank, nominal, case)
    array = _array(brief, demand, bank, supplies, nominal, case)
    year = _year(demand, array, supplies, bank, case)
    total, controller = _charge_total(supplies, array, bank, nominal, case)
    needs = _needs(brief, practice, nominal, cut_off, demand, inverter, bank, supplies, array)
    installation, circuits = build(needs, case)
    _remark(circuits, inverter, bank, case)
    _remark_recalled(circuits, case)
    remark_duties(practice, needs, brief, case)
    verify(installation, case)
    _leave_foreign_clauses(practice, case)
    return Plan(practice, brief.kind, nominal, demand, inverter, bank, supplies, total, controller, array, year, installation, circuits,
                cautions_for(brief, bank, inverter, supplies))


def _nominal(brief: Brief, case: Case) -> float:
    """The system voltage of the brief, else the lowest one that the trade uses for loads of this power."""
    if brief.nominal_voltage_v is not None:
        return brief.nominal_voltage_v
    loads = [load for load in brief.loads if load.current == "ac" and not load.shore_only]
    demand = size_demand(_demand_request(brief, case.chosen(12.0, "nominal_voltage_v", "to find the running power"), case, idle_w=_no_idle(case)), _silent(case))
    limits = ((12.0, "system_voltage_12_limit_w"), (24.0, "system_voltage_24_limit_w"))
    chosen = next((volts for volts, name in limits if not loads or at_most(demand.running_w, case.constant(name))), 48.0)
    why = "lowest system voltage that the trade uses for inverters of this power"
    volts = case.chosen(chosen, "nominal_voltage_v", why, demand.running_w)
    return case.assumed_value("nominal_voltage_v", volts, why, cite("as-4509"), "/system_voltage")


def _silent(case: Case) -> Case:
    """A case beside the real one, for a trial whose assumptions and findings leave nothing behind."""
    return Case(case.library, case.house_rules)


def _no_idle(case: Case) -> float:
    return case.chosen(0.0, "idle_w", "before the inverter is known")


def _demand_request(brief: Brief, nominal: float, case: Case, idle_w: float | None) -> DemandRequest:
    return DemandRequest(loads=brief.loads, nominal_voltage_v=nominal, latitude_deg=brief.site.latitude_deg, idle_w=idle_w,
                         idle_hours=brief.inverter.idle_hours if brief.inverter is not None else None)


def _demand_and_inverter(brief: Brief, nominal: float, case: Case) -> tuple[Demand, Inverter | None]:
    """The inverter needs the running power, and the energy needs the inverter's idle draw."""
    request = _demand_request(brief, nominal, case, _no_idle(case))
    surveyed = survey(request, case)
    if not surveyed.alternating:
        return sum_up(surveyed, request, case), None
    if brief.inverter is None:
        case.note("loads-without-inverter", "/inverter")
        return sum_up(surveyed, request, case), None
    running = surveyed.running
    if brief.inverter.inverter_temperature_c is None:
        case.assume_worse("inverter_temperature_c", brief.site.air_hottest_c, "the outside air gets hotter than what is usual for a locker; give the inverter's own "
                          "hottest air when it lies in a cooler space", cite("common-practice"), "/site/air_hottest")
    asked = InverterRequest(
        running_w=running.running_w, nominal_voltage_v=nominal, running_va=running.running_va, surge_va=running.surge_va,
        largest_load_w=running.largest_ac_w, inverter_temperature_c=brief.inverter.inverter_temperature_c,
        altitude_m=brief.site.altitude_m, unit=brief.inverter.unit,
    )
    with _part(case, "/inverter"):
        inverter = size_inverter(asked, case)
    if inverter.rating is None:
        case.note("inverter-not-sized", "", why=inverter.why)
    if inverter.rating is not None:
        request = _demand_request(brief, nominal, case, inverter.rating.idle_w)
    return sum_up(surveyed, request, case), inverter


def _bank(brief: Brief, demand: Demand, inverter: Inverter | None, nominal: float, cut_off: float, case: Case) -> Bank:
    wish = brief.bank
    running = bank_current(demand.bank_running_w, cut_off) if demand.bank_running_w > 0 else None
    peak = None
    if inverter is not None and inverter.rating is not None:
        direct = bank_current(demand.dc_running_w, cut_off) if demand.dc_running_w > 0 else case.chosen(0.0, "current_a", "no direct-current loads")
        peak = peak_sum(inverter.rating.surge_current_a, direct)
    coldest = brief.site.bank_coldest_c
    if coldest is None:
        why = "the bank is taken to get as cold as the outside air; give its own lowest temperature when it lies in a heated space"
        coldest = case.assumed_value("bank_temperature_c", brief.site.air_coldest_c, why, cite("common-practice"), "/site/bank_coldest")
    energy = demand.day_energy_wh
    least = case.constant("least_day_energy_wh")
    if not at_least(energy, least):
        case.note("nothing-for-the-bank", "/loads")
        energy = case.assumed_value("day_energy_wh", least, "the loads take nothing from the bank, so the smallest bank is planned", cite("design-arithmetic"), "/loads")
    request = BankRequest(
        chemistry=wish.chemistry, nominal_voltage_v=nominal, day_energy_wh=energy, autonomy_days=wish.autonomy_days,
        bank_temperature_c=coldest, ageing_convention=wish.ageing_convention, discharge_current_a=running, peak_current_a=peak,
        unit=wish.unit, owned=wish.owned, payload_kg=wish.payload_kg,
    )
    with _part(case, "/bank"):
        return size_bank(request, case)


def bank_facts(bank: Bank, nominal: float) -> BankFacts:
    """What a supply has to know of a sized bank."""
    return BankFacts(
        chemistry=bank.chemistry, bank_voltage_v=nominal, bank_capacity_ah=bank.capacity_ah,
        depth_of_discharge=bank.need.depth_of_discharge, absorption_v=bank.voltages.absorption_v, charge_limit_a=bank.currents.charge_limit_a,
        charge_floor_a=bank.currents.charge_floor_a,
    )


def _supplies(brief: Brief, practice: Practice, demand: Demand, inverter: Inverter | None, bank: Bank, nominal: float, case: Case) -> tuple[Supply, ...]:
    if not brief.supplies:
        return ()
    nothing = case.chosen(0.0, "start_increment_va", "nothing starts hard")
    loads = LoadFacts(
        day_energy_wh=demand.day_energy_wh, dc_energy_wh=demand.dc_energy_wh, running_va=demand.running_va,
        start_increment_va=demand.start.start_increment_va if demand.start else nothing, shore_va=demand.shore_va,
        legs=_legs(brief, practice, demand, case),
    )
    kind = brief.charger_kind or ("inverter-charger" if inverter is not None and inverter.rating is not None else "stand-alone")
    charger = ChargerFacts(kind, brief.charger_current_a, inverter.rating.transfer_rating_a if inverter is not None and inverter.rating is not None else None,
                           relay_protected=True)
    return size_supplies(brief.supplies, bank_facts(bank, nominal), loads, case, charger, Side(practice.line_voltage_v, practice.continuous_share))


def _legs(brief: Brief, practice: Practice, demand: Demand, case: Case) -> LegLoads | None:
    """Where a supply has two legs the inverter hangs on the first and what it does not serve on the second."""
    side = Side(practice.line_voltage_v)
    connected = [request for request in brief.supplies if isinstance(request, (Shore, Generator)) and fits(request, side, case)]
    two = any(
        (isinstance(request, Shore) and case.library.tables["shore_services"].cell(request.service, "legs") > 1)
        or (isinstance(request, Generator) and request.wiring == "120-240") for request in connected
    )
    if not two:
        return None
    voltage = practice.line_voltage_v
    return LegLoads(alternating_current(demand.running_va, voltage), alternating_current(demand.shore_va, voltage))


def _array(brief: Brief, demand: Demand, bank: Bank, supplies: tuple[Supply, ...], nominal: float, case: Case) -> Array | None:
    if brief.array is None:
        return None
    wish = brief.array
    stored = [supply.energy_wh for supply in supplies]
    others = (stored_by_supplies(*stored),) * 12 if stored else None
    request = ArrayRequest(
        load_wh=demand.month_energy_wh, sun=brief.site.sun, module=wish.module, controller=wish.controller, system_voltage_v=nominal,
        charging_voltage_v=bank.voltages.highest_v, air_coldest_c=brief.site.air_coldest_c, air_hottest_c=brief.site.air_hottest_c,
        chemistry=bank.chemistry, other_supplies_wh=others, mounting=wish.mounting, owned=wish.owned, count_wanted=wish.count_wanted,
        space=wish.space,
    )
    with _part(case, "/array"):
        found = size_array(request, case)
    if found.outcome != "sized":
        case.note("array-not-sized", "/array", why=found.why)
    # The monthly balance says the same of all supplies together.
    case.findings[:] = [finding for finding in case.findings if finding.code != "array-short"]
    return found


def _year(demand: Demand, array: Array | None, supplies: tuple[Supply, ...], bank: Bank, case: Case) -> Year:
    nothing = case.chosen(0.0, "array_energy_wh", "no array")
    yields = tuple(month.yield_wh for month in array.months) if array is not None and array.outcome == "sized" else (nothing,) * 12
    return monthly_balance(
        demand.month_energy_wh, yields, [SupplyEnergy(supply.id, (supply.energy_wh,) * 12) for supply in supplies], case,
        usable_energy_wh=bank.usable_energy_aged_wh,
    )


def _charge_total(
    supplies: tuple[Supply, ...], array: Array | None, bank: Bank, nominal: float, case: Case
) -> tuple[ChargeTotal | None, float | None]:
    """Everything that can charge at once, and what to program on the controllers when that is too much.

    The sun comes first: controllers are turned down only where they alone pass the bank's limit, and the other
    chargers have what is left while it shines.
    """
    others = charging_together(supplies)
    controllers = [group.output_limited_a for group in array.groups for _ in range(int(group.controllers))] if array is not None and array.outcome == "sized" else []
    if not others and not controllers:
        return None, None
    total = check_total_charge([*others, *controllers], bank_facts(bank, nominal), case)
    if total.check.passed or not controllers:
        return total, None
    limit, sun, program = bank.currents.charge_limit_a, node_sum(*controllers), None
    if not at_most(sun, limit):
        program = controller_limit(limit, case.chosen(len(controllers), "controllers", "charge controllers of the array"))
        case.note("controllers-to-limit", "/array", limit=no_more(program), bank=no_more(limit))
    if others:
        case.note("chargers-beside-sun", "/supplies", left=no_more(left_beside_sun(limit, sun)), bank=no_more(limit))
    return total, program


def _needs(
    brief: Brief, practice: Practice, nominal: float, cut_off: float, demand: Demand, inverter: Inverter | None, bank: Bank,
    supplies: tuple[Supply, ...], array: Array | None,
) -> Needs:
    rating = inverter.rating if inverter is not None else None
    direct = tuple(
        DirectLoad(line.id, line.running_power_w, None if line.start_increment_va is None else direct_surge(line.running_power_w, line.start_increment_va),
                   line.voltage_v, always_live=line.critical)
        for load, line in zip(brief.loads, demand.loads, strict=True) if line.current == "dc"
    )
    alternating = tuple(
        AlternatingLoad(line.id, line.apparent_power_va, line.on_bank, continuous=True)
        for line in demand.loads if line.current == "ac" and (rating is not None or not line.on_bank or supplies)
    )
    return Needs(
        practice=practice, kind=brief.kind, hull=brief.hull, fuel=brief.fuel, nominal_v=nominal, bank=bank, inverter=inverter if rating is not None else None,
        groups=array.groups if array is not None and array.outcome == "sized" else (), supplies=supplies, direct_loads=direct,
        alternating_loads=alternating, lengths=RunLengths(brief.run_lengths_m, brief.run_ambients_c), direct_running_w=demand.dc_running_w,
        ripple_power_factor=power_factor_of(demand.running_w, demand.running_va) if rating is not None and demand.running_va > 0 else 1.0,
        inverter_current_a=rating.inverter_current_a if rating is not None else None, cut_off_v=cut_off,
        lock_out=bank.lock_out_below_c is not None, starter_voltage_v=next((request.starter_voltage_v for request in brief.supplies if isinstance(request, Alternator)), 12.0),
        neutrals={request.id: request.neutral for request in brief.supplies if isinstance(request, Generator)},
    )


def _remark_recalled(circuits: tuple[Drawn, ...], case: Case) -> None:
    """Sizes that rest on memory alone: once for each place where they are said to stand, with the circuits that each value decided."""
    places: dict[str, dict[str, list[str]]] = {}
    checks: dict[str, dict[str, None]] = {}
    for drawn in circuits:
        for check, found in recalled_values(drawn.sized, drawn.asked.run):
            value, _, place = found.partition(" in ")
            places.setdefault(place, {}).setdefault(value, []).append(drawn.circuit.id)
            checks.setdefault(place, {})[check] = None
    for place, values in places.items():
        said = "; ".join(f"{value} for {', '.join(ids)}" for value, ids in values.items())
        case.note("recalled-value-decides", "/installation/circuits", check=" and ".join(checks[place]), value=f"{said}; in {place}")


def _leave_foreign_clauses(practice: Practice, case: Case) -> None:
    """A clause of another country's code is none where the practice holds; the finding stays."""
    if not practice.clauses_of:
        return
    for position, finding in enumerate(case.findings):
        kept = [part for part in finding.clause.split("; ") if part.partition(" ")[0].partition("-")[0] in practice.clauses_of]
        case.findings[position] = replace(finding, clause="; ".join(kept))


def _remark(circuits: tuple[Drawn, ...], inverter: Inverter | None, bank: Bank, case: Case) -> None:
    """Findings that arise only when the parts meet."""
    if inverter is not None and not at_least(inverter.cut_off_v, bank.voltages.load_disconnect_v):
        case.note("cut-off-below-bank", "/inverter", sized=float(inverter.cut_off_v), program=float(bank.voltages.load_disconnect_v))
    sets = 0
    for position, drawn in enumerate(circuits):
        if drawn.sized.outcome != "sized":
            case.note("circuit-not-sized", f"/installation/circuits/{position}", circuit=drawn.circuit.id, why=drawn.sized.why)
        elif drawn.sized.conductor.sets > 1:
            sets = max(sets, drawn.sized.conductor.sets)
    if sets:
        case.note("parallel-sets", sets=sets)
    if inverter is not None and inverter.rating is not None and not at_most(inverter.rating.inverter_current_a, bank.currents.continuous_a):
        case.note("bank-below-inverter", "/inverter", inverter=no_less(inverter.rating.inverter_current_a), bank=no_more(bank.currents.continuous_a))
