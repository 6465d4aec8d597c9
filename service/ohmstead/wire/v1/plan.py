"""The plan as it stands in an answer."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.conductors import formulas as conductor_formulas
from ...electrical.faults import formulas as fault_formulas
from ...electrical.protection import formulas as protection_formulas
from ...electrical.protection import opening_formulas
from ...electrical.sources import charging_formulas
from ...electrical.sources import formulas as source_formulas
from ...electrical.year import formulas as year_formulas
from ...installation import formulas as installation_formulas
from ...plan import formulas as plan_formulas
from ...plan import model
from ...reference.case import Case
from ...working import Citation, cited
from ..base import Amount, Answer, envelope, known_amount
from . import array, bank_answer, circuit_answer, circuit_beside, demand, inverter
from .array_answer import SizedArray, write_array
from .balance import BalanceAnswer, write_balance
from .bank_answer import SizedBank, write_bank
from .checked import CheckAnswer, write_check
from .demand import SizedDemand, write_demand
from .installation import InstallationAnswer, write_installation
from .inverter import SizedInverter, write_inverter
from .supplies import SupplyAnswer, write_supply


class ChargeTotalAnswer(Struct, frozen=True):
    """Everything that can charge at once against what the bank accepts."""

    current: Annotated[Amount, Meta(description="Sum of the charging currents")]
    check: Annotated[CheckAnswer, Meta(description="Against the bank's limit")]
    controller_limit: Annotated[Amount | None, Meta(description="Output to program on each charge controller, so that all together stay within the limit; null where they do anyway")]


class PlanAnswer(Answer):
    """Everything sized, drawn as one wiring graph and verified."""

    outcome: Annotated[Literal["sized", "shortfall", "nothing-fits"], Meta(description="sized: everything that was asked for. shortfall: something that was asked for cannot be had; the findings say what. nothing-fits: there is no bank, so nothing is drawn")]
    practice: Annotated[str, Meta(description="Whose rules apply")]
    kind: Annotated[str, Meta(description="Kind of dwelling")]
    system_voltage: Annotated[Amount, Meta(description="Nominal voltage of the system")]
    demand: Annotated[SizedDemand, Meta(description="What the loads ask for")]
    inverter: Annotated[SizedInverter | None, Meta(description="The inverter; null when no load needs one or none is wanted")]
    bank: Annotated[SizedBank, Meta(description="The bank")]
    supplies: Annotated[list[SupplyAnswer], Meta(description="Each supply: what to program, what runs, how long charging takes")]
    charge_total: Annotated[ChargeTotalAnswer | None, Meta(description="All chargers together; null when there is none")]
    array: Annotated[SizedArray | None, Meta(description="The array; null when none is wanted")]
    balance: Annotated[BalanceAnswer | None, Meta(description="Month by month; null when there is no bank")]
    installation: Annotated[InstallationAnswer | None, Meta(description="The wiring graph; null when there is no bank")]


_FORMULAS = cited(source_formulas, charging_formulas, year_formulas, installation_formulas, plan_formulas, conductor_formulas, fault_formulas, protection_formulas, opening_formulas)
_TABLES = ("constants", "shore_services", "charger_ratings", "dc_dc_ratings", "chemistry_values", "shunt_ratings", "bus_bar_ratings", "switch_ratings")
"""Tables that the parts of a plan read without an answer of their own that would name them."""


def outcome_of(plan: model.Plan, case: Case) -> str:
    """One word for the whole plan."""
    if plan.installation is None:
        return "nothing-fits"
    short = (
        any(drawn.sized.outcome != "sized" for drawn in plan.circuits) or any(supply.outcome != "sized" for supply in plan.supplies)
        or (plan.inverter is not None and plan.inverter.outcome != "sized") or (plan.array is not None and plan.array.outcome != "sized")
        or any(finding.severity == "unsafe" or (finding.kind == "shortfall" and finding.severity != "note") for finding in case.findings)
    )
    return "shortfall" if short else "sized"


def write(plan: model.Plan, case: Case) -> PlanAnswer:
    """The answer."""
    return PlanAnswer(
        outcome=outcome_of(plan, case), practice=plan.practice.name, kind=plan.kind, system_voltage=Amount(plan.nominal_voltage_v, "V"),
        demand=write_demand(plan.demand), inverter=write_inverter(plan.inverter) if plan.inverter is not None else None,
        bank=write_bank(plan.bank), supplies=[write_supply(supply) for supply in plan.supplies],
        charge_total=_charge_total(plan),
        array=write_array(plan.array) if plan.array is not None else None,
        balance=write_balance(plan.year) if plan.year is not None else None,
        installation=write_installation(plan.installation, plan.circuits, case) if plan.installation is not None else None,
        **envelope(case, _citations(plan, case), plan.cautions),
    )


def _charge_total(plan: model.Plan) -> ChargeTotalAnswer | None:
    total, limit = plan.charge_total, plan.controller_limit_a
    if total is None:
        return None
    return ChargeTotalAnswer(Amount(total.charge_current_a, "A"), write_check(total.check), known_amount(limit, "A"))


def _citations(plan: model.Plan, case: Case) -> dict[Citation, None]:
    """Every source behind the parts of a plan, in their order, each once."""
    library = case.library
    found = demand.printed(plan.demand)
    if plan.inverter is not None:
        found |= inverter.printed(plan.inverter, library)
    found |= bank_answer.printed(plan.bank, library)
    if plan.array is not None:
        found |= dict.fromkeys(array.printed(plan.array, library)) | array.SOURCES
    under: set[str] = set()
    for drawn in plan.circuits:
        if drawn.source.name not in under:
            under.add(drawn.source.name)
            found |= drawn.source.printed
        found |= dict.fromkeys(circuit_answer.checks_printed(drawn.sized, library))
        found |= dict.fromkeys(circuit_beside.devices_printed(drawn.sized, drawn.passing, drawn.in_heat, library))
    people = library.tables["people_protection"]
    for item in plan.installation.people if plan.installation is not None else ():
        found |= dict.fromkeys([item.requirement.citation, people.citation_of_row[people.row(item.requirement.row)]])
    for supply in plan.supplies:
        found |= dict.fromkeys([check.rule.clause for check in supply.checks])
    if plan.installation is not None and plan.practice.source("bank-main").size_system == "awg":
        found |= dict.fromkeys(library.tables["nec_250_122"].citations)
    for name in _TABLES:
        found |= dict.fromkeys(library.tables[name].citations)
    return found | _FORMULAS
