"""Supplies to size for a bank and its loads, and what came of each. Service units; None means not given."""

from __future__ import annotations

from typing import Literal, Union

from msgspec import Struct

from ...working import Check, Choice

Outcome = Literal["sized", "nothing-fits"]
Kind = Literal["shore", "generator", "alternator"]
Wiring = Literal["120", "120-240", "230"]
"""Output of a generator: one hot at 120 or 230 V, or two of 120 V in opposition with 240 V between them."""
Neutral = Literal["bonded", "floating", "not-known"]
"""Whether the neutral of a generator is joined to its frame inside the set."""
Coupling = Literal["dc-dc", "direct"]
"""How an alternator reaches the bank: through a DC-DC charger, or paralleled through a relay or an isolator."""
ChargerKind = Literal["inverter-charger", "stand-alone"]


class Adapter(Struct, frozen=True):
    """What stands between a service and an inlet of another kind."""

    inlet_legs: float
    """Legs of the inlet: two on a service of one hot hang on that one hot; one on a service of two uses one of them."""
    contact_limit_a: float | None = None
    """Rating of its weakest contact."""


class Shore(Struct, frozen=True, tag="shore", tag_field="kind"):
    """A service at a site, by its row in the table `shore_services`."""

    id: str
    service: str
    hours_per_day: float | None = None
    """Hours on a day on which it is there; None is counted as none in the balance, and said."""
    days_per_week: float | None = None
    adapter: Adapter | None = None


class ByPower(Struct, frozen=True):
    """Rating of a generator in watts, at sea level and a mild temperature."""

    generator_rating_w: float


class ByApparentPower(Struct, frozen=True):
    """Rating of a generator in volt-amperes."""

    apparent_power_va: float
    rating_power_factor: float | None = None


class Generator(Struct, frozen=True, tag="generator", tag_field="kind"):
    """A generator that is started for some hours a day."""

    id: str
    rating: ByPower | ByApparentPower
    wiring: Wiring = "120"
    altitude_m: float | None = None
    ambient_c: float | None = None
    hours_per_day: float | None = None
    days_per_week: float | None = None
    neutral: Neutral = "not-known"


class Alternator(Struct, frozen=True, tag="alternator", tag_field="kind"):
    """The alternator of the engine, while driving."""

    id: str
    alternator_rating_a: float
    """Rating of the maker, cold."""
    starter_voltage_v: float = 12.0
    """Nominal voltage of the starter battery."""
    coupling: Coupling = "dc-dc"
    dc_dc_output_a: float | None = None
    """Rated output of a DC-DC charger that is there already; None picks one."""
    hours_per_day: float | None = None
    days_per_week: float | None = None


Request = Union[Shore, Generator, Alternator]


class BankFacts(Struct, frozen=True):
    """What a supply has to know of the bank."""

    chemistry: str
    """Row of the table `chemistries`."""
    bank_voltage_v: float
    """Nominal."""
    bank_capacity_ah: float
    depth_of_discharge: float
    absorption_v: float
    charge_limit_a: float
    """Largest charging current of the whole bank."""
    charge_floor_a: float | None = None
    """Less than this does not finish a charge; None where the chemistry does not care."""


class LegLoads(Struct, frozen=True):
    """Currents of the loads that run together, by leg of a panel with two."""

    leg_1_a: float
    leg_2_a: float


class LoadFacts(Struct, frozen=True):
    """What a supply has to know of the loads."""

    day_energy_wh: float
    """A day, at the bank, all loads, losses of the inverter included."""
    dc_energy_wh: float
    """A day, at the bank, direct-current loads only; the rest counts as alternating, its losses too."""
    running_va: float
    """Alternating-current loads of the inverter that run together; they hang on leg 1 unless `legs` says more."""
    start_increment_va: float
    """What the largest start adds to the running load; nought when nothing starts hard."""
    shore_va: float
    """Loads that only shore or a generator serves; nought when there are none."""
    loads_240: tuple[str, ...] = ()
    """Ids of the loads that need 240 V."""
    legs: LegLoads | None = None
    """Where the panel has two legs and the currents are known."""


class ChargerFacts(Struct, frozen=True):
    """The charger that alternating-current supplies feed; there is one for all of them."""

    kind: ChargerKind = "inverter-charger"
    charger_current_a: float | None = None
    """Rated output of a charger that is there already; None picks one."""
    transfer_rating_a: float | None = None
    """Transfer relay of the inverter-charger, each leg."""
    relay_protected: bool = False
    """Whether a breaker within the relay's rating stands in the feed, so that the supply's own breaker need not guard it."""


class Side(Struct, frozen=True):
    """What the alternating-current side of the dwelling is made for."""

    line_voltage_v: float | None = None
    """Line to neutral; None takes a supply of any voltage."""
    continuous_share: str = "continuous_share"
    """Name of the documented default for the share of a breaker that is counted on for hours."""


class Charger(Struct, frozen=True):
    """A charger, found or given."""

    kind: ChargerKind | Literal["dc-dc"]
    charger_current_a: float
    """Rated output."""
    given: bool
    choice: Choice | None = None
    """Why this rating; None where it was given."""


class AlternatingSide(Struct, frozen=True):
    """The supply as its inlet sees it."""

    supply_voltage_v: float
    """Line to neutral."""
    legs: float
    supply_breaker_a: float | None
    """Each leg; None for a generator, whose rating limits."""
    generator_current_a: float | None
    """Rated current of a generator, each leg, which its conductors have to carry whatever is programmed; None for shore."""
    supply_limit_a: float
    """What the supply gives without end, each leg, the relay's limit included."""
    program_a: float
    """Input limit to program on the inverter-charger, each leg; less where other loads hang on the leg ahead of it."""
    leg_power_w: float
    """Without end, each leg."""
    supply_power_w: float
    """Without end, all legs."""
    charger_input_a: float | None
    """Of the charger at its setting, on leg 1; None where no charger fits."""
    charger_input_va: float | None
    left_va: float | None
    """For loads on leg 1 while the charger runs at its setting."""
    supplement_w: float
    """What the inverter must add on the heavier leg when all loads that run together do, the charger at rest."""
    neutral_a: float | None
    """With the given leg currents; None where they are not known."""
    has_240: bool
    dead_loads: tuple[str, ...]
    """Ids of the 240 V loads that this supply does not run."""


class DcDcSide(Struct, frozen=True):
    """The alternator and what stands between it and the bank."""

    coupling: Coupling
    alternator_hot_a: float
    alternator_current_a: float
    """What may go to the bank."""
    alternator_voltage_v: float
    dc_dc_input_a: float
    """Drawn from the alternator at the charger's rated output; equal to the charging current without a DC-DC charger."""


class Charging(Struct, frozen=True):
    """How a supply fills the bank from its depth of discharge, with the loads of an average hour on."""

    charger_setting_a: float
    """Output current to program on this supply."""
    charging_a: float
    """Into bank and direct-current loads together, after the mean load took its share of the supply."""
    charging_voltage_v: float
    charge_power_w: float
    load_current_a: float
    """Share of the charging current that the loads of an average hour take."""
    bulk_hours: float | None
    """None when the charging current does not exceed the loads'."""
    absorption_hours: float | None
    """None also when the source brings the bank to absorption and no further."""
    charge_hours: float | None
    walks_down: bool
    """Whether the bank empties although the supply is on."""
    balance_w: float
    """Power left over for the bank with all mean loads on; negative when the bank walks down."""


class Supply(Struct, frozen=True):
    """One supply, sized, or the nearest miss. The parts of a kind that it is not are None."""

    id: str
    kind: Kind
    outcome: Outcome
    hours_per_day: float
    days_per_week: float
    energy_wh: float
    """What it spares or stores on the average day of a week, at the bank."""
    alternating: AlternatingSide | None
    dc_dc: DcDcSide | None
    charger: Charger | None
    charging: Charging | None
    checks: tuple[Check, ...]
    failed: Check | None = None
    why: str = ""


class ChargeTotal(Struct, frozen=True):
    """All chargers that can run at once against what the bank accepts."""

    charge_current_a: float
    check: Check
