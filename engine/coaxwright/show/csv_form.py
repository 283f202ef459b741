"""The tables and named facts of a document as CSV that no spreadsheet takes for formulas.

One table is its rows alone; of several, each has its caption in a row before it and an empty row between. Prose is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.show.cells import cell_words
from coaxwright.show.csv_text import csv_text
from coaxwright.show.figures import plain
from coaxwright.show.painter import visible
from coaxwright.show.tree import Cell, Column, Document, Facts, Finding, Section, Table, Words, below, runs, walk

_EXACT = 6


def render(document: Document) -> str:
    """All rows of the document; the verdict stands first where the document is a list of named facts."""
    parts = [each for each in walk(document.blocks) if isinstance(each, Table | Facts)]
    captions = _captions(document)
    found = []
    for place, part in enumerate(parts):
        first = _opening(document) if place == 0 else []
        caption = csv_text([[visible(captions[id(part)])]]) if len(parts) > 1 and captions[id(part)] else ""
        found.append(caption + (_table(part) if isinstance(part, Table) else _facts(part, first)))
    return "\n".join(found)


def _captions(document: Document) -> dict[int, str]:
    """What each table is called: its caption, else the heading over it."""
    found: dict[int, str] = {}
    for block in walk(document.blocks):
        heading = block.heading if isinstance(block, Section) else block.subject if isinstance(block, Finding) else ""
        for inner in below(block):
            found.setdefault(id(inner), heading)
    return {id(each): getattr(each, "caption", "") or found.get(id(each), "") for each in walk(document.blocks)}


def _opening(document: Document) -> list[tuple[str, str]]:
    verdict = [("verdict", _whole(document.verdict))] if document.verdict else []
    return [*document.meta, *verdict]


def _facts(block: Facts, first: Sequence[tuple[str, str]]) -> str:
    rows: list[Sequence[str]] = [block.heads, *first]
    rows += [(name, "; ".join(map(_whole, said))) for name, said in block.lines()]
    return csv_text([[visible(cell) for cell in row] for row in rows])


def _table(block: Table) -> str:
    return "".join(_rows(block))


def _rows(block: Table) -> Iterator[str]:
    """Rows as text; rows that are one and the same tuple are made once, and so are cells that are one and the same thing."""
    heads = block.heads()
    yield csv_text([[visible(f"{head.whole} ({head.unit})" if head.unit else head.whole) for head in heads]])
    inner = heads if block.names is None else heads[1:]
    made: dict[int, str] = {}
    cells: dict[tuple[int, int], str] = {}
    for place, row in enumerate(block.rows):
        if id(row) not in made:
            keys = [(id(head), id(cell)) for head, cell in zip(inner, row, strict=True)]
            for key, head, cell in zip(keys, inner, row, strict=True):
                if key not in cells:
                    cells[key] = _cell(head, cell)
            made[id(row)] = csv_text([[cells[key] for key in keys]])
        yield made[id(row)] if block.names is None else f"{csv_text([[visible(block.names[place])]])[:-1]},{made[id(row)]}"


def _cell(head: Column, cell: Cell) -> str:
    """A number without its unit, which stands over the column; all else as it is shown."""
    if isinstance(cell, int | float) and not isinstance(cell, bool):
        return plain(cell, max(head.decimals, _EXACT))
    return visible(_whole(cell_words(head, cell)))


def _whole(words: Words) -> str:
    """Words with their line ends, which the cell shows as escapes: a name reads back as it was."""
    return "".join(run if isinstance(run, str) else run.text for run in runs(words))
