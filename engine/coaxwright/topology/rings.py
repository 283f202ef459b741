"""Finds devices that feed each other in a ring. Each names one source, so a walk upwards finds every ring."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coaxwright.topology.records import CablePath, Lists, Pointer


def rings(lists: Lists) -> Iterator[tuple[tuple[str, str], Pointer]]:
    """(what is wrong, what would be right) and the place, for each ring of junctions and each ring of
    switches.
    """
    junctions = {owner: path for (kind, owner), path in lists.device_power.items() if kind == "junction"}
    for ring in _rings(junctions, "junction"):
        what = f"power goes round in a ring: {_named(ring)}"
        yield (what, "let one of them take its power from a supply output"), junctions[ring[0]].pointer
    for ring in _rings(lists.uplinks, "switch"):
        what = f"the network goes round in a ring: {_named(ring)}"
        yield (what, "take one `into` out, so that the switches form a tree"), lists.uplinks[ring[0]].pointer


def _named(ring: list[str]) -> str:
    return " -> ".join([*ring, ring[0]])


def _rings(paths: Mapping[str, CablePath], kind: str) -> Iterator[list[str]]:
    """Every ring once, hop by hop, from the member that stands first in the file."""
    settled: set[str] = set()
    for start in paths:
        walk: dict[str, None] = {}
        at: str | None = start
        while at is not None and at not in settled and at not in walk:
            walk[at] = None
            at = _source(paths, at, kind)
        if at in walk and at is not None:
            names = list(walk)
            yield _from_first(names[names.index(at) :], paths)
        settled.update(walk)


def _source(paths: Mapping[str, CablePath], name: str, kind: str) -> str | None:
    path = paths.get(name)
    target = path.target if path else None
    return target.device if target is not None and target.device_kind == kind else None


def _from_first(ring: list[str], paths: Mapping[str, CablePath]) -> list[str]:
    order = {name: place for place, name in enumerate(paths)}
    first = min(range(len(ring)), key=lambda index: order[ring[index]])
    return ring[first:] + ring[:first]
