"""Supplies on their own: what is asked, and how it is read. The list is that of a brief, with cords and adapters."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct
from msgspec.structs import replace

from ...electrical.sources import described, model
from ..door import Door
from ..problems import Fault, Problem
from ..quantities import ApparentPower, Current, DayEnergy
from .circuit import PracticeName
from .held import Chemistry, HeldBank, System, Temperature, read_held
from .legs import CordWires, read_cord
from .loads import LoadId
from .supplies import AlternatorSupply, GeneratorSupply, ShoreSupply, named_twice, read_supply


class AdapterWish(Struct, frozen=True, forbid_unknown_fields=True):
    """An adapter between the service and an inlet of another kind."""

    inlet_legs: Annotated[Literal[1, 2], Meta(description="Legs of the dwelling's inlet: 2 on a service of one hot hang on that one hot; 1 on a service of two uses one of them")]
    rated: Annotated[Current | None, Meta(description="Rating of its weakest contact; the service's own when silent")] = None


class ConnectedShore(ShoreSupply, frozen=True, forbid_unknown_fields=True, tag="shore", tag_field="kind"):
    """A service at a site, or a receptacle of a house, and what connects the dwelling to it."""

    adapter: Annotated[AdapterWish | None, Meta(description="Adapter in the way; null where plug and service fit")] = None
    cord: Annotated[CordWires | None, Meta(description="The cord, for the voltage at its far end; the limit on the drop is the practice's when silent")] = None


class TogetherByPower(Struct, frozen=True, forbid_unknown_fields=True, tag="apparent-power", tag_field="by"):
    """The loads that run together by their apparent power, all on leg 1."""

    running: Annotated[ApparentPower | None, Meta(description="Of the loads behind the inverter; nothing when silent")] = None
    shore_only: Annotated[ApparentPower | None, Meta(description="Of the loads ahead of the inverter, not counted in `running`; nothing when silent")] = None


class TogetherByLegs(Struct, frozen=True, forbid_unknown_fields=True, tag="legs", tag_field="by"):
    """The loads that run together by their currents on the two legs of a panel."""

    leg_1: Annotated[Current, Meta(description="Current of leg 1, where the inverter-charger hangs")]
    leg_2: Annotated[Current | None, Meta(description="Current of leg 2; nothing when silent")] = None


class LoadsOnSupplies(Struct, frozen=True, forbid_unknown_fields=True):
    """What the supplies have to carry, as `demand` answers it."""

    ac_energy: Annotated[DayEnergy, Meta(description="A day, alternating-current loads, at the bank: losses of the inverter included")]
    dc_energy: Annotated[DayEnergy, Meta(description="A day, direct-current loads, at the bank")]
    together: Annotated[TogetherByPower | TogetherByLegs, Meta(description="Alternating-current loads that run together")] = TogetherByPower()
    start: Annotated[ApparentPower | None, Meta(description="What the largest start adds to the loads that run; nothing when silent")] = None
    loads_240: Annotated[Annotated[list[LoadId], Meta(max_length=20)], Meta(description="Loads that need 240 V between two legs")] = []


class ChargerThere(Struct, frozen=True, forbid_unknown_fields=True):
    """The charger that alternating-current supplies feed; there is one for all of them."""

    kind: Annotated[model.ChargerKind, Meta(description="inverter-charger: adds to a weak supply and has a transfer relay. stand-alone: only charges")] = "inverter-charger"
    rated: Annotated[Current | None, Meta(description="Rated output of one that is there; one is picked when silent")] = None
    transfer_relay: Annotated[Current | None, Meta(description="Rating of the transfer relay of an inverter-charger, each leg")] = None
    relay_protected: Annotated[bool, Meta(description="Whether a breaker within the relay's rating stands in its feed")] = False


class SuppliesRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A bank, the loads of a day and the supplies that are to carry them."""

    practice: Annotated[PracticeName, Meta(description="Whose rules apply; it decides the voltage of the dwelling")]
    chemistry: Chemistry
    system_voltage: System
    bank: HeldBank
    loads: Annotated[LoadsOnSupplies, Meta(description="The loads")]
    supplies: Annotated[
        Annotated[list[ConnectedShore | GeneratorSupply | AlternatorSupply], Meta(min_length=1, max_length=10)],
        Meta(description="Shore services, generators, alternators; ids are unique")]
    depth_of_discharge: Annotated[Annotated[float, Meta(ge=0.05, le=1)] | None, Meta(description="Share of the rated capacity that is used; the usual one of the chemistry when silent")] = None
    temperature: Temperature = None
    charger: Annotated[ChargerThere, Meta(description="The charger that alternating-current supplies feed")] = ChargerThere()
    controllers: Annotated[Annotated[list[Current], Meta(max_length=12)], Meta(description="Output currents, as programmed, of charge controllers that charge beside the supplies")] = []


def read(request: SuppliesRequest, door: Door) -> described.Described:
    """The request in service units. Raises Problem for names that stand twice and cords of two systems of sizes, all at once."""
    supplies, cords, faults = [], [], []
    for position, supply in enumerate(request.supplies):
        base = f"/supplies/{position}"
        made, cord = read_supply(supply, door, base, f"{supply.__struct_config__.tag}-{position + 1}"), None
        if isinstance(supply, ConnectedShore):
            if supply.adapter is not None:
                made = replace(made, adapter=_adapter(supply.adapter, door, f"{base}/adapter"))
            if supply.cord is not None:
                cord = read_cord(supply.cord, door, f"{base}/cord", faults)
        supplies.append(made)
        cords.append(cord)
    faults += [Fault("contradiction", said, pointer) for pointer, said in named_twice(supplies, "/supplies")]
    if faults:
        raise Problem("cannot-be-calculated", faults=faults)
    charger = request.charger
    return described.Described(
        practice=request.practice, supplies=tuple(supplies), cords=tuple(cords),
        bank=read_held(request.bank, request.chemistry, request.system_voltage, request.temperature, door),
        depth_of_discharge=door.number(request.depth_of_discharge, "depth_of_discharge", "", "depth_of_discharge"),
        loads=_loads(request.loads, door),
        charger=model.ChargerFacts(
            charger.kind, door.quantity(charger.rated, "charger_current_a", "/charger", "rated"),
            door.quantity(charger.transfer_relay, "transfer_rating_a", "/charger", "transfer_relay"), charger.relay_protected),
        controllers_a=tuple(
            door.quantity(current, "charger_setting_a", "/controllers", str(position)) for position, current in enumerate(request.controllers)),
    )


def _adapter(adapter: AdapterWish, door: Door, base: str) -> model.Adapter:
    return model.Adapter(door.number(adapter.inlet_legs, "inlet_legs", base, "inlet_legs"), door.quantity(adapter.rated, "contact_limit_a", base, "rated"))


def _loads(loads: LoadsOnSupplies, door: Door) -> described.Loads:
    together, base = loads.together, "/loads/together"
    if isinstance(together, TogetherByLegs):
        leg_2 = door.quantity(together.leg_2, "leg_2_a", base, "leg_2")
        made = described.Legs(door.quantity(together.leg_1, "leg_1_a", base, "leg_1"), leg_2)
    else:
        made = described.Together(
            door.quantity(together.running, "running_va", base, "running"), door.quantity(together.shore_only, "shore_va", base, "shore_only"))
    return described.Loads(
        ac_energy_wh=door.quantity(loads.ac_energy, "ac_energy_wh", "/loads", "ac_energy"),
        dc_energy_wh=door.quantity(loads.dc_energy, "dc_energy_wh", "/loads", "dc_energy"), together=made,
        start_increment_va=door.quantity(loads.start, "start_increment_va", "/loads", "start"), loads_240=tuple(loads.loads_240),
    )
