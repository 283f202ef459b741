"""Optics against IEC 62676-4 identities, a published worked example, and geometry."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import optics as o

FOCALS = [2.8, 3.6, 4, 6, 8, 12]
# Sensor width mm and horizontal degrees at FOCALS: geometry; widths are handbook figures or pitch (from
# memory).
WIDTHS = [
    (3.6, [65.47, 53.13, 48.46, 33.40, 25.36, 17.06]),
    (4.54, [78.06, 64.47, 59.15, 41.45, 31.68, 21.42]),
    (4.8, [81.20, 67.38, 61.93, 43.60, 33.40, 22.62]),
    (5.568, [89.67, 75.43, 69.68, 49.78, 38.38, 26.12]),
    (5.37, [87.60, 73.43, 67.74, 48.22, 37.11, 25.22]),
    (5.76, [91.61, 77.32, 71.51, 51.28, 39.60, 26.99]),
    (6.4, [97.63, 83.27, 77.32, 56.14, 43.60, 29.86]),
    (7.18, [104.10, 89.84, 83.82, 61.79, 48.34, 33.31]),
    (7.68, [107.80, 93.70, 87.66, 65.24, 51.28, 35.49]),
]


@pytest.mark.parametrize(("width", "degrees"), WIDTHS)
def test_fields_of_view(width, degrees):
    for focal, angle in zip(FOCALS, degrees, strict=True):
        assert o.field_of_view(width, focal) == pytest.approx(angle, abs=0.0051)
        assert width / (2 * math.tan(math.radians(o.field_of_view(width, focal)) / 2)) == pytest.approx(focal)


def test_known_triangle():
    """A 3.6 mm sensor behind 3.6 mm is 2 atan(1/2), and a right angle needs half the width."""
    assert o.field_of_view(3.6, 3.6) == pytest.approx(2 * math.degrees(math.atan(0.5)))
    assert o.field_of_view(8, 4) == pytest.approx(90)


def test_published_scene_sizes():
    """Worked example of an optics article (common practice): 16 m; 2/3" at 25 mm, 1/3" at 35 mm, printed to
    cm."""
    assert o.scene_size(16, 8.8, 25) == pytest.approx(5.632)
    assert o.scene_size(16, 6.6, 25) == pytest.approx(4.224)
    assert o.scene_size(16, 4.8, 35) == pytest.approx(2.1943, abs=5e-5)
    assert o.scene_size(16, 3.6, 35) == pytest.approx(1.6457, abs=5e-5)


# IEC 62676-4:2014 clause 6.7 (from memory): px/m of monitor, detect, observe, recognise, identify, inspect.
CLASSES = [12.5, 25, 62.5, 125, 250, 1000]


@pytest.mark.parametrize(
    ("pixels", "width", "focal", "metres"),
    [
        (1920, 4.8, 3.6, [115.2, 57.6, 23.04, 11.52, 5.76, 1.44]),
        (1920, 5.568, 2.8, [77.24, 38.62, 15.45, 7.72, 3.86, 0.97]),
        (3840, 7.68, 4, [160, 80, 32, 16, 8, 2]),
    ],
)
def test_class_distances(pixels, width, focal, metres):
    got = [o.distance_for_density(pixels, density, width, focal) for density in CLASSES]
    assert got == pytest.approx(metres, abs=0.0055)
    for distance, density in zip(got, CLASSES, strict=True):
        assert o.pixels_per_metre(pixels, distance, width, focal) == pytest.approx(density)


@given(st.integers(100, 8000), st.floats(0.5, 300), st.floats(1, 20), st.floats(1, 100))
def test_density_times_scene_is_the_picture(pixels, distance, width, focal):
    density = o.pixels_per_metre(pixels, distance, width, focal)
    assert density * o.scene_size(distance, width, focal) == pytest.approx(pixels)
    seen = 2 * distance * math.tan(math.radians(o.field_of_view(width, focal)) / 2)
    assert o.scene_size(distance, width, focal) == pytest.approx(seen)


@pytest.mark.parametrize(
    "call",
    [
        lambda: o.field_of_view(0, 4),
        lambda: o.field_of_view(4.8, 0),
        lambda: o.pixels_per_metre(1920, 0, 4.8, 4),
    ],
)
def test_impossible_input_is_refused(call):
    with pytest.raises(ValueError, match="must"):
        call()
