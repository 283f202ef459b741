"""The line of a file that a finding is about, cut to size, with the meant stretch marked below it.

Only arranges text; where the text comes from is the caller's business.
"""

from __future__ import annotations

from coaxwright.show.painter import columns, visible

TAB_STOP = 4
WIDEST = 100
_CUT = "..."


def excerpt(line: str, column: int, end_column: int) -> tuple[str, str]:
    """Return the line as shown, and the mark that goes below it.

    `column` and `end_column` are 1-based and count characters; the stretch runs up to and without
    `end_column`, to the end of the line when that is 0. Tabs become spaces, unseen characters escapes; the
    mark is aligned to what a terminal shows, wide characters included.
    """
    line = line.rstrip("\r\n")
    start = min(max(column - 1, 0), len(line))
    stop = len(line.rstrip()) if end_column <= 0 else min(end_column - 1, len(line))
    cells, offsets = _cells(line)
    first = offsets[start]
    last = max(offsets[max(stop, start)], first + 1)
    return _window(cells, first, last)


def _cells(line: str) -> tuple[list[str], list[int]]:
    """Pieces of the line as shown, and the column at which every character (and the end) stands."""
    shown = ""
    pieces: list[str] = []
    offsets: list[int] = []
    at = 0
    for character in line:
        offsets.append(at)
        piece = " " * (TAB_STOP - at % TAB_STOP) if character == "\t" else visible(character)
        shown += piece
        now = at + len(piece) if piece.isascii() else columns(shown)
        pieces.append(piece)
        at = now
    offsets.append(at)
    return pieces, offsets


def _window(cells: list[str], first: int, last: int) -> tuple[str, str]:
    """Cut away what is far from columns `first` to `last` when the whole would be wider than `WIDEST`."""
    whole = "".join(cells)
    width = columns(whole)
    if width <= WIDEST:
        return whole, _mark(first, last)
    last = min(last, first + WIDEST * 2 // 3)
    left = max(0, min(first - WIDEST // 4, width - WIDEST))
    text, skipped = _slice(cells, left, left + WIDEST)
    lead = _CUT if skipped else ""
    tail = _CUT if left + WIDEST < width else ""
    shift = len(lead) - skipped
    return lead + text + tail, _mark(first + shift, last + shift)


def _slice(cells: list[str], left: int, right: int) -> tuple[str, int]:
    """The text whose columns lie between `left` and `right`, and how many columns were skipped before it."""
    at = 0
    skipped = 0
    kept: list[str] = []
    for cell in cells:
        width = columns(cell)
        if at + width <= left or (at < left and width > 1):
            skipped = at + width
        elif at + width <= right:
            kept.append(cell)
        at += width
    return "".join(kept), skipped


def _mark(first: int, last: int) -> str:
    """A tray under the meant stretch; one column is too narrow for a tray and gets an exclamation mark."""
    width = last - first
    return " " * first + ("!" if width < 2 else "\\" + "_" * (width - 2) + "/")
