"""JSON Schemas of the files that people write, made from the models, and of what commands print.

`python -m coaxwright.model.schema_files --write DIR`

Only keywords that mean the same in draft-07 and in 2020-12 are used, since editors differ in what they know.
The models are the one source; a test compares.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from coaxwright.model.output_schemas import OUTPUTS, output_schema
from coaxwright.model.schema_words import PATTERNS, words_of

_DIALECT = "https://json-schema.org/draft/2020-12/schema"
_KINDS = {
    "site": ("coaxwright.model.site:Site", "Coaxwright site file"),
    "parts": ("coaxwright.model.parts:PartFile", "Coaxwright part file"),
    "rule": ("coaxwright.model.rules:Rule", "Coaxwright rule"),
    "short-rule": ("coaxwright.model.rules:ShortRule", "Coaxwright rule of three lines, in a folder of the user's own"),
    "facts": ("coaxwright.model.facts:OwnFactFile", "Coaxwright facts that a user adds"),
    "cases": ("coaxwright.model.rules:CaseFile", "Coaxwright cases of a rule"),
    "bases": ("coaxwright.model.rules:CaseBases", "Coaxwright base sites of cases"),
    "prices": ("coaxwright.model.prices:PriceFile", "Coaxwright price file"),
    "project": ("coaxwright.model.project:Project", "Coaxwright project file"),
    "declared-facts": ("coaxwright.model.facts:FactFile", "Coaxwright facts that the program declares"),
    "table": ("coaxwright.model.tables:TableFile", "Coaxwright table of figures with their sources"),
    "lessons": ("coaxwright.course.lesson_forms:LessonFile", "Coaxwright lessons of a course"),
    "exam": ("coaxwright.course.exams:ExamProject", "Coaxwright exam: its papers, points and rules"),
    "languages": ("coaxwright.course.languages:LanguageFile", "Coaxwright dates and numbers of exams by language"),
    "symptoms": ("coaxwright.diagnosis.forms:SymptomFile", "Coaxwright symptoms of a diagnosis"),
    "measurements": ("coaxwright.diagnosis.forms:MeasurementFile", "Coaxwright measurements of a diagnosis"),
    "causes": ("coaxwright.diagnosis.forms:CauseFile", "Coaxwright causes of a diagnosis"),
    "rows": ("coaxwright.diagnosis.forms:RowFile", "Coaxwright rows that join symptoms, causes and measurements"),
    "pattern": ("coaxwright.quiz.forms:Pattern", "Coaxwright question pattern"),
    "pattern-cases": ("coaxwright.quiz.forms:PatternCases", "Coaxwright cases of a question pattern"),
    "faults": ("coaxwright.quiz.forms:FaultFile", "Coaxwright faults that questions hide in plans"),
    "slips": ("coaxwright.quiz.forms:SlipFile", "Coaxwright wrong methods that questions offer"),
    "words": ("coaxwright.quiz.forms:Words", "Coaxwright words of the data tables of papers"),
    "stock": ("coaxwright.quiz.forms:Stock", "Coaxwright stock of generated plans"),
    "case-ground": ("coaxwright.quiz.forms:CaseGround", "Coaxwright small plan of pattern cases"),
}
"""By name: the model, as module and class (rooms above this one are only looked up when schemas are made), and the title."""
NAMES = (*_KINDS, *OUTPUTS)
_ONLY_NEW = frozenset(
    {"prefixItems", "unevaluatedProperties", "unevaluatedItems", "dependentRequired", "dependentSchemas",
     "minContains", "maxContains", "$dynamicRef", "$dynamicAnchor", "$anchor"}
)  # fmt: skip


def schema(name: str) -> dict[str, Any]:
    """The schema of one kind of file as JSON data; KeyError for a name that is not in NAMES."""
    if name in OUTPUTS:
        return output_schema(name, _DIALECT)
    where, title = _KINDS[name]
    module, _, record = where.partition(":")
    model = getattr(import_module(module), record)
    made = model.model_json_schema(by_alias=True, ref_template="#/definitions/{model}")
    made["definitions"] = made.pop("$defs", {})
    _wanted_among_cameras(made)
    common = _in_common(_described(made, record))
    return {"$schema": _DIALECT, "$id": f"{name}.schema.json", **common, "title": title}


def _described(made: dict[str, Any], record: str) -> dict[str, Any]:
    """The schema with words for every property. ValueError for one that has none."""
    for name, part in [(record, made), *made["definitions"].items()]:
        for key, value in part.get("properties", {}).items():
            if "description" not in value:
                value["description"] = _words(made, name, key, value)
    return made


def _wanted_among_cameras(made: dict[str, Any]) -> None:
    """Wherever a site is described: a camera without a part stands among the others in a file."""
    from coaxwright.model.site import WANTED

    for each in (made, *made["definitions"].values()):
        properties = each.get("properties", {})
        if WANTED in properties:
            wanted, cameras = properties.pop(WANTED), properties["cameras"]
            for key in ("additionalProperties", "patternProperties"):
                if key in cameras:
                    cameras[key] = _either(cameras[key], wanted[key])


def _either(one: dict[str, Any], other: dict[str, Any]) -> dict[str, Any]:
    """One schema or the other; of mappings by pattern, for each pattern."""
    if "$ref" in one:
        return {"anyOf": [one, other]}
    return {pattern: {"anyOf": [one[pattern], other[pattern]]} for pattern in one}


def _words(made: Mapping[str, Any], record: str, key: str, value: Mapping[str, Any]) -> str:
    found = words_of(record, key) or _own_words(made, value)
    if found is None:
        raise ValueError(f"nothing says what `{key}` of {record} is: give its field a description")
    return found


def _own_words(made: Mapping[str, Any], value: Mapping[str, Any]) -> str | None:
    """What the type itself says: its description, or that of the record that it names or holds."""
    for inner in (value, *value.get("anyOf", ()), value.get("items"), value.get("additionalProperties")):
        if isinstance(inner, dict):
            named = made["definitions"].get(str(inner.get("$ref")).rpartition("/")[2], inner)
            if isinstance(named.get("description"), str):
                return str(named["description"])
    return None


def _in_common(node: object) -> Any:
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
    if isinstance(found.get("pattern"), str):
        _say_pattern(found)
    newer = _ONLY_NEW & found.keys()
    if newer and "type" in found:
        raise ValueError(f"no form for draft-07 of {', '.join(sorted(newer))}")
    return _without_noise(found)


def _say_pattern(found: dict[str, Any]) -> None:
    """What a text has to look like, for editors that show it in the place of the pattern."""
    said = PATTERNS.get(found["pattern"]) or found.get("description")
    if isinstance(said, str):
        plain = said.rstrip(".")
        ours = said[:1].lower() + plain[1:]
        found["patternErrorMessage"] = f"has to be {ours}" if ours.startswith(("a ", "an ")) else f"cannot be read: {plain}"


def _with_units(found: dict[str, Any]) -> dict[str, Any]:
    """A quantity whose words do not name its units, with them."""
    units, said = str(found.get("patternErrorMessage", "")).partition("units: ")[2], str(found.get("description", ""))
    return {**found, "description": f"{said} Units: {units}."} if units and said and "units: " not in said else found


def _in_names(key: str, value: object) -> object:
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
    if not isinstance(choices, list) or {"type": "null"} not in choices or "description" not in found:
        return found
    rest = [choice for choice in choices if choice != {"type": "null"}]
    others = {key: value for key, value in found.items() if key != "anyOf"}
    if len(rest) == 1 and not ("$ref" in rest[0] and others):
        return _with_units({**rest[0], **others})
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
