"""JSON Schemas: fresh, valid in both drafts, accepting what reading accepts and refusing unknown keys."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator, Draft202012Validator

from coaxwright.model import schema_files
from coaxwright.reading.yaml_source import parse_document

ROOT = Path(__file__).resolve().parents[2]
VALIDATORS = (Draft202012Validator, Draft7Validator)
# JSON Schema 2020-12 (core, validation) against draft-07: what only one of them has.
NOT_COMMON = {
    "prefixItems", "unevaluatedProperties", "unevaluatedItems", "dependentRequired", "dependentSchemas",
    "minContains", "maxContains", "$defs", "$anchor", "$dynamicRef", "$dynamicAnchor", "additionalItems",
    "dependencies",
}  # fmt: skip


def _load(path: Path) -> Any:
    """As the project reads it: an editor with YAML 1.1 would take the key `on` of a waiver for true."""
    return parse_document(path.read_text(encoding="utf-8"), path.name).value


def _schema(name: str) -> dict[str, Any]:
    return json.loads((ROOT / "schemas" / f"{name}.schema.json").read_text(encoding="utf-8"))


def _files(pattern: str) -> list[Path]:
    return sorted(ROOT.glob(pattern))


SITES = _files("examples/*/*.site.yaml")
PARTS = _files("examples/*/parts/*.yaml") + _files("rules/tables/parts-*.yaml")
RULES = [
    p
    for p in _files("rules/[a-z]*/*.yaml")
    if p.parent.name not in ("tables", "cases", "quiz", "facts", "diagnosis", "course") and ".cases" not in p.name
]
CASES = _files("rules/*/*.cases.yaml")
DOCUMENTS = [(name, path)
             for name, paths in (("site", SITES), ("parts", PARTS), ("rule", RULES), ("cases", CASES))
             for path in paths]  # fmt: skip


def test_schema_files_are_fresh() -> None:
    stale = schema_files.stale(ROOT / "schemas")
    assert stale == [], "run: python -m coaxwright.model.schema_files --write schemas"


def test_stale_notices_a_changed_a_missing_and_a_leftover_file(tmp_path: Path) -> None:
    schema_files.write(tmp_path)
    assert schema_files.stale(tmp_path) == []
    (tmp_path / "site.schema.json").write_text("{}")
    (tmp_path / "rule.schema.json").unlink()
    (tmp_path / "gone.schema.json").write_text("{}")
    assert schema_files.stale(tmp_path) == ["gone.schema.json", "rule.schema.json", "site.schema.json"]
    assert schema_files.main(["--check", str(tmp_path)]) == 1
    assert schema_files.main(["--write", str(tmp_path)]) == 0
    assert schema_files.main(["--check", str(tmp_path)]) == 0
    assert schema_files.main(["--check"]) == 2


@pytest.mark.parametrize("name", schema_files.NAMES)
@pytest.mark.parametrize("validator", VALIDATORS)
def test_schema_is_valid_in_both_drafts(name: str, validator: Any) -> None:
    validator.check_schema(_schema(name))


def _keywords(node: Any) -> set[str]:
    """Keywords of a schema; the keys of `properties` and `definitions` are names and not counted."""
    if isinstance(node, list):
        return set().union(*(_keywords(item) for item in node))
    if not isinstance(node, dict):
        return set()
    found = set(node)
    for key, value in node.items():
        inner = (
            value.values() if key in ("properties", "definitions") and isinstance(value, dict) else [value]
        )
        if key not in ("const", "enum", "default", "examples"):
            found |= set().union(*(_keywords(item) for item in inner)) if inner else set()
    return found


@pytest.mark.parametrize("name", schema_files.NAMES)
def test_only_keywords_that_both_drafts_have(name: str) -> None:
    assert not _keywords(_schema(name)) & NOT_COMMON


def test_documents_were_found() -> None:
    assert len(SITES) >= 3
    assert len(PARTS) >= 3


@pytest.mark.parametrize(
    ("name", "path"), DOCUMENTS, ids=lambda value: value if isinstance(value, str) else value.name
)
@pytest.mark.parametrize("validator", VALIDATORS)
def test_every_file_of_the_project_is_accepted(name: str, path: Path, validator: Any) -> None:
    errors = [
        f"{'/'.join(map(str, error.path))}: {error.message}"
        for error in validator(_schema(name)).iter_errors(_load(path))
    ]
    assert errors == []


SITE = {
    "site": "Reed Quay",
    "recorders": {"rec1": {"part": "tarnwell/hybrid-8"}},
    "cameras": {
        "c1": {
            "part": "fennick/turret-5",
            "video": {"into": "rec1/1", "over": [{"cable": "rg59-copper", "length": "85 m"}]},
        }
    },
}


def _refused(document: Any) -> bool:
    verdicts = {bool(list(validator(_schema("site")).iter_errors(document))) for validator in VALIDATORS}
    assert len(verdicts) == 1, "the drafts disagree"
    return verdicts.pop()


def test_a_small_site_is_accepted() -> None:
    assert not _refused(SITE)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("colour",), "red"),
        (("cameras", "c1", "vidio"), {}),
        (("cameras", "c1", "video", "over", 0, "lenght"), "85 m"),
        (("cameras", "c1", "video", "over", 0, "length"), 85),
        (("cameras", "c1", "video", "over", 0, "length"), "85"),
        (("cameras", "c1", "video", "over", 0, "length"), "85 kg"),
        (("cameras", "not allowed!"), {"part": "fennick/turret-5"}),
        (("cameras", "c1", "set"), {"family": "pal"}),
        (("video_rate",), 50),
        (("waivers",), [{"rule": "power/undervoltage", "on": "cameras/c1"}]),
    ],
)
def test_wrong_keys_and_values_are_refused(path: tuple[str | int, ...], value: Any) -> None:
    document: Any = copy.deepcopy(SITE)
    target = document
    for step in path[:-1]:
        target = target[step]
    target[path[-1]] = value
    assert _refused(document)


def test_a_tuple_of_two_numbers_keeps_its_length_and_types() -> None:
    part = {"kind": "cable", "source": "invented", "carries": ["coax"], "attenuation": [[1, 0.5], [10, 1.5]]}
    for validator in VALIDATORS:
        check = validator(_schema("parts"))
        assert not list(check.iter_errors({"parts": {"c": part}}))
        for wrong in ([[1]], [[1, 2, 3]], [["1", 2]]):
            assert list(check.iter_errors({"parts": {"c": {**part, "attenuation": wrong}}}))


def test_units_are_described() -> None:
    length = _schema("site")["definitions"]["Hop"]["properties"]["length"]
    assert "One-way length" in length["description"]
    assert "m" in length["examples"][0]
