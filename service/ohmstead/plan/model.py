"""A brief in service units and the plan that answers it."""

from __future__ import annotations

from msgspec import Struct

from ..electrical.array.model import Array, Mounting, ModuleWish, OwnedModules, Space
from ..electrical.controller.model import ControllerWish
from ..electrical.inverter.model import Inverter
from ..electrical.inverter.model import Unit as InverterUnit
from ..electrical.loads.model import Demand, Load
from ..electrical.solar.model import Sun
from ..electrical.sources.model import ChargeTotal, ChargerKind, Request as SupplyRequest, Supply
from ..electrical.storage.model import AgeingConvention, Bank, Chemistry, OwnedUnits, Unit
from ..electrical.year.model import Year
from ..installation.assembly import Drawn
from ..installation.model import Installation
from ..installation.needs import Fuel, Hull
from ..reference.practices import Practice


class Site(Struct, frozen=True):
    """Where the dwelling is used. None means not given."""

    sun: Sun
    air_coldest_c: float
    air_hottest_c: float
    bank_coldest_c: float | None = None
    """Lowest temperature of the bank; None is that of the outside air."""
    latitude_deg: float | None = None
    altitude_m: float | None = None


class BankWish(Struct, frozen=True):
    """The bank that is wished for."""

    chemistry: Chemistry
    autonomy_days: float | None = None
    ageing_convention: AgeingConvention | None = None
    unit: Unit | None = None
    owned: tuple[OwnedUnits, ...] = ()
    payload_kg: float | None = None


class ArrayWish(Struct, frozen=True):
    """The array that is wished for."""

    module: ModuleWish
    controller: ControllerWish
    mounting: Mounting | None = None
    owned: tuple[OwnedModules, ...] = ()
    count_wanted: int | None = None
    space: Space | None = None


class InverterWish(Struct, frozen=True):
    """The inverter that is wished for; a unit of None is chosen."""

    unit: InverterUnit | None = None
    inverter_temperature_c: float | None = None
    idle_hours: float | None = None
    """Hours a day that it is switched on; None is all day."""


class Brief(Struct, frozen=True):
    """What the client has and wants."""

    practice: str
    kind: str
    site: Site
    loads: tuple[Load, ...]
    bank: BankWish
    array: ArrayWish | None
    inverter: InverterWish | None
    supplies: tuple[SupplyRequest, ...]
    charger_kind: ChargerKind | None
    """None: the inverter's own charger when there is an inverter, else a stand-alone one."""
    charger_current_a: float | None
    nominal_voltage_v: float | None
    run_lengths_m: dict[str, float]
    run_ambients_c: dict[str, float]
    hull: Hull | None = None
    """Of a boat."""
    fuel: Fuel | None = None


class Plan(Struct, frozen=True):
    """Everything sized, drawn and verified. Parts that the brief cannot have are None or say so in their outcome."""

    practice: Practice
    kind: str
    nominal_voltage_v: float
    demand: Demand
    inverter: Inverter | None
    bank: Bank
    supplies: tuple[Supply, ...]
    charge_total: ChargeTotal | None
    controller_limit_a: float | None
    """Output to program on each charge controller where all chargers together pass the bank's limit; None where they do not."""
    array: Array | None
    year: Year | None
    installation: Installation | None
    circuits: tuple[Drawn, ...]
    cautions: tuple[str, ...]
