"""Lays `defaults` of a site file over its entries: value by value, an entry's own word first, then its area, its building,
the site. What they fill in is listed, so that a report tells it from what an entry says itself.

Laying them over twice is the same as once. Not here: what is assumed where nobody says anything (`facts.assumed`).
"""

from __future__ import annotations

import copy
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.model.common import Strict
from coaxwright.model.site import (
    Box,
    ControlPath,
    DefaultsHere,
    Hop,
    Junction,
    NetworkPath,
    Place,
    PowerPath,
    Recorder,
    Recording,
    Site,
    SoundPath,
    Supply,
    Switch,
    VideoPath,
    Wants,
)
from coaxwright.model.site import Camera as CameraEntry

Path = tuple[str | int, ...]
_USES = ("video", "network", "power", "sound", "control")
_DEVICES = ("recorders", "supplies", "junctions", "boxes", "switches")


@immutable
class Defaulted:
    """A value that an entry has from `defaults`: its path, what it is called, the value, and the path it comes from."""

    path: Path
    what: str
    value: str
    where: str


Source = tuple[str, DefaultsHere]


def laid_over(site: Site) -> tuple[Site, tuple[Defaulted, ...]]:
    """The site with its defaults in place, and what came from them; the same site where it states none."""
    if site.defaults is None:
        return site, ()
    told: list[Defaulted] = []
    groups: dict[str, Any] = {
        "cameras": {name: _camera(site, name, each, told) for name, each in site.cameras.items()}
    }
    for group in _DEVICES:
        entries = getattr(site, group)
        if entries:
            groups[group] = {name: _device(site, (group, name), each, told) for name, each in entries.items()}
    return site.model_copy(update=groups), tuple(told)


def default_cables(site: Site) -> Iterator[tuple[Path, str]]:
    """Every cable that `defaults` name, with its path."""
    if site.defaults is None:
        return
    places: list[tuple[Path, DefaultsHere]] = [(("defaults",), site.defaults)]
    for group in ("buildings", "areas"):
        places += [(("defaults", group, name), each) for name, each in getattr(site.defaults, group).items()]
    for path, each in places:
        for use in _USES if each.cable is not None else ():
            cable = getattr(each.cable, use)
            if cable is not None:
                yield (*path, "cable", use), cable


def _sources(site: Site, area: str | None, building: str | None) -> list[Source]:
    """Defaults that hold for an entry, the nearest first. `building` is what the entry itself says."""
    defaults = site.defaults
    assert defaults is not None, "asked only of sites that have some"
    found: list[Source] = []
    if area in defaults.areas:
        found.append((f"defaults/areas/{area}", defaults.areas[area]))
    said = [each.place.building for _, each in found if each.place is not None]
    here = building or next((each for each in said if each), None) or (defaults.place and defaults.place.building)
    if here in defaults.buildings:
        found.append((f"defaults/buildings/{here}", defaults.buildings[here]))
    return [*found, ("defaults", defaults)]


def _camera(site: Site, name: str, camera: CameraEntry, told: list[Defaulted]) -> CameraEntry:
    path: Path = ("cameras", name)
    sources = _sources(site, camera.area, camera.place.building if camera.place else None)
    changes: dict[str, Any] = {}
    for field in ("place", "wants"):
        _fill(changes, camera, field, [(where, getattr(each, field)) for where, each in sources], path, told)
    for use in _USES:
        way = getattr(camera, use)
        if way is not None:
            _keep(changes, use, way, _way(way, use, sources, (*path, use), told))
    found: CameraEntry = camera.model_copy(update=changes) if changes else camera
    return found


def _device(site: Site, path: Path, device: Recorder | Supply | Junction | Box | Switch, told: list[Defaulted]) -> object:
    """A recorder, supply, junction, box or switch."""
    defaults = site.defaults
    sources = _sources(site, None, device.place.building if device.place else None)
    changes: dict[str, Any] = {}
    _fill(changes, device, "place", [(where, each.device_place) for where, each in sources], path, told)
    if path[0] == "recorders" and defaults is not None:
        _fill(changes, device, "record", [("defaults", defaults.record)], path, told)
    power = getattr(device, "power", None)
    if power is not None:
        _keep(changes, "power", power, _way(power, "power", sources, (*path, "power"), told))
    if isinstance(device, Switch):
        _keep(changes, "over", device.over, _hops(device.over, "network", sources, path, told))
    return device.model_copy(update=changes) if changes else device


def _keep(changes: dict[str, Any], field: str, before: object, after: object) -> None:
    if after is not before:
        changes[field] = after


def _fill(
    changes: dict[str, Any], entry: Strict, field: str, sources: Iterable[tuple[str, Strict | None]], path: Path,
    told: list[Defaulted],
) -> None:  # fmt: skip
    """Fill in what a group of values (`place`, `wants`, `record`) lacks."""
    own = getattr(entry, field)
    new: dict[str, Any] = {}
    for where, given in sources:
        for name in given.model_fields_set if given is not None else ():
            value = getattr(given, name)
            if value is not None and name not in new and not _says(own, name):
                new[name] = value
                source = f"{where}/{_key(field, path)}/{name}"
                told.append(_defaulted((*path, field, name), f"{field}/{name} of {path[0]}", value, source))
    if new:
        made = own if own is not None else _EMPTY[field]()
        changes[field] = made.model_copy(update=new)


def _key(field: str, path: Path) -> str:
    return "device_place" if field == "place" and path[0] != "cameras" else field


_EMPTY: dict[str, type[Strict]] = {"place": Place, "wants": Wants, "record": Recording}


def _says(own: Strict | None, name: str) -> bool:
    return own is not None and name in own.model_fields_set and getattr(own, name) is not None


def _defaulted(path: Path, what: str, value: object, where: str) -> Defaulted:
    shown = "yes" if value is True else "no" if value is False else f"{value}"
    return Defaulted(path, what, shown, where)


def _way(
    way: VideoPath | PowerPath | NetworkPath | SoundPath | ControlPath, use: str, sources: Sequence[Source], path: Path,
    told: list[Defaulted],
) -> object:  # fmt: skip
    hops = _hops(way.over, use, sources, path, told)
    return way if hops is way.over else way.model_copy(update={"over": hops})


def _hops(
    hops: tuple[Hop, ...] | None, use: str, sources: Sequence[Source], path: Path, told: list[Defaulted]
) -> tuple[Hop, ...] | None:
    """Runs that name neither a cable nor a box, with the cable for their use."""
    named = [(where, getattr(each.cable, use)) for where, each in sources if each.cable is not None]
    where, cable = next(((where, cable) for where, cable in named if cable is not None), ("", None))
    if cable is None or not hops or all(hop.cable or hop.box for hop in hops):
        return hops
    made = []
    for place, hop in enumerate(hops):
        lacks = hop.cable is None and hop.box is None
        made.append(hop.model_copy(update={"cable": cable}) if lacks else hop)
        if lacks:
            at = (*path, "over", place, "cable")
            told.append(_defaulted(at, f"cable of {use}", cable, f"{where}/cable/{use}"))
    return tuple(made)


def filled_in(value: dict[str, Any], defaulted: Sequence[Defaulted]) -> dict[str, Any]:
    """A site document as it would read if every entry said itself what it has from `defaults`; a copy where any has."""
    if not defaulted:
        return value
    made = copy.deepcopy(value)
    for each in defaulted:
        given: Any = value
        for step in each.where.split("/"):
            given = given.get(step) if isinstance(given, dict) else None
        place: Any = made
        for key in each.path[:-1]:
            place = place.setdefault(key, {}) if isinstance(place, dict) else place[key]
        if given is not None and isinstance(place, dict):
            place.setdefault(each.path[-1], given)
    return made
