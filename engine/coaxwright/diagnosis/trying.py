"""Puts causes into a site: each try of a cause becomes one or more edited site documents, as plain values.

Only the site is edited, never a part: what a datasheet says is not what goes wrong. A try that changes nothing here
(no such entry, that value already) gives none.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coaxwright.diagnosis.forms import Tried
from coaxwright.facts.binding import Facts
from coaxwright.facts.picture.signals import Emitter
from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart
from coaxwright.quiz.forms import Edit
from coaxwright.quiz.plans import NoSuchPlace, Plan, below, edited, places
from coaxwright.reading.site_reader import LoadedSite

Document = Mapping[str, Any]


@immutable
class Change:
    """One edit of a site document, place by place: what stood there and what does now (None where nothing)."""

    path: tuple[str | int, ...]
    old: Any
    new: Any


def _at(text: str, **what: object) -> Edit:
    return Edit.model_validate({"at": text, **what})


def tried(tries: Tried, document: Document, subject: str, loaded: LoadedSite, facts: Facts) -> Iterator[Document]:
    """The site document after each degree of a try on the device of `subject`; `facts` are those of the document."""
    device = tuple(subject.split("/")[:2]) if subject != "site" else ()
    for edits in _edits(tries, document, subject, loaded, facts):
        try:
            value = dict(edited(Plan(document, {}), edits, device).site)
        except (NoSuchPlace, KeyError, IndexError, TypeError):
            continue
        if value != document:
            yield value


def _edits(tries: Tried, document: Document, subject: str, loaded: LoadedSite, facts: Facts) -> Iterator[list[Edit]]:
    if tries.cut:
        yield list(_cut(document, subject))
    elif tries.switch:
        yield from _switched(tries.switch, document, subject, loaded, facts)
    elif tries.hang:
        yield _hung(document, subject, tries.hang)
    elif tries.swap:
        yield from _swapped(document, subject)
    elif tries.at:
        sheet = facts.sheet(subject, "supply")
        volts = sheet.known("volts") if sheet is not None else None
        yield from ([_at(tries.at, put=f"{volts * share:.2f} V")] for share in tries.shares if volts)
        yield from (_grown(tries.at, factor, document, subject) for factor in tries.times)
        yield from ([_drop(tries.at) if value is None else _at(tries.at, put=value)] for value in tries.put)


def _grown(at: str, factor: float, document: Document, subject: str) -> list[Edit]:
    """Every quantity that stands at a place, times a factor; a box among runs of cable has none."""
    values = {"site": document, "parts": {}}
    try:
        found = places(values, _at(at, times=factor), tuple(subject.split("/")[:2]))
    except NoSuchPlace:
        return []
    return [_at("/".join(map(str, path[1:])), times=factor) for path in found if below(values, path) is not None]


def _drop(at: str) -> Edit:
    return _at(at, drop=True)


def _cut(document: Document, subject: str) -> Iterator[Edit]:
    """Everything that names an output of a supply, or any of its outputs, loses its way to it."""
    _, supply, *output = subject.split("/")
    for group in ("cameras", "junctions", "recorders", "boxes"):
        for name, entry in (document.get(group) or {}).items():
            source = str((entry.get("power") or {}).get("from", ""))
            if source == "/".join([supply, *output]) or (not output and source.partition("/")[0] == supply):
                yield _drop(f"{group}/{name}/power")


def _switched(
    which: str, document: Document, subject: str, loaded: LoadedSite, facts: Facts
) -> Iterator[list[Edit]]:
    """The camera sends another family (in the mode that it has, where it can), or another mode of its family."""
    name, link = subject.split("/")[1], facts.sheet(subject, "link")
    part = loaded.catalogue.part(document["cameras"][name]["part"])
    if not isinstance(part, CameraPart) or link is None or not link.known("family") or not link.known("emitted_mode"):
        return
    now = link.known("family"), link.known("emitted_mode")
    for family, mode in sorted({(each.family, str(each.mode)) for each in Emitter.of("", part).signals}):
        other = family != now[0] and mode == now[1]
        if other if which == "family" else family == now[0] and mode != now[1]:
            yield [_at("cameras/@/set", put={"family": family, "mode": mode})]


def _hung(document: Document, subject: str, count: int) -> list[Edit]:
    """So many cameras like this one at the end of its cable, all behind a junction there; no recorder takes them."""
    name = subject.split("/")[1]
    camera = document["cameras"][name]
    power = camera["power"]
    runs = [each["cable"] for each in power.get("over") or () if each.get("cable")]
    behind = {"from": "not-drawn", "over": [{"cable": runs[-1], "length": "1 m"}] if runs else []}
    other = {key: camera[key] for key in ("part", "place") if key in camera} | {"power": behind}
    more = [_at(f"cameras/not-drawn-{number}", put=other) for number in range(1, count + 1)]
    return [_at("junctions/not-drawn", put={"power": power}), _at("cameras/@/power", put=behind), *more]


def _swapped(document: Document, subject: str) -> Iterator[list[Edit]]:
    own = subject.split("/")[1]
    mine = (document["cameras"][own].get("video") or {}).get("into")
    for name, other in document["cameras"].items():
        into = (other.get("video") or {}).get("into")
        if name != own and mine and into and into.partition("/")[0] == mine.partition("/")[0]:
            yield [_at("cameras/@/video/into", put=into)]


def changes(old: object, new: object, path: tuple[str | int, ...] = ()) -> Iterator[Change]:
    """Where two documents differ, at the deepest places that tell it."""
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        for key in dict.fromkeys((*old, *new)):
            yield from changes(old.get(key), new.get(key), (*path, str(key)))
    elif isinstance(old, list | tuple) and isinstance(new, list | tuple) and len(old) == len(new):
        for place, (one, other) in enumerate(zip(old, new, strict=True)):
            yield from changes(one, other, (*path, place))
    elif old != new:
        yield Change(path, old, new)


def both(document: Document, first: Document, second: Document) -> Document:
    """The document with the changes of two tries of it together."""
    value: Any = first
    for change in changes(document, second):
        value = _with(value, change.path, change.new)
    return dict(value)


def _with(
    value: Mapping[str, Any] | list[Any] | tuple[Any, ...] | None, path: tuple[str | int, ...], new: object
) -> dict[str, Any] | list[Any]:
    head, rest = path[0], path[1:]
    if isinstance(value, list | tuple):
        kept = list(value)
        kept[int(head)] = _with(kept[int(head)], rest, new) if rest else new
        return kept
    held = dict(value or {})
    if rest:
        held[str(head)] = _with(held.get(str(head)), rest, new)
    elif new is None:
        held.pop(str(head), None)
    else:
        held[str(head)] = new
    return held


__all__ = ["Change", "Document", "both", "changes", "tried"]
