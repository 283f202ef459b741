"""Tables out of CSV, XLSX and ODS files: cells as text with their addresses, nothing taken on trust.

Values are what the spreadsheet shows a person to be there; a formula that was never computed, an error, a date
where a number is wanted are kept apart, so that the reader of a cell can refuse it by its address. Limits are
checked before anything is unpacked (`spreadsheet_guard`). Not here: what columns mean.
"""

from __future__ import annotations

import codecs
import datetime
import io
import os
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, NamedTuple

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.reading.csv_rows import Table
from coaxwright.reading.open_document import is_open_document, open_document_sheets
from coaxwright.reading.spreadsheet_guard import MAX_COLUMNS, MAX_ROWS, SheetNotes, inspect
from coaxwright.reading.yaml_source import read_bytes

MAX_FILE = 16 * 1024 * 1024
CellKind = Literal["text", "number", "yes-no", "date", "formula", "error"]
_BLANKS = "\u00a0\u2007\u202f\u200b\ufeff"
_DELIMITERS = (",", ";", "\t")


class Cell(NamedTuple):
    """One cell: its text as a person would type it, what kind of value it is, and where it stands."""

    text: str
    kind: CellKind
    address: str


@immutable
class Sheet:
    """One sheet: rows of cells from A1 on, and how it was read.

    `hidden` are rows that are hidden, `across` merges that go over several columns as (row, left, right), both
    1-based.
    """

    file: str
    name: str
    rows: list[list[Cell]]
    notes: tuple[str, ...] = ()
    hidden: frozenset[int] = frozenset()
    across: tuple[tuple[int, int, int], ...] = ()

    def place(self, cell: Cell) -> str:
        """`file: Sheet1!D17`, or `file: D17` where the file has no sheets."""
        return f"{self.file}: {self.name}!{cell.address}" if self.name else f"{self.file}: {cell.address}"


@dataclass(slots=True)
class _Text:
    """A CSV file as text, and how it was made out."""

    text: str
    notes: list[str] = field(default_factory=list)


def read_sheets(path: str | os.PathLike[str]) -> list[Sheet]:
    """Every sheet of a file; one of a CSV file. Raises Refusal."""
    name = os.fspath(path)
    data = read_bytes(path, name, MAX_FILE)
    if is_open_document(data):
        return [_sheet(name, each.title, each.values, each.notes) for each in open_document_sheets(data, name)]
    if data.startswith(b"PK\x03\x04"):
        return _workbook(data, name)
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        what = "this is an old workbook, or one locked with a password"
        raise Refusal([Problem(name, what, "save it as .xlsx without a password, or as .csv")])
    if Path(name).suffix.lower() in (".xlsx", ".xlsm", ".ods", ".xlsb", ".xls"):
        raise Refusal([Problem(name, "this is no workbook of the .xlsx or .ods form", "save it as .xlsx, .ods or .csv")])
    return [_table(_decoded(data, name), name)]


def column_letters(place: int) -> str:
    """Letters of a column, 0-based: A, B ... Z, AA."""
    letters = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def tidy(text: str) -> str:
    """Text without spaces around it, every kind of blank taken for a space, runs of them for one."""
    for sign in _BLANKS:
        text = text.replace(sign, " ")
    return " ".join(text.split())


# CSV


def _decoded(data: bytes, name: str) -> _Text:
    """The text, and how its bytes were read. UTF-16 only with a mark: any bytes would pass for it."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        try:
            return _Text(data.decode("utf-16"), ["read as UTF-16"])
        except UnicodeDecodeError:
            raise Refusal(
                [Problem(name, "it begins as UTF-16 and goes on as something else", "save it as UTF-8")]
            ) from None
    if b"\0" in data:
        raise Refusal([Problem(name, "a zero byte stands here: this is no text", "save it as .csv in UTF-8")])
    try:
        return _Text(data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        return _Text(data.decode("cp1252", "replace"), ["read as Windows-1252, since it is not UTF-8"])


def _table(source: _Text, name: str) -> Sheet:
    text = source.text
    first, _, rest = text.partition("\n")
    delimiter = ""
    skipped = 0
    if first.lower().startswith("sep=") and len(first.strip()) == 5:
        delimiter, text, skipped = first.strip()[4], rest, 1
    delimiter = delimiter or _sniffed(text)
    if delimiter != ",":
        source.notes.append(f"columns are separated by {'tabs' if delimiter == chr(9) else delimiter}")
    rows = []
    for number, row in enumerate(Table(text, name, delimiter, 1 + skipped), 1 + skipped):
        _check_size(name, number, len(row.cells))
        rows.append([_csv_cell(each, place, number) for place, each in enumerate(row.cells)])
    return Sheet(name, "", rows, tuple(source.notes))


def _csv_cell(text: str, place: int, number: int) -> Cell:
    shown = tidy(text)
    if shown[:1] == "'" and shown[1:2] in ("=", "+", "-", "@"):
        shown = shown[1:]
    return Cell(shown, "text", f"{column_letters(place)}{number}")


def _check_size(name: str, row: int, columns: int) -> None:
    if row > MAX_ROWS or columns > MAX_COLUMNS:
        what = f"more than {MAX_ROWS} rows or {MAX_COLUMNS} columns"
        raise Refusal([Problem(name, what, "split it, or delete what is empty")])


def _sniffed(text: str) -> str:
    """The delimiter that splits the first lines most evenly; a comma where none splits any."""
    lines = [line for line in text.splitlines()[:20] if line.strip()]
    best, most = ",", 0.0
    for delimiter in _DELIMITERS:
        counts = [_outside_quotes(line, delimiter) for line in lines]
        filled = [count for count in counts if count]
        score = len(filled) * max(filled, default=0) / (1 + len(set(filled)))
        if score > most:
            best, most = delimiter, score
    return best


def _outside_quotes(line: str, sign: str) -> int:
    return sum(piece.count(sign) for piece in line.split('"')[::2])


# XLSX


def _workbook(data: bytes, name: str) -> list[Sheet]:
    notes = inspect(data, name)
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        return [
            _sheet(name, title, book.get_sheet_by_name(title).to_python(skip_empty_area=False), notes[title])
            for title in book.sheet_names
            if title in notes
        ]
    except (CalamineError, zipfile.BadZipFile, ValueError, OSError) as error:
        raise Refusal([Problem(name, f"this workbook cannot be read ({error})", "save it anew as .xlsx")]) from None


def _sheet(name: str, title: str, values: Sequence[Sequence[Any]], notes: SheetNotes) -> Sheet:
    rows = []
    for number, row in enumerate(values, 1):
        rows.append([_cell(value, f"{column_letters(place)}{number}", notes) for place, value in enumerate(row)])
    _fill_merged(rows, notes)
    across = tuple((top, left, right) for top, left, bottom, right in notes.merges if right > left)
    said = (f"rows that are hidden were read too: {_listed(notes.hidden)}",) if notes.hidden else ()
    return Sheet(name, title, rows, said, notes.hidden, across)


def _listed(numbers: frozenset[int]) -> str:
    shown = [str(number) for number in sorted(numbers)[:10]]
    return ", ".join(shown) + (" ..." if len(numbers) > 10 else "")


def _cell(value: object, address: str, notes: SheetNotes) -> Cell:
    if address in notes.errors:
        return Cell(notes.errors[address], "error", address)
    if address in notes.uncomputed:
        return Cell("", "formula", address)
    if isinstance(value, bool):
        return Cell("yes" if value else "no", "yes-no", address)
    if isinstance(value, int | float):
        return Cell(_digits(float(value), notes.padded.get(address, 0)), "number", address)
    if isinstance(value, datetime.date | datetime.time | datetime.timedelta):
        return Cell(str(value), "date", address)
    return Cell(_plain_text(value), "text", address)


def _plain_text(value: object) -> str:
    """Text as it was meant: an apostrophe that keeps a formula from being one is no part of it."""
    shown = tidy(str(value))
    return shown[1:] if shown[:1] == "'" and shown[1:2] in ("=", "+", "-", "@") else shown


def _digits(value: float, width: int) -> str:
    """A number as it is typed; whole ones without a point, with the leading zeros that its format shows."""
    if value == int(value) and abs(value) < 1e15:
        return f"{int(value):0{width}d}"
    return repr(value)


def _fill_merged(rows: list[list[Cell]], notes: SheetNotes) -> None:
    """A cell merged downwards holds for every row that it spans; one merged across is a heading and stays."""
    for top, left, bottom, right in notes.merges:
        if left != right or top > len(rows):
            continue
        first = rows[top - 1][left - 1] if left <= len(rows[top - 1]) else None
        for number in range(top + 1, min(bottom, len(rows)) + 1):
            row = rows[number - 1]
            if first is not None and left <= len(row):
                row[left - 1] = first._replace(address=row[left - 1].address)
