"""The catalogue that a command works with: generic parts, and those of its globs or of the user's default catalogue."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from coaxwright.catalogues.places import catalogue_files, default_folder
from coaxwright.cli.house_prices import with_project_prices
from coaxwright.cli.output import complain
from coaxwright.errors import Problem
from coaxwright.reading.catalogue import Catalogue, build_catalogue

_MOST = 10


def part_files(globs: tuple[str, ...]) -> list[str]:
    """Files that the globs name, each once, sorted by glob. Refusal where one names no file."""
    return catalogue_files(globs) if globs else []


def strict_catalogue(globs: tuple[str, ...]) -> Catalogue:
    """Generic parts and those of the files that `globs` name; Refusal with all that is wrong in them."""
    return build_catalogue((Path(name), name) for name in part_files(globs))


def catalogue_of(globs: tuple[str, ...]) -> Catalogue:
    """Generic parts and those of `globs`, else of the default catalogue. An entry that is wrong is left out and told of.

    Raises Refusal where a glob names no file.
    """
    from coaxwright.catalogues.loading import load_all

    loaded = load_all(catalogue_files(globs), beside(globs))
    catalogue = with_project_prices(loaded.catalogue)
    gc.freeze()  # thousands of parts stay until the end: the collector need not walk through them again and again
    _tell(loaded.bad)
    return catalogue


def catalogue_with(globs: tuple[str, ...], names: Iterable[str | None]) -> Catalogue:
    """The same for a question about these parts: of a large catalogue only they are read, and what they are compared with.

    Raises Refusal for a part that is wrong.
    """
    from coaxwright.catalogues.loading import load_named

    loaded = load_named(catalogue_files(globs), [name for name in names if name], beside(globs))
    _tell(loaded.bad)
    return with_project_prices(loaded.catalogue)


def catalogue_folder() -> Path:
    """The folder that lists are laid over: the default catalogue's. Raises Refusal where there is none to be had."""
    return default_folder()


def beside(globs: Sequence[str]) -> Path | None:
    """The folder in which the index is kept: the default catalogue's; of globs it is kept in the user's cache."""
    folder = None if globs else default_folder()
    return folder if folder is not None and folder.is_dir() else None


def _tell(bad: Mapping[str, tuple[Problem, ...]]) -> None:
    """Entries that are left out, on standard error."""
    for name, problems in list(bad.items())[:_MOST]:
        complain(f"{problems[0]} (`{name}` is left out)")
    if len(bad) > _MOST:
        complain(f"and {len(bad) - _MOST} more; `coaxwright catalogue check` tells them all")
