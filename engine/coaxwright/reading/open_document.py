"""Sheets of an OpenDocument workbook (.ods), by events: values with notes, sizes counted before anything is repeated.

The form writes a cell or row that repeats once with a count, so that a few bytes can stand for a million cells:
counts are judged before they are carried out. Links to other files, macros and passwords are refused, as they are
of .xlsx. Limits: docs/schedules.md. Source of the form: OASIS OpenDocument 1.3, part 3, sections 9.1 and 19.
"""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from coaxwright.reading.spreadsheet_guard import (
    MAX_AREA,
    MAX_COLUMNS,
    MAX_MERGES,
    MAX_ROWS,
    MAX_TEXT,
    Handler,
    Refused,
    SheetNotes,
    opened,
    parse_part,
)

KIND = b"application/vnd.oasis.opendocument.spreadsheet"
_TIME = re.compile(r"PT(\d+)H(\d+)M(\d+)(?:[.,]\d+)?S")
_PADDED = re.compile(r"0[0-9]{1,14}")
_FAILED = re.compile(r"#(DIV/0!|N/A|NAME\?|REF!|VALUE!|NUM!|NULL!)|Err:[0-9]+")
_OUTSIDE = ("annotation", "shapes", "frame", "custom-shape", "tracked-changes", "note")


class _Cell(NamedTuple):
    """A value as it is repeated: `fault` is `error`, `uncomputed` or nothing, `width` the digits shown at least."""

    value: Any = ""
    fault: str = ""
    width: int = 0


@dataclass(slots=True)
class OpenSheet:
    """One sheet that is shown: its values from A1 on, with what matters besides."""

    title: str
    values: list[list[Any]] = field(default_factory=list)
    notes: SheetNotes = field(default_factory=SheetNotes)


def is_open_document(data: bytes) -> bool:
    """Whether an archive says of itself, in its first part, that it is a workbook of this form."""
    return data[30:38] == b"mimetype" and KIND in data[38:160]


def open_document_sheets(data: bytes, name: str) -> list[OpenSheet]:
    """Every sheet that is shown. Raises Refusal."""
    with opened(data, name) as archive:
        names = {member.filename.lower() for member in archive.infolist()}
        if any(each.startswith(("basic/", "scripts/")) for each in names):
            raise Refused("the workbook holds macros", "save it without them, or as .xlsx")
        if "META-INF/manifest.xml" in archive.namelist():
            parse_part(archive, "META-INF/manifest.xml", _Manifest())
        content = _Content()
        parse_part(archive, "content.xml", content)
        return content.sheets


class _Manifest(Handler):
    """Parts of the archive; one that is locked is refused."""

    def start(self, tag: str, values: dict[str, str]) -> None:
        if tag == "encryption-data":
            raise Refused("the workbook is locked with a password", "save it without one")


class _Content(Handler):
    """All sheets, cell by cell."""

    def __init__(self) -> None:
        self.sheets: list[OpenSheet] = []
        self._sheet: OpenSheet | None = None
        self._unshown: set[str] = set()
        self._style, self._depth, self._outside, self._characters = "", 0, 0, 0
        self._row: list[_Cell] = []
        self._row_says: dict[str, str] = {}
        self._cell: dict[str, str] | None = None
        self._words: list[str] = []
        self._covered = False
        self._empty_rows = self._empty_cells = 0

    def start(self, tag: str, values: dict[str, str]) -> None:
        if self._outside or tag in _OUTSIDE:
            self._outside += 1
            return
        says = {key.rpartition(" ")[2]: value for key, value in values.items() if "calcext" not in key}
        if any("calcext" in key and value == "error" for key, value in values.items()):
            says["error"] = "yes"
        begin = getattr(self, f"_start_{tag.replace('-', '_')}", None)
        if begin is not None:
            begin(says)

    def end(self, tag: str) -> None:
        if self._outside:
            self._outside -= 1
        elif tag in ("table-cell", "covered-table-cell"):
            self._end_cell()
        elif tag == "table-row" and self._sheet is not None:
            self._end_row(self._sheet)
        elif tag == "table":
            self._end_table()

    def text(self, data: str) -> None:
        if self._cell is None or self._outside:
            return
        self._words.append(data)

    # Names below follow the elements of the form.

    def _start_style(self, says: dict[str, str]) -> None:
        self._style = says.get("name", "")

    def _start_table_properties(self, says: dict[str, str]) -> None:
        if says.get("display") == "false":
            self._unshown.add(self._style)

    def _start_table_source(self, says: dict[str, str]) -> None:
        raise Refused("the workbook links to other files", "break the links (keep the values) and save it again")

    _start_cell_range_source = _start_table_source
    _start_dde_source = _start_table_source

    def _start_table(self, says: dict[str, str]) -> None:
        self._depth += 1
        if self._depth > 1:
            raise Refused("a cell of the workbook holds a table of its own", "save the list alone in a new workbook")
        self._sheet = OpenSheet(says.get("name", ""))
        if says.get("style-name") not in self._unshown:
            self.sheets.append(self._sheet)
        self._empty_rows = 0

    def _end_table(self) -> None:
        self._depth -= 1
        self._sheet = None

    def _start_table_row(self, says: dict[str, str]) -> None:
        self._row, self._row_says, self._empty_cells = [], says, 0

    def _start_table_cell(self, says: dict[str, str]) -> None:
        self._cell, self._words, self._covered = says, [], False
        if self._sheet is not None and ("number-rows-spanned" in says or "number-columns-spanned" in says):
            self._merge(self._sheet, _count(says, "number-rows-spanned"), _count(says, "number-columns-spanned"))

    def _start_covered_table_cell(self, says: dict[str, str]) -> None:
        # What a merge covers is kept by the form and shown to nobody.
        self._cell, self._words, self._covered = says, [], True

    def _start_p(self, _: dict[str, str]) -> None:
        self.text(" " if self._words else "")

    def _start_s(self, _: dict[str, str]) -> None:
        self.text(" ")

    _start_tab = _start_s
    _start_line_break = _start_s

    def _merge(self, sheet: OpenSheet, rows: int, columns: int) -> None:
        if rows == columns == 1:
            return
        if len(sheet.notes.merges) >= MAX_MERGES:
            raise Refused(f"sheet `{sheet.title}` has more than {MAX_MERGES} merged cells", "undo the merging")
        top, left = len(sheet.values) + self._empty_rows + 1, len(self._row) + self._empty_cells + 1
        sheet.notes.merges.append((top, left, top + rows - 1, left + columns - 1))

    def _end_cell(self) -> None:
        says, times = self._cell or {}, _count(self._cell or {}, "number-columns-repeated")
        cell = _Cell() if self._covered else _value(says, "".join(self._words))
        self._cell = None
        if cell == _Cell():
            self._empty_cells += times
            return
        if len(self._row) + self._empty_cells + times > MAX_COLUMNS:
            what = f"a row has more than {MAX_COLUMNS} columns"
            raise Refused(what, "delete the columns beside the list")
        self._row += [_Cell()] * self._empty_cells + [cell] * times
        self._empty_cells = 0

    def _end_row(self, sheet: OpenSheet) -> None:
        times = _count(self._row_says, "number-rows-repeated")
        if not self._row:
            self._empty_rows += times
            return
        rows = len(sheet.values) + self._empty_rows + times
        self._characters += times * sum(len(str(cell.value)) for cell in self._row)
        if rows > MAX_ROWS or rows * len(self._row) > MAX_AREA or self._characters > MAX_TEXT:
            what = f"sheet `{sheet.title}` has more than {MAX_ROWS} rows, {MAX_AREA} cells or {MAX_TEXT >> 20} MiB of text"
            raise Refused(what, "delete what is not the list, or split it")
        sheet.values += [[] for _ in range(self._empty_rows)]
        self._empty_rows = 0
        for _ in range(times):
            self._keep(sheet)

    def _keep(self, sheet: OpenSheet) -> None:
        sheet.values.append([cell.value for cell in self._row])
        number, notes = len(sheet.values), sheet.notes
        if self._row_says.get("visibility") in ("collapse", "filter"):
            notes.hidden |= {number}
        for place, cell in enumerate(self._row):
            address = f"{_letters(place)}{number}"
            if cell.fault == "error":
                notes.errors[address] = str(cell.value)
            elif cell.fault:
                notes.uncomputed.add(address)
            elif cell.width:
                notes.padded[address] = cell.width


def _letters(place: int) -> str:
    """Letters of a column, 0-based, of the 256 that are read."""
    return (chr(64 + place // 26) if place >= 26 else "") + chr(65 + place % 26)


def _count(says: dict[str, str], name: str) -> int:
    """How often, or over how many; what is no number from 1 on is refused."""
    text = says.get(name, "1")
    if not text.isdecimal() or not 1 <= len(text) <= 9 or int(text) < 1:
        raise Refused(f"`{name}` is `{text[:20]}`, which counts nothing", "save it anew as .ods")
    return int(text)


def _value(says: dict[str, str], shown: str) -> _Cell:
    """What a cell holds. A formula whose value was never worked out, and one that failed, are told apart."""
    kind = says.get("value-type", "")
    if "error" in says or (says.get("formula") and _FAILED.fullmatch(shown.strip())):
        return _Cell(shown, "error")
    if says.get("formula") in ("of:=TRUE()", "of:=FALSE()"):  # so one of .xlsx is saved in this form
        return _Cell(says["formula"] == "of:=TRUE()")
    if says.get("formula") and not kind:
        return _Cell(shown, "uncomputed")
    if kind in ("float", "percentage", "currency"):
        text = shown.strip()
        return _Cell(float(says["value"]), "", len(text) if _PADDED.fullmatch(text) else 0)
    if kind == "boolean":
        return _Cell(says.get("boolean-value") == "true")
    if kind == "date":
        day = says["date-value"]
        return _Cell(datetime.date.fromisoformat(day) if len(day) == 10 else datetime.datetime.fromisoformat(day[:19]))
    time = _TIME.fullmatch(says.get("time-value", ""))
    if kind == "time" and time is not None:
        return _Cell(datetime.timedelta(hours=int(time[1]), minutes=int(time[2]), seconds=int(time[3])))
    return _Cell(says.get("string-value", shown))
