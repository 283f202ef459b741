"""What is wished for: cameras by their wants alone, and the positions where recorders and supplies may stand."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.reading.site_reader import LoadedSite

_WITHOUT = "cable ways come from `distances: {POSITION: 40 m}` of each camera, and `positions:` of the site"


@immutable
class Wish:
    """A camera that is wished for: `entry` as the file writes it, without distances; metres to each position."""

    name: str
    entry: Mapping[str, Any]
    distances: Mapping[str, float]

    @property
    def alike(self) -> str:
        """The same for all cameras that are there for the same, wherever they are."""
        return json.dumps(
            {key: value for key, value in self.entry.items() if key != "label"}, sort_keys=True, default=str
        )


@immutable
class Wishes:
    """All that is wished for: cameras in order of the file, and the place of each position as it is written."""

    loaded: LoadedSite
    cameras: tuple[Wish, ...]
    positions: Mapping[str, Mapping[str, Any]]


def read_wishes(loaded: LoadedSite) -> Wishes:
    """The wishes of a site. Raises Refusal where there are none, or something stands there already, or a way lacks."""
    site, problems = loaded.site, list[Problem]()
    problems += _taken(loaded)
    if not site.wanted:
        problems.append(Problem(loaded.file, "no camera is known by its wants alone", "write `wants:` and no `part:`"))
    for name, camera in site.wanted.items():
        if not camera.distances:
            path = ("cameras", name)
            problems.append(
                Problem(
                    loaded.file,
                    f"nothing says how far {name} is from where a recorder may stand",
                    _WITHOUT,
                    loaded.document.nearest_span(path),
                    path,
                )
            )
    if problems:
        raise Refusal(problems)
    cameras = tuple(_wish(loaded, name) for name in site.wanted)
    positions = {name: _place(loaded, name) for name in site.positions}
    return Wishes(loaded, cameras, positions)


def _taken(loaded: LoadedSite) -> list[Problem]:
    """A proposal begins with nothing chosen: whatever is chosen already stands in its way."""
    found = []
    for group in ("recorders", "supplies", "junctions", "boxes", "switches", "monitors", "ups", "cameras"):
        for name in getattr(loaded.site, group):
            path = (group, name)
            span = loaded.document.nearest_span(path)
            what = f"{name} is chosen already; a proposal makes a whole system from wants"
            found.append(Problem(loaded.file, what, "leave it out, or use `coaxwright fix` on a site", span, path))
    return found


def _wish(loaded: LoadedSite, name: str) -> Wish:
    written = loaded.document.value["cameras"][name]
    entry = {key: value for key, value in written.items() if key != "distances"}
    return Wish(name, entry, dict(loaded.site.wanted[name].distances))


def _place(loaded: LoadedSite, name: str) -> Mapping[str, Any]:
    written = loaded.document.value["positions"][name] or {}
    return dict(written.get("place") or {})
