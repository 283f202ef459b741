"""Reads files of tables and of generic parts: every row checked, every figure in base units, nothing skipped.

The files belong to the program, so what is wrong with one is a `Refusal` that names the place. Who asks for a table by
name, and what is kept between runs: `tables`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from coaxwright.errors import Problem, Refusal
from coaxwright.model.common import parse_mode
from coaxwright.model.parts import PartFile
from coaxwright.model.quantities import KINDS
from coaxwright.model.tables import Column, TableFile, column_unit
from coaxwright.reading.table_rows import Row, Table
from coaxwright.reading.yaml_source import Document, parse_document
from coaxwright.resources import data_root

_M = TypeVar("_M", bound=BaseModel)


def build_parts(text: str, file: str) -> Mapping[str, Any]:
    """Catalogue entries from the text of a part file of the program. Refusal, with every problem found."""
    return parts_of(parse_document(text, file))


def parts_of(document: Document) -> Mapping[str, Any]:
    """Catalogue entries of a part file of the program. Refusal, with every problem found."""
    return _validated(PartFile, document).parts


def written_table(name: str) -> TableFile:
    """The table of that name as its file has it, with its words for people. Refusal when the file is wrong."""
    file = data_root("rules") / "tables" / f"{name}.yaml"
    return _validated(TableFile, parse_document(file.read_text(encoding="utf-8"), f"rules/tables/{file.name}"))


def build_table(text: str, file: str) -> Table:
    """A table from the text of its file. Refusal, with every problem found, when it is not one."""
    document = parse_document(text, file)
    table = _validated(TableFile, document)
    problems: list[Problem] = []
    units = {
        name: column_unit(column.unit, column.quantity).base
        for name, column in table.columns.items()
        if column.unit is not None
    }
    readers = {name: _reader(column) for name, column in table.columns.items()}
    rows: dict[tuple[Any, ...], Row] = {}
    for number, written in enumerate(table.rows):
        row, wrong = _read_row(table, readers, written)
        key = tuple(row.get(name) for name in table.key)
        if not wrong and key in rows:
            wrong = [f"the key {key!r} stands twice"]
        problems += [_problem(document, ("rows", number), what) for what in wrong]
        rows[key] = MappingProxyType(row)
    if problems:
        raise Refusal(problems)
    return Table(table.table, table.title, table.key, MappingProxyType(units), tuple(rows.values()), rows)


def _validated(model: type[_M], document: Document) -> _M:
    try:
        return model.model_validate(document.value)
    except ValidationError as error:
        raise Refusal(_problem(document, each["loc"], each["msg"]) for each in error.errors()) from None


def _problem(document: Document, at: tuple[str | int, ...], what: str) -> Problem:
    path = _path_in(document.value, at)
    place = "/".join(map(str, at))
    return Problem(document.file, f"{place}: {what}", span=document.nearest_span(path), path=path)


def _path_in(value: Any, at: tuple[str | int, ...]) -> tuple[str | int, ...]:
    """The steps of `at` that the document has: a model also names branches and keys that are not there."""
    path: list[str | int] = []
    for step in at:
        inside = (
            step in value
            if isinstance(value, dict)
            else isinstance(value, list) and step in range(len(value))
        )
        if inside:
            value = value[step]
            path.append(step)
    return tuple(path)


def _read_row(
    table: TableFile, readers: Mapping[str, Callable[[Any, Row], Any]], written: Row
) -> tuple[dict[str, Any], list[str]]:
    """A row in base units, and what is wrong with it."""
    row: dict[str, Any] = {}
    known = {*table.columns, "source"}
    wrong = [f"`{name}` is not a column" for name in written if name not in known]
    for name, column in table.columns.items():
        cell = written.get(name)
        if cell is None or cell == "":
            row[name] = None
            wrong += [] if column.optional else [f"`{name}` is missing"]
            continue
        try:
            row[name] = readers[name](cell, written)
        except (ValueError, KeyError, ZeroDivisionError) as error:
            wrong.append(f"`{name}`: {error}")
    row["source"] = written.get("source") or table.source
    return row, wrong if row["source"] else [*wrong, "no source, neither its own nor the table's"]


def _reader(column: Column) -> Callable[[Any, Row], Any]:
    """What turns a written cell of this column into its value."""
    if column.holds == "number":
        convert = column_unit(column.unit or "", column.quantity).convert
        return lambda cell, row: convert(cell)
    simple: dict[str, Callable[[Any, Row], Any]] = {
        "integer": lambda cell, row: int(str(cell)),
        "yes-no": lambda cell, row: {"true": True, "false": False}[str(cell).lower()],
        "mode": lambda cell, row: parse_mode(cell),
        "list": lambda cell, row: tuple(map(str, cell)) if isinstance(cell, list) else _no_list(cell),
        "quantity": _quantity,
        "text": lambda cell, row: _text(column, cell),
    }
    return simple[column.holds]


def _no_list(cell: object) -> tuple[str, ...]:
    raise ValueError(f"`{cell}` is not a list")


def _text(column: Column, cell: object) -> str:
    if not isinstance(cell, str):
        raise ValueError("text is wanted")
    if column.one_of is not None and cell not in column.one_of:
        raise ValueError(f"`{cell}` is none of {', '.join(column.one_of)}")
    return cell


def _quantity(cell: object, row: Row) -> object:
    """A value with its unit, of the kind that the row's own `quantity` names; `number`, `text`: no unit."""
    kind = str(row.get("quantity"))
    if kind == "text":
        return str(cell)
    return float(str(cell)) if kind == "number" else KINDS[kind].read(str(cell))
