"""Prospective short-circuit current."""
