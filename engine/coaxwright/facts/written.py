"""Figures as the workings of facts write them."""

from __future__ import annotations

import math


def number(value: float) -> str:
    """Five significant figures, without an exponent and without trailing zeros."""
    if value == 0.0:
        return "0"
    if math.isinf(value):
        return "unlimited"
    places = max(0, 4 - math.floor(math.log10(abs(value))))
    text = f"{value:.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
