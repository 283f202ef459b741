"""Shows how a declared fact came about, as a hand calculation: symbols = figures with units = result.

Made from the evaluated tree, so it cannot tell another sum than the one that was made. The result has five significant
figures; the figures have the fewest digits with which the printed line computes to the printed result. From a million on
they are written with a power of ten. Angles are in degrees; a difference of two temperatures is in K.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from coaxwright.facts.declared.book import Book, Declared, Way
from coaxwright.facts.sheets import Sheet
from coaxwright.facts.written import number
from coaxwright.language.evaluating import evaluate
from coaxwright.language.functions import OPERATIONS
from coaxwright.language.syntax import Binary, Call, Literal, Name, Node, Select, Unary

FEWEST, MOST, SHOWN = 3, 17, 5
"""Significant figures: those of a result are common practice of hand calculations; 17 tell any double apart (IEEE 754)."""
_SIGNS = {"add": (" + ", 1), "subtract": (" - ", 1), "multiply": (" x ", 2), "divide": (" / ", 2)}
_ATOM, _POWER, _PRODUCT = 4, 3, 2
Explain = Callable[[Sheet, str], tuple[str, ...]]
"""The working of a field of a sheet; none where it is stated."""
_NAMES = {"least": "min", "greatest": "max", "abs_double": "abs", "abs_int": "abs"}
_PLAIN = frozenset({"double_of_int", "itself"})
_FUNCTIONS = frozenset({"sqrt", "atan", "tan", *_NAMES})
SHOWABLE = _PLAIN | _FUNCTIONS | {"square", "hypot"}


def showable(node: Node) -> bool:
    """Whether the printer knows the form of this expression."""
    match node:
        case Literal():
            return True
        case Select():
            return isinstance(node.operand, Name) or showable(node.operand)
        case Unary():
            return node.operation.startswith("negate") and showable(node.operand)
        case Binary():
            return node.operation.partition("_")[0] in _SIGNS and showable(node.left) and showable(node.right)
        case Call():
            return node.operation in SHOWABLE and all(map(showable, node.arguments))
    return False


def way_of(fact: Declared, sheet: Sheet) -> Way:
    """The way that applies to the sheet, on which the fact is known."""
    scope = fact.scope(sheet)
    return next(way for way in fact.ways if way.when is None or evaluate(way.when, scope) is True)


def line(fact: Declared, sheet: Sheet, units: Mapping[str, str]) -> str:
    """The sum of a fact that is known."""
    checked = way_of(fact, sheet).value
    tree, value = checked.syntax, sheet.known(fact.name)
    if isinstance(value, bool | str) or not showable(tree):
        return f"{_words(fact.name)} = {' '.join(checked.text.split())} = {_written(value)} {fact.unit}".rstrip()
    shown, scope = figure(value, SHOWN), fact.scope(sheet)
    unit = "K" if _is_difference(tree, units) else fact.unit
    steps = [_words(fact.name), _Printer(scope, units, None).text(tree)]
    if not isinstance(tree, Select):
        steps.append(_figures(tree, scope, units, shown))
    return " = ".join([*steps, f"{shown} {unit}".rstrip()])


def _written(value: Any) -> str:
    """A value as the result of a line: yes or no, words, or a number of five figures."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else figure(value, SHOWN)


def figure(value: float, digits: int) -> str:
    """So many significant figures; with a power of ten from a million on, as in `3.72 x 10^12`."""
    if isinstance(value, int) or not 1e6 <= abs(value) < math.inf:
        return number(value, digits)
    power = 3 * math.floor(math.log10(abs(value)) / 3)
    return f"{number(value / 10.0**power, digits)} x 10^{power}"


def lines(book: Book, fact: Declared, sheet: Sheet, values: Mapping[str, Any], explain: Explain) -> tuple[str, ...]:
    """The sum of a fact, those of the figures that it rests on, and their sources, each once.

    `values` are the assumptions by name: rows with `written`, `about`, `source`; `explain` is for figures that this
    book does not declare.
    """
    return tuple(dict.fromkeys(_lines(book, fact, sheet, values, explain)))


def _lines(book: Book, fact: Declared, sheet: Sheet, values: Mapping[str, Any], explain: Explain) -> Iterator[str]:
    way = way_of(fact, sheet)
    yield line(fact, sheet, book.units)
    if fact.source:
        yield f"source: {fact.source}"
    if way.assumes:
        yield f"assumed: {values[way.assumes].about}"
        yield f"source: {values[way.assumes].source}"
    for path in way.value.paths:
        if path[0] == "limit":
            yield f"{_words(path[1])}: {fact.figures[path[1]].written}; source: {fact.figures[path[1]].source}"
            continue
        below = book.get(path[1])
        if below is not None and len(path) == 2:
            yield from _lines(book, below, sheet, values, explain)
        elif path[1] in book.assumed:
            row = values[book.assumed[path[1]]]
            yield f"{_words(path[1])}: {row.written} assumed: {row.source}"
        elif path[1] in book.sources:
            yield f"{_words(path[1])}: {figure(sheet.known(path[1]), SHOWN)}; source: {book.sources[path[1]]}"
        elif path[1] not in book.constants and "*" not in path:
            owner = sheet
            for name in path[1:-1]:
                owner = getattr(owner, name)
            yield from explain(owner, path[-1])


def _figures(tree: Node, scope: Mapping[str, Any], units: Mapping[str, str], shown: str) -> str:
    """The middle of the line, with as few digits as give the printed result."""
    for digits in range(FEWEST, MOST):
        printer = _Printer(scope, units, digits)
        if figure(printer.value(tree), SHOWN) == shown:
            return printer.text(tree)
    return _Printer(scope, units, MOST).text(tree)


def _is_difference(tree: Node, units: Mapping[str, str]) -> bool:
    """Whether it takes one temperature from another."""
    return (
        isinstance(tree, Binary)
        and tree.operation == "subtract_double"
        and _are_temperatures(tree, units)
    )


def _are_temperatures(tree: Binary, units: Mapping[str, str]) -> bool:
    return all(isinstance(side, Select) and units.get(_path(side)) == "degC" for side in (tree.left, tree.right))


def _path(node: Select) -> str:
    """The path of a field from the sheet on, as in `recorder.bitrate`; a figure beside the fact is `limit.usual`."""
    if isinstance(node.operand, Select):
        return f"{_path(node.operand)}.{node.field}"
    return f"limit.{node.field}" if isinstance(node.operand, Name) and node.operand.name == "limit" else node.field


def _words(name: str) -> str:
    return name.replace("_", " ")


class _Printer:
    """Prints and computes a tree with figures of so many digits; in symbols where `digits` is None."""

    def __init__(self, scope: Mapping[str, Any], units: Mapping[str, str], digits: int | None) -> None:
        self.scope, self.units, self.digits = scope, units, digits

    def text(self, tree: Node) -> str:
        """The expression in the signs of a hand calculation."""
        return self._told(tree)[0]

    def value(self, node: Node) -> float:
        """What the printed figures compute to."""
        match node:
            case Literal():
                return float(node.value)
            case Select():
                mantissa, _, power = self._digits(self._read(node)).partition(" x 10^")
                return float(mantissa) * 10.0 ** int(power or 0)
            case Unary():
                return -self.value(node.operand)
            case Binary():
                return float(OPERATIONS[node.operation](self.value(node.left), self.value(node.right)))
            case Call():
                values = [self.value(each) for each in node.arguments]
                return float(values[0] if node.operation in _PLAIN else OPERATIONS[node.operation](*values))
        raise TypeError(f"{type(node).__name__} has no form in a working")

    def _read(self, node: Select) -> Any:
        owner = self.scope[node.operand.name] if isinstance(node.operand, Name) else self._read(node.operand)  # type: ignore[arg-type]
        return getattr(owner, node.field)

    def _digits(self, value: float) -> str:
        return str(value) if isinstance(value, int) else figure(value, self.digits or MOST)

    def _told(self, node: Node) -> tuple[str, int]:
        """The text of a node, and how tightly its outermost sign binds."""
        match node:
            case Literal():
                return self._digits(node.value), _ATOM  # type: ignore[arg-type]
            case Select():
                return self._figure(node, self.units.get(_path(node), ""))
            case Unary():
                return f"-{self._inside(node.operand, _ATOM)}", 1
            case Binary():
                sign, binds = _SIGNS[node.operation.partition("_")[0]]
                after = binds + (sign in (" - ", " / ") or isinstance(node.right, Binary))
                if sign == " + " and isinstance(node.right, Select) and _are_temperatures(node, self.units):
                    return f"{self._inside(node.left, binds)} + {self._figure(node.right, 'K')[0]}", binds
                return f"{self._inside(node.left, binds)}{sign}{self._inside(node.right, after)}", binds
            case Call():
                return self._called(node)
        raise TypeError(f"{type(node).__name__} has no form in a working")

    def _figure(self, node: Select, unit: str) -> tuple[str, int]:
        if self.digits is None:
            return _words(node.field), _POWER if "_" in node.field else _ATOM
        value = self._read(node)
        text = f"{self._digits(value)} {unit}".rstrip()
        binds = _PRODUCT if " x " in text else _POWER if " " in text else _ATOM
        return (f"({text})", _ATOM) if value < 0 else (text, binds)

    def _inside(self, node: Node, least: int) -> str:
        text, binds = self._told(node)
        return f"({text})" if binds < least else text

    def _called(self, node: Call) -> tuple[str, int]:
        inner = node.arguments
        if node.operation in _PLAIN:
            return self._told(inner[0])
        if node.operation == "square":
            return f"{self._inside(inner[0], _ATOM)}^2", _POWER
        if node.operation == "hypot":
            sides = (f"{self._inside(side, _ATOM)}^2" for side in inner)
            return f"sqrt({' + '.join(sides)})", _ATOM
        name = _NAMES.get(node.operation, node.operation)
        return f"{name}({', '.join(self.text(each) for each in inner)})", _ATOM
