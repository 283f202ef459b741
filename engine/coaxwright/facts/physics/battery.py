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


def usable_capacity(
    capacity_ah: float, remaining: float = 0.8, degc: float = 25.0, loss_per_kelvin: float = 0.01
) -> float:
    """Ah of an aged battery in the cold: C * remaining * (1 - loss (25 - t)), never above the rated C below
    25 degC.

    80 % is the usual end of life (IEEE 450, from memory); 1 %/K is common practice, let the battery's own
    curve override it. Warmth is not credited. ValueError where the linear law leaves nothing.
    """
    cold = max(0.0, 25.0 - finite("degc", degc))
    factor = 1.0 - not_negative("loss_per_kelvin", loss_per_kelvin) * cold
    if factor <= 0.0:
        raise ValueError(f"the linear temperature law does not hold at {degc!r} degC")
    return positive("capacity_ah", capacity_ah) * fraction("remaining", remaining) * factor


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
