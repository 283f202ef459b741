"""Schemas of what commands print: every key that comes out is described, and a reader of the first edition still reads it.

The schemas are judged by jsonschema's validators; the reader knows only the keys of the first edition's contract.
"""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator, Draft202012Validator
from tests.conftest import FULL

from coaxwright import check, fix, limits, load_site, pair, repair
from coaxwright.model import schema_files

ROOT = Path(__file__).resolve().parents[2]
SITES = sorted(ROOT.glob("examples/*/*.site.yaml"))
SMALL = [path for path in SITES if path.parent.name in ("boatyard", "cider-press", "plant-nursery")]


def _schema(name: str, *, closed: bool = False) -> dict[str, Any]:
    made = json.loads((ROOT / "schemas" / f"{name}.schema.json").read_text(encoding="utf-8"))
    return _closed(made) if closed else made


def _closed(node: Any) -> Any:
    """The schema with every record closed, so that a key which nothing describes is an error."""
    if isinstance(node, list):
        return [_closed(each) for each in node]
    if not isinstance(node, dict):
        return node
    made = {key: _closed(value) for key, value in node.items()}
    return {**made, "additionalProperties": False} if "properties" in made and "required" in made else made


def _complaints(name: str, data: Any) -> list[str]:
    return [
        f"{'/'.join(map(str, error.path))}: {error.message[:200]}"
        for validator in (Draft202012Validator, Draft7Validator)
        for error in validator(_schema(name, closed=True)).iter_errors(data)
    ]


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.parent.name)
def test_every_key_of_check_is_described(path: Path) -> None:
    assert _complaints("check-output", check(path).to_dict()) == []


@pytest.mark.parametrize("path", SMALL if FULL else SMALL[:1], ids=lambda path: path.parent.name)
def test_every_key_of_fix_and_limits_is_described(path: Path) -> None:
    value = load_site(path).document.value
    assert _complaints("fix-output", fix(path, tries=30).to_dict()) == []
    for subject in ("site", f"cameras/{next(iter(value['cameras']))}", f"supplies/{next(iter(value['supplies']))}"):
        assert _complaints("limits-output", limits(path, subject).to_dict()) == []


def test_every_key_of_a_whole_repair_is_described() -> None:
    assert _complaints("fix-output", repair(SMALL[0], budget=40).to_dict()) == []


@pytest.mark.parametrize("path", SMALL, ids=lambda path: path.parent.name)
def test_every_key_of_pair_is_described(path: Path) -> None:
    value = load_site(path).document.value
    parts = [path.parent / each for each in value["parts"]]
    recorder = next(iter(value["recorders"].values()))["part"]
    for camera in {each["part"] for each in value["cameras"].values()}:
        for more in ({}, {"cable": "rg59-copper", "length": "150 m"}, {"cable": "rg59-copper"}):
            assert _complaints("pair-output", pair(camera, recorder, parts=parts, **more).to_dict()) == []


@pytest.mark.parametrize("name", ["check-output", "fix-output", "limits-output", "pair-output"])
def test_what_is_wrong_is_seen(name: str) -> None:
    """A missing key, another format, a text where a number belongs."""
    value = load_site(SMALL[0]).document.value
    recorder = next(iter(value["recorders"].values()))["part"]
    good = {
        "check-output": lambda: check(SMALL[0]).to_dict(), "fix-output": lambda: fix(SMALL[0], tries=5).to_dict(),
        "limits-output": lambda: limits(SMALL[0], "site").to_dict(),
        "pair-output": lambda: pair(
            next(iter(value["cameras"].values()))["part"], recorder, parts=[SMALL[0].parent / p for p in value["parts"]]
        ).to_dict(),
    }[name]()  # fmt: skip
    validator = Draft202012Validator(_schema(name))
    assert not list(validator.iter_errors(good))
    assert not list(validator.iter_errors({**good, "some_new_key": 1})), "keys may be added"
    assert list(validator.iter_errors({**good, "format": 3}))
    for key in _schema(name)["required"]:
        assert list(validator.iter_errors({each: value for each, value in good.items() if each != key})), key


@pytest.mark.parametrize("name", schema_files.NAMES)
def test_every_property_is_described(name: str) -> None:
    def undescribed(node: Any, path: str) -> list[str]:
        if isinstance(node, list):
            return [each for item in node for each in undescribed(item, path)]
        if not isinstance(node, dict):
            return []
        found = []
        for key, value in node.items():
            if key in ("properties", "definitions") and isinstance(value, dict):
                for inner, schema in value.items():
                    if key == "properties" and not str(schema.get("description", "")).strip():
                        found.append(f"{path}/{inner}")
                    found += undescribed(schema, f"{path}/{inner}")
            elif key not in ("default", "const", "enum"):
                found += undescribed(value, path)
        return found

    assert undescribed(_schema(name), "") == []


def test_a_quantity_says_its_units() -> None:
    """Length and voltage of the site schema, by their descriptions; what an editor shows where the pattern does not match."""
    text = json.dumps(_schema("site"), ensure_ascii=False)
    assert "has to be a length with its unit; units: m, " in text
    assert "has to be a voltage with its unit; units: V, " in text


# A reader of the first edition


def _first_edition(report: dict[str, Any]) -> list[tuple[str, str, str, float | None]]:
    """What a program of the first edition did: keys by name, all there, and nothing else looked at."""
    assert report["tool"]["name"] == "coaxwright"
    assert report["tool"]["version"]
    assert report["tool"]["rulebook"].startswith("sha256:")
    read = []
    for site in report["sites"]:
        counted = {"error": 0, "warning": 0, "note": 0}
        for finding in site["findings"]:
            assert {"rule", "level", "kind", "subject", "pointer", "line", "column", "message", "why", "working", "margin",
                    "values", "sources", "caution", "fixes"} <= finding.keys()  # fmt: skip
            for change in finding["fixes"]:
                assert {"title", "patch", "cost", "clears", "introduces", "hides"} <= change.keys()
            if finding["kind"] == "fail" and not finding["waived"]:
                counted[finding["level"]] += 1
            read.append((finding["rule"], finding["subject"], finding["kind"], finding["margin"]))
        assert {level: site["summary"][level] for level in counted} == counted
        for subject, facts in site["facts"].items():
            if "settled" in facts:
                outcomes = ("full", "asked-down", "reduced-width", "needs-setting", "no-picture", None)
                assert facts["settled"]["outcome"] in outcomes, subject
        assert isinstance(site["assumed"], list)
    return read


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.parent.name)
def test_a_reader_of_the_first_edition_reads_it(path: Path) -> None:
    report = check(path)
    read = _first_edition(report.to_dict())
    assert sorted(each[:2] for each in read) == sorted(finding.key for finding in report.findings)


def test_that_reader_notices_a_key_that_went() -> None:
    report = check(SMALL[0]).to_dict()
    broken = copy.deepcopy(report)
    del broken["sites"][0]["findings"][0]["working"]
    with pytest.raises(AssertionError):
        _first_edition(broken)
