"""Which sites have to be judged again: those of which a file changed that they were read from. By looking, again and again."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path

from coaxwright.reading.files import Untrusted, confined_files

State = tuple[tuple[str, int, int, int], ...]
"""Files with time of change, size and number in the file system: an editor may write a file anew or replace it."""


def state_of(files: Iterable[str | os.PathLike[str]]) -> State:
    """The state of files; what is not there has none."""
    found = []
    for each in files:
        try:
            stat = os.stat(each)
        except OSError:
            continue
        found.append((os.fspath(each), stat.st_mtime_ns, stat.st_size, stat.st_ino))
    return tuple(found)


def folder_state(folders: Iterable[str | os.PathLike[str]]) -> State:
    """The state of all files below some folders."""
    places = (found for folder in folders for found in sorted(os.walk(folder)))
    return state_of(os.path.join(place, name) for place, _, names in places for name in names)


class Changes:
    """Remembers in which state sites were read, and from which files."""

    def __init__(self) -> None:
        self._seen: dict[Path, State] = {}
        self._patterns: dict[Path, tuple[str, ...]] = {}

    def changed(self, sites: Sequence[Path]) -> list[Path]:
        """Those of the sites that are new, or of which a file changed since `read` was told of them."""
        return [site for site in sites if self._seen.get(site) != self._state(site)]

    def gone(self, sites: Sequence[Path]) -> list[Path]:
        """Sites that were read and are not among these any more; they are forgotten."""
        found = [site for site in self._seen if site not in set(sites)]
        for site in found:
            del self._seen[site]
        return found

    def read(self, site: Path, patterns: Sequence[str] | None) -> None:
        """A site is about to be judged as it is now. `patterns` lead to its part and price files; None where its text could
        not be read: then those of before are looked at still.
        """
        if patterns is not None:
            self._patterns[site] = tuple(patterns)
        self._seen[site] = self._state(site)

    def _state(self, site: Path) -> State:
        files: list[Path] = [site]
        for pattern in self._patterns.get(site, ()):
            try:
                files += confined_files(site.parent, pattern)
            except Untrusted:
                continue
        return state_of(files)
