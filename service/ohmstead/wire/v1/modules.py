"""Modules, controllers and room for them, as a request states them."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.array import model
from ...electrical.array.formulas import nameplate_power, relative_coefficient
from ...electrical.controller import model as controller_model
from ..door import Door
from ..problems import Fault, Problem
from ..quantities import Current, ModuleLength, PanelVoltage, RoofArea, SmallVoltage

ModuleName = Literal["100w", "200w", "400w"]


class RelativeFall(Struct, frozen=True, forbid_unknown_fields=True, tag_field="unit", tag="%/K"):
    """A fall of voltage per kelvin, relative to the voltage itself."""

    value: Annotated[float, Meta(ge=-0.6, le=0, description="Change per kelvin; negative, for it falls with heat")]


class AbsoluteFall(Struct, frozen=True, forbid_unknown_fields=True, tag_field="unit", tag="mV/K"):
    """A fall of voltage per kelvin in millivolts."""

    value: Annotated[float, Meta(ge=-600, le=0, description="Change per kelvin; negative, for it falls with heat")]


class PowerFall(Struct, frozen=True, forbid_unknown_fields=True):
    """Relative change of power or of maximum-power voltage per kelvin."""

    value: Annotated[float, Meta(ge=-0.6, le=0, description="Change per kelvin; negative, for it falls with heat")]
    unit: Annotated[Literal["%/K"], Meta(description="Unit of the coefficient")]


class CurrentRise(Struct, frozen=True, forbid_unknown_fields=True):
    """Relative change of current per kelvin."""

    value: Annotated[float, Meta(ge=0, le=0.1, description="Change per kelvin")]
    unit: Annotated[Literal["%/K"], Meta(description="Unit of the coefficient")]


class GenericModule(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="generic"):
    """A module of a usual size; its ratings are to be confirmed against the one that is bought."""

    size: Annotated[ModuleName, Meta(description="Row of the table of usual sizes")]


class StatedModule(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="stated"):
    """The module as its label describes it, at 1000 W/m2 and 25 °C. Nameplate power is voltage times current at maximum power."""

    open_circuit_voltage: Annotated[PanelVoltage, Meta(description="Open-circuit voltage")]
    max_power_voltage: Annotated[PanelVoltage, Meta(description="Voltage at maximum power, below the open-circuit voltage")]
    short_circuit_current: Annotated[Current, Meta(description="Short-circuit current")]
    max_power_current: Annotated[Current, Meta(description="Current at maximum power, below the short-circuit current")]
    voltage_coefficient: Annotated[RelativeFall | AbsoluteFall | None, Meta(description="Temperature coefficient of the open-circuit voltage; without it the table of the code is used alone")] = None
    power_coefficient: Annotated[PowerFall | None, Meta(description="Temperature coefficient of power")] = None
    max_power_voltage_coefficient: Annotated[PowerFall | None, Meta(description="Temperature coefficient of the voltage at maximum power, not of the open-circuit voltage")] = None
    current_coefficient: Annotated[CurrentRise | None, Meta(description="Temperature coefficient of the short-circuit current")] = None
    series_fuse: Annotated[Current | None, Meta(description="Largest series fuse that the module permits")] = None
    length: Annotated[ModuleLength | None, Meta(description="Longer side")] = None
    width: Annotated[ModuleLength | None, Meta(description="Shorter side")] = None


ModuleShape = GenericModule | StatedModule


class OwnedModulesShape(Struct, frozen=True, forbid_unknown_fields=True):
    """Like modules that are there already."""

    count: Annotated[int, Meta(ge=1, le=100, description="Number of modules")]
    condition: Annotated[Literal["sound", "damaged", "unknown"], Meta(description="What a look and a measurement said")]
    module: Annotated[ModuleShape | None, Meta(description="Their data; null when there is no label")] = None


class GenericController(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="generic"):
    """No controller is named: the smallest that fits is picked from the ratings that are made."""


class StatedController(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="stated"):
    """A controller that tracks the maximum-power point, as its data sheet describes it."""

    input_limit: Annotated[PanelVoltage, Meta(description="Largest open-circuit voltage at the input")]
    output: Annotated[Current, Meta(description="Rated output current")]
    input_short_circuit: Annotated[Current | None, Meta(description="Largest short-circuit current of the array that the maker permits")] = None
    start_headroom: Annotated[SmallVoltage | None, Meta(description="Volts above the battery's that the controller needs to start charging")] = None
    blocks_backfeed: Annotated[bool | None, Meta(description="Whether it is listed against feeding the array from the battery; null when not known")] = None


ControllerShape = GenericController | StatedController


class ByArea(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="area"):
    """Free area; how many modules it takes is estimated without a layout."""

    area: Annotated[RoofArea, Meta(description="Area without hatches, fans and walkways")]


class ByCount(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="count"):
    """The number of modules that have room is known."""

    count: Annotated[int, Meta(ge=0, le=1000, description="Modules that have room, owned ones included")]


ArraySpace = ByArea | ByCount


def module_faults(module: ModuleShape | None, base: str) -> list[Fault]:
    """What a stated module's figures contradict each other in."""
    if not isinstance(module, StatedModule):
        return []
    faults = []
    if module.max_power_voltage.value >= module.open_circuit_voltage.value:
        faults.append(Fault("contradiction", "the voltage at maximum power lies below the open-circuit voltage", f"{base}/max_power_voltage"))
    if module.max_power_current.value >= module.short_circuit_current.value:
        faults.append(Fault("contradiction", "the current at maximum power lies below the short-circuit current", f"{base}/max_power_current"))
    return faults


def read_module(module: ModuleShape, base: str, door: Door) -> model.ModuleWish:
    """A module in service units. Raises Problem when its voltages or currents contradict each other."""
    if isinstance(module, GenericModule):
        return model.GenericModule(module.size)
    faults = module_faults(module, base)
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)
    voc = door.quantity(module.open_circuit_voltage, "open_circuit_v", base, "open_circuit_voltage")
    vmp = door.quantity(module.max_power_voltage, "max_power_v", base, "max_power_voltage")
    imp = door.quantity(module.max_power_current, "max_power_a", base, "max_power_current")
    fall = module.voltage_coefficient
    if fall is None:
        coefficient = None
    elif isinstance(fall, RelativeFall):
        coefficient = door.number(fall.value / 100, "voltage_coefficient_per_k", f"{base}/voltage_coefficient", "value")
    else:
        absolute = door.number(fall.value / 1000, "voltage_coefficient_v_per_k", f"{base}/voltage_coefficient", "value")
        coefficient = relative_coefficient(absolute, voc)

    def share(given: PowerFall | CurrentRise | None, term: str, field: str) -> float | None:
        return None if given is None else door.number(given.value / 100, term, f"{base}/{field}", "value")

    return model.ModuleType(
        name=f"{module.max_power_voltage.value * module.max_power_current.value:.4g} W module", power_w=nameplate_power(vmp, imp),
        open_circuit_v=voc, max_power_v=vmp,
        short_circuit_a=door.quantity(module.short_circuit_current, "short_circuit_a", base, "short_circuit_current"), max_power_a=imp,
        voltage_coefficient_per_k=coefficient,
        power_coefficient_per_k=share(module.power_coefficient, "power_coefficient_per_k", "power_coefficient"),
        max_power_voltage_coefficient_per_k=share(
            module.max_power_voltage_coefficient, "max_power_voltage_coefficient_per_k", "max_power_voltage_coefficient"),
        current_coefficient_per_k=share(module.current_coefficient, "current_coefficient_per_k", "current_coefficient"),
        fuse_limit_a=door.quantity(module.series_fuse, "module_fuse_limit_a", base, "series_fuse"),
        length_m=door.quantity(module.length, "module_length_m", base, "length"),
        width_m=door.quantity(module.width, "module_width_m", base, "width"),
    )  # fmt: skip


def read_owned_modules(owned: OwnedModulesShape, base: str, door: Door) -> model.OwnedModules:
    """Owned modules in service units; they are named by their position."""
    module = None if owned.module is None else read_module(owned.module, f"{base}/module", door)
    return model.OwnedModules(base.rpartition("/")[2], owned.count, owned.condition, module)


def read_controller(controller: ControllerShape, base: str, door: Door) -> controller_model.ControllerWish:
    """A controller in service units."""
    if isinstance(controller, GenericController):
        return controller_model.GenericController()
    return controller_model.ControllerType(
        name=f"{controller.input_limit.value:g} V {controller.output.value:g} A controller",
        input_limit_v=door.quantity(controller.input_limit, "controller_input_limit_v", base, "input_limit"),
        output_rating_a=door.quantity(controller.output, "controller_rating_a", base, "output"),
        input_short_circuit_a=door.quantity(controller.input_short_circuit, "controller_input_limit_a", base, "input_short_circuit"),
        start_headroom_v=door.quantity(controller.start_headroom, "start_headroom_v", base, "start_headroom"),
        blocks_backfeed=controller.blocks_backfeed,
    )


def read_space(space: ArraySpace, base: str, door: Door) -> model.Space:
    """Room for modules in service units."""
    if isinstance(space, ByCount):
        return model.LargestCount(space.count)
    return model.FreeArea(door.quantity(space.area, "roof_area_m2", base, "area"))
