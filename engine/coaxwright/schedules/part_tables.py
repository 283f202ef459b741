"""Tables of parts as part files: columns mapped by their headings, every bad cell told, nothing half-read.

What a table cannot say is left out of the entries and stays open. Not here: judging entries (`catalogues`).
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.yaml_text import entry
from coaxwright.immutable import immutable
from coaxwright.model.parts import PartFile
from coaxwright.model.quantities import quoted
from coaxwright.reading.atomic import write_atomically
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.spreadsheet import Sheet, read_sheets
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.tables import load_table
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import parse_document
from coaxwright.schedules.family_modes import NOT_SAID, apart
from coaxwright.schedules.headings import Header, columns_of, find_header
from coaxwright.schedules.reading_rows import Entries, read_rows

TABLE = "part-headings"


@immutable
class PartTable:
    """A table of parts as read: entries by id, the header, remarks; `text` is the part file."""

    kind: str
    sheet: Sheet
    header: Header
    entries: Mapping[str, Mapping[str, Any]]
    notes: tuple[str, ...]
    text: str


def kinds() -> tuple[str, ...]:
    """Kinds of parts that tables are read of."""
    return tuple(dict.fromkeys(row["sheet"] for row in load_table(TABLE).rows))


def read_part_table(
    path: str | os.PathLike[str],
    kind: str,
    *,
    sheet: str | None = None,
    maker: str | None = None,
    currency: str | None = None,
) -> PartTable:
    """The parts of a table. `maker` goes before ids that name none. Raises Refusal with every bad cell."""
    found, header = _table(path, kind, sheet)
    read = read_rows(found, header, kind, Catalogue(), {})
    if read.problems:
        raise Refusal(read.problems)
    entries, doubts = _entries(read, kind, maker, Path(path).name)
    text = _text(entries, currency)
    _check(text, entries, read, kind, os.fspath(path))
    notes = (*found.notes, *read.notes, *_counted(header), *doubts)
    return PartTable(kind, found, header, entries, notes, text)


def _entries(
    read: Entries, kind: str, maker: str | None, file: str
) -> tuple[dict[str, Mapping[str, Any]], list[str]]:
    """The entries by whole id, and what the table left in doubt."""
    entries: dict[str, Mapping[str, Any]] = {}
    doubts: list[str] = []
    for name, values in read.values.items():
        whole = _whole_id(name, values, maker)
        if whole in entries:
            place = read.places[(kind, name)]
            raise Refusal([Problem(place, f"the part {quoted(whole)} stands twice", "every part once")])
        doubtful = apart(kind, values)
        doubts += [f"{whole}: {doubt}" for doubt in doubtful]
        entries[whole] = _entry(kind, values, file, bool(doubtful))
    return entries, doubts


def _counted(header: Header) -> list[str]:
    """Columns in which a number is a count."""
    return [
        f"{quoted(each.heading.text)}: a bare number is how many inputs there are (8 is inputs 1 to 8)"
        for each in header.mapped
        if each.column.holds == "input-count"
    ]


def _table(path: str | os.PathLike[str], kind: str, only: str | None) -> tuple[Sheet, Header]:
    sheets = read_sheets(path)
    if only is not None:
        sheets = [each for each in sheets if each.name.lower() == only.lower()]
        if not sheets:
            raise Refusal([Problem(os.fspath(path), f"there is no sheet {quoted(only)}")])
    for sheet in sheets:
        header = find_header(sheet, columns_of(kind, TABLE))
        if header is not None:
            return sheet, header
    names = ", ".join(column.headings[0] for column in columns_of(kind, TABLE))
    what = f"no row among the first has the headings of a table of {kind} parts"
    raise Refusal([Problem(os.fspath(path), what, f"one column for the id and some of: {names}")])


def _whole_id(name: str, values: Mapping[str, Any], maker: str | None) -> str:
    own = values.get("maker", maker)
    return name if "/" in name or own is None else f"{own}/{name}"


def _entry(kind: str, values: Mapping[str, Any], file: str, doubtful: bool) -> dict[str, Any]:
    """An entry in the order of part files. The maker is in the id; the source is the table where it names none.

    A doubtful one says so in its source, which every answer about the part shows.
    """
    rest = {key: value for key, value in values.items() if key not in ("title", "source", "price", "maker")}
    head = {key: values[key] for key in ("title",) if key in values}
    source = values.get("source", f"table {file}")
    head["source"] = f"{source} ({NOT_SAID})" if doubtful else source
    return {"kind": kind, **head, **({"price": values["price"]} if "price" in values else {}), **rest}


def _text(entries: Mapping[str, Any], currency: str | None) -> str:
    lines = [f"currency: {currency}"] if currency else []
    lines.append("parts:")
    for name, values in entries.items():
        lines.append(f"  {name}:")
        for key, value in values.items():
            lines += entry(key, value, "    ")
    return "\n".join(lines) + "\n"


def _check(text: str, entries: Mapping[str, Any], read: Entries, kind: str, file: str) -> None:
    """Read the part file that would be written; what is wrong is told at the cell that it comes from."""
    try:
        validated(PartFile, parse_document(text, file))
    except Refusal as refused:
        rows = dict(zip(entries, read.values, strict=True))
        raise Refusal(_at_cell(each, read, kind, rows) for each in refused.problems) from None


def _at_cell(problem: Problem, read: Entries, kind: str, rows: Mapping[str, str]) -> Problem:
    path = problem.path[1:]
    if path and path[0] in rows:
        whole = (kind, rows[str(path[0])], *path[1:])
        for length in range(len(whole), 1, -1):
            place = read.places.get(whole[:length])
            if place is not None:
                return Problem(place, problem.what, problem.right, None, problem.path)
    return Problem(problem.file, problem.what, problem.right, None, problem.path)


def write_parts(path: str | os.PathLike[str], table: PartTable, replace: bool = False) -> None:
    """Write the part file; one that is there is replaced only where the call says so. Raises Refusal."""
    if Path(path).exists() and not replace:
        raise Refusal([Problem(os.fspath(path), "exists already", "name a new file")])
    try:
        write_atomically(path, table.text)
    except OSError as error:
        raise Refusal([Problem(os.fspath(path), f"cannot be written: {error.strerror or error}")]) from error


def known_kind(kind: str) -> str:
    """The kind, where tables are read of it. Raises Refusal."""
    if kind in kinds():
        return kind
    right = did_you_mean(kind, kinds()) or f"there are: {', '.join(kinds())}"
    raise Refusal([Problem(kind, "is no kind of part that tables are read of", right)])
