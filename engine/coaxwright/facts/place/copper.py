"""Ways over copper as earth and lightning see them: a surge takes every conductor, not the coax alone.

Made for ways that join two earths or buildings, of cameras that stand in the open at a height that is written, and of
devices that have an arrester somewhere. Protection against lightning is for specialists: nothing here says that it suffices.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.sheets import Copper
from coaxwright.model.site import Hop, Place
from coaxwright.reading.tables import load_table
from coaxwright.topology.records import GROUP_OF_KIND, CablePath
from coaxwright.topology.trees import root_of

_ORDER = ("cameras", "recorders", "supplies", "junctions", "boxes", "switches")
ARRESTER, ISOLATOR = "arrester", "isolator"
_TESTED = ("tested_for_stroke", "tested_for_induced")
Armed = Mapping[str, Sequence[CablePath]]
"""Every way of the devices that have an arrester on one of them, by device."""


def coppers(context: Context) -> list[Copper]:
    """Sheets in the order of devices, cameras first; power last of each."""
    site, ways = context.loaded.site, context.topology.lists.paths
    armed: dict[str, list[CablePath]] = {path.subject: [] for path in ways if ARRESTER in _does(context, path.hops or ())}
    for path in ways if armed else ():
        if path.subject in armed:
            armed[path.subject].append(path)
    found = [
        _copper(context, path, ends, armed)
        for path in ways
        if path.use != "monitor" and path.target is not None and not context.topology.lists.is_network_cable(path)
        and _matters(path, ends := _ends(context, path), armed)
    ]  # fmt: skip
    places = {group: {name: place for place, name in enumerate(getattr(site, group))} for group in _ORDER} if found else {}

    def place(sheet: Copper) -> tuple[int, int, bool]:
        group, _, name = sheet.owner.partition("/")
        return _ORDER.index(group), places[group][name], sheet.use == "power"

    return sorted(found, key=place)


def _ends(context: Context, path: CablePath) -> tuple[Place | None, Place | None]:
    """The places of both ends of a way."""
    site, target = context.loaded.site, path.target
    here: Any = getattr(site, GROUP_OF_KIND[path.owner_kind])[path.owner]
    there: Any = None if target is None else getattr(site, GROUP_OF_KIND[target.device_kind])[target.device]
    return getattr(here, "place", None), getattr(there, "place", None)


def _apart(ends: tuple[Place | None, Place | None], field: str) -> bool | None:
    one, other = (getattr(end, field, None) for end in ends)
    return None if one is None or other is None else bool(one != other)


def _matters(path: CablePath, ends: tuple[Place | None, Place | None], armed: Armed) -> bool:
    here, there = ends
    if path.subject in armed or _height(path, here) is not None:
        return True
    if here is None or there is None:
        return False
    return _differ(here.earth, there.earth) or _differ(here.building, there.building)


def _differ(one: str | None, other: str | None) -> bool:
    return one is not None and other is not None and one != other


def _earths(ends: tuple[Place | None, Place | None]) -> bool | None:
    named = _apart(ends, "earth")
    return _apart(ends, "building") if named is None else named


def _height(path: CablePath, place: Place | None) -> float | None:
    """Height of a camera in the open, where it is written."""
    return place.height if path.owner_kind == "camera" and place is not None and place.setting == "outdoor" else None


def _does(context: Context, hops: Sequence[Hop]) -> list[str]:
    """What the boxes on a way do."""
    boxes = context.loaded.site.boxes
    return [context.part(boxes[hop.box].part).does for hop in hops if hop.box is not None]


def _copper(context: Context, path: CablePath, ends: tuple[Place | None, Place | None], armed: Armed) -> Copper:
    sheet = Copper()
    sheet.subject, sheet.pointer = f"{path.subject}/{path.use}", path.pointer
    sheet.owner, sheet.name, sheet.use = path.subject, path.owner, path.use
    for field, value in (("other_building", _apart(ends, "building")), ("other_earth", _earths(ends))):
        sheet.put(field, value, *_unplaced(path, ends))
    sheet.put("height", _height(path, ends[0]), f"{path.subject}/place/height")
    kind, root = root_of(context.topology.lists, path) if path.use == "power" else ("", "")
    sheet.direct = kind == "supply" and context.supplies[root].gives == "dc"
    _bind_boxes(context, sheet, path, armed)
    return sheet


def _unplaced(path: CablePath, ends: tuple[Place | None, Place | None]) -> tuple[str, ...]:
    """The buildings that nobody wrote."""
    assert path.target is not None, "a way of copper has two ends"
    there = f"{GROUP_OF_KIND[path.target.device_kind]}/{path.target.device}"
    return tuple(
        f"{subject}/place/building"
        for subject, end in zip((path.subject, there), ends, strict=True)
        if getattr(end, "building", None) is None
    )


def _bind_boxes(context: Context, sheet: Copper, path: CablePath, armed: Armed) -> None:
    """What stands on the way; open where nobody wrote what it runs over."""
    at = "/".join(map(str, path.pointer)) + "/over"
    others = (other for other in armed.get(path.subject, ()) if other is not path)
    sheet.others_arrested = any(ARRESTER in _does(context, other.hops or ()) for other in others)
    if path.hops is None:
        for field in ("arresters", "arrester_volts", *_TESTED):
            sheet.lacks(field, at)
        if path.use == "network":
            sheet.isolated = True
        else:
            sheet.lacks("isolated", at)
        return
    does = _does(context, path.hops)
    sheet.isolated, sheet.arresters = path.use == "network" or ISOLATOR in does, does.count(ARRESTER)
    if sheet.arresters:
        _bind_categories(context, sheet, path)
    if path.use == "power" and sheet.arresters:
        _bind_volts(context, sheet, path)


def arresters_on(context: Context, hops: Sequence[Hop]) -> list[str]:
    """Parts of the arresters on a way, in order."""
    boxes = context.loaded.site.boxes
    names = [boxes[hop.box].part for hop in hops if hop.box is not None]
    return [name for name in names if context.part(name).does == ARRESTER]


def _bind_categories(context: Context, sheet: Copper, path: CablePath) -> None:
    """Whether all arresters on a way are tested for strokes, and for induced surges; one that is not settles it."""
    table, names = load_table("arrester-categories"), arresters_on(context, path.hops or ())
    stated = [context.part(name).test_categories for name in names]
    sheet.categories = "; ".join("not stated" if each is None else ", ".join(each) for each in stated)
    sheet.steps = {"categories": {one for each in stated for one in each or ()}}
    silent = dict.fromkeys(f"parts/{name}/test_categories" for name, each in zip(names, stated, strict=True) if each is None)
    for field, column in zip(_TESTED, ("stroke", "induced"), strict=True):
        short = any(each is not None and not any(table.row(one)[column] for one in each) for each in stated)
        sheet.put(field, None if silent and not short else not short, *silent)


def _bind_volts(context: Context, sheet: Copper, path: CablePath) -> None:
    """What the arresters on a way of power stand, and what stands on it."""
    stated = [(name, context.part(name).volts_continuous) for name in arresters_on(context, path.hops or ())]
    known = [volts for _, volts in stated if volts is not None]
    missing = dict.fromkeys(f"parts/{name}/volts_continuous" for name, volts in stated if volts is None)
    sheet.put("arrester_volts", None if missing else min(known), *missing)
    feed = context.cameras[path.owner].known("feed") if path.owner_kind == "camera" else None
    if feed is None:
        sheet.lacks("volts_line", f"{path.subject}/power")
    else:
        sheet.put("volts_line", feed.known("volts_idle"), *feed.missing("volts_idle"))
