"""A table of sourced figures as the program uses it, and its plain form for a cache. How files are read: `table_files`.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.model.common import VideoMode

Row = Mapping[str, Any]


@immutable
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


PLAIN_FORMAT = 1
"""Raise when the plain form or the meaning of a cell changes, so that old caches are not read."""


def table_to_plain(table: Table) -> dict[str, Any]:
    """JSON data that `table_from_plain` turns back into an equal table."""
    rows = [{name: _cell_to_plain(cell) for name, cell in row.items()} for row in table.rows]
    return {
        "format": PLAIN_FORMAT,
        "name": table.name,
        "title": table.title,
        "key": table.key,
        "units": dict(table.units),
        "rows": rows,
    }


def _cell_to_plain(cell: object) -> object:
    if isinstance(cell, VideoMode):
        return {"mode": [*cell]}
    return [*cell] if isinstance(cell, tuple) else cell


def table_from_plain(plain: object) -> Table | None:
    """The table that `table_to_plain` gave; None for anything else."""
    if not isinstance(plain, dict) or plain.get("format") != PLAIN_FORMAT:
        return None
    try:
        key = tuple(plain["key"])
        rows = [
            MappingProxyType({name: _cell_from_plain(cell) for name, cell in row.items()}) for row in plain["rows"]
        ]
        by_key: dict[tuple[Any, ...], Row] = {tuple(row[name] for name in key): row for row in rows}
        return Table(plain["name"], plain["title"], key, MappingProxyType(plain["units"]), tuple(rows), by_key)
    except (KeyError, TypeError, AttributeError):
        return None


def _cell_from_plain(cell: object) -> object:
    if isinstance(cell, list):
        return tuple(cell)
    return VideoMode(*cell["mode"]) if isinstance(cell, dict) else cell
