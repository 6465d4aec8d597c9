"""Conductors: ampacity, terminals, voltage drop, parallel sets."""
