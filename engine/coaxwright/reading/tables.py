"""Tables of sourced figures and generic parts: read once, when first asked for, from the data of the program.

Figures come out in base units (ohm/m, MHz, m, V, bytes, shares from 0 to 1). The files belong to the program,
so what is wrong with one is a `Refusal` that names the place; nothing is skipped. What was read is kept between runs
(`kept`), and read again (`table_files`) when a file has changed. Not here: what a site or its own parts say.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from contextlib import suppress
from functools import cache
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType
from typing import Any

from pydantic import ValidationError

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.quantities import KINDS, format_quantity
from coaxwright.reading.kept import (
    as_body,
    cache_folder,
    code_digest,
    code_state,
    key_of,
    read_kept,
    shipped,
    state_of,
    write_body,
    write_kept,
)
from coaxwright.reading.table_rows import Row, Table, table_from_plain, table_to_plain
from coaxwright.resources import data_root

__all__ = [
    "Assumption", "Row", "Table", "generic_part_files", "iterate_tables", "load_assumptions", "load_generic_parts",
    "load_table", "table_names",
]  # fmt: skip

_PARTS_PREFIX = "parts-"
_MOST_KEPT = 100
"""Kept files of tables and parts, of this and of former versions: some four times as many as there are."""


@immutable
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
    file = _file(name)
    place = _kept_at(file)
    table = table_from_plain(_made_before(file, place))
    if table is not None and table.name == name:
        return table
    if name not in table_names():
        raise KeyError(name)
    from coaxwright.reading.table_files import build_table

    table = build_table(file.read_text(encoding="utf-8"), f"rules/tables/{file.name}")
    if table.name != name:
        raise Refusal(
            [Problem(f"rules/tables/{file.name}", f"it calls itself `{table.name}`", f"write {name}")]
        )
    write_kept(place, table_to_plain(table), _MOST_KEPT)
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
        entries = _generic_parts(file, name)
        twice = [Problem(name, f"`{part}` stands in another file too") for part in entries if part in parts]
        if twice:
            raise Refusal(twice)
        parts.update(entries)
    return MappingProxyType(parts)


def _generic_parts(file: Traversable, name: str) -> Mapping[str, Any]:
    """The entries of one file; its plain values are kept, the models are made of them anew.

    The part models are imported here: who needs a table only does not pay for them.
    """
    from coaxwright.model.parts import PartFile

    place = _kept_at(file)
    plain = _made_before(file, place)
    if isinstance(plain, dict):
        with suppress(ValidationError):
            return PartFile.model_validate(plain).parts
    from coaxwright.reading.table_files import parts_of
    from coaxwright.reading.yaml_source import parse_document

    document = parse_document(file.read_text(encoding="utf-8"), name)
    parts = parts_of(document)
    write_kept(place, document.value, _MOST_KEPT)
    return parts


def _made_before(file: Traversable, place: Path | None) -> object:
    """What was made of this file in an earlier run, or came with the wheel; None where there is neither."""
    plain = read_kept(place)
    if plain is not None:
        return plain
    body = shipped(shipped_name(file), content_key(file)) if file.is_file() else None
    if body is None:
        return None
    write_body(place, body, _MOST_KEPT)
    return json.loads(body)


def shipped_name(file: Traversable) -> str:
    """The name under which a wheel carries what was made of this file."""
    return f"tables-{file.name.removesuffix('.yaml')}"


def content_key(file: Traversable) -> str:
    """What its plain form is made from, by content."""
    return f"{hashlib.sha256(file.read_bytes()).hexdigest()} {_code_digest()}"


@cache
def _code_digest() -> str:
    return code_digest(("reading", "model"))


def plain_bodies() -> Iterator[tuple[str, str, bytes]]:
    """For a wheel to carry: name, content key and body of every table and file of generic parts."""
    from coaxwright.reading.table_files import parts_of
    from coaxwright.reading.yaml_source import parse_document

    for stem in _stems():
        file = _file(stem)
        if stem in table_names():
            plain = table_to_plain(load_table(stem))
        else:
            document = parse_document(file.read_text(encoding="utf-8"), f"rules/tables/{file.name}")
            parts_of(document)
            plain = document.value
        yield shipped_name(file), content_key(file), as_body(plain)


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


def _kept_at(file: Traversable) -> Path | None:
    """Where what is made of this file is kept; None for a file that is not on a disk, or without a cache."""
    folder = cache_folder()
    if folder is None or not isinstance(file, Path):
        return None
    try:
        return folder / "tables" / f"{key_of((state_of(file), *_code_state()))}.json"
    except OSError:
        return None


@cache
def _code_state() -> tuple[str, ...]:
    return tuple(code_state(("reading", "model")))


def iterate_tables() -> Iterator[Table]:
    """Every table, for tests and for documentation."""
    return map(load_table, table_names())
