"""A block from a spreadsheet laid over a sheet: which cell each of its pieces is meant for."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.patching import pointer
from coaxwright.immutable import immutable
from coaxwright.workspace.cells import Row
from coaxwright.workspace.columns import ALL, GROUPS, Column
from coaxwright.workspace.project import Workspace

Cells = list[tuple[str, str]]


@immutable
class Pasted:
    """Cells by pointer with their texts; `beyond` is how many pieces had no row to go to."""

    cells: Cells
    beyond: int


def pasted(work: Workspace, sheet: str, cell: str, text: str) -> Pasted:
    """What a block means from a cell on (an id of the page: `c/cameras/gate#` is the name of a row).

    Pasted from the name column, rows are found by name, and names that are not there make new rows; a first row of
    headings is passed over. Raises Refusal where nothing fits.
    """
    rows = work.rows(sheet)
    columns = [cell.column for cell in rows[0].cells] if rows and sheet != "site" else list(ALL[sheet])
    down, right = _place(rows, cell)
    lines = [line for line in _lines(text) if any(line)]
    heads = ["", *(each.name.lower() for each in columns)]
    if lines and any(word and word.lower() == head for word, head in zip(lines[0], heads[right:], strict=False)):
        lines = lines[1:]
    named = right == 0 and sheet in GROUPS
    wanted = list(_by_name(sheet, columns, rows, lines) if named else _by_place(rows[down:], lines, right))
    found = [each for each in wanted if each is not None]
    if not found:
        right_words = "paste from the name column to add rows" if sheet in GROUPS else ""
        raise Refusal([Problem("", "nothing there fits these columns", right_words)])
    return Pasted(found, len(wanted) - len(found))


def _lines(text: str) -> list[list[str]]:
    """Rows as spreadsheets copy them: tabs between, quotes round what holds a line end."""
    reader = csv.reader(io.StringIO(text.replace("\r\n", "\n").replace("\r", "\n"), newline=""), delimiter="\t")
    return [[piece.strip() for piece in line] for line in reader]


def _place(rows: Sequence[Row], cell: str) -> tuple[int, int]:
    """Row and column of a cell, the name being column 0; the first ones for a cell that is not there."""
    path, mark, _ = cell.removeprefix("c").partition("#")
    for down, row in enumerate(rows):
        if mark and pointer(row.path) == path:
            return down, 0 if cell.endswith("#") else len(row.cells) + 1
        for right, each in enumerate(row.cells, 1):
            if not mark and pointer(each.path) == path:
                return down, right
    return 0, 0


def _by_name(
    sheet: str, columns: Sequence[Column], rows: Sequence[Row], lines: Sequence[Sequence[str]]
) -> Iterator[tuple[str, str] | None]:
    """Pieces of lines that begin with a name; an empty one makes no new row."""
    there = {row.name: row for row in rows}
    for name, *pieces in lines:
        row = there.get(name)
        for column, piece in zip(columns, pieces, strict=False):
            cell = next((each for each in row.cells if each.column == column), None) if row is not None else None
            if name and not (cell.locked if cell is not None else not piece):
                yield pointer((sheet, name, *column.at)), piece


def _by_place(rows: Sequence[Row], lines: Sequence[Sequence[str]], right: int) -> Iterator[tuple[str, str] | None]:
    """Pieces of lines laid over the rows from one on; None for a piece beyond the last row."""
    for down, line in enumerate(lines):
        if down >= len(rows):
            yield from (None for _ in line)
            continue
        skipped = 1 if right == 0 else 0
        for cell, piece in zip(rows[down].cells[max(right - 1, 0) :], line[skipped:], strict=False):
            if not cell.locked:
                yield pointer(cell.path), piece
