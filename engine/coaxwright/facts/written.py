"""Figures as the workings of facts write them."""

from __future__ import annotations

import math


def number(value: float, digits: int = 5) -> str:
    """So many significant figures, all digits before the point, without an exponent and without trailing zeros.

    Five is common practice of hand calculations.
    """
    if value == 0.0:
        return "0"
    if math.isinf(value):
        return "unlimited"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
