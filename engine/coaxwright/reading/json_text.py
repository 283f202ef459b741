"""JSON from a file, the one reader of what others may have written: what is none is refused at its line and column."""

from __future__ import annotations

import json
import re
from typing import Any

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.reading.positions import Positions

MOST_DEEP = 64
"""Lists and groups inside one another; no file of this program has a tenth of it."""
_SIGNS = re.compile(r'"(?:[^"\\]|\\.)*"?|[\[\]{}]', re.DOTALL)
_NO_JSON = "this is no JSON"


def json_value(text: str, file: str, right: str) -> Any:
    """The value of a JSON text; `right` says what would be right. Raises Refusal; NaN and Infinity are no JSON."""
    deep = _too_deep(text)
    if deep is not None:
        what = f"{_NO_JSON} that can be read: it is nested more than {MOST_DEEP} levels deep"
        raise Refusal([Problem(file, what, right, _span(text, deep))])
    try:
        return json.loads(text, parse_constant=_refuse)
    except json.JSONDecodeError as error:
        told = f"{_NO_JSON} ({error.msg[:1].lower()}{error.msg[1:]})"
        raise Refusal([Problem(file, told, right, Span(error.lineno, error.colno))]) from None
    except ValueError as error:
        raise Refusal([Problem(file, f"{_NO_JSON} ({error})", right)]) from None


def _refuse(constant: str) -> object:
    raise ValueError(f"`{constant}` is no number")


def _too_deep(text: str) -> int | None:
    """Where nesting goes too deep; None where it does not."""
    depth = 0
    for found in _SIGNS.finditer(text):
        sign = found[0]
        if sign in "[{":
            depth += 1
            if depth > MOST_DEEP:
                return found.start()
        elif sign in "]}":
            depth -= 1
    return None


def _span(text: str, at: int) -> Span:
    line, column = Positions(text).line_column(at)
    return Span(line, column)
