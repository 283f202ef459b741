"""One load at the end of one run, solved in closed form: volts, current, longest run. Trees: see
power_network.

A load that draws constant power has two mathematical answers; only the high-voltage one is an operating point
(Jeeninga, De Persis, van der Schaft, arXiv 2010.01076), and past V^2 / 4R there is none.
"""

from __future__ import annotations

import math

from coaxwright.facts.physics.checks import fraction, not_negative, positive


def constant_current_volts(source_volts: float, loop_ohm: float, amps: float) -> float | None:
    """Volts at a load drawing constant `amps`: V0 - I R; None when nothing above zero is left. Ohm's law."""
    volts = positive("source_volts", source_volts)
    volts -= not_negative("loop_ohm", loop_ohm) * not_negative("amps", amps)
    return volts if volts > 0.0 else None


def constant_power_volts(source_volts: float, loop_ohm: float, watts: float) -> float | None:
    """Volts at a load drawing constant `watts`: (V0 + sqrt(V0^2 - 4 R P)) / 2, None when P > V0^2 / 4R.

    The other root of V^2 - V0 V + R P = 0 is unstable and never returned. Circuit theory.
    """
    source = positive("source_volts", source_volts)
    discriminant = source * source - 4.0 * not_negative("loop_ohm", loop_ohm) * not_negative("watts", watts)
    return None if discriminant < 0.0 else (source + math.sqrt(discriminant)) / 2.0


def resistive_load_volts(source_volts: float, loop_ohm: float, load_ohm: float) -> float:
    """Volts at a resistance: V0 Rl / (Rl + R). Circuit theory."""
    load = positive("load_ohm", load_ohm)
    return positive("source_volts", source_volts) * load / (load + not_negative("loop_ohm", loop_ohm))


def ac_volts(
    source_volts: float, loop_ohm: float, volt_amperes: float, power_factor: float = 1.0
) -> float | None:
    """RMS volts at a constant-VA load through a resistive run, the high root; None when there is none.

    V^4 + (2 R S pf - Vs^2) V^2 + R^2 S^2 = 0. Leading and lagging give the same magnitude. Circuit theory;
    the run's reactance is left out (below 1 % of its resistance for the sizes that feed cameras at 50 or 60
    Hz).
    """
    product = not_negative("loop_ohm", loop_ohm) * not_negative("volt_amperes", volt_amperes)
    middle = positive("source_volts", source_volts) ** 2 - 2.0 * product * fraction(
        "power_factor", power_factor
    )
    discriminant = (middle - 2.0 * product) * (middle + 2.0 * product)
    if middle < 0.0 or discriminant < 0.0:
        return None
    return math.sqrt((middle + math.sqrt(discriminant)) / 2.0)


def most_watts(source_volts: float, loop_ohm: float) -> float:
    """Most constant power that a run can carry at all: V0^2 / 4R, at half the source volts; inf for no
    resistance."""
    source = positive("source_volts", source_volts)
    return math.inf if not_negative("loop_ohm", loop_ohm) == 0.0 else source * source / (4.0 * loop_ohm)


def longest_run(
    source_volts: float, least_volts: float, amps_at_least_volts: float, loop_ohm_per_m: float
) -> float:
    """Longest one-way run in m that keeps `least_volts`: (V0 - Vmin) / (I r); inf when no current flows.

    For a constant-power load the current is P / Vmin. ValueError when Vmin is above V0, or, with constant
    power, meaningless below V0/2: ask `collapse_length` too. `loop_ohm_per_m` is out and back. Ohm's law.
    """
    left = positive("source_volts", source_volts) - positive("least_volts", least_volts)
    if left < 0.0:
        raise ValueError(f"the source's {source_volts!r} V are below the {least_volts!r} V asked for")
    per_metre = not_negative("amps_at_least_volts", amps_at_least_volts) * positive(
        "loop_ohm_per_m", loop_ohm_per_m
    )
    return math.inf if per_metre == 0.0 else left / per_metre


def collapse_length(source_volts: float, watts: float, loop_ohm_per_m: float) -> float:
    """One-way m at which a constant-power load has no operating point any more: V0^2 / (4 P r); inf for no
    load."""
    source = positive("source_volts", source_volts)
    per_metre = 4.0 * not_negative("watts", watts) * positive("loop_ohm_per_m", loop_ohm_per_m)
    return math.inf if per_metre == 0.0 else source * source / per_metre


def drop_percent(source_volts: float, load_volts: float) -> float:
    """Volts lost as % of the source: 100 (V0 - V) / V0."""
    return 100.0 * (positive("source_volts", source_volts) - load_volts) / source_volts
