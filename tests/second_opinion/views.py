"""Second opinion on views: an ideal lens, columns recorded, and light that falls with the square of the distance."""

from __future__ import annotations

import math

from .plain import assumption, mode, num, table, yes

ASKED = ("see", "at", "width", "near", "night", "colour_night", "plate", "face")
FIELDS = [
    "see", "class_known", "density_wanted", "edition", "present", "density_present",
    "distance", "slant", "look_down", "focal", "angle", "columns", "columns_full",
    "halved", "density", "density_full", "farthest", "reach_left",
    "width", "light_short", "f_number_wanted", "light_gain", "near_ratio",
    "lamp_seen", "wants_plate", "plate_character", "plate_angle", "plate_seen", "plate_travel", "plate_pixels", "plate_blur",
    "wants_face", "face_wanted", "face_seen", "face_pixels", "focus", "hyperfocal", "focus_spread",
    "focus_best", "focus_blur", "lit_surface", "surface_ratio", "behind_glass",
]  # fmt: skip


def views(opinion):
    for name, entry in opinion.site["cameras"].items():
        wants, place = entry.get("wants") or {}, entry.get("place") or {}
        asked = any(each in wants and yes(wants[each]) is not False for each in ASKED)
        if asked or yes(place.get("overlooked")) or "lens" in entry:
            part = opinion.parts[entry["part"]]
            opinion.put("view", f"cameras/{name}", view(opinion.cameras[name], entry, part, wants, place))


def view(camera, entry, part, wants, place):
    facts = dict.fromkeys(FIELDS)
    lens, night = part.get("optics") or {}, part.get("night") or {}
    facts.update(
        near=num(wants.get("near")), width_wanted=num(wants.get("width")), focal_min=num(lens.get("focal_min")),
        focal_max=num(lens.get("focal_max")), f_number=num(lens.get("f_number")), lamp=night.get("lamp"),
        lamp_range=num(night.get("lamp_range")), least_light=num(night.get("least_light")),
        night_light=num(place.get("night_light")), colour_night=yes(wants.get("colour_night")) is True,
        overlooked=yes(place.get("overlooked")) is True,
    )  # fmt: skip
    facts["night"] = facts["colour_night"] or yes(wants.get("night")) is True
    if "see" in wants:
        rows = [row for year in (2014, 2025) for row in table(f"view-classes-{year}") if row["class"] == wants["see"]]
        facts.update(see=wants["see"], class_known=bool(rows), density_wanted=num(rows[0]["density"]) if rows else None)
        first = [row for row in table("view-classes-2014") if row["class"] == wants["see"]]
        name = first[0]["present"] if first else wants["see"]
        now = [num(row["density"]) for row in table("view-classes-2025") if row["class"] == name]
        if now:
            facts.update(edition="2014" if first else "2025", present=name, density_present=now[0])
    _where(facts, num(wants.get("at")), num(place.get("height")))
    _columns(facts, camera)
    _picture(facts, _spread(facts, lens, num((entry.get("lens") or {}).get("focal"))))
    _plate(facts, wants.get("plate"), num((entry.get("lens") or {}).get("shutter")))
    _face(facts, wants.get("face"))
    _sharp(facts, num(lens.get("sensor_width")), num((entry.get("lens") or {}).get("focus")))
    _light(facts, yes(night.get("visible_glow")))
    facts["behind_glass"] = yes(place.get("behind_glass")) is True
    facts["lit_surface"] = num(place.get("lit_surface"))
    if facts["slant"] is not None and facts["lit_surface"]:
        facts["surface_ratio"] = (facts["slant"] / facts["lit_surface"]) ** 2
    return facts


def _where(facts, at, height):
    """Distance from the lens: along the line of sight unless the height is written."""
    if at is None:
        return
    facts["distance"] = facts["slant"] = at
    if height is not None:
        above = height - assumption("target-height")
        facts["slant"], facts["look_down"] = math.sqrt(at**2 + above**2), math.degrees(math.atan2(above, at))


def _spread(facts, lens, focal):
    """Scene width a metre of distance; None where not known."""
    facts["focal_set"] = focal is not None
    shortest, longest = facts["focal_min"], facts["focal_max"]
    if focal is None and shortest is not None and longest in (None, shortest):
        focal = shortest
    facts["focal"] = focal
    if focal is None:
        return None
    if "sensor_width" in lens:
        return num(lens["sensor_width"]) / focal
    angle = num(lens.get("view_angle_max"))
    if angle is not None and focal == shortest and angle < 180:
        return 2 * math.tan(math.radians(angle / 2))
    return None


def _columns(facts, camera):
    columns, link = camera.get("recorded_width"), camera.get("link")
    facts["columns"] = facts["columns_full"] = columns
    if columns is None:
        return
    facts["halved"] = False
    if link is None or not columns:
        return
    if link["outcome"] == "reduced-width":
        facts["halved"], facts["columns_full"] = True, mode(link["settled_mode"])[0]
    elif link["recorded_reduced"] and link["width"] is not None:
        facts["halved"], facts["columns_full"] = True, link["width"]


def _picture(facts, spread):
    if spread is None:
        return
    facts["angle"] = 2 * math.degrees(math.atan(spread / 2))
    columns = facts["columns"]
    if facts["slant"] is not None:
        facts["width"] = facts["slant"] * spread
        if columns is not None and facts["width"]:
            facts["density"] = columns / facts["width"]
            facts["density_full"] = facts["columns_full"] / facts["width"]
    if columns is not None and facts["density_wanted"] is not None:
        facts["farthest"] = columns / facts["density_wanted"] / spread
        if facts["slant"] is not None:
            facts["reach_left"] = facts["farthest"] - facts["slant"]


def _plate(facts, plate, shutter):
    """Characters as they are seen, and what a moving plate is smeared over."""
    facts["wants_plate"] = plate is not None
    high, angle, speed, crossing = (num((plate or {}).get(name)) for name in ("character", "angle", "speed", "crossing"))
    facts.update(plate_character=high, plate_angle=angle)
    if None not in (high, angle):
        facts["plate_seen"] = high * math.cos(math.radians(angle))
    if None not in (speed, crossing, shutter):
        facts["plate_travel"] = speed / 3.6 * shutter * math.sin(math.radians(crossing))
    for name, of in (("plate_pixels", "plate_seen"), ("plate_blur", "plate_travel")):
        if None not in (facts[of], facts["density"]):
            facts[name] = facts[of] * facts["density"]


def _face(facts, face):
    """63 mm between the eyes, less where the face is turned."""
    facts["wants_face"] = face is not None
    facts["face_wanted"], angle = (num((face or {}).get(name)) for name in ("pixels", "angle"))
    if angle is not None:
        facts["face_seen"] = 0.063 * math.cos(math.radians(angle))
        if facts["density"] is not None:
            facts["face_pixels"] = facts["face_seen"] * facts["density"]


def _sharp(facts, wide, focus):
    """Depth of field of a thin lens at full opening; a recorded picture element is what counts as sharp. In millimetres."""
    facts["focus"] = focus
    near, far, focal, number = (facts[name] for name in ("near", "slant", "focal", "f_number"))
    best = None
    if None not in (near, far) and near + far:
        facts["focus_best"] = best = 2 / (1 / near + 1 / far) if near and far else 0.0
    if None in (focal, number, wide) or not facts["columns"]:
        return
    element = wide / facts["columns"]
    sharp = focal**2 / number / element + focal
    facts["hyperfocal"] = sharp / 1000
    if focus is not None and far:
        facts["focus_spread"] = abs(focal**2 / number * (focus - far) / (far * (focus * 1000 - focal))) / element
    if best is not None:
        # The image of the nearest lies behind that of the best: the cone of the lens is so wide there.
        spread = focal**2 / number * (best - near) / (near * (best * 1000 - focal)) if near else None
        facts["focus_blur"] = None if spread is None else abs(spread) / element


def _light(facts, glow):
    slant, reach, near, number = facts["slant"], facts["lamp_range"], facts["near"], facts["f_number"]
    if number is not None:
        facts["light_gain"] = (2 / number) ** 2
    if slant is not None and reach:
        facts["light_short"] = (slant / reach) ** 2
        if number is not None and slant:
            facts["f_number_wanted"] = number * reach / slant
    if slant is not None and near:
        facts["near_ratio"] = (slant / near) ** 2
    lamp = facts["lamp"]
    facts["lamp_seen"] = {"white": True, "both": True, "none": False, "infrared": glow}.get(lamp)
