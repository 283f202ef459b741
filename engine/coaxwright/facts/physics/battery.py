"""How large a stand-by battery must be, and its volts.

Lead-acid arithmetic for planning. Batteries hurt people: ventilation, fusing and siting need review by a
competent person under local rules.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from coaxwright.facts.physics.checks import not_negative, positive
from coaxwright.portable import added, logarithm, power


def peukert_capacity(hours: float, rated_hours: float, amps: float, exponent: float = 1.0) -> float:
    """Ah at the `rated_hours` rate that last `hours` at `amps`: I H (t / H)^(1/k), the inverse of
    Peukert's law in its rated-hour form (`rules/facts/battery.yaml`)."""
    if exponent < 1.0:
        raise ValueError(f"exponent must be 1 or more, not {exponent!r}")
    rated = positive("rated_hours", rated_hours)
    return not_negative("amps", amps) * rated * power(not_negative("hours", hours) / rated, 1.0 / exponent)


def profile_ampere_hours(profile: Iterable[tuple[float, float]]) -> float:
    """Ah of a load profile of (amps, hours): sum of I t."""
    return float(added(not_negative("amps", amps) * not_negative("hours", hours) for amps, hours in profile))


def capacity_needed(
    ampere_hours: float,
    ageing: float = 1.25,
    discharge: float = 1.0,
    temperature: float = 1.0,
    margin: float = 1.0,
) -> float:
    """Ah to install: demand * ageing * discharge * temperature * margin, each factor 1 or more.

    Ageing 1.25 and, up to 12 h, discharge 1.1: DIN VDE 0833-2; design margin 1.10 to 1.15: IEEE 485 (from
    memory).
    """
    needed = not_negative("ampere_hours", ampere_hours)
    for name, factor in (
        ("ageing", ageing),
        ("discharge", discharge),
        ("temperature", temperature),
        ("margin", margin),
    ):
        if not 1.0 <= factor < math.inf:
            raise ValueError(f"{name} must be 1 or more, not {factor!r}")
        needed *= factor
    return needed


LEAD_CELLS_A_BLOCK = 6
LEAD_VOLTS_A_CELL = 2.0
"""Nominal V of a lead-acid cell; a block of 12 V has six: IEC 60896-21, from memory."""


def lead_cells(volts_nominal: float) -> int:
    """Lead-acid cells behind a supply of that nominal output: six for every whole 12 V, else one for every 2 V.

    So 12 V and 13.8 V have six, 24 V and 27.6 V twelve, 6 V three; at least one. Common practice.
    """
    volts = positive("volts_nominal", volts_nominal)
    blocks = int(volts / (LEAD_CELLS_A_BLOCK * LEAD_VOLTS_A_CELL) + 1e-9)
    return LEAD_CELLS_A_BLOCK * blocks if blocks else max(1, int(volts / LEAD_VOLTS_A_CELL + 1e-9))


def battery_volts(volts_nominal: float) -> float:
    """Nominal V of the lead-acid battery behind a supply of that nominal output: 2 V a cell (IEC 60896-21, from
    memory)."""
    return lead_cells(volts_nominal) * LEAD_VOLTS_A_CELL


def float_volts(volts_nominal: float, volts_a_cell: float) -> float:
    """V of a supply that keeps a lead-acid battery charged: cells times `volts_a_cell`, never below its nominal.

    2.25 to 2.30 V a cell: 13.5 to 13.8 V for six (common practice; makers' tables have 2.25 V at 25 degC). A
    supply whose nominal is 13.8 V says its float already.
    """
    return max(volts_nominal, lead_cells(volts_nominal) * positive("volts_a_cell", volts_a_cell))


def runtime_hours(table: Sequence[tuple[float, float]], watts: float) -> float | None:
    """Hours that a UPS lasts at a load of `watts`, by its maker's table of (W, h).

    Between two rows straight in the logarithms of both, as makers' curves are drawn and as IEEE 485 reads rates off a
    curve; below the least load stated no longer than there. None above the greatest load stated, and without a table.
    """
    rows = sorted((positive("watts", load), not_negative("hours", hours)) for load, hours in table)
    if not rows or not_negative("watts", watts) > rows[-1][0]:
        return None
    above = next(index for index, (load, _) in enumerate(rows) if watts <= load)
    if above == 0 or watts == rows[above][0]:
        return rows[above][1]
    (low, long), (high, short) = rows[above - 1 : above + 1]
    share = logarithm(watts / low) / logarithm(high / low)
    return long * power(short / long, share) if long > 0.0 else 0.0
