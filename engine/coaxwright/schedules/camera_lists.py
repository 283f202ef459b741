"""Lists of cameras with quantities: which part, how many, over which run, each with the cell that says so.

A camera schedule is such a list too, one camera a row. Not here: what the cameras come to on a recorder.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.quantities import quoted
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.spreadsheet import Cell, Sheet, read_sheets
from coaxwright.schedules.headings import Header, Mapped, columns_of, find_header
from coaxwright.schedules.reading_rows import TOTALS
from coaxwright.schedules.values import Wrong, value_of

TABLE = "camera-list-headings"
MOST = 1024
"""Cameras of a list: more are placed on no recorder."""


@immutable
class Listed:
    """One row of a list: `count` cameras of a part, the run and switch that it names (None where it does not)."""

    part: str
    count: int
    place: str
    label: str | None = None
    cable: str | None = None
    length: str | None = None
    family: str | None = None
    mode: str | None = None


@immutable
class CameraList:
    """All rows of a list, and remarks on how it was read."""

    rows: tuple[Listed, ...]
    notes: tuple[str, ...]


def read_camera_list(path: str | os.PathLike[str], catalogue: Catalogue) -> CameraList:
    """The cameras of a CSV or XLSX file. Raises Refusal with every bad cell."""
    sheet, header = _headed(path)
    return _Reader(sheet, header, catalogue).read()


def named_in_list(path: str | os.PathLike[str]) -> list[str]:
    """What the list calls its parts and cables, each once, before a catalogue is at hand. Raises Refusal as reading does."""
    sheet, header = _headed(path)
    places = [each.place for each in header.mapped if each.column.name in ("part", "cable")]
    rows = [row for row in sheet.rows[header.row + 1 :] if _first_word(row) not in TOTALS]
    cells = [row[place].text for row in rows for place in places if place < len(row)]
    return list(dict.fromkeys(text for text in cells if text))


def _first_word(row: Sequence[Cell]) -> str:
    return next((cell.text.lower().rstrip(":") for cell in row if cell.text), "")


def _headed(path: str | os.PathLike[str]) -> tuple[Sheet, Header]:
    """The first sheet with the headings of a list, and where they stand."""
    columns = columns_of("cameras", TABLE)
    for sheet in read_sheets(path):
        header = find_header(sheet, columns, ("part",), more=0)
        if header is not None:
            return sheet, header
    what = "no row among the first has the headings of a list of cameras"
    raise Refusal(
        [Problem(os.fspath(path), what, "head one column `Model`, and another `Quantity` where there are several")]
    )


@dataclass(slots=True)
class _Reader:
    """Reads one sheet; lives for one call."""

    sheet: Sheet
    header: Header
    catalogue: Catalogue
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def read(self) -> CameraList:
        """Every row that names a part."""
        rows = tuple(self._rows())
        if not rows and not self.problems:
            self.problems.append(Problem(self.sheet.file, "lists no camera", "write one part a row below the headings"))
        total = sum(each.count for each in rows)
        if total > MOST:
            what = f"lists {total} cameras, and {MOST} are the most that are placed together"
            self.problems.append(Problem(self.sheet.file, what, "split the list"))
        if self.problems:
            raise Refusal(self.problems)
        return CameraList(rows, (*self.sheet.notes, *self.notes))

    def _rows(self) -> Iterator[Listed]:
        for number, row in enumerate(self.sheet.rows[self.header.row + 1 :], self.header.row + 2):
            cells = {each.column.name: self._cell(row, each.place) for each in self.header.mapped}
            if not any(cells.values()):
                continue
            if _first_word(row) in TOTALS:
                self.notes.append(f"row {number} is a total and was left out")
                continue
            if cells["part"] is None:
                self._without_part(number, row)
                continue
            found = self._listed(cells, cells["part"])
            if found is not None:
                yield found

    def _without_part(self, number: int, row: Sequence[Cell]) -> None:
        """A row that says something and names no part: a heading between rows, or one that lacks it."""
        filled = [cell for cell in row if cell.text]
        if len(filled) == 1:
            self.notes.append(f"row {number} names no part and was left out: {quoted(filled[0].text)}")
        else:
            self._wrong(filled[0], "this row names no part", "give it one, or empty the row")

    def _listed(self, cells: dict[str, Cell | None], part: Cell) -> Listed | None:
        values = {each.column.name: self._value(cells, each) for each in self.header.mapped}
        name, count = values["part"], values.get("count")
        if name is None:
            return None
        if cells.get("count") is not None and not count:
            if count == 0:
                self.notes.append(f"{part.address}: none of {name} is asked for")
            return None
        if self.catalogue.kind(name) != "camera":
            self._wrong(part, f"{quoted(name)} is a {self.catalogue.kind(name)}", "list cameras only")
            return None
        rest = {key: values.get(key) for key in ("label", "cable", "length", "family", "mode")}
        return Listed(name, 1 if count is None else count, self.sheet.place(part), **rest)

    def _value(self, cells: dict[str, Cell | None], mapped: Mapped) -> Any:
        cell = cells[mapped.column.name]
        if cell is None:
            return None
        try:
            return value_of(cell, mapped, self.catalogue)
        except Wrong as wrong:
            self._wrong(cell, wrong.what, wrong.right)
            return None

    def _cell(self, row: Sequence[Cell], place: int) -> Cell | None:
        cell = row[place] if place < len(row) else None
        return None if cell is None or not (cell.text or cell.kind == "formula") else cell

    def _wrong(self, cell: Cell, what: str, right: str) -> None:
        self.problems.append(Problem(self.sheet.place(cell), what, right))
