"""Arithmetic of charge controllers."""

from __future__ import annotations

from math import floor

from ...nomenclature import formula
from ...reference.citations import cite


@formula("controller_lowest_v", cite=cite("common-practice", "step-down controllers need more voltage than they give"))
def controller_lowest(charging_voltage_v: float, start_headroom_v: float) -> float:
    """String voltage below which the controller does not charge.

    Valid: controllers that step the voltage down. Neglects: the lower headroom of a running controller. Errs: high.

    >>> controller_lowest(14.5, 5.0)
    19.5
    """
    return charging_voltage_v + start_headroom_v


@formula("string_voltage_limit_v", cite=cite("nec-690-7", "690.7"))
def string_voltage_limit(controller_input_limit_v: float, voltage_limit_v: float) -> float:
    """Largest open-circuit voltage of a string: the controller's limit or the practice's, whichever is smaller.

    Valid: any. Neglects: nothing. Errs: exact.

    >>> string_voltage_limit(150.0, 600.0)
    150.0
    """
    return min(controller_input_limit_v, voltage_limit_v)


@formula("controller_output_a", cite=cite("design-arithmetic", "power in is power out"))
def controller_output(unit_array_power_w: float, controller_efficiency: float, bank_voltage_v: float) -> float:
    """Charging current that the nameplate power of one controller's modules can drive.

    Valid: maximum-power controllers. Neglects: heat, dirt, sun above 1000 W/m2. Errs: high on most days.

    >>> controller_output(600.0, 0.96, 12.0)
    48.0
    """
    return unit_array_power_w * controller_efficiency / bank_voltage_v


@formula("output_allowed_a", cite=cite("design-arithmetic", "definition of the clipped share"))
def output_allowed(controller_rating_a: float, clipping_limit: float) -> float:
    """Charging current at which just the allowed share of the nameplate power is clipped.

    Valid: any rating. Neglects: nothing. Errs: exact.

    >>> output_allowed(30.0, 0.25)
    40.0
    """
    return controller_rating_a / (1 - clipping_limit)


@formula("controller_output_a", cite=cite("nec-690-8", "690.8(A)(1)(a), output of a controller"))
def limited_output(controller_output_a: float, controller_rating_a: float) -> float:
    """Largest current of the output circuit: a controller limits itself to its rating.

    Valid: controllers that limit their output. Neglects: nothing. Errs: exact.

    >>> limited_output(48.0, 40.0)
    40.0
    """
    return min(controller_output_a, controller_rating_a)


@formula("clipped_fraction", cite=cite("design-arithmetic", "definition of the clipped share"))
def clipped(controller_output_a: float, controller_rating_a: float) -> float:
    """Share of the nameplate power that the controller cannot pass.

    Valid: full sun on cold modules. Neglects: that such hours are few. Errs: high.

    >>> clipped(50.0, 40.0)
    0.2
    """
    return max(0.0, 1 - controller_rating_a / max(controller_output_a, controller_rating_a))


@formula("module_bound", cite=cite("design-arithmetic", "power in is power out"))
def modules_by_output(output_allowed_a: float, bank_voltage_v: float, controller_efficiency: float, module_power_w: float) -> float:
    """Most modules whose nameplate power one controller passes.

    Valid: as `controller_output`; the factor is the one tolerance of comparisons. Neglects: as there. Errs: low.

    >>> modules_by_output(40.0, 12.0, 0.96, 100.0)
    5
    """
    return floor(1.000000001 * output_allowed_a * bank_voltage_v / (controller_efficiency * module_power_w))


@formula("parallel_bound", cite=cite("nec-690-8", "690.8(A)(1)"))
def parallel_by_input(controller_input_limit_a: float, irradiance_factor: float, short_circuit_a: float) -> float:
    """Most strings whose short-circuit current in bright sun the controller's input takes.

    Valid: makers' limits that mean the current itself; the factor is the one tolerance. Neglects: nothing. Errs: low.

    >>> parallel_by_input(30.0, 1.25, 6.0)
    4
    """
    return floor(1.000000001 * controller_input_limit_a / (irradiance_factor * short_circuit_a))


@formula("backfeed_a", cite=cite("nec-690-9", "690.9(A)"))
def backfeed(continuous_factor: float, controller_rating_a: float) -> float:
    """Current that a controller not listed against back-feed lets through from the bank.

    Valid: an output device of 1.25 times the rated output. Neglects: the next standard size above. Errs: low.

    >>> backfeed(1.25, 20.0)
    25.0
    """
    return continuous_factor * controller_rating_a
