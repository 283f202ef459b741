"""Schedules as files: one workbook, or a folder of CSV files. No cell of them is ever taken for a formula."""

from __future__ import annotations

import io
import os
from collections.abc import Sequence
from copy import copy
from pathlib import Path
from typing import Any, Protocol

from coaxwright.errors import Problem, Refusal
from coaxwright.reading.atomic import write_bytes_atomically
from coaxwright.reading.folders import write_folder
from coaxwright.schedules.exporting import Schedule
from coaxwright.show.csv_text import csv_text, starts_like_formula

MOST_SIGNS = 32_000
"""A cell of a workbook holds 32,767 characters."""
_WIDEST, _PAGE = 48, 165
"""Characters that a column shows side by side, longer texts wrap; and those that go on the width of a landscape page."""


def file_name(name: str) -> str:
    """The file of one schedule: `cameras.csv`."""
    return f"{name.lower().replace(' ', '-')}.csv"


def write_csv_folder(folder: str | os.PathLike[str], schedules: Sequence[Schedule]) -> list[str]:
    """One CSV file a schedule, in UTF-8 with a mark so that spreadsheets know it; the names. Raises Refusal."""
    files = {file_name(each.name): csv_of(each) for each in schedules}
    write_folder(Path(folder), files, replace=True)
    return list(files)


def csv_of(schedule: Schedule) -> str:
    """One schedule as CSV, with a mark so that spreadsheets know it for UTF-8."""
    return "\ufeff" + csv_text([schedule.headings, *([_text(cell) for cell in row] for row in schedule.rows)])


def _text(value: str | float) -> str:
    return value if isinstance(value, str) else f"{value:g}" if abs(value) < 1e6 else repr(value)


def write_workbook(path: str | os.PathLike[str], schedules: Sequence[Schedule]) -> None:
    """One workbook with a sheet a schedule, whole or not at all. Raises Refusal."""
    data = workbook_bytes(schedules, os.fspath(path))
    try:
        write_bytes_atomically(path, data)
    except OSError as error:
        raise Refusal([Problem(os.fspath(path), f"cannot be written: {error.strerror or error}")]) from error


def workbook_bytes(schedules: Sequence[Schedule], file: str) -> bytes:
    """The workbook. Texts are texts, whatever they begin with; numbers are numbers."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    for each in schedules:
        sheet = book.create_sheet(each.name)
        for place, heading in enumerate(each.headings, 1):
            _put(sheet, 1, place, heading, file, bold=True)
        for number, row in enumerate(each.rows, 2):
            for place, value in enumerate(row, 1):
                if value != "":
                    _put(sheet, number, place, value, file)
        sheet.freeze_panes = "B2"
        _widen(sheet, each)
        _for_paper(sheet)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


class _Worksheet(Protocol):
    """What is filled here: a sheet of openpyxl, which is loaded only where one is written."""

    title: str
    column_dimensions: Any
    page_setup: Any
    sheet_properties: Any
    print_options: Any
    print_title_rows: str | None
    print_title_cols: str | None
    oddFooter: Any  # noqa: N815 - as openpyxl has it

    def cell(self, *, row: int, column: int) -> Any:
        """The cell at a place, counted from 1."""
        ...


def _put(sheet: _Worksheet, row: int, column: int, value: str | float, file: str, *, bold: bool = False) -> None:
    from openpyxl.styles import Alignment

    cell = sheet.cell(row=row, column=column)
    if isinstance(value, str):
        if len(value) > MOST_SIGNS:
            what = f"{sheet.title}!{cell.coordinate} would hold {len(value)} characters, more than a cell takes"
            raise Refusal([Problem(file, what, "export to a folder of CSV files")])
        cell.value = value
        cell.data_type = "s"
        cell.number_format = "@"
        cell.quotePrefix = starts_like_formula(value)
        if len(value) > _WIDEST:
            cell.alignment = Alignment(wrap_text=True, vertical="top")
    else:
        cell.value = value
    if bold:
        face = copy(cell.font)
        face.bold = True
        cell.font = face


def _widen(sheet: _Worksheet, schedule: Schedule) -> None:
    from openpyxl.utils import get_column_letter

    for place, heading in enumerate(schedule.headings):
        longest = max([len(heading), *(len(_text(row[place])) for row in schedule.rows)])
        sheet.column_dimensions[get_column_letter(place + 1)].width = min(_WIDEST, longest + 2)


def _for_paper(sheet: _Worksheet) -> None:
    """Printed, a sheet lies across the page with its lines, its headings and the names of its rows on every page, and
    takes as few pages side by side as its columns need to be read.
    """
    wide = sum(each.width for each in sheet.column_dimensions.values())
    sheet.page_setup.orientation = "landscape"
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = max(1, -int(-wide // _PAGE)), 0
    sheet.print_title_rows, sheet.print_title_cols = "1:1", "A:A"
    sheet.print_options.gridLines = True
    sheet.oddFooter.left.text, sheet.oddFooter.right.text = "&A", "page &P of &N"
