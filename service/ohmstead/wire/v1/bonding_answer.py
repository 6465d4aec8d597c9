"""Neutral-earth bonds and bonding conductors: the answer."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.bonding import formulas, model
from ...electrical.faults.formulas import withstand_area
from ...electrical.protection import formulas as protection_formulas
from ...reference.bonding import BondRule
from ...reference.case import Case
from ...working import Citation, cited
from ..base import Amount, Answer, envelope, known_amount
from ..base import Citation as CitationAnswer
from .checked import CheckAnswer, write_check
from .circuit_answer import ConductorSize, size_name

Known = Literal["yes", "no", "not-known"]


class BondRuleAnswer(Struct, frozen=True):
    """What a document says, in short."""

    says: Annotated[str, Meta(description="The rule in short")]
    citation: Annotated[CitationAnswer, Meta(description="Where, and how well it is known")]


class BondPoint(Struct, frozen=True):
    """Where the bond has to be made."""

    place: Annotated[model.Place, Meta(description="supply: off board, at the site's or the utility's service")]
    source: Annotated[int | None, Meta(description="Position in `sources`, from nought; null for the panel")]
    rule: Annotated[BondRuleAnswer, Meta(description="The rule behind it")]


class OpenPoint(Struct, frozen=True):
    """Where no bond may count."""

    place: Annotated[model.Place, Meta(description="Place")]
    source: Annotated[int | None, Meta(description="Position in `sources`, from nought; null for the panel")]
    how: Annotated[model.How, Meta(description="Why it does not count. cut-off: it stays, the transfer equipment parts its neutral from the panel")]


class BondMode(Struct, frozen=True):
    """One source active."""

    mode: Annotated[str, Meta(description="Kind of the active source, with a number where there are several of the kind")]
    source: Annotated[int, Meta(description="Its position in `sources`, from nought")]
    verdict: Annotated[model.CountVerdict, Meta(description="How many bonds there are as described")]
    fewest: Annotated[int, Meta(description="Fewest that what is not known allows, a shore cord in or out")]
    most: Annotated[int, Meta(description="Most that it allows")]
    permitted: Annotated[Known, Meta(description="Whether the practice permits it as described: one bond in its place, or none under its conditions")]
    must_close: Annotated[BondPoint | None, Meta(description="Where the bond has to be made; null where that hangs on something not known")]
    must_open: Annotated[list[OpenPoint], Meta(description="Where none may count")]
    separately_derived: Annotated[Known, Meta(description="Whether the source's neutral is parted from that of every other")]


class BondChange(Struct, frozen=True):
    """What has to be done, or asked first."""

    action: Annotated[model.Action, Meta(description="What to do; ask-...: what to find out")]
    source: Annotated[int | None, Meta(description="Position in `sources`, from nought; null for transfer equipment and panel")]
    rule: Annotated[BondRuleAnswer, Meta(description="The rule behind it")]


class FloatingCondition(Struct, frozen=True):
    """A condition of a floating neutral."""

    name: Annotated[str, Meta(description="The condition")]
    met: Annotated[Known, Meta(description="Whether it is met")]


class FloatingAnswer(Struct, frozen=True):
    """Whether neutrals may float."""

    permitted: Annotated[Known, Meta(description="Whether all conditions are met")]
    conditions: Annotated[list[FloatingCondition], Meta(description="The conditions")]
    rule: Annotated[BondRuleAnswer, Meta(description="The rule")]


class BondConductorAnswer(Struct, frozen=True):
    """A bonding or grounding conductor of copper."""

    name: Annotated[str, Meta(description="Short name")]
    title: Annotated[str, Meta(description="What it joins")]
    circuit: Annotated[str | None, Meta(description="The circuit that it belongs to")]
    outcome: Annotated[model.ConductorOutcome, Meta(description="Whether there is a size, and if not, why")]
    why: Annotated[str, Meta(description="What is missing, or why there is no size; empty when sized")]
    size: Annotated[ConductorSize | None, Meta(description="Smallest size; null when there is none")]
    area: Annotated[Amount | None, Meta(description="Its area")]
    least: Annotated[ConductorSize | None, Meta(description="Smallest size that the rule permits at all")]
    governed_by: Annotated[Literal["rule", "maker", "withstand"] | None, Meta(description="What decided")]
    withstand: Annotated[model.WithstandVerdict, Meta(description="Whether the size stands a short circuit of the bank; sufficient by makers' figures alone, not-asked where none can pass")]
    stands: Annotated[ConductorSize | None, Meta(description="Smallest size that stands the short circuit given")]
    checks: Annotated[list[CheckAnswer], Meta(description="Checks of the size")]
    rule: Annotated[BondRuleAnswer, Meta(description="The rule")]


class JudgedBonds(Struct, frozen=True):
    """Bonds by mode, and the conductors."""

    verdict: Annotated[model.Verdict, Meta(description="Whether it may stay as described")]
    switches_neutral: Annotated[Literal["yes", "no", "not-known", "not-asked"], Meta(description="Whether the transfer equipment switches the neutral, as told or as too few poles prove; not-asked with one source")]
    poles_needed: Annotated[float | None, Meta(description="Poles that switch all live conductors and the neutral; null with one source")]
    poles: Annotated[CheckAnswer | None, Meta(description="Poles against that; null when not given or not asked")]
    modes: Annotated[list[BondMode], Meta(description="One mode a source, in their order")]
    changes: Annotated[list[BondChange], Meta(description="What to do or to ask; when all is done every mode is as the practice has it")]
    floating: Annotated[FloatingAnswer | None, Meta(description="Whether neutrals may float; null where the practice never permits it")]
    conductors: Annotated[list[BondConductorAnswer], Meta(description="Bonding and grounding conductors of the practice")]
    earth_current: Annotated[Amount | None, Meta(description="Current in the earth path between two bonds")]
    residual: Annotated[CheckAnswer | None, Meta(description="That current against residual-current protection upstream")]


class BondingAnswer(Answer):
    """Neutral-earth bonds by mode, and bonding conductors."""

    bonding: Annotated[JudgedBonds, Meta(description="The bonds")]


CAUTIONS = (
    "This is a calculation aid under the named rules, not a permit or an inspection; the local code and the authority decide, and licensed practice applies.",
    "Measure the bond in every mode with an instrument before the first use: closed while inverting, open on shore.",
    "Without a case bond of its size a short circuit of the bank returns through protective conductors of the alternating-current side, which do not stand it.",
    "Grounding of the array and lightning protection are not part of this answer.",
)


def write(bonding: model.Bonding, case: Case) -> BondingAnswer:
    """The answer."""
    judged = JudgedBonds(
        verdict=bonding.verdict, switches_neutral=bonding.switches_neutral, poles_needed=bonding.poles_needed,
        poles=write_check(bonding.poles_check) if bonding.poles_check else None,
        modes=[
            BondMode(
                mode.name, mode.source, mode.verdict, mode.fewest, mode.most, mode.permitted,
                None if mode.must_close is None else BondPoint(mode.must_close.place, mode.must_close.source, _rule(mode.must_close.rule)),
                [OpenPoint(point.place, point.source, point.how) for point in mode.must_open], mode.separately_derived,
            )
            for mode in bonding.modes
        ],
        changes=[BondChange(change.action, change.source, _rule(change.rule)) for change in bonding.changes],
        floating=None if bonding.floating is None else FloatingAnswer(
            bonding.floating.permitted, [FloatingCondition(condition.name, condition.met) for condition in bonding.floating.conditions],
            _rule(bonding.floating.rule),
        ),
        conductors=[_conductor(conductor) for conductor in bonding.conductors],
        earth_current=known_amount(bonding.earth_current_a, "A"),
        residual=write_check(bonding.earth_check) if bonding.earth_check else None,
    )
    return BondingAnswer(bonding=judged, **envelope(case, [*_printed(bonding, case), *_SOURCES], CAUTIONS))


def _rule(rule: BondRule) -> BondRuleAnswer:
    return BondRuleAnswer(rule.says, rule.citation)


def _conductor(conductor: model.BondConductor) -> BondConductorAnswer:
    rule, system = conductor.rule, conductor.system
    return BondConductorAnswer(
        rule.name, rule.title, conductor.circuit, conductor.outcome, conductor.why,
        None if conductor.size is None else size_name(conductor.size, system),
        known_amount(conductor.area_mm2, "mm2"),
        None if conductor.least is None else size_name(conductor.least, system), conductor.governed_by, conductor.withstand,
        None if conductor.stands is None else size_name(conductor.stands, system), [write_check(check) for check in conductor.checks],
        BondRuleAnswer(rule.says, rule.citation),
    )


def _printed(bonding: model.Bonding, case: Case) -> list[Citation]:
    """Where rules, tables, constants and checks are printed."""
    rules = [point.rule for mode in bonding.modes if (point := mode.must_close) is not None]
    rules += [change.rule for change in bonding.changes] + ([bonding.floating.rule] if bonding.floating else [])
    tables, constants = case.library.tables, case.library.tables["constants"]
    checks = [check for conductor in bonding.conductors for check in conductor.checks]
    checks += [check for check in (bonding.poles_check, bonding.earth_check) if check is not None]
    names = ("short_circuit_constant_70c", "short_circuit_constant_90c", "residual_limit_a")
    return [
        *[rule.citation for rule in rules], *[conductor.rule.citation for conductor in bonding.conductors],
        *[check.rule.clause for check in checks],
        *[tables[name].citation for name in ("awg_conductors", "awg_sae_conductors", "mm2_conductors", "nec_250_122", "nec_250_102", "nec_250_66")],
        *tables["mm2_conductors"].citations, *[constants.citation_of_row[constants.row(name)] for name in names],
    ]


_SOURCES = (*cited(formulas, protection_formulas), withstand_area.formula.citation)
