"""Fields of sheets that are declared in `rules/facts`.

Made by `python -m coaxwright.facts.declared.writing --write`; edit `rules/facts`, not this module.
"""

# ruff: noqa: E501
from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple


class Row(NamedTuple):
    """Type, unit and sentence of a field."""

    type: str
    unit: str
    says: str


DECLARED: Mapping[str, Mapping[str, Row]] = {
    "exposure": {
        "sun_margin": Row("float", "degC", "Degrees between the warmest air written and what its datasheet allows."),
    },
    "view": {
        "slant": Row("float", "m", "Distance from lens to target: hypotenuse of distance and difference of height."),
        "look_down": Row("float", "deg", "Angle under which it looks down on the target."),
        "angle": Row("float", "deg", "Horizontal field of view, for an ideal lens."),
        "width": Row("float", "m", "Scene width that the picture covers at the target."),
        "density": Row("float", "px/m", "Pixel density across, at the target, of what is recorded."),
        "density_full": Row("float", "px/m", "Pixel density across that the full width would give."),
        "farthest": Row("float", "m", "Farthest distance from the lens at which the class wanted is held."),
        "light_short": Row("float", "", "How many times the lamp's light the target would want: (distance / range) squared."),
        "f_number_wanted": Row("float", "", "F-number at which the same lamp would reach the target."),
        "light_gain": Row("float", "", "Light that its lens gathers over one of F2.0: (2 / N) squared."),
        "near_ratio": Row("float", "", "How many times brighter its lamp is at the nearest distance than at the farthest."),
    },
}

STEPS: Mapping[str, Mapping[str, Row]] = {
    "exposure": {
    },
    "view": {
        "sensor_width": Row("float", "mm", "Width of the image area."),
        "stated_angle": Row("float", "deg", "Horizontal field of view that the part states for the shortest focal length; below 180 deg."),
        "height": Row("float", "m", "Mounting height."),
        "target_height": Row("float", "m", "Height of what is to be seen."),
        "above": Row("float", "m", "Height of the lens above what is to be seen."),
        "spread": Row("float", "", "Width of the scene for each metre of distance."),
    },
}
