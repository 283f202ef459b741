"""Resistance of conductors: by wire gauge, by area, by temperature, by metal, and of a whole run.

Maximum resistances of IEC 60228 classes are table figures and are passed in as ohm/m; they are 4 to 16 %
above what resistivity over area gives, so they are never derived here. Not for voltage drop under load: see
power_network.
"""

from __future__ import annotations

import math

from coaxwright.facts.physics.checks import finite, not_negative, positive

COPPER_RESISTIVITY_20 = 1.0 / 58.0
"""ohm mm2/m of 100 % IACS annealed copper at 20 degC: IEC 60028:1925; NBS Handbook 100."""

COPPER_ALPHA_20 = 0.00393
"""1/K at 20 degC for 100 % IACS copper: IEC 60028:1925; NBS Handbook 100."""

IEC_60228_ALPHA_20 = 0.004
"""1/K, the rounded coefficient behind the temperature correction factors of IEC 60228:2004 Annex A."""

THINNEST_GAUGE = 56
THICKEST_GAUGE = -3


def temperature_factor(degc: float, alpha_20: float = COPPER_ALPHA_20) -> float:
    """Resistance at `degc` over resistance at 20 degC: 1 + alpha (t - 20), dimensionless.

    alpha defaults to 0.00393 1/K (IEC 60028); use `IEC_60228_ALPHA_20` to reproduce the factors of IEC 60228.
    ValueError below the temperature at which the linear law would give no resistance at all.
    """
    factor = 1.0 + positive("alpha_20", alpha_20) * (finite("degc", degc) - 20.0)
    if factor <= 0.0:
        raise ValueError(f"the linear temperature law does not hold at {degc!r} degC")
    return factor


def resistance_at(ohm_20: float, degc: float, alpha_20: float = COPPER_ALPHA_20) -> float:
    """Ohm (or ohm/m) at `degc` from the value at 20 degC: R20 (1 + alpha (t - 20)); IEC 60028."""
    return not_negative("ohm_20", ohm_20) * temperature_factor(degc, alpha_20)


def alpha_at(reference_degc: float, alpha_20: float = COPPER_ALPHA_20) -> float:
    """Temperature coefficient (1/K) referred to another temperature: 1 / (1/alpha20 + t - 20).

    Gives the 0.00323 1/K at 75 degC of NEC chapter 9 Table 8 (from memory).
    """
    return alpha_20 / temperature_factor(reference_degc, alpha_20)


def awg_diameter(gauge: int) -> float:
    """Diameter in mm of a solid round wire: 0.127 * 92 ** ((36 - n) / 39); ASTM B258.

    Gauges 1/0 to 4/0 are 0, -1, -2, -3. ValueError outside 4/0 to 56.
    """
    if not THICKEST_GAUGE <= gauge <= THINNEST_GAUGE:
        raise ValueError(f"gauge must be from -3 (4/0) to 56, not {gauge!r}")
    return float(0.127 * 92.0 ** ((36 - gauge) / 39.0))


def circle_area(diameter_mm: float) -> float:
    """mm2 of a solid round conductor: pi d^2 / 4."""
    return math.pi * positive("diameter_mm", diameter_mm) ** 2 / 4.0


def awg_area(gauge: int) -> float:
    """mm2 of a solid round wire of that gauge; ASTM B258."""
    return circle_area(awg_diameter(gauge))


def conductivity_factor(iacs_percent: float) -> float:
    """Resistance over that of copper of the same area: 100 / (% IACS), dimensionless.

    Copper-clad aluminium, clad steel and aluminium: the conductivity is that of the class (ASTM B566 class
    10A 62.9 %, 15A 64.4 %; ASTM B869 from memory). DC only: at radio frequency the cladding carries the
    current.
    """
    if not 0.0 < iacs_percent <= 110.0:
        raise ValueError(f"iacs_percent must be above 0 and at most 110, not {iacs_percent!r}")
    return 100.0 / iacs_percent


def ohm_per_metre(area_mm2: float, factor: float = 1.0) -> float:
    """Ohm/m at 20 degC of a solid conductor: factor * (1/58) / area; IEC 60028, `factor` as
    conductivity_factor.

    For a gauge or a measured diameter. For a metric size use the maximum of IEC 60228 instead.
    """
    return positive("factor", factor) * COPPER_RESISTIVITY_20 / positive("area_mm2", area_mm2)


def awg_ohm_per_metre(gauge: int, factor: float = 1.0) -> float:
    """Ohm/m at 20 degC of a solid wire of that gauge; ASTM B258 size, IEC 60028 copper, NBS Handbook 100
    values."""
    return ohm_per_metre(awg_area(gauge), factor)


def loop_resistance(
    ohm_per_m: float, length_m: float, return_ohm_per_m: float | None = None, cores: int = 1
) -> float:
    """Ohm out and back of a run `length_m` long one way: length * (out + back) / cores.

    `return_ohm_per_m` is the other conductor when it differs (a coaxial screen); `cores` counts conductors in
    parallel each way. Circuit theory.
    """
    if cores < 1:
        raise ValueError(f"cores must be 1 or more, not {cores!r}")
    out = not_negative("ohm_per_m", ohm_per_m)
    back = out if return_ohm_per_m is None else not_negative("return_ohm_per_m", return_ohm_per_m)
    return not_negative("length_m", length_m) * (out + back) / cores
