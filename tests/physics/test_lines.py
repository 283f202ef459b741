"""Viewing distances, against the standards that name them."""

from __future__ import annotations

import math

import pytest

from coaxwright.facts.physics.lines import screen_height, sharp_distance


@pytest.mark.parametrize(
    ("lines", "heights"),
    [(720, 4.8), (1080, 3.2), (2160, 1.6), (4320, 0.8)],
)
def test_design_viewing_distance(lines: int, heights: float) -> None:
    """ITU-R BT.1845 table of optimal viewing distances in picture heights, printed to one digit (from memory)."""
    assert sharp_distance(1.0, lines) == pytest.approx(heights, rel=0.01)


def test_a_line_subtends_one_minute_of_arc() -> None:
    distance = sharp_distance(0.3, 1080)
    assert math.degrees(math.atan(0.3 / 1080 / distance)) * 60 == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("inches", "columns", "lines", "metres"),
    # By hand: 5 x 12 x 13 and 3 x 4 x 5 triangles; 24 inch 16:9 is 29.9 cm high (trade figure)
    [(13, 12, 5, 5 * 0.0254), (5, 4, 3, 3 * 0.0254), (24, 1920, 1080, 0.2989), (24, 3840, 2160, 0.2989)],
)
def test_height_of_a_screen(inches: float, columns: int, lines: int, metres: float) -> None:
    assert screen_height(inches, columns, lines) == pytest.approx(metres, rel=2e-4)


@pytest.mark.parametrize("call", [lambda: screen_height(0, 4, 3), lambda: sharp_distance(1.0, 0), lambda: sharp_distance(-1, 9)])
def test_impossible_screens_are_refused(call) -> None:
    with pytest.raises(ValueError, match="must be a finite number above zero"):
        call()
