"""Arithmetic of loads that run together: power, apparent power, what the bank gives."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_AUDIT = cite("as-4509", "3.1.4 to 3.1.6")
_ORDER = cite("inverter-literature", "order of losses: appliance, inverter, wiring")
_IDENTITY = cite("design-arithmetic", "identity")


@formula("running_power_w", cite=_AUDIT)
def running_together(*alike_power_w: float) -> float:
    """Power of the loads that run together.

    Valid: any. Neglects: that thermostats rarely coincide. Errs: high.

    >>> running_together(1800.0, 1800.0)
    3600.0
    """
    return sum(alike_power_w)


@formula("running_va", cite=_AUDIT)
def apparent_together(*apparent_power_va: float) -> float:
    """Apparent power of the loads that run together, added as plain numbers.

    Valid: any mix; harmonics do not add as phasors. Neglects: phase between the loads. Errs: high.

    >>> apparent_together(600.0, 100.0)
    700.0
    """
    return sum(apparent_power_va)


@formula("running_power_w", cite=_IDENTITY)
def largest_running(*running_power_w: float) -> float:
    """The largest of the groups that may run.

    Valid: groups exclude each other. Neglects: nothing. Errs: exact.

    >>> largest_running(900.0, 1500.0)
    1500.0
    """
    return max(running_power_w)


@formula("running_va", cite=_IDENTITY)
def largest_apparent(*running_va: float) -> float:
    """The largest of the groups that may run, by apparent power.

    Valid: groups exclude each other. Neglects: nothing. Errs: exact.

    >>> largest_apparent(900.0, 1500.0)
    1500.0
    """
    return max(running_va)


@formula("load_power_w", cite=_IDENTITY)
def largest_single(*load_power_w: float) -> float:
    """The largest single load.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> largest_single(900.0, 1500.0)
    1500.0
    """
    return max(load_power_w)


@formula("dc_bus_power_w", cite=_ORDER)
def bus_power(alike_power_w: float) -> float:
    """Power at the direct-current bus of loads on the system's own voltage.

    Valid: no converter. Neglects: wiring, which is counted for all together. Errs: exact.

    >>> bus_power(120.0)
    120.0
    """
    return alike_power_w


@formula("dc_bus_power_w", cite=_ORDER)
def bus_power_converted(alike_power_w: float, converter_efficiency: float) -> float:
    """Power at the direct-current bus of loads behind a converter.

    Valid: load on another voltage. Neglects: the converter's idle draw. Errs: low at light load.

    >>> bus_power_converted(90.0, 0.9)
    100.0
    """
    return alike_power_w / converter_efficiency


@formula("dc_bus_increment_w", cite=_ORDER)
def bus_increment(start_increment_va: float) -> float:
    """What a start adds at the direct-current bus where the load is on the system's own voltage.

    Valid: no converter. Neglects: wiring. Errs: exact.

    >>> bus_increment(108.0)
    108.0
    """
    return start_increment_va


@formula("dc_bus_increment_w", cite=_ORDER)
def bus_increment_converted(start_increment_va: float, converter_efficiency: float) -> float:
    """What a start adds at the direct-current bus behind a converter.

    Valid: the converter passes the start. Neglects: its current limit. Errs: high where it limits.

    >>> bus_increment_converted(90.0, 0.9)
    100.0
    """
    return start_increment_va / converter_efficiency


@formula("dc_running_w", cite=_AUDIT)
def direct_together(*dc_bus_power_w: float) -> float:
    """Direct-current power of the loads that run together.

    Valid: any. Neglects: that thermostats rarely coincide. Errs: high.

    >>> direct_together(45.0, 72.0)
    117.0
    """
    return sum(dc_bus_power_w)


@formula("dc_running_w", cite=_IDENTITY)
def largest_direct(*dc_running_w: float) -> float:
    """The largest of the groups that may run, direct current.

    Valid: groups exclude each other. Neglects: nothing. Errs: exact.

    >>> largest_direct(45.0, 117.0)
    117.0
    """
    return max(dc_running_w)


@formula("bank_running_w", cite=_ORDER)
def bank_running(running_power_w: float, inverter_efficiency: float, dc_running_w: float, wiring_efficiency: float) -> float:
    """Power that the bank gives when everything that runs together does.

    Valid: average efficiency; the current at the cut-off is worked out with the inverter. Neglects: idle draw. Errs: low.

    >>> bank_running(900.0, 0.9, 170.0, 1.0)
    1170.0
    """
    return (running_power_w / inverter_efficiency + dc_running_w) / wiring_efficiency


@formula("bank_running_w", cite=_ORDER)
def bank_running_direct(dc_running_w: float, wiring_efficiency: float) -> float:
    """Power that the bank gives when every direct-current load that runs together does.

    Valid: nothing hangs on the inverter. Neglects: nothing. Errs: either.

    >>> bank_running_direct(97.0, 0.97)
    100.0
    """
    return dc_running_w / wiring_efficiency


@formula("bank_running_w", cite=_IDENTITY)
def largest_bank_running(*bank_running_w: float) -> float:
    """The largest of the groups that may run, at the bank.

    Valid: groups exclude each other. Neglects: nothing. Errs: exact.

    >>> largest_bank_running(900.0, 1170.0)
    1170.0
    """
    return max(bank_running_w)
