"""Recharge: how long supplies take to bring a bank to a state of charge with the loads on, and what never fills it."""
