"""Overcurrent devices and grounding conductors."""
