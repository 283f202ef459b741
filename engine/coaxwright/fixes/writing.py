"""Writing a fix into the site file, and taking it back byte for byte.

A file that changed since it was read is not touched. Before a change is written, what the file held is kept
in `.NAME.undo` beside it, with hashes of both states, so that undoing cannot overwrite later work. It keeps the record
of the write before as well: should this one never happen (a kill, a power cut), that one can still be taken back.
"""

from __future__ import annotations

import base64
import difflib
import hashlib
import json
import os
from pathlib import Path
from typing import Any, TypedDict, cast

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.patching import Patch
from coaxwright.fixes.yaml_edits import edited
from coaxwright.reading.atomic import only_writer, write_atomically
from coaxwright.reading.yaml_source import Document, read_bytes

_MAX_UNDO = 256 * 1024 * 1024


class Kept(TypedDict):
    """What is kept of a write: hashes of the file before and after, its bytes before in base 64, the write before it."""

    before: str
    after: str
    bytes: str
    earlier: Kept | None


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
    replace_file(path, text.encode(), document.sha256)
    return text_diff(document.file, document.text, changed.text)


def replace_file(path: str | os.PathLike[str], data: bytes, was: str) -> None:
    """Put these bytes into a file that holds what has the SHA-256 `was`; `undo` takes it back.

    Raises Refusal, and writes nothing, where the file has changed since, or cannot be written.
    """
    with only_writer(path):
        before = _unchanged(path, was)
        kept: Kept = {
            "before": was,
            "after": _hash(data),
            "bytes": base64.b64encode(before).decode(),
            "earlier": _earlier(path, was),
        }
        _keep(path, kept)
        _write(path, data.decode())


def undo(path: str | os.PathLike[str]) -> str:
    """Put back what the file held before the last `write_patch`; returns the diff.

    Raises Refusal where nothing was kept, where the file has been changed since it was written, and where it already
    holds what it held: then what was kept is of no use, and is removed.
    """
    with only_writer(path):
        kept = _kept(path)
        now = read_bytes(path, os.fspath(path))
        record = _fitting(path, kept, _hash(now))
        before = base64.b64decode(record["bytes"])
        if _hash(before) != record["before"]:
            raise Refusal([Problem(str(undo_path(path)), "what was kept is damaged", "take the file from a backup")])
        if kept["earlier"]:
            _keep(path, {**record, "earlier": None})
        _write(path, before.decode("utf-8"))
        undo_path(path).unlink(missing_ok=True)
    return text_diff(os.fspath(path), now.decode("utf-8"), before.decode("utf-8"))


def _fitting(path: str | os.PathLike[str], kept: Kept, now: str) -> Kept:
    """The record of the write that led to what the file holds: the last, or where that never happened the one before."""
    earlier = kept["earlier"]
    if now == kept["after"]:
        return kept
    if earlier and now == earlier["after"]:
        return earlier
    if now != kept["before"]:
        raise Refusal([_changed_since(path, "it was written")])
    undo_path(path).unlink(missing_ok=True)
    what = "nothing was written, or it was taken back already: there is nothing to undo"
    raise Refusal([Problem(os.fspath(path), what, "it holds what it held before; what was kept beside it is removed")])


def undo_path(path: str | os.PathLike[str]) -> Path:
    """Where the former state of a file is kept."""
    target = Path(os.path.realpath(path))
    return target.with_name(f".{target.name}.undo")


def _unchanged(path: str | os.PathLike[str], was: str) -> bytes:
    data = read_bytes(path, os.fspath(path))
    if _hash(data) != was:
        raise Refusal([_changed_since(path, "it was read")])
    return data


def _changed_since(path: str | os.PathLike[str], since: str) -> Problem:
    return Problem(os.fspath(path), f"the file has changed since {since}", "run the command again")


def _kept(path: str | os.PathLike[str]) -> Kept:
    place = undo_path(path)
    if not place.exists():
        raise Refusal([Problem(os.fspath(path), "there is nothing to undo", f"no {place.name} lies beside it")])
    try:
        return _record(json.loads(read_bytes(place, str(place), _MAX_UNDO)))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise Refusal([Problem(str(place), "what was kept cannot be read", "take the file from a backup")]) from error


def _record(data: dict[str, Any]) -> Kept:
    """What was kept, with the write before it and no other."""
    earlier = data.get("earlier")
    record = {name: str(data[name]) for name in ("before", "after", "bytes")}
    return cast(Kept, {**record, "earlier": _record({**earlier, "earlier": None}) if earlier else None})


def _earlier(path: str | os.PathLike[str], now: str) -> Kept | None:
    """The record, if there is one, of the write that led to what the file holds."""
    try:
        kept = _kept(path)
    except Refusal:
        return None
    found = next((each for each in (kept, kept["earlier"]) if each and each["after"] == now), None)
    return {**found, "earlier": None} if found else None


def _keep(path: str | os.PathLike[str], kept: Kept) -> None:
    """Lay up what the file held; who may not read the file may not read this."""
    _write(undo_path(path), json.dumps(kept) + "\n", path)


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _write(path: str | os.PathLike[str], text: str, like: str | os.PathLike[str] | None = None) -> None:
    try:
        write_atomically(path, text, like)
    except OSError as error:
        raise Refusal([Problem(os.fspath(path), f"cannot be written: {error.strerror or error}")]) from error
