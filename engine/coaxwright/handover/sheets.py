"""A sheet of the pack: one table with its headings, said once and printed as page, workbook and CSV alike."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from coaxwright.immutable import immutable
from coaxwright.schedules.exporting import Schedule
from coaxwright.show.figures import plain
from coaxwright.show.tree import Block, Caution, Column, Note, Paragraph, Section, Sign, Table

Value = str | float | None
_MONEY = 2
"""Decimals that stay although they are noughts."""


@immutable
class Head:
    """A heading; a `box` is a column to be written in by hand. `kept` columns stand in files alone, not on paper. A
    `loose` number has no noughts at its end; what is not `whole` may be broken.
    """

    name: str
    kind: Literal["text", "number", "box"] = "text"
    decimals: int = 2
    kept: bool = False
    loose: bool = False
    whole: bool = False


@immutable
class Sheet:
    """One table. `name` is that of the sheet in a workbook and of its CSV file; `says` stand before it, `notes` after."""

    name: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[Value, ...], ...]
    says: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    sign: tuple[str, ...] = ()
    empty: str = "nothing"

    def schedule(self) -> Schedule:
        """The sheet for a workbook or a CSV file, all columns in it."""
        rows = tuple(tuple(map(_filed, self.heads, row)) for row in self.rows)
        return Schedule(self.name, tuple(each.name for each in self.heads), rows)


def _filed(head: Head, value: Value) -> str | float:
    if value is None:
        return ""
    return value if isinstance(value, str) else round(float(value), max(head.decimals, 3))


def section(sheet: Sheet, tables: Sequence[Block] = (), *, anew: bool = True) -> Section:
    """The sheet as a section, on paper a page of its own (`anew`); other tables of the same data may stand in it."""
    blocks: list[Block] = [Paragraph(each) for each in sheet.says]
    blocks += tables or [printed(sheet)]
    blocks += [*map(Note, sheet.notes), *map(Caution, sheet.cautions)]
    blocks += [Sign(sheet.sign)] if sheet.sign else []
    return Section(sheet.name, tuple(blocks), sheet=anew)


def printed(sheet: Sheet, rows: Sequence[Sequence[Value]] | None = None) -> Table:
    """The table as it stands on paper: numbers with as many decimals as their heading has."""
    shown = [place for place, head in enumerate(sheet.heads) if not head.kept]
    heads = tuple(_column(sheet.heads[place]) for place in shown)
    cells = [
        tuple(_cell(sheet.heads[place], row[place]) for place in shown) for row in (sheet.rows if rows is None else rows)
    ]
    return Table(heads, cells, empty=sheet.empty, fold="scroll")


def _column(head: Head) -> Column:
    return Column(head.name, head.kind, decimals=head.decimals, wraps=not head.whole)


def _cell(head: Head, value: Value) -> str | float | None:
    if head.kind != "number" or not isinstance(value, int | float):
        return value
    shown = plain(value, head.decimals) if head.loose else f"{value:.{head.decimals}f}"
    while not head.loose and head.decimals > _MONEY and shown.endswith("0") and len(shown.partition(".")[2]) > _MONEY:
        shown = shown[:-1]
    return shown

