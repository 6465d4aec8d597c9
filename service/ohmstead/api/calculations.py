"""The registry: one entry a calculation, and everything else follows from it."""

from __future__ import annotations

from .calculation import Calculation

CALCULATIONS: tuple[Calculation, ...] = ()
