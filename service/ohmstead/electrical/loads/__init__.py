"""Loads: energy a day at the bank, power that runs together, starts."""
