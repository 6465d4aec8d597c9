"""The registry: one entry a calculation, and everything else follows from it."""

from __future__ import annotations

from ..electrical.array.sizing import size_array
from ..electrical.bonding.sizing import judge_bonding
from ..electrical.faults.point import fault_at_point
from ..electrical.inverter.sizing import size_inverter
from ..electrical.legs.described import judge_legs
from ..electrical.loads.listed import search
from ..electrical.loads.sizing import size_demand
from ..electrical.panel.sizing import size_panel
from ..electrical.recharge.sizing import size_recharge
from ..electrical.runtime.sizing import size_runtime
from ..electrical.sharing.sizing import share_current
from ..electrical.sources.described import size_described
from ..electrical.storage.sizing import size_bank
from ..plan.size import size_plan
from ..render.text import render_plan
from ..wire.v1 import (
    appliances, array, bank, bank_answer, bonding, bonding_answer, brief, circuit, circuits, demand, fault, inverter, legs, panel, plan, recharge, runtime,
    sharing, supply_set, supply_set_answer,
)
from .calculation import Calculation

CALCULATIONS: tuple[Calculation, ...] = (
    Calculation(
        name="plan", request=brief.Brief, answer=plan.PlanAnswer, read=brief.read, work=size_plan, write=plan.write,
        summary="Answer a brief with a whole plan",
        description="Sizes demand, inverter, bank, supplies, array and every circuit of a dwelling, balances the twelve months, and answers "
        "with the installation as one wiring graph in which the rules for sources, shunt, disconnects, bonds and lock-outs were verified. "
        "What the brief cannot have comes back as an outcome with the check that stands in the way.",
        examples=("plan-climbers-van", "plan-travelling-library", "plan-beekeepers-cabin", "plan-horse-trailer",
                  "plan-bird-count-sloop", "plan-puppet-theatre"),
        house_rules=brief.house_rules, text=render_plan,
    ),
    Calculation(
        name="circuit", request=circuit.CircuitRequest, answer=circuit.CircuitAnswer,
        read=circuit.read, work=circuit.work, write=circuit.write,
        summary="Size one circuit",
        description="The smallest conductor that passes every check of the practice for this class of circuit, and its "
        "overcurrent device: rating, voltage, interrupting rating, family and place. Says which check decided and what "
        "the next smaller size fails. A conductor and a device that were chosen beforehand are judged beside it.",
        examples=("circuit-inverter", "circuit-water-pump", "circuit-bilge-pump"), get=True,
    ),
    Calculation(
        name="circuits", request=circuits.CircuitsRequest, answer=circuits.CircuitsAnswer,
        read=circuits.read, work=circuits.work, write=circuits.write,
        summary="Size a list of circuits",
        description="Up to 500 circuits in one request, each sized as a single one is and found again by its name; an assumption that several share "
        "is listed once, and a finding points to the circuit that it is about.",
        examples=("circuits-climbers-van",),
    ),
    Calculation(
        name="legs", request=legs.LegsRequest, answer=legs.LegsAnswer, read=legs.read, work=judge_legs, write=legs.write,
        summary="Two legs and their neutral",
        description="Neutral current of two legs on true split phase, on one hot as behind an adapter, or on two legs of a three-phase site; what the "
        "overcurrent devices would let through it; the common limit of an adapter; what becomes of loads between the legs; the drop of the cord; and "
        "which branch circuits may share a neutral in every way in which the panel can be supplied.",
        examples=("legs-adapter", "legs-library"),
    ),
    Calculation(
        name="panel", request=panel.PanelRequest, answer=panel.PanelAnswer, read=panel.read, work=size_panel, write=panel.write,
        summary="Divide a panel for an inverter",
        description="The alternating-current panel as it is, and what becomes of it: which circuits go to a new sub-panel behind the inverter, with its "
        "feed breaker within the transfer relay; currents of both legs and of the neutral of both panels under every supply and from the inverter alone, and "
        "which circuits are dead then; shared neutrals; chargers of the bank kept off the inverter; the poles and the protection of people that the "
        "practice asks for; and a list of what to change.",
        examples=("panel-travelling-library", "panel-puppet-theatre"),
    ),
    Calculation(
        name="fault", request=fault.FaultRequest, answer=fault.FaultAnswer, read=fault.read, work=fault_at_point, write=fault.write,
        summary="Short-circuit current at a point",
        description="Prospective short-circuit current at the posts of a source and at a point behind links, cables and joints, from the "
        "maker's figure, an internal resistance, or an upper bound by chemistry and capacity or by cold-cranking current. Says which "
        "families of devices interrupt it at the circuit's highest voltage, and whether a family and a conductor stand it. Only a maker's "
        "figure makes a verdict sufficient.",
        examples=("fault-climbers-van", "fault-travelling-library"), get=True,
    ),
    Calculation(
        name="sharing", request=sharing.SharingRequest, answer=sharing.SharingAnswer,
        read=sharing.read, work=share_current, write=sharing.write,
        summary="How parallel units share a current",
        description="Currents and heat of each of 2 to 24 parallel units and of every link, with both leads at one end, with diagonal leads, "
        "or behind equal leads to bus bars; which unit and link run hottest, whether one unit's limit is passed, at what current of the "
        "bank that happens, and what the layout costs against bus bars.",
        examples=("sharing-climbers-van", "sharing-beekeepers-cabin"),
    ),
    Calculation(
        name="bonding", request=bonding.BondingRequest, answer=bonding_answer.BondingAnswer,
        read=bonding.read, work=judge_bonding, write=bonding_answer.write,
        summary="Neutral-earth bonds by mode, and bonding conductors",
        description="For each source in turn: where neutral and earth must meet, where they must not, how many bonds there are as described, "
        "and what to change or to find out. With the bonding and grounding conductors of the practice by rule, by the maker's instructions "
        "and by the short circuit that they have to stand. Where no rule was seen there is no figure.",
        examples=("bonding-travelling-library", "bonding-harbour-launch"),
    ),
    Calculation(
        name="bank", request=bank.BankRequest, answer=bank_answer.BankAnswer, read=bank.read, work=size_bank, write=bank_answer.write,
        summary="Size the bank",
        description="How many units in series and in parallel serve the energy, the currents and the charging that are asked, which "
        "demand governed, what the bank then gives new and at the end of its life, its voltages and currents with one string gone, "
        "and what becomes of units that are there already. Where the voltages of the equipment are given they set the series count, and the "
        "voltage under load is held above the cut-off. With years and cost of a delivered kilowatt-hour, the air that hydrogen needs, the depth "
        "that frost permits, and other chemistries for the same job and under the same label.",
        examples=("bank-climbers-van", "bank-beekeepers-cabin", "bank-horse-trailer"), get=True,
    ),
    Calculation(
        name="runtime", request=runtime.RuntimeRequest, answer=runtime.RuntimeAnswer,
        read=runtime.read, work=size_runtime, write=runtime.write,
        summary="How long loads run from a bank",
        description="Hours that a load or a set of loads runs from a bank that is there, new and at the end of its life, with a band and what "
        "makes it. By the clock over several days, with depth of discharge, temperature, rate (Peukert for lead-acid), the inverter's losses "
        "at part load and idle, and the cut-off under load. Loads that pass the current of the bank or the rating of the inverter are an "
        "outcome with the check that they fail.",
        examples=("runtime-climbers-van", "runtime-beekeepers-cabin", "runtime-horse-trailer"), get=True,
    ),
    Calculation(
        name="recharge", request=recharge.RechargeRequest, answer=recharge.RechargeAnswer,
        read=recharge.read, work=size_recharge, write=recharge.write,
        summary="How long a charge takes",
        description="Hours to a state of charge from any mix of shore, generator, alternator, array and steady supplies with the loads on, by the "
        "clock where supplies come and go: steady current up to what the bank, the cold and the supplies allow, then the fall of the current by "
        "chemistry. With a band, hours and fuel of a generator, energy lost, and the supplies that can never fill this bank said so.",
        examples=("recharge-beekeepers-cabin", "recharge-climbers-van", "recharge-horse-trailer"), get=True,
    ),
    Calculation(
        name="supplies", request=supply_set.SuppliesRequest, answer=supply_set_answer.SuppliesAnswer,
        read=supply_set.read, work=size_described, write=supply_set_answer.write,
        summary="What each supply carries and charges",
        description="For every shore service, generator and alternator: the current limit to program, legs and neutral with or without an adapter, "
        "what runs and what is dead, the drop of its cord, the charger and how far it is turned down, what the inverter adds, whether the bank "
        "walks down and when it is empty, the hours to full and the balance of the day; and all chargers together against the bank.",
        examples=("supplies-travelling-library", "supplies-climbers-van", "supplies-beekeepers-cabin"),
    ),
    Calculation(
        name="demand", request=demand.DemandRequest, answer=demand.DemandAnswer, read=demand.read, work=size_demand, write=demand.write,
        summary="Sum up the loads",
        description="Energy a day at the bank in each month, and by load in either half of the year, power and apparent power of what runs "
        "together, the largest start while the others run and a common restart, idle draw apart, converters for loads of another voltage or "
        "the buffer battery that they need, what must never be cut, what dominates and what a change would save. A load gives its power or "
        "names an appliance of the list.",
        examples=("demand-climbers-van", "demand-travelling-library", "demand-lighthouse"),
    ),
    Calculation(
        name="appliances", request=appliances.AppliancesRequest, answer=appliances.AppliancesAnswer,
        read=appliances.read, work=search, write=appliances.write,
        summary="Look for an appliance",
        description="The list of appliances that a load can name in place of its power: range and typical value, duty, hours, standby, power "
        "factor and start, each with its basis and source, twenty at a time.",
        examples=("appliances-pumps",), get=True, post=False,
    ),
    Calculation(
        name="inverter", request=inverter.InverterRequest, answer=inverter.InverterAnswer,
        read=inverter.read, work=size_inverter, write=inverter.write,
        summary="Choose or check an inverter",
        description="The smallest generic inverter whose continuous power, apparent power and surge, less what heat and altitude take, "
        "carry the loads, or a check of the one that is named. Says which of them decided, what the next smaller one fails, the direct "
        "current at the cut-off with its ripple and at the surge, and whether the transfer relay stands up to the breaker upstream. The start "
        "of a motor may be given as its plate says it, with its length against the surge of the inverter and the peak of the bank; two "
        "inverters may stand on two legs.",
        examples=("inverter-coach", "inverter-van-check", "inverter-air-conditioner", "inverter-two-legs"), get=True,
    ),
    Calculation(
        name="array", request=array.ArrayRequest, answer=array.ArrayAnswer, read=array.read, work=size_array, write=array.write,
        summary="Size the array and its strings",
        description="Watts from the month with the largest load over sun, whole modules, strings inside the controller's window at the "
        "coldest and the hottest, string fuses where the rules ask for them, the controllers and what they clip, what becomes of owned "
        "modules, and the balance of every month. A window that nothing fits is an answer with the nearest miss.",
        examples=("array-climbers-van", "array-beekeepers-cabin", "array-horse-trailer"), house_rules=array.house_rules,
    ),
)  # fmt: skip
