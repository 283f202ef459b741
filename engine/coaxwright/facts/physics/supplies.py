"""Limits of supplies and of mains wiring that are plain arithmetic. Not for sizing mains or its protection.

Mains and Class 2 figures need review by a licensed electrician under the local code; they move between
editions.
"""

from __future__ import annotations

import math

from coaxwright.facts.physics.checks import fraction, not_negative, positive

IEC_COPPER_DROP_RESISTIVITY = 0.0225
"""ohm mm2/m of copper in service (1.25 times the 20 degC value, rounded up): IEC 60364-5-52:2009 Annex G."""


def class_2_dc_amps(volts_max: float) -> float:
    """Nameplate current limit in A of a Class 2 DC output: 5.0 A up to 20 V, then 100 VA / V up to 60 V.

    NEC chapter 9 Table 11(B), from memory. ValueError above 60 V, where the class ends.
    """
    if positive("volts_max", volts_max) > 60.0:
        raise ValueError(f"Class 2 DC ends at 60 V, not {volts_max!r} V")
    return 5.0 if volts_max <= 20.0 else 100.0 / volts_max


def class_2_dc_volt_amperes(volts_max: float) -> float:
    """Nameplate VA limit of a Class 2 DC output: 5.0 V A per volt up to 20 V, then 100 VA; NEC Table 11(B),
    from memory."""
    return class_2_dc_amps(volts_max) * volts_max


def rectified_peak(volts_rms: float) -> float:
    """Peak volts of a sine of `volts_rms`, what a capacitor-input rectifier charges to: sqrt(2) V; circuit
    theory."""
    return math.sqrt(2.0) * not_negative("volts_rms", volts_rms)


def usable_amps(rated_amps: float, loading: float = 0.8) -> float:
    """Amps that a supply is planned to give: rated * loading. 0.8 is common practice (mirrors a 125 % load
    rule)."""
    return not_negative("rated_amps", rated_amps) * fraction("loading", loading)


def rated_amps_needed(load_amps: float, loading: float = 0.8) -> float:
    """Rated amps that a load asks for: load / loading. 0.8 is common practice."""
    return not_negative("load_amps", load_amps) / fraction("loading", loading)


def mains_drop_limit_percent(base_percent: float, length_m: float) -> float:
    """Advised mains drop limit in %: base + 0.005 %/m beyond 100 m, at most 0.5 % more.

    IEC 60364-5-52:2009 Annex G (informative); base 3 % lighting, 5 % other from a public supply, 6 % and 8 %
    from a private one. Mains wiring only: what a camera bears is its own input window.
    """
    extra = 0.005 * max(0.0, not_negative("length_m", length_m) - 100.0)
    return positive("base_percent", base_percent) + min(0.5, extra)


def mains_voltage_drop(
    amps: float,
    length_m: float,
    area_mm2: float,
    power_factor: float = 0.8,
    resistivity: float = IEC_COPPER_DROP_RESISTIVITY,
    reactance_ohm_per_m: float = 0.00008,
) -> float:
    """Volts lost out and back: 2 (rho L cos/S + lambda L sin) I; IEC 60364-5-52:2009 Annex G.

    The default reactance 0.08 mohm/m and power factor 0.8 are those of the annex (reactance from memory).
    """
    cosine = fraction("power_factor", power_factor)
    sine = math.sqrt(1.0 - cosine * cosine)
    per_metre = positive("resistivity", resistivity) * cosine / positive("area_mm2", area_mm2)
    per_metre += not_negative("reactance_ohm_per_m", reactance_ohm_per_m) * sine
    return 2.0 * per_metre * not_negative("length_m", length_m) * not_negative("amps", amps)
