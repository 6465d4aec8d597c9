"""Arithmetic of loads behind a converter: what it has to carry and to start, what it takes for being on."""

from __future__ import annotations

from ...nomenclature import formula
from ...reference.citations import cite

_AUDIT = cite("as-4509", "3.1.4 to 3.1.6")
_PRACTICE = cite("common-practice", "converters for loads of another voltage")
_IDENTITY = cite("design-arithmetic", "identity")


@formula("output_running_w", cite=_AUDIT)
def output_together(*alike_power_w: float) -> float:
    """Power behind a converter of the loads that run together.

    Valid: any. Neglects: that pumps rarely coincide. Errs: high.

    >>> output_together(45.0, 72.0)
    117.0
    """
    return sum(alike_power_w)


@formula("output_running_w", cite=_IDENTITY)
def largest_output(*output_running_w: float) -> float:
    """The largest of the groups that may run behind a converter.

    Valid: groups exclude each other. Neglects: nothing. Errs: exact.

    >>> largest_output(45.0, 117.0)
    117.0
    """
    return max(output_running_w)


@formula("output_surge_w", cite=_AUDIT)
def output_surge(output_running_w: float, *start_increment_va: float) -> float:
    """Power behind a converter with the largest start while the others run.

    Valid: starts do not coincide. Neglects: nothing. Errs: either.

    >>> output_surge(117.0, 108.0)
    225.0
    """
    return output_running_w + max(start_increment_va)


@formula("output_surge_w", cite=_IDENTITY)
def output_without_start(output_running_w: float) -> float:
    """The same where nothing starts with more than it runs on.

    Valid: resistive and electronic loads. Neglects: inrush of less than 20 ms. Errs: low for that moment.

    >>> output_without_start(117.0)
    117.0
    """
    return output_running_w


@formula("output_surge_w", cite=_IDENTITY)
def largest_output_surge(*output_surge_w: float) -> float:
    """The largest of the groups that may run behind a converter, with its start.

    Valid: groups exclude each other. Neglects: nothing. Errs: exact.

    >>> largest_output_surge(225.0, 300.0)
    300.0
    """
    return max(output_surge_w)


@formula("converter_needed_a", cite=_PRACTICE)
def converter_needed(converter_margin: float, output_running_w: float, nominal_voltage_v: float) -> float:
    """Rated output that a converter needs for what runs on it.

    Valid: output at its nominal voltage. Neglects: nothing. Errs: high by the margin.

    >>> converter_needed(1.25, 96.0, 12.0)
    10.0
    """
    return converter_margin * output_running_w / nominal_voltage_v


@formula("converter_start_a", cite=_IDENTITY)
def converter_start(output_surge_w: float, nominal_voltage_v: float) -> float:
    """Output at the largest start while the others run.

    Valid: output at its nominal voltage. Neglects: nothing. Errs: either.

    >>> converter_start(240.0, 12.0)
    20.0
    """
    return output_surge_w / nominal_voltage_v


@formula("converter_output_a", cite=_PRACTICE)
def converter_output(converter_needed_a: float, converter_start_a: float, converter_peak_ratio: float) -> float:
    """Rated output that carries what runs and starts what starts.

    Valid: a ratio above nought. Neglects: how long the start lasts. Errs: high.

    >>> converter_output(7.5, 18.0, 1.5), converter_output(15.0, 18.0, 1.5)
    (12.0, 15.0)
    """
    return max(converter_needed_a, converter_start_a / converter_peak_ratio)


@formula("converter_peak_a", cite=_PRACTICE)
def converter_peak(converter_output_a: float, converter_peak_ratio: float) -> float:
    """Peak output of a converter.

    Valid: a ratio that the maker states, or one. Neglects: how long the peak lasts. Errs: low at one.

    >>> converter_peak(20.0, 1.5)
    30.0
    """
    return converter_output_a * converter_peak_ratio


@formula("converter_idle_energy_wh", cite=_IDENTITY)
def converter_idle_energy(converter_idle_w: float, load_count: float) -> float:
    """Energy a day that converters take for being on.

    Valid: on all day. Neglects: a remote switch. Errs: high.

    >>> converter_idle_energy(2.0, 3.0)
    144.0
    """
    return converter_idle_w * load_count * 24


@formula("converter_idle_energy_wh", cite=_IDENTITY)
def converters_idle_energy(*converter_idle_energy_wh: float) -> float:
    """Energy a day that all converters take for being on.

    Valid: on all day. Neglects: remote switches. Errs: high.

    >>> converters_idle_energy(48.0, 96.0)
    144.0
    """
    return sum(converter_idle_energy_wh)


@formula("output_energy_wh", cite=_AUDIT)
def output_energy(*load_energy_wh: float) -> float:
    """Energy a day of the loads behind one converter.

    Valid: any. Neglects: losses. Errs: either, with the hours.

    >>> output_energy(120.0, 200.0)
    320.0
    """
    return sum(load_energy_wh)


@formula("output_energy_wh", cite=_IDENTITY)
def largest_output_energy(*output_energy_wh: float) -> float:
    """The same on the day that needs most.

    Valid: days that differ. Neglects: nothing. Errs: exact.

    >>> largest_output_energy(320.0, 300.0)
    320.0
    """
    return max(output_energy_wh)


@formula("feed_needed_a", cite=_PRACTICE)
def feed_needed(converter_margin: float, output_energy_wh: float, nominal_voltage_v: float) -> float:
    """Charging current that brings a day's energy back to a buffer battery within a day.

    Valid: a charger that is on all day. Neglects: taper of the charge. Errs: either; the margin stands against it.

    >>> feed_needed(1.25, 2304.0, 12.0)
    10.0
    """
    return converter_margin * output_energy_wh / (24 * nominal_voltage_v)
