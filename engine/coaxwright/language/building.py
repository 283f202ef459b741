"""From what the parser recognises to syntax nodes, literals decoded, macros recognised.

The methods of `TreeBuilder` are named after the grammar's rules and called by lark while it parses; nothing
here imports lark or walks a tree.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Protocol

from coaxwright.language.syntax import (
    Binary,
    Call,
    Choice,
    Has,
    Index,
    ListLiteral,
    Literal,
    Logic,
    Macro,
    Name,
    Node,
    Select,
    Unary,
)

GREATEST_INT = 2**63 - 1
MACROS = frozenset({"all", "exists", "exists_one", "filter", "map"})
_ESCAPE = re.compile(
    r"\\(?:(?P<plain>[abfnrtv\\?\"'`])|[xX](?P<byte>[0-9a-fA-F]{2})|u(?P<short>[0-9a-fA-F]{4})"
    r"|U(?P<long>[0-9a-fA-F]{8})|(?P<octal>[0-3][0-7]{2})|(?P<bad>.|\Z))",
    re.DOTALL,
)
# Common Expression Language specification, "String and Bytes Values": escape sequences.
_PLAIN_ESCAPES = {"a": "\a", "b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t", "v": "\v"}


class BadSyntax(Exception):
    """Something that the grammar allows and the language does not; `parsing` makes a `Problem` of it."""

    def __init__(self, start: int, end: int, what: str, right: str = "") -> None:
        super().__init__(what)
        self.start, self.end, self.what, self.right = start, end, what, right


class TreeBuilder:
    """Callbacks for the grammar's rules; each takes the parts recognised and gives a node. Holds no state."""

    def choice(self, parts: Sequence[Node]) -> Node:
        """`condition ? then : otherwise`."""
        return Choice(parts[0].start, parts[2].end, parts[0], parts[1], parts[2])

    def disjunction(self, parts: Sequence[Node]) -> Node:
        """`a || b || ...`."""
        return Logic(parts[0].start, parts[-1].end, "||", tuple(parts))

    def conjunction(self, parts: Sequence[Node]) -> Node:
        """`a && b && ...`."""
        return Logic(parts[0].start, parts[-1].end, "&&", tuple(parts))

    def binary(self, parts: Sequence[Any]) -> Node:
        """Any left-associative binary operator."""
        left, sign, right = parts
        return Binary(left.start, right.end, str(sign), left, right)

    def nots(self, signs: Sequence[Any]) -> Sequence[Any]:
        """One or more `!`; applied by `unary`."""
        return signs

    minuses = nots

    def unary(self, parts: Sequence[Any]) -> Node:
        """`!`s or `-`s before an operand; the innermost `-` joins a number literal, so that -2^63 can be
        written.
        """
        node: Node = parts[1]
        for sign in reversed(parts[0]):
            node = _with_sign(sign, node)
        return node

    def select(self, parts: Sequence[Any]) -> Node:
        """`operand.field`."""
        operand, name = parts
        return Select(operand.start, name.end_pos, operand, str(name))

    def index(self, parts: Sequence[Any]) -> Node:
        """`operand[position]`."""
        operand, position, close = parts
        return Index(operand.start, close.end_pos, operand, position)

    def name(self, parts: Sequence[Any]) -> Node:
        """A variable."""
        return Name(parts[0].start_pos, parts[0].end_pos, str(parts[0]))

    def call(self, parts: Sequence[Any]) -> Node:
        """`function(arguments)`, or the macro `has`."""
        name, *arguments, close = parts
        if name == "has":
            return _has(name.start_pos, close.end_pos, arguments)
        return Call(name.start_pos, close.end_pos, str(name), tuple(arguments))

    def member_call(self, parts: Sequence[Any]) -> Node:
        """`operand.function(arguments)`, or a macro over a list."""
        operand, name, *arguments, close = parts
        if name in MACROS:
            return _macro(str(name), operand, arguments, close.end_pos)
        return Call(operand.start, close.end_pos, str(name), (operand, *arguments), True)

    def group(self, parts: Sequence[Any]) -> Node:
        """`(expression)`: the node inside, its span widened to the parentheses."""
        opening, node, closing = parts
        if isinstance(node, Literal) and isinstance(node.value, int) and node.value > GREATEST_INT:
            raise BadSyntax(node.start, node.end, *_too_great(node.value))
        widened: Node = replace(node, start=opening.start_pos, end=closing.end_pos)
        return widened

    def list(self, parts: Sequence[Any]) -> Node:
        """`[item, ...]`."""
        opening, *items, closing = parts
        return ListLiteral(opening.start_pos, closing.end_pos, tuple(items))

    def integer(self, parts: Sequence[Any]) -> Node:
        """A whole number, decimal or hexadecimal; its range is checked once its sign is known."""
        token = parts[0]
        value = int(token, 16) if token.startswith("0x") else int(token)
        return Literal(token.start_pos, token.end_pos, value)

    def float(self, parts: Sequence[Any]) -> Node:
        """A number with point or exponent."""
        return Literal(parts[0].start_pos, parts[0].end_pos, _float(parts[0]))

    def text(self, parts: Sequence[Any]) -> Node:
        """A quoted text with escapes."""
        token = parts[0]
        inside, offset = _unquoted(str(token))
        value = _ESCAPE.sub(lambda found: _unescaped(found, token.start_pos + offset), inside)
        return Literal(token.start_pos, token.end_pos, value)

    def raw_text(self, parts: Sequence[Any]) -> Node:
        """A quoted text after `r`: no escapes."""
        token = parts[0]
        return Literal(token.start_pos, token.end_pos, _unquoted(str(token)[1:])[0])

    def true(self, parts: Sequence[Any]) -> Node:
        """`true`."""
        return Literal(parts[0].start_pos, parts[0].end_pos, True)

    def false(self, parts: Sequence[Any]) -> Node:
        """`false`."""
        return Literal(parts[0].start_pos, parts[0].end_pos, False)


class _Token(Protocol):
    """A word of the text with its place."""

    start_pos: Any
    end_pos: Any


def _float(token: _Token) -> float:
    value = float(str(token))
    if value in (float("inf"), float("-inf")):
        raise BadSyntax(token.start_pos, token.end_pos, f"`{token}` is greater than a double can hold")
    return value


def _too_great(value: int) -> tuple[str, str]:
    return f"{value} does not fit a whole number of 64 bits", "write it with a point, as `1e30`"


def _with_sign(sign: _Token, node: Node) -> Node:
    number = (
        isinstance(node, Literal) and isinstance(node.value, int | float) and not isinstance(node.value, bool)
    )
    if str(sign) == "-" and isinstance(node, Literal) and number and not _is_signed(node):
        return Literal(sign.start_pos, node.end, -node.value)  # type: ignore[operator]
    return Unary(sign.start_pos, node.end, str(sign), node)


def _is_signed(literal: Literal) -> bool:
    return str(literal.value).startswith("-")


def _has(start: int, end: int, arguments: Sequence[Node]) -> Node:
    if len(arguments) == 1 and isinstance(arguments[0], Select):
        return Has(start, end, arguments[0].operand, arguments[0].field)
    raise BadSyntax(start, end, "`has` takes one field of a sheet", "write `has(feed.metres)`")


def _macro(name: str, source: Node, arguments: Sequence[Node], end: int) -> Node:
    if name == "map" and len(arguments) == 3:
        kept = _macro("filter", source, arguments[:2], end)
        return _macro("map", kept, [arguments[0], arguments[2]], end)
    if len(arguments) == 2 and isinstance(arguments[0], Name):
        return Macro(source.start, end, name, source, arguments[0].name, arguments[1])
    right = f"write `list.{name}(item, condition)`" if name != "map" else "write `list.map(item, value)`"
    raise BadSyntax(source.start, end, f"`{name}` takes a name and an expression about it", right)


def _unquoted(token: str) -> tuple[str, int]:
    """What stands between the quotes, and how many characters the opening quote has."""
    width = 3 if token[:3] in ("'''", '"""') and len(token) >= 6 else 1
    return token[width:-width], width


def _unescaped(found: re.Match[str], base: int) -> str:
    start, end = base + found.start(), base + found.end()
    if found["plain"]:
        return _PLAIN_ESCAPES.get(found["plain"], found["plain"])
    if found["bad"] is not None:
        raise BadSyntax(
            start, end, f"`{found[0]}` is not an escape", r"write `\\` for a backslash, or r'...'"
        )
    digits = found["byte"] or found["short"] or found["long"]
    code = int(digits, 16) if digits else int(found["octal"], 8)
    if code > 0x10FFFF or 0xD800 <= code <= 0xDFFF:
        raise BadSyntax(start, end, f"`{found[0]}` is not a Unicode character")
    return chr(code)
