"""Loss along coaxial and paired cable by the cable's table, and the depth at which its current flows.

A cable's loss is its own table, interpolated and never extrapolated: near DC a clad centre loses far more
than any square-root law says. Not for what a receiver can equalise: that is the receiver's own figure.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence

from coaxwright.facts.physics.checks import finite, not_negative, positive
from coaxwright.facts.physics.conductors import COPPER_ALPHA_20
from coaxwright.portable import common_logarithm, logarithm, power

VACUUM_PERMEABILITY = 4.0e-7 * math.pi
"""H/m; the 2019 SI value differs by less than 1e-9."""

COPPER_CONDUCTIVITY = 58.0e6
"""S/m at 20 degC: IEC 60028."""

LOSS_ALPHA_20 = COPPER_ALPHA_20 / 2.0
"""1/K of attenuation: half of the resistance's, because loss follows the square root of resistivity; skin-
effect theory."""


def check_points(points: Sequence[tuple[float, float]]) -> None:
    """Refuse (ValueError) a loss table that is empty, not rising in frequency, or has figures that are not
    above zero."""
    if not points:
        raise ValueError("a loss table needs at least one point")
    before = 0.0
    for mhz, loss in points:
        positive("dB/100 m of a loss table", loss)
        if positive("MHz of a loss table", mhz) <= before:
            raise ValueError(f"a loss table must rise in frequency, but {mhz!r} MHz follows {before!r} MHz")
        before = mhz


def attenuation(points: Sequence[tuple[float, float]], mhz: float) -> float:
    """dB/100 m at `mhz` from a table of (MHz, dB/100 m) points, straight lines between them on log-log paper.

    ValueError outside the table, below as well as above, and for a table that `check_points` refuses where it
    is read. Between points the error is under 2 % for the tables of 5 MHz to 1 GHz tried (three-term fit).
    """
    position = bisect_left(points, (positive("mhz", mhz),))
    if position < len(points) and points[position][0] == mhz:
        return points[position][1]
    if position in (0, len(points)):
        check_points(points)
        raise ValueError(f"{mhz!r} MHz is outside the cable's table of {points[0][0]} to {points[-1][0]} MHz")
    (low, loss_low), (high, loss_high) = points[position - 1], points[position]
    if not (0.0 < low < high and loss_low > 0.0 and loss_high > 0.0):
        check_points(points)
    share = logarithm(mhz / low) / logarithm(high / low)
    return loss_low * power(loss_high / loss_low, share)


def temperature_factor(degc: float, alpha: float = LOSS_ALPHA_20) -> float:
    """How many times its loss at 20 degC a cable loses at `degc`: 1 + alpha (t - 20).

    alpha 0.00196 1/K for coax (half of copper's, skin-effect theory; 0.0018 common practice), 0.004 1/K for
    Cat 5e pair (TIA-568-C.2).
    """
    factor = 1.0 + not_negative("alpha", alpha) * (finite("degc", degc) - 20.0)
    if factor <= 0.0:
        raise ValueError(f"the linear temperature law does not hold at {degc!r} degC")
    return factor


PAIR_KNEE = 40.0
"""degC from which an unscreened pair loses more with each kelvin: TIA-568-C.2 clause 6.4.7."""
PAIR_ALPHA_HOT = 0.006
PAIR_ALPHA_SCREENED = 0.002
"""1/K above the knee, and of screened pairs throughout: TIA-568-C.2 clause 6.4.7."""


def pair_temperature_factor(degc: float, screened: bool = False, alpha: float = 0.004) -> float:
    """How many times its loss at 20 degC a cable of pairs loses at `degc`.

    TIA-568-C.2 clause 6.4.7: 0.4 %/K of the loss at 20 degC up to 40 degC and 0.6 %/K from there (stated to 60 degC),
    0.2 %/K for screened pairs. ValueError: not finite.
    """
    if screened:
        return temperature_factor(degc, PAIR_ALPHA_SCREENED)
    return temperature_factor(degc, alpha) + max(0.0, degc - PAIR_KNEE) * (PAIR_ALPHA_HOT - alpha)


def skin_depth(
    mhz: float, conductivity: float = COPPER_CONDUCTIVITY, relative_permeability: float = 1.0
) -> float:
    """Skin depth in mm: 1000 / sqrt(pi f mu sigma); field theory. `conductivity` in S/m."""
    permeability = VACUUM_PERMEABILITY * positive("relative_permeability", relative_permeability)
    return 1000.0 / math.sqrt(
        math.pi * positive("mhz", mhz) * 1.0e6 * permeability * positive("conductivity", conductivity)
    )


def ended_level(terminations: int) -> float:
    """dB of a picture on a line that so many inputs end, each as high as the source, against one: 20 lg(2 / (1 + n)).

    Circuit theory: n equal resistors in parallel behind a source of the same resistance. One 0, two -3.52, three -6.02, none
    +6.02 dB. ValueError: fewer than none.
    """
    if not 0 <= terminations < math.inf:
        raise ValueError(f"terminations must be 0 or more, not {terminations!r}")
    return 20.0 * common_logarithm(2.0 / (1.0 + terminations))
