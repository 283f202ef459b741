"""Alternating current as a rectifier with a capacitor sees it.

Such a load takes its current in short pulses at the crest of the voltage. What it loses on the way it loses there, whole:
volts are taken off arithmetically, not at the angle of a phasor, and pulses of all loads fall together.
"""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.facts.physics.checks import not_negative
from coaxwright.portable import added


def crest_volts(
    source_volts: float, source_ohm: float, parents: Sequence[int], ohms: Sequence[float], amps: Sequence[float]
) -> list[float]:
    """V RMS of the stiff sine on which the load at each node would do as well; parents stand before children.

    Source less the sum of ohm times amps along the way, amps being the RMS currents (A) of all loads beyond added up
    arithmetically; `parents` -1 at the source. Never below 0. Common practice (24 V less I R); within 0.35 V above and
    0.6 V below a time-domain simulation of 200 random circuits (tests/physics/test_rectifier.py).
    """
    through = [not_negative("amps", each) for each in amps]
    for index in range(len(through) - 1, -1, -1):
        if parents[index] >= 0:
            through[parents[index]] += through[index]
    at_terminals = source_volts - source_ohm * added(a for a, parent in zip(through, parents, strict=True) if parent < 0)
    volts: list[float] = []
    for parent, ohm, current in zip(parents, ohms, through, strict=True):
        before = at_terminals if parent < 0 else volts[parent]
        volts.append(before - not_negative("ohms", ohm) * current)
    return [max(0.0, each) for each in volts]
