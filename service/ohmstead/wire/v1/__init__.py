"""Shapes of version 1 of the interface, one module a calculation."""
