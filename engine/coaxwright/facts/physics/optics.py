"""Fields of view, picture density on a target, and light gained or lost, for an ideal (rectilinear) lens.

Wide lenses with barrel distortion see more than computed here. The classes of IEC 62676-4 are table data,
passed in.
"""

from __future__ import annotations

import math

from coaxwright.facts.physics.checks import finite, not_negative, positive


def field_of_view(sensor_mm: float, focal_mm: float) -> float:
    """Degrees seen along the side `sensor_mm`: 2 atan(w / 2f); geometrical optics at infinity."""
    return math.degrees(
        2.0 * math.atan2(positive("sensor_mm", sensor_mm), 2.0 * positive("focal_mm", focal_mm))
    )


def scene_size(distance_m: float, sensor_mm: float, focal_mm: float) -> float:
    """Metres of scene across the picture at `distance_m`: D w / f; geometrical optics."""
    return (
        not_negative("distance_m", distance_m)
        * positive("sensor_mm", sensor_mm)
        / positive("focal_mm", focal_mm)
    )


def slant_distance(ground_m: float, height_difference_m: float) -> float:
    """Metres from lens to target: sqrt(D^2 + dh^2); the picture's density falls with this, not with the floor
    plan."""
    return math.hypot(not_negative("ground_m", ground_m), finite("height_difference_m", height_difference_m))


def pixels_per_metre(pixels: float, distance_m: float, sensor_mm: float, focal_mm: float) -> float:
    """Density in px/m at a (slant) distance: N f / (w D); geometrical optics, IEC 62676-4:2014 clause 6.7."""
    return positive("pixels", pixels) / scene_size(positive("distance_m", distance_m), sensor_mm, focal_mm)


def distance_for_density(pixels: float, density: float, sensor_mm: float, focal_mm: float) -> float:
    """Farthest (slant) distance in m that keeps `density` px/m: N f / (w ppm); IEC 62676-4:2014 clause 6.7.
    """
    return (
        positive("pixels", pixels)
        / positive("density", density)
        * (positive("focal_mm", focal_mm) / positive("sensor_mm", sensor_mm))
    )


def f_number_gain(f_number: float, other_f_number: float) -> float:
    """Light that `f_number` lets through over `other_f_number`: (N2 / N1)^2; geometrical optics."""
    return (positive("other_f_number", other_f_number) / positive("f_number", f_number)) ** 2


def light_ratio(far_m: float, near_m: float) -> float:
    """How many times the light at `near_m` that at `far_m` is of one lamp: (far / near)^2; inverse square law."""
    return (positive("far_m", far_m) / positive("near_m", near_m)) ** 2
