"""The array: request, answer, and the translation to and from the model."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from ...electrical.array import energy_formulas, formulas, model
from ...electrical.array.model import Mounting
from ...electrical.conductors.formulas import charging_voltage_bound
from ...electrical.controller import formulas as controller_formulas
from ...electrical.solar import formulas as solar_formulas
from ...reference.case import Case, Library
from ...working import Citation, cited
from ..base import Answer, envelope
from ..door import Door
from ..problems import Fault, Problem
from ..quantities import AirTemperature, DayEnergy, DcVoltage
from .array_answer import SizedArray, write_array
from .bank import BankChemistry, SystemVoltage
from .modules import (
    ArraySpace,
    ControllerShape,
    GenericController,
    ModuleShape,
    OwnedModulesShape,
    module_faults,
    read_controller,
    read_module,
    read_owned_modules,
    read_space,
)
from .sun import SunShape, read_months, read_sun

Share = Annotated[float, Meta(ge=0.3, le=1)]


class EnergyByMonth(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="month"):
    """Energy a day by month."""

    january: Annotated[DayEnergy, Meta(description="Energy a day in January")]
    february: Annotated[DayEnergy, Meta(description="Energy a day in February")]
    march: Annotated[DayEnergy, Meta(description="Energy a day in March")]
    april: Annotated[DayEnergy, Meta(description="Energy a day in April")]
    may: Annotated[DayEnergy, Meta(description="Energy a day in May")]
    june: Annotated[DayEnergy, Meta(description="Energy a day in June")]
    july: Annotated[DayEnergy, Meta(description="Energy a day in July")]
    august: Annotated[DayEnergy, Meta(description="Energy a day in August")]
    september: Annotated[DayEnergy, Meta(description="Energy a day in September")]
    october: Annotated[DayEnergy, Meta(description="Energy a day in October")]
    november: Annotated[DayEnergy, Meta(description="Energy a day in November")]
    december: Annotated[DayEnergy, Meta(description="Energy a day in December")]


class EnergyAllYear(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="all-year"):
    """The same energy every day."""

    energy: Annotated[DayEnergy, Meta(description="Energy a day")]


EnergyShape = EnergyByMonth | EnergyAllYear


class AirMonths(Struct, frozen=True, forbid_unknown_fields=True):
    """Air temperature in the sun hours, by month."""

    january: Annotated[AirTemperature, Meta(description="Air in the sun hours of January")]
    february: Annotated[AirTemperature, Meta(description="Air in the sun hours of February")]
    march: Annotated[AirTemperature, Meta(description="Air in the sun hours of March")]
    april: Annotated[AirTemperature, Meta(description="Air in the sun hours of April")]
    may: Annotated[AirTemperature, Meta(description="Air in the sun hours of May")]
    june: Annotated[AirTemperature, Meta(description="Air in the sun hours of June")]
    july: Annotated[AirTemperature, Meta(description="Air in the sun hours of July")]
    august: Annotated[AirTemperature, Meta(description="Air in the sun hours of August")]
    september: Annotated[AirTemperature, Meta(description="Air in the sun hours of September")]
    october: Annotated[AirTemperature, Meta(description="Air in the sun hours of October")]
    november: Annotated[AirTemperature, Meta(description="Air in the sun hours of November")]
    december: Annotated[AirTemperature, Meta(description="Air in the sun hours of December")]


class ArrayRules(Struct, frozen=True, forbid_unknown_fields=True):
    """Values that override assumptions about the array."""

    planning_margin: Annotated[Annotated[float, Meta(ge=0.5, le=1)] | None, Meta(description="Share of the given sun that is planned on")] = None
    soiling: Annotated[Share | None, Meta(description="Share of the power left by dirt")] = None
    wiring: Annotated[Share | None, Meta(description="Share of the power left by wiring and connections")] = None
    mismatch: Annotated[Share | None, Meta(description="Share of the power left by mismatch and nameplate tolerance")] = None
    shading: Annotated[Share | None, Meta(description="Share of the power left by shade")] = None
    ageing: Annotated[Share | None, Meta(description="Share of the power left by the modules' age")] = None
    controller_efficiency: Annotated[Share | None, Meta(description="Efficiency of the charge controller")] = None
    clipping: Annotated[Annotated[float, Meta(ge=0, le=0.5)] | None, Meta(description="Share of the nameplate power that the controller may clip")] = None


class ArrayRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """An array to size: power from the month with the largest load over sun, strings inside the controller's window."""

    loads: Annotated[EnergyShape, Meta(description="Energy a day that the loads take from the bank")]
    sun: Annotated[SunShape, Meta(description="What is known of the sun")]
    module: Annotated[ModuleShape, Meta(description="The module")]
    system_voltage: Annotated[SystemVoltage, Meta(description="Nominal voltage of the bank, in volts")]
    air_coldest: Annotated[AirTemperature, Meta(description="Lowest air temperature expected, in storage too: the strings' highest voltage rests on it")]
    air_hottest: Annotated[AirTemperature | None, Meta(description="Highest air temperature expected")] = None
    air_months: Annotated[AirMonths | None, Meta(description="Air temperature in the sun hours, for the yield")] = None
    controller: Annotated[ControllerShape, Meta(description="The charge controller")] = GenericController()
    charging_voltage: Annotated[DcVoltage | None, Meta(description="Highest voltage at which the bank is charged; a bound from the system voltage when silent")] = None
    chemistry: Annotated[BankChemistry | None, Meta(description="Chemistry of the bank: decides what charging loses; flooded lead-acid, which loses most, when silent")] = None
    charge_efficiency: Annotated[Share | None, Meta(description="Energy stored over energy offered to the bank")] = None
    other_supplies: Annotated[EnergyShape | None, Meta(description="Energy a day that other supplies store in the bank")] = None
    mounting: Annotated[Mounting | None, Meta(description="open-rack: free behind. close-mount: 25 to 40 mm above a roof. bonded: without an air gap")] = None
    owned: Annotated[Annotated[list[OwnedModulesShape], Meta(max_length=10)], Meta(description="Modules that are there already, to be kept or refused")] = []
    count: Annotated[Annotated[int, Meta(ge=0, le=100)] | None, Meta(description="New modules that are settled; the array is then checked, not chosen")] = None
    space: Annotated[ArraySpace | None, Meta(description="Room for modules; no limit when silent")] = None
    minimum_strings: Annotated[int, Meta(ge=1, le=20, description="Fewest strings, so that shade on one leaves the others")] = 1
    house_rules: Annotated[ArrayRules, Meta(description="Values that override assumptions")] = ArrayRules()


class ArrayAnswer(Answer):
    """An array."""

    array: Annotated[SizedArray, Meta(description="The array")]


CAUTIONS = (
    "Sunlit modules are live: their leads carry the string's voltage until they are covered, and connectors are no switches.",
    "Connect the battery to the controller first and the array last; open the array first.",
    "Read voltages, currents, coefficients and the largest series fuse off the label of the module and the data sheet of the controller before you buy.",
)


def read(request: ArrayRequest, door: Door) -> model.ArrayRequest:
    """The request in service units. Raises Problem when its temperatures, voltages or a module's figures contradict each other."""
    coldest = door.quantity(request.air_coldest, "coldest_c", "", "air_coldest")
    hottest = door.quantity(request.air_hottest, "hottest_c", "", "air_hottest")
    charging = door.quantity(request.charging_voltage, "charging_voltage_v", "", "charging_voltage")
    faults = []
    if hottest is not None and hottest < coldest:
        faults.append(Fault("contradiction", f"the hottest air, {hottest:g} °C, is colder than the coldest, {coldest:g} °C", "/air_hottest"))
    if charging is not None and charging < request.system_voltage:
        faults.append(Fault("contradiction", f"a bank of {request.system_voltage} V is not charged at {charging:g} V", "/charging_voltage"))
    faults += module_faults(request.module, "/module")
    for position, owned in enumerate(request.owned):
        faults += module_faults(owned.module, f"/owned/{position}/module")
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)
    air = request.air_months
    other = request.other_supplies
    return model.ArrayRequest(
        load_wh=_energy(request.loads, "month_energy_wh", "/loads", door), sun=read_sun(request.sun, door, "/sun"),
        module=read_module(request.module, "/module", door), controller=read_controller(request.controller, "/controller", door),
        system_voltage_v=door.number(request.system_voltage, "bank_voltage_v", "", "system_voltage"), air_coldest_c=coldest,
        air_hottest_c=hottest, charging_voltage_v=charging, chemistry=request.chemistry,
        charge_efficiency=door.number(request.charge_efficiency, "charge_efficiency", "", "charge_efficiency"),
        other_supplies_wh=None if other is None else _energy(other, "month_other_wh", "/other_supplies", door),
        air_months_c=None if air is None else read_months(air, "month_air_c", "/air_months", door), mounting=request.mounting,
        owned=tuple([read_owned_modules(owned, f"/owned/{position}", door) for position, owned in enumerate(request.owned)]),
        count_wanted=request.count, space=read_space(request.space, "/space", door) if request.space is not None else None,
        minimum_strings=request.minimum_strings,
    )


_RULES = {
    "planning_margin": "planning_margin", "soiling": "derate_soiling", "wiring": "derate_wiring", "mismatch": "derate_mismatch",
    "shading": "derate_shading", "ageing": "derate_ageing", "controller_efficiency": "controller_efficiency", "clipping": "clipping_limit",
}  # fmt: skip
"""Field of the house rules to the documented default, and term, that it overrides."""


def house_rules(request: ArrayRequest, door: Door) -> dict[str, float]:
    """The house rules by the name of the default that each overrides."""
    found = {}
    for field, name in _RULES.items():
        given = getattr(request.house_rules, field)
        if given is not None:
            found[name] = door.number(given, name, "/house_rules", field)
    return found


def _energy(energy: EnergyShape, term: str, base: str, door: Door) -> tuple[float, ...]:
    if isinstance(energy, EnergyAllYear):
        return (door.quantity(energy.energy, term, base, "energy"),) * 12
    return read_months(energy, term, base, door)


SOURCES = cited(formulas, energy_formulas, controller_formulas, solar_formulas) | {charging_voltage_bound.formula.citation: None}
_CONSTANTS = (
    "continuous_factor", "irradiance_factor", "photovoltaic_voltage_limit_dwelling", "insolation_floor", "lopsided_ratio",
    "guess_error_month", "guess_error_worst_month", "guess_error_year",
)  # fmt: skip


def printed(array: model.Array, library: Library) -> list[Citation]:
    """Where the tables, constants, devices and checks of an array are printed; its formulas' sources come on top."""
    tables = library.tables
    found = [tables["nec_690_7"].citation]
    found += [tables["constants"].citation_of_row[tables["constants"].row(name)] for name in _CONSTANTS]
    if array.sun.citation is not None:
        found += [array.sun.citation, tables["extraterrestrial"].citation]
    for group in array.groups:
        found += [check.rule.clause for check in group.checks]
        if group.module.generic:
            found.append(tables["module_sizes"].citation)
        if group.controller.generic:
            found.append(tables["controller_ratings"].citation)
        device = group.strings.fuse.device
        if device is not None:
            found.append(tables["device_families"].citation_of_row[tables["device_families"].row(device.row)])
    return found


def write(array: model.Array, case: Case) -> ArrayAnswer:
    """The answer."""
    return ArrayAnswer(array=write_array(array), **envelope(case, dict.fromkeys(printed(array, case.library)) | SOURCES, CAUTIONS))
