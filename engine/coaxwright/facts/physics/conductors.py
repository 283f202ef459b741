"""Resistance of conductors: by area, and of a whole run out and back.

Maximum resistances of IEC 60228 classes are table figures and are passed in as ohm/m; they are 4 to 16 %
above what resistivity over area gives, so they are never derived here. Not for voltage drop under load: see
power_network.
"""

from __future__ import annotations

from coaxwright.facts.physics.checks import not_negative, positive

COPPER_RESISTIVITY_20 = 1.0 / 58.0
"""ohm mm2/m of 100 % IACS annealed copper at 20 degC: IEC 60028:1925; NBS Handbook 100."""

COPPER_ALPHA_20 = 0.00393
"""1/K at 20 degC for 100 % IACS copper: IEC 60028:1925; NBS Handbook 100."""


def ohm_per_metre(area_mm2: float, factor: float = 1.0) -> float:
    """Ohm/m at 20 degC of a solid conductor: factor * (1/58) / area; IEC 60028;
    `factor` is that of a metal over copper.

    For a gauge or a measured diameter. For a metric size use the maximum of IEC 60228 instead.
    """
    return positive("factor", factor) * COPPER_RESISTIVITY_20 / positive("area_mm2", area_mm2)


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
