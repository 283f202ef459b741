"""What a camera is to see against what its lens, its lamp and the record give, as a sheet of its own.

Made only for cameras of which a site file says what they are to see, or whose lamp someone looks into. What is stated
is put here, on a camera whose record is bound; what follows from it is declared in `rules/facts/view.yaml`.
"""

from __future__ import annotations

from coaxwright.facts.context import Context
from coaxwright.facts.physics.optics import foreshortened, travel
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.sheets import Camera
from coaxwright.facts.sheets.view import View
from coaxwright.model.camera_parts import CameraPart, Optics
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.model.site import Face, Place, Plate, Wants
from coaxwright.reading.tables import load_table

_WANTS, _PLACE, _OPTICS = Wants.model_construct(), Place.model_construct(), Optics.model_construct()
_SEEING = ("see", "at", "width", "near", "night", "colour_night", "plate", "face")
EDITIONS = ("view-classes-2014", "view-classes-2025")
_OF_PLATES = ("plate_character", "plate_angle", "plate_seen", "plate_travel")
_OF_FACES = ("face_wanted", "face_seen")
EYES = 0.063
"""Metres between the eyes: mean of adults; Dodgson, Proc. SPIE 5291 (2004)."""
_EDITION = ("edition", "present", "density_present")


def view_of(context: Context, sheet: Camera, entry: CameraEntry) -> View | None:
    """The view of a camera whose record is bound; None where nobody wants anything of it."""
    wants, place = entry.wants, entry.place
    wanted = wants is not None and any(getattr(wants, name) not in (None, False) for name in _SEEING)
    if not wanted and not (place is not None and place.overlooked) and entry.lens is None:
        return None
    return _ViewBinder(context, sheet, entry).bind()


class _ViewBinder:
    """The work on one camera; lives for one call."""

    def __init__(self, context: Context, sheet: Camera, entry: CameraEntry) -> None:
        self.context, self.camera, self.entry = context, sheet, entry
        self.wants, self.place = entry.wants or _WANTS, entry.place or _PLACE
        self.part: CameraPart = context.part(entry.part)
        self.optics = self.part.optics or _OPTICS
        self.view = view = View()
        view.subject = sheet.subject
        view.pointer = (*sheet.pointer, "wants") if entry.wants is not None else sheet.pointer
        view.camera = sheet

    def bind(self) -> View:
        """Every field that can be known."""
        self._bind_class()
        self._bind_distance()
        self._bind_lens()
        self._bind_columns()
        self._bind_night()
        self._bind_glow()
        self.view.wants_plate = self.wants.plate is not None
        if self.wants.plate is not None:
            self._bind_plate(self.wants.plate)
        else:
            lack(self.view, _OF_PLATES, (f"{self.view.subject}/wants/plate",))
        self.view.wants_face = self.wants.face is not None
        if self.wants.face is not None:
            self._bind_face(self.wants.face)
        else:
            lack(self.view, _OF_FACES, (f"{self.view.subject}/wants/face",))
        return self.view

    def _bind_face(self, face: Face) -> None:
        """A face: what is wanted between the eyes, and how wide apart they are as seen."""
        at = f"{self.view.subject}/wants/face"
        self._put("face_wanted", face.pixels, f"{at}/pixels")
        self._put("face_seen", None if face.angle is None else foreshortened(EYES, face.angle), f"{at}/angle")

    def _put(self, field: str, value: object, path: str) -> None:
        if value is None:
            self.view.lacks(field, path)
        else:
            setattr(self.view, field, value)

    def _stated(self, path: str) -> str:
        return f"parts/{self.entry.part}/{path}"

    # What is wanted, and where

    def _bind_class(self) -> None:
        view, see = self.view, self.wants.see
        self._put("width_wanted", self.wants.width, f"{view.subject}/wants/width")
        if see is None:
            lack(view, ("see", "class_known", "density_wanted", *_EDITION), (f"{view.subject}/wants/see",))
            return
        view.see = see
        density = class_density(see)
        view.class_known = density is not None
        self._put("density_wanted", density, f"{view.subject}/wants/see")
        for field, value in zip(_EDITION, edition_of(see), strict=True):
            self._put(field, value, f"{view.subject}/wants/see")

    def _bind_distance(self) -> None:
        """Distance and heights; along the line of sight where nobody wrote the height."""
        view, at, height = self.view, self.wants.at, self.place.height
        self._put("near", self.wants.near, f"{view.subject}/wants/near")
        self._put("height", height, f"{view.subject}/place/height")
        self._put("distance", at, f"{view.subject}/wants/at")

    # Lens, sensor and record

    def _bind_lens(self) -> None:
        view, lens = self.view, self.optics
        self._put("focal_min", lens.focal_min, self._stated("optics/focal_min"))
        self._put("focal_max", lens.focal_max, self._stated("optics/focal_max"))
        focal = self.entry.lens.focal if self.entry.lens else None
        view.focal_set = focal is not None
        self._put("focus", self.entry.lens.focus if self.entry.lens else None, f"{view.subject}/lens/focus")
        if focal is None and lens.focal_min is not None and lens.focal_min == (lens.focal_max or lens.focal_min):
            focal = lens.focal_min
        varifocal = lens.focal_min is not None
        self._put("focal", focal, f"{view.subject}/lens/focal" if varifocal else self._stated("optics/focal_min"))
        self._put("sensor_width", lens.sensor_width, self._stated("optics/sensor_width"))
        angle = lens.view_angle_max
        self._put("stated_angle", angle if angle is None or angle < 180.0 else None, self._stated("optics/view_angle_max"))

    def _bind_columns(self) -> None:
        """Columns recorded, and those there were before every other one was dropped."""
        view, camera = self.view, self.camera
        columns, link = camera.known("recorded_width"), camera.known("link")
        if columns is None:
            lack(view, ("columns", "columns_full", "halved"), camera.missing("recorded_width"))
            return
        view.columns = view.columns_full = columns
        view.halved = False
        if link is None or not columns:
            return
        if link.known("outcome") == "reduced-width" and link.known("width") is not None:
            # Not what the camera was switched to: the recorder may have asked it for another mode.
            view.halved, view.columns_full = True, 2 * link.width
        elif link.known("recorded_reduced") and link.known("width") is not None:
            view.halved, view.columns_full = True, link.width

    # Night

    def _bind_night(self) -> None:
        view, wants, night = self.view, self.wants, self.part.night
        view.colour_night = wants.colour_night is True
        view.night = wants.night is True or view.colour_night
        self._put("lamp", night.lamp if night else None, self._stated("night/lamp"))
        self._put("lamp_range", night.lamp_range if night else None, self._stated("night/lamp_range"))
        self._put("least_light", night.least_light if night else None, self._stated("night/least_light"))
        self._put("night_light", self.place.night_light, f"{view.subject}/place/night_light")
        self._put("lit_surface", self.place.lit_surface, f"{view.subject}/place/lit_surface")
        view.behind_glass = self.place.behind_glass is True
        self._put("f_number", self.optics.f_number, self._stated("optics/f_number"))

    def _bind_plate(self, plate: Plate) -> None:
        """A number plate: its characters as they are seen, and how far it moves in one exposure."""
        at, shutter = f"{self.view.subject}/wants/plate", self.entry.lens.shutter if self.entry.lens else None
        self._put("plate_character", plate.character, f"{at}/character")
        self._put("plate_angle", plate.angle, f"{at}/angle")
        missing = [f"{at}/{name}" for name in ("character", "angle") if getattr(plate, name) is None]
        if plate.character is None or plate.angle is None:
            lack(self.view, ("plate_seen",), tuple(missing))
        else:
            self.view.plate_seen = foreshortened(plate.character, plate.angle)
        missing = [f"{at}/{name}" for name in ("speed", "crossing") if getattr(plate, name) is None]
        if plate.speed is None or plate.crossing is None or shutter is None:
            lack(self.view, ("plate_travel",), (*missing, *([] if shutter else [f"{self.camera.subject}/lens/shutter"])))
        else:
            self.view.plate_travel = travel(plate.speed, shutter, plate.crossing)

    def _bind_glow(self) -> None:
        view, night = self.view, self.part.night
        view.overlooked = self.place.overlooked is True
        lamp = view.known("lamp")
        if lamp in ("white", "both", "none"):
            view.lamp_seen = lamp != "none"
        else:
            glow = night.visible_glow if night and lamp else None
            self._put("lamp_seen", glow, self._stated("night/visible_glow" if lamp else "night/lamp"))


def edition_of(name: str) -> tuple[str, str, float] | tuple[None, None, None]:
    """Edition of IEC 62676-4 that has a class, the class of the present one that answers to it, and its px/m."""
    present = load_table("view-classes-2025")
    withdrawn = load_table("view-classes-2014").get(name)
    if withdrawn is not None:
        return "2014", withdrawn["present"], float(present.row(withdrawn["present"])["density"])
    row = present.get(name)
    return (None, None, None) if row is None else ("2025", name, float(row["density"]))


def class_density(name: str) -> float | None:
    """px/m of a class of view in either edition of IEC 62676-4, whose names differ; None where neither has it."""
    for edition in EDITIONS:
        row = load_table(edition).get(name)
        if row is not None:
            return float(row["density"])
    return None
