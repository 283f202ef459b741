"""The project file: read, and what it names below its own folder looked up. How it is found: `projects_near`."""

from __future__ import annotations

import glob
import os
from collections.abc import Callable, Sequence
from pathlib import Path

from coaxwright.errors import Problem
from coaxwright.immutable import immutable
from coaxwright.model.project import Project
from coaxwright.reading.files import Untrusted, confined_files, confined_folder
from coaxwright.reading.validation import refusal, validated
from coaxwright.reading.yaml_source import Document, read_document


@immutable
class LoadedProject:
    """A project file as read. Paths are shown as from the current folder; `settings` are the rest of what it says."""

    file: str
    settings: Project
    rules: tuple[Path, ...]
    parts: tuple[Path, ...]
    prices: tuple[Path, ...]
    baseline: Path | None

    def said(self) -> dict[str, object]:
        """What the file says, by setting, as an option would have it; what it leaves out is left out."""
        parts = tuple(glob.escape(os.fspath(each)) for each in self.parts)
        paths = {"rules": self.rules, "parts": parts, "prices": self.prices, "baseline": self.baseline}
        plain = {name: getattr(self.settings, name) for name in ("fail_on", "strict", "today", "jobs")}
        return {name: value for name, value in {**paths, **plain}.items() if value not in (None, ())}


def read_project(path: str | os.PathLike[str]) -> LoadedProject:
    """Read a project file. Raises Refusal with all that is wrong in it, each at its place."""
    document = read_document(path)
    settings = validated(Project, document)
    root = Path(path).parent
    problems: list[Problem] = []

    def all_of(key: str, given: Sequence[str], look: Callable[[str], Sequence[Path]]) -> tuple[Path, ...]:
        found: dict[Path, None] = {}
        for index, each in enumerate(given):
            found.update(dict.fromkeys(_looked_up(document, (key, index), each, look, problems)))
        return tuple(found)

    def files(pattern: str) -> list[Path]:
        return [_from_here(root, each) for each in confined_files(root, pattern)]

    rules = all_of("rules", settings.rules, lambda name: [_from_here(root, confined_folder(root, name))])
    parts, prices = all_of("parts", settings.parts, files), all_of("prices", settings.prices, files)
    baseline = _looked_up(document, ("baseline",), settings.baseline, files, problems) if settings.baseline else []
    if problems:
        raise refusal(problems)
    return LoadedProject(os.fspath(path), settings, rules, parts, prices, baseline[0] if baseline else None)


def _looked_up(
    document: Document, steps: tuple[str | int, ...], name: str, look: Callable[[str], Sequence[Path]], problems: list[Problem]
) -> Sequence[Path]:
    """What a name leads to; where it leads nowhere or outside, nothing and a problem more."""
    try:
        return look(name)
    except Untrusted as error:
        right = error.right.replace("the site file's folder", "the project file's folder")
        problems.append(Problem(document.file, error.what, right, document.span(steps), steps))
        return ()


def _from_here(root: Path, path: Path) -> Path:
    """A path below the project's folder, as that folder is written."""
    return root / os.path.relpath(path, os.path.realpath(root))

