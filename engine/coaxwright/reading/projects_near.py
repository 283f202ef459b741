"""Which project file belongs to a call: found at or above what it names. Light, since every command asks."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from coaxwright.errors import Problem, Refusal

NAME = "coaxwright.project.yaml"


def project_above(places: Iterable[str | os.PathLike[str]]) -> Path | None:
    """The project file of all that a call names (files, or folders of sites); of the current folder where it names nothing.

    Raises Refusal where they belong to several projects, or some of them to none.
    """
    folders = {os.path.abspath(folder): None for place in places for folder in _folders(place)}
    found = list(dict.fromkeys(nearest(folder) for folder in folders or ["."]))
    if len(found) > 1:
        one, other = sorted(found, key=str, reverse=True)[:2] if None in found else found[:2]
        what = f"some of these sites belong to this project, others to {other or 'none'}"
        right = "call it for each by itself, or say by which settings with --project FILE or --no-project"
        raise Refusal([Problem(str(one), what, right)])
    return found[0]


def nearest(folder: str | os.PathLike[str]) -> Path | None:
    """The project file of a folder: in it or in the nearest one above it; None where there is none.

    It is not looked for above a folder that holds `.git`: what lies there is something else.
    """
    here = os.path.abspath(folder)
    while True:
        if os.path.isfile(path := os.path.join(here, NAME)):
            return Path(_from_here(path))
        above = os.path.dirname(here)
        if above == here or os.path.lexists(os.path.join(here, ".git")):
            return None
        here = above


def _from_here(path: str) -> str:
    """As from the current folder; as it is where no way leads there (another drive)."""
    try:
        return os.path.relpath(path)
    except ValueError:
        return path


def _folders(place: str | os.PathLike[str]) -> Iterator[str]:
    """The folder of a file; of a folder those that hold sites, itself where none does."""
    if not os.path.isdir(place):
        yield os.path.dirname(os.path.abspath(place))
        return
    from coaxwright.reading.files import find_sites

    try:
        yield from {os.path.dirname(site) for site in find_sites(place)}
    except Refusal:
        yield os.fspath(place)
