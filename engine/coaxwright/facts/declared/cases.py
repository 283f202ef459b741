"""Runs the cases that stand beside each declared fact: figures in, one fact out, or what it still asks for.

A value is held to the decimals that the case writes: `274.3 px/m` is held by 274.26 and not by 274.4; `4` by 4 alone.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from types import SimpleNamespace
from typing import Any

from coaxwright.errors import Problem
from coaxwright.facts.declared.book import Book, Declared, read_book
from coaxwright.facts.declared.checking import Read
from coaxwright.facts.declared.filling import value_of
from coaxwright.facts.written import number
from coaxwright.language.checked import Fault, Unknown
from coaxwright.language.syntax import Call, Select, walk
from coaxwright.language.types import Unit
from coaxwright.model.facts import Declaration, FactCase
from coaxwright.model.quantities import KINDS, QuantityError

_WRITTEN = re.compile(r"(?P<number>[+-]?[0-9]+(?P<places>\.[0-9]*)?)\s*(?P<unit>.*)")


def failing(read: Read) -> list[Problem]:
    """A problem at the place of each case that does not hold."""
    book = read_book(read.model.kind, read.plain)
    return [problem for fact in book.facts for problem in _of_fact(read, book, fact)]


def count(read: Read) -> int:
    """How many cases the file has."""
    return sum(len(each.cases) for each in (*read.model.steps.values(), *read.model.facts.values()))


def _of_fact(read: Read, book: Book, fact: Declared) -> Iterator[Problem]:
    section = "facts" if fact.name in read.model.facts else "steps"
    declaration: Declaration = getattr(read.model, section)[fact.name]
    for place, case in enumerate(declaration.cases):
        path = (section, fact.name, "cases", place)
        try:
            wrong = _wrong(book, fact, case)
        except QuantityError as error:
            wrong = f"{error.what}; {error.right}" if error.right else error.what
        if wrong:
            yield Problem(read.document.file, f"{fact.kind}.{fact.name}: {wrong}", "", read.document.nearest_span(path), path)


def _wrong(book: Book, fact: Declared, case: FactCase) -> str:
    """What does not hold, in words; "" where all does."""
    paths = [path[1:] for path in fact.whole.paths if path[0] == fact.kind]
    read = {".".join(part for part in path[:end] if part != "*") for path in paths for end in range(1, len(path) + 1)}
    unread = [name for name in case.given if name not in read and not _asked(fact, name)]
    if unread:
        return f"the fact does not read `{unread[0]}`"
    value = value_of(fact, _sheet(book, fact, case))
    if case.open is not None:
        lacking = tuple(field for _, field in value.missing) if isinstance(value, Unknown) else None
        found = f"asks for {', '.join(lacking)}" if lacking else f"is {told(value)}"
        return "" if lacking == case.open else f"it {found}, and the case says that it asks for {', '.join(case.open)}"
    if case.gives is None:
        return "the case says neither `gives` nor `open`"
    return "" if agrees(value, case.gives, fact.unit) else f"it is {told(value)}, and the case says {case.gives}"


def _asked(fact: Declared, name: str) -> bool:
    """Whether some condition asks if the field is there."""
    return any(way.when is not None and re.search(rf"\b{name}\b", way.when.text) for way in fact.ways)


def told(value: object) -> str:
    """A value in words; what it asks for where it is open."""
    if isinstance(value, Unknown):
        return "open: it asks for " + ", ".join(field for _, field in value.missing)
    if isinstance(value, Fault):
        return f"without value ({value.what})"
    return number(value) if isinstance(value, float) else str(value)


def _sheet(book: Book, fact: Declared, case: FactCase) -> SimpleNamespace:
    """A sheet with the figures of a case, and the sheets that the fact reads beside it; of lists only what is written."""
    sheet: Any = SimpleNamespace(kind=book.kind, subject="case", **book.constants)
    paths = [path[1:] for path in fact.whole.paths if path[0] == book.kind]
    lists = {path[: path.index("*")] for path in paths if "*" in path} | _counted(fact)
    for path in paths:
        _inner(sheet, path[: path.index("*") - 1] if "*" in path else path[:-1])
    for name, written in case.given.items():
        *outer, last = name.split(".")
        if (*outer, last) in lists and isinstance(written, int):
            _members(sheet, [*outer, last], written)
        elif tuple(outer) in lists and isinstance(written, tuple):
            unit = book.units.get(".".join((*outer, "*", last)))
            for item, each in zip(_members(sheet, outer, len(written)), written, strict=False):
                setattr(item, last, _value(each, unit))
        elif isinstance(written, tuple) or (*outer, last) in lists:
            raise QuantityError(f"`{name}` is given as {written}", "write a list of figures for `list.field`, a count for a list")
        else:
            setattr(_inner(sheet, outer), last, _value(written, book.units.get(name)))
    found: SimpleNamespace = sheet
    return found


def _counted(fact: Declared) -> set[tuple[str, ...]]:
    """Paths of lists of which the fact takes the number of items."""
    sizes = (node for node in walk(fact.whole.syntax) if isinstance(node, Call) and node.operation == "size")
    return {(node.arguments[0].field,) for node in sizes if isinstance(node.arguments[0], Select)}


def _value(written: bool | float | str, unit: str | None) -> bool | float | str:
    return written if unit is None else read_figure(written, unit)


def _inner(sheet: SimpleNamespace, path: Sequence[str]) -> SimpleNamespace:
    """The sheet at that path, made where it is not there."""
    for name in path:
        if not hasattr(sheet, name):
            setattr(sheet, name, SimpleNamespace(subject="case"))
        sheet = getattr(sheet, name)
    return sheet


def _members(sheet: SimpleNamespace, path: Sequence[str], count: int) -> list[Any]:
    """The list at that path, of so many sheets."""
    owner = _inner(sheet, path[:-1])
    if not hasattr(owner, path[-1]):
        setattr(owner, path[-1], [SimpleNamespace(subject="case") for _ in range(count)])
    found: list[Any] = getattr(owner, path[-1])
    return found


def read_figure(written: bool | int | float | str, unit: str) -> float:
    """A figure in the unit of its field; QuantityError where it is none."""
    if not isinstance(written, str):
        if Unit.parse(unit).powers:
            raise QuantityError(f"{written} has no unit", f"write {written} {unit}")
        return float(written)
    found = _WRITTEN.fullmatch(written)
    if found is not None and _is_unit(found["unit"], unit):
        return float(found["number"])
    kinds: Iterable[Any] = (kind for kind in KINDS.values() if kind.base == unit)
    kind = next(iter(kinds), None)
    if kind is None:
        raise QuantityError(f"`{written}` is not written in {unit}", f"write a number and {unit}")
    return float(kind.read(written))


def _is_unit(written: str, unit: str) -> bool:
    try:
        return Unit.parse(written) == Unit.parse(unit)
    except ValueError:
        return False


def agrees(value: object, given: bool | int | float | str, unit: str) -> bool:
    """Whether a value is what the case writes, to the digits written."""
    if isinstance(value, Unknown | Fault):
        return False
    if not isinstance(value, float):
        return bool(value == given)
    if math.isinf(value):
        return given == number(value)
    found = _WRITTEN.fullmatch(str(given))
    if found is None:
        return False
    digits = len(found["places"] or ".") - 1
    least = f"{float(found['number']) + 10.0**-digits:.{digits}f} {found['unit']}"
    stated = read_figure(f"{found['number']} {found['unit']}".strip(), unit)
    share = 0.5 if digits else 1e-9
    return abs(value - stated) <= share * abs(read_figure(least.strip(), unit) - stated) * (1.0 + 1e-9)
