"""On what a fact that is known rests: the way that applies, what that reads, and the assumptions taken for it."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.facts.declared.book import Book, Declared, Way
from coaxwright.facts.sheets import Sheet
from coaxwright.facts.sheets.declared import STEPS
from coaxwright.language.evaluating import evaluate


def way_of(fact: Declared, sheet: Sheet) -> Way:
    """The way that applies to the sheet, on which the fact is known."""
    if fact.ways[0].when is None:
        return fact.ways[0]
    scope = fact.scope(sheet)
    return next(way for way in fact.ways if way.when is None or evaluate(way.when, scope) is True)


def below(book: Book, way: Way) -> Iterator[Declared]:
    """The declared facts of the same sheet that a way reads."""
    for path in way.value.paths:
        found = book.get(path[1]) if len(path) == 2 else None
        if found is not None:
            yield found


def given(book: Book, way: Way) -> Iterator[str]:
    """The given figures that a way reads and that are assumptions."""
    yield from (path[1] for path in way.value.paths if path[1] in book.assumed)


def assumptions(book: Book, fact: Declared, sheet: Sheet) -> Iterator[str]:
    """Assumptions that a known fact rests on itself, steps included; those of other facts are theirs."""
    yield from _of_way(book, way_of(fact, sheet), sheet)


def _of_way(book: Book, way: Way, sheet: Sheet) -> Iterator[str]:
    if way.assumes:
        yield way.assumes
    yield from (book.assumed[name] for name in given(book, way))
    for each in below(book, way):
        if is_step(book, each):
            yield from assumptions(book, each, sheet)


def is_step(book: Book, fact: Declared) -> bool:
    """Whether people see it inside workings only."""
    return fact.name in STEPS.get(book.kind, ())


def may_assume(book: Book, fact: Declared) -> bool:
    """Whether some way of the fact rests on an assumption."""
    ways = fact.ways
    if any(way.assumes or next(given(book, way), None) for way in ways):
        return True
    return any(is_step(book, each) and may_assume(book, each) for way in ways for each in below(book, way))
