"""Which files belong to a site: sites of a folder, and part files below the folder of a site file.

A site file may come from a stranger. What it names is looked for below its own folder only: no absolute
paths, no `..`, no links that lead out, no pipes or devices (opening one would hang), at most a hundred files.
"""

from __future__ import annotations

import fnmatch
import os
import stat
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from coaxwright.errors import Problem, Refusal
from coaxwright.model.quantities import quoted

SITE_SUFFIX = ".site.yaml"
MAX_FILES = 100
MAX_SITES = 200_000
MAX_DEPTH = 8
_RIGHT = "write a path below the site file's folder, as in parts/*.yaml"


class Untrusted(ValueError):
    """A path that is refused: `what` is wrong, what would be `right`."""

    def __init__(self, what: str, right: str = _RIGHT) -> None:
        self.what = what
        self.right = right
        super().__init__(f"{what}; {right}")


def find_sites(folder: str | os.PathLike[str]) -> list[Path]:
    """All site files at and below a folder, sorted; links to folders and dotted folders are not entered.

    Raises Refusal if there is none, or if the folder cannot be read.
    """
    root = Path(folder)
    if not root.is_dir():
        raise Refusal(
            [Problem(str(root), "there is no such folder", f"name a folder or a *{SITE_SUFFIX} file")]
        )
    sites: list[Path] = []
    for place, folders, names in os.walk(root):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        sites.extend(Path(place, name) for name in names if _is_site(place, name))
        if len(sites) > MAX_SITES:
            raise Refusal(
                [Problem(str(root), f"more than {MAX_SITES} site files lie here", "name a smaller folder")]
            )
    if not sites:
        what = f"no site file lies here; site files end in {SITE_SUFFIX}"
        raise Refusal([Problem(str(root), what, "name a folder that holds some")])
    return sorted(sites)


def _is_site(place: str, name: str) -> bool:
    return (
        name.endswith(SITE_SUFFIX) and not name.startswith(".") and os.path.isfile(os.path.join(place, name))
    )


def confined_files(root: str | os.PathLike[str], pattern: str) -> list[Path]:
    """Files below `root` that a path or glob (`*`, `?`, `[...]`, `**`) names, sorted. Raises Untrusted."""
    _check_pattern(pattern)
    base = Path(os.path.realpath(root))
    found: list[Path] = []
    for path in _walk(base, PurePosixPath(pattern).parts, 0):
        found.append(_checked(base, path, pattern))
        if len(found) > MAX_FILES:
            raise Untrusted(f"{quoted(pattern)} names more than {MAX_FILES} files", "name fewer")
    if not found:
        raise Untrusted(
            f"no file matches {quoted(pattern)}", "check the path; it starts at the site file's folder"
        )
    return sorted(set(found))


def confined_folder(root: str | os.PathLike[str], name: str) -> Path:
    """The folder below `root` that a path names. Raises Untrusted."""
    _check_pattern(name)
    base = Path(os.path.realpath(root))
    real = Path(os.path.realpath(base / name))
    if not real.is_relative_to(base):
        raise Untrusted(f"{quoted(name)} is a link that leads out of the folder")
    if not real.is_dir():
        raise Untrusted(f"there is no folder {quoted(name)}", "check the path; it starts at the site file's folder")
    return base / name


def _check_pattern(pattern: str) -> None:
    """What can be seen from the text alone."""
    if not pattern or not pattern.isprintable() or len(pattern) > 512:
        raise Untrusted(f"{quoted(pattern)} is not a path")
    if "\\" in pattern:
        raise Untrusted(f"{quoted(pattern)} has a backslash", "separate folders with `/`")
    if pattern.startswith(("/", "~")) or (len(pattern) > 1 and pattern[1] == ":"):
        raise Untrusted(f"{quoted(pattern)} is an absolute path")
    parts = PurePosixPath(pattern).parts
    if ".." in parts:
        raise Untrusted(f"{quoted(pattern)} leads out of the folder with `..`")
    if len(parts) > MAX_DEPTH:
        raise Untrusted(f"{quoted(pattern)} is more than {MAX_DEPTH} folders deep", "put the files nearer")


def _walk(folder: Path, parts: tuple[str, ...], depth: int) -> Iterator[Path]:
    """Paths that match, links not yet judged. `**` enters real folders only, so no loop of links."""
    if not parts or depth > MAX_DEPTH:
        return
    head, rest = parts[0], parts[1:]
    if head == "**":
        yield from _walk(folder, rest or ("*",), depth)
        for entry in _entries(folder):
            if entry.is_dir(follow_symlinks=False) and not entry.name.startswith("."):
                yield from _walk(Path(entry.path), parts, depth + 1)
        return
    for name in _matching(folder, head):
        path = folder / name
        if not rest and (name == head or not path.is_dir()):
            yield path
        elif rest and path.is_dir():
            yield from _walk(path, rest, depth + 1)


def _matching(folder: Path, head: str) -> list[str]:
    """Names in a folder: the one that is meant, or all that match; a leading dot must be written."""
    if not any(sign in head for sign in "*?["):
        return [head] if os.path.lexists(folder / head) else []
    names = (entry.name for entry in _entries(folder))
    return [name for name in names if fnmatch.fnmatchcase(name, head) and not (name[0] == "." != head[0])]


def _entries(folder: Path) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(folder) as entries:
            return sorted(entries, key=lambda entry: entry.name)
    except OSError:
        return []


def _checked(base: Path, path: Path, pattern: str) -> Path:
    """The path, if what it really is lies below the base and is a regular file."""
    try:
        real = Path(os.path.realpath(path, strict=True))
        kind = os.stat(real).st_mode
    except OSError as error:
        raise Untrusted(
            f"{quoted(pattern)}: {quoted(path.name)} cannot be followed", "remove the link"
        ) from error
    if not real.is_relative_to(base):
        raise Untrusted(f"{quoted(pattern)}: {quoted(path.name)} is a link that leads out of the folder")
    if not stat.S_ISREG(kind):
        raise Untrusted(f"{quoted(pattern)}: {quoted(path.name)} is not a regular file")
    return path
