"""Limits of supplies that are plain arithmetic.

Class 2 figures need review by a licensed electrician under the local code; they move between
editions.
"""

from __future__ import annotations

import math

from coaxwright.facts.physics.checks import not_negative, positive


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
