"""Where a stretch of a text value stands in the file that it was read from.

The rule language speaks in offsets into one expression; a person wants line and column of the rule file.
Exact for plain, quoted and block scalars, whose lines YAML folds into one; the start of the value where
neither fits.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from coaxwright.errors import Problem, Span
from coaxwright.reading.positions import Positions

_HEADER = re.compile(r"[|>][+-]?[1-9]?[+-]?[ \t]*(?:#[^\n]*)?\r?\n")


def place_problem(
    problem: Problem, file: str, text: str, value: str, whole: Span | None, path: Sequence[str | int]
) -> Problem:
    """The problem of an expression or sentence as a problem of the file: `text` is the file's, `value` the
    scalar's.
    """
    inside = problem.span
    span = (
        whole if whole is None or inside is None else place_span(text, value, whole, inside.start, inside.end)
    )
    return Problem(file, problem.what, problem.right, span, tuple(path))


def place_span(text: str, value: str, whole: Span, start: int, end: int) -> Span:
    """Span of `value[start:end]` in the file `text`, where `whole` is the span of the scalar."""
    offsets = _offsets(text[whole.start : whole.end], value)
    if offsets is None or start > len(value):
        return whole
    first = whole.start + offsets[start]
    last = max(first, whole.start + offsets[min(end, len(value)) - 1] + 1) if end > start else first
    return Positions(text).span(first, last)


def _offsets(raw: str, value: str) -> list[int] | None:
    """For each character of the value, and for its end, the offset in the scalar as written; None where it is
    unclear.

    Walks both side by side: white space of any length and kind in the file stands for white space of the
    value.
    """
    at = _start(raw)
    found: list[int] = []
    quote = raw[:1] if raw[:1] in ("'", '"') else ""
    for character in value:
        if character.isspace():
            found.append(at)
            while at < len(raw) and raw[at].isspace():
                at += 1
            continue
        while at < len(raw) and raw[at].isspace():
            at += 1
        if not raw.startswith(character, at):
            return None
        found.append(at)
        at += 2 if quote == "'" and character == "'" else 1
    return [*found, at]


def _start(raw: str) -> int:
    header = _HEADER.match(raw)
    if header:
        return header.end()
    return 1 if raw[:1] in ("'", '"') else 0
