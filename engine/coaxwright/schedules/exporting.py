"""A site as schedules: cameras, recorders, supplies, cables, power, disks and a bill of materials.

The first sheets, with the sheet of what is left, hold the whole site and read back as the same one; the sheets
after them are worked out for people (`derived`) and are passed over when read. Not here: file forms (`workbook`).
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from coaxwright.fixes.yaml_text import flow
from coaxwright.immutable import immutable
from coaxwright.model.quantities import QuantityError
from coaxwright.reading.spreadsheet import Cell
from coaxwright.schedules.headings import Column, Mapped, columns_of
from coaxwright.schedules.importing import GROUPS, REST
from coaxwright.schedules.reading_rows import Path
from coaxwright.schedules.values import Wrong, identifier
from coaxwright.show.tree import Block, Document, Facts, Section, Table


@immutable
class Schedule:
    """One sheet to be written: its name, its headings, its rows of texts and numbers."""

    name: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str | float, ...], ...]


def schedules_document(site: str, schedules: Sequence[Schedule]) -> Document:
    """All sheets as one document, to be read and printed; it is not read back."""
    parts = [Section(each.name, _shown(each)) for each in schedules if each.rows]
    return Document(f"Schedules of {site}", tuple(parts))


_MOST_COLUMNS = 8
"""A table of more fits no sheet of paper: then each row is told by itself, what it leaves empty left out."""


def _shown(schedule: Schedule) -> tuple[Block, ...]:
    if len(schedule.headings) <= _MOST_COLUMNS:
        return (Table(schedule.headings, schedule.rows),)
    return tuple(Section(f"{row[0]}", (_row_told(schedule.headings, row),)) for row in schedule.rows)


def _row_told(headings: Sequence[str], row: Sequence[str | float]) -> Facts:
    told = [(heading, f"{cell}") for heading, cell in zip(headings[1:], row[1:], strict=True) if cell != ""]
    return Facts(told, (headings[0], f"{row[0]}"))


def site_schedules(value: Mapping[str, Any]) -> list[Schedule]:
    """The sheets that hold the whole site, of its document's plain value."""
    sheets = []
    left: list[tuple[Path, Any]] = [((key,), each) for key, each in value.items() if key not in GROUPS]
    for group in reversed(GROUPS):
        entries = value.get(group)
        if entries is None:
            continue
        schedule, rest = _schedule(group, entries)
        left += rest
        if schedule.rows:
            sheets.append(schedule)
    rows = tuple((_pointer(path), as_json(each)) for path, each in left)
    return [*sheets, Schedule(REST.capitalize(), ("pointer", "value"), rows)]


def as_json(value: object) -> str:
    """A value as JSON that survives a spreadsheet: no sign beyond ASCII, no two blanks side by side."""
    return json.dumps(value).replace("  ", " \\u0020")


def _schedule(group: str, entries: Mapping[str, Any]) -> tuple[Schedule, list[tuple[Path, Any]]]:
    """One group as a sheet, and what of it fits no column."""
    columns = columns_of(group)
    made: list[dict[str, str]] = []
    left: list[tuple[Path, Any]] = [] if entries else [((group,), dict(entries))]
    for name, entry in entries.items():
        cells, rest = _row(columns, name, entry)
        made.append(cells)
        left += [((group, name, *path), each) for path, each in rest]
    used = [column for column in columns if any(column.name in cells for cells in made)]
    rows = tuple(tuple(cells.get(column.name, "") for column in used) for cells in made)
    return Schedule(group.capitalize(), tuple(column.headings[0] for column in used), rows), left


def _row(
    columns: tuple[Column, ...], name: str, entry: Mapping[str, Any]
) -> tuple[dict[str, str], list[tuple[Path, Any]]]:
    """Cells of one entry by column, and the paths that no column has."""
    cells = {"id": name}
    left = []
    by_path = {column.at: column for column in columns if column.at and column.holds != "port-number"}
    for path, value in _leaves(entry, by_path):
        column = by_path.get(path)
        text = None if column is None else _written(column, value)
        if column is None or text is None:
            left.append((path, value))
        elif column.holds == "port-device":
            cells.update(_port(columns, column, text))
        else:
            cells[column.name] = text
    return cells, left


def _leaves(entry: Mapping[str, Any], known: Mapping[Path, Column], path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Values of an entry with their paths. A way of one simple run is taken apart, any other stays whole."""
    for key, value in entry.items():
        here = (*path, key)
        if isinstance(value, dict) and value:
            yield from _leaves(value, known, here)
        elif isinstance(value, list) and len(value) == 1 and _is_simple(value[0], here, known):
            yield from (((*here, 0, name), each) for name, each in value[0].items())
        else:
            yield here, value


def _is_simple(piece: object, path: Path, known: Mapping[Path, Column]) -> bool:
    """A run whose every key has a column of its own."""
    return (
        isinstance(piece, dict)
        and bool(piece)
        and all(
            (*path, 0, name) in known and _written(known[(*path, 0, name)], each) is not None
            for name, each in piece.items()
        )
    )


def _written(column: Column, value: object) -> str | None:
    """A value as a cell, if the cell reads back as the very same value; None otherwise."""
    text = {"yes-no": _yes_no, "way": _flow, "parts": _joined, "names": _joined, "integer": _whole}.get(
        column.holds, _plain
    )(value)
    return text if text is not None and _reads_back(column, text, value) else None


def _plain(value: object) -> str | None:
    return value if isinstance(value, str) else None


def _yes_no(value: object) -> str | None:
    return {True: "yes", False: "no"}[value] if isinstance(value, bool) else None


def _flow(value: object) -> str | None:
    return flow(value) if isinstance(value, list) and value else None


def _joined(value: object) -> str | None:
    return (
        "; ".join(value) if isinstance(value, list) and value and all(isinstance(each, str) for each in value) else None
    )


def _whole(value: object) -> str | None:
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else None


class _AnyPart:
    """Stands for a catalogue that has every part under the id that is written."""

    def has(self, name: str) -> bool:
        """Every part is there."""
        return True


def _reads_back(column: Column, text: str, value: object) -> bool:
    from coaxwright.reading.spreadsheet import tidy
    from coaxwright.schedules.values import value_of

    if text[:1] == "'" or not text.isprintable():
        return False
    heading = Cell(column.headings[0], "text", "A1")
    try:
        found = value_of(Cell(tidy(text), "text", "A2"), Mapped(column, 0, heading, ""), _AnyPart())  # type: ignore[arg-type]
    except (Wrong, QuantityError):
        return False
    return bool(found == value and type(found) is type(value))


def _port(columns: tuple[Column, ...], column: Column, text: str) -> dict[str, str]:
    """A port as device and number where it is one of those, else whole in the column of the device."""
    device, stroke, number = text.partition("/")
    counterpart = next(each for each in columns if each.at == column.at and each.holds == "port-number")
    try:
        plain = identifier(device) == device and number.isdecimal() and str(int(number)) == number
    except Wrong:
        plain = False
    return {column.name: device, counterpart.name: number} if stroke and plain else {column.name: text}


def _pointer(path: Path) -> str:
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)
