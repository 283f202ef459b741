"""JSON patch (RFC 6902) by its text: add, remove, replace, move, copy and test on plain data.

Of our own, so that a change is carried out by something that shares nothing with the program that proposes it.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable
from typing import Any


class DoesNotApply(Exception):
    """A patch that the document does not take."""


def patched(document: Any, patch: Iterable[dict[str, Any]]) -> Any:
    """A copy of the document with the operations carried out in order. Raises DoesNotApply."""
    found = copy.deepcopy(document)
    for operation in patch:
        found = _one(found, operation)
    return found


def _one(document: Any, operation: dict[str, Any]) -> Any:
    kind, path = operation["op"], steps(operation["path"])
    if kind == "test":
        if at(document, path) != operation["value"]:
            raise DoesNotApply(f"test at {operation['path']}")
        return document
    if kind in ("move", "copy"):
        origin = steps(operation["from"])
        value = copy.deepcopy(at(document, origin))
        document = _removed(document, origin) if kind == "move" else document
        return _added(document, path, value)
    if kind == "remove":
        return _removed(document, path)
    value = copy.deepcopy(operation["value"])
    if kind == "replace":
        at(document, path)
        document = _removed(document, path) if path else document
    elif kind != "add":
        raise DoesNotApply(f"no such operation: {kind}")
    return _added(document, path, value)


def steps(pointer: str) -> list[str]:
    """The steps of a JSON pointer (RFC 6901)."""
    if pointer and not pointer.startswith("/"):
        raise DoesNotApply(f"no pointer: {pointer}")
    return [step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:]]


def at(document: Any, path: list[str]) -> Any:
    """What stands at a path. Raises DoesNotApply where nothing does."""
    for step in path:
        try:
            document = document[int(step)] if isinstance(document, list) else document[step]
        except (KeyError, IndexError, ValueError, TypeError) as error:
            raise DoesNotApply(f"nothing at {'/'.join(path)}") from error
    return document


def _removed(document: Any, path: list[str]) -> Any:
    around, last = at(document, path[:-1]), path[-1]
    at(around, [last])
    del around[int(last) if isinstance(around, list) else last]
    return document


def _added(document: Any, path: list[str], value: Any) -> Any:
    if not path:
        return value
    around, last = at(document, path[:-1]), path[-1]
    if isinstance(around, list):
        place = len(around) if last == "-" else int(last)
        if not 0 <= place <= len(around):
            raise DoesNotApply(f"no place {last} in a list of {len(around)}")
        around.insert(place, value)
    elif isinstance(around, dict):
        around[last] = value
    else:
        raise DoesNotApply(f"{'/'.join(path[:-1])} holds no members")
    return document
