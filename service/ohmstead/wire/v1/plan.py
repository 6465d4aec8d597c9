"""The plan as it stands in an answer."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.array import energy_formulas as array_energy_formulas
from ...electrical.array import formulas as array_formulas
from ...electrical.conductors import formulas as conductor_formulas
from ...electrical.faults import formulas as fault_formulas
from ...electrical.inverter import formulas as inverter_formulas
from ...electrical.loads import formulas as load_formulas
from ...electrical.sources import formulas as source_formulas
from ...electrical.storage import bank_formulas
from ...electrical.storage import formulas as storage_formulas
from ...installation import formulas as installation_formulas
from ...plan import formulas as plan_formulas
from ...plan import model
from ...reference.case import Case
from ...working import Citation, cited
from ..base import Amount, Answer, envelope
from .array_answer import SizedArray, write_array
from .balance import BalanceAnswer, write_balance
from .bank import SizedBank, write_bank
from .checked import CheckAnswer, write_check
from .demand import SizedDemand, write_demand
from .installation import InstallationAnswer, write_installation
from .inverter import SizedInverter, write_inverter
from .supplies import SupplyAnswer, write_supply


class ChargeTotalAnswer(Struct, frozen=True):
    """Everything that can charge at once against what the bank accepts."""

    current: Annotated[Amount, Meta(description="Sum of the charging currents")]
    check: Annotated[CheckAnswer, Meta(description="Against the bank's limit")]


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


_SOURCES = cited(
    load_formulas, inverter_formulas, storage_formulas, bank_formulas, source_formulas, array_formulas, array_energy_formulas,
    conductor_formulas, fault_formulas, installation_formulas, plan_formulas,
)


def outcome_of(plan: model.Plan, case: Case) -> str:
    """One word for the whole plan."""
    if plan.installation is None:
        return "nothing-fits"
    short = (
        any(drawn.sized.outcome != "sized" for drawn in plan.circuits) or any(supply.outcome != "sized" for supply in plan.supplies)
        or (plan.inverter is not None and plan.inverter.outcome != "sized") or (plan.array is not None and plan.array.outcome != "sized")
        or any(finding.severity == "unsafe" or finding.kind == "shortfall" for finding in case.findings)
    )
    return "shortfall" if short else "sized"


def write(plan: model.Plan, case: Case) -> PlanAnswer:
    """The answer."""
    return PlanAnswer(
        outcome=outcome_of(plan, case), practice=plan.practice.name, kind=plan.kind, system_voltage=Amount(plan.nominal_voltage_v, "V"),
        demand=write_demand(plan.demand), inverter=write_inverter(plan.inverter) if plan.inverter is not None else None,
        bank=write_bank(plan.bank), supplies=[write_supply(supply) for supply in plan.supplies],
        charge_total=ChargeTotalAnswer(Amount(plan.charge_total.charge_current_a, "A"), write_check(plan.charge_total.check)) if plan.charge_total else None,
        array=write_array(plan.array) if plan.array is not None else None,
        balance=write_balance(plan.year) if plan.year is not None else None,
        installation=write_installation(plan.installation, plan.circuits, case) if plan.installation is not None else None,
        **envelope(case, _citations(plan), plan.cautions),
    )


def _citations(plan: model.Plan) -> list[Citation]:
    """The rules of every class that was drawn, the tables behind them, the clauses of the checks and the formulas' sources."""
    found: dict[Citation, None] = {}
    for drawn in plan.circuits:
        source = drawn.source
        for citation in (source.citation, source.ampacity.citation, source.ambient.citation, source.bundling.citation):
            found[citation] = None
        for check in drawn.sized.checks:
            found[check.rule.clause] = None
    return [*found, *_SOURCES]
