"""Inverter: continuous and surge rating, current on the battery side, transfer relay."""
