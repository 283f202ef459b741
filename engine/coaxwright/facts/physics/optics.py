"""Fields of view and picture density on a target, for an ideal (rectilinear) lens: what the charts of a report draw.

Wide lenses with barrel distortion see more than computed here. The classes of IEC 62676-4 are table data,
passed in.
"""

from __future__ import annotations

from coaxwright.facts.physics.checks import finite, not_negative, positive
from coaxwright.portable import arctangent, cosine, sine


def foreshortened(length: float, angle: float) -> float:
    """Length in m as it is seen from `angle` degrees off straight in front: length x cos(angle); geometrical optics."""
    return positive("length", length) * cosine(finite("angle", angle))


def travel(speed: float, seconds: float, crossing: float) -> float:
    """Metres across the line of sight in an exposure: km/h / 3.6 x s x sin(angle between path and line of sight); geometry."""
    seconds = positive("seconds", seconds)
    return not_negative("speed", speed) / 3.6 * seconds * sine(finite("crossing", crossing))


def field_of_view(sensor_mm: float, focal_mm: float) -> float:
    """Degrees seen along the side `sensor_mm`: 2 atan(w / 2f); geometrical optics at infinity."""
    return 2.0 * arctangent(positive("sensor_mm", sensor_mm) / (2.0 * positive("focal_mm", focal_mm)))


def scene_size(distance_m: float, sensor_mm: float, focal_mm: float) -> float:
    """Metres of scene across the picture at `distance_m`: D w / f; geometrical optics."""
    return (
        not_negative("distance_m", distance_m)
        * positive("sensor_mm", sensor_mm)
        / positive("focal_mm", focal_mm)
    )


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
