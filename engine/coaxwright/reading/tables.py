"""Tables of sourced figures and generic parts: read once, when first asked for, from the data of the program.

Figures come out in base units (ohm/m, MHz, m, V, bytes, shares from 0 to 1). The files belong to the program,
so what is wrong with one is a `Refusal` that names the place; nothing is skipped. Not here: what a site or
its own parts say.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from coaxwright.errors import Problem, Refusal
from coaxwright.model.common import parse_mode
from coaxwright.model.quantities import KINDS, format_quantity
from coaxwright.model.tables import Column, TableFile, column_unit
from coaxwright.reading.yaml_source import Document, parse_document
from coaxwright.resources import data_root

Row = Mapping[str, Any]
_M = TypeVar("_M", bound=BaseModel)
_PARTS_PREFIX = "parts-"


@dataclass(frozen=True, slots=True)
class Table:
    """A table: `rows` in file order, each with every column (None where left out) and its `source`.

    `units` maps each numeric column to the base unit of its figures.
    """

    name: str
    title: str
    key: tuple[str, ...]
    units: Mapping[str, str]
    rows: tuple[Row, ...]
    _by_key: Mapping[tuple[Any, ...], Row]

    def row(self, *key: object) -> Row:
        """The row of that key (one value for each key column). KeyError when there is none."""
        return self._by_key[key]

    def get(self, *key: object) -> Row | None:
        """The row of that key, or None."""
        return self._by_key.get(key)

    def either(self, first: object, second: object) -> Row:
        """The row of two things in whichever order, for tables of meetings. KeyError when there is none."""
        found = self._by_key.get((first, second))
        return self._by_key[(second, first)] if found is None else found


@dataclass(frozen=True, slots=True)
class Assumption:
    """A value that stands for what nobody gave: in base unit `unit`, as `written`, and its source."""

    name: str
    value: Any
    unit: str
    written: str
    about: str
    source: str


@cache
def table_names() -> tuple[str, ...]:
    """Names of all tables, sorted; the files of generic parts are not tables."""
    return tuple(name for name in _stems() if not name.startswith(_PARTS_PREFIX))


@cache
def load_table(name: str) -> Table:
    """The table of that name. Refusal when its file is wrong, KeyError when there is none."""
    if name not in table_names():
        raise KeyError(name)
    file = _file(name)
    table = build_table(file.read_text(encoding="utf-8"), f"rules/tables/{file.name}")
    if table.name != name:
        raise Refusal(
            [Problem(f"rules/tables/{file.name}", f"it calls itself `{table.name}`", f"write {name}")]
        )
    return table


@cache
def load_assumptions() -> Mapping[str, Assumption]:
    """Every value that the engine may assume, by name; `environment-SETTING` is a pair of °C, least first."""
    named = {row["name"]: _assumption(row) for row in load_table("assumptions").rows}
    classes = [row for row in load_table("environmental-classes").rows if row["setting"] is not None]
    named.update({f"environment-{row['setting']}": _environment(row) for row in classes})
    return MappingProxyType(named)


@cache
def generic_part_files() -> tuple[Traversable, ...]:
    """The files of generic parts, in the form of a part file, sorted by name."""
    return tuple(_file(name) for name in _stems() if name.startswith(_PARTS_PREFIX))


@cache
def load_generic_parts() -> Mapping[str, Any]:
    """Every generic part (a `model.parts.Part`) by id.

    Refusal when a file is wrong or an id stands in two.
    """
    parts: dict[str, Any] = {}
    for file in generic_part_files():
        name = f"rules/tables/{file.name}"
        entries = build_parts(file.read_text(encoding="utf-8"), name)
        twice = [Problem(name, f"`{part}` stands in another file too") for part in entries if part in parts]
        if twice:
            raise Refusal(twice)
        parts.update(entries)
    return MappingProxyType(parts)


def build_parts(text: str, file: str) -> Mapping[str, Any]:
    """Catalogue entries from the text of a part file of the program. Refusal, with every problem found.

    The part models are imported here: who needs a table only does not pay for them.
    """
    from coaxwright.model.parts import PartFile

    return _validated(PartFile, parse_document(text, file)).parts


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


def _quantity(cell: object, row: Row) -> Any:
    """A value with its unit, of the kind that the row's own `quantity` names; `number`, `text`: no unit."""
    kind = str(row.get("quantity"))
    if kind == "text":
        return str(cell)
    return float(str(cell)) if kind == "number" else KINDS[kind].read(str(cell))


def _assumption(row: Row) -> Assumption:
    kind, value = row["quantity"], row["value"]
    base = KINDS[kind].base if kind in KINDS else row["unit"] or ""
    printed = "%" if kind == "fraction" else base
    written = value if isinstance(value, str) else format_quantity(value, printed)
    return Assumption(row["name"], value, base, written, row["about"], row["source"])


def _environment(row: Row) -> Assumption:
    """The air of an environmental class, for devices whose place says no more than its setting."""
    least, most = row["ambient_min"], row["ambient_max"]
    written = f"{format_quantity(least, 'degC')} to {format_quantity(most, 'degC')}"
    about = f"Air at a device whose place says no more than {row['setting']}: class {row['class']}, {row['name']}."
    return Assumption(f"environment-{row['setting']}", (least, most), "degC", written, about, row["source"])


@cache
def _stems() -> tuple[str, ...]:
    files = (data_root("rules") / "tables").iterdir()
    return tuple(sorted(file.name.removesuffix(".yaml") for file in files if file.name.endswith(".yaml")))


def _file(name: str) -> Traversable:
    return data_root("rules") / "tables" / f"{name}.yaml"


def iterate_tables() -> Iterator[Table]:
    """Every table, for tests and for documentation."""
    return map(load_table, table_names())
