"""What a conductor may carry and how warm its own current makes it.

Currents at 30 degC are table figures and passed in; here are the laws behind the correction factors and the rise.
Not for short circuits. Sizes and protection of conductors need review by a licensed electrician.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from coaxwright.facts.physics.checks import finite, not_negative, positive
from coaxwright.facts.physics.conductors import COPPER_ALPHA_20
from coaxwright.portable import power

REFERENCE_AIR = 30.0
"""degC of the air for which tables of currents hold: IEC 60364-5-52:2009 clause 523."""

PVC_LIMIT = 70.0
"""degC of a conductor in PVC: IEC 60364-5-52:2009 Table 52.1."""

IN_INSULATION = 0.5
"""Share of the current that a cable carries where thermal insulation surrounds it for half a metre or more: IEC
60364-5-52, from memory; common practice."""


def air_factor(points: Sequence[tuple[float, float]], air_degc: float) -> float:
    """Factor on a current at 30 degC, from (degC, factor) points rising in degC: squares on straight lines.

    The law is sqrt((Tc - Ta) / (Tc - 30)) with Tc the warmth the conductor may reach, and so linear in the square
    (IEC 60364-5-52 Table B.52.14 follows it within 0.01). The first point's factor below it, the last one's above.
    """
    air = finite("air_degc", air_degc)
    if air <= points[0][0]:
        return points[0][1]
    for (low, before), (high, after) in pairwise(points):
        if air <= high:
            share = (air - low) / (high - low)
            return math.sqrt(before * before + share * (after * after - before * before))
    return points[-1][1]


def metal_factor(resistance_factor: float) -> float:
    """Factor on copper's current for a metal of `resistance_factor` times copper's resistance: the same heat.

    1 / sqrt(factor); aluminium 1.639 turns 27, 36 and 46 A into 21, 28 and 36 A as IEC 60364-5-52 Tables B.52.10
    and B.52.11 have them.
    """
    return 1.0 / math.sqrt(positive("resistance_factor", resistance_factor))


def thermal_amps(size_mm2: float, resistance_factor: float = 1.0) -> float:
    """A that warm a conductor from 30 to 70 degC in conduit: 13.1 S^0.6, S in mm2; times metal_factor.

    Form of IEC 60364-5-52 annex D, method B2 (coefficients from memory): gives the table within 0.5 A from 1 mm2
    up; carried on below.
    """
    return 13.1 * power(positive("size_mm2", size_mm2), 0.6) * metal_factor(resistance_factor)


def current_rise(
    amps: float, amps_30: float, air_degc: float = REFERENCE_AIR, limit_degc: float = PVC_LIMIT, alpha: float = COPPER_ALPHA_20
) -> float:  # fmt: skip
    """K by which its own current warms a conductor: k (1 + alpha (Ta - 20)) / (1 - alpha k).

    k = (Tc - 30) / (1 + alpha (Tc - 20)) (I / I30)^2: heat grows with the square of the current and with resistance,
    and leaves in proportion to the rise; I30 brings the conductor from 30 degC to Tc. inf where it runs away. The
    thermal balance behind IEC 60364-5-52 and IEC 60287.
    """
    part = not_negative("amps", amps) / positive("amps_30", amps_30)
    limit = finite("limit_degc", limit_degc)
    k = (limit - REFERENCE_AIR) / (1.0 + positive("alpha", alpha) * (limit - 20.0)) * part * part
    left = 1.0 - alpha * k
    return k * (1.0 + alpha * (finite("air_degc", air_degc) - 20.0)) / left if left > 0.0 else math.inf
