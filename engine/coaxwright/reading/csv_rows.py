"""CSV as rows of text, the one reader of it: what is no CSV is refused at its line and column.

RFC 4180, with any delimiter and any line ends; strict about quotation marks, since one too many or too few silently
makes other rows of what follows. Not here: what columns mean, and cells of spreadsheets (`spreadsheet`).
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from typing import NamedTuple

from coaxwright.errors import Problem, Refusal, Span

MOST_CELL = 131_072
"""Characters of one cell; a table that a person fills in has none such, an unclosed quotation mark makes one."""
_QUOTE = '"'
_UNTYPED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_UNCLOSED = ("this is no CSV: a quotation mark opens here and is never closed", "check the quotation marks")
_AFTER_QUOTE = ("this is no CSV: a quoted cell goes on after its quotation mark", "check the quotation marks")
_TOO_LONG = (f"this is no CSV: a cell of more than {MOST_CELL:,} characters begins here", "check the quotation marks")


def delimiter_of(text: str) -> str:
    """What parts cells: comma, semicolon or tab, whichever the first line has most of."""
    first = text.split("\n", 1)[0]
    return max(",;\t", key=lambda sign: (first.count(sign), sign == ","))


class Row(NamedTuple):
    """One row: its cells, and the line of the file on which it begins (1-based)."""

    cells: list[str]
    line: int


class Table:
    """The rows of a CSV text. `first` is the number of its first line in the file."""

    def __init__(self, text: str, file: str, delimiter: str = ",", first: int = 1) -> None:
        self.file, self._delimiter, self._first = file, delimiter, first
        self._lines = list(io.StringIO(text, newline=""))

    def __iter__(self) -> Iterator[Row]:
        """Row by row. Raises Refusal at what is no CSV."""
        reader = csv.reader(iter(self._lines), delimiter=self._delimiter, strict=True)
        begin = 0
        try:
            for cells in reader:
                if len(cells) and max(map(len, cells)) > MOST_CELL:
                    raise csv.Error
                yield Row(cells, self._first + begin)
                begin = reader.line_num
        except csv.Error:
            raise Refusal([self._fault(begin)]) from None

    def problem(self, row: Row, place: int, what: str, right: str = "") -> Problem:
        """A problem with the cell at a place (0-based) of a row."""
        starts = [start for start, _ in self._cells(row.line - self._first)]
        return Problem(self.file, what, right, starts[place] if place < len(starts) else Span(row.line, 1))

    def one_line(self, row: Row, what: str) -> None:
        """Raises Refusal at the first cell of a row that goes over several lines or holds a sign that nobody types.

        `what` names such a cell: a stray pair of quotation marks makes one cell of the ends of two rows.
        """
        for place, cell in enumerate(row.cells):
            if _UNTYPED.search(cell.strip()):
                lines = len(cell.strip().splitlines()) > 1
                how = "goes over several lines" if lines else "holds a control character"
                raise Refusal([self.problem(row, place, f"{what} {how}", "check the quotation marks" if lines else "remove it")])

    def _fault(self, begin: int) -> Problem:
        """What is wrong with the row that begins on this line (0-based), at its first cell that is at fault."""
        for start, told in self._cells(begin):
            if told is not None:
                return Problem(self.file, *told, start)
        return Problem(self.file, "this is no CSV", "check the quotation marks", Span(self._first + begin, 1))

    def _cells(self, begin: int) -> Iterator[tuple[Span, tuple[str, str] | None]]:
        """Where each cell of a row begins, and what is wrong with it: read once more, sign by sign."""
        line, at = begin, 0
        while line < len(self._lines):
            start = Span(self._first + line, at + 1)
            if self._lines[line][at : at + 1] == _QUOTE:
                end_line, end, length = self._end_of_quoted(line, at + 1)
                if end_line == len(self._lines):
                    yield start, _TOO_LONG if length > MOST_CELL else _UNCLOSED
                    return
                rest = self._lines[end_line][end:]
                fine = not rest.rstrip("\r\n") or rest.startswith(self._delimiter)
                yield start, _TOO_LONG if length > MOST_CELL else None if fine else _AFTER_QUOTE
                line, at = end_line, end
            else:
                text = self._lines[line].rstrip("\r\n")
                end = text.find(self._delimiter, at)
                end = len(text) if end < 0 else end
                yield start, _TOO_LONG if end - at > MOST_CELL else None
                at = end
            if not self._lines[line].startswith(self._delimiter, at):
                return
            at += 1

    def _end_of_quoted(self, line: int, at: int) -> tuple[int, int, int]:
        """Line and place after the mark that closes, and the length between; a line beyond the last without one."""
        length = 0
        while line < len(self._lines):
            text = self._lines[line]
            end = text.find(_QUOTE, at)
            if end < 0:
                length, line, at = length + len(text) - at, line + 1, 0
            elif text.startswith(_QUOTE, end + 1):
                length, at = length + end + 1 - at, end + 2
            else:
                return line, end + 1, length + end - at
        return line, at, length
