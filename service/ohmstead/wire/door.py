"""Where numbers of a request enter the calculation: converted, and traced when the working was asked for."""

from __future__ import annotations

from ..nomenclature import TERMS
from ..working import Given, Traced
from .problems import Fault, Problem
from .quantities import Quantity


class Door:
    """Takes numbers in. A plain door hands out floats; a traced one numbers that know their place in the request."""

    __slots__ = ("traced",)

    def __init__(self, traced: bool = False):
        self.traced = traced

    def quantity(self, given: Quantity | None, term: str, base: str, field: str) -> float | None:
        """A quantity in the service's unit; None stays None. Raises Problem outside the physical bounds."""
        if given is None:
            return None
        num, add, den = given.factors[given.unit]
        value = (given.value * num + add) / den
        if given.physical is not None and not given.physical[0] <= value <= given.physical[1]:
            raise Problem("cannot-be-calculated", faults=[outside(given, f"{base}/{field}")])
        if self.traced:
            if TERMS[term].unit != given.service:
                raise TypeError(f"{term} is in {TERMS[term].unit}, {type(given).__name__} comes in {given.service}")
            return Traced(value, TERMS[term], Given(f"{base}/{field}"))
        return value

    def number(self, given: float | None, term: str, base: str, field: str) -> float | None:
        """A count, a fraction or a ratio as it is; None stays None."""
        if given is None:
            return None
        if self.traced:
            return Traced(float(given), TERMS[term], Given(f"{base}/{field}"))
        return float(given)


def outside(given: Quantity, pointer: str) -> Fault:
    """The fault of a quantity beyond the physical bounds of its kind."""
    low, high = given.physical
    sent = f"{given.value:g} {given.unit}"
    return Fault("outside-physical-bounds", f"{sent} is outside {low:g} to {high:g} {given.service}", pointer)
