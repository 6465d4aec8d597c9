"""Numbers with a dimension as they stand in JSON: `{"value": 13, "unit": "ft"}`.

One class a physical use, so that the schema states both bounds and the few units that fit. The bounds hold for
the number as sent, whichever unit it is in; `physical` narrows them in the service's own unit and a number
outside it is answered with 422. Every floor is above nought where the quantity cannot be nought, because a
denormal voltage would send a result to infinity.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, get_args, get_type_hints

from msgspec import Meta, Struct

from ..units import FACTORS, SERVICE_UNIT, Factor


class Quantity(Struct, frozen=True, forbid_unknown_fields=True):
    """What all quantities of a request share."""

    service: ClassVar[str] = ""
    """Unit inside the service; the usual one of the kind when empty."""
    physical: ClassVar[tuple[float, float] | None] = None
    """Bounds in the service's unit, where those of the number as sent are too wide."""
    units: ClassVar[tuple[str, ...]] = ()
    factors: ClassVar[dict[str, Factor]] = {}


class Amount(Struct, frozen=True, gc=False):
    """A number with its unit in an answer."""

    value: Annotated[float, Meta(description="The number, unrounded")]
    unit: Annotated[str, Meta(description="Unit of the number, one of the closed list")]


class RunLength(Quantity):
    """Length of a run of conductors, one way."""

    value: Annotated[float, Meta(ge=0.05, le=500, description="One-way length")]
    unit: Annotated[Literal["ft", "m"], Meta(description="Unit of length")]


class CordLength(Quantity):
    """Length of a supply cord or feeder, one way."""

    value: Annotated[float, Meta(ge=0.5, le=1000, description="One-way length")]
    unit: Annotated[Literal["ft", "m"], Meta(description="Unit of length")]


class RoofLength(Quantity):
    """A side, a distance or a position on a roof."""

    value: Annotated[float, Meta(ge=0, le=2000, description="Length")]
    unit: Annotated[Literal["ft", "in", "m", "cm"], Meta(description="Unit of length")]


class ModuleLength(Quantity):
    """A side of a photovoltaic module."""

    value: Annotated[float, Meta(ge=20, le=4000, description="Length")]
    unit: Annotated[Literal["in", "cm", "mm"], Meta(description="Unit of length")]
    service = "m"


class Altitude(Quantity):
    """Height above the sea."""

    value: Annotated[float, Meta(ge=-500, le=20000, description="Height above the sea")]
    unit: Annotated[Literal["ft", "m"], Meta(description="Unit of length")]
    physical = (-500.0, 6500.0)


class RoofArea(Quantity):
    """Free area of a roof."""

    value: Annotated[float, Meta(ge=0, le=5000, description="Area")]
    unit: Annotated[Literal["ft2", "m2"], Meta(description="Unit of area")]


class RoomVolume(Quantity):
    """Volume of a room or a compartment."""

    value: Annotated[float, Meta(ge=0.01, le=20000, description="Volume")]
    unit: Annotated[Literal["m3", "ft3"], Meta(description="Unit of volume")]


class ConductorArea(Quantity):
    """Cross-section of a conductor."""

    value: Annotated[float, Meta(ge=0.05, le=2000, description="Cross-section of the metal")]
    unit: Annotated[Literal["mm2", "kcmil"], Meta(description="Unit of area")]
    service = "mm2"


class Current(Quantity):
    """Current of a load, a circuit or a supply."""

    value: Annotated[float, Meta(ge=0.001, le=3000, description="Current")]
    unit: Annotated[Literal["A"], Meta(description="Unit of current")]


class SmallCurrent(Quantity):
    """Current of standby draw, sensing or leakage."""

    value: Annotated[float, Meta(ge=0, le=5000, description="Current")]
    unit: Annotated[Literal["mA", "A"], Meta(description="Unit of current")]


class FaultCurrent(Quantity):
    """Prospective short-circuit current or interrupting rating."""

    value: Annotated[float, Meta(ge=1, le=200000, description="Current")]
    unit: Annotated[Literal["A", "kA"], Meta(description="Unit of current")]


class DcVoltage(Quantity):
    """Voltage of a battery or of a direct-current circuit."""

    value: Annotated[float, Meta(ge=1, le=1000, description="Direct-current voltage")]
    unit: Annotated[Literal["V"], Meta(description="Unit of voltage")]


class SmallVoltage(Quantity):
    """A difference of voltages, such as what a controller needs above the battery's."""

    value: Annotated[float, Meta(ge=0, le=60, description="Difference of voltage")]
    unit: Annotated[Literal["V"], Meta(description="Unit of voltage")]


class CellVoltage(Quantity):
    """Voltage of one cell."""

    value: Annotated[float, Meta(ge=0.5, le=5, description="Voltage of one cell")]
    unit: Annotated[Literal["V"], Meta(description="Unit of voltage")]


class AcVoltage(Quantity):
    """Voltage of an alternating-current circuit, root mean square."""

    value: Annotated[float, Meta(ge=50, le=690, description="Alternating-current voltage")]
    unit: Annotated[Literal["V"], Meta(description="Unit of voltage")]


class LoadVoltage(Quantity):
    """Voltage at which an appliance draws its current, direct or alternating."""

    value: Annotated[float, Meta(ge=1, le=690, description="Voltage")]
    unit: Annotated[Literal["V"], Meta(description="Unit of voltage")]


class PanelVoltage(Quantity):
    """Voltage of a photovoltaic module or string."""

    value: Annotated[float, Meta(ge=1, le=1500, description="Direct-current voltage")]
    unit: Annotated[Literal["V"], Meta(description="Unit of voltage")]


class Power(Quantity):
    """Real power of a load, a device or a supply."""

    value: Annotated[float, Meta(ge=0.01, le=50000, description="Power")]
    unit: Annotated[Literal["W", "kW"], Meta(description="Unit of power")]


class HorsePower(Quantity):
    """Rated shaft power of a motor whose plate has a locked-rotor code letter."""

    value: Annotated[float, Meta(ge=0.01, le=50, description="Rated shaft power")]
    unit: Annotated[Literal["hp"], Meta(description="Unit of shaft power")]


class StandbyPower(Quantity):
    """Power drawn while a device waits or idles; may be nought."""

    value: Annotated[float, Meta(ge=0, le=2000, description="Power")]
    unit: Annotated[Literal["W"], Meta(description="Unit of power")]


class ApparentPower(Quantity):
    """Apparent power of a load or a device."""

    value: Annotated[float, Meta(ge=0.01, le=100000, description="Apparent power")]
    unit: Annotated[Literal["VA", "kVA"], Meta(description="Unit of apparent power")]


class Energy(Quantity):
    """Energy, for example of a day."""

    value: Annotated[float, Meta(ge=0.01, le=1_000_000, description="Energy")]
    unit: Annotated[Literal["Wh", "kWh"], Meta(description="Unit of energy")]


class DayEnergy(Quantity):
    """Energy of a day in one month; nought in a month without use."""

    value: Annotated[float, Meta(ge=0, le=1_000_000, description="Energy a day")]
    unit: Annotated[Literal["Wh", "kWh"], Meta(description="Unit of energy")]


class Capacity(Quantity):
    """Rated capacity of a battery."""

    value: Annotated[float, Meta(ge=0.5, le=10000, description="Rated capacity")]
    unit: Annotated[Literal["Ah"], Meta(description="Unit of capacity")]


class AirTemperature(Quantity):
    """Temperature of the air around a device or a conductor."""

    value: Annotated[float, Meta(ge=-60, le=140, description="Air temperature")]
    unit: Annotated[Literal["degC", "degF"], Meta(description="Unit of temperature")]
    physical = (-60.0, 90.0)


class DeviceTemperature(Quantity):
    """Temperature of a cell, a terminal or the rating of an insulation."""

    value: Annotated[float, Meta(ge=-60, le=400, description="Temperature")]
    unit: Annotated[Literal["degC", "degF"], Meta(description="Unit of temperature")]
    physical = (-60.0, 250.0)


class TemperatureDifference(Quantity):
    """A rise or a difference of temperature."""

    value: Annotated[float, Meta(ge=0, le=150, description="Difference of temperature")]
    unit: Annotated[Literal["K"], Meta(description="Unit of temperature difference")]


class RelativeCoefficient(Quantity):
    """Relative change per kelvin, for example of a module's open-circuit voltage."""

    value: Annotated[float, Meta(ge=-2, le=2, description="Relative change per kelvin")]
    unit: Annotated[Literal["%/K"], Meta(description="Unit of the coefficient")]


class VoltageCoefficient(Quantity):
    """Change of a voltage per kelvin."""

    value: Annotated[float, Meta(ge=-2000, le=2000, description="Change of voltage per kelvin")]
    unit: Annotated[Literal["mV/K"], Meta(description="Unit of the coefficient")]


class Mass(Quantity):
    """Mass of a device or a limit of payload."""

    value: Annotated[float, Meta(ge=0.01, le=10000, description="Mass")]
    unit: Annotated[Literal["kg", "lb"], Meta(description="Unit of mass")]


class Resistance(Quantity):
    """Resistance of a source, a joint or a loop."""

    value: Annotated[float, Meta(ge=0.001, le=10000, description="Resistance")]
    unit: Annotated[Literal["mohm", "ohm"], Meta(description="Unit of resistance")]
    service = "ohm"


class Duration(Quantity):
    """How long something lasts, from minutes to days."""

    value: Annotated[float, Meta(ge=0.01, le=10000, description="Duration")]
    unit: Annotated[Literal["min", "h"], Meta(description="Unit of time")]
    service = "h"


class ShortDuration(Quantity):
    """How long a start or a fault lasts."""

    value: Annotated[float, Meta(ge=0.001, le=3600, description="Duration")]
    unit: Annotated[Literal["s"], Meta(description="Unit of time")]
    service = "s"


class ClearingTime(Quantity):
    """How long a device lets a short-circuit current flow; what conductors stand is known up to 5 s."""

    value: Annotated[float, Meta(ge=0.0001, le=5, description="Duration")]
    unit: Annotated[Literal["s"], Meta(description="Unit of time")]
    service = "s"


class FuelRate(Quantity):
    """Fuel that an engine burns in an hour."""

    value: Annotated[float, Meta(ge=0.01, le=200, description="Fuel an hour")]
    unit: Annotated[Literal["gal/h", "L/h"], Meta(description="Unit of fuel an hour")]


class Insolation(Quantity):
    """Radiation of a day on a plane."""

    value: Annotated[float, Meta(ge=0, le=50, description="Radiation a day")]
    unit: Annotated[Literal["kWh/m2", "MJ/m2"], Meta(description="Unit of radiation a day")]
    physical = (0.0, 14.0)


class Angle(Quantity):
    """Tilt, azimuth or latitude."""

    value: Annotated[float, Meta(ge=-360, le=360, description="Angle")]
    unit: Annotated[Literal["deg"], Meta(description="Unit of angle")]


class Latitude(Quantity):
    """Geographic latitude, north positive."""

    value: Annotated[float, Meta(ge=-90, le=90, description="Latitude, north positive")]
    unit: Annotated[Literal["deg"], Meta(description="Unit of angle")]


class Frequency(Quantity):
    """Frequency of an alternating supply."""

    value: Annotated[float, Meta(ge=40, le=70, description="Frequency")]
    unit: Annotated[Literal["Hz"], Meta(description="Unit of frequency")]


def prepare(quantity: type[Quantity]) -> None:
    """Fill in the units of a class and its exact factors to the service's unit."""
    units = get_args(get_type_hints(quantity)["unit"])
    quantity.units = units
    quantity.service = quantity.service or SERVICE_UNIT[units[0]]
    quantity.factors = {unit: FACTORS[unit, quantity.service] for unit in units}


for _quantity in Quantity.__subclasses__():
    prepare(_quantity)
