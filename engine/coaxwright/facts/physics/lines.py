"""Screens: how far away a line of a picture can be told apart.

Pure: plain numbers in and out.
"""

from __future__ import annotations

import math

from coaxwright.facts.physics.checks import positive

MILLIMETRES_PER_INCH = 25.4
ACUITY = math.radians(1.0 / 60.0)
"""One minute of arc, rad: what the normal eye tells apart (ITU-R BT.1845 designs screens on it)."""


def screen_height(diagonal_inches: float, columns: int, lines: int) -> float:
    """Height of a screen with square picture elements, m: diagonal x lines / sqrt(columns^2 + lines^2)."""
    positive("diagonal", diagonal_inches)
    positive("columns", columns)
    positive("lines", lines)
    return diagonal_inches * MILLIMETRES_PER_INCH / 1000.0 * lines / math.hypot(columns, lines)


def sharp_distance(height: float, lines: int) -> float:
    """Distance in m up to which one line of a picture of that height (m) is seen apart from the next.

    height / lines subtends one minute of arc: height / (lines x tan 1').
    """
    positive("height", height)
    positive("lines", lines)
    return height / (lines * math.tan(ACUITY))
