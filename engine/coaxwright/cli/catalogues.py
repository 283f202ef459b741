"""The catalogue that a command works with: generic parts and those of the files that its globs name."""

from __future__ import annotations

from glob import glob
from pathlib import Path

from coaxwright.errors import Problem, Refusal
from coaxwright.reading.catalogue import Catalogue, build_catalogue


def part_files(globs: tuple[str, ...]) -> list[str]:
    """Files that the globs name, each once, sorted by glob. Refusal where one names no file."""
    files: dict[str, None] = {}
    for pattern in globs:
        found = [name for name in sorted(glob(pattern, recursive=True)) if Path(name).is_file()]
        if not found:
            raise Refusal([Problem(pattern, "names no file", "write a path such as 'parts/*.yaml'")])
        files.update(dict.fromkeys(found))
    return list(files)


def catalogue_of(globs: tuple[str, ...]) -> Catalogue:
    """Generic parts and those of the files that `globs` name; Refusal where one names no file."""
    return build_catalogue((Path(name), name) for name in part_files(globs))
