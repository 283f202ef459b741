"""New entries: a camera like the last one on the next free ports, a recorder, a supply, a disk, a whole new site."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.patching import pointer
from coaxwright.reading.catalogue import Catalogue
from coaxwright.workspace.columns import CAMERAS, KINDS_OF_GROUPS, Column
from coaxwright.workspace.completing import options

_ENDING = re.compile(r"[-_ ]?[0-9]+$")
_USED = {each.name: each for each in CAMERAS}


def addition(
    value: dict[str, Any], catalogue: Catalogue, group: str, name: str = "", part: str = ""
) -> tuple[str, Any]:
    """The name of a new entry of a group, and the operation that adds it. Raises Refusal where no part can be had."""
    entries = value.get(group) or {}
    kind = KINDS_OF_GROUPS[group]
    last = next(reversed(entries.values()), None) if entries else None
    part = part or (last or {}).get("part") or next(iter(catalogue.ids(kind)), "")
    if not part:
        right = f"put a part file with a {kind} into the folder parts/ beside the site, and name it there: parts: [parts/*.yaml]"
        raise Refusal([Problem("", f"no part file of this site holds a {kind}", right)])
    name = name or _free_name(entries, kind)
    entry: dict[str, Any] = {"part": part}
    if group == "cameras":
        entry |= _joined(value, catalogue, name, last or {})
    if entries:
        return name, {"op": "add", "path": pointer((group, name)), "value": entry}
    return name, {"op": "replace" if group in value else "add", "path": pointer((group,)), "value": {name: entry}}


def _free_name(entries: Iterable[str], kind: str) -> str:
    """`camera-5`, or the next number of the names that there are."""
    names = list(entries)
    stem = _ENDING.sub("", names[-1]) if names and _ENDING.search(names[-1]) else kind
    return next(
        name for number in range(len(names) + 1, 2 * len(names) + 3) if (name := f"{stem}-{number}") not in names
    )


def _joined(value: dict[str, Any], catalogue: Catalogue, name: str, last: dict[str, Any]) -> dict[str, Any]:
    """Ways to the next free input and output, over cable like the last camera's, its lengths not given."""
    made: dict[str, Any] = {}
    for use, key in (("video", "into"), ("power", "from")):
        column = _USED["input" if use == "video" else "fed from"]
        port = _free_port(value, catalogue, column, ("cameras", name))
        if port:
            made[use] = {key: port, **_like(last.get(use))}
    return made


def _like(way: object) -> dict[str, Any]:
    hops = way.get("over") if isinstance(way, dict) else None
    cable = hops[0].get("cable") if isinstance(hops, list) and hops and isinstance(hops[0], dict) else None
    return {"over": [{"cable": cable}]} if cable else {}


def _free_port(value: dict[str, Any], catalogue: Catalogue, column: Column, path: tuple[str, str]) -> str:
    first = options(catalogue, value, column, path, "").shown[:1]
    return first[0].value if first and first[0].figures == "free" else ""


def new_disk(value: dict[str, Any], catalogue: Catalogue, recorder: str) -> dict[str, Any]:
    """The operation that puts one more disk into a recorder: like its last, or the first of the catalogue."""
    entry = (value.get("recorders") or {}).get(recorder)
    if not isinstance(entry, dict):
        raise Refusal([Problem("", f"there is no recorder `{recorder}`", "add the recorder first")])
    disks = entry.get("disks") or []
    disk = disks[-1] if disks else next(iter(catalogue.ids("disk")), "")
    path = ("recorders", recorder, "disks")
    if disks:
        return {"op": "add", "path": pointer((*path, len(disks))), "value": disk}
    return {"op": "replace" if "disks" in entry else "add", "path": pointer(path), "value": [disk]}


def new_site(name: str, video_rate: int, retention: str, parts: bool) -> str:
    """The text of a site with nothing in it yet."""
    from coaxwright.fixes.yaml_text import flow

    lines = [
        "# Written by the desk. Lines that begin with a # are yours.",
        f"site: {flow(name)}",
        f"video_rate: {video_rate}",
        *([f"retention: {flow(retention)}"] if retention else []),
        *(["parts: [parts/*.yaml]"] if parts else []),
    ]
    return "\n".join(lines) + "\n"
