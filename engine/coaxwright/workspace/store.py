"""Where the texts of a workspace come from and go to: a folder, and nothing outside it.

`FolderStore` reads and writes site files below one folder. A name is a path below it, written with `/`; links that
lead out, hidden names and anything but `*.site.yaml` are refused.
"""

from __future__ import annotations

import hashlib
import os
from pathlib import Path, PurePosixPath
from typing import Protocol

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.writing import replace_file
from coaxwright.model.quantities import quoted
from coaxwright.reading.atomic import only_writer, write_bytes_atomically
from coaxwright.reading.files import SITE_SUFFIX, find_sites
from coaxwright.reading.yaml_source import read_bytes

LONGEST_NAME = 200


class ChangedOnDisk(Exception):
    """The file is no longer what it was when it was read: nothing was written."""


class Store(Protocol):
    """What a workspace needs of the outside."""

    @property
    def root(self) -> Path:
        """The folder that site files and their part files are below."""

    def names(self) -> list[str]:
        """Names of the site files, sorted."""

    def read(self, name: str) -> bytes:
        """What a file holds. Raises Refusal."""

    def digest(self, name: str) -> str:
        """SHA-256 of what the file holds now; empty where there is none."""

    def replace(self, name: str, data: bytes, was: str) -> None:
        """Write over a file that holds what has the digest `was`. Raises ChangedOnDisk and Refusal."""

    def create(self, name: str, data: bytes) -> None:
        """Write a new file. Raises Refusal where there is one of that name."""

    def path(self, name: str) -> Path:
        """The file of that name below the folder. Raises Refusal for a name that leads anywhere else."""


class FolderStore:
    """Site files at and below a folder."""

    def __init__(self, root: str | os.PathLike[str]) -> None:
        self._root = Path(os.path.realpath(root))

    @property
    def root(self) -> Path:
        """The folder, links followed."""
        return self._root

    def names(self) -> list[str]:
        """Names of the site files, sorted; none where there are none."""
        try:
            found = find_sites(self._root)
        except Refusal:
            return []
        return [each.relative_to(self._root).as_posix() for each in found]

    def read(self, name: str) -> bytes:
        """What a file holds. Raises Refusal."""
        return read_bytes(self.path(name), name)

    def digest(self, name: str) -> str:
        """SHA-256 of what the file holds now; empty where there is none, or it cannot be read."""
        try:
            return hashlib.sha256(self.read(name)).hexdigest()
        except Refusal:
            return ""

    def replace(self, name: str, data: bytes, was: str) -> None:
        """Write over a file, as a whole or not at all; `coaxwright fix --undo` takes it back.

        Raises ChangedOnDisk where it does not hold what has the digest `was`, Refusal where it cannot be written.
        """
        path = self.path(name)
        try:
            replace_file(path, data, was)
        except Refusal:
            if self.digest(name) != was:
                raise ChangedOnDisk(name) from None
            raise

    def create(self, name: str, data: bytes) -> None:
        """Write a new file, as a whole or not at all. Raises Refusal where there is one, or it cannot be written."""
        path = self.path(name)
        with only_writer(path):
            if os.path.lexists(path):
                raise Refusal([Problem(name, "there is a file of that name", "choose another name")])
            try:
                write_bytes_atomically(path, data)
            except OSError as error:
                raise Refusal([Problem(name, f"cannot be written: {error.strerror or error}")]) from error

    def path(self, name: str) -> Path:
        """The file of that name below the folder. Raises Refusal for a name that leads anywhere else."""
        what = wrong_name(name)
        if what:
            raise Refusal([Problem(quoted(name), what, f"write a name such as yard{SITE_SUFFIX}")])
        path = self._root.joinpath(*PurePosixPath(name).parts)
        real = Path(os.path.realpath(path))
        if not real.is_relative_to(self._root) or not real.parent.is_dir():
            raise Refusal([Problem(quoted(name), "is not in the opened folder", "name a file of that folder")])
        return path


_RESERVED = {"con", "prn", "aux", "nul", *(f"{word}{digit}" for word in ("com", "lpt") for digit in range(10))}
"""Names that stand for devices on some systems, whatever their ending."""


def wrong_name(name: str) -> str:
    """What is wrong with the name of a site file, by its text alone; empty for nothing."""
    parts = name.split("/")
    if not name.endswith(SITE_SUFFIX) or parts[-1] == SITE_SUFFIX:
        return f"is no name of a site file: these end in {SITE_SUFFIX}"
    if len(name) > LONGEST_NAME or not name.isprintable():
        return "is too long, or holds signs that do not show"
    if any(sign in name for sign in '\\:*?"<>|') or name.startswith("/"):
        return "holds a sign that no file name should"
    if any(not part or part.startswith((".", " ")) or part.endswith((".", " ")) for part in parts):
        return "leads out of the folder, or to a hidden file"
    if any(part.partition(".")[0].lower() in _RESERVED for part in parts):
        return "is the name of a device on some systems"
    return ""
