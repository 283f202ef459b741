"""JSON Schemas of the files that people write, made from the models: `python -m coaxwright.model.schema_files
--write DIR`.

Only keywords that mean the same in draft-07 and in 2020-12 are used, since editors differ in what they know.
The models are the one source; a test compares.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

_DIALECT = "https://json-schema.org/draft/2020-12/schema"
NAMES = ("site", "parts", "rule", "short-rule", "facts", "cases", "bases", "prices")
_TITLES = {
    "site": "Coaxwright site file",
    "parts": "Coaxwright part file",
    "rule": "Coaxwright rule",
    "short-rule": "Coaxwright rule of three lines, in a folder of the user's own",
    "facts": "Coaxwright facts that a user adds",
    "cases": "Coaxwright cases of a rule",
    "bases": "Coaxwright base sites of cases",
    "prices": "Coaxwright price file",
}
_ONLY_NEW = frozenset(
    {"prefixItems", "unevaluatedProperties", "unevaluatedItems", "dependentRequired", "dependentSchemas",
     "minContains", "maxContains", "$dynamicRef", "$dynamicAnchor", "$anchor"}
)  # fmt: skip


def schema(name: str) -> dict[str, Any]:
    """The schema of one kind of file as JSON data; KeyError for a name that is not in NAMES."""
    model = _models()[name]
    made = model.model_json_schema(by_alias=True, ref_template="#/definitions/{model}")
    made["definitions"] = made.pop("$defs", {})
    common = _in_common(made)
    return {"$schema": _DIALECT, "$id": f"{name}.schema.json", **common, "title": _TITLES[name]}


def _models() -> Mapping[str, Any]:
    from coaxwright.model.facts import OwnFactFile
    from coaxwright.model.parts import PartFile
    from coaxwright.model.prices import PriceFile
    from coaxwright.model.rules import CaseBases, CaseFile, Rule, ShortRule
    from coaxwright.model.site import Site

    return {
        "site": Site, "parts": PartFile, "rule": Rule, "short-rule": ShortRule, "facts": OwnFactFile, "cases": CaseFile,
        "bases": CaseBases, "prices": PriceFile,
    }  # fmt: skip


def _in_common(node: Any) -> Any:
    """The schema in keywords that both drafts have; ValueError for one that has no such form."""
    if isinstance(node, list):
        return [_in_common(item) for item in node]
    if not isinstance(node, dict):
        return node
    found = {
        key: _in_names(key, value)
        for key, value in node.items()
        if key not in ("prefixItems", "discriminator")
    }
    if "prefixItems" in node:
        found.update(_fixed_items(node))
    if "patternProperties" in found and "properties" not in found:
        _name_every_key(found)
    newer = _ONLY_NEW & found.keys()
    if newer and "type" in found:
        raise ValueError(f"no form for draft-07 of {', '.join(sorted(newer))}")
    return _without_noise(found)


def _in_names(key: str, value: Any) -> Any:
    """Below `properties` and `definitions` keys are names, not keywords."""
    if key in ("properties", "definitions", "patternProperties") and isinstance(value, dict):
        return {name: _in_common(inner) for name, inner in value.items()}
    return value if key in ("const", "enum", "default", "examples") else _in_common(value)


def _fixed_items(node: Mapping[str, Any]) -> dict[str, Any]:
    """A tuple of fixed length: its length, and any of its types for each item (both drafts have no common
    exact form).
    """
    kinds: list[Any] = []
    for item in _in_common(node["prefixItems"]):
        if item not in kinds:
            kinds.append(item)
    count = len(node["prefixItems"])
    return {"items": kinds[0] if len(kinds) == 1 else {"anyOf": kinds}, "minItems": count, "maxItems": count}


def _name_every_key(found: dict[str, Any]) -> None:
    """A mapping by identifier: what does not match the pattern of its keys is refused, not ignored."""
    if len(found["patternProperties"]) != 1:
        raise ValueError("no form for a mapping with several patterns of keys")
    ((pattern, value),) = found.pop("patternProperties").items()
    found["additionalProperties"] = value
    found["propertyNames"] = {**found.get("propertyNames", {}), "pattern": pattern}


def _without_noise(found: dict[str, Any]) -> dict[str, Any]:
    """Titles that pydantic makes of field names say nothing; a default of null only repeats that a key may be
    absent.
    """
    if isinstance(found.get("title"), str):
        del found["title"]
    if "default" in found and found["default"] is None:
        del found["default"]
    return _without_null(found)


def _without_null(found: dict[str, Any]) -> dict[str, Any]:
    """A key without value (null) is read as absent; editors need not offer it as a value of its own."""
    choices = found.get("anyOf")
    if not isinstance(choices, list) or {"type": "null"} not in choices:
        return found
    rest = [choice for choice in choices if choice != {"type": "null"}]
    others = {key: value for key, value in found.items() if key != "anyOf"}
    if len(rest) == 1 and not ("$ref" in rest[0] and others):
        return {**rest[0], **others}
    return {**others, "anyOf": rest}


def render() -> dict[str, str]:
    """The text of every schema file, by file name."""
    return {f"{name}.schema.json": _text(schema(name)) for name in NAMES}


def _text(made: Mapping[str, Any]) -> str:
    return json.dumps(made, indent=2, ensure_ascii=False) + "\n"


def write(folder: Path) -> list[str]:
    """Write what differs and remove what is no schema any more; the names of what changed."""
    texts = render()
    changed = stale(folder)
    folder.mkdir(parents=True, exist_ok=True)
    for name in changed:
        if name in texts:
            (folder / name).write_text(texts[name], encoding="utf-8")
        else:
            (folder / name).unlink()
    return changed


def stale(folder: Path) -> list[str]:
    """Names of schema files that are missing, differ from the models, or belong to none."""
    texts = render()
    on_disk = {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.schema.json")}
    return sorted(name for name in texts.keys() | on_disk.keys() if texts.get(name) != on_disk.get(name))


def main(arguments: Sequence[str]) -> int:
    """`--write DIR` or `--check DIR`: 0 when fresh, 1 when --check finds stale ones, 2 for a bad call."""
    if len(arguments) != 2 or arguments[0] not in ("--write", "--check"):
        sys.stderr.write("use: python -m coaxwright.model.schema_files --write DIR | --check DIR\n")
        return 2
    folder = Path(arguments[1])
    names = write(folder) if arguments[0] == "--write" else stale(folder)
    sys.stdout.writelines(f"{name}\n" for name in names)
    return int(bool(names) and arguments[0] == "--check")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
