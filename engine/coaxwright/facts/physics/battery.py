"""How long a stand-by battery lasts, how large it must be, how long it takes to refill.

Lead-acid arithmetic for planning. Batteries hurt people: ventilation, fusing and siting need review by a
competent person under local rules.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from coaxwright.facts.physics.checks import finite, fraction, not_negative, positive


def peukert_hours(capacity_ah: float, rated_hours: float, amps: float, exponent: float = 1.0) -> float:
    """Hours at constant `amps`: H (C / (I H))^k, with C the capacity at the H-hour rate; inf for no load.

    Peukert's law in its rated-hour form. The short form C / I^k silently takes C as the one-ampere capacity
    and is wrong for a battery rated over 20 h. k is 1.05 to 1.2 for sealed lead-acid (common practice);
    ValueError under 1.
    """
    if exponent < 1.0:
        raise ValueError(f"exponent must be 1 or more, not {exponent!r}")
    capacity, hours = positive("capacity_ah", capacity_ah), positive("rated_hours", rated_hours)
    if not_negative("amps", amps) == 0.0:
        return math.inf
    return float(hours * (capacity / (amps * hours)) ** exponent)


def standby_hours(capacity_ah: float, rated_hours: float, amps: float, exponent: float = 1.0) -> float:
    """Hours at constant `amps`, never crediting more than the rated capacity: min(Peukert, C / I).

    Peukert's law is fitted to currents above the rated one, where it takes charge away; below it the same
    formula would give out more ampere-hours than the battery has. Sizing by IEEE 485 reads the maker's curve
    and credits no more than rated without one (from memory). inf for no load; errors as peukert_hours.
    """
    hours = peukert_hours(capacity_ah, rated_hours, amps, exponent)
    return hours if amps == 0.0 else min(hours, capacity_ah / amps)


def peukert_capacity(hours: float, rated_hours: float, amps: float, exponent: float = 1.0) -> float:
    """Ah at the `rated_hours` rate that last `hours` at `amps`: I H (t / H)^(1/k), the inverse of
    peukert_hours."""
    if exponent < 1.0:
        raise ValueError(f"exponent must be 1 or more, not {exponent!r}")
    rated = positive("rated_hours", rated_hours)
    return float(
        not_negative("amps", amps) * rated * (not_negative("hours", hours) / rated) ** (1.0 / exponent)
    )


def profile_ampere_hours(profile: Iterable[tuple[float, float]]) -> float:
    """Ah of a load profile of (amps, hours): sum of I t."""
    return sum(not_negative("amps", amps) * not_negative("hours", hours) for amps, hours in profile)


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


COLDEST = -40.0
"""degC below which no lead-acid battery is counted on: its electrolyte freezes (common practice)."""


def cold_factor(degc: float) -> float:
    """By how much more battery the cold asks for: 1.405 - 2.4941 x + 4.1916 x^2 - 2.8117 x^3, x = degC / 100.

    The polynomial agrees with the size factors of IEEE 485 Table 1 (4 to 49 degC) within 0.009 and is carried
    on below them. 1 from 25 degC up: warmth is not credited (common practice). ValueError below -40 degC.
    """
    if degc < COLDEST:
        raise ValueError(f"the law of the cold does not hold at {degc!r} degC")
    x = finite("degc", degc) / 100.0
    if x >= 0.25:
        return 1.0
    return max(1.0, 1.405 - 2.4941 * x + 4.1916 * x * x - 2.8117 * x * x * x)


def usable_capacity(capacity_ah: float, remaining: float = 0.8, degc: float = 25.0) -> float:
    """Ah of an aged battery in the cold: C * remaining / cold_factor, never above the rated C.

    80 % is the usual end of life (IEEE 450, from memory); cold: IEEE 485. A maker's own curve is better.
    """
    return positive("capacity_ah", capacity_ah) * fraction("remaining", remaining) / cold_factor(degc)


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


def recharge_hours(
    ampere_hours: float, charge_amps: float, load_amps: float = 0.0, efficiency: float = 0.85
) -> float:
    """Hours to put `ampere_hours` back: Ah / (efficiency (Icharge - Iload)); inf when the load takes all of
    it.

    `charge_amps` is what the supply gives in all, `load_amps` what the site draws meanwhile. 0.85 charge
    efficiency for lead-acid is common practice. Constant-current part only: the last tenth takes longer.
    """
    spare = not_negative("charge_amps", charge_amps) - not_negative("load_amps", load_amps)
    lost = not_negative("ampere_hours", ampere_hours) / fraction("efficiency", efficiency)
    if lost == 0.0:
        return 0.0
    return math.inf if spare <= 0.0 else lost / spare
