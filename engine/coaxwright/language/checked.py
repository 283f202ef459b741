"""A checked expression: its text, type, what it reads, and the resolved tree; and its plain form for a cache.

Made by `typing_check.check_expression`; evaluated by `evaluating`, `compiling` and `sweeping`.
"""

from __future__ import annotations

from typing import Any

from coaxwright.immutable import immutable
from coaxwright.language.syntax import Node, node_from_plain, node_to_plain
from coaxwright.language.types import Bool, Int, ListOf, Nothing, Num, Ref, Text, Type, Unit

PLAIN_FORMAT = 1
"""Raise when the plain form or the meaning of an operation changes, so that old caches are not read."""


@immutable
class Checked:
    """An expression that passed the type check.

    `paths` are the longest dotted paths it reads, each once, in order, from a variable on:
    `("feed", "load", "volts_min")`; an item of a list is `"*"`: `("path", "hops", "*", "kind")`. `syntax` has
    resolved operations.
    """

    text: str
    type: Type
    paths: tuple[tuple[str, ...], ...]
    syntax: Node


@immutable
class Unknown:
    """The result cannot be known: `missing` are the (sheet, field) pairs that would decide it, in order,
    each once.
    """

    missing: tuple[tuple[object, str], ...]


@immutable
class Fault:
    """The result is an error value (overflow, division by zero, no such item): what, and where in the
    text.
    """

    what: str
    start: int = 0
    end: int = 0


def to_plain(checked: Checked) -> dict[str, object]:
    """JSON data that `from_plain` turns back into an equal `Checked`, without parsing or type check."""
    return {
        "format": PLAIN_FORMAT,
        "text": checked.text,
        "type": _type_to_plain(checked.type),
        "paths": [list(path) for path in checked.paths],
        "syntax": node_to_plain(checked.syntax),
    }


def from_plain(plain: object) -> Checked:
    """The expression that `to_plain` gave; ValueError when the data is not of this form and format."""
    if not isinstance(plain, dict) or plain.get("format") != PLAIN_FORMAT:
        raise ValueError("not a serialised expression of this format")
    paths = tuple(tuple(path) for path in plain["paths"])
    return Checked(plain["text"], _type_from_plain(plain["type"]), paths, node_from_plain(plain["syntax"]))


def _type_to_plain(kind: Type) -> list[object]:
    match kind:
        case Num():
            return ["Num", str(kind.unit)]
        case Text():
            return ["Text", None if kind.choices is None else sorted(kind.choices)]
        case ListOf():
            return ["ListOf", _type_to_plain(kind.item)]
        case Ref():
            return ["Ref", kind.kind]
        case _:
            return [type(kind).__name__]


def _type_from_plain(plain: list[Any]) -> Type:
    match plain:
        case ["Bool"]:
            return Bool()
        case ["Int"]:
            return Int()
        case ["Nothing"]:
            return Nothing()
        case ["Num", str(unit)]:
            return Num(Unit.parse(unit))
        case ["Text", choices]:
            return Text(None if choices is None else frozenset(choices))
        case ["ListOf", item]:
            return ListOf(_type_from_plain(item))
        case ["Ref", str(kind)]:
            return Ref(kind)
    raise ValueError("not a serialised type")
