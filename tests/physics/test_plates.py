"""Number plates: characters as they are seen, and smear in one exposure, against published figures.

Outside: a character of 79 mm with strokes of 14 mm (plates of the United Kingdom since 2001); requirements of recognisers
of 15, 20 and 30 px a character, which come to 190, 253 and 380 px/m; two published rules of shutters, 1 / (11 v) s at
v km/h, and 1/600 s at 30 mph: both let a plate travel 22 to 25 mm. Common practice, all of them.
"""

from __future__ import annotations

import math

import pytest

from coaxwright.facts.physics.optics import foreshortened, travel


@pytest.mark.parametrize(("pixels", "density"), [(15, 190), (20, 253), (30, 380)])
def test_densities_of_recognisers(pixels: int, density: float) -> None:
    assert round(pixels / foreshortened(0.079, 0)) == density


def test_thirty_degrees_want_fifteen_percent_more() -> None:
    assert foreshortened(1.0, 0) / foreshortened(1.0, 30) == pytest.approx(1.15, abs=0.006)


@pytest.mark.parametrize(
    ("seconds", "crossing", "blur"),
    [(1 / 25, 90, 139), (1 / 25, 20, 47), (1 / 250, 90, 13.9), (1 / 250, 20, 4.8), (1 / 1000, 20, 1.2), (1 / 2000, 90, 1.7)],
)
def test_smear_at_50_kilometres_an_hour(seconds: float, crossing: float, blur: float) -> None:
    assert travel(50, seconds, crossing) * 250 == pytest.approx(blur, rel=0.03)


@pytest.mark.parametrize(
    ("speed", "crossing", "part"), [(30, 90, 1190), (30, 20, 407), (50, 90, 1984), (80, 20, 1085), (120, 20, 1628)]
)
def test_shutter_for_half_a_stroke(speed: float, crossing: float, part: int) -> None:
    assert travel(speed, 1 / part, crossing) == pytest.approx(0.007, rel=2e-3)


@pytest.mark.parametrize("speed", [30, 50, 80])
def test_published_rules_of_shutters_let_a_plate_travel_two_strokes(speed: float) -> None:
    assert 0.022 <= travel(speed, 1 / (11 * speed), 90) <= 0.0256
    assert travel(30 * 1.609344, 1 / 600, 90) == pytest.approx(0.0224, abs=1e-4)


def test_straight_at_the_camera_nothing_is_smeared() -> None:
    assert travel(120, 1.0, 0) == 0.0
    assert math.isclose(foreshortened(0.079, 60), 0.0395)
