"""Arithmetic of starts: what a motor takes for a moment, and what that adds to the running load."""

from __future__ import annotations

from math import sqrt

from ...nomenclature import formula
from ...reference.citations import cite

_STARTS = cite("motor-manuals", "running load and the largest start")
_CODE_LETTERS = cite("nec-430-7")


@formula("start_va", cite=_STARTS)
def start_by_multiple(start_multiple: float, apparent_power_va: float) -> float:
    """Apparent power at the start, as a multiple of the running one.

    Valid: the multiple belongs to this kind of motor. Neglects: sag of the source. Errs: either.

    >>> start_by_multiple(3.0, 600.0)
    1800.0
    """
    return start_multiple * apparent_power_va


@formula("start_va", cite=_STARTS)
def start_by_locked_rotor(locked_rotor_a: float, voltage_v: float) -> float:
    """Apparent power at the start, from the nameplate's locked-rotor current.

    Valid: single phase at the nameplate's voltage. Neglects: sag of the source, which lowers it. Errs: high.

    >>> start_by_locked_rotor(70.0, 120.0)
    8400.0
    """
    return locked_rotor_a * voltage_v


@formula("start_va", cite=_CODE_LETTERS)
def start_by_code_letter(horsepower_hp: float, locked_rotor_kva_per_hp: float) -> float:
    """Apparent power at the start, from the nameplate's code letter and power.

    Valid: the upper end of the letter's band. Neglects: sag of the source. Errs: high.

    >>> start_by_code_letter(20.0, 6.29)
    125800.0
    """
    return horsepower_hp * locked_rotor_kva_per_hp * 1000


@formula("locked_rotor_a", cite=_CODE_LETTERS)
def locked_rotor_three_phase(start_va: float, voltage_v: float) -> float:
    """Locked-rotor current of a three-phase motor.

    Valid: line-to-line voltage. Neglects: sag of the source. Errs: high.

    >>> round(locked_rotor_three_phase(125800.0, 460.0), 1)
    157.9
    """
    return start_va / (sqrt(3) * voltage_v)


@formula("start_va", cite=cite("motor-manuals", "soft starters"))
def softened(start_va: float, soft_start_factor: float) -> float:
    """Apparent power at the start behind a soft starter; the running power stays as it was.

    Valid: electronic soft starter of a single-phase compressor. Neglects: the longer start. Errs: either.

    >>> softened(8400.0, 0.5)
    4200.0
    """
    return start_va * soft_start_factor


@formula("start_increment_va", cite=_STARTS)
def increment(start_va: float, apparent_power_va: float) -> float:
    """What a start adds to the load that is already running, the starting appliance among it.

    Valid: one appliance starts. Neglects: nothing. Errs: exact.

    >>> increment(3500.0, 1800.0)
    1700.0
    """
    return max(0, start_va - apparent_power_va)


@formula("start_increment_va", cite=_STARTS)
def increments_alike(start_increment_va: float, load_count: float) -> float:
    """What like appliances add when all of them start at once.

    Valid: common restart. Neglects: that starts rarely coincide to the instant. Errs: high.

    >>> increments_alike(1700.0, 2.0)
    3400.0
    """
    return start_increment_va * load_count


@formula("start_increment_va", cite=cite("design-arithmetic", "identity"))
def largest_increment(*start_increment_va: float) -> float:
    """The largest of several starts.

    Valid: starts do not coincide. Neglects: nothing. Errs: exact.

    >>> largest_increment(1700.0, 200.0)
    1700.0
    """
    return max(start_increment_va)


@formula("dc_bus_increment_w", cite=cite("design-arithmetic", "identity"))
def largest_bus_increment(*dc_bus_increment_w: float) -> float:
    """The largest of several starts at the direct-current bus.

    Valid: starts do not coincide. Neglects: nothing. Errs: exact.

    >>> largest_bus_increment(108.0, 20.0)
    108.0
    """
    return max(dc_bus_increment_w)


@formula("start_increment_va", cite=cite("design-arithmetic", "identity"))
def increments_together(*start_increment_va: float) -> float:
    """What several starts add when all happen at once.

    Valid: common restart. Neglects: phase. Errs: high.

    >>> increments_together(1700.0, 200.0)
    1900.0
    """
    return sum(start_increment_va)


@formula("surge_va", cite=_STARTS)
def surge(running_va: float, *start_increment_va: float) -> float:
    """Apparent power with the largest start while the others run.

    Valid: starts do not coincide. Neglects: phase between start and running load. Errs: high.

    >>> surge(3600.0, 1700.0, 200.0)
    5300.0
    """
    return running_va + max(start_increment_va)


@formula("surge_va", cite=_STARTS)
def surge_without_start(running_va: float) -> float:
    """Apparent power at its peak where nothing starts with more than it runs on.

    Valid: resistive and electronic loads. Neglects: inrush of less than 20 ms. Errs: low for that moment.

    >>> surge_without_start(3600.0)
    3600.0
    """
    return running_va


@formula("surge_va", cite=cite("motor-manuals", "everything starts at once"))
def common_restart(running_va: float, *start_increment_va: float) -> float:
    """Apparent power when everything that runs together starts at once.

    Valid: after a transfer or a low-voltage trip without staggered restart. Neglects: phase. Errs: high.

    >>> common_restart(3600.0, 1700.0, 1700.0)
    7000.0
    """
    return running_va + sum(start_increment_va)


@formula("surge_va", cite=cite("design-arithmetic", "identity"))
def largest_surge(*surge_va: float) -> float:
    """The largest of the groups that may run.

    Valid: groups exclude each other. Neglects: nothing. Errs: exact.

    >>> largest_surge(900.0, 1500.0)
    1500.0
    """
    return max(surge_va)


@formula("dc_surge_w", cite=cite("as-4509", "3.1.4 to 3.1.6"))
def direct_surge(dc_running_w: float, *dc_bus_increment_w: float) -> float:
    """Direct-current power with the largest start while the others run.

    Valid: starts do not coincide. Neglects: current limits of converters. Errs: high.

    >>> direct_surge(117.0, 108.0)
    225.0
    """
    return dc_running_w + max(dc_bus_increment_w)


@formula("dc_surge_w", cite=cite("as-4509", "3.1.4 to 3.1.6"))
def direct_surge_without_start(dc_running_w: float) -> float:
    """Direct-current power at its peak where nothing starts with more than it runs on.

    Valid: resistive and electronic loads. Neglects: inrush of less than 20 ms. Errs: low for that moment.

    >>> direct_surge_without_start(117.0)
    117.0
    """
    return dc_running_w


@formula("dc_surge_w", cite=cite("design-arithmetic", "identity"))
def largest_direct_surge(*dc_surge_w: float) -> float:
    """The largest of the groups that may run, direct current.

    Valid: groups exclude each other. Neglects: nothing. Errs: exact.

    >>> largest_direct_surge(225.0, 300.0)
    300.0
    """
    return max(dc_surge_w)
