"""RFC 6902 patches on plain values: applied to a copy that shares all that is not changed.

Values are dicts, lists and scalars as `reading.yaml_source` gives them; nothing here knows sites. Paths are
RFC 6901 pointers, or, inside the program, sequences of keys and indices.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

Operation = Mapping[str, Any]
Patch = Sequence[Operation]
Steps = tuple[str | int, ...]


class PatchError(ValueError):
    """A patch that cannot be applied; the text says which operation and why."""


def pointer_steps(pointer: str) -> tuple[str, ...]:
    """The steps of an RFC 6901 pointer. PatchError where it is none."""
    if pointer == "":
        return ()
    if not pointer.startswith("/"):
        raise PatchError(f"`{pointer}` is not a JSON pointer: it does not start with `/`")
    return tuple(step.replace("~1", "/").replace("~0", "~") for step in pointer[1:].split("/"))


def applied(value: object, patch: Patch) -> Any:
    """The value after all operations in turn. PatchError at the first that cannot be done; nothing is
    changed then.
    """
    for operation in patch:
        value = _one(value, operation)
    return value


def _one(value: object, operation: Operation) -> object:
    kind, path = operation.get("op"), pointer_steps(operation["path"])
    if kind == "add":
        return _added(value, path, operation["value"])
    if kind == "remove":
        return _removed(value, path)
    if kind == "replace":
        return _replaced(value, path, operation["value"])
    if kind == "move":
        source = pointer_steps(operation["from"])
        if path[: len(source)] == source and len(path) > len(source):
            raise PatchError("a value cannot be moved into itself")
        return _added(_removed(value, source), path, value_at(value, source))
    if kind == "copy":
        return _added(value, path, value_at(value, pointer_steps(operation["from"])))
    if kind == "test":
        found = value_at(value, path)
        if not same(found, operation["value"]):
            raise PatchError(f"test of `{operation['path']}` failed: it is {found!r}")
        return value
    raise PatchError(f"`{kind}` is not an operation")


def same(one: object, other: object) -> bool:
    """Equality of JSON values: true is not 1, and the order of keys does not count (RFC 6902, 4.6)."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return len(one) == len(other) and all(map(same, one, other))
    return isinstance(one, bool) == isinstance(other, bool) and bool(one == other)


def value_at(value: object, path: Iterable[str | int]) -> Any:
    """The value at a path. PatchError where there is none."""
    for step in path:
        if isinstance(value, dict):
            if step not in value:
                raise PatchError(f"there is no `{step}`")
            value = value[step]
        elif isinstance(value, list):
            value = value[_index(step, len(value) - 1)]
        else:
            raise PatchError(f"there is nothing below a single value (`{step}`)")
    return value


def has_path(value: object, path: Iterable[str | int]) -> bool:
    """Whether there is a value at that path."""
    try:
        value_at(value, path)
    except PatchError:
        return False
    return True


def _index(step: str | int, most: int) -> int:
    """A list index from 0 to `most`, without leading zeros (RFC 6901, 4)."""
    text = str(step)
    plain = text.isascii() and text.isdigit() and (text == "0" or text[0] != "0")
    if not plain or int(text) > most:
        raise PatchError(f"`{step}` is no place in a list of {most + 1}")
    return int(text)


def _added(value: object, path: Sequence[str | int], new: object) -> object:
    if not path:
        return new
    head, rest = path[0], path[1:]
    if isinstance(value, list) and not rest:
        place = len(value) if head == "-" else _index(head, len(value))
        return [*value[:place], new, *value[place:]]
    if isinstance(value, dict) and not rest:
        return {**value, head: new}
    return _below(value, head, _added(value_at(value, (head,)), rest, new))


def _removed(value: object, path: Sequence[str | int]) -> object:
    if not path:
        raise PatchError("the whole document cannot be removed")
    head, rest = path[0], path[1:]
    found = value_at(value, (head,))
    if rest:
        return _below(value, head, _removed(found, rest))
    if isinstance(value, dict):
        return {key: each for key, each in value.items() if key != head}
    assert isinstance(value, list), "a value was found at one of its places"
    place = _index(head, len(value) - 1)
    return [*value[:place], *value[place + 1 :]]


def _replaced(value: object, path: Sequence[str | int], new: object) -> object:
    if not path:
        return new
    head, rest = path[0], path[1:]
    found = value_at(value, (head,))
    return _below(value, head, _replaced(found, rest, new) if rest else new)


def _below(value: object, step: str | int, new: object) -> object:
    """The collection with another value at a place that it has."""
    if isinstance(value, dict):
        return {**value, step: new}
    assert isinstance(value, list), "a value was found at one of its places"
    place = _index(step, len(value) - 1)
    return [*value[:place], new, *value[place + 1 :]]


def difference(old: object, new: object, path: Steps = ()) -> list[tuple[Steps, Any, Any]]:
    """Where two values differ: path, old and new value, MISSING for what one side lacks.

    Lists that differ in length are compared as a whole.
    """
    if isinstance(old, dict) and isinstance(new, dict):
        keys = dict.fromkeys([*old, *new])
        pairs: list[tuple[str | int, Any, Any]] = [(key, old.get(key, MISSING), new.get(key, MISSING)) for key in keys]
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        pairs = [(index, *pair) for index, pair in enumerate(zip(old, new, strict=True))]
    else:
        return [] if old is new or same(old, new) else [(path, old, new)]
    return [found for key, one, other in pairs for found in difference(one, other, (*path, key))]


class _Missing:
    """Stands for a value that is not there."""

    def __repr__(self) -> str:
        return "nothing"


MISSING = _Missing()


def pointer(path: Iterable[str | int]) -> str:
    """The RFC 6901 pointer of a path."""
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)


def replace_or_add(value: object, path: Steps, new: object) -> dict[str, Any]:
    """The one operation that sets what stands at a path, whether or not something stands there now."""
    return {"op": "replace" if has_path(value, path) else "add", "path": pointer(path), "value": new}


def reach(value: object, path: Steps, new: object) -> dict[str, Any]:
    """The one operation that sets a value at a path of keys, with the groups around it where they lack."""
    if has_path(value, path):
        return replace_or_add(value, path, new)
    for length in range(len(path) - 1, -1, -1):
        if has_path(value, path[:length]):
            for step in reversed(path[length + 1 :]):
                new = {str(step): new}
            return {"op": "add", "path": pointer(path[: length + 1]), "value": new}
    raise PatchError("a document has at least its top")
