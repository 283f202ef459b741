"""Writing a fix into the site file, and taking it back byte for byte.

A file that changed since it was read is not touched. Before a change is written, what the file held is kept
in `.NAME.undo` beside it, with hashes of both states, so that undoing cannot overwrite later work.
"""

from __future__ import annotations

import base64
import difflib
import hashlib
import json
import os
from pathlib import Path

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.patching import Patch
from coaxwright.fixes.yaml_edits import edited
from coaxwright.reading.atomic import only_writer, write_atomically
from coaxwright.reading.yaml_source import Document, read_bytes

_MAX_UNDO = 256 * 1024 * 1024


def diff_of(document: Document, patch: Patch) -> str:
    """What the patch changes in the file, as a unified diff. Raises PatchError and Refusal as `edited` does."""
    return text_diff(document.file, document.text, edited(document, patch).text)


def text_diff(file: str, old: str, new: str) -> str:
    """A unified diff of two texts of one file; a last line without an end is marked."""
    lines = difflib.unified_diff(
        old.splitlines(keepends=True), new.splitlines(keepends=True), f"{file} (as it is)", f"{file} (changed)"
    )
    return "".join(
        line if line.endswith("\n") else f"{line}\n\\ no line end at the end of the file\n" for line in lines
    )


def write_patch(path: str | os.PathLike[str], document: Document, patch: Patch) -> str:
    """Change the file that `document` was read from; returns the diff.

    Raises Refusal, and writes nothing, where the file has changed since, or cannot be edited or written.
    """
    changed = edited(document, patch)
    text = ("\ufeff" if document.bom else "") + changed.text
    with only_writer(path):
        was = _unchanged(path, document)
        undo = {"before": document.sha256, "after": _hash(text.encode()), "bytes": base64.b64encode(was).decode()}
        _write(undo_path(path), json.dumps(undo) + "\n")
        _write(path, text)
    return text_diff(document.file, document.text, changed.text)


def undo(path: str | os.PathLike[str]) -> str:
    """Put back what the file held before the last `write_patch`; returns the diff.

    Raises Refusal where nothing was kept, or where the file has been changed since it was written.
    """
    kept = _kept(path)
    now = read_bytes(path, os.fspath(path))
    if _hash(now) != kept["after"]:
        raise Refusal([_changed_since(path, "it was written")])
    before = base64.b64decode(kept["bytes"])
    if _hash(before) != kept["before"]:
        raise Refusal([Problem(str(undo_path(path)), "what was kept is damaged", "take the file from a backup")])
    _write(path, before.decode("utf-8"))
    undo_path(path).unlink(missing_ok=True)
    return text_diff(os.fspath(path), now.decode("utf-8"), before.decode("utf-8"))


def undo_path(path: str | os.PathLike[str]) -> Path:
    """Where the former state of a file is kept."""
    target = Path(os.path.realpath(path))
    return target.with_name(f".{target.name}.undo")


def _unchanged(path: str | os.PathLike[str], document: Document) -> bytes:
    data = read_bytes(path, os.fspath(path))
    if _hash(data) != document.sha256:
        raise Refusal([_changed_since(path, "it was read")])
    return data


def _changed_since(path: str | os.PathLike[str], since: str) -> Problem:
    return Problem(os.fspath(path), f"the file has changed since {since}", "run the command again")


def _kept(path: str | os.PathLike[str]) -> dict[str, str]:
    place = undo_path(path)
    if not place.exists():
        raise Refusal([Problem(os.fspath(path), "there is nothing to undo", f"no {place.name} lies beside it")])
    try:
        kept = json.loads(read_bytes(place, str(place), _MAX_UNDO))
        return {name: str(kept[name]) for name in ("before", "after", "bytes")}
    except (ValueError, KeyError, TypeError) as error:
        raise Refusal([Problem(str(place), "what was kept cannot be read", "take the file from a backup")]) from error


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _write(path: str | os.PathLike[str], text: str) -> None:
    try:
        write_atomically(path, text)
    except OSError as error:
        raise Refusal([Problem(os.fspath(path), f"cannot be written: {error.strerror or error}")]) from error
