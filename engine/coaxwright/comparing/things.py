"""Devices, quantities, catalogue entries and lines of cable that differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

from coaxwright.comparing.records import DeviceChange, EntryChange, QuantityChange, RunChange
from coaxwright.comparing.renaming import Names
from coaxwright.model.site import Hop, Site
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.site_reader import LoadedSite, parts_used
from coaxwright.schedules.runs import Line, Quantities
from coaxwright.show.figures import plain

_BY_PIECE = ("cameras", "recorders", "supplies", "boxes", "switches", "monitors")
_LEAST_METRES = 1e-6


def device_changes(before: LoadedSite, after: LoadedSite, names: Names) -> Iterator[DeviceChange]:
    """Devices, disks and pickups whose part differs, older order first."""
    old = {(names.subject(subject), what): part for (subject, what), part in _devices(before.site).items()}
    new = _devices(after.site)
    for key in dict.fromkeys([*old, *new]):
        was, now = old.get(key), new.get(key)
        if _full(before.catalogue, was) != _full(after.catalogue, now):
            yield DeviceChange(*key, was, now)


def _full(catalogue: Catalogue, part: str | None) -> str | None:
    """The whole id, so that a name of the trade and the id of its part are the same; a junction is no part."""
    return catalogue.full_id(part) if part is not None and catalogue.has(part) else part


def _devices(site: Site) -> dict[tuple[str, str], str]:
    found = {
        (f"{group}/{name}", "part"): entry.part for group in _BY_PIECE for name, entry in getattr(site, group).items()
    }
    for name, recorder in site.recorders.items():
        found.update({(f"recorders/{name}", f"disk {place}"): disk for place, disk in enumerate(recorder.disks or (), 1)})
    for name, camera in site.cameras.items():
        if camera.sound is not None and camera.sound.pickup:
            found[f"cameras/{name}", "pickup"] = camera.sound.pickup
    return {**found, **{(f"junctions/{name}", "junction"): "junction" for name in site.junctions}}


def quantity_changes(before: Quantities, after: Quantities) -> Iterator[QuantityChange]:
    """Counts and metres that differ, in order of part."""
    for part in sorted({*before.pieces, *after.pieces}):
        was, now = before.pieces[part], after.pieces[part]
        if was != now:
            yield QuantityChange(part, "", was, now)
    for part in sorted({*before.metres, *after.metres}):
        long, longer = before.metres.get(part, 0.0), after.metres.get(part, 0.0)
        if abs(long - longer) > _LEAST_METRES:
            yield QuantityChange(part, "m", long, longer)


def entry_changes(before: LoadedSite, after: LoadedSite) -> Iterator[EntryChange]:
    """Values of catalogue entries that both sides use and that differ between them."""
    both = {before.catalogue.full_id(each) for each in parts_used(before.site)}
    both &= {after.catalogue.full_id(each) for each in parts_used(after.site)}
    for part in sorted(both):
        old, new = before.catalogue.part(part), after.catalogue.part(part)
        if old is not new and old != new:
            was, now = dict(leaves(old)), dict(leaves(new))
            for path in dict.fromkeys([*was, *now]):
                if was.get(path) != now.get(path):
                    yield EntryChange(part, path, was.get(path), now.get(path))


def leaves(value: object, path: str = "") -> Iterator[tuple[str, Any]]:
    """Single values within a model or a plain value, with their paths; what is as if nobody had written it is left out."""
    if isinstance(value, BaseModel):
        fields = type(value).model_fields
        value = {name: each for name in fields if (each := getattr(value, name)) != fields[name].default}
    if isinstance(value, Mapping):
        for name, each in value.items():
            yield from leaves(each, f"{path}/{name}" if path else str(name))
    elif isinstance(value, list | tuple) and not hasattr(value, "_fields"):
        for place, each in enumerate(value):
            yield from leaves(each, f"{path}/{place}")
    elif value is not None:
        yield path, value


def run_changes(before: list[Line], after: list[Line], names: Names) -> Iterator[RunChange]:
    """Lines of cable that differ, older order first."""
    old = {(names.subject(line.subject), line.use): (line, names.port(line.target)) for line in before}
    new = {(line.subject, line.use): (line, line.target) for line in after}
    for key in dict.fromkeys([*old, *new]):
        was, now = old.get(key), new.get(key)
        if was is None or now is None or was[1] != now[1] or was[0].hops != now[0].hops or was[0].known != now[0].known:
            yield RunChange(*key, was and line_words(*was), now and line_words(*now))


def line_words(line: Line, target: str) -> str:
    """`to rec1/2: rg59-copper 85 m, sheltered; box iso1`."""
    word = "from" if line.use == "power" else "to"
    way = "; ".join(map(hop_words, line.hops)) if line.known else "nobody wrote over what"
    return f"{word} {target}: {way or 'directly'}"


def hop_words(hop: Hop) -> str:
    """One piece in words, with all that is said of it."""
    said = [f"box {hop.box}" if hop.box else hop.cable or "cable not named"]
    if hop.box is None:
        said[0] += " of unknown length" if hop.length is None else f" {plain(hop.length, 2)} m"
    for name in type(hop).model_fields:
        value = getattr(hop, name)
        if name not in ("cable", "length", "box") and value not in (None, False, 0):
            said.append(_more(name.replace("_", " "), value))
    return ", ".join(said)


def _more(name: str, value: object) -> str:
    if value is True:
        return name
    if name in ("setting", "laid"):
        return str(value)
    unit = {"temperature": " °C", "beside mains": " m"}.get(name, "")
    return f"{name} {plain(value, 2)}{unit}" if isinstance(value, int | float) else f"{name} {value}"
