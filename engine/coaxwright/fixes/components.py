"""Which entries of a site belong to which component, so that an edit computes no more than it touches.

A component is what `facts.binding` computes as one: a recorder with its cameras, a supply with its tree, or
a single thing that hangs on neither. Two kinds are added for judging: one for each box, one for the site.
Nothing here computes a fact.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import field
from typing import Any

from coaxwright.facts.binding import RECORDER, ROOT, SUPPLY, UNPOWERED, UNRECORDED, Component
from coaxwright.immutable import immutable
from coaxwright.model.common import Strict
from coaxwright.model.site import Site
from coaxwright.topology.records import GROUP_OF_KIND
from coaxwright.topology.wiring import Topology

BOX = "box"
SITE: Component = ("site", "")
Entry = tuple[str, str]
"""A group of the site file and an id in it."""
GROUPS: tuple[str, ...] = ("recorders", "supplies", "junctions", "boxes", "switches", "monitors", "cameras")
_PICTURE = (RECORDER, UNRECORDED)
PORT_GROUPS = ("recorders", "supplies", "junctions", "switches")


@immutable
class Owners:
    """Components by entry (`picture` by camera id, `power`), entries by component (`members`), and who else
    depends on an entry: cameras with a line into a recorder (`lines`), entries whose paths name a box (`boxes`).
    """

    picture: Mapping[str, Component] = field(default_factory=dict)
    power: Mapping[Entry, Component] = field(default_factory=dict)
    members: Mapping[Component, frozenset[Entry]] = field(default_factory=dict)
    lines: Mapping[str, frozenset[Entry]] = field(default_factory=dict)
    boxes: Mapping[str, frozenset[Entry]] = field(default_factory=dict)

    def homes(self, entry: Entry) -> set[Component]:
        """The components whose facts an entry takes part in by itself."""
        group, name = entry
        found = {self.power[entry]} if entry in self.power else set()
        if group == "cameras" and name in self.picture:
            found.add(self.picture[name])
        own = {"recorders": RECORDER, "supplies": SUPPLY, "boxes": BOX}.get(group)
        return found | ({(own, name)} if own else set())

    def needed(self, component: Component) -> set[Entry]:
        """Every entry that the facts of a component read."""
        kind, name = component
        found = set(self.members.get(component, ()))
        group = {RECORDER: "recorders", SUPPLY: "supplies", BOX: "boxes"}.get(kind)
        if group:
            found |= {(group, name)} | self.dependants((group, name))
        if kind == ROOT and name.startswith("junctions/"):
            found.add(("junctions", name.removeprefix("junctions/")))
        return found

    def dependants(self, entry: Entry) -> frozenset[Entry]:
        """Other entries whose facts read this one."""
        group, name = entry
        found = {"recorders": self.lines, "boxes": self.boxes}.get(group, {})
        return found.get(name, frozenset())


def owners_of(site: Site, topology: Topology) -> Owners:
    """Who belongs where, for a whole site or for the part of one that a topology was built for."""
    picture: dict[str, Component] = {
        name: (RECORDER, path.target.device) if path.target else (UNRECORDED, name)
        for name, path in topology.lists.video.items()
    }
    picture.update((name, (UNRECORDED, name)) for name in site.cameras if name not in picture)
    power = dict(_powered(site, topology))
    members: dict[Component, set[Entry]] = {}
    for name, component in picture.items():
        members.setdefault(component, set()).add(("cameras", name))
    for entry, component in power.items():
        members.setdefault(component, set()).add(entry)
    return Owners(
        picture,
        power,
        {component: frozenset(entries) for component, entries in members.items()},
        _grouped((entry, line_targets(model)) for entry, model in entries(site) if entry[0] == "cameras"),
        _grouped((entry, boxes_of(model)) for entry, model in entries(site)),
    )


def _powered(site: Site, topology: Topology) -> Iterator[tuple[Entry, Component]]:
    for kind, trees in ((SUPPLY, topology.trees.values()), (ROOT, topology.unfed)):
        for tree in trees:
            for path in tree.paths:
                yield (GROUP_OF_KIND[path.owner_kind], path.owner), (kind, tree.root)
    for name in site.junctions:
        if ("junction", name) not in topology.lists.device_power:
            yield ("junctions", name), (ROOT, f"junctions/{name}")
    for name in site.cameras:
        if name not in topology.lists.power:
            yield ("cameras", name), (UNPOWERED, name)


def _grouped(uses: Iterable[tuple[Entry, Iterable[str]]]) -> dict[str, frozenset[Entry]]:
    found: dict[str, set[Entry]] = {}
    for entry, names in uses:
        for name in names:
            found.setdefault(name, set()).add(entry)
    return {name: frozenset(each) for name, each in found.items()}


def entries(site: Site) -> Iterator[tuple[Entry, Any]]:
    """Every entry of the site with its model."""
    for group in GROUPS:
        for name, model in getattr(site, group).items():
            yield (group, name), model


def model_of(site: Site, entry: Entry) -> Any:
    """The model of an entry; None where the site has no such entry."""
    return getattr(site, entry[0]).get(entry[1])


def ways_of(model: Strict) -> Iterator[Any]:
    """Every path that an entry writes: what names a port, or hops."""
    for use in ("video", "network", "power", "sound", "control"):
        way = getattr(model, use, None)
        if way is not None:
            yield way


def boxes_of(model: Strict) -> tuple[str, ...]:
    """Boxes that the paths of an entry name."""
    hops = [hop for way in ways_of(model) for hop in way.over or ()]
    return tuple(hop.box for hop in [*hops, *(getattr(model, "over", None) or ())] if hop.box is not None)


def ports_of(model: Strict) -> Iterator[str]:
    """Port words that an entry writes."""
    for way in (*ways_of(model), model):
        for name in ("into", "source"):
            port = getattr(way, name, None)
            if isinstance(port, str):
                yield port


def line_targets(camera: Any) -> set[str]:
    """Recorders in which a camera's own lines for sound and control end."""
    ways = (camera.sound, camera.control)
    return {way.into.partition("/")[0] for way in ways if way is not None and way.into is not None}


def references(site: Site, model: Strict) -> Iterator[Entry]:
    """Devices and boxes of the site that an entry names."""
    for port in ports_of(model):
        device = port.partition("/")[0]
        yield from ((group, device) for group in PORT_GROUPS if device in getattr(site, group))
    for box in boxes_of(model):
        if box in site.boxes:
            yield "boxes", box


def excerpt(site: Site, wanted: Iterable[Entry]) -> Site:
    """The site with these entries and all that they name, and nothing else, in the order of the file."""
    kept: set[Entry] = set()
    waiting = list(wanted)
    while waiting:
        entry = waiting.pop()
        model = model_of(site, entry)
        if entry not in kept and model is not None:
            kept.add(entry)
            waiting.extend(references(site, model))
    return site.model_copy(update={group: _kept(getattr(site, group), group, kept) for group in GROUPS})


def _kept(models: Mapping[str, Any], group: str, kept: set[Entry]) -> dict[str, Any]:
    names = {name for kind, name in kept if kind == group}
    if len(names) < 2:
        return {name: models[name] for name in names}
    return {name: models[name] for name in models if name in names}


def moved(owners: Owners, part: Owners, touched: Iterable[Component], changed: Mapping[Entry, Any]) -> Owners:
    """Owners after an edit: `part` is what holds now for the touched components, `changed` the entries with
    their new models (None for one that is gone).
    """
    picture, power, members = dict(owners.picture), dict(owners.power), dict(owners.members)
    for component in touched:
        for entry in members.pop(component, ()):
            _drop(picture, power, component, entry)
    for component in touched:
        if component in part.members:
            members[component] = part.members[component]
            for entry in part.members[component]:
                if component[0] in _PICTURE:
                    picture[entry[1]] = component
                else:
                    power[entry] = component
    lines = _moved_uses(owners.lines, _only_cameras(changed), line_targets)
    return Owners(picture, power, members, lines, _moved_uses(owners.boxes, changed, boxes_of))


def _drop(picture: dict[str, Component], power: dict[Entry, Component], home: Component, entry: Entry) -> None:
    if home[0] in _PICTURE and picture.get(entry[1]) == home:
        del picture[entry[1]]
    elif home[0] not in _PICTURE and power.get(entry) == home:
        del power[entry]


def _only_cameras(changed: Mapping[Entry, Any]) -> dict[Entry, Any]:
    return {entry: model for entry, model in changed.items() if entry[0] == "cameras"}


def _moved_uses(
    uses: Mapping[str, frozenset[Entry]], changed: Mapping[Entry, Any], named: Callable[[Any], Iterable[str]]
) -> Mapping[str, frozenset[Entry]]:
    found = dict(uses)
    for entry, model in changed.items():
        for name in [name for name, users in found.items() if entry in users]:
            found[name] -= {entry}
        for name in () if model is None else named(model):
            found[name] = found.get(name, frozenset()) | {entry}
    return found


def named_elsewhere(value: Mapping[str, Any], entry: Entry) -> bool:
    """Whether another entry of a site document names this one, or a port of it."""
    return any(
        _names(written, entry[1])
        for group in GROUPS
        for name, written in (value.get(group) or {}).items()
        if (group, name) != entry
    )


def _names(value: object, name: str) -> bool:
    if isinstance(value, dict):
        return any(_names(each, name) for each in value.values())
    if isinstance(value, list | tuple):
        return any(_names(each, name) for each in value)
    return isinstance(value, str) and value.partition("/")[0] == name


def earth_of(entry: object) -> tuple[Any, Any]:
    """Building and earth written at an entry of the plain document: they decide what coax and power join."""
    place = entry.get("place") if isinstance(entry, dict) else None
    return (place.get("building"), place.get("earth")) if isinstance(place, dict) else (None, None)
