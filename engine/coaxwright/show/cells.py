"""Cells of tables as words, the same for every form."""

from __future__ import annotations

from coaxwright.show.figures import plain
from coaxwright.show.tree import Cell, Column, Outcome, Words


def cell_words(column: Column, cell: Cell) -> Words:
    """What is shown of a cell: a number with its unit, yes, no or open, nothing for None."""
    if isinstance(cell, Outcome):
        return cell.text
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if cell is None:
        return "open" if column.kind == "answer" else ""
    if isinstance(cell, int | float):
        return f"{plain(cell, column.decimals)} {column.unit}".rstrip()
    return cell
