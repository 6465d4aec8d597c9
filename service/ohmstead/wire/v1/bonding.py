"""Neutral-earth bonds and bonding conductors: the request and its translation into the model."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import Meta, Struct

from ...electrical.bonding import model
from ...electrical.legs.model import Arrangement
from ..door import Door
from ..quantities import ClearingTime, Current, FaultCurrent, Resistance
from .brief import VehicleKind

Known = Literal["yes", "no", "not-known"]
Sets = Annotated[int, Meta(ge=1, le=12, description="Conductors in parallel per pole")]
ArrangementField = Annotated[Arrangement, Meta(description="one-leg: a single hot. split-phase: two hots in opposition. one-hot: two legs on one hot or in phase. wye: two legs of a three-phase site")]


class BondedVehicle(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="us-vehicle"):
    """A vehicle, United States."""

    kind: VehicleKind = "trailer"


class BondedVehicleIntl(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="intl-vehicle"):
    """A caravan, motor caravan or van, IEC."""

    kind: VehicleKind = "trailer"


class BondedCraft(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="us-craft"):
    """A boat, United States."""

    kind: Annotated[Literal["boat"], Meta(description="Kind of craft")] = "boat"


class BondedCraftIntl(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="intl-craft"):
    """A small craft, ISO."""

    kind: Annotated[Literal["boat"], Meta(description="Kind of craft")] = "boat"


class BondedDwelling(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="us-dwelling"):
    """A cabin, United States."""

    kind: Annotated[Literal["cabin"], Meta(description="Kind of building")] = "cabin"


class BondedDwellingIntl(Struct, frozen=True, forbid_unknown_fields=True, tag_field="practice", tag="intl-dwelling"):
    """A cabin, IEC."""

    kind: Annotated[Literal["cabin"], Meta(description="Kind of building")] = "cabin"


Dwelling = BondedVehicle | BondedVehicleIntl | BondedCraft | BondedCraftIntl | BondedDwelling | BondedDwellingIntl


class AwgLead(Struct, frozen=True, forbid_unknown_fields=True, tag_field="system", tag="awg"):
    """A conductor by its AWG size."""

    name: Annotated[Literal["18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"], Meta(description="Size")]
    sets: Sets = 1


class KcmilLead(Struct, frozen=True, forbid_unknown_fields=True, tag_field="system", tag="kcmil"):
    """A conductor by its kcmil size."""

    name: Annotated[Literal["250", "300", "350", "400", "500"], Meta(description="Size")]
    sets: Sets = 1


class MetricLead(Struct, frozen=True, forbid_unknown_fields=True, tag_field="system", tag="mm2"):
    """A conductor by its metric size."""

    name: Annotated[Literal["0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95", "120", "150", "185", "240"], Meta(description="Size")]
    sets: Sets = 1


Lead = AwgLead | KcmilLead | MetricLead


class NoTransformer(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="none"):
    """The supply comes straight aboard."""


class OnBoardTransformer(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="transformer"):
    """An isolation or polarization transformer stands between the supply and the panel."""

    kind: Annotated[Literal["isolation", "polarization"], Meta(description="Kind of transformer")] = "isolation"
    secondary: Annotated[model.Neutral, Meta(description="Whether one side of its secondary is bonded to earth on board")] = "not-known"


class TransformerNotKnown(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="not-known"):
    """Whether there is one is not known."""


class ShoreBond(Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", tag="shore"):
    """A shore supply, or for a building the utility's service. Its own bond is off board."""

    arrangement: ArrangementField = "one-leg"
    transformer: Annotated[NoTransformer | OnBoardTransformer | TransformerNotKnown, Meta(description="Transformer on board")] = NoTransformer()


class GeneratorBond(Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", tag="generator"):
    """A generator."""

    arrangement: ArrangementField = "one-leg"
    neutral: Annotated[model.Neutral, Meta(description="Whether its neutral is bonded to its frame; it should be marked")] = "not-known"


class RelayBond(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="relay"):
    """A relay bonds the neutral while the unit inverts and opens before a supply passes through."""

    closed_in: Annotated[model.Units | None, Meta(description="How many of the units have it enabled; when silent, the one unit, and with several not known")] = None


class FixedBond(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="fixed"):
    """Neutral and earth are joined in the unit at all times."""

    closed_in: Annotated[Literal["one", "all"], Meta(description="In how many of the units")] = "all"
    passes_supply: Annotated[Known, Meta(description="Whether shore or generator passes through the unit to the panel, as in an inverter-charger")] = "not-known"


class NoBond(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="none"):
    """The output floats."""


class BondNotKnown(Struct, frozen=True, forbid_unknown_fields=True, tag_field="by", tag="not-known"):
    """Not known."""

    passes_supply: Annotated[Known, Meta(description="Whether shore or generator passes through the unit to the panel, as in an inverter-charger")] = "not-known"


class InverterSource(Struct, frozen=True, forbid_unknown_fields=True, tag_field="kind", tag="inverter"):
    """An inverter, or several that work together as one source."""

    arrangement: ArrangementField = "one-leg"
    units: Annotated[int, Meta(ge=1, le=12, description="Units that work together, in parallel or stacked")] = 1
    bond: Annotated[RelayBond | FixedBond | NoBond | BondNotKnown, Meta(description="How the unit bonds its neutral")] = BondNotKnown()


class Transfer(Struct, frozen=True, forbid_unknown_fields=True):
    """What selects the source: switch, relay or the transfer inside an inverter-charger."""

    switches_neutral: Annotated[Known, Meta(description="Whether it switches the neutral with the hots; no if any of several pieces does not")] = "not-known"
    poles: Annotated[Annotated[int, Meta(ge=1, le=4)] | None, Meta(description="Poles that it switches, the neutral's included")] = None


class BankFault(Struct, frozen=True, forbid_unknown_fields=True):
    """A short circuit of the bank to a bonded case or the chassis."""

    current: Annotated[FaultCurrent, Meta(description="Prospective short-circuit current there")]
    clearing_time: Annotated[ClearingTime, Meta(description="Time in which the battery's device opens at this current, from its maker's curve")]
    insulation: Annotated[Literal["70C", "90C"], Meta(description="Of the bonding conductor. 70C: thermoplastic of 70 to 75 degC. 90C: thermoset of 90 degC or more")] = "70C"
    proven: Annotated[bool, Meta(description="Whether both are makers' figures; without them no verdict is sufficient")] = False


class BondedCircuit(Struct, frozen=True, forbid_unknown_fields=True):
    """An alternating-current circuit whose protective conductor is asked for."""

    id: Annotated[str, Meta(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$", description="Name of the circuit")]
    breaker: Annotated[Current, Meta(description="Rating of its overcurrent device")]
    line: Annotated[Lead, Meta(description="Line conductor")]
    least_line: Annotated[Lead | None, Meta(description="Size that ampacity alone asks, where the line was enlarged for voltage drop")] = None


class TwoBonds(Struct, frozen=True, forbid_unknown_fields=True):
    """Two bonds and the paths between them: how much of the neutral current then flows in the earth."""

    current: Annotated[Current, Meta(description="Neutral current, were there one bond")]
    neutral_path: Annotated[Resistance, Meta(description="Resistance of the neutral between the bonds")]
    earth_path: Annotated[Resistance, Meta(description="Resistance of the earth path between them")]


class BondingRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """Everything that can join neutral and earth, and what the bonding conductors hang on."""

    dwelling: Annotated[Dwelling, Meta(description="Whose rules apply, and to what kind of dwelling")]
    sources: Annotated[
        Annotated[list[ShoreBond | GeneratorBond | InverterSource], Meta(min_length=1, max_length=8)],
        Meta(description="Sources that can feed the panel, one of them at a time"),
    ]
    transfer: Annotated[Transfer, Meta(description="Transfer equipment between the sources; it counts where there are several")] = Transfer()
    panel_screw: Annotated[model.Screw, Meta(description="Bonding screw or strap of the panel behind the transfer equipment, or another join of its neutral to the earth bus")] = "not-known"
    double_pole: Annotated[Known, Meta(description="Whether protection and switching open both poles of every circuit")] = "not-known"
    battery_lead: Annotated[Lead | None, Meta(description="Largest ungrounded battery lead")] = None
    device_lead: Annotated[Lead | None, Meta(description="Positive conductor of the largest direct-current device with a metal case; the battery lead when silent")] = None
    battery_device: Annotated[Current | None, Meta(description="Rating of the battery's overcurrent device")] = None
    makers_case_bond: Annotated[Lead | None, Meta(description="Size that the maker of inverter or charger asks for the bond of its case")] = None
    circuits: Annotated[Annotated[list[BondedCircuit], Meta(max_length=40)], Meta(description="Alternating-current circuits, the feed from each source among them")] = []
    electrode: Annotated[Literal["rod", "other"], Meta(description="Grounding electrode of a building: a rod alone, or another")] = "other"
    fault: Annotated[BankFault | None, Meta(description="Short circuit of the bank that the bonds have to stand")] = None
    two_bonds: Annotated[TwoBonds | None, Meta(description="To see what a second bond does")] = None


def read(request: BondingRequest, door: Door) -> model.BondingRequest:
    """The request in service units. Raises Problem outside the physical bounds."""
    fault, two = request.fault, request.two_bonds
    facts = model.Facts(
        battery_lead=_lead(request.battery_lead, door, "/battery_lead"), device_lead=_lead(request.device_lead, door, "/device_lead"),
        battery_device_a=door.quantity(request.battery_device, "device_rating_a", "", "battery_device"),
        circuits=tuple(
            model.Circuit(
                circuit.id, door.quantity(circuit.breaker, "device_rating_a", f"/circuits/{at}", "breaker"),
                _lead(circuit.line, door, f"/circuits/{at}/line"), _lead(circuit.least_line, door, f"/circuits/{at}/least_line"),
            )
            for at, circuit in enumerate(request.circuits)
        ),
        makers_case_bond=_lead(request.makers_case_bond, door, "/makers_case_bond"), to_rod=request.electrode == "rod",
        fault=None if fault is None else model.Fault(
            door.quantity(fault.current, "fault_current_a", "/fault", "current"),
            door.quantity(fault.clearing_time, "clearing_time_s", "/fault", "clearing_time"), _CONSTANTS[fault.insulation], fault.proven,
        ),
    )
    return model.BondingRequest(
        practice=request.dwelling.__struct_config__.tag, sources=tuple(map(_source, request.sources)),
        switches_neutral=request.transfer.switches_neutral, poles=door.number(request.transfer.poles, "transfer_poles", "/transfer", "poles"),
        panel_screw=request.panel_screw, double_pole=request.double_pole, facts=facts,
        divided=None if two is None else model.Divided(
            door.quantity(two.current, "current_a", "/two_bonds", "current"),
            door.quantity(two.neutral_path, "neutral_path_ohm", "/two_bonds", "neutral_path"),
            door.quantity(two.earth_path, "earth_path_ohm", "/two_bonds", "earth_path"),
        ),
    )


_CONSTANTS = {"70C": "short_circuit_constant_70c", "90C": "short_circuit_constant_90c"}


def _lead(lead: Lead | None, door: Door, pointer: str) -> model.Lead | None:
    if lead is None:
        return None
    return model.Lead(lead.name, "mm2" if isinstance(lead, MetricLead) else "awg", door.number(lead.sets, "sets", pointer, "sets"))


def _source(source: ShoreBond | GeneratorBond | InverterSource) -> model.Source:
    if isinstance(source, ShoreBond):
        transformer = source.transformer
        if isinstance(transformer, OnBoardTransformer):
            return model.Source("shore", source.arrangement, transformer.kind, transformer.secondary)
        return model.Source("shore", source.arrangement, "none" if isinstance(transformer, NoTransformer) else "not-known")
    if isinstance(source, GeneratorBond):
        return model.Source("generator", source.arrangement, neutral=source.neutral)
    bond, many = source.bond, source.units
    closed: model.Units = "not-known"
    if isinstance(bond, FixedBond):
        closed = bond.closed_in
    elif isinstance(bond, RelayBond):
        closed = bond.closed_in or ("one" if many == 1 else "not-known")
    return model.Source(
        "inverter", source.arrangement, units=many, bonding=bond.__struct_config__.tag, closed_in=closed,
        passes_supply=bond.passes_supply if isinstance(bond, (FixedBond, BondNotKnown)) else "not-known",
    )
