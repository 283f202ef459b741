"""The declared facts of views against IEC 62676-4 identities, a published worked example, and geometry."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.declared.filling import fill
from coaxwright.facts.sheets.view import View

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


def view(**stated: float) -> Any:
    sheet = View()
    sheet.subject = "cameras/c1"
    for name, value in stated.items():
        setattr(sheet, name, value if name.startswith("columns") else float(value))
    fill("view", [sheet])
    return sheet


@pytest.mark.parametrize(("width", "degrees"), WIDTHS)
def test_fields_of_view(width, degrees):
    for focal, angle in zip(FOCALS, degrees, strict=True):
        assert view(sensor_width=width, focal=focal).angle == pytest.approx(angle, abs=0.0051)


def test_known_triangle():
    """A 3.6 mm sensor behind 3.6 mm is 2 atan(1/2), and a right angle needs half the width."""
    assert view(sensor_width=3.6, focal=3.6).angle == pytest.approx(2 * math.degrees(math.atan(0.5)))
    assert view(sensor_width=8, focal=4).angle == pytest.approx(90)


def test_published_scene_sizes():
    """Worked example of an optics article (common practice): 16 m; 2/3" at 25 mm, 1/3" at 35 mm, printed to cm."""
    for sensor, focal, metres in ((8.8, 25, 5.632), (6.6, 25, 4.224), (4.8, 35, 2.1943), (3.6, 35, 1.6457)):
        assert view(sensor_width=sensor, focal=focal, distance=16).width == pytest.approx(metres, abs=5e-5)


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
    for density, distance in zip(CLASSES, metres, strict=True):
        farthest = view(columns=pixels, sensor_width=width, focal=focal, density_wanted=density).farthest
        assert farthest == pytest.approx(distance, abs=0.0055)
        again = view(columns=pixels, sensor_width=width, focal=focal, distance=farthest)
        assert again.density == pytest.approx(density)


def test_slant():
    """3-4-5 triangle, from above and from below; along the line of sight where no height is written."""
    for height in (4.6, -1.4):
        assert view(distance=4, height=height, target_height=1.6).slant == pytest.approx(5)
    assert view(distance=4, height=1.6, target_height=1.6).slant == 4
    assert view(distance=4, target_height=1.6).slant == 4
    assert view(distance=3, height=4.6, target_height=1.6).look_down == pytest.approx(45)


@pytest.mark.parametrize(("number", "gain"), [(1.0, 4.0), (1.4, 2.04), (1.2, 2.78), (2.0, 1.0)])
def test_light_gain(number, gain):
    """Geometrical optics: light goes with 1 / N^2."""
    assert view(f_number=number).light_gain == pytest.approx(gain, abs=0.0051)


def test_light_falls_with_the_square():
    """Inverse square law: twice the range wants four times the light, or a lens two stops wider."""
    found = view(distance=60, lamp_range=30, f_number=2.8, near=15)
    assert found.light_short == pytest.approx(4)
    assert found.near_ratio == pytest.approx(16)
    assert found.f_number_wanted == pytest.approx(1.4)


@given(st.integers(100, 8000), st.floats(0.5, 300), st.floats(1, 20), st.floats(1, 100))
def test_density_times_scene_is_the_picture(pixels, distance, width, focal):
    found = view(columns=pixels, columns_full=2 * pixels, sensor_width=width, focal=focal, distance=distance)
    assert found.density * found.width == pytest.approx(pixels)
    assert found.density_full == pytest.approx(2 * found.density)
    assert found.width == pytest.approx(2 * distance * math.tan(math.radians(found.angle) / 2))


@given(st.floats(5, 170), st.floats(1, 12))
def test_the_stated_angle_stands_in_at_the_shortest_focal_length_only(angle, focal):
    assert view(stated_angle=angle, focal=focal, focal_min=focal).angle == pytest.approx(angle)
    assert view(stated_angle=angle, focal=focal + 1, focal_min=focal).known("angle") is None


def test_no_width_has_no_density():
    """A distance of nought, or a sensor of none: the quotient has no value, and none is given."""
    found = view(columns=1920, sensor_width=4.8, focal=4, distance=0)
    assert found.width == 0
    assert found.known("density") is None
    assert view(columns=1920, sensor_width=4.8, focal=0, distance=5).known("width") is None
