"""A document as plain JSON, for commands that have no form of their own for programs: its words and its tables."""

from __future__ import annotations

from typing import Any

from coaxwright.show.cells import cell_words
from coaxwright.show.json_text import to_json
from coaxwright.show.tree import Cell, Column, Document, Facts, Finding, Table, bare, walk

FORMAT = 2


def render(document: Document) -> str:
    """Title, verdict, meta; every finding, every table and every list of named facts, in order."""
    blocks = list(walk(document.blocks))
    data = {
        "format": FORMAT,
        "title": document.title,
        "verdict": bare(document.verdict) or None,
        "meta": dict(document.meta),
        "findings": [_finding(each) for each in blocks if isinstance(each, Finding)],
        "facts": [{name: list(map(bare, said)) for name, said in each.lines()} for each in blocks if isinstance(each, Facts)],
        "tables": [_table(each) for each in blocks if isinstance(each, Table)],
    }
    return to_json(data)


def _finding(block: Finding) -> dict[str, Any]:
    return {
        "level": block.level, "rule": block.rule, "subject": block.subject, "line": block.line, "message": bare(block.message),
    }  # fmt: skip


def _table(block: Table) -> dict[str, Any]:
    heads = block.heads()
    return {
        "caption": block.caption or None,
        "columns": [{"name": head.whole, "unit": head.unit or None} for head in heads],
        "rows": [[_cell(head, cell) for head, cell in zip(heads, row, strict=True)] for row in block.whole()],
    }


def _cell(head: Column, cell: Cell) -> str | float | bool | None:
    """Numbers and answers as themselves, an open answer as null."""
    if cell is None or isinstance(cell, bool | int):
        return cell
    if isinstance(cell, float):
        return cell if abs(cell) != float("inf") and cell == cell else None
    return bare(cell_words(head, cell))
