"""A list of parts laid over a catalogue: what is new, what costs otherwise, what is no longer there; nothing lost.

What a person wrote into an entry stays: of entries that are there a list changes the price and whether they are still
sold, and adds fields that are not stated. What the list says otherwise is told and not written.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.catalogues.entries import Slices, slices_of
from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.patching import pointer
from coaxwright.fixes.writing import replace_file, undo, undo_path
from coaxwright.fixes.yaml_edits import edited
from coaxwright.fixes.yaml_text import entry
from coaxwright.immutable import immutable
from coaxwright.model.parts import PartFile
from coaxwright.reading.atomic import write_atomically
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import Document, decode, parse_document, read_bytes

_JOURNAL = ".coaxwright-last-update.json"
_LOCK = ".coaxwright-lock"
_PRICE = ("price", "currency", "price_date")
_SOLD = ("retired", "retired_since", "successor")
_OWN = ("source", "kind", "title")


@immutable
class Change:
    """What becomes of one entry that is there: fields set (with what they were), added, and told otherwise but kept."""

    part: str
    file: str
    set: Mapping[str, tuple[Any, Any]]
    added: Mapping[str, Any]
    differs: Mapping[str, tuple[Any, Any]]


@immutable
class Merge:
    """All that a list would change. `missing` are entries of the same kind and maker that the list no longer has."""

    new: Mapping[str, Mapping[str, Any]]
    changes: tuple[Change, ...]
    missing: Mapping[str, str]
    same: int

    @property
    def empty(self) -> bool:
        """Nothing would be written."""
        return not self.new and not any(each.set or each.added for each in self.changes)


def merge_of(
    listed: Mapping[str, Mapping[str, Any]], currency: str | None, there: Mapping[str, tuple[str, Mapping[str, Any], str | None]],
    day: str | None = None,
) -> Merge:  # fmt: skip
    """The list against what is there: by id the file, the entry as it is written, and the currency of its price."""
    new = {name: values for name, values in listed.items() if name not in there}
    changes, same = [], 0
    for name, values in listed.items():
        if name in there:
            change = _change(name, values, currency, there[name], day)
            changes += [change] if change.set or change.added or change.differs else []
            same += not (change.set or change.added or change.differs)
    makers = {(name.partition("/")[0], values["kind"]) for name, values in listed.items()}
    missing = {
        name: file
        for name, (file, values, _) in there.items()
        if name not in listed and (name.partition("/")[0], values.get("kind")) in makers and not values.get("retired")
    }
    return Merge(new, tuple(changes), missing, same)


def _change(
    name: str, values: Mapping[str, Any], currency: str | None, stands: tuple[str, Mapping[str, Any], str | None], day: str | None
) -> Change:  # fmt: skip
    file, old, old_currency = stands
    wanted = dict(values)
    if "price" in wanted and (price_currency := wanted.get("currency", currency)) not in (None, old_currency):
        wanted["currency"] = price_currency
    put: dict[str, tuple[Any, Any]] = {}
    for key in (*_PRICE, *_SOLD):
        if key in wanted and wanted[key] != old.get(key) and not (key == "currency" and wanted[key] == old_currency):
            put[key] = (old.get(key), wanted[key])
    if day is not None and "price" in put:
        put["price_date"] = (old.get("price_date"), day)
    rest = {key: each for key, each in wanted.items() if key not in (*_PRICE, *_SOLD, *_OWN)}
    added = {key: each for key, each in rest.items() if key not in old}
    differs = {key: (old[key], each) for key, each in rest.items() if key in old and old[key] != each}
    return Change(name, file, put, added, differs)


def retired_too(merge: Merge, there: Mapping[str, tuple[str, Mapping[str, Any], str | None]]) -> Merge:
    """The same with entries that the list no longer has marked as no longer sold."""
    gone = [Change(name, file, {"retired": (None, True)}, {}, {}) for name, file in merge.missing.items() if name in there]
    return Merge(merge.new, (*merge.changes, *gone), {}, merge.same)


# Writing


def write_merge(merge: Merge, folder: Path, new_file: str, currency: str | None) -> list[str]:
    """Write what is new and what changed; the files written.

    Raises Refusal where one cannot be written, and takes back those that were.
    """
    texts = dict(_texts(merge, folder, new_file, currency))
    with locked(folder):
        written: list[dict[str, Any]] = []
        try:
            for path, (text, was) in texts.items():
                written.append(_write(path, text, was))
        except Refusal:
            _take_back(written)
            raise
        write_atomically(folder / _JOURNAL, json.dumps(written) + "\n")
    return list(texts)


def _texts(merge: Merge, folder: Path, new_file: str, currency: str | None) -> Iterator[tuple[str, tuple[str, str]]]:
    """Every file that changes: its new text, checked, and the SHA-256 of what it holds now (empty for a new file)."""
    by_file: dict[str, list[Change]] = {}
    for each in merge.changes:
        if each.set or each.added:
            by_file.setdefault(os.path.realpath(each.file), []).append(each)
    target = os.path.realpath(folder / new_file)
    if merge.new:
        by_file.setdefault(target, [])
    for path, changes in by_file.items():
        new = merge.new if path == target else {}
        if os.path.exists(path):
            data = read_bytes(path, path)
            text = _changed(decode(data, path).removeprefix("\ufeff"), path, changes, new, currency)
            was = hashlib.sha256(data).hexdigest()
        else:
            text, was = _fresh(new, currency), ""
        validated(PartFile, parse_document(text, path))
        yield path, (text, was)


def _fresh(new: Mapping[str, Mapping[str, Any]], currency: str | None) -> str:
    return "".join([f"currency: {currency}\n" if currency else "", "parts:\n", *_lines(new, "  ")])


def _lines(new: Mapping[str, Mapping[str, Any]], indent: str) -> Iterator[str]:
    for name, values in new.items():
        yield f"{indent}{name}:\n"
        for key, value in values.items():
            yield from (f"{line}\n" for line in entry(key, value, indent + "  "))


def _changed(text: str, path: str, changes: Sequence[Change], new: Mapping[str, Mapping[str, Any]], currency: str | None) -> str:
    """The text with each entry edited by itself, so that comments and order stay, and new ones behind the last."""
    slices = slices_of(text)
    if slices is None:
        what = "its entries do not stand below one another, so that they cannot be edited"
        raise Refusal([Problem(path, what, "write each entry on lines of its own")])
    lines = list(slices.lines)
    if lines and not lines[-1].endswith("\n"):
        lines[-1] += "\n"
    own = parse_document(text, path).value.get("currency")
    stated = {name: {**values, "currency": currency} for name, values in new.items()} if currency and own != currency else new
    first = next(iter(slices.spans.values()))[0]
    indent = " " * (len(lines[first]) - len(lines[first].lstrip(" ")))
    lines[slices.end : slices.end] = list(_lines(stated, indent))
    for change in sorted(changes, key=lambda each: -slices.spans[each.part][0]):
        begin, end = slices.spans[change.part]
        lines[begin:end] = _edited(slices, change)
    return "".join(lines)


def _edited(slices: Slices, change: Change) -> list[str]:
    begin, end = slices.spans[change.part]
    document: Document = parse_document("parts:\n" + "".join(slices.lines[begin:end]).rstrip("\n") + "\n", change.file)
    known = document.value["parts"][change.part]
    values = {**{key: new for key, (_, new) in change.set.items()}, **change.added}
    patch = tuple(
        {"op": "replace" if key in known else "add", "path": pointer(("parts", change.part, key)), "value": value}
        for key, value in values.items()
    )
    blank = next((place for place, line in enumerate(slices.lines[begin:end][::-1]) if line.strip()), 0)
    return [*edited(document, patch).text.splitlines(keepends=True)[1:], *["\n"] * blank]


def _write(path: str, text: str, was: str) -> dict[str, Any]:
    """Write one file; what is to be known to take it back."""
    if was:
        replace_file(path, text.encode(), was)
        return {"file": path, "made": False}
    try:
        Path(path).parent.mkdir(parents=True, exist_ok=True)
        write_atomically(path, text)
    except OSError as error:
        raise Refusal([Problem(path, f"cannot be written: {error.strerror or error}")]) from error
    return {"file": path, "made": True, "sha256": hashlib.sha256(text.encode()).hexdigest()}


def take_back(folder: Path) -> list[str]:
    """Undo the last `write_merge` in a folder: the files put back or removed. Raises Refusal where one changed since."""
    with locked(folder):
        place = folder / _JOURNAL
        try:
            written = json.loads(place.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            raise Refusal([Problem(str(folder), "there is nothing to undo", "no update was written here")]) from None
        changed = [each["file"] for each in written if each["made"] and _hash(each["file"]) != each["sha256"]]
        changed += [each["file"] for each in written if not each["made"] and not undo_path(each["file"]).exists()]
        if changed:
            raise Refusal([Problem(name, "has changed since the update", "mend it by hand") for name in changed])
        _take_back(written)
        place.unlink(missing_ok=True)
        return [each["file"] for each in written]


def _take_back(written: Sequence[Mapping[str, Any]]) -> None:
    for each in reversed(written):
        if each["made"]:
            Path(each["file"]).unlink(missing_ok=True)
        else:
            undo(each["file"])


def _hash(path: str) -> str:
    try:
        return hashlib.sha256(Path(path).read_bytes()).hexdigest()
    except OSError:
        return ""


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Let nobody else update this folder meanwhile. Raises Refusal where somebody does."""
    folder.mkdir(parents=True, exist_ok=True)
    try:
        import fcntl
    except ImportError:  # a system without such locks
        yield
        return
    with (folder / _LOCK).open("w") as handle:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            what = "somebody else updates this catalogue now"
            raise Refusal([Problem(str(folder), what, "wait, and run the command again")]) from None
        yield
