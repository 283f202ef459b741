"""Supplies, batteries, cable runs and loads: volts, currents and devices that protect them."""
