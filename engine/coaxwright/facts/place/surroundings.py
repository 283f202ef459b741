"""What is out of the ordinary around devices and cables, and which cameras watch one area together.

Made from the entries that write it, once the sheets of cameras are filled; a site that writes none pays for a look.
Areas read the whole site. Nothing here judges.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.physics.coax import ended_level
from coaxwright.facts.physics.ingress import ingress_meets
from coaxwright.facts.sheets import Camera
from coaxwright.facts.sheets.surroundings import Area, Ending, Exposure, Laying
from coaxwright.model.camera_parts import Housing
from coaxwright.model.site import Hop, Place
from coaxwright.reading.tables import Row, load_table
from coaxwright.topology.needs import Needs
from coaxwright.topology.records import GROUP_OF_KIND, CablePath, Lists

JETS = "IPX5"
"""Jets of water from a 6.3 mm nozzle: IEC 60529 second digit 5."""
_ASKED = ("hazardous", "coastal", "damp", "washed", "sun")
_GROUPS = (("cameras", "camera"), ("recorders", "recorder"), ("supplies", "supply"))
_ORDER = ("cameras", *(group for group in GROUP_OF_KIND.values() if group != "cameras"))


def exposures(context: Context) -> list[Exposure]:
    """Sheets of devices whose place asks more than most, in the order cameras, recorders, supplies."""
    found = []
    for group, device in _GROUPS:
        for name, entry in getattr(context.loaded.site, group).items():
            if entry.place is not None and _asks_more(entry.place, device):
                found.append(_exposure(context, group, device, name))
    fill("exposure", found)
    return found


def _asks_more(place: Place, device: str) -> bool:
    if place.hazardous or place.coastal or place.damp or place.washed:
        return True
    if device == "camera":
        return bool(place.sun) or (place.height is not None and place.setting == "outdoor")
    return place.setting not in (None, "indoor") or (
        device == "supply" and (place.ambient_max is not None or place.cabinet is not None)
    )


def _exposure(context: Context, group: str, device: str, name: str) -> Exposure:
    entry = getattr(context.loaded.site, group)[name]
    part, place = context.part(entry.part), entry.place
    sheet = Exposure()
    sheet.subject, sheet.pointer = f"{group}/{name}", (group, name, "place")
    sheet.device, sheet.name, sheet.part = device, name, entry.part
    for field in _ASKED:
        setattr(sheet, field, getattr(place, field) is True)
    if "hazardous" not in place.model_fields_set:
        del sheet.hazardous
        sheet.lacks("hazardous", f"{sheet.subject}/place/hazardous")
    for field in ("setting", "height", "ambient_max"):
        _put(sheet, field, getattr(place, field), f"{sheet.subject}/place/{field}")
    _bind_housing(sheet, part.housing)
    highest = part.temperature_max if device != "camera" else getattr(part.housing, "temperature_max", None)
    path = "temperature_max" if device != "camera" else "housing/temperature_max"
    _put(sheet, "temperature_max", highest, f"parts/{entry.part}/{path}")
    if device == "camera":
        sheet.camera = context.cameras[name]
        _bind_arrester(sheet, sheet.camera)
    return sheet


def _put(sheet: Area | Exposure | Laying, field: str, value: object, path: str) -> None:
    if value is None:
        sheet.lacks(field, path)
    else:
        setattr(sheet, field, value)


def _bind_housing(sheet: Exposure, housing: Housing | None) -> None:
    stated = {"rated": "rated", "coastal_rated": "coastal", "condensation_rated": "condensation", "ip": "ip"}
    for field, name in stated.items():
        _put(sheet, field, getattr(housing, name, None), f"parts/{sheet.part}/housing/{name}")
    code = sheet.known("ip")
    _put(sheet, "jets_met", None if code is None else ingress_meets(code, JETS), f"parts/{sheet.part}/housing/ip")


def _bind_arrester(sheet: Exposure, camera: Camera) -> None:
    link = camera.known("link")
    hops = None if link is None else link.known("hops")
    if hops is None:
        sheet.lacks("arrested", f"{sheet.subject}/video")
    else:
        sheet.arrested = any(hop.known("does") == "arrester" for hop in hops)


# Cables


def layings(context: Context) -> list[Laying]:
    """Sheets of runs that lie in the ground, beside mains or in a fire-rated space; cameras first, power last."""
    found = [
        _laying(context, path, index, hop)
        for path in context.topology.lists.paths
        for index, hop in enumerate(path.hops or ())
        if (hop.buried or hop.beside_mains is not None or hop.space is not None or hop.bend is not None) and hop.cable is not None
    ]
    site = context.loaded.site
    places = {group: {name: place for place, name in enumerate(getattr(site, group))} for group in _ORDER} if found else {}

    def place(sheet: Laying) -> tuple[int, int, bool]:
        group, _, name = sheet.owner.partition("/")
        return _ORDER.index(group), places[group][name], sheet.use == "power"

    return sorted(found, key=place)


def _laying(context: Context, path: CablePath, index: int, hop: Hop) -> Laying:
    part = context.part(str(hop.cable))
    sheet = Laying()
    sheet.pointer = (*path.pointer, "over", index)
    sheet.subject = "/".join(map(str, sheet.pointer))
    sheet.owner, sheet.use, sheet.cable, sheet.buried = path.subject, path.use, str(hop.cable), hop.buried
    sheet.told_above = context.topology.lists.is_network_cable(path)
    sheet.screened = "coax" in part.carries or part.screened is True
    for field, value in (("metres", hop.metres), ("beside_mains", hop.beside_mains), ("space", hop.space)):
        name = "length" if field == "metres" else field
        _put(sheet, field, value, f"{sheet.subject}/{name}")
    for field in ("rated", "fire_class"):
        _put(sheet, field, getattr(part, field), f"parts/{hop.cable}/{field}")
    if hop.mains_circuits is None:
        for field in ("mains_circuits", "separation"):
            sheet.lacks(field, f"{sheet.subject}/mains_circuits")
    else:
        sheet.mains_circuits, sheet.separation = hop.mains_circuits, separation(hop.mains_circuits, sheet.screened)
    _put(sheet, "bend", hop.bend, f"{sheet.subject}/bend")
    _put(sheet, "bend_least", part.bend_radius, f"parts/{hop.cable}/bend_radius")
    _bind_fire(sheet)
    return sheet


def _bind_fire(sheet: Laying) -> None:
    """The class of the cable against what is usual in the space: known only within one system of classes."""
    named, space = sheet.known("fire_class"), sheet.known("space")
    own = None if named is None else _fire_row(named)
    usual = None if own is None else load_table("fire-usual").get(own["system"], space)
    if own is None or usual is None:
        for field in ("fire_usual", "fire_below"):
            sheet.lacks(field, f"parts/{sheet.cable}/fire_class")
    else:
        sheet.fire_usual, sheet.fire_below = usual["named"], own["rank"] < usual["rank"]


def _fire_row(named: str) -> Row | None:
    """The row of a class, by the first word of what a datasheet prints, as in `B2ca-s1a, d1, a1`."""
    word = re.split(r"[^A-Za-z0-9]", named.strip(), maxsplit=1)[0].casefold()
    return next((row for row in load_table("fire-classes").rows if row["name"].casefold() == word), None)


def separation(circuits: int, screened: bool) -> float:
    """Metres between a cable and a bunch of mains circuits without metal between: EN 50174-2 (2009 and later), S times P."""
    row = next(row for row in reversed(load_table("mains-separation").rows) if row["circuits_from"] <= circuits)
    return float(row["screened"] if screened else row["unscreened"])


# Ends of coax


def endings(context: Context) -> list[Ending]:
    """Sheets of pictures of which somebody wrote how many inputs end their coax."""
    found = []
    for name, entry in context.loaded.site.cameras.items():
        if entry.video is not None and entry.video.terminations is not None:
            sheet = Ending()
            sheet.subject, sheet.pointer = f"cameras/{name}", ("cameras", name, "video")
            sheet.camera, sheet.terminations = context.cameras[name], entry.video.terminations
            sheet.level = ended_level(sheet.terminations)
            found.append(sheet)
    return found


# Areas


def areas(context: Context) -> list[Area]:
    """Sheets of the areas that cameras name, in the order of their first camera."""
    members: dict[str, list[str]] = {}
    for name, entry in context.loaded.site.cameras.items():
        if entry.area is not None:
            members.setdefault(entry.area, []).append(name)
    return [_area(context, name, cameras) for name, cameras in members.items()]


def _area(context: Context, name: str, cameras: list[str]) -> Area:
    sheet = Area()
    sheet.subject, sheet.pointer = f"areas/{name}", ("cameras", cameras[0], "area")
    sheet.name, sheet.camera_count = name, len(cameras)
    sheet.cameras = [context.cameras[each] for each in cameras]
    sheet.steps = {"camera_count": cameras}
    feeders = {each: _feeder(context, each) for each in cameras}
    unknown = [f"cameras/{each}/power" for each, feeder in feeders.items() if feeder is None]
    known = sheet.steps["feeders"] = list(dict.fromkeys(feeder for feeder in feeders.values() if feeder is not None))
    if unknown and len(known) < 2:
        sheet.lacks("feeders", *unknown)
    else:
        sheet.feeders = len(known)
    _put(sheet, "feeder", known[0] if known else None, unknown[0] if unknown else "")
    _bind_shared(sheet, Needs(context.loaded.site, context.topology.lists), cameras)
    return sheet


def _bind_shared(sheet: Area, needs: Needs, cameras: list[str]) -> None:
    """Parts that every camera of an area needs. One that is known is enough to fail; none is known only of a whole plan."""
    shared = set.intersection(*(needs.before_recorder(each) for each in cameras))
    gaps = dict.fromkeys(gap for each in cameras for gap in needs.gaps(each))
    if shared or not gaps:
        sheet.shared_parts, sheet.steps["shared_parts"] = len(shared), sorted(shared, key=_gravest)
    else:
        sheet.lacks("shared_parts", *gaps)
    if shared:
        sheet.shared_part = min(shared, key=_gravest)
    elif gaps:
        sheet.lacks("shared_part", *gaps)
    else:
        sheet.shared_part = ""


def _gravest(part: str) -> tuple[int, str]:
    """Order of parts: supplies, switches, outputs, junctions, boxes, jackets, runs; then by name."""
    group, *rest = part.split("/")
    kind = "run" if "over" in rest[1:] else "output" if len(rest) == 2 else group
    return ("supplies", "switches", "output", "junctions", "boxes", "sheaths", "run").index(kind), part


def _feeder(context: Context, camera: str) -> str | None:
    """The supply output, or the device with powered network ports, at the root of a camera's feed."""
    lists = context.topology.lists
    for path in _upwards(lists, lists.power.get(camera)):
        target = path.target
        if target is not None and target.device_kind == "supply":
            return f"{target.device}/{target.number}"
        if target is not None and target.device_kind != "junction":
            return target.device
    return None


def _upwards(lists: Lists, path: CablePath | None) -> Iterator[CablePath]:
    """A feed and what it hangs on, up to the root; topology has refused rings."""
    while path is not None:
        yield path
        target = path.target
        path = None if target is None else lists.device_power.get((target.device_kind, target.device))
