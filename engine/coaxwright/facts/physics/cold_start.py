"""The current into a tree of runs while every device on it starts at once. Not for what it settles on: see
power_network.

A capacitor-input converter takes whatever the cable lets through until it is charged, so two things bound the
current of a run: what its devices take at most, and what the whole source voltage pushes through the
resistance up to there. Ohm's and Kirchhoff's laws; the bound is reached by equal devices on runs of their own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from coaxwright.facts.physics.checks import not_negative, positive


def start_amps(
    parents: Sequence[int], ohms: Sequence[float], inrush: Sequence[float], volts: float, source_ohm: float = 0.0
) -> tuple[list[float], float]:
    """Largest A in the run to each node, and out of the source, when all start at once.

    min(own inrush + that of the runs beyond, V0 / R back through the source). `parents` (-1: the source) stand
    before their children, `ohms` is the loop resistance of the run to each node, `volts` the source's no-load
    voltage (the peak of alternating current). ValueError for impossible figures.
    """
    positive("volts", volts)
    paths: list[float] = []
    for parent, ohm in zip(parents, ohms, strict=True):
        paths.append(not_negative("ohm", ohm) + (paths[parent] if parent >= 0 else source_ohm))
    amps = [not_negative("inrush", each) for each in inrush]
    total = 0.0
    for index in range(len(amps) - 1, -1, -1):
        amps[index] = min(amps[index], _most(volts, paths[index]))
        if parents[index] >= 0:
            amps[parents[index]] += amps[index]
        else:
            total += amps[index]
    return amps, min(total, _most(volts, source_ohm))


def _most(volts: float, ohm: float) -> float:
    return volts / ohm if ohm else math.inf
