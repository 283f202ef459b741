"""Tables of parts as part files: columns mapped by their headings, every bad cell told, nothing half-read.

What a table cannot say is left out of the entries and stays open. Not here: judging entries (`catalogues`).
"""

from __future__ import annotations

import os
from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import replace
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
from coaxwright.schedules.headings import Column, Header, columns_of, find_header, plain_heading
from coaxwright.schedules.list_cells import ListCells
from coaxwright.schedules.reading_rows import Entries, read_rows

TABLE = "part-headings"


@immutable
class PartTable:
    """A table of parts as read: entries by id, the header, remarks; `text` is the part file.

    `refused` are cells that could not be read and were left open (`--lenient`), `currency` that of the prices.
    """

    kind: str
    sheet: Sheet
    header: Header
    entries: Mapping[str, Mapping[str, Any]]
    notes: tuple[str, ...]
    text: str
    refused: tuple[str, ...] = ()
    currency: str | None = None


def kinds() -> tuple[str, ...]:
    """Kinds of parts that tables are read of."""
    return tuple(dict.fromkeys(row["sheet"] for row in load_table(TABLE).rows))


@immutable
class FoundTable:
    """The sheet of a list with its header: how its columns are understood, before any cell is read."""

    kind: str
    sheet: Sheet
    header: Header
    file: str


def find_part_table(
    path: str | os.PathLike[str], kind: str, sheet: str | None = None, columns: Mapping[str, str] | None = None
) -> FoundTable:
    """The table of a file. `columns` says what headings mean that are not known, or mean something else. Raises Refusal."""
    return FoundTable(kind, *_table(path, kind, sheet, columns or {}), os.fspath(path))


def read_part_table(
    path: str | os.PathLike[str],
    kind: str,
    *,
    sheet: str | None = None,
    maker: str | None = None,
    currency: str | None = None,
    columns: Mapping[str, str] | None = None,
    decimal: str = "",
    lenient: bool = False,
) -> PartTable:
    """The parts of a table; see `read_found`. Raises Refusal with every bad cell."""
    found = find_part_table(path, kind, sheet, columns)
    return read_found(found, maker=maker, currency=currency, decimal=decimal, lenient=lenient)


def read_found(
    found: FoundTable,
    *,
    maker: str | None = None,
    currency: str | None = None,
    decimal: str = "",
    lenient: bool = False,
    known: Container[str] = (),
) -> PartTable:
    """The parts of a table that was found. `maker` goes before ids that name none, `decimal` is `comma` or `point`.

    `lenient` leaves cells open that cannot be read, and rows out that then are no parts. Raises Refusal otherwise.
    `known` are parts that a catalogue has: of these a list need not say all that makes a part.
    """
    sheet, header, kind = found.sheet, found.header, found.kind
    cells = ListCells(sheet, header, decimal, currency)
    read = read_rows(sheet, header, kind, Catalogue(), {}, cells.ready)
    if read.problems and not lenient:
        raise Refusal(read.problems)
    entries, doubts = _entries(read, kind, maker, Path(found.file).name)
    rows = dict(zip(entries, read.values, strict=True))
    of = read, kind, rows
    left_out = _checked(entries, lambda whole: _check(_text(whole, cells.currency), of, found.file), known, lenient)
    notes = [*sheet.notes, *read.notes, *_named_by(header, kind), *_counted(header), *doubts]
    notes += [f"left open: {each}" for each in read.problems]
    notes += [f"left {'open' if each.path[1] in entries else 'out'}: {each}" for each in left_out]
    refused = tuple(each.file for each in read.problems)
    return PartTable(
        kind, sheet, header, entries, tuple(notes), _text(entries, cells.currency), refused, cells.currency
    )


def _checked(
    entries: dict[str, Mapping[str, Any]], table: Callable[[Mapping[str, Any]], None], known: Container[str], lenient: bool
) -> list[Problem]:  # fmt: skip
    """Leave out of `entries` what is no part, where that is allowed; what was wrong. Raises Refusal otherwise.

    Of a part that is `known` already a list may say less than makes a part: only what it says wrongly is left out.
    """
    told: list[Problem] = []
    whole = dict(entries)
    while whole:
        try:
            table(whole)
            break
        except Refusal as refusal:
            concerned = [each for each in refusal.problems if len(each.path) > 1 and each.path[1] in whole]
            if not concerned or not (lenient or all(each.path[1] in known for each in concerned)):
                raise
            told += filter(None, [_left_out(each, entries, whole, known) for each in concerned])
    if not entries:
        raise Refusal(told)
    return told


def _left_out(
    problem: Problem, entries: dict[str, Mapping[str, Any]], whole: dict[str, Mapping[str, Any]], known: Container[str]
) -> Problem | None:
    """Leave out what a problem is about; None where it is only that the list says less than makes a part."""
    name, field = str(problem.path[1]), problem.path[2] if len(problem.path) > 2 else None
    if name not in known:
        whole.pop(name, None)
        return problem if entries.pop(name, None) is not None else None
    if field is None or field not in entries[name]:
        whole.pop(name, None)
        return None
    entries[name] = {key: value for key, value in entries[name].items() if key != field}
    if name in whole:
        whole[name] = entries[name]
    return problem


def _entries(read: Entries, kind: str, maker: str | None, file: str) -> tuple[dict[str, Mapping[str, Any]], list[str]]:
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


def _named_by(header: Header, kind: str) -> list[str]:
    """That article numbers stand for the models, where the list names no others."""
    articles = next((each.headings for each in columns_of(kind, TABLE) if each.name == "article"), ())
    mapped = next(each for each in header.mapped if each.column.name == "id")
    if plain_heading(mapped.heading.text) not in map(plain_heading, articles):
        return []
    return [f"{quoted(mapped.heading.text)} is taken as the name of each part: no other column names the model"]


def _counted(header: Header) -> list[str]:
    """Columns in which a number is a count."""
    return [
        f"{quoted(each.heading.text)}: a bare number is how many inputs there are (8 is inputs 1 to 8)"
        for each in header.mapped
        if each.column.holds == "input-count"
    ]


def _table(path: str | os.PathLike[str], kind: str, only: str | None, named: Mapping[str, str]) -> tuple[Sheet, Header]:
    sheets = read_sheets(path)
    if only is not None:
        sheets = [each for each in sheets if each.name.lower() == only.lower()]
        if not sheets:
            raise Refusal([Problem(os.fspath(path), f"there is no sheet {quoted(only)}")])
    columns = _with_headings(columns_of(kind, TABLE), named, kind)
    for known in (columns, _article_as_id(columns)):
        for sheet in sheets:
            header = find_header(sheet, known)
            if header is not None:
                return sheet, header
    names = ", ".join(column.headings[0] for column in columns)
    what = f"no row among the first has the headings of a table of {kind} parts"
    right = f"one column for the id and some of: {names}; `--map 'HEADING=FIELD'` says what another heading means"
    raise Refusal([Problem(os.fspath(path), what, right)])


def _article_as_id(columns: Sequence[Column]) -> tuple[Column, ...]:
    """The columns for a list that names its parts by article numbers alone."""
    article = next((each for each in columns if each.name == "article"), None)
    others = [each for each in columns if each is not article]
    more = article.headings if article else ()
    return tuple(replace(each, headings=each.headings + more) if each.name == "id" else each for each in others)


def _with_headings(columns: Sequence[Column], named: Mapping[str, str], kind: str) -> tuple[Column, ...]:
    """The columns with headings that a mapping names before all others. Raises Refusal for a field that is none."""
    found = list(columns)
    for heading, field in named.items():
        fields = {name: place for place, each in enumerate(found) for name in _names(each)}
        if field not in fields:
            right = did_you_mean(field, fields) or f"there are: {', '.join(each.name for each in columns)}"
            raise Refusal(
                [Problem(f"{heading}={field}", f"a table of {kind} parts has no field {quoted(field)}", right)]
            )
        plain = plain_heading(heading)
        others = [
            replace(each, headings=tuple(h for h in each.headings if plain_heading(h) != plain)) for each in found
        ]
        column = others[fields[field]]
        others[fields[field]] = replace(column, headings=(heading, *column.headings))
        found = others
    return tuple(found)


def _names(column: Column) -> tuple[str, ...]:
    """What `--map` may call a column: the word by which it is listed, its name, the field that it fills."""
    return column.headings[0], column.name, "/".join(map(str, column.at))


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


def _check(text: str, of: tuple[Entries, str, Mapping[str, str]], file: str) -> None:
    """Read the part file that would be written; what is wrong is told at the cell that it comes from."""
    read, kind, rows = of
    try:
        validated(PartFile, parse_document(text, file))
    except Refusal as refused:
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
