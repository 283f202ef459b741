"""Loss along coaxial and paired cable, mismatch, reach, and the theory behind a cable's table.

A cable's loss is its own table, interpolated and never extrapolated: near DC a clad centre loses far more
than any square-root law says. Not for what a receiver can equalise: that is the receiver's own figure.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Sequence

from coaxwright.facts.physics.checks import finite, not_negative, positive
from coaxwright.facts.physics.conductors import COPPER_ALPHA_20

LIGHT_SPEED = 299_792_458.0
"""m/s in vacuum: SI definition."""

VACUUM_PERMEABILITY = 4.0e-7 * math.pi
"""H/m; the 2019 SI value differs by less than 1e-9."""

COPPER_CONDUCTIVITY = 58.0e6
"""S/m at 20 degC: IEC 60028."""

LOSS_ALPHA_20 = COPPER_ALPHA_20 / 2.0
"""1/K of attenuation: half of the resistance's, because loss follows the square root of resistivity; skin-
effect theory."""

DB_PER_NEPER = 20.0 / math.log(10.0)


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
    share = math.log(mhz / low) / math.log(high / low)
    return float(loss_low * (loss_high / loss_low) ** share)


def loss_at_temperature(loss_20: float, degc: float, alpha: float = LOSS_ALPHA_20) -> float:
    """Loss at `degc` from that at 20 degC: loss (1 + alpha (t - 20)).

    alpha 0.00196 1/K for coax (half of copper's, skin-effect theory; 0.0018 common practice), 0.004 1/K for
    Cat 5e pair (TIA-568-C.2).
    """
    factor = 1.0 + not_negative("alpha", alpha) * (finite("degc", degc) - 20.0)
    if factor <= 0.0:
        raise ValueError(f"the linear temperature law does not hold at {degc!r} degC")
    return not_negative("loss_20", loss_20) * factor


def path_loss(runs: Iterable[tuple[float, float]], fixed_db: Iterable[float] = ()) -> float:
    """dB of a whole path: sum of (dB/100 m * m / 100) over the runs, plus joints and boxes. A negative one is
    gain."""
    total = sum(not_negative("dB/100 m", loss) * not_negative("m", metres) / 100.0 for loss, metres in runs)
    return total + sum(finite("fixed dB", loss) for loss in fixed_db)


def reach(budget_db: float, db_per_100_m: float, fixed_db: float = 0.0) -> float:
    """Metres of one cable that a loss budget allows: 100 (budget - fixed) / loss; 0 when joints use it all.
    """
    left = finite("budget_db", budget_db) - finite("fixed_db", fixed_db)
    return max(0.0, 100.0 * left / positive("db_per_100_m", db_per_100_m))


def skin_effect_reach(reach_m: float, mhz: float, other_mhz: float) -> float:
    """Metres at `other_mhz` with the same loss when loss goes with the square root of frequency: L
    sqrt(f1/f2).

    Holds only where both frequencies lie well above the skin-effect corner; use a cable's table where there
    is one.
    """
    return not_negative("reach_m", reach_m) * math.sqrt(
        positive("mhz", mhz) / positive("other_mhz", other_mhz)
    )


def pair_attenuation(mhz: float, root: float, linear: float, inverse_root: float) -> float:
    """dB/100 m of twisted pair: a sqrt(f) + b f + c / sqrt(f), f in MHz; the form of TIA-568 and ISO/IEC
    11801.

    Cat 5e: a 1.967, b 0.023, c 0.05 (TIA-568-C.2), 0.772 to 100 MHz.
    """
    square_root = math.sqrt(positive("mhz", mhz))
    return root * square_root + linear * mhz + inverse_root / square_root


def half_clock_mhz(bit_per_second: float) -> float:
    """MHz at half the bit rate's clock, where serial digital receivers state their reach: rate / 2; SMPTE ST
    292-1."""
    return positive("bit_per_second", bit_per_second) / 2.0e6


def loss_margin(budget_db: float, loss_db: float) -> float:
    """dB in hand (negative: short): budget - loss. Serial digital fails as a cliff, so the margin is what to
    report."""
    return finite("budget_db", budget_db) - finite("loss_db", loss_db)


def reflection_coefficient(line_ohm: float, load_ohm: float) -> float:
    """Size of the reflection where `line_ohm` meets `load_ohm`, 0 to 1: |Zl - Z0| / (Zl + Z0). Line theory.
    """
    return abs(not_negative("load_ohm", load_ohm) - positive("line_ohm", line_ohm)) / (load_ohm + line_ohm)


def return_loss(reflection: float) -> float:
    """dB: -20 log10(reflection); inf for a perfect match. Line theory."""
    if not 0.0 <= reflection <= 1.0:
        raise ValueError(f"reflection must be from 0 to 1, not {reflection!r}")
    return math.inf if reflection == 0.0 else -20.0 * math.log10(reflection)


def standing_wave_ratio(reflection: float) -> float:
    """(1 + reflection) / (1 - reflection); inf for total reflection. Line theory."""
    return_loss(reflection)
    return math.inf if reflection == 1.0 else (1.0 + reflection) / (1.0 - reflection)


def mismatch_loss(reflection: float) -> float:
    """dB lost to the reflection: -10 log10(1 - reflection^2); inf for total reflection. Line theory."""
    return_loss(reflection)
    return math.inf if reflection == 1.0 else -10.0 * math.log10(1.0 - reflection * reflection)


def skin_depth(
    mhz: float, conductivity: float = COPPER_CONDUCTIVITY, relative_permeability: float = 1.0
) -> float:
    """Skin depth in mm: 1000 / sqrt(pi f mu sigma); field theory. `conductivity` in S/m."""
    permeability = VACUUM_PERMEABILITY * positive("relative_permeability", relative_permeability)
    return 1000.0 / math.sqrt(
        math.pi * positive("mhz", mhz) * 1.0e6 * permeability * positive("conductivity", conductivity)
    )


def coaxial_impedance(inner_mm: float, outer_mm: float, permittivity: float) -> float:
    """Ohm of a coaxial line without loss: mu0 c / (2 pi sqrt(er)) ln(D/d); line theory."""
    if not 0.0 < inner_mm < outer_mm:
        raise ValueError(f"inner {inner_mm!r} mm must be above zero and below outer {outer_mm!r} mm")
    wave = VACUUM_PERMEABILITY * LIGHT_SPEED / (2.0 * math.pi)
    return wave / math.sqrt(positive("permittivity", permittivity)) * math.log(outer_mm / inner_mm)


def velocity_factor(permittivity: float) -> float:
    """Speed on the line over that of light: 1 / sqrt(er); line theory. ValueError below 1."""
    if permittivity < 1.0:
        raise ValueError(f"permittivity must be 1 or more, not {permittivity!r}")
    return 1.0 / math.sqrt(permittivity)


def coaxial_attenuation(
    mhz: float,
    inner_mm: float,
    outer_mm: float,
    permittivity: float,
    loss_tangent: float = 0.0,
    conductivity: float = COPPER_CONDUCTIVITY,
) -> float:
    """dB/100 m of an ideal smooth coaxial line: Rs/(2 pi Z0) (1/d + 1/D) + pi f sqrt(er) tan(delta) / c.

    High-frequency form of line theory: ValueError when the skin depth is over a tenth of the inner
    conductor's diameter, below which it reads more than about 5 % low. Solid metal only; braid is some 5 %
    worse, a clad steel centre follows its steel at low frequency.
    """
    impedance = coaxial_impedance(inner_mm, outer_mm, permittivity)
    depth = skin_depth(mhz, conductivity)
    if depth > inner_mm / 10.0:
        raise ValueError(
            f"at {mhz!r} MHz the current fills the conductor; the skin-effect form does not hold"
        )
    surface_ohm = 1000.0 / (conductivity * depth)
    metal = surface_ohm / (2.0 * math.pi * impedance) * (1000.0 / inner_mm + 1000.0 / outer_mm)
    dielectric = (
        math.pi
        * mhz
        * 1.0e6
        * math.sqrt(permittivity)
        * not_negative("loss_tangent", loss_tangent)
        / LIGHT_SPEED
    )
    return 100.0 * DB_PER_NEPER * (metal + dielectric)
