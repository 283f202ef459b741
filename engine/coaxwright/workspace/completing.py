"""What may stand in a cell: parts with their figures, ports with who uses them, choices, near what was typed."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.wiring_parts import SupplyPart
from coaxwright.reading.catalogue import GENERIC, Catalogue
from coaxwright.reading.suggest import nearest
from coaxwright.workspace.columns import Column, Steps
from coaxwright.workspace.figures import part_figures

MOST = 12
_CARRIES = {"video": {"coax", "pair"}, "power": {"power"}, "network": {"network"}}


@immutable
class Option:
    """One thing that may stand in a cell, and what tells it from the others."""

    value: str
    figures: str


@immutable
class Options:
    """The nearest options, and how many there are in all."""

    shown: tuple[Option, ...]
    count: int


def options(catalogue: Catalogue, value: dict[str, Any], column: Column, path: Steps, typed: str) -> Options:
    """What may stand in the cell at a path, nearest to what was typed first."""
    kind, _, what = column.holds.partition(":")
    if kind == "part":
        found = _parts(catalogue, what, _use(path))
        near = _near([name for name, _ in found], typed)
        parts = dict(found)
        return Options(tuple(Option(name, part_figures(parts[name])) for name in near[:MOST]), len(near))
    if kind == "port":
        ports = list(_ports(catalogue, value, what, path))
        by_name = {each.value: each for each in ports}
        near = [name for name in by_name if typed.lower() in name.lower()] if typed else list(by_name)
        return Options(tuple(by_name[name] for name in near[:MOST]), len(near))
    choices = [each for each in column.choices if each.startswith(typed.lower())] or list(column.choices)
    return Options(tuple(Option(each, "") for each in choices), len(choices))


def _use(path: Steps) -> str:
    """What the cable of a cell has to carry, where its place says so."""
    return next((str(step) for step in path if step in _CARRIES), "")


def _parts(catalogue: Catalogue, kind: str, use: str) -> list[tuple[str, Any]]:
    """Parts of a kind as they are written in a site file, smaller conductors first."""
    found = []
    for name in catalogue.ids(kind):
        part = catalogue.part(name)
        if kind == "cable" and use and not _CARRIES[use] & set(part.carries):
            continue
        if not part.retired:
            found.append((name.removeprefix(GENERIC) if kind == "cable" else name, part))
    return sorted(found, key=_order) if kind == "cable" else found


def _order(found: tuple[str, Any]) -> tuple[int, float, str]:
    """Cables made for one use before those for several, smaller conductors first."""
    name, part = found
    size = part.conductor.size if part.conductor is not None and part.conductor.size else 0.0
    return len(part.carries), size, name


def _near(names: list[str], typed: str) -> list[str]:
    """Names that hold every word typed, those that begin with it first; else names of like spelling."""
    words = [each for each in re.split(r"[\s/]+", typed.lower()) if each]
    whole = typed.strip().lower()
    held = [name for name in names if all(word in name.lower() for word in words)]
    held.sort(
        key=lambda name: not any(piece.startswith(whole) for piece in (name.lower(), name.lower().partition("/")[2]))
    )
    return held or _alike(names, words)


def _alike(names: list[str], words: list[str]) -> list[str]:
    """Names that have a piece spelled like each word."""
    pieces = {piece for name in names for piece in name.lower().split("/")}
    like = [nearest(word, pieces, 3) for word in words]
    return [
        name for name in names if like and all(any(each in name.lower().split("/") for each in near) for near in like)
    ]


def _ports(catalogue: Catalogue, value: dict[str, Any], use: str, path: Steps) -> Iterator[Option]:
    """Ports of the devices of the site that carry a use, each with who is joined to it; free ones first."""
    taken = dict(_joined(value, use, path))
    listed = [(port, taken.get(port, "")) for port in _all_ports(catalogue, value, use)]
    for port, by in sorted(listed, key=lambda each: bool(each[1])):
        yield Option(port, f"taken by {by}" if by else "free")


def _all_ports(catalogue: Catalogue, value: dict[str, Any], use: str) -> Iterator[str]:
    group, numbers = ("recorders", _inputs) if use == "video" else ("supplies", _outputs)
    entries = value.get(group)
    for name, entry in entries.items() if isinstance(entries, dict) else ():
        part = entry.get("part") if isinstance(entry, dict) else None
        if isinstance(part, str) and catalogue.has(part):
            yield from (f"{name}/{number}" for number in numbers(catalogue.part(part)))
    if use == "power":
        yield from value.get("junctions") or ()


def _inputs(part: RecorderPart) -> Iterable[int]:
    return sorted({number for group in getattr(part, "inputs", ()) for number in group.channels})


def _outputs(part: SupplyPart) -> Iterable[int]:
    return range(1, (getattr(part, "outputs", None) or 1) + 1)


def _joined(value: dict[str, Any], use: str, path: Steps) -> Iterator[tuple[str, str]]:
    """Ports that cameras are joined to, but for the camera of this cell."""
    cameras = value.get("cameras")
    for name, entry in cameras.items() if isinstance(cameras, dict) else ():
        way = entry.get(use) if isinstance(entry, dict) else None
        port = way.get("into" if use == "video" else "from") if isinstance(way, dict) else None
        if isinstance(port, str) and path[:2] != ("cameras", name):
            yield port, name
