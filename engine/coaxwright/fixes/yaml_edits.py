"""RFC 6902 patches done on the text of a YAML file: only the characters that have to change do.

Each operation becomes a splice of the text, the text is read again, and the result must be the value that the
patch gives; so comments and layout stay, and no edit can go further than meant. Not here: files (`writing`).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.patching import (
    MISSING,
    Operation,
    Patch,
    applied,
    difference,
    has_path,
    pointer_steps,
    same,
    value_at,
)
from coaxwright.fixes.yaml_text import entry, flow
from coaxwright.reading.yaml_source import Document, parse_document

Path = tuple[str | int, ...]


class Splice(NamedTuple):
    """A stretch of the text and what takes its place."""

    start: int
    end: int
    text: str


def edited(document: Document, patch: Patch) -> Document:
    """The document after a patch, in its own layout. PatchError where the patch does not fit it; Refusal where
    the layout is one that cannot be edited in place.
    """
    for operation in patch:
        for kind, path, value in _simple(document.value, operation):
            document = _done(document, kind, path, value)
    return document


def _done(document: Document, kind: str, path: Path, value: object) -> Document:
    """One splice, proved by reading the text again."""
    wanted = _wanted(document.value, kind, path, value)
    splice = _Editor(document).splice(kind, path, value)
    text = document.text[: splice.start] + splice.text + document.text[splice.end :]
    try:
        found = parse_document(text, document.file)
    except Refusal:
        found = None
    if found is None or not same(found.value, wanted):
        span = document.nearest_span(path)
        what = f"`{'/'.join(map(str, path))}` cannot be changed in place: its layout is unusual"
        raise Refusal([Problem(document.file, what, "make the change by hand", span, path)])
    found.bom = document.bom
    return found


def _wanted(value: object, kind: str, path: Path, new: object) -> dict[str, Any]:
    operation = {"op": kind, "path": "".join(f"/{str(step).replace('~', '~0').replace('/', '~1')}" for step in path)}
    found: dict[str, Any] = applied(value, [{**operation, "value": new}])
    return found


def _simple(value: object, operation: Operation) -> list[tuple[str, Path, Any]]:
    """The operation as adds, removes and replaces at places that are known; the smallest ones that will do."""
    kind = operation["op"]
    if kind == "test":
        applied(value, [operation])
        return []
    if kind in ("move", "copy"):
        found = value_at(value, pointer_steps(operation["from"]))
        removal = [{"op": "remove", "path": operation["from"]}] if kind == "move" else []
        steps = [*removal, {"op": "add", "path": operation["path"], "value": found}]
        after = applied(value, removal)
        return [each for state, step in zip((value, after), steps, strict=False) for each in _simple(state, step)]
    path = _typed(value, pointer_steps(operation["path"]))
    if kind == "add" and has_path(value, path) and isinstance(value_at(value, path[:-1]), dict):
        kind = "replace"
    applied(value, [{**operation, "op": kind}])
    return _smallest(value, path, operation["value"]) if kind == "replace" else [(kind, path, operation.get("value"))]


def _smallest(value: object, path: Path, new: object) -> list[tuple[str, Path, Any]]:
    """A replacement of a group by a group as changes of its entries."""
    old = value_at(value, path)
    if not (isinstance(old, dict) and isinstance(new, dict) and new and old):
        return [("replace", path, new)]
    kept = [key for key in old if key in new]
    if not kept:
        return [("replace", path, new)]
    steps: list[tuple[str, Path, Any]] = []
    for below, was, now in difference(old, new, path):
        steps.append(("add" if was is MISSING else "remove" if now is MISSING else "replace", below, now))
    return sorted(steps, key=lambda step: step[0] == "remove")


def _typed(value: object, steps: Sequence[str]) -> Path:
    """The path with list indices as numbers; `-` is the place behind the last item."""
    path: list[str | int] = []
    for step in steps:
        if isinstance(value, list):
            at = len(value) if step == "-" else int(step) if step.isdecimal() else step
            path.append(at)
            value = value[at] if isinstance(at, int) and at < len(value) else None
        else:
            path.append(step)
            value = value.get(step) if isinstance(value, dict) else None
    return tuple(path)


class _Editor:
    """Works out splices for one document."""

    def __init__(self, document: Document) -> None:
        self.document, self.text = document, document.text
        self.line_end = "\r\n" if "\r\n" in self.text else "\n"

    def splice(self, kind: str, path: Path, value: object) -> Splice:
        """The splice for one operation."""
        if not path:
            return self._unusual(path)
        if kind == "replace":
            return self._replaced(path, value)
        if kind == "remove":
            return self._removed(path)
        parent = value_at(self.document.value, path[:-1])
        return self._item(path, value, parent) if isinstance(parent, list) else self._key(path, value, parent)

    def _unusual(self, path: Path) -> Splice:
        """Nothing to splice: the proof that follows refuses it."""
        return Splice(0, 0, "")

    def _extent(self, path: Path) -> tuple[int, int]:
        span = self.document.span(path)
        return span.start, span.end

    def _is_flow(self, path: Path) -> bool:
        start, end = self._extent(path)
        return start < end and self.text[start] in "{["

    def _line_start(self, place: int) -> int:
        return max(self.text.rfind("\n", 0, place), self.text.rfind("\r", 0, place)) + 1

    def _line_end(self, place: int) -> int:
        """Where the line ends that this place is in, before its line end."""
        ends = [found for sign in "\r\n" if (found := self.text.find(sign, place)) >= 0]
        return min(ends, default=len(self.text))

    def _next_line(self, place: int) -> int:
        end = self._line_end(place)
        return end + 2 if self.text.startswith("\r\n", end) else min(end + 1, len(self.text))

    # Replacing.

    def _replaced(self, path: Path, value: object) -> Splice:
        start, end = self._extent(path)
        old = value_at(self.document.value, path)
        if not isinstance(old, dict | list) or self._is_flow(path):
            tail = self.line_end if end > start and self.text[end - 1] in "\r\n" else ""
            gap = " " if start == end and self.text[start - 1 : start] not in (" ", "") else ""
            return Splice(start, end, gap + flow(value) + tail)
        return self._replaced_block(path, value, end)

    def _replaced_block(self, path: Path, value: object, end: int) -> Splice:
        """A group or list over several lines becomes one on the line of its key, or of its dash."""
        if isinstance(path[-1], int):
            return Splice(self._extent(path)[0], end, flow(value))
        key_end = self.document.key_span(path).end
        colon = self.text.index(":", key_end)
        return Splice(colon + 1, end, " " + flow(value))

    # Adding.

    def _key(self, path: Path, value: object, parent: dict[str, Any]) -> Splice:
        above, key = path[:-1], str(path[-1])
        if self._is_flow(above) or (above and not parent):
            return self._flow_entry(above, f"{flow(key)}: {flow(value)}", list(parent), "{}")
        first = self.document.key_span((*above, next(iter(parent))))
        lines = list(entry(key, value, " " * (first.column - 1)))
        return self._lines_after((*above, list(parent)[-1]), self._spaced(above, lines))

    def _spaced(self, above: Path, lines: list[str]) -> list[str]:
        """A new group at the top is set off by an empty line where the file does so."""
        loose = not above and ("\n\n" in self.text or "\r\n\r\n" in self.text) and len(lines) > 1
        return ["", *lines] if loose else lines

    def _lines_after(self, path: Path, lines: list[str]) -> Splice:
        """New lines behind all that stands on the last line of the value at a path."""
        _, end = self._extent(path)
        block = self.line_end.join(lines)
        if end and self.text[end - 1] in "\r\n":
            return Splice(end, end, block + self.line_end)
        place = self._line_end(end)
        return Splice(place, place, self.line_end + block)

    def _flow_entry(self, above: Path, text: str, steps: list[Any], signs: str) -> Splice:
        """A new last entry within braces or brackets."""
        start, end = self._extent(above)
        if steps:
            _, last = self._extent((*above, steps[-1]))
            return Splice(last, last, f", {text}")
        if start < end:
            return Splice(start + 1, end - 1, text)
        gap = " " if self.text[start - 1 : start] not in (" ", "") else ""
        return Splice(start, start, f"{gap}{signs[0]}{text}{signs[1]}")

    def _item(self, path: Path, value: object, parent: list[Any]) -> Splice:
        above, place = path[:-1], path[-1]
        assert isinstance(place, int)
        if self._is_flow(above) or not parent:
            if place < len(parent):
                start, _ = self._extent(path)
                return Splice(start, start, f"{flow(value)}, ")
            return self._flow_entry(above, flow(value), list(range(len(parent))), "[]")
        near = min(place, len(parent) - 1)
        lead = self._dash((*above, near))
        if place == len(parent):
            return self._lines_after((*above, near), [f"{lead}{flow(value)}"])
        start = self._line_start(self._extent(path)[0])
        return Splice(start, start, f"{lead}{flow(value)}{self.line_end}")

    def _dash(self, path: Path) -> str:
        """What stands before an item of a block list on its line: indentation, dash, space."""
        start, _ = self._extent(path)
        return self.text[self._line_start(start) : start]

    # Removing.

    def _removed(self, path: Path) -> Splice:
        above = path[:-1]
        parent = value_at(self.document.value, above)
        if len(parent) == 1 and above:
            return self._replaced(above, type(parent)())
        keyed = isinstance(parent, dict)
        steps: list[Any] = list(parent) if keyed else list(range(len(parent)))
        start = self.document.key_span(path).start
        _, end = self._extent(path)
        if self._is_flow(above):
            return self._removed_flow(above, steps, path[-1], start, end)
        line = self._line_start(start)
        if keyed and self.text[line:start].strip():
            follower = self.document.key_span((*above, steps[steps.index(path[-1]) + 1])).start
            return Splice(start, follower, "")
        done = end if end and self.text[end - 1] in "\r\n" else self._next_line(end)
        return Splice(line, done, "")

    def _removed_flow(self, above: Path, steps: list[Any], step: object, start: int, end: int) -> Splice:
        place = steps.index(step)
        if place + 1 < len(steps):
            return Splice(start, self.document.key_span((*above, steps[place + 1])).start, "")
        return Splice(self._extent((*above, steps[place - 1]))[1], end, "")
