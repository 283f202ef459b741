"""Cautions of a change: of each value that its patch writes, at the place where it is written, on the site as changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from coaxwright.findings import Care
from coaxwright.fixes.patching import pointer_steps
from coaxwright.model.site import Box, Hop, PlacedEntry, Site, Supply
from coaxwright.model.wiring_parts import SupplyPart
from coaxwright.reading.catalogue import Catalogue
from coaxwright.rulebook.cautions import at_place, conditions, worded

Path = tuple[str, ...]
_WAYS = ("video", "power", "network", "sound", "control")


def cautions_of(site: Site, catalogue: Catalogue, patch: Sequence[Mapping[str, Any]]) -> tuple[Care, ...]:
    """What is to be heeded by whoever makes these changes, the gravest first; `site` is the site as changed."""
    names = {name for path in written(patch) for name in _names(site, catalogue, path)}
    return tuple(Care(name, words) for name, words in worded(names))


def written(patch: Iterable[Mapping[str, Any]]) -> Iterator[Path]:
    """The path of every operation, and of every value inside what it writes; places within lists are left out."""
    for operation in patch:
        path = tuple(map(str, pointer_steps(operation["path"])))
        if operation["op"] != "test":
            yield from _inside(_without_places(path), operation.get("value"))


def _without_places(path: Path) -> Path:
    return tuple(step for step in path if not step.isdecimal() and step != "-")


def _inside(path: Path, value: object) -> Iterator[Path]:
    yield path
    if isinstance(value, Mapping):
        for name, each in value.items():
            yield from _inside((*path, str(name)), each)


def _names(site: Site, catalogue: Catalogue, path: Path) -> tuple[str, ...]:
    holding = {where for where in conditions(path) if where == "always" or _holds(where, site, catalogue, path)}
    return at_place(path, holding)


def _holds(where: str, site: Site, catalogue: Catalogue, path: Path) -> bool:
    """Whether a condition of the table holds for the entry that a path goes into."""
    entry = getattr(site, path[0], {}).get(path[1]) if len(path) > 1 else None
    return entry is not None and _CONDITIONS[where](site, catalogue, entry)


def _hops(entry: PlacedEntry) -> Iterator[Hop]:
    for way in _WAYS:
        yield from getattr(getattr(entry, way, None), "over", None) or ()
    yield from getattr(entry, "over", None) or ()


def _outdoors(_site: Site, _catalogue: Catalogue, entry: PlacedEntry) -> bool:
    """The place of the entry, or of one of its runs, is outdoors; a camera's counts as outdoors where nobody has written it."""
    settings = [entry.place.setting if entry.place else None, *(hop.setting for hop in _hops(entry))]
    stated = [setting for setting in settings if setting is not None]
    return any(setting != "indoor" for setting in stated) or (not stated and hasattr(entry, "wants"))


def _buried(_site: Site, _catalogue: Catalogue, entry: PlacedEntry) -> bool:
    return any(hop.buried for hop in _hops(entry))


def _joined(site: Site, entry: PlacedEntry) -> Iterator[PlacedEntry]:
    """Entries that one is joined to: recorders, supplies, junctions, switches, by the names in its ways."""
    ways = [getattr(entry, way, None) for way in _WAYS]
    for port in [getattr(each, name, None) for each in (*ways, entry) for name in ("into", "source")]:
        name = (port or "").partition("/")[0]
        for group in (site.recorders, site.supplies, site.junctions, site.switches):
            if name in group:
                yield group[name]


def _two_buildings(site: Site, _catalogue: Catalogue, entry: PlacedEntry) -> bool:
    own = entry.place.building if entry.place else None
    others = {each.place.building for each in _joined(site, entry) if each.place is not None}
    return bool(others - {own, None}) and own is not None


def _battery(site: Site, catalogue: Catalogue, entry: PlacedEntry) -> bool:
    """A battery stands behind the supply, or behind the one that the entry is fed from."""
    return any(
        isinstance(each, Supply) and (each.battery is not None or _backed(catalogue.part(each.part)))
        for each in (entry, *_joined(site, entry))
    )


def _backed(part: SupplyPart) -> bool:
    return bool(part.battery_backed) or part.battery is not None


def _isolates(_site: Site, catalogue: Catalogue, entry: Box) -> bool:
    return catalogue.part(entry.part).does in ("isolator", "arrester")


_CONDITIONS: Mapping[str, Callable[[Site, Catalogue, Any], bool]] = {
    "outdoors": _outdoors,
    "battery": _battery,
    "buried": _buried,
    "two-buildings": _two_buildings,
    "isolates": _isolates,
}
