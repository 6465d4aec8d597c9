"""Arithmetic of inverters: what the loads need, what heat and altitude leave, current on the battery side."""

from __future__ import annotations

from math import ceil

from ...nomenclature import formula
from ...reference.citations import cite

_MARGIN = cite("inverter-literature", "margin on the loads that run together")
_DERATING = cite("inverter-literature", "heat and altitude", basis="recalled")
_IDENTITY = cite("design-arithmetic", "identity")
_MODIFIED = cite("common-practice", "motors on a modified sine")


@formula("running_power_w", cite=_IDENTITY)
def running_at_least(running_power_w: float, largest_load_w: float) -> float:
    """Power of the loads that run together, never less than the largest of them.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> running_at_least(900.0, 1500.0)
    1500.0
    """
    return max(running_power_w, largest_load_w)


@formula("running_va", cite=_IDENTITY)
def apparent_from_factor(running_power_w: float, power_factor: float) -> float:
    """Apparent power of the loads that run together.

    Valid: one power factor for all. Neglects: harmonics beyond it. Errs: either.

    >>> apparent_from_factor(2800.0, 0.8)
    3500.0
    """
    return running_power_w / power_factor


@formula("running_va", cite=_IDENTITY)
def apparent_at_least(running_va: float, running_power_w: float) -> float:
    """Apparent power, which is never below the real one.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> apparent_at_least(900.0, 1000.0)
    1000.0
    """
    return max(running_va, running_power_w)


@formula("power_factor", cite=_IDENTITY)
def power_factor_of(running_power_w: float, running_va: float) -> float:
    """Power factor of the loads that run together.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> power_factor_of(900.0, 1000.0)
    0.9
    """
    return running_power_w / running_va


@formula("running_power_w", cite=_MODIFIED)
def power_on_modified_sine(running_power_w: float, modified_sine_factor: float) -> float:
    """Power of loads with motors among them on a modified sine.

    Valid: all of it motors. Neglects: that only the motors draw more. Errs: high.

    >>> power_on_modified_sine(1000.0, 1.3)
    1300.0
    """
    return running_power_w * modified_sine_factor


@formula("running_va", cite=_MODIFIED)
def apparent_on_modified_sine(running_va: float, modified_sine_factor: float) -> float:
    """Apparent power of loads with motors among them on a modified sine.

    Valid: all of it motors. Neglects: that only the motors draw more. Errs: high.

    >>> apparent_on_modified_sine(1000.0, 1.3)
    1300.0
    """
    return running_va * modified_sine_factor


@formula("surge_va", cite=_IDENTITY)
def larger_surge(*surge_va: float) -> float:
    """The larger of several surges that do not coincide.

    Valid: one start at a time. Neglects: nothing. Errs: exact.

    >>> larger_surge(5300.0, 4000.0)
    5300.0
    """
    return max(surge_va)


@formula("continuous_needed_w", cite=_MARGIN)
def continuous_needed(sizing_margin: float, running_power_w: float) -> float:
    """Continuous rating that the inverter needs.

    Valid: power drawn, not power given by the appliance. Neglects: nothing. Errs: high by the margin.

    >>> continuous_needed(1.25, 1500.0)
    1875.0
    """
    return sizing_margin * running_power_w


@formula("apparent_needed_va", cite=_MARGIN)
def apparent_needed(sizing_margin: float, running_va: float) -> float:
    """Apparent-power rating that the inverter needs.

    Valid: any power factor. Neglects: nothing. Errs: high by the margin.

    >>> apparent_needed(1.25, 1600.0)
    2000.0
    """
    return sizing_margin * running_va


@formula("surge_needed_va", cite=cite("motor-manuals", "running load and the largest start"))
def surge_needed(surge_va: float, running_va: float) -> float:
    """Surge rating that the inverter needs: never below the running load.

    Valid: the surge of the inverter lasts as long as the start. Neglects: that duration. Errs: low if it is shorter.

    >>> surge_needed(5300.0, 3600.0)
    5300.0
    """
    return max(surge_va, running_va)


@formula("rating_factor", cite=_DERATING)
def rating_factor(
    inverter_temperature_c: float, derate_start_c: float, derate_per_k: float,
    altitude_m: float, derate_start_m: float, derate_per_m: float,
) -> float:
    """Share of an inverter's rating left by heat and thin air; the two losses multiply.

    Valid: air-cooled inverters up to the temperature at which they shut down. Neglects: dust, blocked vents. Errs: either.

    >>> rating_factor(45.0, 25.0, 0.01, 2000.0, 1000.0, 0.0001)
    0.7200000000000001
    """
    return (
        max(0, 1 - derate_per_k * max(0, inverter_temperature_c - derate_start_c))
        * max(0, 1 - derate_per_m * max(0, altitude_m - derate_start_m))
    )


@formula("inverter_rating_w", cite=_DERATING)
def rating_to_look_for(continuous_needed_w: float, rating_factor: float) -> float:
    """Continuous rating of the plate that leaves what is needed.

    Valid: a factor above nought. Neglects: nothing. Errs: exact.

    >>> rating_to_look_for(1700.0, 0.85)
    2000.0
    """
    return continuous_needed_w / rating_factor


@formula("inverter_rating_va", cite=_DERATING)
def apparent_to_look_for(apparent_needed_va: float, rating_factor: float) -> float:
    """Apparent-power rating of the plate that leaves what is needed.

    Valid: a factor above nought. Neglects: nothing. Errs: exact.

    >>> apparent_to_look_for(1700.0, 0.85)
    2000.0
    """
    return apparent_needed_va / rating_factor


@formula("inverter_surge_va", cite=_DERATING)
def surge_to_look_for(surge_needed_va: float, rating_factor: float) -> float:
    """Surge rating of the plate that leaves what is needed.

    Valid: a factor above nought. Neglects: nothing. Errs: high; the surge suffers less than the continuous rating.

    >>> surge_to_look_for(1700.0, 0.85)
    2000.0
    """
    return surge_needed_va / rating_factor


@formula("derated_w", cite=_DERATING)
def derated_power(inverter_rating_w: float, rating_factor: float) -> float:
    """Continuous power left by heat and altitude.

    Valid: air-cooled inverters. Neglects: nothing. Errs: either.

    >>> derated_power(2000.0, 0.85)
    1700.0
    """
    return inverter_rating_w * rating_factor


@formula("derated_va", cite=_DERATING)
def derated_apparent(inverter_rating_va: float, rating_factor: float) -> float:
    """Apparent power left by heat and altitude.

    Valid: air-cooled inverters. Neglects: nothing. Errs: either.

    >>> derated_apparent(2000.0, 0.85)
    1700.0
    """
    return inverter_rating_va * rating_factor


@formula("derated_surge_va", cite=_DERATING)
def derated_surge(inverter_surge_va: float, rating_factor: float) -> float:
    """Surge left by heat and altitude.

    Valid: air-cooled inverters. Neglects: that a short surge suffers less. Errs: low.

    >>> derated_surge(4000.0, 0.85)
    3400.0
    """
    return inverter_surge_va * rating_factor


@formula("inverter_rating_va", cite=_IDENTITY)
def apparent_rating(inverter_rating_w: float, rating_power_factor: float) -> float:
    """Apparent-power rating of an inverter of which only the watts are known.

    Valid: rating at that power factor. Neglects: nothing. Errs: low at a factor of one.

    >>> apparent_rating(2400.0, 0.8)
    3000.0
    """
    return inverter_rating_w / rating_power_factor


@formula("inverter_surge_va", cite=cite("inverter-literature", "surge over continuous rating", basis="recalled"))
def surge_rating(inverter_rating_va: float, surge_ratio: float) -> float:
    """Surge rating of an inverter of which only the continuous rating is known.

    Valid: starts of about a second. Neglects: how long the surge lasts. Errs: either.

    >>> surge_rating(2000.0, 2.0)
    4000.0
    """
    return inverter_rating_va * surge_ratio


@formula("surge_current_a", cite=_IDENTITY)
def surge_current(surge_needed_va: float, inverter_efficiency: float, cut_off_v: float) -> float:
    """Direct current during the surge, on the cut-off voltage.

    Valid: volt-amperes taken as watts. Neglects: the poor power factor of a start. Errs: high.

    >>> surge_current(4200.0, 0.8, 10.5)
    500.0
    """
    return surge_needed_va / (inverter_efficiency * cut_off_v)


@formula("stacked_units", cite=_IDENTITY)
def stack_for(
    continuous_needed_w: float, derated_w: float, apparent_needed_va: float, derated_va: float,
    surge_needed_va: float, derated_surge_va: float,
) -> float:
    """Inverters of one rating that together carry the load.

    Valid: units made to work together. Neglects: uneven sharing. Errs: low if they share badly.

    >>> stack_for(5000.0, 2550.0, 5600.0, 2550.0, 9000.0, 5100.0)
    3
    """
    return ceil(max(continuous_needed_w / derated_w, apparent_needed_va / derated_va, surge_needed_va / derated_surge_va) - 1e-9)


@formula("bank_running_a", cite=_IDENTITY)
def running_current(running_power_w: float, inverter_efficiency: float, cut_off_v: float) -> float:
    """Direct current while the loads run, on the cut-off voltage.

    Valid: efficiency at that power. Neglects: direct-current loads beside. Errs: high at part load.

    >>> running_current(840.0, 0.8, 10.5)
    100.0
    """
    return running_power_w / (inverter_efficiency * cut_off_v)


@formula("idle_share", cite=cite("inverter-literature", "standby consumption"))
def idle_share(idle_energy_wh: float, bank_usable_wh: float) -> float:
    """Share of the usable bank that the idle inverter takes in a day.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> idle_share(960.0, 2000.0)
    0.48
    """
    return idle_energy_wh / bank_usable_wh


@formula("advised_current_a", cite=_IDENTITY)
def advised_current(
    inverter_rating_w: float, inverter_efficiency: float, cut_off_v: float, nominal_voltage_v: float, advised_voltage_v: float,
) -> float:
    """Direct current at full power on another system voltage, its cut-off in proportion.

    Valid: the same cells, more of them in series. Neglects: other efficiency of the other inverter. Errs: either, by a few percent.

    >>> advised_current(4200.0, 0.8, 10.5, 12.0, 24.0)
    250.0
    """
    return inverter_rating_w * nominal_voltage_v / (inverter_efficiency * cut_off_v * advised_voltage_v)
