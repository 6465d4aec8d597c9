"""Charge controllers: window, output current, clipping."""
