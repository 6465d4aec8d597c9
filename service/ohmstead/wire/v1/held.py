"""A bank that is there, as its owner describes it, and its translation to the model; the same for run time and recharge."""

from __future__ import annotations

from typing import Annotated

from msgspec import Meta, Struct

from ...electrical.held import model
from ..door import Door
from ..quantities import AirTemperature, Capacity, Current, DcVoltage, Energy
from .bank import BankChemistry, SystemVoltage

Parallel = Annotated[int, Meta(ge=1, le=60, description="Strings in parallel")]
RatedHours = Annotated[float, Meta(ge=0.5, le=120)]
Cells = Annotated[int, Meta(ge=1, le=60)]
Temperature = Annotated[AirTemperature | None, Meta(description="Temperature of the bank; 20 degC when silent, and said")]
Chemistry = Annotated[BankChemistry, Meta(description="Chemistry of the bank")]
System = Annotated[SystemVoltage, Meta(description="Nominal voltage of the system, in volts")]


class HeldUnits(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="units"):
    """Like units, described by one of them. How many are in series follows from the system voltage."""

    voltage: Annotated[DcVoltage, Meta(description="Nominal voltage of one unit")]
    capacity: Annotated[Capacity, Meta(description="Rated capacity of one unit")]
    parallel: Parallel = 1
    rated_hours: Annotated[RatedHours | None, Meta(description="Hour rate of the rated capacity, such as 20; the usual one of the chemistry when silent")] = None
    cells: Annotated[Cells | None, Meta(description="Cells in series inside one unit")] = None
    current: Annotated[Current | None, Meta(description="Continuous discharge current of one unit, as its maker or its management system limits it")] = None
    charging_current: Annotated[Current | None, Meta(description="Largest charging current of one unit")] = None


class HeldEnergy(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="energy"):
    """Only the rated energy of the whole bank is known."""

    energy: Annotated[Energy, Meta(description="Rated energy of the whole bank")]
    parallel: Parallel = 1
    current: Annotated[Current | None, Meta(description="Continuous discharge current of one string, as its maker or its management system limits it")] = None
    charging_current: Annotated[Current | None, Meta(description="Largest charging current of one string")] = None


HeldBank = Annotated[HeldUnits | HeldEnergy, Meta(description="What the bank is made of")]


def read_held(
    bank: HeldUnits | HeldEnergy, chemistry: str, system_voltage: int, temperature: AirTemperature | None, door: Door
) -> model.HeldRequest:
    """A described bank in service units. Raises Problem outside the physical bounds."""
    common = dict(
        parallel=door.number(bank.parallel, "parallel", "/bank", "parallel"),
        current_a=door.quantity(bank.current, "unit_current_a", "/bank", "current"),
        charge_current_a=door.quantity(bank.charging_current, "unit_charge_limit_a", "/bank", "charging_current"),
    )
    if isinstance(bank, HeldEnergy):
        made = model.ByEnergy(door.quantity(bank.energy, "bank_rated_energy_wh", "/bank", "energy"), **common)
    else:
        made = model.ByUnits(
            voltage_v=door.quantity(bank.voltage, "unit_voltage_v", "/bank", "voltage"),
            capacity_ah=door.quantity(bank.capacity, "unit_capacity_ah", "/bank", "capacity"),
            rated_hours=door.number(bank.rated_hours, "rated_hours", "/bank", "rated_hours"),
            cells=door.number(bank.cells, "cells", "/bank", "cells"), **common,
        )
    return model.HeldRequest(
        chemistry, float(system_voltage), made, door.quantity(temperature, "bank_temperature_c", "", "temperature"))
