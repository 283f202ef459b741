"""Entries that stand under another id: found where the rest is the same, so that all else is compared across."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coaxwright.comparing.records import Renamed
from coaxwright.model.site import Site
from coaxwright.topology.records import GROUP_OF_KIND

GROUPS = tuple(GROUP_OF_KIND.values())


def renamed_entries(before: Site, after: Site) -> tuple[Renamed, ...]:
    """Pairs of an id that is gone and one that is new whose entries are equal, where each has no other such."""
    found: list[Renamed] = []
    for group in GROUPS:
        old, new = getattr(before, group), getattr(after, group)
        gone = {name: entry for name, entry in old.items() if name not in new}
        came = {name: entry for name, entry in new.items() if name not in old}
        found += [Renamed(f"{group}/{one}", f"{group}/{other}") for one, other in _pairs(gone, came)]
    return tuple(found)


def _pairs(gone: Mapping[str, Any], came: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Each with the one equal to it; two equal ones are nobody's."""
    matches = {one: [other for other, new in came.items() if new == old] for one, old in gone.items()}
    claimed = [others[0] for others in matches.values() if len(others) == 1]
    return [
        (one, others[0]) for one, others in matches.items() if len(others) == 1 and claimed.count(others[0]) == 1
    ]


class Names:
    """Subjects and ports of the older side as the newer one calls them."""

    def __init__(self, renamed: tuple[Renamed, ...]) -> None:
        self._subjects = {each.before: each.after for each in renamed}
        self._devices = {
            each.before.partition("/")[2]: each.after.partition("/")[2]
            for each in renamed
            if not each.before.startswith(("cameras/", "boxes/", "monitors/"))
        }

    def subject(self, subject: str) -> str:
        """`cameras/old/video` as `cameras/new/video`."""
        head = "/".join(subject.split("/")[:2])
        return self._subjects.get(head, head) + subject[len(head) :]

    def port(self, text: str) -> str:
        """`psu1/3` as `psu2/3`."""
        device, stroke, rest = text.partition("/")
        return self._devices.get(device, device) + stroke + rest
