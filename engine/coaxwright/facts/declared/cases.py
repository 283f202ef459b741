"""Runs the cases that stand beside each declared fact: figures in, one fact out, or what it still asks for.

A value is held to the decimals that the case writes: `274.3 px/m` is held by 274.26 and not by 274.4; `4` by 4 alone.
"""

from __future__ import annotations

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
    reads = {".".join(path[1:]) for path in fact.whole.paths}
    unread = [name for name in case.given if name not in reads and not _asked(fact, name)]
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
    """What a fact came to, in words."""
    if isinstance(value, Unknown):
        return "open: it asks for " + ", ".join(field for _, field in value.missing)
    if isinstance(value, Fault):
        return f"without value ({value.what})"
    return number(value) if isinstance(value, float) else str(value)


def _sheet(book: Book, fact: Declared, case: FactCase) -> Any:
    """A sheet with what the case gives, beside the other sheets that the fact reads."""
    sheet: Any = SimpleNamespace(kind=fact.kind, subject="case", **book.constants)
    for path in fact.whole.paths:
        _owner(sheet, path[1:])
    for name, written in case.given.items():
        value = read_figure(written, book.units[name]) if name in book.units else written
        steps = name.split(".")
        setattr(_owner(sheet, steps), steps[-1], value)
    return sheet


def _owner(sheet: Any, path: Sequence[str]) -> Any:
    """The sheet that the last field of a path belongs to, made where it is not there."""
    for name in path[:-1]:
        if not hasattr(sheet, name):
            setattr(sheet, name, SimpleNamespace())
        sheet = getattr(sheet, name)
    return sheet


def read_figure(written: bool | int | float | str, unit: str) -> float:
    """A figure in the unit of its field; QuantityError where it is none."""
    if not isinstance(written, str):
        if Unit.parse(unit).powers:
            raise QuantityError(f"{written} has no unit", f"write {written} {unit}")
        return float(written)
    found = _WRITTEN.fullmatch(written)
    if found is not None and found["unit"] == unit:
        return float(found["number"])
    kinds: Iterable[Any] = (kind for kind in KINDS.values() if kind.base == unit)
    kind = next(iter(kinds), None)
    if kind is not None:
        return float(kind.read(written))
    if found is None or Unit.parse(found["unit"]) != Unit.parse(unit):
        raise QuantityError(f"`{written}` is not written in {unit}", f"write a number and {unit}")
    return float(found["number"])


def agrees(value: Any, given: bool | int | float | str, unit: str) -> bool:
    """Whether a value is what the case writes, to the digits written."""
    if isinstance(value, Unknown | Fault):
        return False
    if not isinstance(value, float):
        return bool(value == given)
    found = _WRITTEN.fullmatch(str(given))
    if found is None:
        return False
    digits = len(found["places"] or ".") - 1
    least = f"{float(found['number']) + 10.0**-digits:.{digits}f} {found['unit']}"
    stated = read_figure(f"{found['number']} {found['unit']}".strip(), unit)
    share = 0.5 if digits else 1e-9
    return abs(value - stated) <= share * abs(read_figure(least.strip(), unit) - stated) * (1.0 + 1e-9)
