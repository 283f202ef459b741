"""The page of all tables of figures that facts are worked out with, made from `rules/tables`.

Not here: tables of words (headings of lists, cautions, what is read in a datasheet), which no fact is computed from.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coaxwright.model.tables import Column, TableFile
from coaxwright.reading.table_files import written_table
from coaxwright.reading.tables import table_names

WORDS = frozenset(
    {
        "camera-list-headings", "caution-fixes", "caution-places", "caution-rules", "cautions", "commissioning",
        "customer-assumptions", "customer-words", "datasheet-order", "datasheet-places", "decided-facts", "list-words",
        "maintenance",
        "part-headings", "port-meetings", "schedule-headings", "sources",
    }
)  # fmt: skip
"""Tables of words: no fact is computed from them."""
_HEAD = """\
<!-- Made from `rules/tables` by `coaxwright rules docs`; edit the tables, not this page. -->

# Tables

Every figure that facts are worked out with and that no site or part states: with its unit, and its source beside it. How they
are used says [how facts are computed](../how-facts-are-computed.md). Generic cables, supplies and disks: `coaxwright parts list`.
"""


def tables_page() -> str:
    """All tables of figures as one page of Markdown: assumptions first, the others by name."""
    names = sorted(set(table_names()) - WORDS, key=lambda name: (name != "assumptions", name))
    return "\n".join([_HEAD, *(line for name in names for line in _section(written_table(name)))])


def _section(table: TableFile) -> Iterator[str]:
    yield from (f"## {table.table}", "", f"{_cell(table.title)}. {_cell(table.about or '')}".rstrip(), "")
    yield from (f"- `{name}`{_unit(column)}: {_cell(column.about)}" for name, column in table.columns.items())
    names = [*table.columns, "source"]
    yield from ("", f"| {' | '.join(names)} |", "| " + " | ".join("---" for _ in names) + " |")
    yield from (_row(table, names, row) for row in table.rows)
    yield ""


def _unit(column: Column) -> str:
    return f", {column.unit}" if column.unit else ""


def _row(table: TableFile, names: list[str], row: Mapping[str, Any]) -> str:
    values = {"source": table.source, **row}
    return f"| {' | '.join(_cell(_written(values.get(name))) for name in names)} |"


def _written(value: object) -> str:
    """A cell of the file: nothing where it is left out, yes and no as words."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(map(_written, value)) if isinstance(value, list | tuple) else str(value)


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")
