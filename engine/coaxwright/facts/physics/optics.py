"""Fields of view, picture density on a target, and light through a lens, for an ideal (rectilinear) lens.

Wide lenses with barrel distortion see more than computed here. The classes of IEC 62676-4 are table data,
passed in.
"""

from __future__ import annotations

import math

from coaxwright.facts.physics.checks import finite, fraction, not_negative, positive

FORMAT_INCH_MM = 16.0
"""mm of image diagonal for each "inch" of optical format (common practice, from camera tubes); below about
1/2" it drifts to 18."""
TARGET_HEIGHT_M = 1.6
TARGET_LINES = 400.0
"""The person-height target of IEC 62676-4:2014, which fills 400 lines at 100 %."""


def sensor_size(pixels: int, pitch_um: float) -> float:
    """mm along one side of a sensor: pixels * pitch / 1000."""
    return positive("pixels", pixels) * positive("pitch_um", pitch_um) / 1000.0


def field_of_view(sensor_mm: float, focal_mm: float) -> float:
    """Degrees seen along the side `sensor_mm`: 2 atan(w / 2f); geometrical optics at infinity."""
    return math.degrees(
        2.0 * math.atan2(positive("sensor_mm", sensor_mm), 2.0 * positive("focal_mm", focal_mm))
    )


def focal_length(sensor_mm: float, degrees: float) -> float:
    """mm of focal length for a field of view: w / (2 tan(angle/2)). ValueError at 180 degrees and above."""
    if not 0.0 < degrees < 180.0:
        raise ValueError(f"degrees must be above 0 and below 180, not {degrees!r}")
    return positive("sensor_mm", sensor_mm) / (2.0 * math.tan(math.radians(degrees) / 2.0))


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


def scene_width_for_density(pixels: float, density: float) -> float:
    """Widest scene in m that keeps `density` px/m: N / ppm."""
    return positive("pixels", pixels) / positive("density", density)


def reduced_width_density(density: float, kept_columns: int, full_columns: int) -> float:
    """Density across when only `kept_columns` of `full_columns` survive: ppm kept / full; height is not
    touched."""
    if not 0 < kept_columns <= full_columns:
        raise ValueError(f"kept_columns must be 1 to {full_columns!r}, not {kept_columns!r}")
    return not_negative("density", density) * kept_columns / full_columns


def density_of_height_percent(percent: float) -> float:
    """px/m for a 1.6 m target that fills `percent` of a 400-line picture: percent/100 * 400 / 1.6; IEC
    62676-4:2014."""
    return not_negative("percent", percent) / 100.0 * TARGET_LINES / TARGET_HEIGHT_M


def height_percent(reference_percent: float, lines: float) -> float:
    """Percent of the height for `lines`, for the same detail as `reference_percent` of 400 lines: % * 400 /
    lines.

    UK Home Office publication 28/09 gives the same for 576 and 288 lines.
    """
    return not_negative("reference_percent", reference_percent) * TARGET_LINES / positive("lines", lines)


def f_number_gain(f_number: float, other_f_number: float) -> float:
    """Light that `f_number` lets through over `other_f_number`: (N2 / N1)^2; geometrical optics."""
    return (positive("other_f_number", other_f_number) / positive("f_number", f_number)) ** 2


def image_lux(
    scene_lux: float,
    reflectance: float,
    f_number: float,
    transmittance: float = 1.0,
    magnification: float = 0.0,
) -> float:
    """Lux on the sensor of a matt scene: E R t / (4 N^2 (1 + m)^2); RCA Electro-Optics Handbook (from
    memory)."""
    light = not_negative("scene_lux", scene_lux) * fraction("reflectance", reflectance)
    light *= fraction("transmittance", transmittance)
    return light / (
        4.0 * (positive("f_number", f_number) * (1.0 + not_negative("magnification", magnification))) ** 2
    )


def lamp_range(rated_m: float, intensity_ratio: float = 1.0, gain_ratio: float = 1.0) -> float:
    """Metres that a lamp reaches when its intensity, or the light the lens and sensor gather, is changed.

    rated * sqrt(intensity ratio * gain ratio): illumination falls with the square of distance, and the image
    of a target that fills its pixels does not fall again on the way back. Physics; the inverse fourth power
    of radar does not apply. `gain_ratio` as f_number_gain.
    """
    ratio = positive("intensity_ratio", intensity_ratio) * positive("gain_ratio", gain_ratio)
    return not_negative("rated_m", rated_m) * math.sqrt(ratio)


def illuminance_at(reference_lux: float, reference_m: float, distance_m: float) -> float:
    """Lux at `distance_m` of a lamp that gives `reference_lux` at `reference_m`: inverse square law."""
    return (
        not_negative("reference_lux", reference_lux)
        * (positive("reference_m", reference_m) / positive("distance_m", distance_m)) ** 2
    )


def light_ratio(far_m: float, near_m: float) -> float:
    """How many times the light at `near_m` that at `far_m` is of one lamp: (far / near)^2; inverse square law."""
    return (positive("far_m", far_m) / positive("near_m", near_m)) ** 2


def optical_format(diagonal_mm: float) -> float:
    """Optical format in "inch": diagonal / 16 mm (common practice). Below about 1/2" makers' names are larger
    than this."""
    return positive("diagonal_mm", diagonal_mm) / FORMAT_INCH_MM
