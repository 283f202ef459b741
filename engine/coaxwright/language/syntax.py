"""The syntax tree of the rule language: frozen records with offsets into the expression text.

The parser builds the tree with operators as written (`+`, `==`); the type check rebuilds it with each
operator resolved to one operation for its operand types (`add_double`, `equal`), which is what the
evaluators run. Also turns trees into plain JSON data and back. It neither checks nor evaluates.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields as dataclass_fields

from coaxwright.immutable import immutable


@immutable
class Literal:
    """A number, text or truth value as written."""

    start: int
    end: int
    value: bool | int | float | str


@immutable
class Name:
    """A variable: of the environment, or bound by a macro around it."""

    start: int
    end: int
    name: str


@immutable
class Select:
    """`operand.field`."""

    start: int
    end: int
    operand: Node
    field: str


@immutable
class Has:
    """`has(operand.field)`."""

    start: int
    end: int
    operand: Node
    field: str


@immutable
class Index:
    """`operand[position]`."""

    start: int
    end: int
    operand: Node
    position: Node


@immutable
class ListLiteral:
    """`[item, ...]`."""

    start: int
    end: int
    items: tuple[Node, ...]


@immutable
class Unary:
    """`!x` or `-x`."""

    start: int
    end: int
    operation: str
    operand: Node


@immutable
class Binary:
    """Arithmetic, comparison or membership of two operands."""

    start: int
    end: int
    operation: str
    left: Node
    right: Node


@immutable
class Logic:
    """A chain of two or more operands joined by `&&` or by `||`."""

    start: int
    end: int
    operation: str
    operands: tuple[Node, ...]


@immutable
class Choice:
    """`condition ? then : otherwise`."""

    start: int
    end: int
    condition: Node
    then: Node
    otherwise: Node


@immutable
class Call:
    """A function call; `member` tells `x.f(y)` (arguments x, y) from `f(x, y)`."""

    start: int
    end: int
    operation: str
    arguments: tuple[Node, ...]
    member: bool = False


@immutable
class Macro:
    """`source.operation(variable, body)`: all, exists, exists_one, filter or map."""

    start: int
    end: int
    operation: str
    source: Node
    variable: str
    body: Node


Node = Literal | Name | Select | Has | Index | ListLiteral | Unary | Binary | Logic | Choice | Call | Macro

_KINDS: dict[str, type[Node]] = {
    kind.__name__: kind
    for kind in (Literal, Name, Select, Has, Index, ListLiteral, Unary, Binary, Logic, Choice, Call, Macro)
}
_FIELDS: dict[str, tuple[str, ...]] = {
    name: tuple(entry.name for entry in dataclass_fields(kind)) for name, kind in _KINDS.items()
}


def children(node: Node) -> tuple[Node, ...]:
    """The operands of a node, in the order written."""
    match node:
        case Select() | Has() | Unary():
            return (node.operand,)
        case Index():
            return (node.operand, node.position)
        case ListLiteral():
            return node.items
        case Binary():
            return (node.left, node.right)
        case Logic():
            return node.operands
        case Choice():
            return (node.condition, node.then, node.otherwise)
        case Call():
            return node.arguments
        case Macro():
            return (node.source, node.body)
        case _:  # a literal, a name
            return ()


def walk(node: Node) -> Iterator[Node]:
    """Every node, parents first, left to right; needs no recursion, so depth does not matter."""
    pending = [node]
    while pending:
        found = pending.pop()
        yield found
        pending.extend(reversed(children(found)))


def node_to_plain(node: Node) -> list[object]:
    """The tree as nested lists of JSON values: `[kind, field, ...]`."""
    name = type(node).__name__
    return [name, *(_value_to_plain(getattr(node, entry)) for entry in _FIELDS[name])]


def _value_to_plain(value: object) -> object:
    if isinstance(value, tuple):
        return [[], *(_value_to_plain(item) for item in value)]
    if isinstance(value, bool | int | float | str):
        return value
    return node_to_plain(value)  # type: ignore[arg-type]


def node_from_plain(plain: object) -> Node:
    """The tree that `node_to_plain` gave; ValueError for anything else."""
    if not isinstance(plain, list) or not plain or not isinstance(plain[0], str) or plain[0] not in _KINDS:
        raise ValueError("not a serialised expression")
    values = [_value_from_plain(value) for value in plain[1:]]
    if len(values) != len(_FIELDS[plain[0]]):
        raise ValueError(f"a serialised {plain[0]} has the wrong number of parts")
    make: Callable[..., Node] = _KINDS[plain[0]]
    return make(*values)


def _value_from_plain(value: object) -> object:
    if not isinstance(value, list):
        return value
    if value and value[0] == []:
        return tuple(_value_from_plain(item) for item in value[1:])
    return node_from_plain(value)
