"""Shows how a declared fact came about, as a hand calculation: symbols = figures with units = result.

Made from the evaluated tree, so it cannot tell another sum than the one that was made. The result has five significant
figures; the figures have the fewest digits with which the printed line computes to the printed result. From a million on
they are written with a power of ten. Angles are in degrees; a difference of two temperatures is in K. What is true or
false reads `symbols: figures: yes`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from coaxwright.facts.declared.book import Book, Declared, Way
from coaxwright.facts.declared.printing import MOST, Printer, figure, showable
from coaxwright.facts.declared.resting import way_of
from coaxwright.facts.sheets import Sheet
from coaxwright.language.figures import LIMIT
from coaxwright.language.syntax import Binary, Literal, Macro, Node, Select, walk

FEWEST, SHOWN = 3, 5
"""Significant figures: those of a result are common practice of hand calculations."""
Explain = Callable[[Sheet, str], tuple[str, ...]]
"""The working of a field of a sheet; none where it is stated."""


def line(book: Book, fact: Declared, sheet: Sheet) -> str:
    """The sum of a fact that is known."""
    return _line(book, fact, way_of(fact, sheet), sheet)


def _line(book: Book, fact: Declared, way: Way, sheet: Sheet) -> str:
    value, tree, name = sheet.known(fact.name), way.value.syntax, fact.name.replace("_", " ")
    if not showable(tree):
        return f"{name} = {' '.join(way.value.text.split())} = {_written(value)} {fact.unit}".rstrip()
    if isinstance(value, bool | str):
        told = _statement(book, fact, tree, sheet) if not isinstance(tree, Literal) else ()
        return ": ".join([name, *told, _written(value)])
    shown = figure(value, SHOWN)
    printer = Printer(book, fact, sheet, None)
    unit = "K" if _is_difference(tree, printer) else fact.unit
    steps = [name, printer.text(tree)]
    if isinstance(tree, Literal):
        steps.pop()
    elif not _is_read(tree):
        steps.append(_figures(book, fact, tree, sheet, shown))
    return " = ".join([*steps, f"{shown} {unit}".rstrip()])


def _written(value: bool | float | str) -> str:
    """A value as the result of a line: yes or no, words, or a number of five figures."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else figure(value, SHOWN)


def lines(book: Book, fact: Declared, sheet: Sheet, values: Mapping[str, Any], explain: Explain) -> tuple[str, ...]:
    """The sum of a fact, those of the figures that it rests on, and their sources, each once.

    `values` are the assumptions by name: rows with `written`, `about`, `source`; `explain` is for figures that this
    book does not declare.
    """
    return tuple(dict.fromkeys(_lines(book, fact, sheet, (values, explain, set()))))


Around = tuple[Mapping[str, Any], Explain, set[str]]
"""Assumptions, the working of other fields, and the facts that were told already: their lines would only stand twice."""


def _lines(book: Book, fact: Declared, sheet: Sheet, around: Around) -> Iterator[str]:
    (values, _, told), way = around, way_of(fact, sheet)
    told.add(fact.name)
    yield _line(book, fact, way, sheet)
    if way.when is not None and isinstance(way.value.syntax, Literal):
        yield "because " + ": ".join(_statement(book, fact, way.when.syntax, sheet))
    yield from _members(book, fact, way.value.syntax, sheet)
    if fact.source:
        yield f"source: {fact.source}"
    if way.assumes:
        yield f"assumed: {values[way.assumes].about}"
        yield f"source: {values[way.assumes].source}"
    for path in way.value.paths:
        if path[0] == LIMIT:
            yield f"{path[1].replace('_', ' ')}: {fact.figures[path[1]].written}; source: {fact.figures[path[1]].source}"
        else:
            yield from _read(book, path[1:], sheet, around)


def _read(book: Book, path: tuple[str, ...], sheet: Sheet, around: Around) -> Iterator[str]:
    """What is behind a figure that was read; of the members of a list no more than their names is told."""
    values, explain, told = around
    name, below = path[0].replace("_", " "), book.get(path[0])
    if below is not None and len(path) == 1:
        yield from () if below.name in told else _lines(book, below, sheet, around)
    elif path[0] in book.assumed:
        row = values[book.assumed[path[0]]]
        yield f"{name}: {row.written} assumed: {row.source}"
    elif path[0] in book.sources:
        yield f"{name}: {figure(sheet.known(path[0]), SHOWN)}; source: {book.sources[path[0]]}"
    elif path[0] not in book.constants and "*" not in path:
        owner = sheet
        for step in path[:-1]:
            owner = getattr(owner, step)
        yield from explain(owner, path[-1])


def _members(book: Book, fact: Declared, tree: Node, sheet: Sheet) -> Iterator[str]:
    """The sheets of every list that is gone through, in the order of their figures."""
    printer = Printer(book, fact, sheet, None)
    for node in walk(tree):
        if isinstance(node, Macro) and (items := printer.items(node)):
            yield f"{printer.text(node.source)}: {', '.join(str(each.subject) for each in items)}"


def _statement(book: Book, fact: Declared, tree: Node, sheet: Sheet) -> tuple[str, str]:
    """What is true or false, in symbols and in figures."""
    return Printer(book, fact, sheet, None).text(tree), Printer(book, fact, sheet, SHOWN).text(tree)


def _figures(book: Book, fact: Declared, tree: Node, sheet: Sheet, shown: str) -> str:
    """The middle of the line, with as few digits as give the printed result."""
    for digits in range(FEWEST, MOST):
        printer = Printer(book, fact, sheet, digits)
        if figure(printer.value(tree), SHOWN) == shown:
            return printer.text(tree)
    return Printer(book, fact, sheet, MOST).text(tree)


def _is_read(tree: Node) -> bool:
    """Whether there is nothing to compute: a field as it stands, or a count of a list."""
    return isinstance(tree, Select) or getattr(tree, "operation", "") == "size"


def _is_difference(tree: Node, printer: Printer) -> bool:
    """Whether it takes one temperature from another."""
    return isinstance(tree, Binary) and tree.operation == "subtract_double" and printer.are_temperatures(tree)
