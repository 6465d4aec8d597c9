"""Keep or refuse what is owned already, each batch with its reason."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from ...reference.case import Case
from ...working import at_least, at_most
from .bank_formulas import tested_share
from .model import BankRequest, OwnedUnits, OwnedVerdict, Refusal, Unit


class Kept(Struct, frozen=True):
    """Batches of like units that may go into the bank together."""

    unit: Unit
    series: int
    count: int
    oldest_years: float
    positions: tuple[int, ...]

    def share(self, verdicts: tuple[OwnedVerdict, ...], used: int) -> tuple[OwnedVerdict, ...]:
        """The verdicts with the used units dealt out over the batches, in their order."""
        made = list(verdicts)
        for position in self.positions:
            said = made[position]
            kept = min(said.kept, used)
            used -= kept
            spare = "" if kept == said.kept else f" {said.kept - kept} of them are spare."
            made[position] = replace(said, kept=kept, why=f"Like units that pass every test of reuse.{spare}")
        return tuple(made)


def judge(
    request: BankRequest, worn_share: float, series_of: Callable[[float], int | None], case: Case
) -> tuple[tuple[OwnedVerdict, ...], Kept | None]:
    """A verdict on every batch, and the batches that could be used together.

    The rule of choice: batches that pass on their own, and of these the largest with all that are like it and of
    its age. None when every batch is refused.
    """
    verdicts = []
    for position, batch in enumerate(request.owned):
        reason = _refusal(batch, request, worn_share, series_of)
        if reason is None:
            verdicts.append(OwnedVerdict(position, "keep", batch.count, None, ""))
        else:
            verdicts.append(OwnedVerdict(position, "refuse", 0, *reason))
    fit = [position for position, said in enumerate(verdicts) if said.verdict == "keep"]
    if not fit:
        return tuple(verdicts), None
    main = max(fit, key=lambda position: _energy(request.owned[position]))
    chosen = request.owned[main]
    together = []
    for position in fit:
        reason = _unlike(request.owned[position], chosen, case)
        if reason is None:
            together.append(position)
        else:
            verdicts[position] = OwnedVerdict(position, "refuse", 0, *reason)
    kept = Kept(
        unit=request.unit or _unit(chosen), series=series_of(chosen.voltage_v),
        count=sum(request.owned[position].count for position in together),
        oldest_years=max(request.owned[position].age_years for position in together), positions=tuple(together),
    )
    return tuple(verdicts), kept


def refused(kept: Kept, verdicts: tuple[OwnedVerdict, ...], reason: Refusal, why: str) -> tuple[OwnedVerdict, ...]:
    """The verdicts when the batches, sound in themselves, cannot make up the bank."""
    return tuple(
        replace(said, verdict="refuse", kept=0, reason=reason, why=why) if said.position in kept.positions else said for said in verdicts
    )


def _refusal(
    batch: OwnedUnits, request: BankRequest, worn_share: float, series_of: Callable[[float], int | None]
) -> tuple[Refusal, str] | None:
    if batch.duty == "starter":
        return "starter-battery", "Starter batteries do not stand deep discharge."
    if batch.chemistry != request.chemistry:
        return "other-chemistry", f"A {batch.chemistry} unit does not share a bank with {request.chemistry} units."
    if batch.tested_capacity_ah is not None:
        health = tested_share(batch.tested_capacity_ah, batch.capacity_ah)
        if not at_least(health, worn_share):
            return "worn-out", f"Tested at {health:.0%} of the rated capacity, below {worn_share:.0%}."
    if series_of(batch.voltage_v) is None:
        return "voltage-does-not-divide", f"No number of {batch.voltage_v:g} V units makes a {request.nominal_voltage_v:g} V bank."
    if request.unit is not None and not (_same(batch.voltage_v, request.unit.voltage_v) and _same(batch.capacity_ah, request.unit.capacity_ah)):
        return "other-unit-asked", "It differs from the unit that the bank is to be made of."
    return None


def _unlike(batch: OwnedUnits, chosen: OwnedUnits, case: Case) -> tuple[Refusal, str] | None:
    if not (_same(batch.voltage_v, chosen.voltage_v) and _same(batch.capacity_ah, chosen.capacity_ah)):
        return "unlike-the-larger-batch", "It differs in voltage or capacity from the larger batch that is kept."
    if not at_most(abs(float(batch.age_years) - float(chosen.age_years)), case.constant("age_gap_years")):
        return "age-gap", "It differs in age from the larger batch that is kept."
    return None


def _same(one: float, other: float) -> bool:
    return at_most(one, other) and at_least(one, other)


def _energy(batch: OwnedUnits) -> float:
    return float(batch.voltage_v) * float(batch.capacity_ah) * batch.count


def _unit(batch: OwnedUnits) -> Unit:
    return Unit(
        name=f"{batch.voltage_v:g} V {batch.capacity_ah:g} Ah unit", chemistry=batch.chemistry,
        voltage_v=batch.voltage_v, capacity_ah=batch.capacity_ah,
    )
