"""One fault on each of several things, as far as the print tells."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from ..plan import Missing


def each(things: Iterable[str], there: Callable[[str], bool], word: str = "{}") -> dict[str, bool]:
    """The fault on each thing by its name in options; things of which the print does not tell are left out."""
    found = {}
    for thing in things:
        try:
            found[word.format(thing)] = there(thing)
        except Missing:
            continue
    return found
