"""What to buy and set: demand, inverter, bank."""

from __future__ import annotations

from ..electrical.inverter.model import Inverter, Rating
from ..electrical.loads.model import Demand, LoadLine
from ..electrical.solar.model import MONTHS
from ..electrical.storage.model import Bank
from .layout import heading, item, listed, paragraph, table, word
from .number import counted, down, exact, mass, near, percent, temperature, up
from .verdicts import demand, stands_in_the_way


def demand_lines(asked: Demand) -> list[str]:
    """Every load with its share, and what all of them ask together."""
    month = MONTHS[int(asked.heaviest_month)].capitalize()
    lines = heading(f"Demand: an average day in {month}, the heaviest month")
    lines += table(
        ("<load", "<fed", "no.", "W each", "W all", "VA all", "VA start", "Wh used", "at bank", "share"),
        [_load(line) for line in asked.loads],
    )
    lines.append("")
    lines += item("Day at the bank", f"{up(asked.day_energy_wh)} Wh, {up(asked.day_charge_ah, 1)} Ah"
                                     + (f", with {exact(asked.growth_factor)} times for growth" if asked.growth_factor != 1 else ""))
    if asked.idle_w is not None:
        lines += item("Idle inverter", f"{up(asked.idle_energy_wh)} Wh of it, for {up(asked.idle_w, 1)} W during {up(asked.idle_hours, 1)} h")
    if asked.inverter_efficiency is not None:
        lines += item("Losses", f"inverter passes on {percent(asked.inverter_efficiency)}, wiring {percent(asked.wiring_efficiency)}")
    if asked.running_va:
        lines += item("Together on AC", f"{up(asked.running_w)} W, {up(asked.running_va)} VA" + _start(asked))
        lines += item("All starting", f"{up(asked.restart_va)} VA if everything starts at once")
    if asked.dc_running_w:
        start = f"; {up(asked.dc_surge_w)} W when {asked.dc_start.id} starts" if asked.dc_start is not None else ""
        lines += item("Together on DC", f"{up(asked.dc_running_w)} W{start}")
    lines += item("From the bank", f"{up(asked.bank_running_w)} W when everything that runs together does")
    if asked.shore_va:
        lines += item("Shore only", f"{up(asked.shore_w)} W, {up(asked.shore_va)} VA")
    if asked.critical:
        lines += item("Never to be cut", f"{listed(asked.critical)}: {up(asked.critical_energy_wh)} Wh a day")
    if asked.dominant is not None:
        top = asked.dominant
        lines += item("Takes the most", f"{top.id}, {percent(top.energy_share)} of the day; half the use saves {down(top.saved_halved_wh)} Wh, "
                                        f"none {down(top.saved_without_wh)} Wh")
    return lines


def _load(line: LoadLine) -> tuple[str, ...]:
    return (
        line.id, line.current.upper() if line.on_bank else "shore", exact(line.load_count), up(line.load_power_w, 1), up(line.running_power_w, 1), up(line.apparent_power_va, 1),
        up(line.start_va), up(line.load_energy_wh), up(line.bank_energy_wh), percent(line.energy_share),
    )


def _start(asked: Demand) -> str:
    if asked.start is None:
        return ""
    return f"; {up(asked.surge_va)} VA when {asked.start.id} starts while the others run"


def inverter_lines(inverter: Inverter | None) -> list[str]:
    """The inverter: needed, chosen, which demand governed."""
    lines = heading("Inverter")
    if inverter is None:
        return lines + paragraph("None: nothing that the bank feeds needs one, or none is wanted.")
    needed = (f"{up(inverter.continuous_needed_w)} W and {up(inverter.apparent_needed_va)} VA without end; {up(inverter.surge_needed_va)} VA at the "
              "largest start")
    lines += item("Needed", needed)
    if inverter.rating is None:
        lines += item("NOT SIZED", stands_in_the_way(inverter.failed, inverter.why))
        if inverter.nearest is not None:
            lines += item("Nearest miss", _plate(inverter.nearest))
        return lines
    rating = inverter.rating
    lines += item("Yours" if rating.given else "Buy", _plate(rating))
    if inverter.outcome != "sized":
        lines += item("DOES NOT FIT", stands_in_the_way(inverter.failed, inverter.why))
    if inverter.rating_factor != 1:
        lines += item("Derated to", f"{percent(inverter.rating_factor)} by heat and height: {down(rating.derated_w)} W, {down(rating.derated_va)} VA, surge "
                                              f"{down(rating.derated_surge_va)} VA")
    lines += item("Governed by", word(inverter.governed_by))
    if inverter.smaller is not None and inverter.smaller.failed is not None:
        lines += item("Next smaller", f"{exact(inverter.smaller.inverter_rating_w)} W fails {demand(inverter.smaller.failed)}")
    lines += item("Idle draw", f"{up(rating.idle_w, 1)} W while switched on")
    lines += item("Cut-off", f"{exact(inverter.cut_off_v)} V as programmed")
    lines += item("From the bank", f"{up(rating.inverter_current_a, 1)} A at full power on the cut-off ({up(rating.ripple_current_a, 1)} A RMS with ripple), "
                                   f"{up(rating.surge_current_a, 1)} A at the largest start; efficiency {percent(inverter.inverter_efficiency)} at full power")
    if rating.transfer_rating_a is not None:
        lines += item("Transfer relay", f"{exact(rating.transfer_rating_a)} A")
    return lines


def _plate(rating: Rating) -> str:
    kind = "as named" if rating.given else "generic, confirm its data"
    return (f"{exact(rating.inverter_rating_w)} W, {exact(rating.inverter_rating_va)} VA, surge {exact(rating.inverter_surge_va)} VA ({kind})")


def bank_lines(bank: Bank) -> list[str]:
    """The bank: units, energy, what governed, voltages to set, limits."""
    lines = heading("Bank")
    unit = bank.unit
    if bank.outcome != "sized":
        lines += item("NOT SIZED", stands_in_the_way(bank.failed, bank.why))
    if unit is not None:
        label = "Units" if bank.outcome == "sized" else "Nearest miss"
        lines += item(label, f"{bank.units} x {unit.name}{' (generic, confirm its data)' if unit.generic else ''}: {bank.series} in series, "
                             f"{bank.parallel} in parallel")
        if bank.outcome == "sized":
            lines += item("To buy", f"{bank.new_units} of {bank.units}")
    for verdict in bank.owned:
        what = f"keep {verdict.kept}" if verdict.verdict == "keep" else f"refuse ({word(verdict.reason or '')})"
        lines += item(f"Owned batch {verdict.position + 1}", f"{what}. {verdict.why}")
    lines += _energy(bank)
    if bank.governed_by is not None:
        lines += item("Governed by", word(bank.governed_by))
    if bank.life_years is not None:
        lines += item("Cycling", f"{down(bank.life_years, 1)} years until worn out if every day takes the whole depth of discharge")
    if bank.mass_kg is not None:
        lines += item("Mass", mass(bank.mass_kg))
    return lines + _limits(bank)


def _energy(bank: Bank) -> list[str]:
    lines: list[str] = []
    need = bank.need
    if need is not None:
        lines += item("Needed", f"{up(need.energy_needed_wh)} Wh rated, for {counted(need.autonomy_days, 'day')} at {percent(need.depth_of_discharge, 1)} depth of "
                                f"discharge and {temperature(need.bank_temperature_c)}; ageing convention {word(need.convention)} "
                                f"(larger of {up(need.energy_larger_of_wh)} Wh, product {up(need.energy_product_wh)} Wh)")
        if need.steady_load_capacity_ah is not None:
            lines += item("Steady load", f"{up(need.steady_load_capacity_ah)} Ah rated, by Peukert's relation")
    if bank.capacity_ah is not None and bank.rated_energy_wh is not None:
        lines += item("Rated", f"{exact(bank.capacity_ah)} Ah, {down(bank.rated_energy_wh)} Wh")
    if bank.usable_energy_wh is not None and bank.usable_energy_aged_wh is not None:
        lines += item("Usable", f"{down(bank.usable_energy_wh)} Wh new, {down(bank.usable_energy_aged_wh)} Wh at the end of life")
    if bank.autonomy_days is not None and bank.autonomy_aged_days is not None:
        lines += item("Lasts", f"{down(bank.autonomy_days, 1)} days new, {down(bank.autonomy_aged_days, 1)} days at the end of life, without charging")
    return lines


def _limits(bank: Bank) -> list[str]:
    lines: list[str] = []
    volts, amps = bank.voltages, bank.currents
    if amps is not None:
        lines += item("Gives", f"{down(amps.continuous_a, 1)} A without end, {down(amps.peak_a, 1)} A for a start, {down(amps.one_string_gone_a, 1)} A "
                               "with one string gone")
        floor = f"; at least {up(amps.charge_floor_a, 1)} A, or it never becomes full" if amps.charge_floor_a is not None else ""
        lines += item("Charge limit", f"{down(amps.charge_limit_a, 1)} A, all chargers together{floor}")
    if volts is not None:
        rest = f"float {near(volts.float_v, 2)} V" if volts.float_v is not None else "no float"
        slope = f"; {near(1000 * float(volts.compensation_v_per_k), 0)} mV per K above 25 °C" if volts.compensation_v_per_k else ""
        lines += item("Set", f"absorption {near(volts.absorption_v, 2)} V, {rest}{slope}; loads off at {near(volts.load_disconnect_v, 2)} V")
        lines += item("Between", f"{near(volts.end_v, 2)} V empty and {near(volts.highest_v, 2)} V, the highest that its circuits see")
    if bank.lock_out_below_c is not None:
        lines += item("Lock-out", f"no charging below {temperature(bank.lock_out_below_c)} at the bank; every charger has to obey")
    if bank.fault is not None:
        proven = "the maker's figure" if bank.fault.proven else "an upper bound, not the maker's figure"
        lines += item("Short circuit", f"{up(bank.fault.current_a)} A at the posts ({proven})")
    return lines
