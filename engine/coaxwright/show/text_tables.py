"""Tables in columns of a terminal: as wide as they are in a pipe, wrapped or folded where the screen is narrower."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.show.cells import cell_words
from coaxwright.show.painter import columns
from coaxwright.show.screen import Screen
from coaxwright.show.tree import Column, Table
from coaxwright.show.wrapping import shown, wrapped

_GAP = "  "
_LEAST = 12
"""Columns: no column of text is wrapped narrower."""
_PLAIN = Screen()


def table_lines(table: Table, screen: Screen, indent: int = 0) -> Iterator[str]:
    """The lines of a table with its heads; `indent` columns of the screen are taken already."""
    heads = table.heads()
    rows = [[shown(cell_words(head, cell)) for head, cell in zip(heads, row, strict=True)] for row in table.whole()]
    names = [shown(head.whole) for head in heads]
    natural = [max(columns(row[place]) for row in [names, *rows]) for place in range(len(heads))]
    room = None if screen.width is None else screen.width - indent - len(_GAP) * (len(heads) - 1)
    widths = natural if room is None else _narrowed(heads, natural, room)
    if widths is None:
        yield from _folded(names, rows, screen, indent)
    else:
        for row in [names, *rows]:
            yield from _row(heads, row, widths)
    if not rows and table.empty:
        yield table.empty


def _narrowed(heads: Sequence[Column], natural: Sequence[int], room: int) -> list[int] | None:
    """Widths that fit, taken from the widest columns of text; None where there are none."""
    widths = list(natural)
    may = [place for place, head in enumerate(heads) if head.kind == "text" and head.wraps]
    while sum(widths) > room:
        wide = [place for place in may if widths[place] > _LEAST]
        if not wide:
            return None
        widest = max(wide, key=lambda place: widths[place])
        others = [widths[place] for place in wide if place != widest]
        goal = max([_LEAST, widths[widest] - (sum(widths) - room), *(each - 1 for each in others if each < widths[widest])])
        widths[widest] = min(goal, widths[widest] - 1)
    return widths


def _row(heads: Sequence[Column], row: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    """A row on one line, or on several where a cell is wider than its column."""
    cells = [_cut(text, width) for text, width in zip(row, widths, strict=True)]
    for number in range(max(map(len, cells))):
        parts = [
            _padded(cell[number] if number < len(cell) else "", width, head)
            for cell, width, head in zip(cells, widths, heads, strict=True)
        ]
        yield _GAP.join(parts).rstrip()


def _cut(text: str, width: int) -> list[str]:
    """Lines of a cell; a word that is wider than its column is cut, so that the columns stay."""
    if columns(text) <= width:
        return [text]
    return [piece for line in wrapped(text, _PLAIN, width) for piece in _pieces(line, width)]


def _pieces(line: str, width: int) -> Iterator[str]:
    while columns(line) > width:
        most = next(end for end in range(len(line), 0, -1) if columns(line[:end]) <= width or end == 1)
        yield line[:most]
        line = line[most:]
    yield line


def _padded(text: str, width: int, head: Column) -> str:
    space = " " * (width - columns(text))
    return space + text if head.kind == "number" else text + space


def _folded(names: Sequence[str], rows: Sequence[Sequence[str]], screen: Screen, indent: int) -> Iterator[str]:
    """Each row by itself: what names it, then its cells with the heads of their columns."""
    width = (screen.width or 0) - indent
    for row in rows:
        yield from wrapped(row[0], _PLAIN, width)
        for name, text in zip(names[1:], row[1:], strict=True):
            if text:
                yield from wrapped(text, _PLAIN, width, f"  {name}: ", "    ")
