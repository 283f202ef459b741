"""Sheet of what a camera is to see; made only where a site file says so."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, fact, sheet

LAMPS = ("none", "infrared", "white", "both")


@sheet
class View(Sheet):
    """What one camera is to see, by day and by night, and what it does see there."""

    kind: ClassVar[str] = "view"
    camera: Any = fact("The camera.", ref="camera")
    see: str = fact("Class of view wanted.")
    class_known: bool = fact("A table of view classes has that class.")
    density_wanted: float = fact("Pixel density of the class wanted.", "px/m")
    distance: float = fact("Distance wanted, along the ground where a mounting height is written.", "m")
    slant: float = fact("Distance from lens to target: hypotenuse of distance and difference of height.", "m")
    look_down: float = fact("Angle under which it looks down on the target.", "deg")
    focal: float = fact("Focal length.", "mm")
    focal_set: bool = fact("A focal length is written for it.")
    focal_min: float = fact("Shortest focal length of its lens.", "mm")
    focal_max: float = fact("Longest focal length of its lens.", "mm")
    angle: float = fact("Horizontal field of view, for an ideal lens.", "deg")
    columns: int = fact("Columns that are recorded.")
    columns_full: int = fact("Columns before every other one was dropped; those recorded where none was.")
    halved: bool = fact("Every other column is dropped on the way: reduced width.")
    density: float = fact("Pixel density across, at the target, of what is recorded.", "px/m")
    density_full: float = fact("Pixel density across that the full width would give.", "px/m")
    farthest: float = fact("Farthest distance from the lens at which the class wanted is held.", "m")
    width_wanted: float = fact("Scene width to be covered.", "m")
    width: float = fact("Scene width that the picture covers at the target.", "m")
    night: bool = fact("It is to see at night (or in colour at night).")
    colour_night: bool = fact("It is to see colours at night.")
    lamp: str = fact("Lamp of the camera.", choices=LAMPS)
    lamp_range: float = fact("Illumination distance stated.", "m")
    light_short: float = fact("How many times the lamp's light the target would want: (distance / range) squared.")
    f_number: float = fact("F-number of its lens.")
    f_number_wanted: float = fact("F-number at which the same lamp would reach the target.")
    light_gain: float = fact("Light that its lens gathers over one of F2.0: (2 / N) squared.")
    night_light: float = fact("Light on the scene at night without its lamp.", "lx")
    least_light: float = fact("Least illumination stated, colour.", "lx")
    near: float = fact("Nearest distance at which it has to see by its own lamp.", "m")
    near_ratio: float = fact("How many times brighter its lamp is at the nearest distance than at the farthest.")
    overlooked: bool = fact("Neighbours, drivers or boats look into its lamp.")
    lamp_seen: bool = fact("The lamp is seen: white light, or infrared with a visible glow.")
