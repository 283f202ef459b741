"""The site of a schedule, checked as a site and then written: a new file whole, an old one only where it changed.

Problems of the site are told at the cells that they come from.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.patching import MISSING, difference, pointer
from coaxwright.fixes.writing import text_diff, write_patch
from coaxwright.fixes.yaml_edits import edited
from coaxwright.fixes.yaml_text import entry
from coaxwright.reading.atomic import write_atomically
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.site_reader import LoadedSite, load_site_with
from coaxwright.reading.yaml_source import Document
from coaxwright.schedules.importing import Imported
from coaxwright.topology.wiring import build_topology


def checked(imported: Imported, file: str, catalogue: Catalogue) -> LoadedSite:
    """The site that was imported, read and wired. Raises Refusal, each problem at the cell that it comes from."""
    text = json.dumps(imported.value, ensure_ascii=False)
    try:
        loaded = load_site_with(text, file, catalogue)
        build_topology(loaded)
    except Refusal as refused:
        raise Refusal(_at_cell(each, imported, file) for each in refused.problems) from None
    return loaded


def _at_cell(problem: Problem, imported: Imported, file: str) -> Problem:
    """The problem at the cell of the value that it is about, else of one within it, else of the nearest around it."""
    size = len(problem.path)
    within = (place for path, place in imported.places.items() if path[:size] == problem.path and len(path) > size > 1)
    inside = imported.places.get(problem.path) or next(within, None)
    if inside is not None:
        return Problem(inside, *_in_a_schedule(problem), None, problem.path)
    for length in range(size - 1, 0, -1):
        place = imported.places.get(problem.path[:length])
        if place is not None:
            rest = "/".join(map(str, problem.path[length:]))
            return Problem(
                place, f"{rest}: {problem.what}" if rest else problem.what, problem.right, None, problem.path
            )
    where = "/".join(map(str, problem.path))
    return Problem(file, f"{where}: {problem.what}" if where else problem.what, problem.right, None, problem.path)


def _in_a_schedule(problem: Problem) -> tuple[str, str]:
    """What is wrong in the words of a schedule, where those of a site file would mislead."""
    lacking = {"video": ("`into` is missing", "recorder"), "power": ("`from` is missing", "supply")}
    start, device = lacking.get(str(problem.path[-1]), ("?", ""))
    if problem.what.startswith(start):
        return f"a run is given, and no {device} that it leads to", f"add columns for the {device} and its number"
    return problem.what, problem.right


def site_text(value: Mapping[str, Any]) -> str:
    """A new site file, one entry a line where it fits."""
    lines: list[str] = []
    for key, each in value.items():
        if isinstance(each, dict) and lines:
            lines.append("")
        lines += entry(key, each, "")
    return "\n".join(lines) + "\n"


def write_new(path: str | os.PathLike[str], imported: Imported) -> None:
    """Write a site file that is not there yet. Raises Refusal."""
    if Path(path).exists():
        raise Refusal([Problem(os.fspath(path), "exists already", "name it with --site to update it, or another file")])
    try:
        write_atomically(path, site_text(imported.value))
    except OSError as error:
        raise Refusal([Problem(os.fspath(path), f"cannot be written: {error.strerror or error}")]) from error


def changes(document: Document, imported: Imported) -> list[dict[str, Any]]:
    """What has to change in a site file, as RFC 6902 operations; empty where nothing does."""
    operations = []
    for path, old, new in difference(document.value, imported.value):
        kind = "add" if old is MISSING else "remove" if new is MISSING else "replace"
        operations.append({"op": kind, "path": pointer(path), **({} if new is MISSING else {"value": new})})
    return operations


def preview(document: Document, operations: list[dict[str, Any]]) -> str:
    """What an update would change, as a unified diff."""
    return text_diff(document.file, document.text, edited(document, operations).text)


def update(path: str | os.PathLike[str], document: Document, operations: list[dict[str, Any]]) -> str:
    """Change a site file where it has to change, comments and layout kept; returns the diff. Raises Refusal."""
    return write_patch(path, document, operations)
