"""Finds among the facts of a site what a rule judges, and binds the variables of its expressions.

Joints and paths are made on demand, only for rules that judge them. A power path has the runs of the camera's
own cable as its hops; what a trunk before it carries is told by the feed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any, Protocol

from coaxwright.facts.sheets import Camera, Feed, Hop, Link, Path, Run, Sheet
from coaxwright.language.checked import Checked
from coaxwright.language.syntax import Macro, Name, Node, Select
from coaxwright.rulebook.scope import JOINT, Scope

SLOTS = ("first", "second", "third")


class FactSource(Protocol):
    """Facts of one site: the sheets of a kind, in file order."""

    def by_kind(self, kind: str) -> Sequence[Any]:
        """All sheets of `kind`; empty where the site has none."""
        ...


class Joint:
    """Things judged together, as one subject of a sweep: `first`, `second`, `third` are sheets."""

    __slots__ = ("first", "pointer", "second", "subject", "third")

    def __init__(self, subject: str, pointer: tuple[str | int, ...], *sheets: object) -> None:
        self.subject, self.pointer = subject, pointer
        for name, sheet in zip(SLOTS, sheets, strict=False):
            setattr(self, name, sheet)


def subjects(scope: Scope, facts: FactSource) -> Sequence[Any]:
    """What a rule of this scope judges on a site, in file order."""
    kinds = [kind for _, kind in scope.variables]
    if scope.form == "kind":
        return facts.by_kind(kinds[0])
    if scope.form == "joint":
        return [_joint_of(first, second) for first, second in _JOINTS[kinds[0], kinds[1]](facts)]
    return [
        Joint(path.subject, path.pointer, path, *ends)
        for path, *ends in _WAYS[kinds[1], scope.along, kinds[2]](facts)
    ]


def _joint_of(first: Sheet, second: Camera) -> Joint:
    return Joint(f"{first.subject} > {second.subject}", second.pointer, first, second)


def bindings(scope: Scope, subject: object, site: object, limit: object) -> dict[str, Any]:
    """Variables of the rule's expressions for one subject; `site` is left out where there is none."""
    bound = {"limit": limit} if site is None else {"site": site, "limit": limit}
    if scope.form == "kind":
        return {**bound, scope.subject: subject}
    names = (name for name, _ in scope.variables)
    return {**bound, **{name: getattr(subject, slot) for name, slot in zip(names, SLOTS, strict=False)}}


Pairs = Iterator[tuple[Any, Any]]


def _known(sheet: Sheet, name: str) -> Any:
    return getattr(sheet, name, None)


def _output_cameras(facts: FactSource) -> Pairs:
    for output in facts.by_kind("output"):
        for feed in _known(output, "feeds") or ():
            if _known(feed, "load") is not None:
                yield output, feed.load


def _fed_cameras(kind: str, field: str) -> Callable[[FactSource], Pairs]:
    """Pairs of what a feed names in `field` and its camera, grouped in the order of the former."""

    def pairs(facts: FactSource) -> Pairs:
        members: dict[int, list[Any]] = {}
        for feed in facts.by_kind("feed"):
            if _known(feed, "load") is not None:
                members.setdefault(id(_known(feed, field)), []).append(feed.load)
        for sheet in facts.by_kind(kind):
            yield from ((sheet, camera) for camera in members.get(id(sheet), ()))

    return pairs


def _linked_cameras(kind: str) -> Callable[[FactSource], Pairs]:
    """Pairs of a recorder, an input or a disk group and each camera linked to it."""

    def pairs(facts: FactSource) -> Pairs:
        members: dict[int, list[Any]] = {}
        for link in facts.by_kind("link"):
            end = _known(link, "input" if kind == "input" else "recorder")
            members.setdefault(id(end), []).append(_known(link, "camera"))
        for sheet in facts.by_kind(kind):
            owner = _known(sheet, "recorder") if kind == "disk_group" else sheet
            yield from ((sheet, camera) for camera in members.get(id(owner), ()) if camera is not None)

    return pairs


_JOINTS: Mapping[tuple[str, str], Callable[[FactSource], Pairs]] = {
    ("output", "camera"): _output_cameras,
    ("supply", "camera"): _fed_cameras("supply", "source"),
    ("junction", "camera"): _fed_cameras("junction", "junction"),
    ("recorder", "camera"): _linked_cameras("recorder"),
    ("input", "camera"): _linked_cameras("input"),
    ("disk_group", "camera"): _linked_cameras("disk_group"),
}


def _video_paths(end: str) -> Callable[[FactSource], Iterator[tuple[Any, Any, Any]]]:
    def paths(facts: FactSource) -> Iterator[tuple[Any, Any, Any]]:
        for link in facts.by_kind("link"):
            if _known(link, "camera") is not None and _known(link, end) is not None:
                yield _path(link, link.camera, _known(link, "hops")), link.camera, getattr(link, end)

    return paths


def _path(way: Feed | Link, camera: Camera, hops: list[Any] | None) -> Path:
    path = Path.__new__(Path)
    path.subject, path.pointer, path.start = way.subject, way.pointer, camera
    _copy(way, path, "metres", "metres")
    if hops is None:
        path.lacks("hops", *way.missing("hops"))
    else:
        path.hops = hops
    return path


def _copy(source: Sheet, target: Sheet, field: str, name: str) -> None:
    if source.known(field) is None:
        target.lacks(name, *source.missing(field))
    else:
        setattr(target, name, source.known(field))


def _power_paths(end: str) -> Callable[[FactSource], Iterator[tuple[Any, Any, Any]]]:
    """Paths of feeds: the runs of the camera's own cable, as hops."""

    def paths(facts: FactSource) -> Iterator[tuple[Any, Any, Any]]:
        runs = _power_runs(facts.by_kind("run"))
        for feed in facts.by_kind("feed"):
            camera, far = _known(feed, "load"), _known(feed, end)
            if camera is not None and far is not None:
                yield _path(feed, camera, [_hop(run) for run in runs.get(camera.subject, ())]), camera, far

    return paths


def _power_runs(runs: Iterable[Any]) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = {}
    for run in runs:
        if _known(run, "use") == "power":
            found.setdefault(_known(run, "owner") or "", []).append(run)
    return found


def _hop(run: Run) -> Hop:
    hop = Hop.__new__(Hop)
    hop.subject, hop.pointer, hop.is_box, hop.is_run, hop.medium = (
        run.subject,
        run.pointer,
        False,
        True,
        "power",
    )
    for field, name in (("metres", "metres"), ("cable", "part"), ("cable", "name")):
        _copy(run, hop, field, name)
    return hop


_WAYS: Mapping[tuple[str, str, str], Callable[[FactSource], Iterator[tuple[Any, Any, Any]]]] = {
    ("camera", "video", "recorder"): _video_paths("recorder"),
    ("camera", "video", "input"): _video_paths("input"),
    ("camera", "power", "supply"): _power_paths("source"),
    ("camera", "power", "output"): _power_paths("output"),
    ("camera", "power", "junction"): _power_paths("junction"),
}


def on_subject(checked: Checked, scope: Scope) -> Checked:
    """The expression with the variables of a joint or path read from the one subject of a sweep."""
    if scope.form == "kind":
        return checked
    slots = {name: slot for (name, _), slot in zip(scope.variables, SLOTS, strict=False)}
    return replace(checked, syntax=_on_joint(checked.syntax, slots))


def _on_joint(node: Node, slots: Mapping[str, str]) -> Node:
    if isinstance(node, Name):
        slot = slots.get(node.name)
        return node if slot is None else Select(node.start, node.end, Name(node.start, node.end, JOINT), slot)
    if isinstance(node, Macro):
        inner = {name: slot for name, slot in slots.items() if name != node.variable}
        return replace(node, source=_on_joint(node.source, slots), body=_on_joint(node.body, inner))
    return replace(node, **{entry.name: _part(getattr(node, entry.name), slots) for entry in fields(node)})


def _part(value: object, slots: Mapping[str, str]) -> Any:
    if isinstance(value, tuple):
        return tuple(_on_joint(item, slots) for item in value)
    return _on_joint(value, slots) if isinstance(value, Node) else value
