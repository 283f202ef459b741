"""Power over Ethernet as circuit theory: what reaches the powered device through a channel.

The classes and their figures (IEEE 802.3 clauses 33 and 145) are table data and are passed in.
"""

from __future__ import annotations

from coaxwright.facts.physics.single_run import constant_power_volts


def pd_volts_for_load(load_watts: float, pse_volts: float, channel_ohm: float) -> float | None:
    """Volts at a device that draws a constant `load_watts`, the high root of V^2 - Vs V + R P; None when
    there is none."""
    return constant_power_volts(pse_volts, channel_ohm, load_watts)


def pse_watts_for_load(load_watts: float, pse_volts: float, channel_ohm: float) -> float | None:
    """Watts the PSE must give for a device drawing `load_watts`: load + I^2 R; None when no voltage carries
    it."""
    volts = pd_volts_for_load(load_watts, pse_volts, channel_ohm)
    return None if volts is None else pse_volts * load_watts / volts
