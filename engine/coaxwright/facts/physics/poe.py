"""Power over Ethernet as circuit theory: what reaches the powered device through a channel.

The classes and their figures (IEEE 802.3 clauses 33 and 145) are table data and are passed in.
"""

from __future__ import annotations

from coaxwright.facts.physics.checks import not_negative, positive
from coaxwright.facts.physics.single_run import constant_power_volts


def pd_watts(pse_watts: float, pse_volts: float, channel_ohm: float) -> float:
    """Watts left at the powered device: P - (P/V)^2 R.

    With the PSE's least power and volts and the class's channel resistance this gives every published class
    figure of IEEE 802.3-2022 clauses 33 and 145. ValueError when the PSE's current would need more volts than
    there are to push it through the channel at the operating (high-voltage) point.
    """
    pd_volts(pse_watts, pse_volts, channel_ohm)
    return pse_watts - (pse_watts / pse_volts) ** 2 * channel_ohm


def pd_volts(pse_watts: float, pse_volts: float, channel_ohm: float) -> float:
    """Volts at the powered device when the PSE delivers `pse_watts`: V - (P/V) R; IEEE 802.3-2022 clause 145.
    """
    current = not_negative("pse_watts", pse_watts) / positive("pse_volts", pse_volts)
    volts = pse_volts - current * not_negative("channel_ohm", channel_ohm)
    if volts < pse_volts / 2.0:
        raise ValueError(f"{pse_watts!r} W at {pse_volts!r} V cannot be carried through {channel_ohm!r} ohm")
    return volts


def pd_volts_for_load(load_watts: float, pse_volts: float, channel_ohm: float) -> float | None:
    """Volts at a device that draws a constant `load_watts`, the high root of V^2 - Vs V + R P; None when
    there is none."""
    return constant_power_volts(pse_volts, channel_ohm, load_watts)


def pse_watts_for_load(load_watts: float, pse_volts: float, channel_ohm: float) -> float | None:
    """Watts the PSE must give for a device drawing `load_watts`: load + I^2 R; None when no voltage carries
    it."""
    volts = pd_volts_for_load(load_watts, pse_volts, channel_ohm)
    return None if volts is None else pse_volts * load_watts / volts


def channel_resistance(conductor_ohm_per_m: float, length_m: float, powered_pairs: int) -> float:
    """Loop ohm of a channel: each pair's two wires in parallel, half the pairs each way: 2 r L /
    powered_pairs.

    2 powered pairs give r L, 4 give r L / 2. TIA-568.2-D allows 9.38 ohm/100 m a conductor at 20 degC.
    """
    if powered_pairs not in (2, 4):
        raise ValueError(f"powered_pairs must be 2 or 4, not {powered_pairs!r}")
    run = not_negative("conductor_ohm_per_m", conductor_ohm_per_m) * not_negative("length_m", length_m)
    return 2.0 * run / powered_pairs


def resistance_unbalance(first_ohm: float, second_ohm: float) -> float:
    """Unbalance of the two wires of a pair as a fraction: |a - b| / (a + b); IEEE 802.3 (from memory)."""
    total = positive("first_ohm", first_ohm) + positive("second_ohm", second_ohm)
    return abs(first_ohm - second_ohm) / total
