"""Offsets of a text as lines and columns, as editors count them.

A line ends with LF, CR LF or CR and with nothing else, so U+2028 does not shift the lines below it. Columns
count characters (code points): an emoji is one. Not here: display widths.
"""

from __future__ import annotations

import re
from array import array
from bisect import bisect_right

from coaxwright.errors import Span

INVISIBLE = "\u00ad\u115f\u1160\u180e\u200b\u2060-\u2065\u206a-\u206f\u3164\uffa0\ufff9-\ufffb\U000e0000-\U000e007f"
"""Characters that take no ink and that no script needs, for a class of a regular expression: with one of them two names
look the same and are not. Joiners (U+200C, U+200D) are needed, in Persian for example.
"""
HIDDEN = "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff\ud800-\udfff" + INVISIBLE
"""Those, control characters other than tab and line ends, changes of direction and halves of characters: refused in files."""
_LINE_ENDS = re.compile(r"\r\n|\n|\r")


class Positions:
    """Lines and columns of one text; the lines are looked for when the first position is asked for."""

    __slots__ = ("_starts", "_text")

    def __init__(self, text: str) -> None:
        self._text = text
        self._starts: array[int] | None = None

    def line_column(self, offset: int) -> tuple[int, int]:
        """1-based line and column of a 0-based offset; the end of the text is a place too."""
        starts = self._line_starts()
        line = bisect_right(starts, offset)
        return line, offset - starts[line - 1] + 1

    def span(self, start: int, end: int) -> Span:
        """The stretch between two offsets (cut to the text)."""
        start = max(0, min(start, len(self._text)))
        end = max(start, min(end, len(self._text)))
        line, column = self.line_column(start)
        end_line, end_column = self.line_column(end)
        return Span(line, column, end_line, end_column, start, end)

    def _line_starts(self) -> array[int]:
        if self._starts is None:
            self._starts = array("L", [0])
            self._starts.extend(match.end() for match in _LINE_ENDS.finditer(self._text))
        return self._starts
