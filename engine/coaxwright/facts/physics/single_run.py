"""One load at the end of one run, solved in closed form: its volts, and the most it can carry. Trees: see
power_network.

A load that draws constant power has two mathematical answers; only the high-voltage one is an operating point
(Jeeninga, De Persis, van der Schaft, arXiv 2010.01076), and past V^2 / 4R there is none.
"""

from __future__ import annotations

import math

from coaxwright.facts.physics.checks import not_negative, positive


def constant_power_volts(source_volts: float, loop_ohm: float, watts: float) -> float | None:
    """Volts at a load drawing constant `watts`: (V0 + sqrt(V0^2 - 4 R P)) / 2, None when P > V0^2 / 4R.

    The other root of V^2 - V0 V + R P = 0 is unstable and never returned. Circuit theory.
    """
    source = positive("source_volts", source_volts)
    discriminant = source * source - 4.0 * not_negative("loop_ohm", loop_ohm) * not_negative("watts", watts)
    return None if discriminant < 0.0 else (source + math.sqrt(discriminant)) / 2.0


def most_watts(source_volts: float, loop_ohm: float) -> float:
    """Most constant power that a run can carry at all: V0^2 / 4R, at half the source volts; inf for no
    resistance."""
    source = positive("source_volts", source_volts)
    return math.inf if not_negative("loop_ohm", loop_ohm) == 0.0 else source * source / (4.0 * loop_ohm)
