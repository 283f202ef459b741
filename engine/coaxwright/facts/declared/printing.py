"""Prints an expression in symbols, or with the figures of a sheet, and computes what those printed figures come to."""

from __future__ import annotations

import math
from collections.abc import Callable
from enum import IntEnum, auto
from typing import Any

from coaxwright.facts.declared.book import Book, Declared
from coaxwright.facts.sheets import Sheet
from coaxwright.facts.written import number
from coaxwright.language.figures import LIMIT
from coaxwright.language.functions import OPERATIONS
from coaxwright.language.syntax import Binary, Call, Has, ListLiteral, Literal, Logic, Macro, Name, Node, Select, Unary

MOST = 17
"""Significant figures that tell any double apart (IEEE 754)."""


class Binds(IntEnum):
    """How closely a form holds its parts together: the one with the greater number needs no brackets inside the other."""

    OR = auto()
    AND = auto()
    RELATION = auto()
    SUM = auto()
    PRODUCT = auto()
    POWER = auto()
    ATOM = auto()


_SIGNS = {
    "add": (" + ", Binds.SUM), "subtract": (" - ", Binds.SUM),
    "multiply": (" x ", Binds.PRODUCT), "divide": (" / ", Binds.PRODUCT),
}  # fmt: skip
_RELATIONS = {
    "less": " < ", "less_equal": " <= ", "greater": " > ", "greater_equal": " >= ", "equal": " = ", "not_equal": " is not ",
    "in": " in ", "in_doubles": " in ",
}  # fmt: skip
_NAMES = {"least": "min", "greatest": "max", "abs_double": "abs", "abs_int": "abs"}
_OF_LISTS = {"sum_double": "sum", "sum_int": "sum", "least_of_list": "min", "greatest_of_list": "max"}
_PLAIN = frozenset({"double_of_int", "itself"})
_SHOWABLE = _PLAIN | {"sqrt", "atan", "tan", *_NAMES, "square", "hypot", "pow"}


def figure(value: float, digits: int) -> str:
    """So many significant figures; with a power of ten from a million on, as in `3.72 x 10^12`."""
    if isinstance(value, int) or not 1e6 <= abs(value) < math.inf:
        return number(value, digits)
    power = 3 * math.floor(math.log10(abs(value)) / 3)
    return f"{number(value / 10.0**power, digits)} x 10^{power}"


def showable(node: Node) -> bool:
    """Whether the printer knows the form of this expression."""
    match node:
        case Literal() | Has():
            return True
        case Select():
            return isinstance(node.operand, Name) or showable(node.operand)
        case Unary():
            return (node.operation == "not" or node.operation.startswith("negate")) and showable(node.operand)
        case Binary():
            known = node.operation in _RELATIONS or node.operation.partition("_")[0] in _SIGNS
            return known and showable(node.left) and showable(node.right)
        case Logic():
            return all(map(showable, node.operands))
        case ListLiteral():
            return all(map(showable, node.items))
        case Call(operation="size"):
            return isinstance(node.arguments[0], Select)
        case Call() if node.operation in _OF_LISTS:
            inner = node.arguments[0]
            return isinstance(inner, Macro) and inner.operation == "map" and showable(inner.source) and showable(inner.body)
        case Call():
            return node.operation in _SHOWABLE and all(map(showable, node.arguments))
    return False


class Printer:
    """Prints and computes a tree with figures of so many digits; in symbols where `digits` is None.

    `scope` are the variables: each with what it stands for, and its path in `units`.
    """

    def __init__(self, book: Book, fact: Declared, sheet: Sheet, digits: int | None) -> None:
        self.book, self.digits = book, digits
        self.scope: dict[str, tuple[Any, str]] = {book.kind: (sheet, ""), LIMIT: (fact.limits, LIMIT)}

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
            case Call(operation="size"):
                return float(len(self._read(node.arguments[0])))
            case Call() if node.operation in _OF_LISTS:
                return float(OPERATIONS[node.operation](self._each(node.arguments[0], self.value)))
            case Call():
                values = [self.value(each) for each in node.arguments]
                return float(values[0] if node.operation in _PLAIN else OPERATIONS[node.operation](*values))
        raise TypeError(f"{type(node).__name__} has no form in a working")

    def items(self, node: Macro) -> list[Any]:
        """The sheets of the list that a macro goes through."""
        return list(self._read(node.source))

    def _read(self, node: Node) -> Any:
        if isinstance(node, Name):
            return self.scope[node.name][0]
        assert isinstance(node, Select), "a list or a sheet is read, never made"
        return getattr(self._read(node.operand), node.field)

    def _path(self, node: Node) -> str:
        """The path of a field as the units have it."""
        if isinstance(node, Name):
            return self.scope[node.name][1]
        assert isinstance(node, Select), "a list or a sheet is read, never made"
        return f"{self._path(node.operand)}.{node.field}".removeprefix(".")

    def _symbol(self, node: Node) -> str:
        """The name of a field in words."""
        assert isinstance(node, Select), "a list or a sheet is read, never made"
        return node.field.replace("_", " ")

    def _each(self, node: Node, what: Callable[[Node], object]) -> list[Any]:
        """`what` of the body of a macro, for each sheet of its list."""
        assert isinstance(node, Macro), "only a macro goes through a list"
        found, path = [], f"{self._path(node.source)}.*"
        for item in self.items(node):
            self.scope[node.variable] = (item, path)
            found.append(what(node.body))
        return found

    def _digits(self, value: float) -> str:
        return str(value) if isinstance(value, int) else figure(value, self.digits or MOST)

    def _told(self, node: Node) -> tuple[str, int]:
        """The text of a node, and how tightly its outermost sign binds."""
        match node:
            case Literal():
                return self._plain(node.value), Binds.ATOM
            case Select():
                return self._figure(node, self._unit(node))
            case Unary():
                return f"{'not ' if node.operation == 'not' else '-'}{self._inside(node.operand, Binds.ATOM)}", Binds.SUM
            case Binary():
                return self._pair(node)
            case Call():
                return self._called(node)
        return self._worded(node)

    def _worded(self, node: Node) -> tuple[str, int]:
        match node:
            case Logic():
                binds = Binds.AND if node.operation == "and" else Binds.OR
                return f" {node.operation} ".join(self._inside(each, binds + 1) for each in node.operands), binds
            case Has():
                stated = Select(node.start, node.end, node.operand, node.field)
                return f"{self._symbol(stated)} is stated", Binds.RELATION
            case ListLiteral():
                return " or ".join(self.text(each) for each in node.items), Binds.ATOM
        raise TypeError(f"{type(node).__name__} has no form in a working")

    def _pair(self, node: Binary) -> tuple[str, int]:
        if node.operation in _RELATIONS:
            sign = _RELATIONS[node.operation]
            return f"{self._inside(node.left, Binds.SUM)}{sign}{self._inside(node.right, Binds.SUM)}", Binds.RELATION
        sign, binds = _SIGNS[node.operation.partition("_")[0]]
        after = binds + (sign in (" - ", " / ") or isinstance(node.right, Binary))
        if sign == " + " and isinstance(node.right, Select) and self.are_temperatures(node):
            return f"{self._inside(node.left, binds)} + {self._figure(node.right, 'K')[0]}", binds
        return f"{self._inside(node.left, binds)}{sign}{self._inside(node.right, after)}", binds

    def are_temperatures(self, node: Binary) -> bool:
        """Whether both sides are read in degrees: their difference, and what is added to one, is in K."""
        return all(isinstance(side, Select) and self._unit(side) == "degC" for side in (node.left, node.right))

    def _unit(self, node: Node) -> str:
        return self.book.units.get(self._path(node), "")

    def _plain(self, value: float | str) -> str:
        if isinstance(value, bool):
            return "yes" if value else "no"
        return value if isinstance(value, str) else self._digits(value)

    def _figure(self, node: Select, unit: str) -> tuple[str, int]:
        if self.digits is None:
            name = self._symbol(node)
            return name, Binds.POWER if " " in name else Binds.ATOM
        value = self._read(node)
        if isinstance(value, bool | str):
            return self._plain(value), Binds.ATOM
        text = f"{self._digits(value)} {unit}".rstrip()
        binds = Binds.PRODUCT if " x " in text else Binds.POWER if " " in text else Binds.ATOM
        return (f"({text})", Binds.ATOM) if value < 0 else (text, binds)

    def _inside(self, node: Node, least: int) -> str:
        text, binds = self._told(node)
        return f"({text})" if binds < least else text

    def _called(self, node: Call) -> tuple[str, int]:
        inner = node.arguments
        if node.operation in _PLAIN:
            return self._told(inner[0])
        if node.operation == "size":
            return f"number of {self._symbol(inner[0])}", Binds.POWER
        if node.operation in _OF_LISTS:
            return self._listed(_OF_LISTS[node.operation], inner[0])
        if node.operation == "square":
            return f"{self._inside(inner[0], Binds.ATOM)}^2", Binds.POWER
        if node.operation == "pow":
            return f"{self._inside(inner[0], Binds.ATOM)}^{self._inside(inner[1], Binds.ATOM)}", Binds.POWER
        if node.operation == "hypot":
            sides = (f"{self._inside(side, Binds.ATOM)}^2" for side in inner)
            return f"sqrt({' + '.join(sides)})", Binds.ATOM
        name = _NAMES.get(node.operation, node.operation)
        return f"{name}({', '.join(self.text(each) for each in inner)})", Binds.ATOM

    def _listed(self, name: str, node: Node) -> tuple[str, int]:
        """The total, the least or the greatest over a list."""
        assert isinstance(node, Macro), "only a macro goes through a list"
        if self.digits is None:
            self.scope[node.variable] = (None, "")
            return f"{name} of {self.text(node.body)} of {self._symbol(node.source)}", Binds.POWER
        if name == "sum":
            return " + ".join(self._each(node, lambda body: self._inside(body, Binds.SUM))) or "0", Binds.SUM
        return f"{name}({', '.join(self._each(node, self.text))})", Binds.ATOM
