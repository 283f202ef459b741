"""Sheet of what a camera is to see; made only where a site file says so."""

from __future__ import annotations

from typing import Any, ClassVar

from coaxwright.facts.sheets.base import Sheet, declared, fact, sheet

LAMPS = ("none", "infrared", "white", "both")


@sheet
class View(Sheet):
    """What one camera is to see, by day and by night, and what it does see there."""

    kind: ClassVar[str] = "view"
    of_entry: ClassVar[bool] = True
    camera: Any = fact("The camera.", ref="camera")
    see: str = fact("Class of view wanted.")
    class_known: bool = fact("A table of view classes has that class.")
    density_wanted: float = fact("Pixel density of the class wanted.", "px/m")
    edition: str = fact("Edition of IEC 62676-4 that the class is of.", choices=("2014", "2025"))
    present: str = fact("Class of the present edition that answers to it.")
    density_present: float = fact("Pixel density of that class.", "px/m")
    distance: float = fact("Distance wanted, along the ground where a mounting height is written.", "m")
    slant: float = declared("view", "slant")
    look_down: float = declared("view", "look_down")
    focal: float = fact("Focal length.", "mm")
    focal_set: bool = fact("A focal length is written for it.")
    focal_min: float = fact("Shortest focal length of its lens.", "mm")
    focal_max: float = fact("Longest focal length of its lens.", "mm")
    angle: float = declared("view", "angle")
    columns: int = fact("Columns that are recorded.")
    columns_full: int = fact("Columns before every other one was dropped; those recorded where none was.")
    halved: bool = fact("Every other column is dropped on the way: reduced width.")
    density: float = declared("view", "density")
    density_full: float = declared("view", "density_full")
    farthest: float = declared("view", "farthest")
    wants_plate: bool = fact("It is to read number plates.")
    plate_character: float = fact("Height of the characters of a number plate to be read.", "m")
    plate_angle: float = fact("Angle between the line of sight and straight in front of the plate.", "deg")
    plate_seen: float = fact("Height of its characters as seen from there.", "m")
    plate_travel: float = fact("How far it moves across the line of sight in one exposure.", "m")
    plate_pixels: float = declared("view", "plate_pixels")
    plate_blur: float = declared("view", "plate_blur")
    wants_face: bool = fact("It is to know faces.")
    face_wanted: int = fact("Picture elements wanted between the eyes of a face.")
    face_seen: float = fact("Distance between the eyes as seen from there.", "m")
    face_pixels: float = declared("view", "face_pixels")
    focus: float = fact("Distance on which it is focused.", "m")
    hyperfocal: float = declared("view", "hyperfocal")
    focus_spread: float = declared("view", "focus_spread")
    focus_best: float = declared("view", "focus_best")
    focus_blur: float = declared("view", "focus_blur")
    width_wanted: float = fact("Scene width to be covered.", "m")
    width: float = declared("view", "width")
    night: bool = fact("It is to see at night (or in colour at night).")
    colour_night: bool = fact("It is to see colours at night.")
    lamp: str = fact("Lamp of the camera.", choices=LAMPS)
    lamp_range: float = fact("Illumination distance stated.", "m")
    light_short: float = declared("view", "light_short")
    f_number: float = fact("F-number of its lens.")
    f_number_wanted: float = declared("view", "f_number_wanted")
    light_gain: float = declared("view", "light_gain")
    night_light: float = fact("Light on the scene at night without its lamp.", "lx")
    least_light: float = fact("Least illumination stated, colour.", "lx")
    near: float = fact("Nearest distance at which it has to see by its own lamp.", "m")
    near_ratio: float = declared("view", "near_ratio")
    lit_surface: float = fact("How near to its lamp the nearest thing is that the lamp lights.", "m")
    surface_ratio: float = declared("view", "surface_ratio")
    behind_glass: bool = fact("It looks through a pane of glass.")
    overlooked: bool = fact("Neighbours, drivers or boats look into its lamp.")
    lamp_seen: bool = fact("The lamp is seen: white light, or infrared with a visible glow.")
