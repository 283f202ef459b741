"""Places of an editor: lines from 0 and UTF-16 code units, against our spans of characters; and where a cursor stands.

Where the cursor stands is read off the lines alone, so that it is known in a text that is broken just now.
"""

from __future__ import annotations

import re

from lsprotocol import types

from coaxwright.errors import Span
from coaxwright.immutable import immutable

_KEY = re.compile(r"^(\s*)(?:- )*([\w.-]+)\s*:(?:\s|$)")
_BEFORE = re.compile(r"([\w.-]+)\s*:\s*([^{}\[\],:]*)$")
_OPENED = re.compile(r"([\w.-]+)\s*:\s*[\[{]*\{$")


def units16(text: str) -> int:
    """Length in UTF-16 code units."""
    return len(text) + sum(ord(each) > 0xFFFF for each in text)


def position_of(text: str, offset: int) -> types.Position:
    """The editor's place of a character offset."""
    start = text.rfind("\n", 0, offset) + 1
    return types.Position(text.count("\n", 0, offset), units16(text[start:offset]))


def offset_of(text: str, place: types.Position) -> int:
    """The character offset of an editor's place; the end of the line where it lies beyond."""
    start = 0
    for _ in range(place.line):
        end = text.find("\n", start)
        if end < 0:
            return len(text)
        start = end + 1
    line, left = text[start:].partition("\n")[0], place.character
    for count, each in enumerate(line):
        if left <= 0:
            return start + count
        left -= units16(each)
    return start + len(line)


def range_of(text: str, span: Span | None) -> types.Range:
    """The editor's range of a span; the first line where there is none."""
    if span is None:
        return types.Range(types.Position(0, 0), types.Position(0, units16(text.partition("\n")[0])))
    return types.Range(position_of(text, span.start), position_of(text, max(span.end, span.start)))


@immutable
class Cursor:
    """Where a cursor stands: the keys that lead there, the key whose value is being typed, what is typed of it."""

    path: tuple[str, ...]
    key: str
    typed: str

    @property
    def group(self) -> str:
        """The first key of the path; empty at the top."""
        return self.path[0] if self.path else ""


def cursor_at(text: str, offset: int) -> Cursor:
    """Where the cursor at an offset stands, by the lines above and before it."""
    start = text.rfind("\n", 0, offset) + 1
    before = text[start:offset]
    indent = len(before) - len(before.lstrip(" "))
    path = _above(text[:start], indent)
    block = _KEY.match(before)
    if block and "{" in before:
        path = (*path, block[2])
    path = (*path, *_opened(before))
    found = _BEFORE.search(before)
    if found:
        return Cursor(tuple(dict.fromkeys(path)), found[1], found[2])
    return Cursor(tuple(dict.fromkeys(path)), "", re.split(r"[\s{\[,]", before)[-1])


def _above(text: str, indent: int) -> tuple[str, ...]:
    """Keys of the lines above that are indented less and less."""
    found: list[str] = []
    for line in reversed(text.splitlines()):
        match = _KEY.match(line)
        if match and len(match[1]) < indent:
            found.append(match[2])
            indent = len(match[1])
        if indent == 0:
            break
    return tuple(reversed(found))


def _opened(before: str) -> list[str]:
    """Keys whose braces are open at the end of a line."""
    found: list[str] = []
    for place, each in enumerate(before):
        if each == "{":
            match = _OPENED.search(before[: place + 1])
            found.append(match[1] if match else "")
        elif each == "}" and found:
            found.pop()
    return [each for each in found if each]
