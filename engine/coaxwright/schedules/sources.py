"""Where schedules come from, which catalogue a new site has, and how its columns were understood, in words."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.reading.catalogue import Catalogue, build_catalogue
from coaxwright.reading.files import Untrusted, confined_files
from coaxwright.reading.spreadsheet import Sheet, column_letters, read_sheets
from coaxwright.schedules.importing import Imported, Recognised

MOST_FILES = 20


def schedule_sheets(path: str | os.PathLike[str]) -> list[Sheet]:
    """The sheets of a file, or of the CSV files of a folder, each named like its file. Raises Refusal."""
    folder = Path(path)
    if not folder.is_dir():
        return read_sheets(path)
    files = sorted(folder.glob("*.csv"))
    if not files or len(files) > MOST_FILES:
        what = f"{len(files)} CSV files lie here; 1 to {MOST_FILES} can be read together"
        raise Refusal([Problem(os.fspath(path), what, "name a workbook, a CSV file, or a folder of CSV files")])
    sheets = []
    for file in files:
        one = read_sheets(file)[0]
        sheets.append(Sheet(one.file, file.stem, one.rows, one.notes, one.hidden, one.across))
    return sheets


def catalogue_for(value: Mapping[str, Any], root: Path) -> Catalogue:
    """The catalogue of a site that is not written yet; its part files are looked for below `root`. Raises Refusal."""
    files: dict[str, tuple[Path, str]] = {}
    patterns = value.get("parts") or ()
    for pattern in patterns if isinstance(patterns, list) else ():
        try:
            for path in confined_files(root or Path(), str(pattern)):
                files[os.path.realpath(path)] = (path, str(path))
        except Untrusted as error:
            raise Refusal([Problem("parts", error.what, error.right)]) from None
    return build_catalogue(files.values())


def told(found: Sequence[Recognised], result: Imported) -> str:
    """How every sheet was understood, a line each column."""
    lines = []
    for each in found:
        name = each.sheet.name or each.sheet.file
        lines.append(f"{name}: {result.rows.get(each.group, 0)} {each.group}, headings in row {each.header.row + 1}")
        for mapped in each.header.mapped:
            at = "/".join(map(str, mapped.column.at)) or "id"
            unit = f", bare numbers in {mapped.unit}" if mapped.unit else ""
            lines.append(f"  {column_letters(mapped.place)}  {mapped.heading.text} -> {at}{unit}")
        lines += [f"  not read: {heading}" for heading in each.header.ignored]
    lines += [f"note: {note}" for note in result.notes]
    return "\n".join(lines)
