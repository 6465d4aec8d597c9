"""The brief: what the client has and wants, and its translation to the model."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal, get_args

from msgspec import Meta, Struct

from ...electrical.array.model import Mounting
from ...electrical.storage.chemistry import Family
from ...installation.needs import Fuel, Hull
from ...plan import model
from ..door import Door
from ..problems import Contradiction
from ..quantities import AirTemperature, Altitude, Current, Latitude, Mass, RunLength
from .modules import ArraySpace, ControllerShape, ModuleShape, OwnedModulesShape, read_controller, read_module, read_owned_modules, read_space
from .bank import AutonomyDays, BankChemistry, GenericUnit, OwnedBatch, StatedUnit, read_owned, read_unit
from .loads import LoadRequest, read_loads
from .inverter import StatedInverter
from .inverter import read_unit as read_unit_inverter
from .sun import SunShape, read_sun
from .supplies import SupplyRequest, read_supplies

Ratio = Annotated[float, Meta(ge=0.3, le=1)]
HoursOn = Annotated[float, Meta(ge=0, le=24)]
DropLimit = Annotated[float, Meta(ge=0.002, le=0.1)]
RunClass = Literal[
    "bank-unit", "bank-main", "inverter-dc", "controller-input", "controller-output", "dc-dc-input", "dc-dc-output", "charger-output",
    "dc-feeder", "dc-branch", "always-live", "shore-inlet", "generator-feeder", "inverter-ac", "ac-feeder", "ac-branch", "frame-bond", "electrode",
]


VehicleKind = Annotated[Literal["trailer", "motor-home", "van", "truck-camper", "food-truck"], Meta(description="Kind of vehicle")]
CabinKind = Annotated[Literal["cabin"], Meta(description="Kind of building")]
BoatKind = Annotated[Literal["boat"], Meta(description="Kind of craft")]
HullField = Annotated[Hull, Meta(description="What the hull is made of")]
FuelField = Annotated[Fuel, Meta(description="Fuel of an engine or generator inboard; none where there is no such engine")]


class VehicleDwelling(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="us-vehicle"):
    """A vehicle under the United States practice."""

    kind: VehicleKind


class MetricVehicleDwelling(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="intl-vehicle"):
    """A vehicle under IEC 60364-7-721 and what stands in for EN 1648."""

    kind: VehicleKind


class CabinDwelling(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="us-dwelling"):
    """A small building off the grid under the United States practice."""

    kind: CabinKind


class MetricCabinDwelling(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="intl-dwelling"):
    """A small building off the grid under IEC 60364."""

    kind: CabinKind


class BoatDwelling(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="us-craft"):
    """A boat under ABYC E-11 and 33 CFR 183."""

    kind: BoatKind
    hull: HullField
    fuel: FuelField


class MetricBoatDwelling(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="intl-craft"):
    """A boat under ISO 13297."""

    kind: BoatKind
    hull: HullField
    fuel: FuelField


Dwelling = VehicleDwelling | CabinDwelling | BoatDwelling | MetricVehicleDwelling | MetricCabinDwelling | MetricBoatDwelling


class SiteShape(Struct, frozen=True, forbid_unknown_fields=True):
    """Where the dwelling is used."""

    sun: Annotated[SunShape, Meta(description="What is known of the sun")]
    air_coldest: Annotated[AirTemperature, Meta(description="Lowest air temperature expected in use or in storage")]
    air_hottest: Annotated[AirTemperature, Meta(description="Highest air temperature expected")]
    bank_coldest: Annotated[AirTemperature | None, Meta(description="Lowest temperature of the bank; that of the outside air when silent")] = None
    latitude: Annotated[Latitude | None, Meta(description="Latitude; it tells the warm months from the cold ones")] = None
    altitude: Annotated[Altitude | None, Meta(description="Highest place of use")] = None


class BankShape(Struct, frozen=True, forbid_unknown_fields=True):
    """The bank that is wished for and the units that are there."""

    chemistry: Annotated[BankChemistry, Meta(description="Chemistry")]
    autonomy_days: Annotated[AutonomyDays | None, Meta(description="Days without charging")] = None
    ageing_convention: Annotated[Literal["larger-of", "product"] | None, Meta(description="larger-of: the larger of the needs for depth and for the end of life. product: both multiplied")] = None
    unit: Annotated[GenericUnit | StatedUnit, Meta(description="What the bank is made of")] = GenericUnit()
    owned: Annotated[Annotated[list[OwnedBatch], Meta(max_length=20)], Meta(description="Units that are there already, to be kept or refused")] = []
    payload: Annotated[Mass | None, Meta(description="Mass that the vehicle leaves for the bank")] = None


class NoArray(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="none"):
    """No array is wanted."""


class PlannedArray(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="planned"):
    """An array is wanted."""

    module: Annotated[ModuleShape, Meta(description="Module to use")]
    controller: Annotated[ControllerShape, Meta(description="Charge controller to use")]
    mounting: Annotated[Mounting | None, Meta(description="How the modules are mounted")] = None
    owned: Annotated[Annotated[list[OwnedModulesShape], Meta(max_length=10)], Meta(description="Modules that are there already, to be kept or refused")] = []
    count: Annotated[Annotated[int, Meta(ge=0, le=100)] | None, Meta(description="New modules that are settled; the size is then checked, not chosen")] = None
    space: Annotated[ArraySpace | None, Meta(description="Room for modules")] = None


class NoInverter(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="none"):
    """No inverter is wanted."""


class ChosenInverter(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="chosen"):
    """An inverter is chosen from generic ratings."""

    temperature: Annotated[AirTemperature | None, Meta(description="Hottest air at the inverter")] = None
    hours_per_day: Annotated[HoursOn | None, Meta(description="Hours a day that it is switched on; all day when silent")] = None


class SettledInverter(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="stated"):
    """An inverter that is there already or settled; it is checked."""

    unit: Annotated[StatedInverter, Meta(description="What its plate says")]
    temperature: Annotated[AirTemperature | None, Meta(description="Hottest air at the inverter")] = None
    hours_per_day: Annotated[HoursOn | None, Meta(description="Hours a day that it is switched on; all day when silent")] = None


class ChargerShape(Struct, frozen=True, forbid_unknown_fields=True):
    """The charger that alternating-current supplies feed."""

    kind: Annotated[Literal["inverter-charger", "stand-alone"] | None, Meta(description="Part of the inverter or on its own; the inverter's when silent and there is one")] = None
    output: Annotated[Current | None, Meta(description="Rated output of a charger that is there already; one is picked when silent")] = None


class RunShape(Struct, frozen=True, forbid_unknown_fields=True):
    """Length and heat of the runs of one class."""

    circuit_class: Annotated[RunClass, Meta(description="Class of the circuits; frame-bond is from a metal case to the chassis or the earth bus bar, electrode from there to the grounding electrode")]
    one_way: Annotated[RunLength, Meta(description="One-way length")]
    ambient: Annotated[AirTemperature | None, Meta(description="Hottest air along the run")] = None


class HouseRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Values that override assumptions. A safety rule can be made stricter here, never looser."""

    depth_of_discharge: Annotated[Annotated[float, Meta(ge=0.05, le=1)] | None, Meta(description="Usable share of the bank's rated capacity")] = None
    ageing_factor: Annotated[Annotated[float, Meta(ge=0.5, le=1)] | None, Meta(description="Capacity at the end of life over rated capacity")] = None
    inverter_efficiency: Annotated[Ratio | None, Meta(description="Efficiency of the inverter without its idle draw")] = None
    wiring_efficiency: Annotated[Annotated[float, Meta(ge=0.8, le=1)] | None, Meta(description="Efficiency of the wiring")] = None
    discharge_efficiency: Annotated[Annotated[float, Meta(ge=0.5, le=1)] | None, Meta(description="Energy delivered over energy taken out of the cells")] = None
    growth_factor: Annotated[Annotated[float, Meta(ge=1, le=2)] | None, Meta(description="Factor for loads to come")] = None
    sizing_margin: Annotated[Annotated[float, Meta(ge=1, le=2)] | None, Meta(description="Margin on the power of the loads that run together")] = None
    sharing_factor: Annotated[Ratio | None, Meta(description="Share of the summed currents of parallel strings that may be counted on; only lower")] = None
    continuous_share: Annotated[Ratio | None, Meta(description="Share of a breaker that may be loaded for three hours or more; only lower")] = None
    planning_margin: Annotated[Annotated[float, Meta(ge=0.5, le=1)] | None, Meta(description="Share of the given sun that is planned on")] = None
    soiling: Annotated[Annotated[float, Meta(ge=0.5, le=1)] | None, Meta(description="Share of the array's power left by dirt")] = None
    shading: Annotated[Annotated[float, Meta(ge=0.3, le=1)] | None, Meta(description="Share of the array's power left by shade")] = None
    cut_off_ratio: Annotated[Annotated[float, Meta(ge=0.75, le=1.05)] | None, Meta(description="Low-voltage cut-off of the inverter as programmed, over the nominal voltage")] = None
    drop_limit_direct: Annotated[DropLimit | None, Meta(description="Allowed drop of direct-current circuits over nominal voltage; on a boat of all circuits")] = None
    drop_limit_charging: Annotated[DropLimit | None, Meta(description="Allowed drop between chargers and the bank")] = None
    drop_limit_photovoltaic: Annotated[DropLimit | None, Meta(description="Allowed drop between array and controller")] = None
    drop_limit_alternating: Annotated[DropLimit | None, Meta(description="Allowed drop of alternating-current circuits; on a boat see drop_limit_direct")] = None
    cable_ambient: Annotated[AirTemperature | None, Meta(description="Hottest air along the cables; only higher")] = None


class Brief(Struct, frozen=True, forbid_unknown_fields=True):
    """What the client has and wants. The plan answers it."""

    dwelling: Annotated[Dwelling, Meta(description="Kind of dwelling and whose rules apply; the practice is never guessed")]
    site: Annotated[SiteShape, Meta(description="Where it is used")]
    loads: Annotated[list[LoadRequest], Meta(min_length=1, max_length=200, description="The loads; ids are unique")]
    bank: Annotated[BankShape, Meta(description="The bank")]
    array: Annotated[NoArray | PlannedArray, Meta(description="The array")] = NoArray()
    inverter: Annotated[NoInverter | ChosenInverter | SettledInverter, Meta(description="The inverter; chosen where loads ask for one")] = ChosenInverter()
    supplies: Annotated[Annotated[list[SupplyRequest], Meta(max_length=10)], Meta(description="Shore services, generators, alternators; ids are unique")] = []
    charger: Annotated[ChargerShape, Meta(description="The charger that alternating-current supplies feed")] = ChargerShape()
    system_voltage: Annotated[Literal[12, 24, 48] | None, Meta(description="Nominal voltage of the system, in volts; the usual one for the power when silent")] = None
    runs: Annotated[Annotated[list[RunShape], Meta(max_length=32)], Meta(description="Lengths of runs by class; usual lengths stand in. Of several entries of one class the longest counts")] = []
    house_rules: Annotated[HouseRules, Meta(description="Values that override assumptions")] = HouseRules()


def read(brief: Brief, door: Door) -> model.Brief:
    """The brief in service units. Raises Contradiction when two loads or two supplies have one id, or when the air's extremes cross."""
    site = brief.site
    coldest = door.quantity(site.air_coldest, "coldest_c", "/site", "air_coldest")
    hottest = door.quantity(site.air_hottest, "hottest_c", "/site", "air_hottest")
    if hottest < coldest:
        raise Contradiction(("/site/air_hottest", f"the hottest air, {hottest:g} °C, is colder than the coldest, {coldest:g} °C"))
    runs, ambients = _runs(brief.runs, door)
    boat = isinstance(brief.dwelling, (BoatDwelling, MetricBoatDwelling))
    hull, fuel = (brief.dwelling.hull, brief.dwelling.fuel) if boat else (None, None)
    array = brief.array
    return model.Brief(
        practice=brief.dwelling.__struct_config__.tag, kind=brief.dwelling.kind, hull=hull, fuel=fuel,
        site=model.Site(
            sun=read_sun(site.sun, door, "/site/sun"), air_coldest_c=coldest, air_hottest_c=hottest,
            bank_coldest_c=door.quantity(site.bank_coldest, "bank_temperature_c", "/site", "bank_coldest"),
            latitude_deg=door.quantity(site.latitude, "latitude_deg", "/site", "latitude"),
            altitude_m=door.quantity(site.altitude, "altitude_m", "/site", "altitude"),
        ),
        loads=read_loads(brief.loads, door, "/loads"), bank=_bank(brief.bank, door),
        array=None if isinstance(array, NoArray) else _array(array, door), inverter=_inverter(brief.inverter, door),
        supplies=read_supplies(brief.supplies, door), charger_kind=brief.charger.kind,
        charger_current_a=door.quantity(brief.charger.output, "charger_current_a", "/charger", "output"),
        nominal_voltage_v=door.number(brief.system_voltage, "nominal_voltage_v", "", "system_voltage"), run_lengths_m=runs, run_ambients_c=ambients,
    )


def _bank(bank: BankShape, door: Door) -> model.BankWish:
    return model.BankWish(
        chemistry=bank.chemistry, autonomy_days=door.number(bank.autonomy_days, "autonomy_days", "/bank", "autonomy_days"),
        ageing_convention=bank.ageing_convention,
        unit=read_unit(bank.unit, bank.chemistry, "/bank/unit", door) if isinstance(bank.unit, StatedUnit) else None,
        owned=tuple(read_owned(batch, f"/bank/owned/{position}", door) for position, batch in enumerate(bank.owned)),
        payload_kg=door.quantity(bank.payload, "payload_kg", "/bank", "payload"),
    )


def _array(array: PlannedArray, door: Door) -> model.ArrayWish:
    return model.ArrayWish(
        module=read_module(array.module, "/array/module", door), controller=read_controller(array.controller, "/array/controller", door),
        mounting=array.mounting, owned=tuple(read_owned_modules(batch, f"/array/owned/{position}", door) for position, batch in enumerate(array.owned)),
        count_wanted=array.count, space=read_space(array.space, "/array/space", door) if array.space is not None else None,
    )


def _inverter(inverter: NoInverter | ChosenInverter | SettledInverter, door: Door) -> model.InverterWish | None:
    if isinstance(inverter, NoInverter):
        return None
    temperature = door.quantity(inverter.temperature, "inverter_temperature_c", "/inverter", "temperature")
    hours = door.number(inverter.hours_per_day, "idle_hours", "/inverter", "hours_per_day")
    if isinstance(inverter, ChosenInverter):
        return model.InverterWish(None, temperature, hours)
    return model.InverterWish(read_unit_inverter(inverter.unit, door, "/inverter/unit"), temperature, hours)


def _runs(runs: list[RunShape], door: Door) -> tuple[dict[str, float], dict[str, float]]:
    """Lengths and ambients by class; of several entries of one class the longest and the hottest count."""
    lengths: dict[str, float] = {}
    ambients: dict[str, float] = {}
    for position, run in enumerate(runs):
        base = f"/runs/{position}"
        length = door.quantity(run.one_way, "run_m", base, "one_way")
        if run.circuit_class not in lengths or length > lengths[run.circuit_class]:
            lengths[run.circuit_class] = length
        ambient = door.quantity(run.ambient, "ambient_c", base, "ambient")
        if ambient is not None and (run.circuit_class not in ambients or ambient > ambients[run.circuit_class]):
            ambients[run.circuit_class] = ambient
    return lengths, ambients


_RULES: Mapping[str, tuple[tuple[str, str], ...]] = {
    "depth_of_discharge": tuple((f"depth_of_discharge_{family}", "depth_of_discharge") for family in get_args(Family)),
    "ageing_factor": (("ageing_factor", "ageing_factor"),),
    "inverter_efficiency": (("inverter_efficiency", "inverter_efficiency"),),
    "wiring_efficiency": (("wiring_efficiency", "wiring_efficiency"),),
    "discharge_efficiency": tuple((f"discharge_efficiency_{family}", "discharge_efficiency") for family in get_args(Family)),
    "growth_factor": (("growth_factor", "growth_factor"),),
    "sizing_margin": (("sizing_margin", "sizing_margin"),),
    "sharing_factor": (("sharing_factor", "sharing_factor"),),
    "continuous_share": (("continuous_share", "continuous_share"), ("continuous_share_metric", "continuous_share")),
    "planning_margin": (("planning_margin", "planning_margin"),),
    "soiling": (("derate_soiling", "derate_soiling"),),
    "shading": (("derate_shading", "derate_shading"),),
    "drop_limit_direct": (("drop_limit_direct", "drop_limit"), ("drop_limit_craft", "drop_limit"), ("drop_limit_small_craft", "drop_limit")),
    "drop_limit_charging": (("drop_limit_charging", "drop_limit"),),
    "drop_limit_photovoltaic": (("drop_limit_photovoltaic", "drop_limit"),),
    "drop_limit_alternating": (("drop_limit_alternating", "drop_limit"), ("drop_limit_alternating_metric", "drop_limit")),
}
"""Field of the house rules to the documented defaults that it overrides, each with its term."""


def house_rules(brief: Brief, door: Door) -> dict[str, float]:
    """The house rules by the name of the default that each overrides."""
    rules, found = brief.house_rules, {}
    for field, overrides in _RULES.items():
        given = getattr(rules, field)
        if given is not None:
            for name, term in overrides:
                found[name] = door.number(given, term, "/house_rules", field)
    if rules.cut_off_ratio is not None:
        for nominal in (12, 24, 48):
            found[f"cut_off_{nominal}"] = door.number(rules.cut_off_ratio * nominal, "cut_off_v", "/house_rules", "cut_off_ratio")
    if rules.cable_ambient is not None:
        found["ambient_c"] = found["ambient_craft_c"] = door.quantity(rules.cable_ambient, "ambient_c", "/house_rules", "cable_ambient")
    return found
