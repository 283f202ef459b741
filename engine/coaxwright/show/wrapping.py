"""Words on lines of a terminal, broken at spaces, measured as a terminal counts."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.show.painter import columns, visible
from coaxwright.show.screen import Screen
from coaxwright.show.tree import Code, Place, Run, Strong, Words, runs, softened

Piece = tuple[str, Run]
"""A stretch without a space as it is shown, and the run that it is of."""


def wrapped(words: Words, screen: Screen, width: int | None, first: str = "", rest: str = "") -> list[str]:
    """Lines of at most `width` columns (None: one line); long words stay whole. `first` and `rest` stand before them."""
    if width is None:
        return [first + inline(words, screen)]
    lines: list[str] = []
    current, taken = first, columns(first)
    empty = True
    for word in _split(words):
        wide = sum(columns(text) for text, _ in word)
        if not empty and taken + 1 + wide > width:
            lines.append(current)
            current, taken, empty = rest, columns(rest), True
        current += ("" if empty else " ") + _dressed(word, screen)
        taken += wide + (not empty)
        empty = False
    return [*lines, current]


def inline(words: Words, screen: Screen) -> str:
    """Words on one line."""
    return " ".join(_dressed(word, screen) for word in _split(words))


def shown(words: Words) -> str:
    """Words as they are shown, without colour or links: for measuring and for cells."""
    return words_of(words) if isinstance(words, str) else "".join(map(words_of, runs(words)))


def words_of(run: Run) -> str:
    """A run as it is shown: code in backticks, all harmless to a terminal."""
    if isinstance(run, Code):
        return f"`{visible(softened(run.text))}`"
    return visible(softened(run if isinstance(run, str) else run.text))


def _split(words: Words) -> list[list[Piece]]:
    """Words apart at their spaces, each of the pieces of runs that meet in it."""
    found: list[list[Piece]] = [[]]
    for run in runs(words):
        for place, text in enumerate(words_of(run).split(" ")):
            if place:
                found.append([])
            if text:
                found[-1].append((text, run))
    return found


def _dressed(word: Sequence[Piece], screen: Screen) -> str:
    return "".join(_painted(text, run, screen) for text, run in word)


def _painted(text: str, run: Run, screen: Screen) -> str:
    if isinstance(run, Strong):
        return screen.painter.paint(text, "strong")
    return screen.linked(text, run) if isinstance(run, Place) else text
