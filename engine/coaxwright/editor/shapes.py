"""What schemas tell an editor: which keys may stand at a place, what each means, its choices and units."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.resources import data_root

_UNITS = "units: "


@immutable
class Shape:
    """A key: its words, its choices, the units that its quantity may have."""

    name: str
    says: str
    choices: tuple[str, ...]
    units: tuple[str, ...]


@lru_cache(maxsize=8)
def _schema(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((data_root("schemas") / f"{name}.schema.json").read_text(encoding="utf-8"))
    return found


def keys_at(schema: str, path: Sequence[str]) -> list[Shape]:
    """The keys that may stand in the record at a path; none where the schema has no such place."""
    root = _schema(schema)
    nodes = [root]
    for step in path:
        nodes = [inner for node in nodes for inner in _into(root, node, step)]
    found: dict[str, Shape] = {}
    for node in nodes:
        for record in _records(root, node):
            for name, inner in record.get("properties", {}).items():
                found.setdefault(name, _shape(root, name, inner))
    return list(found.values())


def shape_at(schema: str, path: Sequence[str], key: str) -> Shape | None:
    """The key at a path; None where the schema does not know it there."""
    return next((each for each in keys_at(schema, path) if each.name == key), None)


def _records(root: dict[str, Any], node: object) -> Iterator[dict[str, Any]]:
    """A node with what it refers to, chooses between, or lists."""
    if not isinstance(node, dict):
        return
    yield node
    if "$ref" in node:
        yield from _records(root, root["definitions"][node["$ref"].rpartition("/")[2]])
    for inner in (*node.get("anyOf", ()), *node.get("oneOf", ()), node.get("items")):
        yield from _records(root, inner)


def _into(root: dict[str, Any], node: object, step: str) -> Iterator[Any]:
    for record in _records(root, node):
        if step in record.get("properties", {}):
            yield record["properties"][step]
        elif isinstance(record.get("additionalProperties"), dict):
            yield record["additionalProperties"]


def _shape(root: dict[str, Any], name: str, node: dict[str, Any]) -> Shape:
    records = list(_records(root, node))
    says = next((str(each["description"]) for each in records if "description" in each), "")
    choices = [each for record in records for each in _choices(record)]
    spoken = [str(each.get("patternErrorMessage", "")) for each in records]
    units = next((each.partition(_UNITS)[2].rstrip(".").split(", ") for each in spoken if _UNITS in each), [])
    return Shape(name, says, tuple(dict.fromkeys(choices)), tuple(units))


def _choices(record: dict[str, Any]) -> list[str]:
    if record.get("type") == "boolean":
        return ["true", "false"]
    return [str(each) for each in (*record.get("enum", ()), *([record["const"]] if "const" in record else []))]
